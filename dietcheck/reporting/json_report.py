"""The findings as JSON: the public output, described by `schemas/findings.schema.json`.

The same report always gives the same bytes. Figures are rounded outward to 15 significant
digits, which every JSON reader holds exactly: a range in the file still encloses the true value.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal
from typing import Any

from dietcheck.outside.packages import files
from dietcheck.quantities import Interval
from dietcheck.reading import Place
from dietcheck.reporting import Asked
from dietcheck.screening.acceptance import Accepted
from dietcheck.screening.checks import Check, Measure, Severity, Verdict
from dietcheck.screening.findings import Finding, Judged, days_of
from dietcheck.screening.judging import excess
from dietcheck.screening.limits import Limit, SourceRef
from dietcheck.screening.report import CAUTIONS, NOT_VISIBLE, RECORDS_RULE, Report

SCHEMA_VERSION = "1.0"

Json = dict[str, Any]

_DOWN, _NEAR, _UP = (Context(prec=15, rounding=r) for r in (
    ROUND_FLOOR, ROUND_HALF_EVEN, ROUND_CEILING
))  # fmt: skip
_SAME = Context(prec=20, rounding=ROUND_HALF_EVEN)  # as the verdicts compare


def render(report: Report, asked: Asked) -> str:
    """The whole report as JSON text, ASCII only, each finding and each check on a line."""
    fields = _clean(document(report, asked)).items()
    return "{\n" + ",\n".join(f"{_text(key)}: {_rows(value)}" for key, value in fields) + "\n}\n"


def _rows(value: Any) -> str:
    if not isinstance(value, list) or not value:
        return _text(value)
    return "[\n" + ",\n".join(map(_text, value)) + "\n]"


def _text(value: Any) -> str:
    return json.dumps(value, allow_nan=False)


def schema() -> Json:
    """The published JSON Schema (2020-12) of the document."""
    path = files("dietcheck.reporting") / "schemas" / "findings.schema.json"
    loaded: Json = json.loads(path.read_text(encoding="utf-8"))
    return loaded


def document(report: Report, asked: Asked) -> Json:
    """The report as plain data, lists in a fixed order."""
    return {
        "schema_version": SCHEMA_VERSION,
        "tool": {"name": "dietcheck", "version": report.tool_version},
        "collection": report.name,
        "on": report.on.isoformat(),
        "read_from": report.read_from,
        "records": report.files,
        "drafts": list(report.drafts),
        "summary": _summary(report, asked),
        "findings": [_finding(finding, report, asked) for finding in report.findings],
        "checks": [_ledger_row(one) for one in sorted(report.judged, key=_order)],
        "rules": [
            {"id": rule, "title": report.title(rule)}
            for rule in sorted({*report.rules, RECORDS_RULE})
        ],
        "sources": _works(report),
        "switched_off": [
            {
                "rule": setting.rule,
                "why": setting.why,
                "set_by": setting.set_by,
                "on": setting.on.isoformat(),
            }
            for setting in sorted(report.switched_off, key=lambda setting: setting.rule)
        ],
        "failures": [
            {"rule": failure.rule, "group": failure.group, "what": failure.what}
            for failure in sorted(report.failures, key=lambda f: (f.rule, f.group or "", f.what))
        ],
        "left_out": sorted(report.left_out),
        "not_checked": list(NOT_VISIBLE),
        "cautions": list(CAUTIONS),
    }


def _summary(report: Report, asked: Asked) -> Json:
    is_open = [finding for finding in report.findings if finding.accepted is None]
    unread = any(f.rule == RECORDS_RULE for f in report.findings)
    return {
        "blocking": len(report.blocking(asked.block_on)),
        "block_on": asked.block_on.value,
        "status": report.status(asked.block_on),
        "complete": not report.failures and report.collection is not None and not unread,
        "severity": {s.value: sum(f.severity is s for f in is_open) for s in Severity},
        "verdict": {
            v.value: sum(f.check.verdict is v for f in is_open)
            for v in (Verdict.BREACH, Verdict.CANNOT_TELL)
        },
        "accepted": len(report.findings) - len(is_open),
        "checks": {v.value: report.count(v) for v in Verdict},
    }


def _finding(finding: Finding, report: Report, asked: Asked) -> Json:
    check = finding.check
    return {
        "id": finding.id,
        "rule": finding.rule,
        "severity": finding.severity.value,
        "verdict": check.verdict.value,
        "blocks": finding.blocks(asked.block_on),
        "group": finding.group,
        "animals": list(check.animals),
        "days": list(days_of(check.occasions)),
        "meals": [
            {"date": o.on.isoformat(), "day": o.number, "feed": o.slot, "meal": o.meal}
            for o in sorted(check.occasions)
            if o.slot or o.meal
        ],
        "food": check.food,
        "message": check.message,
        "measured": _measure(check.measured),
        "limit": _limit(check.limit),
        "others": [_limit(other) for other in check.others],
        "working": list(check.working),
        "weak": list(check.weak),
        "settles": check.settles or None,
        "places": [
            _place(pointer.file, report.places.get(pointer, Place())) for pointer in check.places
        ],
        "sources": [_ref(ref) for ref in _refs(check)],
        "advice": check.advice,
        "accepted": _accepted(finding.accepted, report),
    }


def _ledger_row(one: Judged) -> Json:
    check = one.check
    limit = check.limit
    return {
        "rule": one.rule,
        "group": one.group,
        "about": check.about,
        "food": check.food,
        "verdict": check.verdict.value,
        "animals": list(check.animals),
        "message": check.message,
        "measured": _measure(check.measured),
        "limit": None if limit is None else {"id": limit.id, **_bounds(limit)},
        "standing": limit.standing.value if limit else None,
        "sources": [_ref(ref) for ref in _refs(check)],
        "margin": _margin(check),
    }


def _order(one: Judged) -> tuple[str, ...]:
    check = one.check
    return (one.group or "", one.rule, check.about, check.food or "", check.verdict, check.message)


def _margin(check: Check) -> float | int | None:
    """What is left to the limit in the worst case, in the unit of the measure; negative: past."""
    if check.measured is None or check.limit is None:
        return None
    over = excess(check.measured.value, check.limit)
    return _number(_NEAR.minus(over)) if over.is_finite() else None


def _measure(measure: Measure | None) -> Json | None:
    if measure is None:
        return None
    return {**_range(measure.value), "unit": measure.unit, "basis": measure.basis}


def _range(value: Interval) -> Json:
    low, high = _SAME.plus(value.low), _SAME.plus(value.high)
    if low == high:
        low = high = _NEAR.plus(low)
    else:
        low, high = _DOWN.plus(value.low), _UP.plus(value.high)
    best = None if value.best is None else min(max(_NEAR.plus(value.best), low), high)
    return {"low": _number(low), "high": _number(high), "best": _number(best)}


def _number(value: Decimal | None) -> float | int | None:
    """A figure of at most 15 digits as JSON holds it; None for what has no end or is not known."""
    if value is None or not value.is_finite():
        return None
    whole = value == value.to_integral_value() and abs(value) < 10**15
    return int(value) if whole else float(value)


def _bounds(limit: Limit) -> Json:
    return {
        "at_least": _number(None if limit.at_least is None else _NEAR.plus(limit.at_least)),
        "at_most": _number(None if limit.at_most is None else _NEAR.plus(limit.at_most)),
        "unit": limit.unit,
        "basis": limit.basis,
        "over": limit.over,
    }


def _limit(limit: Limit | None) -> Json | None:
    if limit is None:
        return None
    return {
        "id": limit.id,
        **_bounds(limit),
        "quantity": limit.quantity,
        "taxon": limit.taxon or None,
        "group": limit.group,
        "stage": limit.stage,
        "condition": limit.condition,
        "severity": limit.severity,
        "standing": limit.standing.value,
        "evidence": limit.evidence,
        "seen": limit.seen,
        "sources": [_ref(ref) for ref in limit.sources],
        "note": limit.note,
        "set_by": limit.set_by or None,
        "set_on": limit.on or None,
    }


def _ref(ref: SourceRef) -> Json:
    return {"key": ref.key, "locator": ref.locator}


def _refs(check: Check) -> tuple[SourceRef, ...]:
    """The sources of a check: those of its limit, then its own."""
    of_limit = check.limit.sources if check.limit else ()
    return tuple(dict.fromkeys((*of_limit, *check.sources)))


def _place(file: str, place: Place) -> Json:
    return {"file": file, "line": place.line, "column": place.column}


def _accepted(accepted: Accepted | None, report: Report) -> Json | None:
    if accepted is None:
        return None
    acceptance = accepted.acceptance
    return {
        "by": accepted.by,
        "role": accepted.role,
        "on": accepted.signed.isoformat(),
        "until": acceptance.until.isoformat(),
        "days_left": accepted.days_left(report.on),
        "reason": acceptance.reason,
        "not_bound_to": list(accepted.not_held),
    }


def _works(report: Report) -> list[Json]:
    """Every work that a check or its limits cite, in full, by key."""
    checks = [one.check for one in report.judged]
    refs = {ref.key for check in checks for ref in _refs(check)}
    refs |= {ref.key for check in checks for other in check.others for ref in other.sources}
    works = (report.bibliography[key] for key in sorted(refs) if key in report.bibliography)
    return [
        {
            "key": work.key,
            "citation": work.citation,
            "url": work.url,
            "doi": work.doi,
            "seen": work.seen or "",
            "note": work.note or "",
        }
        for work in works
    ]


def _clean(value: Any) -> Any:
    """The data with every text writable: half a surrogate pair is spelt out."""
    if isinstance(value, str):
        return value if value.isascii() else value.encode("utf-8", "backslashreplace").decode()
    if isinstance(value, Mapping):
        return {key: _clean(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_clean(item) for item in value]
    return value
