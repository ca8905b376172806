"""Sugar against its limits. Foods with invented labels; no ceiling here is published.

The defaults under test are proposals without a source (small primates 6 g per kg body mass a day
and 15 % of dry matter, tapirs 2 g per kg a day): common practice, the vet sets them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Standing, Verdict
from dietcheck.quantities import exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import sugar_ceiling
from tests import records
from tests.rules.worked import steps

# Invented: 10 g sugars and 90 g water per 100 g; the same with the sugars left off the label.
SYRUP = "{label: {basis: as fed, sugars: 10 %, moisture: 0 %}}"
LEAF = "{label: {basis: as fed, sugars: 0 %, moisture: 0 %}}"
SILENT = (
    "{label: {basis: as fed, crude_protein: 10 %, crude_fat: 5 %, ash: 5 %, crude_fibre: 20 %,"
    " moisture: 10 %}}"
)


def said(
    lines: Sequence[str],
    *,
    afternoon: Sequence[str] | None = None,
    species: str = "Tapirus terrestris",
    animals: Sequence[str] = ("{id: T1, weighings: [{on: 2026-11-20, mass: 200 kg}]}",),
    limits: Sequence[str] = (),
    **changes: str,
) -> tuple[Check, ...]:
    """What the rule says of a group that gets some lines each morning, others each afternoon."""
    meals = {"first": lines, "second": lines if afternoon is None else afternoon}
    days = ["{morning: first, afternoon: second}"] * 2
    files = {
        "group": records.group(species=species, animals=animals),
        "foods": records.foods(
            syrup=SYRUP,
            leaf=LEAF,
            silent=SILENT,
            guessed=SILENT[:-1] + ", estimate: {sugars: about 5 %, evidence: maker's letter}}",
        ),
        "sheet": records.sheet({meal: lines for meal, lines in meals.items() if lines}),
        "rota": records.rota(days),
    }
    if limits:
        files["limits"] = "record: limits\nlimits:\n" + "".join(f"  - {row}\n" for row in limits)
    outcome = outcome_of(sugar_ceiling, records.small(**{**files, **changes}), records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def line(food: str, grams: object, more: str = "") -> str:
    """One line of a meal."""
    return f"{{food: {food}, amount: {grams} g per animal{more}}}"


SITE = "set_by: Dr Vale, on: 2026-01-01, why: invented for the test, severity: medium"


def test_the_worst_day_is_held_against_the_default_for_tapirs() -> None:
    """2 × 1500 g of syrup is 300 g sugar, 1.5 g per kg in 200 kg; 2 × 2500 g is 2.5."""
    (kept,) = said([line("syrup", 1500)])
    assert kept.verdict is Verdict.KEPT
    assert kept.measured is not None
    assert kept.measured.value == exact("1.5")
    (check,) = said([line("syrup", 2500)])
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert check.food == "syrup"
    assert check.animals == ("T1",)
    assert {when.number for when in check.occasions} == {1, 2}
    assert "common practice, no source; the vet sets this" in check.message
    assert "limit not yet sourced" in check.message


def test_exactly_at_the_limit_is_kept() -> None:
    (check,) = said([line("syrup", 2000)])
    assert check.measured is not None
    assert check.measured.value == exact(2)
    assert check.verdict is Verdict.KEPT
    (check,) = said([line("syrup", "2000.001")])
    assert check.verdict is Verdict.BREACH


def test_one_bad_day_is_not_hidden_by_the_mean() -> None:
    days = ["{morning: first, afternoon: second}", "{morning: first, afternoon: first}"]
    (check,) = said([line("leaf", 1000)], afternoon=[line("syrup", 5000)], rota=records.rota(days))
    assert check.verdict is Verdict.BREACH
    assert {when.number for when in check.occasions} == {1}


def test_small_primates_are_judged_by_amount_and_by_share() -> None:
    """A slip with a bulky food lowers the share while it raises the amount."""
    marmoset: dict[str, Any] = {
        "species": "Callithrix geoffroyi",
        "animals": ("{id: Pip, weighings: [{on: 2026-11-20, mass: 0.34 kg}]}",),
    }
    by_basis = {
        check.limit.basis: check
        for check in said([line("syrup", 15), line("leaf", 15)], **marmoset)
        if check.limit
    }
    assert by_basis["dry matter"].verdict is Verdict.KEPT
    assert by_basis["body mass"].verdict is Verdict.BREACH
    by_basis = {
        check.limit.basis: check for check in said([line("guessed", 1)], **marmoset) if check.limit
    }
    assert by_basis["body mass"].verdict is Verdict.KEPT
    assert by_basis["dry matter"].verdict is Verdict.CANNOT_TELL


def test_a_label_without_sugars_cannot_be_told_and_names_the_food() -> None:
    (check,) = said([line("silent", 500)])
    assert check.verdict is Verdict.CANNOT_TELL
    assert check.severity is Severity.MEDIUM
    assert "silent" in check.settles
    assert check.weak
    assert check.measured is not None
    assert check.measured.value.low == 0


def test_an_estimate_grades_a_cannot_tell_and_never_passes_it() -> None:
    """About 5 % of 1000 g is 50 g, 0.25 g per kg: inside, so low; it stays a cannot-tell."""
    (check,) = said([line("guessed", 500)])
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.LOW)


@pytest.mark.parametrize("weighings", ["[]", "[{on: 2026-01-02, mass: 200 kg}]"])
def test_without_a_weighing_that_counts_nothing_is_cleared(weighings: str) -> None:
    """Absent, and older than the 90 days of the test park."""
    (check,) = said([line("syrup", 10)], animals=(f"{{id: T1, weighings: {weighings}}}",))
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert "weighing" in check.settles


def test_a_range_of_body_mass_is_used_whole() -> None:
    """4000 g of syrup a day is 400 g sugar: 1.6 g per kg in 250 kg and 2.67 in 150 kg."""
    animal = "{id: T1, weighings: [{on: 2026-11-20, mass: 150 to 250 kg}]}"
    (check,) = said([line("syrup", 2000)], animals=(animal,))
    assert check.verdict is Verdict.CANNOT_TELL
    (check,) = said([line("syrup", 1500)], animals=(animal,))
    assert check.verdict is Verdict.KEPT


def test_the_worst_animal_stands_first_and_only_those_past_are_named() -> None:
    animals = [
        f"{{id: T{mass}, weighings: [{{on: 2026-11-20, mass: {mass} kg}}]}}"
        for mass in (400, 150, 100)
    ]
    checks = said([line("syrup", 2000)], animals=animals)
    breach = next(check for check in checks if check.verdict is Verdict.BREACH)
    kept = next(check for check in checks if check.verdict is Verdict.KEPT)
    assert breach.animals == ("T100", "T150")
    assert kept.animals == ("T400",)


def test_a_peak_meal_can_break_a_limit_that_the_day_keeps() -> None:
    """No figure for a meal is bundled; a site's own is judged. 300 g of 10 % is 30 g a meal."""
    limits = [
        f"{{group: tapir, quantity: sugars, at_most: 0.1 g per kg body mass, over: meal, {SITE}}}"
    ]
    checks = said([line("syrup", 300)], afternoon=[line("leaf", 300)], limits=limits)
    (breach,) = [check for check in checks if check.verdict is Verdict.BREACH]
    assert breach.limit is not None
    assert (breach.limit.over, breach.limit.standing) == ("meal", Standing.SITE_RULE)
    assert {when.slot for when in breach.occasions} == {"morning"}
    checks = said([line("syrup", 150)], afternoon=[line("syrup", 150)], limits=limits)
    assert {check.verdict for check in checks} == {Verdict.KEPT}


