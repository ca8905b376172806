"""Sizes, hazards and prey. Animals and amounts are invented; the figures are the table's,
which says of each that it is common practice or from memory; elephants and bears are
ChokeVetRef (read).
"""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.quantities import exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import piece_size
from tests import records

BREACH, CANNOT_TELL, KEPT = Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT
LOW, MEDIUM = Severity.LOW, Severity.MEDIUM
MARMOSET, ELEPHANT, PYTHON, TORTOISE = (
    "Callithrix geoffroyi", "Elephas maximus", "Python regius", "Testudo hermanni",
)  # fmt: skip


def said(
    species: str,
    food: str,
    cut: str = "",
    amount: str = "10 g per animal",
    mass: str = "1 kg",
    more: str = "",
    limit: str = "",
) -> tuple[Check, ...]:
    """What the rule says of one line for one animal."""
    animal = f"{{id: A1, weighings: [{{on: 2026-11-20, mass: {mass}}}]{more}}}"
    told = f", cut: {cut}" if cut else ""
    files = records.small(
        group=records.group(species=species, animals=(animal,)),
        foods=records.foods(morsel=food),
        sheet=records.sheet({"roots": [f"{{food: morsel, amount: {amount}{told}}}"]}),
        **({"house": HOUSE + f"{limit}, over: meal}}\n"} if limit else {}),
    )
    outcome = outcome_of(piece_size, files, records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def graded(checks: tuple[Check, ...]) -> list[tuple[Verdict, Severity]]:
    return [(check.verdict, check.severity) for check in checks]


HOUSE = (
    "record: limits\nlimits:\n  - {taxon: Callithrix, quantity: piece-size, why: invented, "
    "set_by: Dr Vale, on: 2026-01-01, "
)
CARROT = "{same_as: carrot}"
PLUM = "{class: fruit, organism: Prunus domestica, unknown_composition: no label}"
APPLE = "{class: fruit, organism: Malus domestica, unknown_composition: no label}"
BEEF = "{class: meat, unknown_composition: no label}"


@pytest.mark.parametrize(
    ("cut", "expected"),
    [
        ("dice 1 cm", KEPT),
        ("dice 20 mm", KEPT),  # the bound itself
        ("dice 21 mm", BREACH),
        ("sticks 1 cm by 6 cm", BREACH),  # the larger side counts
        ("grated", KEPT),
        ("halves", CANNOT_TELL),
        ("", CANNOT_TELL),
    ],
)
def test_pieces_for_marmosets(cut: str, expected: Verdict) -> None:
    assert graded(said(MARMOSET, CARROT, cut)) == [(expected, LOW)]


def test_no_size_is_asked_where_no_limit_stands_or_nothing_is_cut() -> None:
    assert graded(said("Tapirus terrestris", CARROT)) == [(KEPT, LOW)]
    pellet = "{class: compound feed, unknown_composition: no label}"
    assert graded(said(MARMOSET, pellet)) == [(KEPT, LOW)]


def test_only_young_tortoises_have_a_size() -> None:
    assert graded(said(TORTOISE, CARROT, "dice 3 cm")) == [(KEPT, LOW)]
    young = said(TORTOISE, CARROT, "dice 3 cm", more=", stage: juvenile")
    assert graded(young) == [(BREACH, LOW)]


@pytest.mark.parametrize(
    ("species", "food", "cut", "expected"),
    [
        (ELEPHANT, PLUM, "whole", [(BREACH, MEDIUM), (BREACH, MEDIUM)]),  # the stone; the fruit
        (ELEPHANT, PLUM, "halves stoned", []),
        (ELEPHANT, APPLE, "whole", [(BREACH, MEDIUM)]),
        (ELEPHANT, APPLE, "slices", []),
        ("Tapirus terrestris", PLUM, "", [(CANNOT_TELL, LOW)]),
        ("Tapirus terrestris", PLUM, "whole", [(BREACH, LOW)]),
        ("Tapirus terrestris", APPLE, "whole", []),
        ("Ursus arctos", BEEF, "whole", [(BREACH, MEDIUM)]),
        ("Ursus arctos", BEEF, "", [(CANNOT_TELL, LOW)]),
        ("Ursus arctos", BEEF, "strips", []),
        ("Panthera leo", BEEF, "whole", []),
    ],
)
def test_named_hazards(
    species: str, food: str, cut: str, expected: list[tuple[Verdict, Severity]]
) -> None:
    checks = said(species, food, cut)
    assert [one for one in graded(checks) if one[0] is not KEPT] == expected
    assert all(c.sources for c in checks if c.severity is MEDIUM)


@pytest.mark.parametrize(
    ("piece", "expected"),
    [
        ("piece: 150 g", KEPT),  # 15 % of 1 kg, the bound itself
        ("piece: 151 g", BREACH),
        ("piece: 100 to 200 g", CANNOT_TELL),
    ],
)
def test_prey_against_the_snake(piece: str, expected: Verdict) -> None:
    rat = f"{{class: whole prey, unknown_composition: no label, {piece}}}"
    checks = said(PYTHON, rat, amount="1 piece per animal")
    assert [check.verdict for check in checks] == [expected]


def test_prey_without_a_mass_of_a_piece_is_asked_about() -> None:
    (check,) = said(PYTHON, "{class: whole prey, unknown_composition: no label}")
    assert (check.verdict, check.severity) == (CANNOT_TELL, LOW)
    assert check.settles


@pytest.mark.parametrize(
    ("most", "cut", "expected"),
    [
        ("12 mm", "dice 12 mm", KEPT),
        ("12 mm", "dice 1.2 cm", KEPT),
        ("12 mm", "dice 13 mm", BREACH),
        # Grated is 0 to 5 mm, the tool's own assumption.
        ("5 mm", "grated", KEPT),
        ("4.9 mm", "grated", CANNOT_TELL),
        ("0 mm", "grated", CANNOT_TELL),
    ],
)
def test_a_house_size(most: str, cut: str, expected: Verdict) -> None:
    (check,) = said(MARMOSET, CARROT, cut, limit=f"at_most: {most}")
    assert check.verdict is expected
    if expected is not KEPT:
        assert f"at most {most}" in check.message
        assert check.limit is not None
    if expected is BREACH:
        assert check.measured is not None
        assert check.measured.value == exact(13)


@pytest.mark.parametrize("limit", ["at_most: 2 cm", "at_least: 10 mm"])
def test_a_house_size_of_another_kind_is_asked_about(limit: str) -> None:
    checks = said(MARMOSET, CARROT, "dice 1 cm", limit=limit)
    assert [(c.verdict, c.severity) for c in checks] == [(CANNOT_TELL, MEDIUM)]


def test_a_hazard_left_in_is_taken_out_and_one_untold_is_written_down() -> None:
    left_in, untold = (
        next(c for c in said("Tapirus terrestris", PLUM, cut) if c.verdict is not KEPT)
        for cut in ("whole", "")
    )
    assert left_in.advice.startswith("Take it out")
    assert untold.advice.startswith("Write the cut")
    assert left_in.places[0].path[-1] == "cut"
    assert untold.places[0].path[-1] != "cut"
    assert untold.settles
    assert not left_in.settles


def test_only_prey_of_unsure_mass_asks_for_the_mass() -> None:
    rat = "{{class: whole prey, unknown_composition: no label, piece: {}}}"
    over, unsure = (
        said(PYTHON, rat.format(piece), amount="1 piece per animal")[0]
        for piece in ("151 g", "100 to 200 g")
    )
    assert unsure.settles
    assert not over.settles


def test_only_whole_prey_is_held_against_the_snake() -> None:
    (check,) = said(PYTHON, "{class: compound feed, unknown_composition: no label, piece: 900 g}")
    assert check.verdict is KEPT


def herd(species: str, entry: str, line: str, *animals: str) -> tuple[Check, ...]:
    files = records.small(
        group=records.group(species=species, animals=animals),
        foods=records.foods(morsel=entry),
        sheet=records.sheet({"roots": [line]}),
    )
    return checks_of(outcome_of(piece_size, files, records.ON), "tapir")


def test_a_young_tortoise_beside_an_old_one_has_its_size() -> None:
    (check,) = herd(
        TORTOISE, CARROT, "{food: morsel, amount: 10 g per animal, cut: dice 3 cm}",
        "{id: A1, stage: adult}", "{id: A2, stage: juvenile}",
    )  # fmt: skip
    assert check.verdict is BREACH
    assert "(juvenile)" in check.message


def test_each_snake_is_held_against_its_own_prey() -> None:
    rat = "{class: whole prey, unknown_composition: no label, piece: 200 g}"
    small = "{id: A1, weighings: [{on: 2026-11-20, mass: 1 kg}]}"
    large = "{id: A2, weighings: [{on: 2026-11-20, mass: 9 kg}]}"
    line = "{food: morsel, amount: 1 piece per animal"
    mid = "{id: A3, weighings: [{on: 2026-11-20, mass: 1 to 3 kg}]}"
    three = herd(PYTHON, rat, line + "}", large, mid, small)
    assert {(c.verdict, c.animals) for c in three} == {(BREACH, ("A1",)), (CANNOT_TELL, ("A3",))}
    for animals in ((small, large), (large, small)):
        (check,) = herd(PYTHON, rat, line + "}", *animals)
        assert (check.verdict, check.animals) == (BREACH, ("A1",))
    (kept,) = herd(PYTHON, rat, line + ", for: [A2]}", small, large)
    assert kept.verdict is KEPT


def test_how_it_is_cut_is_quoted_or_said_not_to_be_written() -> None:
    (halves,) = said(MARMOSET, CARROT, "halves")
    assert '"halves"' in halves.message
    (bare,) = said(MARMOSET, CARROT)
    assert "nobody writes" in bare.message
    (plum,) = said("Tapirus terrestris", PLUM, "whole")
    assert 'cut "whole"' in plum.message
    (unknown,) = said("Tapirus terrestris", PLUM)
    assert "no cut written" in unknown.message
