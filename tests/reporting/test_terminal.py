"""The page for a keeper: what it must hold, in which order, and how wide it may be."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from dietcheck.contract import Check, Measure, Severity, SourceRef, Standing, Verdict, exact
from dietcheck.reporting import Asked, words
from dietcheck.reporting.layout import WIDTH, shown, width, wrap
from dietcheck.reporting.terminal import IN_FULL, render
from dietcheck.screening.report import CAUTIONS, NOT_VISIBLE, Report
from tests import records
from tests.reporting.reports import (
    ACCEPTED,
    afternoons,
    breach,
    cannot_tell,
    kept,
    limit,
    report,
)


def page(*checks: Check, block_on: Severity = Severity.HIGH, **changes: str) -> str:
    """The page on the small park, without colour."""
    return render(report(*checks, **changes), Asked(block_on))


def flat(text: str) -> str:
    """A page with its line breaks and indents taken out."""
    return " ".join(text.split())


def test_a_finding_tells_all_a_keeper_needs() -> None:
    said = flat(page(breach()))
    check = breach()
    for needed in (
        "HIGH, rule broken",
        "Brazilian tapir: T1",
        check.message,
        "13 g/kg body mass",
        "at most 6 g/kg body mass a day",
        "2.1 times the limit",
        "2 of 4 feeds judged: days 1 and 2 afternoon",
        "sheet.yaml:8:7",
        "rota.yaml:1:1",
        check.advice,
        "weight 140 days old",
        "Renn P, Moss A 2020, p. 2 (only the abstract was read)",
        "Not too many carrots",
    ):
        assert needed in said


def test_a_finding_takes_a_dozen_lines_at_most() -> None:
    """As many lines stand between its number and the next as a card may have."""
    lines = page(breach(), breach(about="again")).splitlines()
    first, second = (next(n for n, x in enumerate(lines) if x.startswith(k)) for k in ("1.", "2."))
    assert second - first - 1 <= 12


def test_what_blocks_comes_first_then_the_vets_then_the_keepers() -> None:
    said = page(
        breach(severity=Severity.LOW, about="low"),
        cannot_tell(severity=Severity.MEDIUM),
        breach(about="high"),
    )
    order = re.findall(r"^\d+\. +(HIGH|MEDIUM|LOW)", said, re.MULTILINE)
    assert order == ["HIGH", "MEDIUM", "LOW"]
    titles = ("This stops the change:", "For the vet", "For the keeper")
    assert sorted(titles, key=said.index) == list(titles)


def test_what_blocks_follows_what_was_asked() -> None:
    mild = breach(severity=Severity.LOW)
    assert "Nothing stops this change" in flat(page(mild))
    assert "1 finding stops this change" in flat(page(mild, block_on=Severity.LOW))


def test_cannot_tell_is_never_worded_as_a_pass_and_names_what_is_needed() -> None:
    said = flat(page(cannot_tell()))
    assert "MEDIUM, cannot tell" in said
    assert "needed an analysis of the pellet" in said
    assert "Nothing was found" not in said


def test_a_clean_page_says_so_and_claims_no_safety() -> None:
    said = flat(page(kept(), kept(about="other")))
    assert "Nothing was found" in said
    assert "no proof of safety" in said
    assert "3 checks kept" in said  # the two, and that the records can be read


@pytest.mark.parametrize("checks", [(), (breach(),)])
def test_cautions_and_what_no_file_shows_stand_on_every_page(checks: tuple[Check, ...]) -> None:
    said = flat(page(*checks))
    assert all(caution in said for caution in CAUTIONS)
    assert all(thing in said for thing in NOT_VISIBLE)


def test_an_accepted_finding_takes_a_line_with_who_and_until() -> None:
    said = flat(page(breach(), signoff=ACCEPTED))
    assert "accepted by Dr Vale (vet) until 1 Dec 2026" in said
    assert "HIGH, rule broken" not in said
    assert "1, not counted above" in said


def test_rules_switched_off_are_named_with_person_and_reason() -> None:
    off = (
        "rules: [{rule: toy-rule, set: off, why: carrots are cheap, set_by: Dr Vale, on: "
        "2026-01-01}]"
    )
    said = flat(page(breach(), more=off))
    assert "Not too many carrots, by Dr Vale on 1 Jan 2026: carrots are cheap" in said


def test_files_left_out_are_counted_and_named() -> None:
    found = replace(report(), left_out=("drafts/a.yaml", "drafts/b.yaml", "drafts/c.yaml"))
    assert "3 files, by leave_out: drafts/a.yaml, drafts/b.yaml and 1 more" in flat(
        render(found, Asked())
    )


def test_a_rule_that_failed_leaves_nothing_cleared() -> None:
    said = flat(page("not a check"))  # type: ignore[arg-type]
    assert "The screen is not complete, so nothing here is cleared" in said
    assert "rule “Not too many carrots” on Brazilian tapir" in said


def test_settings_that_cannot_be_read_leave_nothing_cleared() -> None:
    said = flat(page(dietcheck="record: collection\nname: Park\n"))
    assert "not complete" in said
    assert "dietcheck.yaml cannot be read" in said


def test_what_the_keeper_only_looks_at_is_told_in_short_unless_it_blocks() -> None:
    mild = breach(severity=Severity.LOW)
    short = page(mild)
    assert mild.message in flat(short)
    assert "sheet.yaml:8:7" in short
    assert "do now" not in short
    assert "do now" in page(mild, block_on=Severity.LOW)


def test_many_findings_are_told_in_short_after_the_first() -> None:
    said = page(*(breach(about=f"cause {n}") for n in range(IN_FULL + 5)))
    numbers = re.findall(r"^(\d+)\. ", said, re.MULTILINE)
    assert numbers == [str(n) for n in range(1, IN_FULL + 6)]
    assert said.count("do now") == IN_FULL


def test_colour_adds_nothing_but_colour() -> None:
    found = report(breach(), cannot_tell())
    plain, coloured = (render(found, Asked(), colour) for colour in (False, True))
    assert "\033" not in plain
    assert re.sub(r"\033\[[\d;]*m", "", coloured) == plain != coloured


@pytest.mark.parametrize(
    ("value", "bounds", "said"),
    [
        (13, {"at_most": Decimal(6)}, "2.1 times the limit"),
        (7, {"at_most": Decimal(6)}, "16 % over the limit"),
        (3, {"at_most": None, "at_least": Decimal(12)}, "25 % of the least that is asked"),
        (1, {"at_most": Decimal(0)}, ""),
    ],
)
def test_how_far_past_is_never_overstated(value: int, bounds: object, said: str) -> None:
    """Invented figures: 13/6 = 2.166…, 7/6 - 1 = 16.66… %, 3/12 = 25 %."""
    assert isinstance(bounds, dict)
    check = breach(measured=Measure(exact(value), "g/kg", "body mass"), limit=limit(**bounds))
    assert words.how_far(check) == said


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        (
            {"unit": "%", "basis": "dry matter", "over": "rota"},
            "at most 6 % of dry matter over the rota",
        ),
        ({"unit": "%", "basis": "dry matter"}, "at most 6 % of dry matter in the food of a day"),
        ({"unit": "%", "basis": "as fed", "over": "meal"}, "at most 6 % as fed in one feed"),
        (
            {"unit": "mg/kg", "basis": "unstated", "over": "7 days"},
            "at most 6 mg/kg (of what is not stated) over 7 days",
        ),
        ({"unit": "g/kg^0.75", "basis": "metabolic body mass"}, "at most 6 g/kg^0.75 a day"),
        (
            {"unit": "feeds", "basis": "count", "over": "rota", "at_least": Decimal(2)},
            "at least 2 and at most 6 feeds over the rota",
        ),
        ({"unit": "", "basis": "ratio", "over": "rota"}, "at most 6 over the rota"),
        ({"at_most": None, "standing": Standing.NO_PUBLISHED_LIMIT}, "no published limit"),
    ],
)
def test_a_limit_says_what_it_is_counted_against(facts: dict[str, Any], said: str) -> None:
    assert words.bounds(limit(**facts)) == said


@pytest.mark.parametrize(
    ("citation", "said"),
    [
        ("Renn P, Moss A 2020. Carrots and tapirs. Invented J 1:2-3.", "Renn P, Moss A 2020"),
        ("Carrot board. Leaflet.", "Carrot board. Leaflet."),
        (f"Carrot board. {'Leaflet ' * 20}", f"Carrot board. {'Leaflet ' * 5}…"),
    ],
)
def test_a_citation_in_short_is_its_authors_and_year(citation: str, said: str) -> None:
    assert words.short(citation) == said


def test_animals_are_named_as_keepers_know_them() -> None:
    mass = "weighings: [{on: 2026-11-20, mass: 200 kg}]"
    three = records.group(
        animals=(f"{{id: T1, name: Aino, {mass}}}", f"{{id: T2, {mass}}}", f"{{id: T3, {mass}}}")
    )

    def who(*animals: str) -> str:
        found = report(breach(animals=animals), group=three)
        return words.who(found.findings[0], found)

    assert who("T1", "T2") == "Brazilian tapir: Aino (T1), T2"
    assert who("T1", "T2", "T3") == "Brazilian tapir: all 3 animals"
    assert who() == "Brazilian tapir"


@pytest.mark.parametrize(
    ("standing", "said"),
    [
        (Standing.COMMON_PRACTICE, "common practice, no source"),
        (Standing.NO_PUBLISHED_LIMIT, "no published limit"),
        (Standing.NOT_YET_SOURCED, "limit not yet sourced"),
    ],
)
def test_the_absences_of_a_source_keep_their_words(standing: Standing, said: str) -> None:
    check = breach(limit=limit(standing=standing, sources=(), evidence="", seen=""))
    assert f"source {said}" in flat(page(check))


def test_a_source_from_memory_is_marked() -> None:
    check = breach(limit=limit(seen="memory"), sources=(SourceRef("Unlisted1999"),))
    said = flat(page(check))
    assert "(from memory, not checked)" in said
    assert "Unlisted1999 (not in the bibliography)" in said


def test_a_site_rule_names_its_author() -> None:
    site = limit(standing=Standing.SITE_RULE, sources=(), set_by="Dr Vale", on="2026-03-10")
    assert "site rule, set by Dr Vale on 2026-03-10" in flat(page(breach(limit=site)))


@pytest.mark.parametrize(
    ("occasions", "said"),
    [
        (afternoons(2), "day 2 afternoon (17 Nov 2026)"),
        (tuple(replace(w, slot="") for w in afternoons(1)), "day 1 (16 Nov 2026)"),
        (tuple(replace(w, number=0) for w in afternoons(1)), "16 Nov 2026 afternoon"),
        ((*afternoons(1), *(replace(w, slot="morning") for w in afternoons(1))),
         "2 of 4 feeds judged: day 1 morning and afternoon"),
        (afternoons(1, 2, 3, 5, 9), "all 4 feeds judged"),
        ((), ""),
    ],
)  # fmt: skip
def test_days_are_folded(occasions: object, said: str) -> None:
    found = report(breach(occasions=occasions))
    assert words.when(found.findings[0], found) == said


def test_a_long_row_of_days_is_cut_with_a_count() -> None:
    found = report(
        breach(occasions=afternoons(*range(1, 31, 2))),
        dietcheck=records.settings(rota_days=30),
        rota=records.rota(["{morning: roots, afternoon: roots}"] * 30),
    )
    assert words.when(found.findings[0], found).endswith("day 11 afternoon and 9 more")


@given(st.text(max_size=300), st.integers(min_value=2, max_value=80))
def test_wrapped_lines_fit_and_lose_nothing_but_blanks(text: str, room: int) -> None:
    clean = shown(text)
    lines = list(wrap(clean, room))
    assert all(width(line) <= room for line in lines)
    assert "".join(lines).replace(" ", "") == clean.replace(" ", "")


@given(st.text(max_size=600))
def test_no_line_is_wider_than_the_page_and_all_can_be_printed(text: str) -> None:
    found: Report = report(
        breach(message=text, advice=text, food=text, about="x", weak=(text,)), title=text or "x"
    )
    for line in render(found, Asked()).split("\n"):
        assert width(line) <= WIDTH
        assert line.isprintable()


def test_verdicts_have_words() -> None:
    assert set(words.VERDICT) == set(Verdict)
