"""The feed kitchen's sheet as JSON, described by `schemas/prep.schema.json`.

The same records always give the same bytes. Masses are grams.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from dietcheck import __version__
from dietcheck.collection.feeding import Medicine
from dietcheck.nutrition.kitchen import Bar, Bowl, Dish, GroupDay
from dietcheck.nutrition.kitchen_store import Draw, KitchenDay
from dietcheck.outside.packages import files
from dietcheck.quantities import Dimension, Interval
from dietcheck.reporting import prep
from dietcheck.reporting.figures import clean, range_of
from dietcheck.reporting.prep import PrepReport
from dietcheck.reporting.prep_held import Held

SCHEMA_VERSION = "1.0"

Json = dict[str, Any]


def render(report: PrepReport) -> str:
    """The whole sheet as JSON text, ASCII only."""
    return json.dumps(clean(document(report)), indent=1, allow_nan=False) + "\n"


def schema() -> Json:
    """The published JSON Schema (2020-12) of the document."""
    path = files("dietcheck.reporting") / "schemas" / "prep.schema.json"
    loaded: Json = json.loads(path.read_text(encoding="utf-8"))
    return loaded


def document(report: PrepReport) -> Json:
    """The sheet as plain data."""
    return {
        "schema_version": SCHEMA_VERSION,
        "tool": {"name": "dietcheck", "version": __version__},
        "collection": report.collection,
        "on": report.on.isoformat(),
        "read_from": report.read_from,
        "not_printed": held(report.held),
        "days": [_day(report, day) for day in report.days],
        "cautions": list(prep.NOTES),
    }


def held(groups: tuple[Held, ...]) -> list[Json]:
    """The groups that are held back."""
    return [
        {
            "group": one.group.id,
            "called": one.group.called,
            "reasons": list(one.reasons),
            "last_approved": list(one.approved),
        }
        for one in groups
    ]


def _day(report: PrepReport, day: KitchenDay) -> Json:
    return {
        "date": day.on.isoformat(),
        "draw": [_draw(draw) for draw in day.draws],
        "thaw_for_tomorrow": [_draw(draw) for draw in day.thaw],
        "thaw_not_known_for": [group.id for group in day.thaw_unknown],
        "groups": [_group(report, one) for one in day.groups],
        "must_not_go_to": [_bar(bar) for bar in prep.bars(day)],
    }


def _draw(draw: Draw) -> Json:
    return {
        "food": draw.food.id,
        "name": draw.food.name,
        "class": draw.food.food_class,
        "drawn": range_of(draw.drawn),
        "prepared": range_of(draw.prepared),
        "waste": range_of(draw.waste.share) if draw.waste else None,
        "waste_from": ("site" if draw.waste.is_own else "table") if draw.waste else None,
        "counts": counts(draw.counts.items()),
        "into_mixes": [
            {"mix": mix.id, "prepared": range_of(grams)} for mix, grams in draw.mixes.items()
        ],
        "ad_lib_in_part": draw.ad_lib,
        "not_known": list(draw.gaps),
        "groups": [group.id for group in draw.groups],
    }


def counts(row: Iterable[tuple[Dimension, Interval]]) -> list[Json]:
    """Numbers of pieces, ml or IU."""
    return [{"unit": unit, **range_of(value)} for unit, value in row]


def _group(report: PrepReport, one: GroupDay) -> Json:
    plan = one.plan
    return {
        "group": one.group.id,
        "called": one.group.called,
        "enclosure": one.group.enclosure,
        "animals": [animal.id for animal in one.present],
        "heads": range_of(one.group.head_count(plan.on)),
        "rota_day": plan.number or None,
        "fast_day": plan.fast,
        "sheet_from": plan.sheet.start.isoformat() if plan.sheet else None,
        "not_planned": [prep.hole_line(hole) for hole in plan.holes],
        "lesser_findings_open": report.open_findings.get(one.group.id, 0),
        "portions": [_dish(dish) for dish in one.dishes],
        "medicine_not_for": [{"who": about, "what": said} for about, said in prep.not_for(one)],
    }


def _dish(dish: Dish) -> Json:
    line = dish.line
    return {
        "feed": dish.feed.slot,
        "meal": dish.feed.meal,
        "food": dish.food.id,
        "name": dish.food.name,
        "kind": dish.kind,
        "written": line.amount.text,
        "ad_lib": line.amount.ad_lib,
        "cut": line.cut,
        "presentation": line.presentation,
        "given_for": line.treat,
        "medicine": _medicine(line.medicine) if line.medicine else None,
        "note": line.note,
        "not_here": list(dish.absent),
        "bowls": [_bowl(bowl, line.amount.dimension) for bowl in dish.bowls],
        "together": range_of(dish.total),
    }


def _medicine(ordered: Medicine) -> Json:
    return {
        "drug": ordered.drug,
        "dose": ordered.dose,
        "ordered_by": ordered.by,
        "from": ordered.start.isoformat(),
        "until": ordered.until.isoformat(),
    }


def _bowl(bowl: Bowl, dimension: Dimension) -> Json:
    return {
        "animals": [animal.id for animal in bowl.animals],
        "shared": bowl.shared,
        "how_many": range_of(bowl.times),
        "grams": range_of(bowl.grams),
        "before_rounding": range_of(bowl.reckoned),
        "counts": [] if bowl.count is None else counts([(dimension, bowl.count)]),
        "not_known": bowl.gap,
    }


def _bar(bar: Bar) -> Json:
    return {
        "group": bar.group.id,
        "animal": bar.animal.id if bar.animal else None,
        "names": list(bar.names),
        "why": bar.why,
        "planned_all_the_same": [food.id for food in bar.given],
    }
