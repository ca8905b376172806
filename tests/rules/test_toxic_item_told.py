"""What a finding about a toxic item tells: who, which food, how much against which dose, what was
read where. Amounts and animals are invented; doses and sources stand in the rule's tables."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from dietcheck.contract import Check, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import toxic_item
from tests import records
from tests.rules.worked import figures, steps

DOG, HORSE, RED_PANDA = "Canis lupus familiaris", "Equus caballus", "Ailurus fulgens"
NUT = "{same_as: macadamia}"  # 0.7 g/kg in dogs: VMEDS-MAC, original


def said(
    species: str, entry: str, amount: str = "1 g per animal", masses: Sequence[str] = ("10 kg",),
    more: str = "", **changes: str,
) -> list[Check]:  # fmt: skip
    """The findings on one food, given twice a day; an animal without a mass was never weighed."""
    herd = [
        f"{{id: A{n}, weighings: [{{on: 2026-11-20, mass: {mass}}}]}}" if mass else f"{{id: A{n}}}"
        for n, mass in enumerate(masses, 1)
    ]
    files = records.small(
        **{
            "group": records.group(species=species, animals=herd),
            "foods": records.foods(thing=entry, carrot="{same_as: carrot}",
                                   mash="{mix: {thing: 50 %, carrot: 50 %}}"),
            "sheet": records.sheet({"roots": [f"{{food: thing, amount: {amount}{more}}}"]}),
            **changes,
        }
    )  # fmt: skip
    outcome = outcome_of(toxic_item, files, records.ON)
    assert not outcome.failures
    found = (Verdict.BREACH, Verdict.CANNOT_TELL)
    return [check for check in checks_of(outcome, "tapir") if check.verdict in found]


def one(species: str, entry: str, *more: object, **changes: object) -> Check:
    (check,) = said(species, entry, *more, **changes)  # type: ignore[arg-type]
    return check


def test_a_dose_is_divided_step_by_step() -> None:
    check = one(DOG, NUT)
    assert steps(check.working) == [["2"], ["10", "0.2"], ["0.7"], ["28.6"]]
    assert check.message.startswith("A1: ")
    assert figures(check.message)[1:] == ["2", "1", "28.6"]  # 2 g for A1, of the dose
    assert [source.key for source in check.sources] == ["MVM-MAC", "VMEDS-MAC"]
    assert check.weak == ()
    assert check.settles == ""
    assert list(check.occasions) == sorted(check.occasions)
    assert "counts as" in check.message
    assert "(dog only; extended" in check.message  # the note of the row
    pair = one(DOG, NUT, "1 g per animal", ("10 kg", "20 kg"))
    assert pair.message.startswith("dog: ")
    assert "(seed, raw, shelled)" in check.message


def test_the_lightest_of_several_is_named_beside_the_group() -> None:
    check = one(DOG, NUT, "1 g per animal", ("40 kg", "20 kg", "30 kg"))
    assert check.message.startswith("dog: ")
    assert "for A2" in check.message
    assert figures(check.message)[1:5] == ["2", "14.3", "14.2", "42.9"]
    assert figures(check.working[-1])[0] == "6"


def test_an_unweighed_animal_comes_after_a_weighed_one_and_of_two_the_one_with_more() -> None:
    assert "for A2" in one(DOG, NUT, "1 g per animal", ("", "20 kg")).message
    line = "{food: thing, amount: 1 g per animal"
    lines = records.sheet({"roots": [line + "}", line + ", for: [A2]}"]})
    check = one(DOG, NUT, masses=("", ""), sheet=lines)
    assert "for A2" in check.message
    assert any("no current weighing" in step for step in check.working)
    assert not any("%" in step for step in check.working)
    assert "4 g a day" in check.message
    assert "no published dose can be compared" in check.message


def test_a_line_for_one_animal_is_set_against_that_one() -> None:
    check = one(DOG, NUT, "1 g per animal", ("5 kg", "20 kg"), ", for: [A2]")
    assert check.animals == ("A2",)
    assert "for A2" in check.message
    assert "three shares" not in check.message  # there is no more than its own


def test_an_amount_nobody_knows_is_set_against_nothing() -> None:
    check = one(DOG, NUT, "1 ml per animal")
    assert "no dose is compared" in check.message
    assert len(check.working) == 1
    kin = one(RED_PANDA, "{same_as: leek}", "1 ml per animal")
    assert "not known either" in kin.message


def test_where_no_amount_is_safe_and_where_sources_differ_it_is_told() -> None:
    grape = one(DOG, "{same_as: grape}")
    assert grape.working[-1].startswith("no safe threshold")
    assert not any("no safe threshold" in step for step in one(DOG, NUT).working)
    yew = one(HORSE, "{name: yew clippings, unknown_composition: x}")
    assert any(step.startswith("sources disagree") for step in yew.working)
    assert "(part and form not written)" in yew.message
    assert "may count as" in yew.message
    assert yew.advice != grape.advice
    assert grape.advice in yew.advice  # the same, once that is settled
    assert yew.settles


def test_what_is_carried_over_from_kin_is_told_with_every_row() -> None:
    check = one(RED_PANDA, "{same_as: leek}", "10 g per animal")
    assert [step.partition(" for ")[2].partition(" ")[0] for step in check.working[:3]] == [
        "Felidae", "Canidae", "Procyonidae",
    ]  # fmt: skip
    assert "(coati case)" in check.working[2]
    assert "nothing is divided" in check.working[-1]
    assert not any("less affected" in step for step in check.working)  # goats are of no kin
    assert "(Red panda)" in check.message
    assert " counts as " in check.message
    assert "up to 20 g a day for A1" in check.message
    assert len(check.weak) == 2  # read in a reprint, and carried over
    named = one(RED_PANDA, "{name: onion powder, unknown_composition: x}")
    assert " may count as " in named.message
    grape = one("Suricata suricatta", "{same_as: grape}")
    assert any(step.startswith("less affected: Felidae") or "less affected" in step
               for step in grape.working)  # fmt: skip


def test_an_ingredient_points_at_its_line_and_at_its_own_record() -> None:
    sheet = records.sheet({"roots": ["{food: mash, amount: 2 g per animal}"]})
    check = one(DOG, NUT, sheet=sheet)
    assert [place.file for place in check.places] == ["sheet.yaml", "foods.yaml"]
    assert '"thing" in mash' in check.message
    assert [place.file for place in one(DOG, NUT).places] == ["sheet.yaml"]


def test_a_tolerance_from_memory_is_weak_and_lowers_nothing() -> None:
    toucan = one("Ramphastos toco", "{same_as: avocado}")
    assert any("from memory" in why for why in toucan.weak)
    assert "less as far as known" in toucan.message


@pytest.mark.parametrize(
    ("word", "species", "severity", "told"),
    [
        ("sycamore", HORSE, "medium",
         "may be sycamore maple (Acer pseudoplatanus) or plane (Platanus). Sycamore maple"),
        ("laurel", "Capra hircus", "medium", "or mountain laurel (Kalmia) or bay laurel"),
        ("chestnut", HORSE, "low", "harms horses, asses, zebras"),
        ("currant", RED_PANDA, "low", "of the same order (Carnivora)"),
        ("lime", HORSE, "", ""),  # neither meaning harms a horse
    ],
)  # fmt: skip
def test_a_word_with_several_meanings_is_told_with_all_of_them(
    word: str, species: str, severity: str, told: str
) -> None:
    sheet = records.sheet({"roots": [f"{{food: {word}, amount: 1 g per animal}}"]})
    checks = said(species, NUT, sheet=sheet)
    assert [check.severity.value for check in checks] == ([severity] if severity else [])
    for check in checks:
        assert told in check.message
        assert check.verdict is Verdict.CANNOT_TELL
        assert ("of the same order" in check.message) is (word == "currant")
        assert check.settles
    if word == "laurel":
        keys = {source.key for source in checks[0].sources}
        assert {"CPPIS-PRU", "UMD-RHO"} <= keys  # of both harmful meanings


@pytest.mark.parametrize("own", [True, False])
def test_a_neighbour_s_food_is_told_as_laid_out_for_others(own: bool) -> None:
    line = "{food: thing, amount: 1 g per animal}"
    other = {
        "group2": records.group(id="goats", species="Capra hircus", animals=("{id: G1}",)),
        "sheet2": records.sheet({"roots": [line]}, group="goats"),
        "rota2": records.rota(["{morning: roots, afternoon: no feed}"] * 2, group="goats"),
        "sheet": records.sheet({"roots": ["{food: carrot, amount: 1 g per animal}"]}),
    }
    check = one(DOG, NUT) if own else one(DOG, NUT, **other)
    assert ("within reach" in check.about) is not own
    assert ("laid out for" in check.message) is not own


def test_where_several_kinds_have_no_safe_amount_a_trace_is_as_grave() -> None:
    leaf = "{name: x, organism: Taxus baccata, part: leaf, unknown_composition: x}"
    for species in (HORSE, DOG):
        full, trace = (one(species, leaf, f"{grams} g per animal") for grams in ("9", "0.0001"))
        assert trace.severity is full.severity


def test_where_nobody_lives_any_more_no_dose_is_made_up() -> None:
    gone = records.group(species=DOG, animals=["{id: A1, here_until: 2026-01-01}"])
    for check in said(DOG, NUT, group=gone):
        assert "no dose is compared" in check.message
        assert check.message.startswith("dog: ")
