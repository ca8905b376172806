"""What is told of condition and plans, figure by figure. Animals are invented; all limits are
common practice without a source: a score of 2.5 to 3.5 of 5, 10 % in 90 days, 1 % a week.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import condition_plan
from tests import records
from tests.rules.test_condition_plan import FAT, FINE, WEIGHED, WHOLE, weights
from tests.rules.told import figures, places


def told(*animals: str, limits: Sequence[str] = ()) -> list[Check]:
    """All that is said of some animals."""
    files = {"group": records.group(animals=[f"{{{one}}}" for one in animals])}
    if limits:
        files["limits"] = "record: limits\nlimits:\n" + "".join(
            f"  - {{group: tapir, {limit}, severity: medium, why: invented, set_by: Dr Vale,"
            " on: 2026-01-01}\n"
            for limit in limits
        )
    outcome = outcome_of(condition_plan, records.small(**files), records.ON)
    assert not outcome.failures
    return [*checks_of(outcome, "tapir")]


def one(*fields: str, limits: Sequence[str] = ()) -> Check:
    """The one thing that is said of one tapir."""
    (check,) = told(", ".join(("id: T1", *fields)), limits=limits)
    return check


def test_a_score_off_target_names_the_plan_that_is_missing_or_another_or_ended() -> None:
    check = one(WEIGHED, FAT)
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.LOW)
    assert "no weight reduction plan is running" in check.message
    assert figures(check.message) == "1 4 5 2026 11 01 2.5 3.5"
    assert "weight reduction plan" in check.advice
    assert places(check) == ["group animals 0 condition"]
    ended = one(WEIGHED, FAT, WHOLE.replace("2027-03-31", "2026-11-24"))
    assert "the plan ended on 2026-11-24" in ended.message
    assert places(ended) == ["group animals 0 condition", "group animals 0 plan"]
    other = [c for c in told(f"id: T1, {WEIGHED}, {FAT}, " + WHOLE.replace("reduction", "gain"))
             if "score" in c.about]  # fmt: skip
    assert "the plan that is running is for weight gain" in other[0].message
    begins = [c for c in told(f"id: T1, {WEIGHED}, {FAT}, "
                              + WHOLE.replace("reduction", "gain").replace("2026-10", "2026-12"))
              if "score" in c.about]  # fmt: skip
    assert "no weight reduction plan is running" in begins[0].message
    thin = one(WEIGHED, FINE.replace("score: 3", "score: 2"))
    assert "no weight gain plan is running" in thin.message


@pytest.mark.parametrize(
    ("day", "score", "settled"),
    [("2026-11-26", 3, True), ("2026-11-25", 5, False), ("2026-11-25", 6, True)],
)
def test_a_score_of_tomorrow_or_past_its_scale_is_to_be_corrected(
    day: str, score: int, settled: bool
) -> None:
    check = one(WEIGHED, f"condition: {{on: {day}, score: {score}, of: 5}}")
    assert (check.verdict is Verdict.CANNOT_TELL) is settled
    assert bool(check.settles) is settled
    assert places(check) == ["group animals 0 condition"]


def test_an_old_score_tells_its_age() -> None:
    check = one(WEIGHED, FINE.replace("2026-11-01", "2026-05-01"))
    assert figures(check.message) == "1 208 2026 05 01 180"
    assert places(check) == ["group animals 0 condition"]


def test_the_worst_change_of_the_span_is_told() -> None:
    """12 kg to 10 kg is 16.7 % lost; to 9 kg from 8 kg 12.5 % gained."""
    lost = one(weights(("2026-09-01", "11 kg"), ("2026-10-01", "12 kg"), ("2026-11-20", "10 kg")),
               FINE)  # fmt: skip
    assert figures(lost.message) == "1 16.7 2026 10 01 2026 11 20 10"
    assert " lost " in lost.message
    assert "weight gain plan" in lost.message
    assert lost.settles == ""
    assert places(lost) == ["group animals 0 weighings"]
    gained = one(weights(("2026-09-01", "8 kg"), ("2026-11-20", "9 kg")), FINE)
    assert figures(gained.message) == "1 12.5 2026 09 01 2026 11 20 10"
    assert " gained " in gained.message
    assert "weight reduction plan" in gained.message
    loose = one(weights(("2026-09-01", "10 to 12 kg"), ("2026-11-20", "10 kg")), FINE)
    assert (loose.verdict, bool(loose.settles)) == (Verdict.CANNOT_TELL, True)
    assert figures(loose.message) == "1 0 16.7 2026 09 01 2026 11 20 10"


def test_a_trend_over_the_rota_looks_at_the_days_of_the_rota() -> None:
    """A rota of two days: the weighing of three days before is not in it."""
    limit = "quantity: weight-loss, at_most: 5 % of body mass, over: rota"
    for day, verdict in (("2026-11-18", Verdict.BREACH), ("2026-11-17", Verdict.KEPT)):
        pairs = weights((day, "10.8 kg"), ("2026-11-20", "10 kg"))
        assert one(pairs, FINE, limits=[limit]).verdict is verdict


def test_a_loss_that_a_plan_is_meant_to_bring_is_judged_by_its_pace_alone() -> None:
    """11.5 to 10 kg in 80 days is 13 %, 1.14 % a week; past 1 %, and no loss without a plan."""
    pairs = weights(("2026-09-01", "11.5 kg"), ("2026-11-20", "10 kg"))
    plan = WHOLE.replace("2026-10-01", "2026-09-01")
    paces = told(f"id: T1, {pairs}, {FAT}, {plan}")
    assert {check.about.partition(":")[0] for check in paces} == {"pace"}
    lost, planned, needed = paces
    assert (lost.verdict, lost.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert figures(lost.message) == "1 1.14 1"
    assert lost.advice.startswith("Ask the vet")
    assert (planned.verdict, planned.severity, planned.advice) == (
        Verdict.KEPT, Severity.LOW, "",
    )  # fmt: skip
    assert figures(planned.message) == "1 0.5 1"
    # 5 % in 131 days are 0.267 % a week
    assert figures(needed.message) == "1 0.267 2027 03 31 1"
    assert places(lost) == ["group animals 0 plan", "group animals 0 weighings"]
    grown = told(f"id: T1, {weights(('2026-10-01', '9 kg'), ('2026-11-20', '10 kg'))}, {FAT}, "
                 + WHOLE)  # fmt: skip
    assert {figures(c.message) for c in grown if "lost a week" in c.message} == {"1 0 1"}


def test_a_pace_needs_two_weeks_between_weighings_and_an_end_to_come() -> None:
    for day, paces in (("2026-11-06", 3), ("2026-11-07", 2)):
        pairs = weights((day, "10.1 kg"), ("2026-11-20", "10 kg"))
        plan = WHOLE.replace("2026-10-01", day)
        assert len(told(f"id: T1, {pairs}, {FAT}, {plan}")) == paces
    for until, paces in (("2026-11-26", 2), ("2026-11-25", 2)):
        plan = WHOLE.replace("2027-03-31", until).replace("9.5 kg", "9.99 kg")
        late = weights(("2026-11-25", "10 kg"))
        assert len(told(f"id: T1, {late}, {FAT}, {plan}")) == paces - (until == "2026-11-25")
    fuzzy = weights(("2026-10-01", "10 to 12 kg"), ("2026-11-20", "10 kg"))
    (lost,) = [c for c in told(f"id: T1, {fuzzy}, {FAT}, {WHOLE}") if "lost" in c.message]
    assert (lost.verdict, bool(lost.settles)) == (Verdict.CANNOT_TELL, True)


LINES = ("target", "pace", "until", "review", "set_by")


def test_a_plan_names_all_that_it_lacks() -> None:
    for kind, lacking in (("weight gain", LINES), ("medical", LINES[2:])):
        *_, check = told(f"id: T1, {WEIGHED}, {FAT}, plan: {{kind: {kind}, from: 2026-11-01}}")
        assert tuple(line for line in LINES if f"{line} (" in check.message) == lacking
        assert places(check) == ["group animals 0 plan"]


def test_an_overdue_review_and_a_reached_target_point_at_their_line() -> None:
    overdue = [c for c in told(f"id: T1, {WEIGHED}, {FAT}, "
                               + WHOLE.replace("2026-12-01", "2026-11-20"))
               if c.verdict is Verdict.BREACH]  # fmt: skip
    assert figures(overdue[0].message) == "1 2026 11 20 5"
    assert places(overdue[0])[0].endswith("plan review")
    reached = [c for c in told(f"id: T1, {WEIGHED}, {FAT}, " + WHOLE.replace("9.5 kg", "10 kg"))
               if c.verdict is Verdict.BREACH]  # fmt: skip
    assert reached[0].about.startswith("target reached")
    assert figures(reached[0].message) == "1 2026 11 20"
    assert places(reached[0])[0].endswith("plan target")


THIN = "condition: {on: 2026-11-01, score: 2, of: 5}"
GAIN = WHOLE.replace("weight reduction", "weight gain")


@pytest.mark.parametrize(
    ("target", "mass", "reached"),
    [("10 kg", "10 kg", True), ("10.1 kg", "10 kg", False), ("9 to 10 kg", "9 to 10 kg", True),
     ("9.5 to 10 kg", "9 to 11 kg", False)],
)  # fmt: skip
def test_a_gain_is_reached_when_its_lower_end_is(target: str, mass: str, reached: bool) -> None:
    found = told(f"id: T1, {weights(('2026-11-20', mass))}, {THIN}, "
                 + GAIN.replace("9.5 kg", target))  # fmt: skip
    assert any(c.about.startswith("target reached") for c in found) is reached


def test_a_weighing_before_the_plan_reaches_no_target() -> None:
    found = told(f"id: T1, {weights(('2026-09-30', '9 kg'))}, {FAT}, {WHOLE}")
    assert not any(c.about.startswith("target") for c in found)


@pytest.mark.parametrize(
    ("kind", "after", "shows"),
    [("weight reduction", "10.1 kg", False), ("weight reduction", "9.9 kg", True),
     ("weight gain", "10 kg", False), ("weight gain", "10.1 kg", True),
     ("weight gain", "9.9 kg", False), ("weight reduction", "9.9 to 10.1 kg", True)],
)  # fmt: skip
def test_a_plan_that_ran_four_weeks_shows_in_its_own_direction(
    kind: str, after: str, shows: bool
) -> None:
    plan = WHOLE.replace("weight reduction", kind).replace("9.5 kg", "99 kg" if "gain" in kind
                                                           else "1 kg")  # fmt: skip
    plan = plan.replace("2026-10-01", "2026-10-23")
    pairs = weights(("2026-10-20", "10 kg"), ("2026-11-20", after))
    found = [c for c in told(f"id: T1, {pairs}, {FAT}, {plan}") if "does not show" in c.about]
    assert bool(found) is not shows
    if found:
        assert figures(found[0].message) == "1 28"


def test_animals_without_a_score_are_told_together_and_those_away_not_at_all() -> None:
    (check,) = told("id: T1", "id: T2", "id: T3, here_until: 2026-11-24")
    assert check.animals == ("T1", "T2")
    assert figures(check.message) == "1 1"
    assert len(check.places) == 2
    (alone,) = told("id: T1", f"id: T2, {FINE}")
    assert "more" not in alone.message
    (kept,) = told(f"id: T1, {FINE}")
    assert kept.verdict is Verdict.KEPT
    (nobody,) = told("id: T3, here_until: 2026-11-24")
    assert nobody.verdict is Verdict.NOT_APPLICABLE


def test_an_animal_of_no_known_weight_gains_without_end() -> None:
    """From 0 to 1 kg before to 2 kg: at least twice as much."""
    (check,) = [c for c in told(f"id: T1, {FINE}, "
                                + weights(("2026-10-01", "0 to 1 kg"), ("2026-11-20", "2 kg")))
                if "gain" in c.about]  # fmt: skip
    assert check.verdict is Verdict.BREACH
    assert check.measured is not None
    assert check.measured.value.low == 100
    assert not check.measured.value.high.is_finite()
