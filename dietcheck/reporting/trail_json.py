"""The trail of an animal as JSON, described by `schemas/trail.schema.json`.

The same repository always gives the same bytes.
"""

from __future__ import annotations

import json
from datetime import date
from typing import Any

from dietcheck import __version__
from dietcheck.history.versions import Version
from dietcheck.outside.packages import files
from dietcheck.reporting.figures import clean, range_of
from dietcheck.reporting.trail import NOTES, Offered, Open, Risk, Signature, Total, TrailReport
from dietcheck.reporting.trail_log import Late

SCHEMA_VERSION = "1.0"

Json = dict[str, Any]


def render(report: TrailReport) -> str:
    """The whole trail as JSON text, ASCII only."""
    return json.dumps(clean(document(report)), indent=1, allow_nan=False) + "\n"


def schema() -> Json:
    """The published JSON Schema (2020-12) of the document."""
    path = files("dietcheck.reporting") / "schemas" / "trail.schema.json"
    loaded: Json = json.loads(path.read_text(encoding="utf-8"))
    return loaded


def document(report: TrailReport) -> Json:
    """The trail as plain data."""
    return {
        "schema_version": SCHEMA_VERSION,
        "tool": {"name": "dietcheck", "version": __version__},
        "collection": report.collection,
        "group": report.group.id,
        "species": report.group.taxon.scientific_name,
        "animal": report.animal.id,
        "called": report.animal.called,
        "on": report.on.isoformat(),
        "is_here": report.is_here,
        "about": report.about,
        "version": _version(report.version),
        "cannot_be_known": list(report.unknown),
        "plan": report.plan,
        "offered": [_offered(one) for one in report.offered],
        "ration": [_total(one) for one in report.totals],
        "files": [
            {"what": one.what, "file": one.file, "changed": _version(one.changed)}
            for one in report.files
        ],
        "signatures": [_signature(one) for one in report.signatures],
        "findings": [_finding(one) for one in report.findings],
        "accepted_risks": [_risk(one) for one in report.risks],
        "changes": [
            {"version": _version(entry.version), "changes": list(entry.changes)}
            for entry in report.log.entries
        ],
        "latest_change": list(report.last_change),
        "written_later": [_late(one) for one in report.log.late],
        "cautions": list(NOTES),
    }


def _version(version: Version | None) -> Json | None:
    if version is None:
        return None
    return {
        "commit": version.commit,
        "stood_from": version.on.isoformat(),
        "dated": version.dated.isoformat(),
        "by": version.by,
        "writers": list(version.writers),
        "subject": version.subject,
    }


def _day(on: date | None) -> str | None:
    return None if on is None else on.isoformat()


def _offered(one: Offered) -> Json:
    return {
        "feed": one.slot,
        "meal": one.meal,
        "food": one.food,
        "called": one.called,
        "amount": one.amount,
        "grams": range_of(one.grams),
        "gap": one.gap,
        "details": list(one.details),
        "place": one.place,
    }


def _total(one: Total) -> Json:
    return {
        "key": one.key,
        "title": one.title,
        "unit": one.unit,
        "day": range_of(one.day),
        "mean_of_rota": None if one.mean is None else range_of(one.mean),
        "all_stated": not one.is_open,
    }


def _signature(one: Signature) -> Json:
    return {
        "by": one.by,
        "role": one.role,
        "on": one.on.isoformat(),
        "covers": one.covers,
        "weight": one.weight,
        "condition": one.condition,
        "next_review": _day(one.next_review),
        "conditions": list(one.conditions),
        "doubts": list(one.doubts),
        "file": one.file,
        "written": _version(one.written),
    }


def _finding(one: Open) -> Json:
    return {
        "id": one.id,
        "rule": one.rule,
        "title": one.title,
        "severity": one.severity,
        "verdict": one.verdict,
        "message": one.message,
        "advice": one.advice,
        "place": one.place,
        "accepted": one.accepted,
    }


def _risk(one: Risk) -> Json:
    return {
        "rule": one.rule,
        "title": one.title,
        "food": one.food,
        "reason": one.reason,
        "by": one.by,
        "role": one.role,
        "signed": one.signed.isoformat(),
        "until": one.until.isoformat(),
        "days_left": one.left,
        "releases": one.releases,
    }


def _late(one: Late) -> Json:
    return {
        "kind": one.kind,
        "on": one.on.isoformat(),
        "said": one.words,
        "version": _version(one.version),
        "days_after": one.days,
    }
