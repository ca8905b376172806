"""The screen as JUnit XML, for dashboards of CI servers: a test case a rule and group.

A case passes only when every check of the rule on the group was kept. It fails when a finding
stops the change, and is an error when the rule itself failed. Whatever else is open, accepted,
switched off or not applicable is skipped with the reason: the format has no third way to say that
something is not a pass. The shape is that of the XML schema of the xUnit plugin of a widespread CI
server (`junit-10.xsd`, MIT licence), which the tests hold it against.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from xml.etree import ElementTree

from msgspec import Struct

from dietcheck.reporting import Asked, words
from dietcheck.reporting.layout import listed, shown
from dietcheck.screening.checks import Verdict
from dietcheck.screening.findings import Finding
from dietcheck.screening.report import RECORDS_RULE, Report

IN_FULL = 20
"""Findings of one case that are told; the others are counted."""

Key = tuple[str, str | None]  # the rule, and the group: None is the collection


class _Case(Struct, frozen=True):
    """One case: `outcome` is a tag of the format, or empty for a pass."""

    name: str
    group: str
    outcome: str = ""
    kind: str = ""
    said: tuple[str, ...] = ()


def render(report: Report, asked: Asked) -> str:
    """The whole file as text. The same report gives the same bytes."""
    cases = _cases(report, asked)
    facts = {"name": "dietcheck", **_counts(cases), "time": "0"}
    root = ElementTree.Element("testsuites", facts)
    for rule, of_rule in cases.items():
        _suite(root, rule, of_rule, report)
    ElementTree.indent(root)
    body = ElementTree.tostring(root, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{body}\n'


def _suite(root: ElementTree.Element, rule: str, cases: Sequence[_Case], report: Report) -> None:
    counts = _counts({rule: cases}) | {"skipped": str(_count(cases, "skipped"))}
    facts = {"name": _title(rule, report), **counts, "time": "0"}
    suite = ElementTree.SubElement(root, "testsuite", facts)
    properties = ElementTree.SubElement(suite, "properties")
    for name, value in (("rule", shown(rule)), ("judged as at", report.on.isoformat())):
        ElementTree.SubElement(properties, "property", name=name, value=value)
    for case in cases:
        facts = {"name": case.name, "classname": shown(rule), "time": "0"}
        element = ElementTree.SubElement(suite, "testcase", facts)
        if case.group:
            element.set("group", case.group)
        if case.outcome:
            facts = {"type": case.kind, "message": case.said[0]}
            told = ElementTree.SubElement(element, case.outcome, facts)
            told.text = "\n".join(_cut(case.said))


def _counts(cases: dict[str, Sequence[_Case]]) -> dict[str, str]:
    every = [case for of_rule in cases.values() for case in of_rule]
    return {
        "tests": str(len(every)),
        "failures": str(_count(every, "failure")),
        "errors": str(_count(every, "error")),
    }


def _count(cases: Sequence[_Case], outcome: str) -> int:
    return sum(1 for case in cases if case.outcome == outcome)


def _cut(said: tuple[str, ...]) -> list[str]:
    left = len(said) - IN_FULL
    return [*said[:IN_FULL], *([f"and {left} more"] if left > 0 else [])]


def _cases(report: Report, asked: Asked) -> dict[str, Sequence[_Case]]:
    """The cases by rule; every name stands once in the whole file, as dashboards need it."""
    taken: set[str] = set()
    found: dict[str, list[_Case]] = defaultdict(list)
    for key, (outcome, kind, said) in _outcomes(report, asked).items():
        plain = _name(key, report)
        names = (plain, *(f"{plain} [{number}]" for number in range(2, len(taken) + 3)))
        name = next(name for name in names if name not in taken)
        taken.add(name)
        found[key[0]].append(_Case(name, shown(key[1] or ""), outcome, kind, said))
    return dict(found)


def _name(key: Key, report: Report) -> str:
    rule, group = key
    where = (
        f"{shown(report.group_called(group), 80)} ({shown(group, 80)})" if group else "collection"
    )
    return f"{shown(rule, 80)}: {where}"


def _title(rule: str, report: Report) -> str:
    known = rule in report.rules or rule == RECORDS_RULE
    return shown(report.title(rule) if known else rule, 120)


Outcome = tuple[str, str, tuple[str, ...]]
_PASS: Outcome = ("", "", ())


def _outcomes(report: Report, asked: Asked) -> dict[Key, Outcome]:
    """How every rule came out on every group, in the order of their names."""
    findings: dict[Key, list[Finding]] = defaultdict(list)
    for finding in report.findings:
        findings[finding.rule, finding.group].append(finding)
    kept: dict[Key, bool] = {}
    idle: dict[Key, set[str]] = defaultdict(set)  # why the rule has nothing to judge
    for one in report.judged:
        key = (one.rule, one.group)
        kept[key] = kept.get(key, False) or one.check.verdict is Verdict.KEPT
        if one.check.verdict is Verdict.NOT_APPLICABLE:
            idle[key].add(shown(one.check.message))
    failed = {(f.rule, f.group): f.what for f in report.failures}
    outcomes: dict[Key, Outcome] = {}
    for key in sorted({*kept, *findings, *failed}, key=lambda key: (key[0], key[1] or "")):
        if key in failed:
            said = f"The rule failed: {shown(failed[key], 300)}"
            outcomes[key] = ("error", "the rule failed", (said,))
        elif key in findings:
            outcomes[key] = _with_findings(findings[key], report, asked)
        else:
            why = tuple(sorted(idle[key]))
            outcomes[key] = _PASS if kept[key] else ("skipped", "does not apply", why)
    if report.collection is None:
        said = "dietcheck.yaml cannot be read, so no diet was judged."
        outcomes["settings", None] = ("error", "nothing was judged", (said,))
    return outcomes | dict(_switched_off(report))


def _with_findings(findings: Sequence[Finding], report: Report, asked: Asked) -> Outcome:
    """What stops the change makes a failure; else what is open is skipped, and what is accepted."""
    blocking = [finding for finding in findings if finding.blocks(asked.block_on)]
    if blocking:
        kind = f"{blocking[0].severity.value}, stops the change"
        return "failure", kind, _told(blocking, report)
    is_open = [finding for finding in findings if finding.accepted is None]
    if not is_open:
        return "skipped", "accepted", _told(findings, report)
    worst = is_open[0]
    kind = f"{worst.severity.value}, {words.VERDICT[worst.check.verdict]}"
    return "skipped", kind, _told(is_open, report)


def _told(findings: Sequence[Finding], report: Report) -> tuple[str, ...]:
    return tuple(" ".join(_sentences(finding, report)) for finding in findings)


def _sentences(finding: Finding, report: Report) -> Iterator[str]:
    check = finding.check
    verdict = words.VERDICT[check.verdict]
    yield f"{finding.severity.value.upper()}, {verdict}: {shown(check.message)}"
    if finding.accepted is not None:
        yield f"[{words.accepted(finding.accepted, report.on)}]"
    if check.advice:
        yield f"Do now: {shown(check.advice)}"
    if check.verdict is Verdict.CANNOT_TELL and check.settles:
        yield f"Needed: {shown(check.settles, 200)}."
    if where := listed(words.places(finding, report), 2):
        yield f"Where: {where}"


def _switched_off(report: Report) -> Iterator[tuple[Key, Outcome]]:
    for setting in sorted(report.switched_off, key=lambda setting: setting.rule):
        said = (
            f"Switched off by {shown(setting.set_by, 60)} on {words.day(setting.on)}: "
            f"{shown(setting.why, 200)}"
        )
        yield (setting.rule, None), ("skipped", "switched off", (said,))
