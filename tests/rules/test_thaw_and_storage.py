"""Thawing, time and age of frozen food. Batches and dates are invented; 24 hours is FRarrete1981,
Annex 1 Title V (read in the original); six months for fish is from memory.
"""

from __future__ import annotations

from datetime import timedelta

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import thaw_and_storage
from tests import records

GOOD = {"thawed": "chilled", "fed_within_hours": "24", "frozen_on": "2026-09-01"}


def said(food_class: str = "fish", form: str = "frozen-thawed", **told: str) -> tuple[Check, ...]:
    """What the rule says of a fish that an otter is fed."""
    fields = "".join(f", {key}: {value}" for key, value in told.items() if value)
    entry = f"{{class: {food_class}, form: {form}, unknown_composition: no label{fields}}}"
    files = records.small(
        foods=records.foods(sprat=entry),
        sheet=records.sheet({"roots": ["{food: sprat, amount: 100 g per animal}"]}),
    )
    outcome = outcome_of(thaw_and_storage, files, records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def found(**told: str) -> list[tuple[str, Verdict]]:
    """Cause and verdict of what is wrong or open."""
    checks = said(**{**GOOD, **told})
    assert all(check.severity is Severity.LOW for check in checks)
    return [(c.about, c.verdict) for c in checks if c.verdict is not Verdict.KEPT]


def test_a_batch_with_all_written_is_kept() -> None:
    assert found() == []


@pytest.mark.parametrize(
    ("told", "expected"),
    [
        ({"thawed": "at room temperature"}, [("thawing", Verdict.BREACH)]),
        ({"thawed": ""}, [("thawing", Verdict.CANNOT_TELL)]),
        ({"thawed": "unknown"}, [("thawing", Verdict.CANNOT_TELL)]),
        ({"thawed": "on ice"}, []),
        ({"fed_within_hours": "25"}, [("time after thawing", Verdict.BREACH)]),
        ({"fed_within_hours": ""}, [("time after thawing", Verdict.CANNOT_TELL)]),
        ({"frozen_on": ""}, [("storage age", Verdict.CANNOT_TELL)]),
        ({"frozen_on": str(records.ON - timedelta(183))}, []),
        ({"frozen_on": str(records.ON - timedelta(184))}, [("storage age", Verdict.BREACH)]),
        ({"use_by": str(records.ON)}, []),
        ({"use_by": str(records.ON - timedelta(1))}, [("use-by date", Verdict.BREACH)]),
    ],
)
def test_what_the_record_breaks_or_leaves_open(
    told: dict[str, str], expected: list[tuple[str, Verdict]]
) -> None:
    assert found(**told) == expected


def test_prey_has_no_storage_age_and_fresh_food_and_browse_are_not_asked() -> None:
    assert found(food_class="whole prey", frozen_on="") == []
    for other in ({"form": "fresh"}, {"food_class": "browse"}):
        (check,) = said(**other)
        assert check.verdict is Verdict.NOT_APPLICABLE


def test_what_to_do_names_the_food_and_points_at_what_its_record_says() -> None:
    (warm,) = [c for c in said(**GOOD | {"thawed": "at room temperature"}) if c.advice]
    (silent,) = [c for c in said(**GOOD | {"thawed": ""}) if c.advice]
    assert '"sprat" is thawed at room temperature' in warm.message
    assert warm.places[0].path[-1] == "thawed"
    assert warm.settles == ""
    assert "nobody writes how" in silent.message
    assert silent.places[0].path[-1] == "sprat"
    assert silent.settles
    assert "Write how" in silent.advice
    assert "Throw away" in warm.advice
    (late,) = [c for c in said(**GOOD | {"fed_within_hours": "25"}) if c.advice]
    assert late.measured is not None
    assert late.measured.value.low == 25
    assert late.limit is not None


@pytest.mark.parametrize(("form", "asked"), [("frozen-thawed", True), ("fresh", False)])
def test_an_odd_house_limit_is_asked_about_where_frozen_food_is_fed(form: str, asked: bool) -> None:
    house = (
        "record: limits\nlimits:\n  - {group: tapir, quantity: thawed-hold-time, at_most: 5 mm, "
        "over: day, why: x, set_by: Dr Vale, on: 2026-01-01}\n"
    )
    entry = f"{{class: fish, form: {form}, unknown_composition: x, thawed: chilled}}"
    files = records.small(
        foods=records.foods(sprat=entry),
        sheet=records.sheet({"roots": ["{food: sprat, amount: 100 g per animal}"]}),
        limits=house,
    )
    checks = checks_of(outcome_of(thaw_and_storage, files, records.ON), "tapir")
    assert any(c.limit and c.limit.set_by for c in checks) is asked
