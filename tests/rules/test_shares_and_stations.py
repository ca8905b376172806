"""Places at the food and pieces for each, in small diets. Every figure is invented."""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.quantities import exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import shares_and_stations
from tests import records
from tests.rules.worked import figures

STATIONS = "stations for the animals"


def said(
    lines: tuple[str, ...] = ("{food: carrot, amount: 80 g per animal}",),
    heads: int = 4,
    group: str = "fed: together\nstations: 4",
    first: str = "",
    limit: str = "",
    mass: str = "200 kg",
) -> dict[str, Check]:
    """The checks on a group of tapirs, by what they are about; `first` adds to one animal."""
    animals = [
        f"{{id: T{number}, weighings: [{{on: 2026-11-20, mass: 200 kg}}]}}"
        for number in range(1, heads)
    ]
    animals.insert(0, f"{{id: T0, {first} weighings: [{{on: 2026-11-20, mass: {mass}}}]}}")
    files = records.small(
        group=records.group(animals=tuple(animals)).replace("fed: together", group),
        foods=records.foods(
            carrot="{same_as: carrot}",
            melon="{same_as: melon-cantaloupe, class: fruit}",
            lettuce="{same_as: lettuce, piece: 300 to 400 g}",
        ),
        sheet=records.sheet({"roots": list(lines)}),
        **({"house": limit} if limit else {}),
    )
    outcome = outcome_of(shares_and_stations, files, records.ON)
    assert not outcome.failures
    return {check.about: check for check in checks_of(outcome)}


@pytest.mark.parametrize(
    ("stations", "verdict"),
    [(5, Verdict.KEPT), (4, Verdict.KEPT), (3, Verdict.BREACH), (1, Verdict.BREACH)],
)
def test_a_station_for_each_is_kept_and_one_fewer_is_not(stations: int, verdict: Verdict) -> None:
    check = said(group=f"fed: together\nstations: {stations}")[STATIONS]
    assert (check.verdict, check.severity) == (verdict, Severity.LOW)
    assert check.measured is not None
    assert check.limit is not None


def test_nobody_counted_the_stations() -> None:
    check = said(group="fed: together")[STATIONS]
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.LOW)
    assert "number of stations" in check.settles


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"group": "fed: singly"}, "on its own"),
        ({"group": "fed: scattered"}, "scattered"),
        ({"heads": 1}, "no two animals"),
    ],
)
def test_who_does_not_stand_at_a_trough_with_others_is_not_judged(
    changes: dict[str, str], why: str
) -> None:
    checks = said(**changes)  # type: ignore[arg-type]
    assert {check.verdict for check in checks.values()} == {Verdict.NOT_APPLICABLE}
    assert any(why in check.message for check in checks.values())


def test_the_house_may_want_one_more() -> None:
    limit = (
        "record: limits\nlimits:\n  - {taxon: Tapirus, quantity: stations-per-animal, "
        'at_least: "1.25", over: meal, why: a bully, set_by: Dr Vale, on: 2026-01-01}\n'
    )
    assert said(limit=limit)[STATIONS].verdict is Verdict.BREACH
    more = said(limit=limit, group="fed: together\nstations: 5")
    assert more[STATIONS].verdict is Verdict.KEPT


# Half of the mean beside three of 200 kg: m = (m + 600) / 8, so m = 85.714… kg.
@pytest.mark.parametrize(
    ("first", "mass", "named"),
    [
        ("rank: subordinate,", "200 kg", True),
        ("stage: geriatric,", "200 kg", True),
        ("", "85 kg", True),
        ("", "86 kg", False),
        ("", "80 to 90 kg", False),
        ("rank: dominant,", "200 kg", False),
    ],
)
def test_who_comes_last_at_too_few_stations_is_named(first: str, mass: str, named: bool) -> None:
    few = said(first=first, mass=mass, group="fed: together\nstations: 3")[STATIONS]
    assert (few.animals == ("T0",)) is named
    assert ("T0:" in few.message) is named
    enough = said(first=first, mass=mass)[STATIONS]
    assert enough.verdict is Verdict.KEPT
    assert "T0" not in enough.message


def test_three_shares_of_what_animals_push_for_are_shown() -> None:
    melon = ("{food: melon, amount: 400 g per group}", "{food: carrot, amount: 80 g per animal}")
    few = said(melon, group="fed: together\nstations: 2")[STATIONS]
    shown = [line for line in few.working if "shares" in line]
    assert len(shown) == 1
    assert "melon: 100 g each" in shown[0]
    assert "300 g if one animal takes 3 shares" in shown[0]
    two = said(melon, heads=2, group="fed: together\nstations: 1")[STATIONS]
    assert any("400 g if one animal takes 2 shares" in line for line in two.working)


