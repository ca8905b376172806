"""Vitamins for the fish. Foods and animals are invented; doses name their source."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import fish_thiamin_and_e
from tests import records

FOODS = {
    "capelin": "{class: fish, label: {basis: as fed, moisture: 75 %, thiamin: 0.1 mg/kg}}",
    "silent_fish": "{class: fish, label: {basis: as fed, moisture: 75 %}}",
    "carrot": "{same_as: carrot}",
    "feed": "{class: compound feed, label: {basis: as fed, moisture: 10 %, thiamin: 8 mg/kg,"
    " vitamin_e: 40 mg/kg}}",
    "silent_feed": "{class: compound feed, label: {basis: as fed, moisture: 10 %}}",
    # 12 mg thiamin and 37 IU vitamin E in a piece of 1 g
    "tablet": "{class: supplement, piece: 1 g, label: {basis: as fed, moisture: 0 %,"
    " thiamin: 12000 mg/kg, vitamin_e_iu: 37000 IU/kg}}",
    # J302: 6.25 mg thiamin and 90 IU vitamin E
    "weak_tablet": "{class: supplement, piece: 1 g, label: {basis: as fed, moisture: 0 %,"
    " thiamin: 6250 mg/kg, vitamin_e_iu: 90000 IU/kg}}",
    "milligrams": "{class: supplement, piece: 1 g, label: {basis: as fed, moisture: 0 %,"
    " thiamin: 12000 mg/kg, vitamin_e: 37000 mg/kg}}",
    "silent_tablet": "{class: supplement, piece: 1 g, label: {basis: as fed, moisture: 0 %}}",
    "salt": "{class: mineral, piece: 1 g, label: {basis: as fed, moisture: 0 %}}",
    "fish_mix": "{mix: {capelin: 50 %, carrot: 50 %}}",
    "nameless": "{label: {basis: as fed, moisture: 75 %}}",
}
OTTER = "Aonyx cinereus"
# J301, AZAotter2009 pp.35-36: 112 + 120 + 135 g fish, twice 155 g of feline diet, half a carrot.
J301 = ("{food: capelin, amount: 367 g per animal}", "{food: feed, amount: 310 g per animal}")


def said(
    lines: Sequence[str],
    *,
    species: str = OTTER,
    second: Sequence[str] | None = None,
    more: str = "",
) -> tuple[Check, ...]:
    """What the rule says of two animals that get some lines in the morning, day after day."""
    meals = {"first": lines} | ({} if second is None else {"second": second})
    other = "first" if second is None else "second"
    files = {
        "group": records.group(
            species=species,
            animals=[
                f"{{id: {name}, weighings: [{{on: 2026-11-20, mass: 4 kg}}]{more}}}"
                for name in ("A1", "A2")
            ],
        ),
        "foods": records.foods(**FOODS),
        "sheet": records.sheet(meals),
        "rota": records.rota(
            ["{morning: first, afternoon: no feed}", f"{{morning: {other}, afternoon: no feed}}"]
        ),
    }
    outcome = outcome_of(fish_thiamin_and_e, records.small(**files), records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def line(food: str, amount: str) -> str:
    """One line of a meal."""
    return f"{{food: {food}, amount: {amount} per animal}}"


def verdicts(checks: Sequence[Check]) -> dict[str, tuple[Verdict, Severity]]:
    """Each check's verdict and level by what it is about."""
    return {check.about: (check.verdict, check.severity) for check in checks}


def test_the_printed_otter_ration_with_its_doses_is_kept() -> None:
    """J301 with 12 mg and 37 IU: 32.7 mg and 100.8 IU per kg of its 367 g of fish."""
    thiamin, vitamin_e = said([*J301, line("tablet", "1 piece")])
    assert (thiamin.verdict, vitamin_e.verdict) == (Verdict.KEPT, Verdict.KEPT)
    assert thiamin.measured is not None
    assert vitamin_e.measured is not None
    assert round(thiamin.measured.value.low, 1) == Decimal("32.7")
    assert round(vitamin_e.measured.value.low, 1) == Decimal("100.8")


@pytest.mark.parametrize(("fish", "verdict"), [("480", "kept"), ("480.01", "breach")])
def test_exactly_at_the_floor_is_enough(fish: str, verdict: str) -> None:
    """25 mg (G012, AZAotter2009 p.36) for each kg: 12 mg are enough for 480 g and no more."""
    checks = said([line("capelin", f"{fish} g"), line("tablet", "1 piece")])
    assert verdicts(checks)["thiamin for each kg of fish"][0].value == verdict


def test_fish_without_a_supplement_is_one_breach_for_both_vitamins() -> None:
    for lines in (J301, [*J301[:1], line("silent-feed", "310 g")], [line("fish-mix", "700 g")]):
        (check,) = said(lines)
        assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)
        assert "thiamin or vitamin E" in check.message
        assert check.animals == ("A1", "A2")
        assert check.places


def test_a_mineral_without_figures_is_no_supplement_for_fish() -> None:
    (check,) = said([J301[0], line("salt", "1 piece")])
    assert check.verdict is Verdict.BREACH


def test_thiamin_missing_for_seals_is_high() -> None:
    """Deaths in harp seals on smelt: GERACI-72, abstract."""
    (check,) = said([J301[0]], species="Phoca vitulina")
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.HIGH)


