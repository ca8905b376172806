"""The page for the vet: what it holds, in which order, whatever the records hold. All invented."""

from __future__ import annotations

from datetime import date
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import pytest
from msgspec.structs import force_setattr, replace

from dietcheck.collection.places import Pointer
from dietcheck.contract import Severity
from dietcheck.reporting import Asked, render
from dietcheck.reporting.html import changes
from dietcheck.reporting.html.cards import CHOICES
from dietcheck.screening.report import CAUTIONS, NOT_VISIBLE, Report
from dietcheck.testing import report_of
from tests import records
from tests.reporting.reports import (
    ACCEPTED,
    Toy,
    afternoons,
    breach,
    cannot_tell,
    kept,
    limit,
    report,
)

VOID = {"meta", "input", "br", "link", "img"}
HARMFUL = {"script", "iframe", "object", "embed", "link", "img", "base", "form", "foreignObject"}


class Page(HTMLParser):
    """Reads a page strictly: every tag is closed in its turn, every id stands once."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: list[str] = []
        self.tags: set[str] = set()
        self.headings: list[int] = []
        self.attributes: list[tuple[str, str, str]] = []
        self.cards: list[str] = []
        self.said: list[str] = []
        self.feed(text)
        self.close()
        assert self.open == []
        assert len(self.ids) == len(set(self.ids))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes.extend((tag, name, value or "") for name, value in attrs)
        self.ids.extend(value or "" for name, value in attrs if name == "id")
        if len(tag) == 2 and tag[0] == "h" and tag[1].isdigit():
            self.headings.append(int(tag[1]))
        if tag == "article":
            self.cards.append(dict(attrs)["class"] or "")
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes.extend((tag, name, value or "") for name, value in attrs)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.said.append(data)

    @property
    def text(self) -> str:
        """All that the page says, in one line."""
        return " ".join(" ".join(self.said).split())


def page_of(found: Report) -> Page:
    """The page of a report, read back."""
    return Page(render("html", found, Asked()))


def section(text: str, start: str) -> str:
    """The page's text from the heading with that id to the next heading of its level."""
    return text.split(f'id="{start}"', 1)[1].split("<h2", 1)[0]


def test_blocks_stand_in_the_order_in_which_a_vet_needs_them() -> None:
    text = render("html", report(breach(), cannot_tell(), kept()), Asked())
    order = (
        "decisions", "cannot-tell", "accepted", "passed", "low", "sign-off", "cautions", "sources"
    )  # fmt: skip
    places = [text.index(f'<h2 id="{name}"') for name in order]
    assert places == sorted(places)
    assert text.index("Test Park") < places[0]


def test_the_card_holds_what_a_decision_rests_on() -> None:
    said = page_of(report(breach())).text
    for part in (
        "Tapir T1, carrot: 13 g for each kg of body mass a day.",
        "2600 g ÷ 200 kg = 13 g/kg",
        "at most 6 g/kg body mass a day",
        "Renn P, Moss A 2020",
        "only the abstract was read",
        "weight 140 days old",
        "200 kg on 20 Nov 2026 (5 days ago)",
        *CHOICES,
    ):
        assert part in said


def test_a_risk_nobody_may_accept_offers_no_approval() -> None:
    said = page_of(report(breach(never_accepted=True))).text
    assert "Stop feeding" in said
    assert "Approve with limit" not in said


def test_decisions_and_unknowns_are_apart_and_low_findings_are_folded_away() -> None:
    low = breach(about="low", severity=Severity.LOW, message="A low one.")
    text = render("html", report(breach(), cannot_tell(), low), Asked())
    assert "13 g for each kg" in section(text, "decisions")
    assert "an analysis of the pellet" in section(text, "cannot-tell")
    assert "A low one." not in section(text, "decisions") + section(text, "cannot-tell")
    assert section(text, "low").index("<details>") < section(text, "low").index("A low one.")


def test_high_findings_come_before_medium_ones() -> None:
    medium = breach(about="m", severity=Severity.MEDIUM)
    assert page_of(report(medium, breach())).cards == ["card high", "card medium"]


def test_an_accepted_risk_is_no_decision_but_stands_with_its_days_left() -> None:
    found = report(breach(), sign_off=ACCEPTED)
    text = render("html", found, Asked())
    assert page_of(found).cards == []
    assert "Dr Vale" in section(text, "accepted")
    assert '<td class="n">6</td>' in section(text, "accepted")  # 25 Nov to 1 Dec


def test_an_acceptance_that_has_ended_is_not_shown_as_live() -> None:
    ended = ACCEPTED.replace("until: 2026-12-01", "until: 2026-11-22")
    text = render("html", report(breach(), sign_off=ended), Asked())
    assert "None." in section(text, "accepted")


def test_cautions_and_what_no_file_shows_are_always_there() -> None:
    for found in (report(kept()), report(breach())):
        said = page_of(found).text
        assert all(caution in said for caution in (*CAUTIONS, *NOT_VISIBLE))


def test_a_range_across_its_limit_is_told_to_those_who_cannot_see_it() -> None:
    labels = [v for _, n, v in page_of(report(cannot_tell())).attributes if n == "aria-label"]
    assert any("nobody can tell" in label for label in labels)