@pytest.mark.parametrize(
    ("bound", "over", "verdict"),
    [
        ("10 % of dry matter", "rota", Verdict.KEPT),
        ("9.9 % of dry matter", "day", Verdict.BREACH),
        ("99 g per kg dry matter", "7 days", Verdict.BREACH),
        ("10 g per 100 g as fed", "rota", Verdict.KEPT),
        ("9.9 % as fed", "rota", Verdict.BREACH),
        ("10 % as fed", "day", Verdict.KEPT),
        ("10 %", "day", Verdict.KEPT),
        ("9.9 %", "day", Verdict.BREACH),
        ("200 g per animal", "day", Verdict.KEPT),
        ("199 g per animal", "rota", Verdict.BREACH),
        ("0.1 % of body mass", "rota", Verdict.KEPT),
        ("999 mg per kg body mass", "day", Verdict.BREACH),
        ("3 g per kg^0.75", "day", Verdict.BREACH),
        ("0.2 kg per animal", "day", Verdict.KEPT),
        ("0.1999 kg per animal", "day", Verdict.BREACH),
        ("200000 mg per animal", "day", Verdict.KEPT),
        ("200000000 µg per animal", "day", Verdict.KEPT),
        ("100 g per kg as fed", "day", Verdict.KEPT),
        ("0.1 g per g dry matter", "day", Verdict.KEPT),
        ("5 % of energy", "day", Verdict.CANNOT_TELL),
        ("1 g per kcal", "day", Verdict.CANNOT_TELL),
    ],
)
def test_a_site_limit_in_any_unit_is_judged_or_said_not_to_be(
    bound: str, over: str, verdict: Verdict
) -> None:
    """2 × 1000 g of syrup: 200 g sugar a day, 10 % of dry matter, 1 g per kg in 200 kg."""
    limit = f"{{taxon: Tapirus, quantity: sugars, at_most: {bound}, over: {over}, {SITE}}}"
    checks = said([line("syrup", 1000)], limits=[limit])
    (own,) = [c for c in checks if c.limit and c.limit.standing is Standing.SITE_RULE]
    assert own.verdict is verdict
    if verdict is Verdict.CANNOT_TELL:
        assert [place.file for place in own.places] == ["limits.yaml"]