@pytest.mark.parametrize(
    ("line", "even"),
    [
        ("{food: melon, amount: 4 pieces per group, cut: halves}", True),
        ("{food: melon, amount: 8 pieces per group}", True),
        ("{food: melon, amount: 3 pieces per group, cut: halves}", False),
        ("{food: melon, amount: 6 pieces per group}", False),
        ("{food: melon, amount: 3 to 5 pieces per group}", True),
        ("{food: melon, amount: 5 to 7 pieces per group}", False),
        ("{food: melon, amount: 0 to 3 pieces per group}", False),
        ("{food: melon, amount: 3 pieces per group, for: [T1, T2, T3]}", True),
        ("{food: melon, amount: 3 pieces per group, for: [T1, T2]}", False),
        ("{food: lettuce, amount: 1.2 kg per group, cut: whole heads}", True),  # four of 300 g
        ("{food: lettuce, amount: 1.1 kg per group, cut: whole heads}", False),
    ],
)
@pytest.mark.parametrize("fed", ["fed: together\nstations: 4", "fed: scattered"])
def test_pieces_come_out_even_or_not(line: str, even: bool, fed: str) -> None:
    checks = [c for about, c in said((line,), group=fed).items() if about.startswith("pieces")]
    assert [c.verdict for c in checks] == [Verdict.KEPT if even else Verdict.BREACH]
    assert all(c.severity is Severity.LOW for c in checks)
    assert even or "common practice" in checks[0].message


@pytest.mark.parametrize(
    "line",
    [
        "{food: melon, amount: 3 pieces per group, cut: slices 2 cm}",
        "{food: melon, amount: 3 pieces per animal}",
        "{food: lettuce, amount: 700 g per group, cut: whole leaves}",
        "{food: lettuce, amount: 700 g per group}",
    ],
)
def test_what_is_shared_out_in_the_bowl_is_not_counted(line: str) -> None:
    assert said((line,))["pieces"].verdict is Verdict.NOT_APPLICABLE


def test_the_heads_are_those_of_the_day() -> None:
    """Four on the judged day; a fifth arrives, and four pieces no longer do."""
    line = ("{food: melon, amount: 4 pieces per group}",)
    assert said(line, heads=5, first="here_from: 2030-06-01,")[
        "pieces for the animals"
    ].verdict == (Verdict.KEPT)
    late = said(line, heads=5, first="here_from: 2026-11-26,")
    assert late["pieces for the animals, roots"].verdict is Verdict.BREACH


def test_of_two_animals_the_light_one_comes_last() -> None:
    """60 kg beside 200 kg: the mean is 130 kg, half of it 65 kg."""
    few = said(heads=2, mass="60 kg", group="fed: together\nstations: 1")[STATIONS]
    assert few.animals == ("T0",)
    assert "1 station for 2 animals" in few.message
    assert "130 kg" in few.message


def test_too_few_stations_for_equals_name_nobody_but_concern_all() -> None:
    few = said(group="fed: together\nstations: 3")[STATIONS]
    assert few.animals == ("T0", "T1", "T2", "T3")
    assert few.message.endswith(").")
    assert "3 stations for 4 animals" in few.message
    assert few.measured is not None
    assert few.measured.value == exact("0.75")  # 3 stations ÷ 4 animals


def test_who_eats_first_stands_in_the_working() -> None:
    few = said(first="rank: dominant,", group="fed: together\nstations: 3")[STATIONS]
    (who,) = [line for line in few.working if "dominant" in line]
    assert who.startswith("T0:")


def test_each_counted_line_is_judged_whatever_stands_before_it() -> None:
    lines = (
        "{food: carrot, amount: 80 g per animal}",
        "{food: melon, amount: 1 piece per group}",
    )
    checks = [c for c in said(lines).values() if c.verdict is Verdict.BREACH]
    assert checks
    melon = next(c for c in checks if c.food == "melon")
    assert melon.animals == ("T0", "T1", "T2", "T3")
    assert "4 animals share 1 piece of" in melon.message
    assert "some get none" in melon.message


def test_a_counted_line_for_some_concerns_them_alone() -> None:
    """3 pieces for 2 animals: 1 for each, and 1 is left over."""
    line = ("{food: lettuce, amount: 3 pieces per group, for: [T1, T2]}",)
    (uneven,) = [c for c in said(line).values() if c.about.startswith("pieces")]
    assert uneven.animals == ("T1", "T2")
    assert "2 animals share 3 pieces" in uneven.message
    assert "1 for each" in uneven.message