def test_every_picture_has_a_text() -> None:
    page = page_of(report(breach(), cannot_tell()))
    pictures = sum(1 for tag, name, _ in page.attributes if (tag, name) == ("svg", "role"))
    labels = [v for tag, name, v in page.attributes if (tag, name) == ("svg", "aria-label")]
    assert pictures == len(labels) > 4
    assert all(labels)


def test_headings_never_skip_a_level() -> None:
    levels = page_of(report(breach(), cannot_tell())).headings
    assert levels[0] == 1
    assert all(later - former <= 1 for former, later in pairwise(levels))


def test_nothing_is_fetched_and_nothing_runs() -> None:
    page = page_of(report(breach(), cannot_tell(), kept()))
    assert not page.tags & HARMFUL
    for _, name, value in page.attributes:
        assert not name.startswith("on")
        if name in ("href", "src"):
            assert value.startswith("#")


def test_the_same_report_gives_the_same_bytes() -> None:
    one, other = (report(breach(), cannot_tell(), kept()) for _ in range(2))
    assert render("html", one, Asked()) == render("html", other, Asked())


DRAFT = records.sheet({"roots": ["{food: carrot, amount: 900 g per animal}"]})


def test_a_draft_is_told_as_old_and_new() -> None:
    found = report_of(Toy([kept()]), records.small(), records.ON, {"sheet.yaml": DRAFT})
    assert changes.changes(found, changes.digests(found)) == [
        "Brazilian tapir: carrot 1200 g a day → 1800 g a day."
    ]


def test_without_an_earlier_version_the_page_says_so() -> None:
    assert "no earlier version" in page_of(report(kept())).text


def test_the_fingerprint_follows_the_diet_and_nothing_else() -> None:
    def print_of(**files: str) -> str:
        return changes.fingerprint(changes.digests(report(kept(), **files)))

    assert print_of() == print_of(sheet=records.small()["sheet.yaml"] + "# a note\n")
    assert print_of() != print_of(sheet=DRAFT)


def test_settings_that_cannot_be_read_still_give_a_page() -> None:
    files = records.small(dietcheck="record: collection\n")
    found = report_of(Toy([kept()]), files, records.ON)
    said = page_of(found).text
    assert "Not everything could be judged" in said
    assert "Nothing stops" not in said


def test_an_empty_group_and_a_group_without_a_rota_are_drawn() -> None:
    empty = records.group(animals=("{id: T1, here_until: 2026-01-01}",))
    for found in (
        report(breach(animals=()), group=empty),
        report(breach(), rota=records.rota(["{morning: roots}"], start="2028-01-01")),
    ):
        page_of(found)


NASTY = {
    "markup": "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>&amp;</style></svg>",
    "template": "{{ 7 * 7 }}{% raw %}",
    "controls": "\x1b[31mred\x9b\0\u202egnp\u2028",
    "half a pair": "\ud800",
    "long": "carrot" * 2000,
    "wide": "胡萝卜" * 100,
}


@pytest.mark.parametrize("text", NASTY.values(), ids=NASTY)
def test_no_text_from_a_record_or_a_rule_becomes_markup(text: str) -> None:
    checks = [
        make(
            message=text,
            advice=text,
            food=text,
            about=text,
            animals=("T1", text),
            occasions=tuple(replace(w, slot=text, meal=text) for w in afternoons(1)),
            weak=(text,),
            settles=text,
            working=(text,),
            places=(Pointer(text), Pointer("sheet.yaml")),
            limit=limit(note=text, evidence=text, set_by=text, on=text, unit=text),
        )
        for make in (breach, cannot_tell)
    ]
    found = _renamed(report(*checks, title=text, sign_off=ACCEPTED), text)
    written = render("html", found, Asked())
    page = Page(written)
    assert not page.tags & HARMFUL
    assert not any(name.startswith("on") for _, name, _ in page.attributes)
    assert not any(c in written for c in "\x1b\x9b\0\u202e\u2028")
    written.encode("utf-8")
    assert len(written) < 200_000


def _renamed(found: Report, text: str) -> Report:
    """The report with the text as every name that a record gives."""
    assert found.collection is not None
    for group in found.collection.groups.values():
        for animal in group.animals:
            force_setattr(animal, "name", text)
            force_setattr(animal, "sex", text)
            force_setattr(animal, "born", text)
            force_setattr(animal, "never", (text,))
            force_setattr(animal, "health", (text,))
        force_setattr(group, "name", text)
    for sheets in found.collection.sheets.values():
        for sheet in sheets:
            force_setattr(sheet, "reason", text)
            force_setattr(sheet, "written_by", text)
    for food in found.collection.foods.values():
        force_setattr(food, "name", text)
    return replace(
        found, name=text, left_out=(text,), drafts=(text,), read_from=text, tool_version=text
    )


def test_the_command_writes_it(tmp_path: Path) -> None:
    from tests.commands.console import call, write

    park = write(tmp_path)
    done = call(
        "screen", "--on", date(2026, 11, 25).isoformat(), "--write", "html:r.html", cwd=park
    )
    assert done.status in (0, 1)
    Page((park / "r.html").read_text("utf-8"))