def test_a_site_limit_replaces_the_unsourced_default() -> None:
    limit = f"{{group: tapir, quantity: sugars, at_most: 9 g per kg body mass, over: day, {SITE}}}"
    (check,) = said([line("syrup", 5000)], limits=[limit])
    assert check.verdict is Verdict.KEPT
    assert check.limit is not None
    assert check.limit.set_by == "Dr Vale"


@pytest.mark.parametrize(
    ("species", "standing"),
    [
        ("Lemur catta", "limit not yet sourced"),  # A006
        ("Colobus guereza", "limit not yet sourced"),  # A019
        ("Rousettus aegyptiacus", "no published limit"),  # A030
        ("Hylobates lar", "no published limit"),  # B042
        ("Ailurus fulgens", "limit not yet sourced"),  # no row at all
        ("Testudo hermanni", "limit not yet sourced"),
    ],
)
def test_the_absences_are_kept_apart(species: str, standing: str) -> None:
    (check,) = said([line("syrup", 5000)], species=species)
    assert check.verdict is Verdict.NOT_APPLICABLE
    assert standing in check.message
    assert "no limit exists" not in check.message


def test_a_small_primate_that_is_not_listed_gets_no_invented_figure() -> None:
    """No banded ceiling for primates at large is known (A028): none may be made up."""
    (check,) = said([line("syrup", 5000)], species="Pan troglodytes")
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_a_food_on_no_list_is_never_cleared() -> None:
    (check,) = said([line("hedge", 3000)])
    assert check.verdict is Verdict.CANNOT_TELL


