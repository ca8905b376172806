"""The feed kitchen's sheet as one table for a spreadsheet: a figure a row, with all that it is of.

As the ration's table: UTF-8 with a byte order mark, and no text that could be taken for a formula.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from decimal import Decimal

from dietcheck.nutrition.kitchen import Dish, GroupDay
from dietcheck.nutrition.kitchen_store import Draw
from dietcheck.quantities import Interval, format_interval
from dietcheck.quantities.show import plain
from dietcheck.reporting import prep
from dietcheck.reporting.figures import ends
from dietcheck.reporting.layout import shown
from dietcheck.reporting.prep import PrepReport
from dietcheck.reporting.prep_figures import count, counts
from dietcheck.reporting.prep_held import Held
from dietcheck.reporting.ration_csv import BYTE_ORDER_MARK, safe

HEAD = (
    "table", "date", "enclosure", "group", "feed", "meal", "food", "for", "bowls",
    "low", "high", "expected", "unit", "pieces", "kind", "cut", "presentation", "note",
)  # fmt: skip

Cells = Mapping[str, str]


def render(report: PrepReport) -> str:
    """The whole table as text."""
    return table(HEAD, _rows(report))


def table(head: tuple[str, ...], rows: Iterable[Cells]) -> str:
    """Rows under a head, every text in them safe."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(head)
    for row in rows:
        writer.writerow([safe(row.get(name, "")) for name in head])
    return BYTE_ORDER_MARK + out.getvalue()


def figures(value: Interval, unit: str = "g") -> dict[str, str]:
    """The cells of a range; an end that is not known stays empty."""
    low, high, best = ends(value)
    known = value.low > 0 or value.high.is_finite()
    return {
        "low": _cell(low) if known else "",
        "high": _cell(high),
        "expected": _cell(best),
        "unit": unit,
    }


def _cell(value: Decimal | None) -> str:
    return plain(value) if value is not None and value.is_finite() else ""


def _rows(report: PrepReport) -> Iterator[Cells]:
    yield from held_rows(report.held)
    for day in report.days:
        on = {"date": day.on.isoformat()}
        for draw in day.draws:
            yield {"table": "prepared", **on, **_draw(draw), **figures(draw.prepared)}
            yield {"table": "draw", **on, **_draw(draw), **figures(draw.drawn)}
        for draw in day.thaw:
            yield {"table": "thaw", **on, **_draw(draw), **figures(draw.drawn)}
        for group in day.thaw_unknown:
            note = "tomorrow is not planned whole"
            yield {"table": "thaw", **on, "group": group.id, "note": note}
        for one in day.groups:
            for row in _group(one):
                yield {**on, "enclosure": one.group.enclosure, "group": one.group.id, **row}
        for bar in prep.bars(day):
            _, said, given = prep.bar_line(bar, day.draws)
            animal = bar.animal.id if bar.animal else ""
            name = "never, but planned" if given else "never"
            yield {"table": name, **on, "group": bar.group.id, "for": animal, "note": said}


def held_rows(held: Iterable[Held]) -> Iterator[Cells]:
    """A row for everything that holds a group back, and for what was last approved."""
    for one in held:
        for said in one.reasons:
            yield {"table": "not printed", "group": one.group.id, "note": said}
        for said in one.approved:
            yield {"table": "last approved", "group": one.group.id, "note": said}


def _draw(draw: Draw) -> Cells:
    note = [prep.reckoning(draw), "ad lib in part" if draw.ad_lib else "", *draw.gaps]
    return {
        "food": draw.food.id,
        "pieces": counts(draw.counts),
        "kind": draw.food.food_class,
        "for": "; ".join(group.id for group in draw.groups),
        "note": "; ".join(map(shown, filter(None, note))),
    }


def _group(one: GroupDay) -> Iterator[Cells]:
    for hole in one.plan.holes:
        yield {"table": "not planned", "note": prep.hole_line(hole)}
    if one.plan.fast:
        yield {"table": "fast day"}
    for dish in one.dishes:
        yield from _dish(dish, one.plan.on)
    for about, said in prep.not_for(one):
        yield {"table": "never", "for": about, "note": said}


def _dish(dish: Dish, on: date) -> Iterator[Cells]:
    line = dish.line
    said = (prep.whom(dish), prep.medicine(dish, on), line.treat, line.note)
    note = "; ".join(filter(None, said))
    about = {
        "table": "portion",
        "feed": dish.feed.slot,
        "meal": dish.feed.meal,
        "food": dish.food.id,
        "kind": dish.kind,
        "cut": line.cut or "",
        "presentation": line.presentation or "",
        "note": note,
    }
    if not dish.bowls:
        yield about
    for bowl in dish.bowls:
        number = "" if bowl.count is None else count(bowl.count, line.amount.dimension)
        yield {
            **about,
            "for": "; ".join(animal.id for animal in bowl.animals),
            "bowls": format_interval(bowl.times, "", 6),
            "pieces": number,
            **figures(bowl.grams),
            "note": "; ".join(filter(None, (note, bowl.gap))),
        }
