"""What stood before a sheet, where there is little to compare it with."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from dietcheck.contract import Diet, Verdict
from dietcheck.history.lookback import Lookback
from dietcheck.nutrition.diet import diets_of
from dietcheck.testing import Memory
from dietcheck_rules import swap_equivalence
from dietcheck_rules.rota_complete.cover import uncovered
from dietcheck_rules.shared.pairing import is_unchanged, sheet_pairs, steps
from dietcheck_rules.shared.speaking import or_open
from tests import records

ROOTS = {"roots": ["{food: carrot, amount: 600 g per animal}"]}


def compared(now: Mapping[str, str], past: Mapping[str, str]) -> Diet:
    before = diets_of(records.linked(past), records.ON)
    earlier = Lookback(Memory(past))
    return diets_of(records.linked(now), records.ON, lambda: before, earlier)["tapir"]


def test_without_an_earlier_version_nothing_is_unchanged_and_nothing_a_step() -> None:
    diet = records.diet(records.small())
    assert not is_unchanged(diet)
    assert list(sheet_pairs(diet)) == list(steps(diet)) == []


@pytest.mark.parametrize(
    ("start", "more", "follows"),
    [("2026-01-01", "until: 2026-10-31", True), ("2027-01-01", "", False)],
    ids=["one that has ended", "one that is still to come"],
)
def test_a_new_sheet_follows_the_last_one_that_had_begun(
    start: str, more: str, follows: bool
) -> None:
    past = records.small(sheet=records.sheet(ROOTS, start=start, more=more))
    now = records.small(sheet=records.sheet(ROOTS, start="2026-11-10"))
    pairs = list(sheet_pairs(compared(now, past)))
    assert [str(pair.before.start) for pair in pairs] == [start] * follows


def test_a_first_sheet_that_stands_in_for_a_food_has_nothing_to_be_judged_against() -> None:
    line = "{food: carrot, amount: 600 g per animal, instead_of: hay}"
    files = records.small(sheet=records.sheet({"roots": [line]}, start="2026-11-20"))
    assert list(swap_equivalence._said_swaps(records.diet(files))) == []


def test_a_group_that_is_fed_is_not_without_a_diet() -> None:
    assert list(uncovered(records.diet(records.small()))) == []


def test_a_rule_that_could_measure_nothing_says_that_nobody_can_tell() -> None:
    (check,) = or_open((), "sugar", records.diet(records.small()))
    assert check.verdict is Verdict.CANNOT_TELL
    assert list(or_open([check], "sugar", records.diet(records.small()))) == [check]
