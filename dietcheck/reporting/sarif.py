"""The findings as SARIF 2.1.0, so that a code host can show them beside the lines of the records.

SARIF is the OASIS standard "Static Analysis Results Interchange Format"; the rules that code
hosts add to it are kept too: every result has a file and a line, the graver ones come first, and
no more than 5,000 are written.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from typing import Any
from urllib.parse import quote

from dietcheck.collection.places import Pointer
from dietcheck.reading import Place
from dietcheck.reporting import Asked, words
from dietcheck.reporting.layout import shown
from dietcheck.screening.checks import Check, Severity
from dietcheck.screening.findings import Finding
from dietcheck.screening.report import RECORDS_RULE, Report
from dietcheck.screening.said import Failure

MOST_RESULTS = 5_000
"""Results that a code host shows; a longer file it cuts off without a word, or refuses."""

MOST_RELATED = 20
"""Further lines of one result; some findings have one for every meal of a rota."""

LEVEL = {Severity.HIGH: "error", Severity.MEDIUM: "warning", Severity.LOW: "note"}

_SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
_RECORDS_HELP = (
    "A record that cannot be read, or that does not fit the others, is not judged by any other "
    "rule, so it is never cleared to feed. It cannot be accepted by a signature."
)
_ROOT = "dietcheck.yaml"

Json = dict[str, Any]


def render(report: Report, asked: Asked) -> str:
    """The report as SARIF text, ASCII only; the same report gives the same bytes."""
    return json.dumps(document(report, asked), indent=1, allow_nan=False) + "\n"


def document(report: Report, asked: Asked) -> Json:
    """The SARIF log with its one run."""
    findings = report.findings[:MOST_RESULTS]
    rules = sorted({*report.rules, RECORDS_RULE, *(finding.rule for finding in findings)})
    run = {
        "tool": {
            "driver": {
                "name": "dietcheck",
                "version": report.tool_version,
                "semanticVersion": report.tool_version,
                "rules": [_rule(rule, report) for rule in rules],
            }
        },
        "columnKind": "unicodeCodePoints",
        "originalUriBaseIds": {"%SRCROOT%": {"description": {"text": "The git repository."}}},
        "invocations": [_invocation(report, asked)],
        "results": [
            _result(finding, rules.index(finding.rule), report, asked) for finding in findings
        ],
    }
    return {"$schema": _SCHEMA, "version": "2.1.0", "runs": [run]}


def _rule(rule: str, report: Report) -> Json:
    title = _text(report.title(rule))
    known = report.rules.get(rule)
    about = _RECORDS_HELP
    if known is not None:
        try:
            about = known.folder.joinpath("about.md").read_text(encoding="utf-8")
        except (OSError, ValueError):  # a pack without an explanation still has its title
            about = known.title
    return {
        "id": shown(rule),
        "shortDescription": {"text": title},
        "help": {"text": _plain(about), "markdown": about},
        "properties": {"tags": ["diet"]},
    }


def _invocation(report: Report, asked: Asked) -> Json:
    status = report.status(asked.block_on)
    return {
        "executionSuccessful": status != 2,
        "exitCode": status,
        "toolExecutionNotifications": list(_notifications(report)),
    }


def _notifications(report: Report) -> Iterator[Json]:
    for failure in report.failures:
        yield {"level": "error", "message": {"text": _failed(failure, report)}}
    if report.collection is None:
        said = "dietcheck.yaml cannot be read, so no diet was judged."
        yield {"level": "error", "message": {"text": said}}
    for setting in report.switched_off:
        title = report.title(setting.rule)
        said = f"Switched off by {setting.set_by}: {title}. {setting.why}"
        yield {"level": "note", "message": {"text": _text(said)}}
    left = len(report.findings) - MOST_RESULTS
    if left > 0:
        said = (
            f"{left:,} more findings are not in this file: it holds the {MOST_RESULTS:,} gravest."
        )
        yield {"level": "warning", "message": {"text": said}}


def _failed(failure: Failure, report: Report) -> str:
    title, subject = report.title(failure.rule), report.group_called(failure.group)
    return _text(f"The rule “{title}” failed on {subject}: {failure.what}")


def _result(finding: Finding, rule_index: int, report: Report, asked: Asked) -> Json:
    check = finding.check
    first, *others = (_located(pointer, report, asked) for pointer in _telling(check, report))
    result: Json = {
        "ruleId": shown(finding.rule),
        "ruleIndex": rule_index,
        "level": LEVEL[finding.severity],
        "message": {"text": _message(finding, report)},
        "locations": [first],
        "partialFingerprints": {"dietcheckFinding/v1": finding.id},
        "properties": {
            "severity": finding.severity.value,
            "verdict": check.verdict.value,
            "group": _text(finding.group or ""),
            "food": _text(check.food or ""),
        },
    }
    if others:
        result["relatedLocations"] = [
            {"id": number, **place} for number, place in enumerate(others, 1)
        ]
    if finding.accepted:
        result["suppressions"] = [
            {
                "kind": "external",
                "status": "accepted",
                "justification": _text(
                    f"{words.accepted(finding.accepted, report.on)}: "
                    f"{finding.accepted.acceptance.reason}"
                ),
            }
        ]
    return result


def _telling(check: Check, report: Report) -> Sequence[Pointer]:
    """The first places of a check that are lines of their own; there is always one."""
    lines: dict[tuple[str, Place], Pointer] = {}
    for pointer in check.places:
        lines.setdefault((pointer.file, report.places.get(pointer, Place())), pointer)
    return list(lines.values())[: MOST_RELATED + 1] or [Pointer(_ROOT)]


def _message(finding: Finding, report: Report) -> str:
    check = finding.check
    verdict = words.VERDICT[check.verdict]
    parts = [f"{verdict.capitalize()}: {shown(check.message, 1000)}", shown(check.advice, 1000)]
    if when := words.when(finding, report):
        parts.append(f"When: {when}.")
    if outside := [p for p in check.places if _is_outside(p.file)]:
        parts.append(f"In the draft {shown(outside[0].file, 300)}.")
    return _literal(" ".join(filter(None, parts)))


def _located(pointer: Pointer, report: Report, asked: Asked) -> Json:
    """A place as SARIF wants it. A draft from outside has none: the collection's record stands in,
    because one result without a file inside the repository makes a code host refuse them all."""
    place = report.places.get(pointer, Place())
    file = pointer.file
    if _is_outside(file):
        file, place = _ROOT, Place()
    uri = quote(f"{asked.root}/{file}" if asked.root else file, errors="backslashreplace")
    return {
        "physicalLocation": {
            "artifactLocation": {"uri": uri, "uriBaseId": "%SRCROOT%"},
            "region": {"startLine": max(place.line, 1), "startColumn": max(place.column, 1)},
        }
    }


def _is_outside(file: str) -> bool:
    return file.startswith(("../", "/")) or "\\" in file or file[1:2] == ":"


def _text(text: str) -> str:
    return _literal(shown(text, 1000))


def _literal(text: str) -> str:
    """A text in which SARIF sees neither a link nor a place for an argument."""
    text = re.sub(r"([\\\[\]])", r"\\\1", text)
    return re.sub(r"\{(\d+)\}", r"{{\1}}", text)


def _plain(markdown: str) -> str:
    """The explanation of a rule without its heading marks, for viewers that show no Markdown."""
    lines: Sequence[str] = markdown.replace("**", "").replace("`", "").splitlines()
    return "\n".join(line.lstrip("#").strip() if line.startswith("#") else line for line in lines)
