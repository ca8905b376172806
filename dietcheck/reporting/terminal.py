"""The report for a keeper at a terminal: what stops the change first, what to do now beside it.

Plain text of at most 80 columns that reads the same without colour.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dietcheck.reporting import Asked, words
from dietcheck.reporting.layout import WIDTH, listed, paragraph, shown
from dietcheck.screening.checks import Severity, Verdict
from dietcheck.screening.findings import Finding
from dietcheck.screening.report import CAUTIONS, NOT_VISIBLE, Report

IN_FULL = 20
"""Findings of one section that are told in full; the others, and those that the keeper need only
look at, get their message and the first line to look at."""

_TALLY = ((Verdict.BREACH, "broken"), (Verdict.CANNOT_TELL, "cannot tell"))
_LABELS = 11  # columns of the labels under a finding


def render(report: Report, asked: Asked, colour: bool = False) -> str:
    """The whole page. `colour` only makes the severities easier to spot."""
    lines = [
        *_head(report),
        *_sections(report, asked, colour),
        *_accepted(report),
        *_summary(report),
        *_foot(),
        *_next(report, asked, colour),
    ]
    return "\n".join(lines) + "\n"


def _head(report: Report) -> Iterator[str]:
    yield from paragraph(f"{shown(report.name, 120)}, judged as at {words.day(report.on)}")
    read = f"Read: {_many(report.files, 'record')}, {report.read_from}"
    if report.drafts:
        drafts = listed((shown(name, 200) for name in report.drafts), 5)
        read += f", with {_many(len(report.drafts), 'draft')} laid over: {drafts}"
    yield from paragraph(f"{read}.", whole=True)


def _sections(report: Report, asked: Asked, colour: bool) -> Iterator[str]:
    """The findings that nobody accepted, each numbered, in the order in which to take them up."""
    blocking = report.blocking(asked.block_on)
    others = _waiting(report, asked)
    sections: list[tuple[str, Sequence[Finding]]] = [("This stops the change", blocking)]
    for severity in Severity:
        same = [finding for finding in others if finding.severity is severity]
        whose = words.WHOSE[severity]
        sections.append((whose[0].upper() + whose[1:], same))
    number = 0
    for title, findings in sections:
        if findings:
            yield from ("", f"{title}: {_many(len(findings), 'finding')}", "-" * WIDTH)
        for place, finding in enumerate(findings):
            number += 1
            lightly = finding.severity is Severity.LOW and findings is not blocking
            if place >= IN_FULL or lightly:
                yield from _in_short(number, finding, report)
            else:
                yield from _finding(number, finding, report, colour)


def _waiting(report: Report, asked: Asked) -> list[Finding]:
    """What nobody accepted and what yet stops nothing."""
    return [f for f in report.findings if not f.accepted and not f.blocks(asked.block_on)]


def _finding(number: int, finding: Finding, report: Report, colour: bool) -> Iterator[str]:
    check = finding.check
    verdict = words.VERDICT[check.verdict]
    heading = f"{finding.severity.value.upper()}, {verdict} - {words.who(finding, report)}"
    first, *rest = paragraph(heading, 4, f"{number}.")
    yield ""
    yield _marked(first, finding.severity) if colour else first
    yield from rest
    yield from paragraph(shown(check.message), 4)
    for label, text in _details(finding, report):
        if text:
            yield from paragraph(text, 4 + _LABELS, f"    {label}", whole=label == "where")


def _details(finding: Finding, report: Report) -> Iterator[tuple[str, str]]:
    check = finding.check
    yield "figures", _figures(finding)
    yield "when", words.when(finding, report)
    yield "where", listed(words.places(finding, report), 2)
    yield "do now", shown(check.advice)
    if check.verdict is Verdict.CANNOT_TELL:
        yield "needed", shown(check.settles, 160)
    yield "weak", listed((shown(weak, 100) for weak in check.weak), 2, "; ")
    yield "source", listed(words.sources(check, report), 2, "; ")
    yield "rule", f"{shown(finding.rule)}: {shown(report.title(finding.rule), 80)}"
    yield "finding", shown(finding.id)


def _figures(finding: Finding) -> str:
    check = finding.check
    parts = []
    if check.measured is not None:
        parts.append(f"measured {words.measured(check.measured, check.limit)}")
    if check.limit is not None:
        parts.append(f"limit {words.bounds(check.limit)}")
    if far := words.how_far(check):
        parts.append(far)
    return "; ".join(parts)


def _in_short(number: int, finding: Finding, report: Report) -> Iterator[str]:
    verdict = words.VERDICT[finding.check.verdict]
    said = f"{finding.severity.value.upper()}, {verdict}: {shown(finding.check.message, 200)}"
    yield from paragraph(said, 4, f"{number}.")
    for place in words.places(finding, report)[:1]:
        yield from paragraph(place, 4, whole=True)


def _accepted(report: Report) -> Iterator[str]:
    findings = [finding for finding in report.findings if finding.accepted]
    if findings:
        yield from ("", f"Accepted by signature: {_many(len(findings), 'finding')}", "-" * WIDTH)
    for finding in findings:
        assert finding.accepted is not None
        food = f", {shown(finding.check.food)}" if finding.check.food else ""
        yield from paragraph(
            f"{words.who(finding, report)}{food}: {shown(report.title(finding.rule), 80)} "
            f"({finding.severity.value}); {words.accepted(finding.accepted, report.on)}",
            2,
        )


def _summary(report: Report) -> Iterator[str]:
    yield from ("", "In all", "-" * WIDTH)
    for label, text in _tallies(report):
        yield from paragraph(text, 13, label)


def _tallies(report: Report) -> Iterator[tuple[str, str]]:
    is_open = [finding for finding in report.findings if finding.accepted is None]
    for severity in Severity:
        verdicts = [f.check.verdict for f in is_open if f.severity is severity]
        counts = ((verdicts.count(verdict), said) for verdict, said in _TALLY)
        yield severity.value, ", ".join(f"{n:,} {said}" for n, said in counts if n) or "none"
    if accepted := len(report.findings) - len(is_open):
        yield "accepted", f"{accepted}, not counted above"
    kept, none = report.count(Verdict.KEPT), report.count(Verdict.NOT_APPLICABLE)
    yield "checks", f"{kept:,} kept" + (f", {none:,} not applicable" if none else "")
    for setting in report.switched_off:
        title = shown(report.title(setting.rule), 80)
        said = f"{title}, by {shown(setting.set_by, 60)} on {words.day(setting.on)}: "
        yield "switched off", said + shown(setting.why, 200)
    for failure in report.failures:
        title = shown(report.title(failure.rule), 80)
        subject = shown(report.group_called(failure.group))
        yield "failed", f"the rule “{title}” on {subject}: {shown(failure.what, 200)}"
    if report.not_compared:
        yield "not compared", shown(report.not_compared, 200)
    if report.left_out:
        names = listed((shown(name, 100) for name in report.left_out), 2)
        yield "left out", f"{_many(len(report.left_out), 'file')}, by leave_out: {names}"


def _foot() -> Iterator[str]:
    yield ""
    yield from paragraph(" ".join(CAUTIONS))
    yield from paragraph(f"No file can show: {', '.join(NOT_VISIBLE)}.")


def _next(report: Report, asked: Asked, colour: bool) -> Iterator[str]:
    """What to do now, as the last thing on the screen."""
    blocking = report.blocking(asked.block_on)
    waiting = _waiting(report, asked)
    yield ""
    if report.status(asked.block_on) == 2:
        said = "The screen is not complete, so nothing here is cleared. " + _why_incomplete(report)
    elif blocking:
        one = len(blocking) == 1
        start = words.places(blocking[0], report)[:1]
        said = (
            f"{_many(len(blocking), 'finding')} {'stops' if one else 'stop'} this change. "
            f"Put {'it' if one else 'them'} right{f', starting at {start[0]}' if start else ''}; "
            "until then feed the last approved sheets."
        )
    elif waiting:
        said = (
            "Nothing stops this change. Left: "
            + ", ".join(f"{n:,} {words.WHOSE[s]}" for s, n in _by_severity(waiting) if n)
            + "."
        )
    else:
        kept = report.count(Verdict.KEPT)
        said = (
            f"Nothing was found in what is written: {kept:,} checks kept. That is no proof of "
            "safety; watch what is eaten."
        )
    lines = list(paragraph(said, whole=True))
    yield from (f"\033[1m{line}\033[0m" for line in lines) if colour else lines


def _by_severity(findings: Sequence[Finding]) -> Iterator[tuple[Severity, int]]:
    for severity in Severity:
        yield severity, sum(finding.severity is severity for finding in findings)


def _why_incomplete(report: Report) -> str:
    if report.collection is None:
        return "dietcheck.yaml cannot be read: put it right first, then screen again."
    rules = listed((f"“{shown(report.title(f.rule), 80)}”" for f in report.failures), 2)
    return f"A rule failed: {rules}. Tell whoever looks after dietcheck; feed the approved sheets."


def _many(count: int, word: str) -> str:
    return f"{count:,} {word}{'' if count == 1 else 's'}"


def _marked(line: str, severity: Severity) -> str:
    """The heading with its severity in bold, the gravest in red."""
    code = "1;31" if severity is Severity.HIGH else "1"
    word = severity.value.upper()
    return line.replace(word, f"\033[{code}m{word}\033[0m", 1)