def test_without_a_single_culprit_no_food_is_named() -> None:
    checks = said(
        [line("syrup", 2500), line("treacle", 2500)],
        foods=records.foods(syrup=SYRUP, treacle=SYRUP),
    )
    (check,) = checks
    assert check.verdict is Verdict.BREACH
    assert check.food is None


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 6000), st.integers(1, 3000))
def test_more_sugar_never_turns_a_breach_into_a_pass(grams: int, more: int) -> None:
    order = [Verdict.NOT_APPLICABLE, Verdict.KEPT, Verdict.CANNOT_TELL, Verdict.BREACH]
    (first,) = said([line("syrup", grams + 1)])
    (second,) = said([line("syrup", grams + 1 + more)])
    assert order.index(second.verdict) >= order.index(first.verdict)


def test_the_working_lists_five_foods_and_counts_the_rest() -> None:
    six = [f"food{number}" for number in range(6)]
    foods = records.foods(**dict.fromkeys(six, SYRUP))
    for names, told in ((six, 1), (six[:5], 0)):
        (check,) = said([line(name, 900) for name in names], foods=foods)
        assert sum("more foods" in step for step in check.working) == told
        assert sum(" × " in step for step in check.working) == 5


def test_the_sweetest_of_two_meals_stands_in_the_working() -> None:
    """3000 g of 10 % is 300 g sugar in the morning, 100 g in the afternoon."""
    (check,) = said([line("syrup", 3000)], afternoon=[line("syrup", 1000)])
    (peak,) = [step for step in check.working if "one meal" in step]
    assert "morning" in peak
    assert "300 g" in peak
    (check,) = said([line("syrup", 3000)], rota=records.rota(["{morning: first}"] * 2))
    assert not any("one meal" in step for step in check.working)


def test_how_many_more_are_past_is_said() -> None:
    animals = [
        f"{{id: T{mass}, weighings: [{{on: 2026-11-20, mass: {mass} kg}}]}}" for mass in (150, 100)
    ]
    (check,) = said([line("syrup", 2000)], animals=animals)
    assert "T100 (and 1 more)" in check.message
    (alone,) = said([line("syrup", 2000)], animals=animals[:1])
    assert "more" not in alone.message.partition(";")[0]


def test_only_without_a_weighing_is_the_weighing_blamed() -> None:
    (check,) = said([line("syrup", 10)], animals=("{id: T1}",))
    assert "no current weighing" in check.message
    (check,) = said([line("silent", 500)])
    assert "no current weighing" not in check.message


def test_the_widest_input_is_the_one_asked_for() -> None:
    """Syrup as 0 to 9000 g holds 0 to 900 g sugar; 20 g of a silent food at most 20 g."""
    (check,) = said([line("syrup", "0 to 9000"), line("silent", 20)])
    assert check.verdict is Verdict.CANNOT_TELL
    assert "(syrup)" in check.settles
    assert "offered" in check.settles
    (check,) = said([line("syrup", 1900), line("silent", 2000)])
    assert "(silent)" in check.settles


def test_a_line_for_another_animal_is_not_shown() -> None:
    animals = [
        f"{{id: {name}, weighings: [{{on: 2026-11-20, mass: 200 kg}}]}}" for name in ("T1", "T2")
    ]
    lines = [line("syrup", 2500, ", for: [T1]"), line("syrup", 10, ", for: [T2]")]
    checks = said(lines, animals=animals)
    (breach,) = [check for check in checks if check.verdict is Verdict.BREACH]
    assert breach.animals == ("T1",)
    own = [place for place in breach.places if "lines" in place.path or "meals" in place.path]
    assert own
    assert all(0 in place.path and 1 not in place.path for place in own)


def own_limit(bound: str, over: str) -> str:
    return f"{{group: tapir, quantity: sugars, at_most: {bound}, over: {over}, {SITE}}}"