def test_an_odd_house_limit_is_asked_about() -> None:
    limit = (
        "record: limits\nlimits:\n  - {taxon: Tapirus, quantity: stations-per-animal, "
        "at_least: 5 mm, over: meal, why: x, set_by: Dr Vale, on: 2026-01-01}\n"
    )
    asked = [c for c in said(limit=limit).values() if c.limit and c.limit.set_by]
    assert [c.verdict for c in asked] == [Verdict.CANNOT_TELL]


def test_what_is_uneven_for_two_companies_is_told_once() -> None:
    """7 pieces for four animals, and for five from tomorrow on."""
    animals = [f"{{id: T{n}}}" for n in range(4)] + ["{id: T4, here_from: 2026-11-26}"]
    files = records.small(
        group=records.group(animals=animals),
        foods=records.foods(melon="{same_as: melon-cantaloupe, class: fruit}"),
        sheet=records.sheet({"roots": ["{food: melon, amount: 7 pieces per group, cut: halves}"]}),
    )
    checks = checks_of(outcome_of(shares_and_stations, files, records.ON))
    (told,) = [c for c in checks if c.about.startswith("pieces") and c.verdict is Verdict.BREACH]
    assert "(halves)" in told.message
    assert [place.path[-1] for place in told.places] == ["amount", "cut"]
    assert list(told.occasions) == sorted(told.occasions)
    assert len(told.occasions) > 1


@pytest.mark.parametrize(
    ("line", "number"),
    [
        ("{food: lettuce, amount: 1.1 kg per group, cut: whole heads}", "about 3.7"),
        ("{food: melon, amount: 3 pieces per group}", "3 pieces"),
        ("{food: pea, amount: 1 g per group, cut: whole}", "about 2"),  # of 0.5 g
        ("{food: carrot, amount: 100 g per group, cut: whole}", None),  # nobody weighed a piece
    ],
)
def test_how_many_things_lie_there(line: str, number: str | None) -> None:
    files = records.small(
        group=records.group(animals=[f"{{id: T{n}}}" for n in range(4)]),
        foods=records.foods(
            lettuce="{same_as: lettuce, piece: 300 to 400 g}",
            pea="{same_as: carrot, piece: 0.5 g}",
            melon="{same_as: melon-cantaloupe}", carrot="{label: {basis: as fed, moisture: 80 %}}",
        ),
        sheet=records.sheet({"roots": [line]}),
    )  # fmt: skip
    checks = checks_of(outcome_of(shares_and_stations, files, records.ON))
    (check,) = [c for c in checks if "pieces" in c.about and "stations" not in c.about]
    assert (check.verdict is Verdict.BREACH) is (number is not None)
    if number:
        assert f"share {number} " in check.message
        if "cut" not in line:
            assert len(check.places) == 1


def test_enough_stations_ask_for_nothing_and_too_few_show_who_takes_what() -> None:
    kept = said()[STATIONS]
    assert (kept.advice, kept.places, kept.working) == ("", (), ())
    melons = (f"{{food: melon, amount: {grams} g per group}}" for grams in (400, 800, 200))
    lines = ("{food: carrot, amount: 80 g per animal}", *melons)
    few = said(lines, heads=4, mass="60 kg", group="fed: together\nstations: 2")[STATIONS]
    assert few.advice
    assert figures(few.working[0]) == ["2", "4"]
    assert "T0: 60 kg, the mean is 165 kg" in few.working
    shown = [line for line in few.working if "shares" in line]
    assert [figures(line)[:2] for line in shown] == [["200", "600"]]  # of the largest giving
    assert [place.path[-1] for place in few.places] == ["stations", 0]
    unknown = said(group="fed: together")[STATIONS]
    assert not any("÷" in line for line in unknown.working)


def test_eight_foods_at_most_are_shown() -> None:
    names = [f"f{n}" for n in range(9)]
    files = records.small(
        group=records.group(animals=[f"{{id: T{n}}}" for n in range(4)]).replace(
            "fed: together", "fed: together\nstations: 2"
        ),
        foods=records.foods(**dict.fromkeys(names, "{same_as: melon-cantaloupe, class: fruit}")),
        sheet=records.sheet({"roots": [f"{{food: {n}, amount: 40 g per group}}" for n in names]}),
    )
    checks = checks_of(outcome_of(shares_and_stations, files, records.ON))
    (few,) = [c for c in checks if c.about == STATIONS]
    assert sum("shares" in line for line in few.working) == 8
