"""Weights: missing, old, future. All records are invented; so are the intervals, but where said."""

from __future__ import annotations

from datetime import date, timedelta

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import body_mass_known
from tests import records

PLAN = "plan: {kind: weight reduction, from: 2026-10-01, set_by: Dr Vale}"
TREATED = "plan: {kind: medical, from: 2026-11-01, set_by: Dr Vale}"


def weighed(on: date | str, more: str = "") -> str:
    """An animal weighed on a day."""
    tail = f", {more}" if more else ""
    return f"{{id: T1, weighings: [{{on: {on}, mass: 200 kg}}]{tail}}}"


def said(*animals: str, **changes: str) -> tuple[Check, ...]:
    """What the rule says of a tapir group of these animals."""
    files = records.small(**{"group": records.group(animals=animals), **changes})
    return checks_of(outcome_of(body_mass_known, files, records.ON), "tapir")


def test_a_current_weight_is_kept() -> None:
    (check,) = said(weighed("2026-11-20"))
    assert check.verdict is Verdict.KEPT


def test_no_weight_is_cannot_tell_and_never_a_pass() -> None:
    (check,) = said("{id: T1}")
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert check.animals == ("T1",)
    assert check.settles


def test_an_unweighed_animal_among_weighed_ones_is_named_alone() -> None:
    checks = said(weighed("2026-11-20"), "{id: T2}")
    assert [(c.verdict, c.animals) for c in checks if c.verdict is not Verdict.KEPT] == [
        (Verdict.CANNOT_TELL, ("T2",))
    ]


@pytest.mark.parametrize(("days", "verdict"), [(90, Verdict.KEPT), (91, Verdict.BREACH)])
def test_the_last_day_of_the_interval_still_counts(days: int, verdict: Verdict) -> None:
    """The park of the tests weighs mammals every 90 days."""
    (check,) = said(weighed(records.ON - timedelta(days=days)))
    assert (check.verdict, check.severity) == (verdict, Severity.LOW)


def test_the_most_specific_name_gives_the_interval() -> None:
    """Tapiridae 30 days beside Mammalia 90 days: 40 days is too old."""
    own = records.settings().replace("Mammalia: 90 days", "Mammalia: 90 days, Tapiridae: 30 days")
    (check,) = said(weighed(records.ON - timedelta(days=40)), dietcheck=own)
    assert check.verdict is Verdict.BREACH


def test_an_old_weight_under_a_reduction_plan_is_medium() -> None:
    (check,) = said(weighed("2026-04-29", PLAN))
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)


def test_a_plan_that_has_ended_asks_for_nothing_more() -> None:
    (check,) = said(weighed("2026-04-29", PLAN.replace("set_by", "until: 2026-10-31, set_by")))
    assert check.severity is Severity.LOW


def test_an_old_weight_behind_amounts_per_kg_is_medium_for_the_animals_they_are_for() -> None:
    lines = ["{food: carrot, amount: 3 g per kg body mass, for: [T1]}"]
    other = weighed("2026-04-29").replace("T1", "T2")
    checks = said(weighed("2026-04-29"), other, sheet=records.sheet({"roots": lines}))
    assert {(check.severity, check.animals) for check in checks} == {
        (Severity.MEDIUM, ("T1",)),
        (Severity.LOW, ("T2",)),
    }


@pytest.mark.parametrize(
    ("more", "days", "verdict"),
    [
        ("", 180, Verdict.KEPT),
        ("", 181, Verdict.BREACH),
        (TREATED, 7, Verdict.KEPT),
        (TREATED, 8, Verdict.BREACH),
    ],
)
def test_defaults_apply_where_the_collection_names_no_interval(
    more: str, days: int, verdict: Verdict
) -> None:
    """180 days, and 7 under treatment: common practice, no source."""
    own = records.settings().replace("Mammalia: 90 days, ", "")
    (check,) = said(weighed(records.ON - timedelta(days=days), more), dietcheck=own)
    assert check.verdict is verdict
    if verdict is Verdict.BREACH:
        assert "common practice, no source" in check.message