def test_seals_with_too_little_are_judged_by_the_advice_for_marine_mammals() -> None:
    """G012 (guideline, reprint) beside G013a (one trial): the graver row of one floor applies."""
    checks = said([line("capelin", "4 kg"), line("tablet", "1 piece")], species="Phoca vitulina")
    thiamin = next(check for check in checks if check.about.startswith("thiamin"))
    assert (thiamin.verdict, thiamin.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert [limit.id for limit in thiamin.others] == ["g013a-thiamin-phocidae"]


def test_the_day_counts_not_the_rota() -> None:
    """Twice the dose on the other day is no supplement for this one."""
    (thiamin, e, missing) = said(
        [line("capelin", "300 g"), line("tablet", "2 pieces")], second=[line("capelin", "300 g")]
    )
    assert (thiamin.verdict, e.verdict) == (Verdict.KEPT, Verdict.KEPT)
    assert missing.verdict is Verdict.BREACH
    assert {when.number for when in missing.occasions} == {2}


def test_a_day_without_fish_needs_no_tablet() -> None:
    checks = said(
        [line("capelin", "300 g"), line("tablet", "1 piece")], second=[line("carrot", "300 g")]
    )
    assert all(check.verdict is Verdict.KEPT for check in checks)


def test_a_label_without_figures_cannot_be_told() -> None:
    checks = said([J301[0], line("silent-tablet", "1 piece")])
    assert {check.verdict for check in checks} == {Verdict.CANNOT_TELL}
    assert {check.severity for check in checks} == {Severity.MEDIUM}
    assert all("silent-tablet" in check.settles for check in checks)


def test_a_small_dose_beside_an_unknown_feed_is_no_firm_breach() -> None:
    """J302: 908 g fish, 6.25 mg thiamin, other feeds unknown; 6.9 mg per kg: cannot tell."""
    lines = [line("capelin", "908 g"), line("weak-tablet", "1 piece")]
    thiamin = said([*lines, line("silent-feed", "212 g")])[0]
    assert (thiamin.verdict, thiamin.severity) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert "silent-feed" in thiamin.settles
    assert thiamin.measured is not None
    assert round(thiamin.measured.value.low, 1) == Decimal("6.9")
    thiamin = said([*lines, line("feed", "212 g")])[0]
    assert thiamin.verdict is Verdict.BREACH


def test_a_feed_that_holds_enough_is_asked_about_not_passed() -> None:
    """Nothing is added, 367 g fish, 1200 g of a feed with 8 mg per kg: 26 mg per kg of fish."""
    checks = verdicts(said([J301[0], line("feed", "1200 g")]))
    assert checks["thiamin for each kg of fish"][0] is Verdict.CANNOT_TELL


def test_vitamin_e_in_milligrams_counts_at_least_one_unit_each() -> None:
    e = next(c for c in said([J301[0], line("milligrams", "1 piece")]) if "vitamin E" in c.about)
    assert e.verdict is Verdict.KEPT
    assert e.weak
    e = next(
        c
        for c in said([line("capelin", "400 g"), line("milligrams", "1 piece")])
        if "vitamin E" in c.about
    )
    assert e.verdict is Verdict.CANNOT_TELL


def test_a_little_fish_is_worth_a_low_finding() -> None:
    """Up to 25 % of the food as fed: common practice, carried over from G020."""
    (check,) = said([line("capelin", "100 g"), line("carrot", "300 g")])
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.LOW)
    (check,) = said([line("capelin", "100.1 g"), line("carrot", "300 g")])
    assert check.severity is Severity.MEDIUM


def test_giant_otters_have_a_dose_too() -> None:
    """G018a and G018b: 400 IU and 100 mg an animal a day, AZAotter2009 p.36."""
    checks = said(
        [line("capelin", "2 kg"), line("tablet", "6 pieces")], species="Pteronura brasiliensis"
    )
    assert verdicts(checks)["thiamin an animal a day"] == (Verdict.BREACH, Severity.MEDIUM)
    assert verdicts(checks)["vitamin E an animal a day"][0] is Verdict.BREACH
    checks = said(
        [line("capelin", "2 kg"), line("tablet", "11 pieces")], species="Pteronura brasiliensis"
    )
    assert {check.verdict for check in checks} == {Verdict.KEPT}


def test_reptiles_on_fish_have_a_floor_for_the_whole_diet() -> None:
    """G020: 10 mg per kg dry matter above 25 % fish, MSDrept, footnote."""
    about = "thiamin of the diet with much fish"
    crocodile = "Crocodylus niloticus"
    low = said([line("capelin", "4 kg"), line("tablet", "0.5 pieces")], species=crocodile)
    assert verdicts(low)[about] == (Verdict.BREACH, Severity.MEDIUM)
    enough = said([line("capelin", "400 g"), line("tablet", "1 piece")], species=crocodile)
    assert verdicts(enough)[about][0] is Verdict.KEPT
    silent = said([line("silent-fish", "4 kg"), line("tablet", "0.5 pieces")], species=crocodile)
    assert verdicts(silent)[about][0] is Verdict.CANNOT_TELL


def test_without_fish_there_is_nothing_to_judge() -> None:
    (check,) = said([line("carrot", "300 g")])
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_a_food_of_no_class_may_be_fish() -> None:
    (check,) = said([line("nameless", "300 g")])
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.LOW)


def test_no_animal_no_fault() -> None:
    (check,) = said([J301[0]], more=", here_until: 2026-01-01")
    assert check.verdict is Verdict.NOT_APPLICABLE


@settings(max_examples=25, deadline=None)
@given(grams=st.integers(1, 3000), more=st.integers(1, 3000))
def test_more_fish_on_one_tablet_never_becomes_better(grams: int, more: int) -> None:
    order = [Verdict.KEPT, Verdict.CANNOT_TELL, Verdict.BREACH]
    ranks = [
        order.index(said([line("capelin", f"{fish} g"), line("tablet", "1 piece")])[0].verdict)
        for fish in (grams, grams + more)
    ]
    assert ranks[0] <= ranks[1]
