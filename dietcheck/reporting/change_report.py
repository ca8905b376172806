"""What a change does to the diets of a collection: what every kind of output starts from.

Each kind of file is one module with a function `render(report)` and a row in `KINDS`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from importlib import import_module
from typing import Literal

from msgspec import Struct

from dietcheck.collection.collection import Collection
from dietcheck.history.digest import content_digest
from dietcheck.nutrition.diet import Diet
from dietcheck.reporting import words
from dietcheck.reporting.change_figures import Fed, compare
from dietcheck.reporting.change_found import changes_of
from dietcheck.reporting.change_words import Change
from dietcheck.reporting.layout import shown
from dietcheck.screening.difference import Difference, difference
from dietcheck.screening.findings import Finding
from dietcheck.screening.report import RECORDS_RULE, Report

KINDS: Mapping[str, str] = {"json": "change_json", "markdown": "change_markdown"}

NOTES = (
    "Offered, not eaten: worked out from the amounts that are written and from tables and labels.",
    "A figure is a daily mean; a range is all that the inputs allow. A food given in the same "
    "amount before and after adds nothing to a difference.",
    "This is a screening aid. It is not veterinary advice, and no finding is not proof of safety.",
)
"""Printed with every comparison."""

State = Literal["changed", "new", "gone"]


class GroupChange(Struct, frozen=True):
    """A group whose diet is otherwise, or that is in only one of the two versions."""

    group: str
    called: str
    state: State
    changes: tuple[Change, ...]
    fed: tuple[Fed, ...]


class ChangeReport(Struct, frozen=True, eq=False):
    """Two screens of one collection as at the same day, and what differs between them."""

    before: Report
    after: Report
    groups: tuple[GroupChange, ...]
    difference: Difference

    @property
    def on(self) -> date:
        """The day as at which both were judged."""
        return self.after.on

    @property
    def is_whole(self) -> bool:
        """Whether everything on both sides could be read and judged."""
        return not any(True for _ in self.troubles())

    def troubles(self) -> Iterator[str]:
        """What could not be read or judged, a line each, ready to print."""
        for report, side in ((self.before, "earlier version"), (self.after, "now")):
            for finding in report.findings:
                if finding.rule == RECORDS_RULE:
                    where = next(iter(words.places(finding, report)), "")
                    yield f"{side}, {where}: {shown(finding.check.message, 300)}"
            for failure in report.failures:
                title = shown(report.title(failure.rule), 80)
                yield f"{side}: the rule “{title}” failed: {shown(failure.what, 200)}"


def render(kind: str, report: ChangeReport) -> str:
    """The text of a file of one of the `KINDS`. Only that kind's module is loaded."""
    text: str = import_module(f"dietcheck.reporting.{KINDS[kind]}").render(report)
    return text


def compare_reports(before: Report, after: Report) -> ChangeReport:
    """Compare two screens as at the same day. The settings of both could be read."""
    assert before.collection is not None
    assert after.collection is not None
    names = sorted({*before.collection.groups, *after.collection.groups})
    groups = (_group(name, before, after) for name in names)
    return ChangeReport(
        before, after, tuple(group for group in groups if group), difference(before, after)
    )


def _group(name: str, before: Report, after: Report) -> GroupChange | None:
    """What changed for a group; None if its diet did not."""
    was, now = ((report.diets or {}).get(name) for report in (before, after))
    if was is None or now is None:
        there = now or was
        assert there is not None
        state: State = "new" if was is None else "gone"
        return GroupChange(name, there.group.called, state, (), compare(was, now))
    if _is_untouched(was, now):
        return None
    changes = changes_of(was.collection, now.collection, name, now.on)
    fed = tuple(one for one in compare(was, now) if not one.is_same)
    if not fed and not any(change.feeds for change in changes):
        return None
    return GroupChange(name, now.group.called, "changed", changes, fed)


def _is_untouched(was: Diet, now: Diet) -> bool:
    """Whether all that a group's figures and words hang on is written the same: the quick way out
    for the hundreds of groups that a change does not touch."""
    name, on = now.group.id, now.on
    return (
        was.group == now.group
        and content_digest(was.collection, name, on) == content_digest(now.collection, name, on)
        and _settings(was.collection) == _settings(now.collection)
        and _treats(was.collection, name) == _treats(now.collection, name)
    )


def _settings(collection: Collection) -> tuple[object, ...]:
    settings = collection.settings
    return (
        settings.feeds,
        settings.extra_feeds,
        settings.rota_days,
        settings.weigh_every,
        settings.ad_lib_spread,
    )


def _treats(collection: Collection, group: str) -> list[object]:
    return [
        (gift.on, gift.slot, gift.purpose, line.food.id, line.food.record, line.amount.text)
        for gift in collection.treats.get(group, ())
        for line in gift.lines
    ]


class Told(Struct, frozen=True):
    """A finding in three texts, ready to print: what it is and of whom, what it says, where."""

    heading: str
    message: str
    place: str


def told(finding: Finding, report: Report, longest: int = 300) -> Told:
    """A finding in short."""
    verdict = words.VERDICT[finding.check.verdict]
    heading = f"{finding.severity.value.upper()}, {verdict} - {words.who(finding, report)}"
    if finding.accepted is not None:
        heading += f" ({words.accepted(finding.accepted, report.on)})"
    place = next(iter(words.places(finding, report)), "")
    return Told(heading, shown(finding.check.message, longest), place)


def worse_from(before: Finding, after: Finding) -> str:
    """What a finding was before it got worse."""
    if before.accepted is not None and after.accepted is None:
        return "was accepted"
    verdict = words.VERDICT[before.check.verdict]
    if (before.severity, before.check.verdict) != (after.severity, after.check.verdict):
        return f"was {before.severity.value}, {verdict}"
    return f"was: {shown(before.check.message, 200)}"


def span(fed: Fed) -> str:
    """The days that the figures are of."""
    return f"mean of {fed.days} days from {words.day(fed.first)}"


def totals(report: ChangeReport) -> str:
    """The counts of groups and findings in a sentence."""
    found = report.difference
    groups = len(report.groups)
    return (
        f"{groups} {'group' if groups == 1 else 'groups'} changed; findings: {len(found.new)} new, "
        f"{len(found.worsened)} worse, {len(found.gone)} gone"
    )