@pytest.mark.parametrize(
    ("bound", "over", "told"),
    [
        # in the morning and the afternoon 2500 g of syrup with 250 g of sugar, 100 g of leaf
        ("5 % of dry matter", "7 days", ["3500", "7"]),
        ("5 g per animal", "meal", ["250"]),
        ("5 % as fed", "day", ["500"]),
        ("0.5 g per kg body mass", "rota", ["1000", "2"]),
    ],
)
def test_the_working_tells_the_sum_what_it_is_divided_by_and_how_far_past(
    bound: str, over: str, told: list[str]
) -> None:
    figure, divided, past = {
        "7 days": (["9.62"], [["36400", "9.62"]], "4.62"),
        "meal": (["250"], [["250"]], "245"),
        "day": (["9.62"], [["5200", "9.62"], ["250"]], "4.62"),  # and the sweetest meal
        "rota": (["2.5"], [["2", "200", "2.5"]], "2"),
    }[over]
    checks = said([line("syrup", 2500), line("leaf", 100)], limits=[own_limit(bound, over)])
    (check,) = [one for one in checks if one.limit and one.limit.set_by]
    found = steps(check.working)[2:]
    assert found[0] == told
    assert found[1 : 1 + len(divided)] == divided
    assert found[1 + len(divided)][0] == bound.split()[0]
    assert found[-1] == [past]
    assert figure[0] in check.message
    assert not check.weak


def test_a_week_is_seven_days() -> None:
    """Syrup on every other day: at most 4 of 7 days, 400 g of sugar in 7 days."""
    days = ["{morning: first, afternoon: no feed}", "{morning: second, afternoon: no feed}"]
    limits = [own_limit("1 g per animal", "7 days")]
    fed = said([line("syrup", 1000)], afternoon=[line("leaf", 9)], limits=limits,
               rota=records.rota(days))  # fmt: skip
    (check,) = [one for one in fed if one.limit and one.limit.set_by]
    assert check.measured is not None
    assert check.measured.value.low * 7 == pytest.approx(400)


def test_every_meal_of_every_kind_of_day_is_looked_at() -> None:
    """Syrup stands only in the afternoon of the second day."""
    days = ["{morning: first, afternoon: first}", "{morning: first, afternoon: second}"]
    fed = said([line("leaf", 9)], afternoon=[line("syrup", 90)], rota=records.rota(days),
               limits=[own_limit("8 g per animal", "meal")])  # fmt: skip
    (check,) = [one for one in fed if one.verdict is Verdict.BREACH]
    assert {(when.number, when.slot) for when in check.occasions} == {(2, "afternoon")}


def test_a_food_with_half_the_sugar_or_less_is_not_called_the_cause() -> None:
    """450 g of sugar, 400 are allowed: without any of the foods the rest would be inside."""
    foods = records.foods(syrup=SYRUP, treacle=SYRUP, honey=SYRUP)
    halves = said([line("syrup", 1125), line("treacle", 1125)], foods=foods)
    most = said([line("syrup", 1200), line("treacle", 1050)], foods=foods)
    part = said([line("syrup", 1000), line("treacle", 700), line("honey", 550)], foods=foods)
    assert [(c.verdict, c.food) for c in (*halves, *most, *part)] == [
        (Verdict.BREACH, None), (Verdict.BREACH, "syrup"), (Verdict.BREACH, None),
    ]  # fmt: skip
    assert "Most" in most[0].advice
    assert "syrup" in part[0].advice
    assert "Most" not in part[0].advice
    assert "treacle" not in part[0].advice


def test_what_to_do_is_said_of_a_finding_only() -> None:
    (kept,) = said([line("syrup", 1500)])
    (open_one,) = said([line("silent", 500)])
    (past,) = said([line("syrup", 2500)])
    assert kept.advice == ""
    assert "syrup" in past.advice
    assert open_one.advice
    assert "comes from" not in open_one.advice
    assert steps(kept.working)[-1] == ["0.5"]  # left of 2 g per kg
    assert "left" in kept.working[-1]
    assert "past" in past.working[-1]
    assert ["200", "2.5"] in steps(past.working)  # one day: nothing but the mass divides it
