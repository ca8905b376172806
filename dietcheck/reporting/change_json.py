"""What a change does to the diets, as JSON, described by `schemas/change.schema.json`.

The same versions always give the same bytes.
"""

from __future__ import annotations

import json
from typing import Any

from dietcheck import __version__
from dietcheck.outside.packages import files
from dietcheck.quantities import Interval
from dietcheck.reporting import words
from dietcheck.reporting.change_figures import Fed, Figure
from dietcheck.reporting.change_report import NOTES, ChangeReport, GroupChange
from dietcheck.reporting.change_words import Change, said
from dietcheck.reporting.figures import clean, range_of
from dietcheck.reporting.layout import shown
from dietcheck.screening.findings import Finding
from dietcheck.screening.report import Report

SCHEMA_VERSION = "1.0"

Json = dict[str, Any]


def render(report: ChangeReport) -> str:
    """The whole comparison as JSON text, ASCII only."""
    return json.dumps(clean(document(report)), indent=1, allow_nan=False) + "\n"


def schema() -> Json:
    """The published JSON Schema (2020-12) of the document."""
    path = files("dietcheck.reporting") / "schemas" / "change.schema.json"
    loaded: Json = json.loads(path.read_text(encoding="utf-8"))
    return loaded


def document(report: ChangeReport) -> Json:
    """The comparison as plain data."""
    found = report.difference
    return {
        "schema_version": SCHEMA_VERSION,
        "tool": {"name": "dietcheck", "version": __version__},
        "collection": report.after.name,
        "on": report.on.isoformat(),
        "before": report.before.read_from,
        "after": report.after.read_from,
        "drafts": list(report.after.drafts),
        "complete": report.is_whole,
        "not_read": list(report.troubles()),
        "groups": [_group(group) for group in report.groups],
        "findings": {
            "new": [_finding(finding, report.after) for finding in found.new],
            "worsened": [
                {"before": _finding(was, report.before), "after": _finding(now, report.after)}
                for was, now in found.worsened
            ],
            "gone": [_finding(finding, report.before) for finding in found.gone],
        },
        "cautions": list(NOTES),
    }


def _group(group: GroupChange) -> Json:
    return {
        "group": group.group,
        "called": group.called,
        "state": group.state,
        "changes": [_change(change) for change in group.changes],
        "rations": [_fed(fed) for fed in group.fed],
    }


def _change(change: Change) -> Json:
    return {
        "about": change.about,
        "subject": change.subject,
        "old": change.old,
        "new": change.new,
        "where": list(change.where),
        "said": said(change, shown),
    }


def _fed(fed: Fed) -> Json:
    return {
        "animals": [animal.id for animal in fed.animals],
        "from": fed.first.isoformat(),
        "days": fed.days,
        "unwritten_feeds": {"before": fed.holes[0], "after": fed.holes[1]},
        "figures": [_figure(figure) for figure in fed.figures],
    }


def _figure(figure: Figure) -> Json:
    return {
        "key": figure.key,
        "title": figure.title,
        "unit": figure.unit,
        "before": _range(figure.before),
        "after": _range(figure.after),
        "difference": _range(figure.difference),
    }


def _range(value: Interval | None) -> Json | None:
    return None if value is None else range_of(value)


def _finding(finding: Finding, report: Report) -> Json:
    check = finding.check
    return {
        "id": finding.id,
        "rule": finding.rule,
        "severity": finding.severity.value,
        "verdict": check.verdict.value,
        "group": finding.group,
        "animals": list(check.animals),
        "food": check.food,
        "message": check.message,
        "advice": check.advice,
        "places": words.places(finding, report),
        "accepted": finding.accepted is not None,
    }
