"""What is told of heads: how many, of whom, at which line. All is invented."""

from __future__ import annotations

import pytest

from dietcheck.contract import Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import (
    head_count,
)
from tests import records
from tests.rules import test_head_count as heads
from tests.rules.told import figures, places

BREACH, UNSURE, KEPT = Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT


def test_the_heads_of_then_and_now_are_told() -> None:
    """9 / 7 is 28.6 % more for each of those that stay."""
    (check,) = heads.said(heads.herd(9, gone=2))
    assert figures(check.message) == "9 2026 01 01 2026 11 24 7"
    assert "gets more" in check.message
    assert figures(*check.working) == "9 7 9 7 10"
    assert places(check) == ["sheet meals roots 0"]
    (less,) = heads.said(heads.herd(12), heads=10)
    assert "gets less" in less.message
    assert "as the sheet says" in less.message
    (first,) = heads.said(heads.herd(9, gone=3, until="2026-11-24"))
    assert "on 2026-11-25" in first.message  # the first day on which they are gone


@pytest.mark.parametrize(
    ("count", "sheet", "verdict"),
    [("28 to 32", 30, KEPT), ("20 to 40", 30, UNSURE), ("10 to 20", 30, BREACH),
     ("40 to 50", 30, BREACH), ("30", 30, KEPT), ("28 to 34", 30, UNSURE)],
)  # fmt: skip
def test_a_colony_is_counted_as_a_range(count: str, sheet: int, verdict: Verdict) -> None:
    """30 / 28 is 7 % more and 30 / 34 12 % less; a tenth is let pass (common practice)."""
    colony = (
        "record: group\nid: tapir\nspecies: Extatosoma tiaratum\nenclosure: Box\nfed: together\n"
        f"colony: {{count: {count}, mass: 20 g, on: 2026-11-01}}\n"
    )
    sheet_ = records.sheet({"roots": ["{food: carrot, amount: 9 g per group}"]})
    files = records.small(group=colony, sheet=f"{sheet_}heads: {sheet}\n")
    outcome = outcome_of(head_count, files, records.ON)
    (check,) = checks_of(outcome, "tapir")
    assert check.verdict is verdict
    assert bool(check.settles) is (verdict is UNSURE)
    if verdict is UNSURE:
        assert count in check.message


def test_a_treat_for_the_group_without_a_sheet_was_worked_out_for_nobody_known() -> None:
    treats = (
        "record: treats\ntreats:\n  - {on: 2026-11-26, group: tapir, purpose: training,"
        " items: [{food: carrot, amount: 90 g per group}]}\n"
    )
    later = records.sheet({"roots": ["{food: carrot, amount: 9 g per animal}"]}, start="2026-12-01")
    files = records.small(group=records.group(animals=heads.herd(3)), treats=treats, sheet=later)
    (check,) = checks_of(outcome_of(head_count, files, records.ON), "tapir")
    assert check.verdict is KEPT
