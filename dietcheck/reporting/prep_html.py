"""The feed kitchen's sheet as a page to print on A4: the store first, then a page an enclosure."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from dietcheck import __version__
from dietcheck.nutrition.kitchen import Dish, GroupDay
from dietcheck.nutrition.kitchen_store import Draw, KitchenDay
from dietcheck.reporting import prep
from dietcheck.reporting.layout import listed, shown
from dietcheck.reporting.pages import page
from dietcheck.reporting.prep import PrepReport

View = dict[str, Any]
_UNIT = re.compile(r"(?<=\d) (?=(?:kg|g|ml|IU|pieces?)\b)")


def render(report: PrepReport) -> str:
    """The whole page; every text in it is escaped by the template."""
    any_printed = any(day.groups for day in report.days)
    return page(
        "prep.html",
        collection=shown(report.collection, 120),
        read_from=shown(report.read_from, 120),
        title=prep.weekday(report.days[0].on),
        held=[
            {
                "called": f"{shown(one.group.called)}, {shown(one.group.enclosure, 80)}",
                "reasons": one.reasons,
                "approved": one.approved,
            }
            for one in report.held
        ],
        days=[_day(report, day) for day in report.days] if any_printed else [],
        notes=prep.notes(report),
        version=__version__,
    )


def _day(report: PrepReport, day: KitchenDay) -> View:
    return {
        "on": prep.weekday(day.on),
        "shelves": _shelves(day),
        "mixes": [f"{mix} = {' + '.join(parts)}" for mix, parts in prep.recipes(day)],
        "gaps": list(prep.gaps(day)),
        "thaw": [
            (
                prep.called(draw.food),
                _whole(prep.drawn(draw)),
                listed((shown(group.called, 60) for group in draw.groups), 8),
            )
            for draw in day.thaw
        ],
        "thaw_unknown": [shown(group.called) for group in day.thaw_unknown],
        "apart": [_apart(*pair) for pair in prep.apart(day)],
        "treats": [_apart(*pair) for pair in prep.treats(day)],
        "bars": [
            *(prep.bar_line(bar, day.draws) for bar in prep.bars(day)),
            *((*pair, True) for one in day.groups for pair in prep.not_for(one)),
        ],
        "sections": [
            {"place": shown(place, 120), "groups": [_group(report, one) for one in groups]}
            for place, groups in prep.sections(day)
        ],
    }


def _shelves(day: KitchenDay) -> list[tuple[str, list[View]]]:
    """What to draw, by the class of food that it stands with."""
    shelves: dict[str, list[View]] = {}
    for draw in day.draws:
        shelf = shown(draw.food.food_class, 60)
        shelves.setdefault(shelf[:1].upper() + shelf[1:], []).append(_draw(draw))
    return list(shelves.items())


def _draw(draw: Draw) -> View:
    return {
        "food": prep.called(draw.food),
        "drawn": _whole(prep.drawn(draw)),
        "note": "; ".join(
            filter(None, ("ad lib in part" if draw.ad_lib else "", prep.reckoning(draw)))
        ),
    }


def _apart(one: GroupDay, dish: Dish) -> View:
    return {"whose": prep.whose(one, dish), **_dish(dish, one.plan.on)}


def _group(report: PrepReport, one: GroupDay) -> View:
    return {
        "called": shown(one.group.called),
        "heading": prep.heading(one),
        "remarks": list(prep.remarks(report, one)),
        "feeds": [
            {"slot": slot, "meal": meal, "dishes": [_dish(dish, one.plan.on) for dish in dishes]}
            for slot, meal, dishes in prep.feeds(one, report.slots)
        ],
        "bars": [
            *(prep.bar_line(bar, ()) for bar in one.bars),
            *((*pair, True) for pair in prep.not_for(one)),
        ],
    }


def _dish(dish: Dish, on: date) -> View:
    portions = [_whole(prep.portion(dish, bowl)) for bowl in dish.bowls]
    return {
        "food": prep.called(dish.food),
        "mark": prep.KIND[dish.kind],
        "portions": portions,
        "total": _whole(prep.total(dish)) if portions else "",
        "whom": prep.whom(dish),
        "medicine": _whole(prep.medicine(dish, on)),
        "how": prep.how(dish),
    }


def _whole(text: str) -> str:
    """The text with no line break between a figure and its unit."""
    return _UNIT.sub("\u00a0", text)
