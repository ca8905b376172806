"""What a change does to the diets, as a comment on a pull request.

The text stays well under what code hosts take as one comment, whatever the collection; what is
left out is counted, and the JSON holds it all.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dietcheck.reporting import words
from dietcheck.reporting.change_figures import Fed
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
from dietcheck.reporting.change_text import animals, apart, holes, now, was
from dietcheck.reporting.change_words import said
from dietcheck.reporting.layout import shown
from dietcheck.reporting.markdown import escaped

GROUPS, TABLES, PHRASES, FINDINGS, TROUBLES = 12, 3, 8, 10, 4
"""Groups, tables of one group, changes of one group, findings of one list, troubles."""


def render(report: ChangeReport) -> str:
    """The whole text."""
    lines = [f"### What this change does to the diets: {totals(report)}", "", _read(report)]
    troubles = [escaped(line) for line in report.troubles()]
    title = "Not everything could be read or judged: nothing here is cleared"
    lines += _list(title, troubles, TROUBLES)
    lines += _findings(report)
    for group in report.groups[:GROUPS]:
        lines += _group(group)
    left = [f"{escaped(g.called, 60)} ({g.state})" for g in report.groups[GROUPS:]]
    lines += _list("Changed as well", left, GROUPS)
    lines += ["", f"<sub>{' '.join(NOTES)}</sub>"]
    return "\n".join(lines) + "\n"


def _read(report: ChangeReport) -> str:
    count = len(report.after.drafts)
    drafts = f", with {count} {'draft' if count == 1 else 'drafts'}" if count else ""
    before, after = (escaped(side.read_from, 100) for side in (report.before, report.after))
    name = escaped(report.after.name, 120)
    return f"Judged as at {words.day(report.on)}: {name}, from {before} to {after}{drafts}."


def _findings(report: ChangeReport) -> Iterator[str]:
    found = report.difference
    new = [_finding(told(f, report.after)) for f in found.new[:FINDINGS]]
    worse = [
        _finding(told(f, report.after), worse_from(past, f))
        for past, f in found.worsened[:FINDINGS]
    ]
    gone = [_finding(told(f, report.before, 160)) for f in found.gone[:FINDINGS]]
    yield from _list(f"Findings that are new: {len(found.new)}", new, FINDINGS, len(found.new))
    count = len(found.worsened)
    yield from _list(f"Findings that are worse: {count}", worse, FINDINGS, count)
    yield from _list(f"Findings that are gone: {len(found.gone)}", gone, FINDINGS, len(found.gone))


def _finding(one: Told, before: str = "") -> str:
    parts = [f"**{escaped(one.heading, 200)}** · {escaped(one.message)}"]
    parts += [f"({escaped(text, 200)})" for text in (before, one.place) if text]
    return " ".join(parts)


def _list(title: str, told_: Sequence[str], most: int, count: int | None = None) -> Iterator[str]:
    """A heading with a list of one line each; nothing where there is nothing."""
    if not told_:
        return
    yield from ("", f"**{title}**", "")
    yield from (f"- {line}" for line in told_[:most])
    if (left := (len(told_) if count is None else count) - most) > 0:
        yield f"- … and {left:,} more"


def _group(group: GroupChange) -> Iterator[str]:
    state = {"new": ": new", "gone": ": no longer there"}.get(group.state, "")
    phrases = [said(change, lambda text: escaped(text, 100)) for change in group.changes]
    yield from ("", f"#### {escaped(group.called, 80)}{state}")
    if phrases:
        yield ""
        yield from (f"- {phrase}" for phrase in phrases[:PHRASES])
    if (more := len(phrases) - PHRASES) > 0:
        yield f"- … and {more:,} more"
    for fed in group.fed[:TABLES]:
        yield from _table(fed)
    if (more := len(group.fed) - TABLES) > 0:
        yield from (
            "",
            f"… and {more:,} more sets of animals with figures of their own.",
        )


def _table(fed: Fed) -> Iterator[str]:
    yield from ("", f"A day of {escaped(animals(fed), 200)}, {span(fed)}:", "")
    yield "| | before | after | difference |"
    yield "|---|---:|---:|---:|"
    for figure in fed.figures:
        if not figure.is_same:
            name = shown(f"{figure.title}, {figure.unit}")
            yield f"| {name} | {was(figure)} | {now(figure)} | {apart(figure)} |"
    if same := [figure.title for figure in fed.figures if figure.is_same]:
        yield from ("", f"Unchanged: {', '.join(same)}.")
    if any(fed.holes):
        yield from ("", holes(fed))
