"""The ration as a table for a spreadsheet."""

from __future__ import annotations

import csv
import io

import pytest

from dietcheck.reporting import ration_csv
from dietcheck.reporting.ration import RationReport
from tests.hostile.test_output import NASTY
from tests.reporting.rations import TWO_DAYS, carrots, hostile

FORMULAS = {
    "formula": "=cmd|' /C calc'!A0",
    "plus": "+1+1",
    "minus": "-2+3",
    "at": "@SUM(A1:A9)",
    "tab": "\t=1",
    "return": "\r=1",
    "separators": 'a";,\n=1',
}


def rows(report: RationReport) -> list[dict[str, str]]:
    """The table as Python's own reader sees it; every row as long as the head."""
    text = ration_csv.render(report).encode("utf-8").decode("utf-8-sig")
    head, *body = csv.reader(io.StringIO(text, newline=""), strict=True)
    assert all(len(row) == len(head) for row in body)
    return [dict(zip(head, row, strict=True)) for row in body]


def test_figures() -> None:
    table = rows(carrots())
    sugars = [row for row in table if (row["table"], row["what"]) == ("a day", "total sugars")]
    assert [(row["low"], row["high"], row["unit"]) for row in sugars] == [("56.88", "56.88", "g")]
    assert {row["table"] for row in table} >= {"in dry matter", "day", "food", "share of food"}


def test_no_upper_end_is_an_empty_cell() -> None:
    table = rows(
        carrots(
            group="record: group\nid: tapir\nspecies: Tapirus terrestris\n"
            "enclosure: Paddock\nfed: together\nanimals: [{id: T1}]\n"
        )
    )
    (row,) = (row for row in table if row["table"] == "sugars for the body mass")
    assert (row["low"], row["high"]) == ("0", "")


def test_days_that_differ() -> None:
    table = rows(carrots(**TWO_DAYS))
    days = [row for row in table if (row["table"], row["what"]) == ("day", "food as fed")]
    assert [row["low"] for row in days] == ["1200", "1600"]


@pytest.mark.parametrize("text", (NASTY | FORMULAS).values(), ids=NASTY | FORMULAS)
def test_no_cell_is_a_formula_or_more_than_a_line(text: str) -> None:
    for row in rows(hostile(text)):
        for cell in row.values():
            assert not cell.startswith(("=", "+", "-", "@", "\t", "\r"))
            assert cell.isprintable()