def test_small_mammals_and_birds_are_weighed_monthly_by_default() -> None:
    """30 days: common practice, no source."""
    own = records.settings().replace("{Mammalia: 90 days, Aves: 60 days}", "{Reptilia: 90 days}")
    for species in ("Callithrix geoffroyi", "Spheniscus humboldti"):
        group = records.group(species=species, animals=[weighed("2026-10-25")])
        (check,) = said(dietcheck=own, group=group)
        assert check.verdict is Verdict.BREACH


def test_treatment_shortens_the_default_of_birds_too() -> None:
    """7 days: common practice, no source."""
    own = records.settings().replace("{Mammalia: 90 days, Aves: 60 days}", "{Reptilia: 90 days}")
    animal = weighed(records.ON - timedelta(days=8), TREATED)
    group = records.group(species="Spheniscus humboldti", animals=[animal])
    (check,) = said(dietcheck=own, group=group)
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)


def test_a_weighing_still_to_come_does_not_count_and_is_said() -> None:
    checks = said(weighed("2026-12-24"))
    assert {(check.verdict, check.severity) for check in checks} == {
        (Verdict.CANNOT_TELL, Severity.MEDIUM),
        (Verdict.BREACH, Severity.LOW),
    }


@settings(deadline=None, max_examples=40)
@given(st.lists(st.integers(0, 400), max_size=5))
def test_only_the_newest_weighing_decides(ages: list[int]) -> None:
    entries = ", ".join(f"{{on: {records.ON - timedelta(days=age)}, mass: 200 kg}}" for age in ages)
    (check,) = said(f"{{id: T1, weighings: [{entries}]}}" if ages else "{id: T1}")
    expected = (
        Verdict.CANNOT_TELL if not ages else Verdict.KEPT if min(ages) <= 90 else Verdict.BREACH
    )
    assert check.verdict is expected


def two_weights(first: str, last: str, more: str = "") -> Check:
    """What is said of a tapir with two weights, the last one current."""
    told = f"[{{on: 2026-08-20, mass: {first}}}, {{on: 2026-11-20, mass: {last}}}]"
    checks = said(f"{{id: T1, weighings: {told}{more}}}")
    return next((check for check in checks if "far from" in check.about), checks[0])


@pytest.mark.parametrize(("first", "last"), [("200 kg", "2000 kg"), ("200 kg", "20 kg")])
def test_a_weight_with_a_slipped_point_is_doubted(first: str, last: str) -> None:
    check = two_weights(first, last)
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert check.animals == ("T1",)
    assert check.settles


@pytest.mark.parametrize(
    ("last", "more", "verdict"),
    [
        ("400 kg", "", Verdict.KEPT),  # twice the last one exactly; the bound is common practice
        ("400.1 kg", "", Verdict.CANNOT_TELL),
        ("700 kg", ", stage: juvenile", Verdict.KEPT),
        ("1001 kg", ", stage: juvenile", Verdict.CANNOT_TELL),
        ("300 to 900 kg", "", Verdict.KEPT),  # an estimate that may be within it
    ],
)
def test_how_far_a_weight_may_be_from_the_last(last: str, more: str, verdict: Verdict) -> None:
    assert two_weights("200 kg", last, more).verdict is verdict


def test_a_weight_that_agrees_with_the_one_before_a_slip_is_kept() -> None:
    told = ", ".join(
        f"{{on: {on}, mass: {mass}}}"
        for on, mass in [
            ("2026-05-20", "200 kg"),
            ("2026-08-20", "20 kg"),
            ("2026-11-20", "201 kg"),
        ]
    )
    (check,) = said(f"{{id: T1, weighings: [{told}]}}")
    assert check.verdict is Verdict.KEPT
