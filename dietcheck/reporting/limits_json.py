"""The limits as JSON, described by `schemas/limits.schema.json`."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from dietcheck import __version__
from dietcheck.outside.packages import files
from dietcheck.reporting.figures import NEAR, clean, number
from dietcheck.reporting.limits_view import Entry, LimitsReport
from dietcheck.screening.limits import Limit

SCHEMA_VERSION = "1.0"

Json = dict[str, Any]


def render(report: LimitsReport) -> str:
    """All limits that are shown as JSON text, ASCII only."""
    return json.dumps(clean(document(report)), indent=1, allow_nan=False) + "\n"


def schema() -> Json:
    """The published JSON Schema (2020-12) of the document."""
    path = files("dietcheck.reporting") / "schemas" / "limits.schema.json"
    loaded: Json = json.loads(path.read_text(encoding="utf-8"))
    return loaded


def document(report: LimitsReport) -> Json:
    """The limits as plain data."""
    entries = [e for s in report.sections for block in s.blocks for e in block.entries]
    return {
        "schema_version": SCHEMA_VERSION,
        "tool": {"name": "dietcheck", "version": __version__},
        "collection": report.collection or None,
        "asked": dict(report.asked),
        "packs": list(report.packs),
        "rules": [
            {
                "rule": section.rule.id,
                "title": section.rule.title,
                "subject": section.subject or None,
                "setting": section.setting or None,
                "limits": [_entry(entry) for block in section.blocks for entry in block.entries],
            }
            for section in report.sections
        ],
        "read_by_no_rule": [_limit(limit) for limit in report.unjudged],
        "sources": _works(report, [entry.limit for entry in entries]),
        "faults": list(report.faults),
    }


def _entry(entry: Entry) -> Json:
    return {"role": entry.role, "why_not_used": entry.why_not or None, **_limit(entry.limit)}


def _limit(limit: Limit) -> Json:
    return {
        "id": limit.id,
        "quantity": limit.quantity,
        "taxon": limit.taxon or None,
        "group": limit.group,
        "food": limit.food,
        "stage": limit.stage,
        "condition": limit.condition,
        "at_least": number(None if limit.at_least is None else NEAR.plus(limit.at_least)),
        "at_most": number(None if limit.at_most is None else NEAR.plus(limit.at_most)),
        "unit": limit.unit,
        "basis": limit.basis,
        "over": limit.over,
        "severity": limit.severity,
        "standing": limit.standing.value,
        "evidence": limit.evidence,
        "seen": limit.seen,
        "sources": [{"key": ref.key, "locator": ref.locator} for ref in limit.sources],
        "note": limit.note,
        "set_by": limit.set_by or None,
        "set_on": limit.on or None,
        "file": limit.place.file if limit.place else None,
    }


def _works(report: LimitsReport, limits: Iterable[Limit]) -> list[Json]:
    """Every work that is cited, in full, by key."""
    keys = sorted({ref.key for limit in limits for ref in limit.sources})
    works = (report.bibliography[key] for key in keys if key in report.bibliography)
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
