"""The findings for a pull request: what stops it, what a vet decides, what changed; short.

However large the collection, the text stays under `MOST_LINES` lines, each of bounded length, so
that a code host takes it as a comment. Nothing that a record holds can become a link, a mention,
a reference, a table or HTML.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from dietcheck.nutrition.diet import Diet
from dietcheck.reporting import Asked, words
from dietcheck.reporting.change_found import changes_of
from dietcheck.reporting.change_words import said
from dietcheck.reporting.layout import listed, shown
from dietcheck.screening.checks import Severity, Verdict
from dietcheck.screening.findings import Finding
from dietcheck.screening.report import CAUTIONS, NOT_VISIBLE, Report

MOST_LINES = 60
STOPPING, DECIDING, ACCEPTED, GROUPS, TROUBLES = 12, 12, 4, 6, 4
PHRASES = 3
"""Changes of one group that are told; the others are counted."""

_SPECIAL = re.compile(r"([\\`*_\[\]|~$])")
# A code host looks for mentions and references in the finished page, where a backslash is gone: a
# mark of no width between the sign and the word keeps them apart.
_SIGNS = re.compile(r"([@#!%&$~])(?=[\w\"'@#-])")
_BLOCK = re.compile(r"^(\d*)([#+=.)-])")  # a heading or a list, at the start of a line or item
_NO_WIDTH = "&#8203;"


def escaped(text: object, longest: int = 300) -> str:
    """A text from a record as it may stand in a line of Markdown, nothing in it of any effect."""
    line = shown(text, longest)[: 2 * longest].strip()
    line = _SIGNS.sub("\\1\0", line)
    line = line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    line = _SPECIAL.sub(r"\\\1", line)
    line = line.replace("://", ":\\//")
    line = re.sub(r"(?i)\b(www)\.", r"\1\\.", line)
    line = _BLOCK.sub(r"\1\\\2", line)
    return line.replace("\0", _NO_WIDTH)


def render(report: Report, asked: Asked) -> str:
    """The whole text. The same report gives the same bytes."""
    lines = [
        f"### dietcheck: {_verdict(report, asked)}",
        "",
        escaped(_read(report), 500),
        *_troubles(report),
        *_findings(report, asked),
        *_accepted(report),
        *_changed(report),
        "",
        _counts(report),
        "",
        _full_report(asked),
        "",
        f"<sub>{escaped(' '.join((CAUTIONS[0], *CAUTIONS[3:])), 500)} No file can show: "
        f"{', '.join(NOT_VISIBLE)}.</sub>",
    ]
    return "\n".join(lines) + "\n"


def _verdict(report: Report, asked: Asked) -> str:
    if report.status(asked.block_on) == 2:
        return "the screen is not complete, so nothing here is cleared"
    count = len(report.blocking(asked.block_on))
    if count:
        return f"{count:,} {'finding stops' if count == 1 else 'findings stop'} this change"
    graver = sum(1 for f in _waiting(report, asked) if f.severity is not Severity.LOW)
    return "nothing stops this change" + (f"; {graver:,} to decide" if graver else "")


def _read(report: Report) -> str:
    drafts = f", {len(report.drafts)} of them drafts" if report.drafts else ""
    return (
        f"Judged as at {words.day(report.on)}: {shown(report.name, 120)}, {report.files:,} records"
        f"{drafts}, {shown(report.read_from, 100)}."
    )


def _troubles(report: Report) -> Iterator[str]:
    """What was not judged: it comes first, for nothing else says so."""
    told = []
    if report.collection is None:
        told.append("dietcheck.yaml cannot be read, so no diet was judged.")
    for failure in report.failures:
        where = escaped(report.group_called(failure.group), 80)
        told.append(f"The rule “{escaped(report.title(failure.rule), 80)}” failed on {where}.")
    for setting in report.switched_off:
        title, by = escaped(report.title(setting.rule), 80), escaped(setting.set_by, 60)
        told.append(f"Switched off by {by}: {title}. {escaped(setting.why, 160)}")
    if report.left_out:
        told.append(f"Left out of the check, by leave_out: {len(report.left_out):,} files.")
    yield from _section("Not judged", told, TROUBLES)


def _waiting(report: Report, asked: Asked) -> list[Finding]:
    return [f for f in report.findings if not f.accepted and not f.blocks(asked.block_on)]


def _findings(report: Report, asked: Asked) -> Iterator[str]:
    blocking = report.blocking(asked.block_on)
    waiting = [f for f in _waiting(report, asked) if f.severity is not Severity.LOW]
    waiting.sort(key=lambda f: f.check.verdict is Verdict.CANNOT_TELL)
    for title, found, most in (
        ("Stops this change", blocking, STOPPING),
        ("For the vet to decide", waiting, DECIDING),
    ):
        heading = f"{title}: {len(found):,}"
        yield from _section(heading, [_finding(f, report) for f in found[:most]], most, len(found))


def _finding(finding: Finding, report: Report) -> str:
    check = finding.check
    verdict = words.VERDICT[check.verdict]
    parts = [
        f"**{finding.severity.value.upper()}, {verdict}** · "
        f"{escaped(words.who(finding, report), 160)} · {escaped(check.message)}"
    ]
    if check.verdict is Verdict.CANNOT_TELL and check.settles:
        parts.append(f"*Needed:* {escaped(check.settles, 160)}.")
    if check.advice:
        parts.append(f"*Do now:* {escaped(check.advice, 200)}")
    if where := words.places(finding, report):
        parts.append(f"({escaped(where[0], 200)})")
    return " ".join(parts)


def _section(title: str, told: Sequence[str], most: int, count: int | None = None) -> Iterator[str]:
    """A heading with a list of one line each; nothing where there is nothing."""
    if not told:
        return
    yield from ("", f"**{title}**", "")
    yield from (f"- {line}" for line in told[:most])
    if (left := (len(told) if count is None else count) - most) > 0:
        yield f"- … and {left:,} more in the full report"


def _accepted(report: Report) -> Iterator[str]:
    found = [finding for finding in report.findings if finding.accepted]
    told = []
    for finding in found[:ACCEPTED]:
        assert finding.accepted is not None
        until = escaped(words.accepted(finding.accepted, report.on), 240)
        told.append(
            f"{escaped(words.who(finding, report), 160)}: {escaped(report.title(finding.rule), 80)}"
            f" ({finding.severity.value}), {until}"
        )
    yield from _section(f"Accepted by signature: {len(found):,}", told, ACCEPTED, len(found))


def _changed(report: Report) -> Iterator[str]:
    """The groups whose diet differs from the version it was compared with, a line each."""
    diets = report.diets or {}
    told = [line for group in sorted(diets) if (line := _group(diets[group], report))]
    past = next((diet.past for diet in diets.values() if diet.past), None)
    if past is None:
        why = f": {escaped(report.not_compared, 200)}" if report.not_compared else ""
        told = [f"There is no earlier version to compare with{why}."]
    else:
        gone = sorted(past.collection.groups.keys() - diets.keys())
        told += [f"{escaped(past.collection.groups[g].called, 60)}: no longer there" for g in gone]
    title = "What changed since the earlier version"
    yield from _section(title, told or ["No group's diet."], GROUPS)


def _group(diet: Diet, report: Report) -> str:
    called = escaped(diet.group.called, 60)
    if diet.past is None:
        return f"{called}: new"
    found = changes_of(diet.past.collection, diet.collection, diet.group.id, report.on)
    if not any(change.feeds for change in found):
        return ""
    phrases = [said(change, lambda text: escaped(text, 60)) for change in found]
    return f"{called}: {listed(phrases, PHRASES, '; ')}"


def _counts(report: Report) -> str:
    live = [finding for finding in report.findings if finding.accepted is None]
    by_severity = ", ".join(
        f"{sum(1 for f in live if f.severity is severity):,} {severity.value}"
        for severity in Severity
    )
    blind = sum(1 for f in live if f.check.verdict is Verdict.CANNOT_TELL)
    kept = report.count(Verdict.KEPT)
    return f"In all: {by_severity}; {blind:,} of them cannot be told; {kept:,} checks kept."


def _full_report(asked: Asked) -> str:
    """Where the whole report is: the page for the vet if this run wrote one."""
    others = [file for file in asked.written if not file.lower().endswith((".md", ".markdown"))]
    others.sort(key=lambda file: not file.lower().endswith((".html", ".htm")))
    if others:
        return f"Full report: {listed((escaped(file, 200) for file in others), 3)}."
    return "Full report: run `dietcheck screen --write html:report.html`."
