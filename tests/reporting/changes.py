"""Two versions of a small collection to compare. All invented."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from dietcheck.reporting.change_report import ChangeReport, compare_reports
from dietcheck.testing import report_of
from tests import records
from tests.reporting.reports import Toy, breach

CARROT = "{food: carrot, amount: %s per animal}"
FOODS = records.foods(
    carrot="{same_as: carrot}", leaf="{same_as: lettuce-cos}", leek="{same_as: leek}"
)


def sheet(amount: str = "600 g", *more: str, **facts: Any) -> str:
    """The carrots of the tapirs in another amount, with more lines."""
    return records.sheet({"roots": [CARROT % amount, *more]}, **facts)


def compared(
    before: Mapping[str, str] | None = None,
    after: Mapping[str, str] | None = None,
    drafts: Mapping[str, str] | None = None,
) -> ChangeReport:
    """The comparison of two versions, given by the files of the small park that differ."""
    toy = Toy((breach(),))
    first, last = (
        records.small(**({"foods": FOODS} | dict(files or {}))) for files in (before, after)
    )
    return compare_reports(
        report_of(toy, first, records.ON), report_of(toy, last, records.ON, drafts)
    )
