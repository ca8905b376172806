"""The JUnit file against the XML schema of a widespread CI server, and what its cases say."""

from __future__ import annotations

from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from dietcheck.contract import Check, Severity, not_applicable
from dietcheck.reporting import Asked, render
from dietcheck.reporting.junit import IN_FULL
from dietcheck.screening.report import Report
from tests.hostile.test_output import NASTY, hostile
from tests.reporting.reports import ACCEPTED, breach, cannot_tell, kept, report

OFF = "rules: [{rule: toy-rule, set: off, why: w, set_by: V, on: 2026-01-01}]"


@cache
def schema() -> Any:
    """The schema, as another project's tests carry it; its licence stands in it."""
    return etree.XMLSchema(etree.parse(str(Path(__file__).parent / "data" / "junit-10.xsd")))


def read(found: Report, block_on: Severity = Severity.HIGH) -> Any:
    """The file as a dashboard reads it: valid, its counts right and its names unique."""
    text = render("junit", found, Asked(block_on=block_on))
    root = etree.fromstring(text.encode("utf-8"))
    schema().assertValid(root)
    cases = root.findall(".//testcase")
    assert max(Counter(case.get("name") for case in cases).values()) == 1
    for part in (root, *root.findall("testsuite")):
        for attribute, tag in (("failures", "failure"), ("errors", "error")):
            assert int(part.get(attribute, "none")) == len(part.findall(f".//{tag}"))
        assert int(part.get("tests", "none")) == len(part.findall(".//testcase"))
    assert all(len(element.get("time", "0").partition(".")[2]) <= 3 for element in root.iter())
    return root


def outcome(*checks: Check, block_on: Severity = Severity.HIGH, **changes: str) -> tuple[str, str]:
    """How the case of the toy rule came out: the tag, and all that is said."""
    root = read(report(*checks, **changes), block_on)
    (case,) = (c for c in root.findall(".//testcase") if c.get("classname") == "toy-rule")
    if not len(case):
        return "passed", ""
    (told,) = case
    return told.tag, f"{told.get('type')}: {told.get('message')}\n{told.text}"


def test_kept_passes_and_nothing_else_does() -> None:
    assert outcome(kept()) == ("passed", "")
    assert outcome(kept(), not_applicable("other", "no bird")) == ("passed", "")
    for checks in ((breach(),), (cannot_tell(),), (kept(), cannot_tell(severity=Severity.LOW)),
                   (not_applicable("all", "no bird here"),)):  # fmt: skip
        for block_on in Severity:
            assert outcome(*checks, block_on=block_on)[0] != "passed"


def test_what_stops_the_change_fails() -> None:
    tag, said = outcome(breach(), cannot_tell())
    assert tag == "failure"
    assert breach().message in said
    assert breach().advice in said
    assert "sheet.yaml:8:7" in said
    assert outcome(cannot_tell(), block_on=Severity.MEDIUM)[0] == "failure"


def test_what_is_open_but_stops_nothing_is_skipped_with_its_reason() -> None:
    tag, said = outcome(cannot_tell())
    assert tag == "skipped"
    assert "medium, cannot tell" in said
    assert "an analysis of the pellet" in said
    assert outcome(not_applicable("all", "no bird here")) == (
        "skipped",
        "does not apply: no bird here\nno bird here",
    )


def test_accepted_and_switched_off_are_skipped_with_name() -> None:
    tag, said = outcome(breach(), signoff=ACCEPTED)
    assert tag == "skipped"
    assert "accepted by Dr Vale" in said
    tag, said = outcome(breach(), more=OFF)
    assert tag == "skipped"
    assert "Switched off by V" in said


def test_a_rule_that_failed_and_settings_that_cannot_be_read_are_errors() -> None:
    assert outcome("no check")[0] == "error"  # type: ignore[arg-type]
    root = read(report(dietcheck="record: collection\nname: Park\n"))
    assert root.get("errors") == "1"
    assert int(root.get("failures")) >= 1


def test_a_case_a_rule_and_group() -> None:
    root = read(report(breach(), breach(about="other")))
    names = [case.get("name") for case in root.findall(".//testcase")]
    assert names == ["records-readable: collection", "toy-rule: Brazilian tapir (tapir)"]


def test_many_findings_of_one_case_are_counted() -> None:
    tag, said = outcome(*(breach(about=f"cause {n}") for n in range(IN_FULL + 5)))
    assert tag == "failure"
    assert said.endswith("and 5 more")


@pytest.mark.parametrize("text", NASTY.values(), ids=NASTY)
def test_hostile_texts(text: str) -> None:
    root = read(hostile(text))
    assert root.get("failures") == "1"


@settings(max_examples=60, deadline=None)
@given(st.text(st.characters(), min_size=1, max_size=60))
def test_any_text_makes_a_valid_file(text: str) -> None:
    read(hostile(text))


def test_the_same_report_gives_the_same_bytes_whatever_came_first() -> None:
    checks = (breach(), cannot_tell(), kept(), breach(about="other"), not_applicable("x", "y"))
    one, other = (render("junit", report(*c), Asked()) for c in (checks, checks[::-1]))
    assert one == other
