"""The findings as a table: what a spreadsheet program makes of it."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dietcheck.contract import Check, Severity
from dietcheck.reporting import Asked, render
from dietcheck.reporting.findings_csv import HEAD
from dietcheck.screening.report import Report
from tests.hostile.test_output import NASTY, hostile
from tests.reporting.reports import ACCEPTED, breach, cannot_tell, kept, report

FIGURES = ("measured low", "measured high", "at least", "at most", "line", "column")


def read(found: Report) -> list[dict[str, str]]:
    """The rows by column."""
    text = render("csv", found, Asked())
    assert text.startswith("\ufeff")
    assert text.encode("utf-8").startswith(b"\xef\xbb\xbf")
    rows = list(csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True))
    assert rows[0] == list(HEAD)
    assert all(len(row) == len(HEAD) for row in rows)
    return [dict(zip(HEAD, row, strict=True)) for row in rows[1:]]


def rows(*checks: Check, **changes: str) -> list[dict[str, str]]:
    """The rows about some checks."""
    return read(report(*checks, **changes))


def test_a_row_a_finding_the_gravest_first() -> None:
    found = rows(cannot_tell(), breach(), kept(), breach(about="mild", severity=Severity.LOW))
    assert [row["severity"] for row in found] == ["high", "medium", "low"]
    assert [row["stops the change"] for row in found] == ["yes", "no", "no"]
    assert [row["verdict"] for row in found] == ["rule broken", "cannot tell", "rule broken"]


def test_a_row_carries_the_finding() -> None:
    (row,) = rows(breach())
    assert (row["group"], row["called"], row["animals"]) == ("tapir", "Brazilian tapir", "T1")
    assert (row["message"], row["do now"]) == (breach().message, breach().advice)
    assert (row["measured low"], row["measured high"]) == ("13", "13")
    assert (row["at least"], row["at most"], row["unit"]) == ("", "6", "g/kg body mass")
    assert (row["file"], row["line"], row["column"]) == ("sheet.yaml", "8", "7")
    assert "Renn P, Moss A 2020" in row["source"]


def test_what_has_no_end_and_what_is_not_there_is_an_empty_cell() -> None:
    (row,) = rows(cannot_tell(places=()))
    assert (row["measured low"], row["measured high"]) == ("2", "")
    assert (row["file"], row["line"]) == ("", "")
    (row,) = rows(breach(measured=None, limit=None))
    assert not any(row[name] for name in ("measured low", "unit", "at least", "at most"))


def test_who_accepted_it() -> None:
    (row,) = rows(breach(), signoff=ACCEPTED)
    assert (row["accepted by"], row["accepted until"]) == ("Dr Vale (vet)", "2026-12-01")
    assert row["stops the change"] == "no"


def no_formula(found: list[dict[str, str]]) -> None:
    """No cell starts like a formula, nor any piece that another program would divide off."""
    for row in found:
        for name, cell in row.items():
            if name not in FIGURES:
                for piece in cell.split(";"):
                    assert not piece.strip().startswith(tuple("=+-@＝＋－＠")), (name, cell)
            assert "\t" not in cell
            assert "\r" not in cell
            assert "\n" not in cell


@pytest.mark.parametrize(
    "text",
    [*NASTY.values(), "=1+1", "+1", "-1", "@A1", "\t=1", "\r=1", " =1", "＝1", "a;=1", ";;=1"],
    ids=ascii,
)
def test_hostile_texts(text: str) -> None:
    no_formula(read(hostile(text)))


@settings(max_examples=60, deadline=None)
@given(
    st.text("=+-@;,\"' \t\n\rA1\u3000＝", min_size=1, max_size=12)
    | st.text(st.characters(), min_size=1, max_size=40)
)
def test_no_text_becomes_a_formula(text: str) -> None:
    no_formula(read(hostile(text)))


def test_the_same_report_gives_the_same_bytes_whatever_came_first() -> None:
    checks = (breach(), cannot_tell(), kept(), breach(about="other"))
    one, other = (render("csv", report(*c), Asked()) for c in (checks, checks[::-1]))
    assert one == other
