"""The answer to “may I give this?” as JSON, described by `schemas/try.schema.json`.

The same records and drafts give the same bytes.
"""

from __future__ import annotations

import json
from typing import Any

from dietcheck import __version__
from dietcheck.outside.packages import files
from dietcheck.quantities import Interval
from dietcheck.quantities.show import plain
from dietcheck.reporting.figures import clean, number, range_of
from dietcheck.reporting.try_answers import FIGURES, Fed, Giving, GroupAnswer, TryReport
from dietcheck.reporting.try_fortnight import Fortnight
from dietcheck.reporting.try_text import CAUTION, hinted
from dietcheck.screening.findings import Finding
from dietcheck.screening.room import Option

SCHEMA_VERSION = "1.0"
Json = dict[str, Any]


def schema() -> Json:
    """The JSON Schema (2020-12) of the written answer."""
    path = files("dietcheck.reporting") / "schemas" / "try.schema.json"
    loaded: Json = json.loads(path.read_text(encoding="utf-8"))
    return loaded


def render(report: TryReport) -> str:
    """The whole answer as JSON text, ASCII only."""
    return json.dumps(clean(document(report)), indent=1, allow_nan=False) + "\n"


def document(report: TryReport) -> Json:
    """The answer as plain data."""
    after = report.after
    return {
        "schema_version": SCHEMA_VERSION,
        "tool": {"name": "dietcheck", "version": __version__},
        "collection": after.name,
        "on": after.on.isoformat(),
        "drafts": list(after.drafts),
        "done": report.is_done,
        "answer": report.answer if report.is_done else "not done",
        "needs_signature": report.needs_signature,
        "not_read": [finding.check.message for finding in report.unread],
        "failed_rules": sorted({failure.rule for failure in after.failures}),
        "groups": [_group(group) for group in report.groups],
        "findings": [_finding(finding) for finding in report.elsewhere],
        "cautions": [CAUTION],
    }


def _group(group: GroupAnswer) -> Json:
    return {
        "group": group.diet.group.id,
        "called": group.diet.group.called,
        "answer": group.answer,
        "day": group.day.isoformat() if group.day else None,
        "dates": [on.isoformat() for on in group.dates],
        "not_judged": [on.isoformat() for on in group.unjudged],
        "changed": group.is_changed,
        "given": [_giving(giving) for giving in group.givings],
        "energy_by": group.method,
        "animals": [_fed(fed) for fed in group.fed],
        "findings": [_finding(finding) for finding in group.findings],
        "leave_out": _option(group.leave_out),
        "give_less": _option(group.give_less),
        "open_before": [finding.id for finding in group.open_before],
    }


def _giving(giving: Giving) -> Json:
    line = giving.line
    return {
        "food": line.food.id,
        "amount": line.amount.text,
        "slot": giving.slot,
        "cut": line.cut,
        "purpose": line.treat,
        "grams_per_animal": range_of(giving.grams),
        "pieces_per_animal": _range(giving.pieces),
        "piece_size_limit": giving.size.id if giving.size else None,
    }


def _fed(fed: Fed) -> Json:
    return {
        "animals": [animal.id for animal in fed.animals],
        "answer": fed.answer,
        "before": _figures(fed.before),
        "after": _figures(fed.after),
        "fortnight": _fortnight(fed.fortnight),
    }


def _figures(values: tuple[Interval, ...] | None) -> Json | None:
    if values is None:
        return None
    return {
        key: {"unit": unit, **range_of(value)}
        for (key, _, unit), value in zip(FIGURES, values, strict=True)
    }


def _fortnight(found: Fortnight | None) -> Json | None:
    if found is None:
        return None
    return {
        "from": found.first.isoformat(),
        "until": found.last.isoformat(),
        "unit": "% of energy",
        "before": _range(found.before),
        "after": range_of(found.after),
        "at_most": number(found.limit.at_most),
        "limit": found.limit.id,
        "standing": found.limit.standing.value,
        "fruit_feeds": found.fruit_feeds,
        "left_kcal": number(found.left),
        "left_grams": number(found.grams),
        "of_food": found.food.id if found.food and found.grams is not None else None,
    }


def _finding(finding: Finding) -> Json:
    check = finding.check
    return {
        "id": finding.id,
        "rule": finding.rule,
        "severity": finding.severity.value,
        "verdict": check.verdict.value,
        "accepted": finding.accepted is not None,
        "animals": list(check.animals),
        "food": check.food,
        "message": check.message,
        "sources": [
            ref.key for ref in (*(check.limit.sources if check.limit else ()), *check.sources)
        ],
    }


def _option(option: Option | None) -> Json | None:
    if option is None:
        return None
    return {
        "food": option.line.food.id,
        "slots": list(option.slots),
        "meal": option.meal,
        "by": plain(option.by),
        "of": plain(option.line.amount.quantity.high),
        "left": plain(option.left),
        "per": option.line.amount.per,
        "said": hinted(option),
    }


def _range(value: Interval | None) -> Json | None:
    return None if value is None else range_of(value)
