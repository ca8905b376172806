"""What a change does to the diets, for a terminal of 80 columns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dietcheck.quantities import Interval
from dietcheck.reporting import ration
from dietcheck.reporting.change_figures import Fed, Figure, signed
from dietcheck.reporting.change_report import (
    NOTES,
    ChangeReport,
    GroupChange,
    Told,
    span,
    told,
    totals,
    worse_from,
)
from dietcheck.reporting.change_words import said
from dietcheck.reporting.layout import WIDTH, listed, paragraph, shown
from dietcheck.reporting.ration_text import grid

GROUPS, PHRASES, FINDINGS, TROUBLES = 20, 30, 20, 10
"""Told one by one; the rest is counted."""


def render(report: ChangeReport) -> str:
    """The whole page."""
    lines = [*_head(report)]
    for group in report.groups[:GROUPS]:
        lines += _group(group)
    if left := report.groups[GROUPS:]:
        names = listed((shown(group.called, 60) for group in left), GROUPS)
        lines += ["", *paragraph(f"Changed as well: {names}.")]
    lines += _findings(report)
    lines += ["", *paragraph(" ".join(NOTES)), "", *paragraph(_last(report))]
    return "\n".join(lines) + "\n"


def _head(report: ChangeReport) -> Iterator[str]:
    before, after = shown(report.before.read_from, 200), shown(report.after.read_from, 200)
    yield from paragraph(f"{shown(report.after.name, 120)}: from {before} to {after}")
    if report.after.drafts:
        drafts = listed((shown(name, 200) for name in report.after.drafts), 5)
        yield from paragraph(f"With drafts laid over: {drafts}.", whole=True)
    troubles = list(report.troubles())
    if troubles:
        yield from ("", "Not everything could be read, so this may not be whole", "-" * WIDTH)
    for line in troubles[:TROUBLES]:
        yield from paragraph(line, 2)
    if (more := len(troubles) - TROUBLES) > 0:
        yield f"  and {more} more"


def _last(report: ChangeReport) -> str:
    if not report.is_whole:
        return "Not everything could be read or judged: nothing here is cleared."
    return f"In all: {totals(report)}."


def _group(group: GroupChange) -> Iterator[str]:
    state = {"new": ": new", "gone": ": no longer there"}.get(group.state, "")
    yield ""
    yield from paragraph(f"{shown(group.called, 80)} ({shown(group.group, 60)}){state}")
    yield "-" * WIDTH
    for change in group.changes[:PHRASES]:
        yield from paragraph(said(change, lambda text: shown(text, 120)), 2)
    if (more := len(group.changes) - PHRASES) > 0:
        yield f"  and {more} more"
    if group.state == "changed" and not group.fed:
        yield "  What each animal gets in a day stays the same."
    for fed in group.fed:
        yield from _fed(fed)


def _fed(fed: Fed) -> Iterator[str]:
    yield ""
    yield from paragraph(f"{animals(fed)}: a day, {span(fed)}")
    if not any(figure.before or figure.after for figure in fed.figures):
        yield "  Nothing is planned."
        return
    rows = [("", "", "before", "after", "difference")]
    rows += (
        (figure.title, figure.unit, was(figure), now(figure), apart(figure))
        for figure in fed.figures
        if not figure.is_same
    )
    yield from grid(rows, (22, 6, 17, 17, 18))
    if same := [figure.title for figure in fed.figures if figure.is_same]:
        yield from paragraph(f"Unchanged: {', '.join(same)}.")
    if any(fed.holes):
        yield from paragraph(holes(fed))


def animals(fed: Fed) -> str:
    """The animals that the figures are of."""
    return listed((shown(animal.called, 60) for animal in fed.animals), 8)


def was(figure: Figure) -> str:
    """The figure before, in words."""
    return _said(figure.before, figure.open_before, figure)


def now(figure: Figure) -> str:
    """The figure after, in words."""
    return _said(figure.after, figure.open_after, figure)


def _said(value: Interval | None, is_open: bool, figure: Figure) -> str:
    if value is None:
        return "nothing planned"
    return "unknown" if is_open and figure.is_ratio else ration.figure(value, is_open)


def apart(figure: Figure) -> str:
    """The difference in words; empty where one side has nothing to compare."""
    if figure.before is None or figure.after is None:
        return ""
    return signed(figure.difference)


def holes(fed: Fed) -> str:
    """How many feeds nobody wrote: they are in no figure."""
    return (
        f"Feeds for which nobody wrote what is fed are not counted: {fed.holes[0]} before, "
        f"{fed.holes[1]} after."
    )


def _findings(report: ChangeReport) -> Iterator[str]:
    found = report.difference
    new = [(told(finding, report.after), "") for finding in found.new]
    worse = [(told(f, report.after), worse_from(past, f)) for past, f in found.worsened]
    gone = [(told(finding, report.before, 160), "") for finding in found.gone]
    for title, entries in (
        ("Findings that are new", new),
        ("Findings that are worse", worse),
        ("Findings that are gone", gone),
    ):
        yield from ("", f"{title}: {len(entries) or 'none'}")
        if entries:
            yield "-" * WIDTH
        yield from _entries(entries)


def _entries(entries: Sequence[tuple[Told, str]]) -> Iterator[str]:
    for number, (one, before) in enumerate(entries[:FINDINGS], 1):
        yield from paragraph(one.heading, 4, f"{number}.")
        yield from paragraph(one.message, 4)
        if before:
            yield from paragraph(f"({before})", 4)
        if one.place:
            yield from paragraph(one.place, 4, whole=True)
    if (more := len(entries) - FINDINGS) > 0:
        yield f"and {more} more"
