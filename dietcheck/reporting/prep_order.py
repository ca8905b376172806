"""The order list: what some days take from the store, when it is first needed, by class of food.

The figures are the sums of what the sheets of those days draw.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from typing import Any

from msgspec import Struct

from dietcheck import __version__
from dietcheck.nutrition.kitchen_store import Wanted
from dietcheck.reporting import prep, prep_csv, prep_json, words
from dietcheck.reporting.figures import clean, range_of
from dietcheck.reporting.layout import WIDTH, paragraph, shown
from dietcheck.reporting.prep_figures import counts, mass
from dietcheck.reporting.prep_held import Held
from dietcheck.reporting.prep_text import held_lines
from dietcheck.reporting.ration_text import grid

HEAD = (
    "table", "food", "name", "class", "first needed", "days", "low", "high", "expected", "unit",
    "pieces", "group", "note",
)  # fmt: skip
SCHEMA_VERSION = "1.0"
NOTES = (
    "Raw weights: the sum of what each day's sheet draws, every day rounded up. What lies in the "
    "store already is not known here.",
    "Groups with an open high finding are left out. A range is what the sheets allow.",
)


class OrderReport(Struct, frozen=True, eq=False):
    """The order for some days. `not_planned` are groups with days that the plan leaves open."""

    collection: str
    read_from: str
    first: date
    last: date
    wanted: tuple[Wanted, ...]
    held: tuple[Held, ...]
    not_planned: tuple[tuple[str, tuple[date, ...]], ...]


def text(report: OrderReport) -> str:
    """The list for a terminal, at most 80 columns."""
    return "\n".join(_lines(report)).lstrip("\n") + "\n"


def _lines(report: OrderReport) -> Iterator[str]:
    yield from held_lines(report.held)
    yield ""
    yield from paragraph(f"Order list, {prep.weekday(report.first)} to {prep.weekday(report.last)}")
    yield from paragraph(f"{shown(report.collection, 120)}; read from {shown(report.read_from)}.")
    yield "-" * WIDTH
    yield from grid([("food", "from store", "first needed", "days")], (30, 28, 16, 6))
    shelf = ""
    for one in report.wanted:
        if one.food.food_class != shelf:
            shelf = one.food.food_class
            yield from paragraph(f"{shown(shelf, 60)}:")
        row = (f"  {prep.called(one.food)}", drawn(one), words.day(one.first), str(one.days))
        yield from grid([row], (30, 28, 16, 6))
    if not report.wanted:
        yield "Nothing."
    for called, days in report.not_planned:
        yield from paragraph(f"NOT PLANNED, so not in the sums: {missing(called, days)}.")
    for note in _doubts(report):
        yield from paragraph(f"Grams not known in part: {note}.")
    for note in NOTES:
        yield from ("", *paragraph(note))


def drawn(one: Wanted) -> str:
    """The weight, and the pieces that lines are written in."""
    pieces = f", {counts(one.counts)} among it" if one.counts else ""
    return mass(one.drawn) + pieces + (", ad lib in part" if one.ad_lib else "")


def missing(called: str, days: tuple[date, ...]) -> str:
    """A group and the days that its plan leaves open."""
    more = f" and {len(days) - 6} more days" if len(days) > 6 else ""
    return f"{shown(called)}, {', '.join(map(words.day, days[:6]))}{more}"


def _doubts(report: OrderReport) -> Iterator[str]:
    for one in report.wanted:
        if one.gaps:
            yield f"{prep.called(one.food)}: {'; '.join(map(shown, one.gaps))}"


def csv(report: OrderReport) -> str:
    """The list for a spreadsheet."""
    return prep_csv.table(HEAD, _rows(report))


def _rows(report: OrderReport) -> Iterator[Mapping[str, str]]:
    yield from prep_csv.held_rows(report.held)
    for one in report.wanted:
        yield {
            "table": "order",
            "food": one.food.id,
            "name": one.food.name,
            "class": one.food.food_class,
            "first needed": one.first.isoformat(),
            "days": str(one.days),
            **prep_csv.figures(one.drawn),
            "pieces": counts(one.counts),
            "note": "; ".join([*(["ad lib in part"] if one.ad_lib else []), *one.gaps]),
        }
    for called, days in report.not_planned:
        yield {"table": "not planned", "group": called, "note": missing(called, days)}


def as_json(report: OrderReport) -> str:
    """The list for other programs. Masses are grams."""
    document: dict[str, Any] = {
        "schema_version": SCHEMA_VERSION,
        "tool": {"name": "dietcheck", "version": __version__},
        "collection": report.collection,
        "read_from": report.read_from,
        "first_day": report.first.isoformat(),
        "last_day": report.last.isoformat(),
        "not_printed": prep_json.held(report.held),
        "not_planned": [
            {"group": called, "days": [day.isoformat() for day in days]}
            for called, days in report.not_planned
        ],
        "order": [
            {
                "food": one.food.id,
                "name": one.food.name,
                "class": one.food.food_class,
                "drawn": range_of(one.drawn),
                "counts": prep_json.counts(one.counts.items()),
                "first_needed": one.first.isoformat(),
                "days": one.days,
                "ad_lib_in_part": one.ad_lib,
                "not_known": list(one.gaps),
            }
            for one in report.wanted
        ],
        "cautions": list(NOTES),
    }
    return json.dumps(clean(document), indent=1, allow_nan=False) + "\n"


KINDS: Mapping[str, Callable[[OrderReport], str]] = {"csv": csv, "json": as_json}
