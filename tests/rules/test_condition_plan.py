"""Condition, trend and plans. All limits are common practice, no source; animals are invented."""

from __future__ import annotations

import pytest

from dietcheck.contract import Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import condition_plan
from tests import records

LOW, MEDIUM = (Verdict.BREACH, Severity.LOW), (Verdict.BREACH, Severity.MEDIUM)
UNSURE = (Verdict.CANNOT_TELL, Severity.LOW)
Said = dict[str, tuple[Verdict, Severity]]
FINE = "condition: {on: 2026-11-01, score: 3, of: 5}"
WEIGHED = "weighings: [{on: 2026-11-20, mass: 10 kg}]"
WHOLE = (
    "plan: {kind: weight reduction, from: 2026-10-01, until: 2027-03-31, target: 9.5 kg,"
    " pace: 0.5 %, review: 2026-12-01, set_by: Dr Vale}"
)


def said(*fields: str) -> Said:
    """The findings about one tapir."""
    group = records.group(animals=[f"{{id: T1, {', '.join(fields)}}}"])
    checks = checks_of(outcome_of(condition_plan, records.small(group=group), records.ON), "tapir")
    return {
        c.about.partition(":")[0]: (c.verdict, c.severity)
        for c in checks
        if c.verdict in (Verdict.BREACH, Verdict.CANNOT_TELL)
    }


def weights(*pairs: tuple[str, str]) -> str:
    """Weighings."""
    return f"weighings: [{', '.join(f'{{on: {on}, mass: {mass}}}' for on, mass in pairs)}]"


@pytest.mark.parametrize(
    ("score", "of", "off"),
    [("3.5", 5, False), ("3.6", 5, True), ("2.5", 5, False), ("2", 5, True), ("6", 9, False),
     ("6.5", 9, True), ("4", 9, False), ("3", 9, True)],
)  # fmt: skip
def test_a_score_off_the_middle_needs_a_plan(score: str, of: int, off: bool) -> None:
    found = said(WEIGHED, f"condition: {{on: 2026-11-01, score: {score}, of: {of}}}")
    assert found == ({"condition score off target without a plan": LOW} if off else {})


FAT = "condition: {on: 2026-11-01, score: 4, of: 5}"


def test_a_plan_of_that_kind_answers_for_it_and_another_or_an_ended_one_does_not() -> None:
    assert said(WEIGHED, FAT, WHOLE) == {}
    for plan in (
        WHOLE.replace("weight reduction", "weight gain").replace("9.5", "10.5"),
        WHOLE.replace("2027-03-31", "2026-11-24"),
        WHOLE.replace("2026-10-01", "2026-11-26"),
    ):
        assert "condition score off target without a plan" in said(WEIGHED, FAT, plan)


def test_an_old_score_a_missing_one_and_one_past_its_scale() -> None:
    assert said(WEIGHED, FINE.replace("2026-11-01", "2026-05-29")) == {}  # 180 days
    assert said(WEIGHED, FINE.replace("2026-11-01", "2026-05-28")) == {
        "condition score out of date": LOW
    }
    assert said(WEIGHED) == {"no condition score": UNSURE}
    assert said(WEIGHED, FINE.replace("score: 3", "score: 6")) == {"condition score": UNSURE}


@pytest.mark.parametrize(
    ("before", "stage", "expected"),
    [
        ("10 kg", "adult", {}),
        ("11.1 kg", "adult", {}),  # 9.9 % lost
        ("11.2 kg", "adult", {"weight loss off target without a plan": LOW}),
        ("9.0 kg", "adult", {"weight gain off target without a plan": LOW}),
        ("9.1 kg", "adult", {}),
        ("5 kg", "growing", {}),
    ],
)
def test_a_trend_within_ninety_days_needs_a_plan(before: str, stage: str, expected: Said) -> None:
    pairs = weights(("2026-08-22", before), ("2026-11-20", "10 kg"))
    assert said(pairs, FINE, f"stage: {stage}") == expected
    older = weights(("2026-08-21", before), ("2026-11-20", "10 kg"))
    assert said(older, FINE, f"stage: {stage}") == {}


def test_a_range_across_the_limit_is_no_pass() -> None:
    pairs = weights(("2026-09-01", "10 to 12 kg"), ("2026-11-20", "10 kg"))
    verdict, _ = said(pairs, FINE)["weight loss off target without a plan"]
    assert verdict is Verdict.CANNOT_TELL


def test_a_plan_says_how_far_how_fast_until_when_and_who() -> None:
    bare = "plan: {kind: weight reduction, from: 2026-11-01}"
    assert said(WEIGHED, FAT, bare) == {"plan not whole": LOW}
    assert said(WEIGHED, FAT, "plan: {kind: medical, from: 2026-11-01, set_by: V}") == {
        "plan not whole": LOW
    }


def test_an_overdue_review_and_a_reached_target() -> None:
    assert said(WEIGHED, FAT, WHOLE.replace("2026-12-01", "2026-11-24")) == {"review overdue": LOW}
    assert said(WEIGHED, FAT, WHOLE.replace("2026-12-01", "2026-11-25")) == {}
    assert said(WEIGHED, FAT, WHOLE.replace("9.5 kg", "10 kg")) == {"target reached": LOW}


def test_a_plan_that_does_not_show_after_four_weeks() -> None:
    same = weights(("2026-09-30", "10 kg"), ("2026-11-20", "10 kg"))
    assert said(same, FAT, WHOLE) == {"plan does not show": LOW}
    early = WHOLE.replace("2026-10-01", "2026-10-24")
    assert said(same, FAT, early) == {}  # 27 days
    less = weights(("2026-09-30", "10.2 kg"), ("2026-11-20", "10 kg"))
    assert said(less, FAT, WHOLE) == {}


def test_weight_lost_planned_or_still_to_lose_too_fast_is_for_the_vet() -> None:
    fast = weights(("2026-10-01", "11 kg"), ("2026-11-20", "10 kg"))  # 9.1 % in 50 days
    assert said(fast, FAT, WHOLE) == {"pace": MEDIUM}
    assert said(WEIGHED, FAT, WHOLE.replace("0.5 %", "1.1 %")) == {"pace": MEDIUM}
    assert said(WEIGHED, FAT, WHOLE.replace("0.5 %", "1 %")) == {}
    assert said(WEIGHED, FAT, WHOLE.replace("2027-03-31", "2026-12-20")) == {"pace": MEDIUM}


def test_a_colony_is_not_scored() -> None:
    colony = (
        "record: group\nid: tapir\nspecies: Extatosoma tiaratum\nenclosure: Box\nfed: together\n"
        "colony: {count: 30, mass: 20 g, on: 2026-11-01}\n"
    )
    checks = checks_of(outcome_of(condition_plan, records.small(group=colony), records.ON))
    assert [check.verdict for check in checks] == [Verdict.NOT_APPLICABLE]
