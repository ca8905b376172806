"""The Markdown for a pull request, read by the parser of a widespread code host."""

from __future__ import annotations

import re

import cmarkgfm
import pytest
from cmarkgfm.cmark import Options
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from dietcheck.contract import Check, Severity
from dietcheck.history.lookback import Lookback
from dietcheck.reporting import Asked, render
from dietcheck.reporting.markdown import MOST_LINES, escaped
from dietcheck.screening.screen import screen
from dietcheck.testing import Memory
from tests import records
from tests.hostile.test_output import NASTY, harmless, hostile
from tests.reporting.reports import ACCEPTED, breach, cannot_tell, kept, report

TAGS = {"h3", "h4", "p", "ul", "li", "strong", "em", "code", "sub"}
MOST_CHARACTERS = 60_000  # a code host takes 65,536 in one comment


def page(*checks: Check, block_on: Severity = Severity.HIGH, **changes: str) -> str:
    """The text about some checks."""
    return render("markdown", report(*checks, **changes), Asked(block_on=block_on))


def tags(text: str) -> set[str]:
    """The tags that the text is shown with; raw HTML in it counts."""
    shown = cmarkgfm.github_flavored_markdown_to_html(text, Options.CMARK_OPT_UNSAFE)
    return set(re.findall(r"<(\w+)", shown))


def test_what_stops_the_change_and_what_the_vet_decides() -> None:
    said = page(breach(), cannot_tell(), kept())
    assert said.startswith("### dietcheck: 1 finding stops this change\n")
    assert breach().message in said
    assert breach().advice in said
    assert "sheet.yaml:8:7" in said
    assert "cannot tell" in said
    assert "an analysis of the pellet" in said
    assert said.index("Stops this change") < said.index("For the vet to decide")


def test_low_findings_are_counted_only() -> None:
    said = page(breach(severity=Severity.LOW))
    assert "nothing stops this change" in said
    assert breach().message not in said
    assert "1 low" in said
    assert breach().message in page(breach(severity=Severity.LOW), block_on=Severity.LOW)


def test_a_screen_that_is_not_complete_never_looks_like_a_pass() -> None:
    for said in (page("no check"), page(dietcheck="record: collection\nname: Park\n")):  # type: ignore[arg-type]
        assert "the screen is not complete, so nothing here is cleared" in said
        assert "nothing stops" not in said


def test_accepted_findings_stand_there_with_the_days_left() -> None:
    said = page(breach(), signoff=ACCEPTED)
    assert "nothing stops this change" in said
    assert "Dr Vale" in said
    assert "6 days left" in said


def test_it_says_where_the_full_report_is() -> None:
    asked = Asked(written=("out/short.md", "out/found.json", "out/page.html"))
    assert "Full report: out/page.html, out/found.json." in render("markdown", report(), asked)
    assert "--write html:" in page()


def test_what_changed_since_the_earlier_version() -> None:
    old = records.small(sheet=records.sheet({"roots": ["{food: carrot, amount: 60 g per animal}"]}))
    found = screen(
        Memory(records.small()), records.ON, load=lambda _: (), earlier=Lookback(Memory(old))
    )
    said = render("markdown", found, Asked())
    assert "Brazilian tapir: carrot: 60 g per animal → 600 g per animal (roots)" in said
    assert "There is no earlier version" in page()


@pytest.mark.parametrize("severity", list(Severity))
def test_it_stays_short_whatever_the_collection(severity: Severity) -> None:
    many = [breach(about=f"cause {n}", severity=severity) for n in range(300)]
    blind = [cannot_tell(about=f"blind {n}") for n in range(300)]
    said = page(*many, *blind)
    assert len(said.splitlines()) <= MOST_LINES
    assert len(said) < MOST_CHARACTERS
    left = {Severity.HIGH: ["288"] * 2, Severity.MEDIUM: ["588"], Severity.LOW: ["288"]}
    assert re.findall(r"… and (\d+) more", said) == left[severity]


def test_every_section_at_its_fullest_stays_short() -> None:
    """Nothing of a real collection is missing here but the number of its groups."""
    found = report(*(breach(about=f"c{n}", severity=s) for s in Severity for n in range(99)))
    twice = report(breach(), signoff=ACCEPTED)
    off = report(
        breach(), more="rules: [{rule: toy-rule, set: off, why: w, set_by: V, on: 2026-01-01}]"
    )
    failed = report("no check")  # type: ignore[arg-type]
    full = replace(
        found,
        findings=(*found.findings, *twice.findings * 50),
        switched_off=off.switched_off * 50,
        failures=failed.failures * 50,
        left_out=("a.yaml",) * 50,
    )
    said = render("markdown", full, Asked())
    assert len(said.splitlines()) <= MOST_LINES
    assert len(said) < MOST_CHARACTERS


@pytest.mark.parametrize("text", NASTY.values(), ids=NASTY)
def test_hostile_texts(text: str) -> None:
    said = render("markdown", hostile(text), Asked())
    harmless(said)
    said.encode("utf-8")
    assert len(said.splitlines()) <= MOST_LINES
    assert len(said) < MOST_CHARACTERS
    assert tags(said) <= TAGS


@settings(max_examples=300, deadline=None)
@given(st.text("[]()<>!`*_~|@#&;:/\\wW.htpaml =-+x1\"'{}$%^\n\t", max_size=40) | st.text())
def test_no_text_of_a_record_becomes_markup(text: str) -> None:
    for start in ("", "- ", "- **x** · "):
        assert tags(f"{start}{escaped(text)}\n") <= {"p", "ul", "li", "strong"}
    assert "\n" not in escaped(text)


@pytest.mark.parametrize("text", ["@team", "#12", "park/diets#12", "!3", "a@b.example", "@@x"])
def test_no_text_calls_somebody_or_refers_to_something(text: str) -> None:
    """Code hosts look for these in the finished page, so a backslash does not help."""
    shown = cmarkgfm.github_flavored_markdown_to_html(escaped(text))
    assert not re.search(r"[@#!]\w", shown)
    assert "<a" not in shown


def test_plain_words_stay_as_they_are() -> None:
    text = "Tapir, T1: 13 kg (was 1.3 kg), 5 % of body mass; see sheet-1.yaml:8:7."
    assert escaped(text) == text


@pytest.mark.parametrize("text", ["# a", "## a", "- a", "+ a", "1. a", "12) a", "---", "==="])
def test_no_text_opens_a_block(text: str) -> None:
    for start in ("", "- ", "a\n"):
        assert tags(f"{start}{escaped(text)}\n") <= {"p", "ul", "li"}


def test_the_same_report_gives_the_same_bytes_whatever_came_first() -> None:
    checks = (breach(), cannot_tell(), kept(), breach(about="other"))
    assert page(*checks) == page(*checks[::-1])
