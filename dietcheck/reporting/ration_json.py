"""The computed ration as JSON, described by `schemas/ration.schema.json`.

The same records always give the same bytes.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from dietcheck import __version__
from dietcheck.nutrition.gauges import Gauge
from dietcheck.nutrition.plan import PlannedDay
from dietcheck.nutrition.summary import Body, Occurrence, Part, Row, Summary
from dietcheck.outside.packages import files
from dietcheck.quantities import Interval
from dietcheck.reporting.figures import clean, range_of
from dietcheck.reporting.ration import NOTES, RationReport

SCHEMA_VERSION = "1.0"

Json = dict[str, Any]


def render(report: RationReport) -> str:
    """The whole ration as JSON text, ASCII only."""
    return json.dumps(clean(document(report)), indent=1, allow_nan=False) + "\n"


def schema() -> Json:
    """The published JSON Schema (2020-12) of the document."""
    path = files("dietcheck.reporting") / "schemas" / "ration.schema.json"
    loaded: Json = json.loads(path.read_text(encoding="utf-8"))
    return loaded


def document(report: RationReport) -> Json:
    """The ration as plain data."""
    group = report.diet.group
    return {
        "schema_version": SCHEMA_VERSION,
        "tool": {"name": "dietcheck", "version": __version__},
        "collection": report.collection,
        "group": group.id,
        "called": group.called,
        "species": group.taxon.scientific_name,
        "on": report.diet.on.isoformat(),
        "read_from": report.read_from,
        "drafts": list(report.drafts),
        "unread": list(report.unread),
        "rations": [_ration(summary) for summary in report.summaries],
        "cautions": list(NOTES),
    }


def _ration(summary: Summary) -> Json:
    gauges = [row.gauge for row in summary.rows]
    return {
        "animals": [_body(body) for body in summary.bodies],
        "mean_of_rota": summary.whole_rota,
        "period": _dates(summary.period),
        "fed_the_same_daily": summary.is_same_daily,
        "quantities": [_row(row) for row in summary.rows],
        "days": [
            {
                "days": _dates(days),
                "fast": days[0].fast,
                "feeds": [{"feed": feed.slot, "meal": feed.meal} for feed in days[0].feeds],
                "quantities": [
                    {"key": gauge.key, "unit": gauge.unit, **range_of(gauge.a_day(ration))}
                    for gauge in gauges
                ],
            }
            for days, ration in summary.days
        ],
        "foods": [_part(part, gauges) for part in summary.parts],
        "classes": [
            {
                "class": one.food_class,
                "share_of_dry_matter": range_of(one.of_dry_matter),
                "share_as_fed": range_of(one.as_fed),
            }
            for one in summary.classes
        ],
        "weak_inputs": [
            {
                "kind": weak.kind,
                "about": weak.about,
                "why": weak.why,
                "quantities": [gauge.key for gauge in weak.gauges],
            }
            for weak in summary.weak
        ],
    }


def _row(row: Row) -> Json:
    gauge = row.gauge
    return {
        "key": gauge.key,
        "title": gauge.title,
        "unit": gauge.unit,
        "method": gauge.note or None,
        "a_day": range_of(row.value),
        "in_dry_matter": _maybe(row.density),
        "in_dry_matter_unit": gauge.density_unit or None,
        "stated_for": range_of(row.known),
        "lowest_day": _occurrence(row.lowest_day),
        "highest_day": _occurrence(row.highest_day),
        "lowest_seven_days": _occurrence(row.lowest_week),
        "highest_seven_days": _occurrence(row.highest_week),
    }


def _occurrence(found: Occurrence) -> Json:
    return {**range_of(found.value), "days": _dates(found.days)}


def _dates(days: Iterable[PlannedDay]) -> list[Json]:
    return [{"date": day.on.isoformat(), "day": day.number} for day in days]


def _part(part: Part, gauges: Iterable[Gauge]) -> Json:
    return {
        "food": part.food.id,
        "name": part.food.name,
        "class": part.food.food_class if part.food.known else None,
        "on_the_food_list": part.food.known,
        "grams_a_day": range_of(part.grams),
        "brings": [
            {
                "key": gauge.key,
                "unit": gauge.unit,
                "stated": part.states[gauge.key],
                "a_day": range_of(part.amounts[gauge.key]),
                "share": range_of(part.shares[gauge.key]),
            }
            for gauge in gauges
            if gauge.additive
        ],
    }


def _body(body: Body) -> Json:
    weighing = body.weighing
    return {
        "id": body.animal.id,
        "name": body.animal.name,
        "count": range_of(body.animal.count),
        "weighed_on": weighing.on.isoformat() if weighing else None,
        "weighed_days_ago": body.days_old,
        "weight_g": _maybe(weighing.mass if weighing else None),
        "weight_is_current": body.mass is not None,
        "as_fed_share_of_body_mass": range_of(body.as_fed_share),
        "dry_matter_share_of_body_mass": range_of(body.dry_matter_share),
        "dry_matter_g_per_kg_075": range_of(body.dry_matter_per_metabolic),
        "sugars_g_per_kg": range_of(body.sugars_per_kg),
        "energy_published_kcal_a_day": [
            {"measure": measure, **range_of(span)} for measure, span in body.spans.items()
        ],
        "energy_formulas": [
            {
                "id": need.row.id,
                "measure": need.measure,
                "formula": need.described,
                **range_of(need.per_day),
            }
            for need in body.needs
        ],
    }


def _maybe(value: Interval | None) -> Json | None:
    return None if value is None else range_of(value)
