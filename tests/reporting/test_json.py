"""The JSON report against its published schema, and what its figures promise."""

from __future__ import annotations

import json
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from msgspec.structs import replace
from referencing import Registry

from dietcheck.contract import Check, Measure, Severity, exact
from dietcheck.quantities import Interval
from dietcheck.reporting import Asked, render
from dietcheck.reporting.json_report import schema
from dietcheck.screening.report import CAUTIONS, NOT_VISIBLE, Report
from tests.reporting.reports import ACCEPTED, WORK, breach, cannot_tell, kept, report

SCHEMA = schema()
VALIDATOR = Draft202012Validator(SCHEMA, registry=Registry())


def written(found: Report, block_on: Severity = Severity.HIGH) -> Any:
    """The report as another program reads it, checked against the schema."""
    text = render("json", found, Asked(block_on))
    assert text.isascii()
    document = json.loads(text)
    VALIDATOR.validate(document)
    return document


def test_the_schema_is_a_schema_and_leaves_no_field_unsaid() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    shapes = [SCHEMA, *SCHEMA["$defs"].values()]
    assert all(s.get("additionalProperties") is False for s in shapes if s.get("type") == "object")


@pytest.mark.parametrize(
    "found",
    [
        report(),
        report(breach(), cannot_tell(), kept()),
        report(breach(), signoff=ACCEPTED),
        report(dietcheck="record: collection\nname: Park\n"),
        report("no check"),  # type: ignore[arg-type]
        report(Check(verdict=breach().verdict, about="bare", message="bare")),
        report(
            breach(),
            more="rules: [{rule: toy-rule, set: off, why: w, set_by: V, on: 2026-01-01}]",
        ),
    ],
    ids=["clean", "all verdicts", "accepted", "no settings", "failed rule", "bare", "switched off"],
)
def test_every_sort_of_report_fits_the_schema(found: Report) -> None:
    written(found)


def test_the_fields_that_other_programs_rely_on() -> None:
    document = written(report(breach(), cannot_tell(), kept()))
    (finding, doubt) = document["findings"]
    assert finding["rule"] == "toy-rule"
    assert (finding["severity"], finding["verdict"]) == ("high", "breach")
    assert (finding["group"], finding["animals"], finding["food"]) == ("tapir", ["T1"], "carrot")
    assert finding["days"] == [1, 2]
    assert finding["meals"][0] == {
        "date": "2026-11-16", "day": 1, "feed": "afternoon", "meal": "roots",
    }  # fmt: skip
    assert finding["measured"] == {
        "low": 13, "high": 13, "best": 13, "unit": "g/kg", "basis": "body mass",
    }  # fmt: skip
    assert (finding["limit"]["at_most"], finding["limit"]["at_least"]) == (6, None)
    assert finding["working"] == list(breach().working)
    assert finding["places"][0] == {"file": "sheet.yaml", "line": 8, "column": 7}
    assert finding["sources"] == [{"key": "Renn2020", "locator": "p. 2"}]
    assert (finding["accepted"], finding["blocks"]) == (None, True)
    assert doubt["settles"] == "an analysis of the pellet"
    assert document["sources"][0]["citation"] == WORK.citation
    assert document["not_checked"] == list(NOT_VISIBLE)
    assert document["cautions"] == list(CAUTIONS)
    summary = document["summary"]
    assert (summary["blocking"], summary["status"], summary["complete"]) == (1, 1, True)
    assert summary["severity"] == {"high": 1, "medium": 1, "low": 0}
    assert summary["verdict"] == {"breach": 1, "cannot-tell": 1}


def test_the_ledger_holds_passes_with_their_margin() -> None:
    document = written(report(breach(), cannot_tell(), kept()))
    margins = {row["about"]: row["margin"] for row in document["checks"]}
    assert margins == {"kept": 2, "too much carrot": -7, "sugar": None, "records": None}


def test_what_is_open_at_one_end_is_null_there() -> None:
    (finding,) = written(report(cannot_tell()))["findings"]
    assert (finding["measured"]["low"], finding["measured"]["high"]) == (2, None)


def test_an_accepted_finding_does_not_block_and_says_who_accepted_it() -> None:
    document = written(report(breach(), signoff=ACCEPTED))
    (finding,) = document["findings"]
    assert finding["accepted"]["by"] == "Dr Vale"
    assert finding["accepted"]["until"] == "2026-12-01"
    assert not finding["blocks"]
    summary = document["summary"]
    assert (summary["blocking"], summary["accepted"], summary["status"]) == (0, 1, 0)
    assert summary["severity"]["high"] == 0


def test_what_blocks_follows_what_was_asked() -> None:
    document = written(report(cannot_tell()), Severity.MEDIUM)
    assert document["summary"]["blocking"] == 1
    assert document["summary"]["block_on"] == "medium"
    assert document["findings"][0]["blocks"]


def test_a_screen_that_saw_not_everything_is_not_complete() -> None:
    assert not written(report("no check"))["summary"]["complete"]  # type: ignore[arg-type]
    assert not written(report(stray="record: rota\n"))["summary"]["complete"]
    assert not written(report(dietcheck="record: collection\n"))["summary"]["complete"]


def test_the_same_report_gives_the_same_bytes_whatever_came_first() -> None:
    checks = (breach(), cannot_tell(), kept(), kept(about="other"))
    one, other = (render("json", report(*c), Asked()) for c in (checks, checks[::-1]))
    assert one == other


@given(
    st.fractions(min_value=0, max_value=10**9),
    st.fractions(min_value=0, max_value=10**9),
)
def test_written_ranges_enclose_the_true_ones_closely(one: Fraction, other: Fraction) -> None:
    low, high = (exact(f.numerator) / f.denominator for f in sorted((one, other)))
    value = Interval(low.low, high.high)
    found = report(breach(measured=Measure(value, "g")))
    measured = written(found)["findings"][0]["measured"]
    tiny = Decimal("1e-14")
    assert Decimal(repr(measured["low"])) <= value.low * (1 + tiny)
    assert Decimal(repr(measured["low"])) >= value.low * (1 - tiny)
    assert Decimal(repr(measured["high"])) >= value.high * (1 - tiny)
    assert Decimal(repr(measured["high"])) <= value.high * (1 + tiny)
    if measured["low"] != measured["high"]:
        assert Decimal(repr(measured["low"])) <= value.low
        assert Decimal(repr(measured["high"])) >= value.high


def test_a_third_three_times_is_one() -> None:
    value = exact(1) / 3 * 3
    measured = written(report(breach(measured=Measure(value, "g"))))["findings"][0]["measured"]
    assert (measured["low"], measured["high"], measured["best"]) == (1, 1, 1)


@given(st.text(st.characters(), min_size=1, max_size=60))
def test_any_text_can_be_written_and_read_again(text: str) -> None:
    """Half a surrogate pair, which no file can hold, is spelt out."""
    found = replace(report(breach(message=text)), name=text)
    document = written(found)
    whole = text.encode("utf-8", "backslashreplace").decode()
    assert (document["collection"], document["findings"][0]["message"]) == (whole, whole)
