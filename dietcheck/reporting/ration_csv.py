"""The computed ration as one table for a spreadsheet: a figure a row, with all that it is of.

UTF-8 with a byte order mark, without which spreadsheet programs misread µ. A text that a
spreadsheet could take for a formula gets an apostrophe in front.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator
from decimal import Decimal

from dietcheck.nutrition.plan import PlannedDay
from dietcheck.nutrition.summary import Row, Summary
from dietcheck.quantities import Interval
from dietcheck.quantities.show import plain
from dietcheck.reporting.figures import ends
from dietcheck.reporting.layout import shown
from dietcheck.reporting.ration import NEEDS, RationReport, days_said, period

HEAD = (
    "group", "animals", "table", "what", "food", "over", "low", "high", "best", "unit", "note",
)  # fmt: skip
BYTE_ORDER_MARK = "\ufeff"
# A program that divides cells at semicolons sees the start of a cell behind each of them. Some
# take the wide forms of the signs for the signs, and pass over blanks.
_START = re.compile(r"(^|;)(\s*)(?=[=+\-@＝＋－＠])")

Cells = tuple[str, str, str, str, Interval | None, str, str]


def render(report: RationReport) -> str:
    """The whole table as text."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(HEAD)
    group = report.diet.group.id
    for summary in report.summaries:
        names = "; ".join(animal.id for animal in summary.animals)
        for table, what, food, over, value, unit, note in _rows(summary):
            figures = ("", "", "") if value is None else _figures(value)
            texts = [safe(text) for text in (group, names, table, what, food, over)]
            writer.writerow([*texts, *figures, safe(unit), safe(note)])
    for said in report.unread:
        writer.writerow([safe(group), "", "not read", *[""] * (len(HEAD) - 4), safe(shown(said))])
    return BYTE_ORDER_MARK + out.getvalue()


def safe(text: str) -> str:
    """A text that no spreadsheet takes for a formula, on one line, wherever it divides cells."""
    return _START.sub(r"\1\2'", shown(text))


def _rows(summary: Summary) -> Iterator[Cells]:
    over = period(summary)
    for row in summary.rows:
        yield from _of_row(row, over)
    for days, ration in summary.days:
        for gauge in (row.gauge for row in summary.rows):
            on = days_said(days)
            yield "day", gauge.title, "", on, gauge.a_day(ration), gauge.unit, _dates(days)
    for part in summary.parts:
        yield "food", "food as fed", part.food.id, over, part.grams, "g", ""
        for row in summary.rows:
            gauge = row.gauge
            if gauge.additive:
                note = "" if part.states[gauge.key] else "not stated"
                amount, share = part.amounts[gauge.key], part.shares[gauge.key] * 100
                yield "food", gauge.title, part.food.id, over, amount, gauge.unit, note
                yield "share of food", gauge.title, part.food.id, over, share, "%", note
    for one in summary.classes:
        yield "class", "dry matter", one.food_class, over, one.of_dry_matter * 100, "%", ""
        yield "class", "food as fed", one.food_class, over, one.as_fed * 100, "%", ""
    yield from _bodies(summary, over)
    for weak in summary.weak:
        names = ", ".join(gauge.title for gauge in weak.gauges)
        yield "weak input", names, weak.about, "", None, "", weak.why


def _of_row(row: Row, over: str) -> Iterator[Cells]:
    gauge = row.gauge
    yield "a day", gauge.title, "", over, row.value, gauge.unit, gauge.note
    if row.density is not None:
        yield "in dry matter", gauge.title, "", over, row.density, gauge.density_unit, ""
    yield "stated for", gauge.title, "", over, row.known * 100, "% of dry matter", ""
    for name, found in (
        ("lowest day", row.lowest_day),
        ("highest day", row.highest_day),
        ("lowest 7 days", row.lowest_week),
        ("highest 7 days", row.highest_week),
    ):
        yield name, gauge.title, "", days_said(found.days), found.value, gauge.unit, ""


def _bodies(summary: Summary, over: str) -> Iterator[Cells]:
    for body in summary.bodies:
        animal = body.animal.id
        weighing = body.weighing
        note = "" if body.mass is not None else "no current weight"
        on = f"weighed {weighing.on.isoformat()}" if weighing else "never weighed"
        mass = weighing.mass if weighing else None
        yield "body mass", animal, "", on, mass, "g", note
        for what, figure, unit in (
            ("as fed", body.as_fed_share * 100, "% of body mass"),
            ("dry matter", body.dry_matter_share * 100, "% of body mass"),
            ("dry matter", body.dry_matter_per_metabolic, "g/kg^0.75"),
            ("sugars", body.sugars_per_kg, "g/kg body mass"),
        ):
            yield f"{what} for the body mass", animal, "", over, figure, unit, note
        for need in body.needs:
            what = f"published energy: {NEEDS[need.measure]}"
            yield what, animal, "", "", need.per_day, "kcal", need.described


def _figures(value: Interval) -> tuple[str, str, str]:
    low, high, best = ends(value)
    return _cell(low), _cell(high), _cell(best)


def _cell(value: Decimal | None) -> str:
    return plain(value) if value is not None and value.is_finite() else ""


def _dates(days: Iterable[PlannedDay]) -> str:
    return " ".join(day.on.isoformat() for day in days)
