"""The findings as one table for a spreadsheet: a row a finding, the gravest first.

UTF-8 with a byte order mark, without which spreadsheet programs misread µ. Nothing that somebody
wrote can become a formula, whether the program divides cells at commas or at semicolons.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from decimal import Decimal

from dietcheck.quantities.show import plain
from dietcheck.reporting import Asked, words
from dietcheck.reporting.figures import NEAR, ends
from dietcheck.reporting.ration_csv import BYTE_ORDER_MARK, safe
from dietcheck.screening.checks import Check
from dietcheck.screening.findings import Finding
from dietcheck.screening.limits import Limit
from dietcheck.screening.report import Report

HEAD = (
    "severity", "verdict", "stops the change", "group", "called", "animals", "food", "what",
    "message", "do now", "needed", "when", "measured low", "measured high", "unit", "at least",
    "at most", "source", "weak inputs", "file", "line", "column", "accepted by", "accepted until",
    "days left", "reason", "rule", "id",
)  # fmt: skip
# A program that divides cells at semicolons sees the start of a cell behind each of them. Some
# take the wide forms of the signs for the signs, and pass over blanks.
_START = re.compile(r"(^|;)(\s*)(?=[=+\-@＝＋－＠])")


def render(report: Report, asked: Asked) -> str:
    """The whole table as text. The same report gives the same bytes."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(HEAD)
    for finding in report.findings:
        writer.writerow(list(_cells(finding, report, asked)))
    return BYTE_ORDER_MARK + out.getvalue()


def _cells(finding: Finding, report: Report, asked: Asked) -> Iterator[str]:
    check = finding.check
    yield finding.severity.value
    yield words.VERDICT[check.verdict]
    yield "yes" if finding.blocks(asked.block_on) else "no"
    yield _safe(finding.group or "")
    yield _safe(report.group_called(finding.group))
    yield _safe("; ".join(check.animals))
    yield _safe(check.food or "")
    yield _safe(report.title(finding.rule))
    yield _safe(check.message)
    yield _safe(check.advice)
    yield _safe(check.settles)
    yield _safe(words.when(finding, report))
    yield from _figures(check)
    yield _safe("; ".join(words.sources(check, report)))
    yield _safe("; ".join(check.weak))
    yield from _place(finding, report)
    yield from _accepted(finding, report)
    yield _safe(finding.rule)
    yield finding.id


def _figures(check: Check) -> Iterator[str]:
    limit, measure = check.limit, check.measured
    if measure is None:
        unit = words.unit_of(limit.unit, limit.basis) if limit else ""
        yield from ("", "")
    else:
        unit = words.unit_of(measure.unit, measure.basis)
        low, high, _ = ends(measure.value)
        yield from (_number(low), _number(high))
    yield _safe(unit)
    yield from _bounds(limit)


def _bounds(limit: Limit | None) -> Iterator[str]:
    for bound in (limit.at_least, limit.at_most) if limit else (None, None):
        yield "" if bound is None else _number(NEAR.plus(bound))


def _place(finding: Finding, report: Report) -> Iterator[str]:
    """File, line and column of the most telling place."""
    if not finding.check.places:
        yield from ("", "", "")
        return
    pointer = finding.check.places[0]
    place = report.places.get(pointer)
    yield _safe(pointer.file)
    yield from (str(place.line), str(place.column)) if place else ("", "")


def _accepted(finding: Finding, report: Report) -> Iterator[str]:
    if finding.accepted is None:
        yield from ("", "", "", "")
        return
    acceptance = finding.accepted.acceptance
    yield _safe(f"{finding.accepted.by} ({finding.accepted.role})")
    yield acceptance.until.isoformat()
    yield str(finding.accepted.days_left(report.on))
    yield _safe(acceptance.reason)


def _number(value: Decimal) -> str:
    return plain(value) if value.is_finite() else ""


def _safe(text: str) -> str:
    return _START.sub(r"\1\2'", safe(text))
