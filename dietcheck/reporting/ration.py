"""The computed ration of a group, for people and programs: what every kind of output starts from.

Each kind of file is one module with a function `render(report)` and a row in `KINDS`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from importlib import import_module
from itertools import groupby

from msgspec import Struct

from dietcheck.nutrition.diet import Diet
from dietcheck.nutrition.gauges import ENERGY, VITAMIN_A, Gauge
from dietcheck.nutrition.plan import Feed, PlannedDay
from dietcheck.nutrition.summary import Body, Part, Row, Summary
from dietcheck.quantities import Interval, format_interval
from dietcheck.reporting import words
from dietcheck.reporting.layout import listed, shown

KINDS: Mapping[str, str] = {"json": "ration_json", "csv": "ration_csv", "html": "ration_html"}

NOTES = (
    "Offered, not eaten. Worked out from the amounts that are written; composition comes from "
    "tables and labels, not from the batch in the store.",
    "A range is all that the inputs allow; “at least” means that some of the food does not state "
    "the figure. An even share of what a group is given together is reckoned: an animal that takes "
    "more gets more.",
    "This compares with no limit and prescribes nothing: “dietcheck screen” judges.",
)
"""Printed with every ration."""

NEEDS = {
    "basal": "basal, at rest",
    "maintenance": "maintenance, kept animals",
    "intake": "intake, eaten or aimed at",
    "field": "free-living, never a ration",
}
_BIGGER = {"g": "kg", "mg": "g", "µg": "mg"}
_SMALL = Decimal("0.001")
_TENTH = Decimal("0.1")
_TOO_LONG = Decimal(100_000)  # from here on a figure is shown in the bigger unit


class RationReport(Struct, frozen=True, eq=False):
    """The ration of a group with where it was read from. `unread` is what could not be."""

    collection: str
    diet: Diet
    read_from: str
    drafts: tuple[str, ...]
    unread: tuple[str, ...]
    summaries: tuple[Summary, ...]


def render(kind: str, report: RationReport) -> str:
    """The text of a file of one of the `KINDS`. Only that kind's module is loaded."""
    text: str = import_module(f"dietcheck.reporting.{KINDS[kind]}").render(report)
    return text


class Said(Struct, frozen=True):
    """One row of the table in words. `unit` is that of every figure of the row but `density`."""

    title: str
    unit: str
    value: str
    density: str
    known: str
    lowest_day: str
    highest_day: str
    lowest_week: str
    highest_week: str


def said(row: Row) -> Said:
    """A row in words, large figures in the bigger unit."""
    unit, times = row.gauge.unit, Decimal(1)
    if row.is_open and not row.gauge.additive:
        no = "unknown"
        return Said(row.gauge.title, unit, no, "", share(row.known), no, no, no, no)
    spread = (row.lowest_day, row.highest_day, row.lowest_week, row.highest_week)
    if unit in _BIGGER and row.highest_day.value.low >= _TOO_LONG:
        unit, times = _BIGGER[unit], Decimal("0.001")
    figures = [
        figure(value * times, row.is_open) for value in (row.value, *(o.value for o in spread))
    ]
    density = "" if row.density is None else figure(row.density, row.is_open)
    return Said(
        row.gauge.title,
        unit,
        figures[0],
        f"{density} {row.gauge.density_unit}" if density not in ("", "unknown") else density,
        "" if row.known.low == 1 else share(row.known),
        *figures[1:],
    )


def spread(summary: Summary) -> list[Said]:
    """The rows whose figures differ, as shown, from one day to another."""
    rows = map(said, summary.rows)
    return [
        row
        for row in rows
        if len({row.lowest_day, row.highest_day, row.lowest_week, row.highest_week}) > 1
    ]


def figure(value: Interval, is_open: bool = False, unit: str = "") -> str:
    """A range in words; without its upper end where that is nothing but the dry matter."""
    if is_open:
        value = Interval(value.low, Decimal("Infinity"))
    return format_interval(value, unit)


def share(value: Interval, sign: str = "%") -> str:
    """A share, 0 to 1, in per cent with two digits; what is under a thousandth is not spelt out."""
    if value.low == 0 and value.high >= 1:
        return "unknown"
    if value.high < _SMALL:
        return f"under 0.1 {sign}".rstrip() if value.high else f"0 {sign}".rstrip()
    low = value.low * 100 if value.low >= _SMALL else Decimal(0)
    high = value.high * 100
    if high < 1 and low != high:
        low = low.quantize(_TENTH, ROUND_FLOOR)
        high = high.quantize(_TENTH, ROUND_CEILING)
    return format_interval(Interval(low, high), sign, 1 if high < 1 else 2)


class Column(Struct, frozen=True):
    """What each food brings of one quantity: a share, or an amount where not all foods state it."""

    title: str
    unit: str
    cells: tuple[str, ...]


def column(row: Row, parts: Iterable[Part]) -> Column:
    """What each of some foods brings of a quantity."""
    gauge = row.gauge
    if not row.is_open:
        cells = tuple(share(part.shares[gauge.key], "") for part in parts)
        return Column(gauge.title, "%", cells)
    return Column(gauge.title, gauge.unit, tuple(_amount(part, row) for part in parts))


def _amount(part: Part, row: Row) -> str:
    gauge = row.gauge
    if not part.states[gauge.key]:
        return "not stated"
    return format_interval(part.amounts[gauge.key], "", 2)


def weight(body: Body) -> tuple[str, str]:
    """An animal's weight and when it was weighed."""
    if body.weighing is None:
        return "not known", "never"
    mass = body.weighing.mass
    said_mass = (
        format_interval(mass / 1000, "kg") if mass.high >= 1000 else format_interval(mass, "g")
    )
    return said_mass, words.day(body.weighing.on)


def animals(summary: Summary) -> str:
    """The animals of a summary by name, or the whole group."""
    names = [shown(animal.called, 60) for animal in summary.animals]
    if summary.diet.group.is_colony:
        count = format_interval(summary.animals[0].count, "animals")
        return f"each animal of the colony ({count})"
    return listed(names, 30)


def period(summary: Summary) -> str:
    """The days that the figures are of: the mean of a rota, or days of it."""
    first, last = summary.period[0], summary.period[-1]
    if summary.whole_rota:
        days = f"{words.day(first.on)} to {words.day(last.on)}"
        return f"mean of {len(summary.period)} days, {days}"
    return f"one day: {days_said(summary.period)}"


def days_said(days: Iterable[PlannedDay]) -> str:
    """Some days, those in a row together: `days 1 to 5, day 9 (Mon 16 Nov 2026)`."""
    row = sorted(days, key=lambda day: day.on)
    numbers = sorted({day.number for day in row if day.number})
    runs = []
    for _, run in groupby(enumerate(numbers), lambda one: one[1] - one[0]):
        found = [number for _, number in run]
        runs.append(str(found[0]) if len(found) == 1 else f"{found[0]} to {found[-1]}")
    treats = ", with treats" if any(is_treat(feed) for day in row for feed in day.feeds) else ""
    if not runs:
        return words.day(row[0].on) + treats
    text = f"{'day' if len(numbers) == 1 else 'days'} {', '.join(runs)}"
    return (f"{text} ({words.day(row[0].on)})" if len(row) == 1 else text) + treats


def is_treat(feed: Feed) -> bool:
    """Whether a giving is a dated treat and not a meal of the sheet."""
    return feed.meal.startswith("treat (")


def formulas(report: RationReport) -> list[str]:
    """Every formula that a need of these animals was reckoned by, once."""
    shown_with = (s for s in report.summaries if any(row.gauge.key == ENERGY for row in s.rows))
    bodies = (body for summary in shown_with for body in summary.bodies)
    return list(dict.fromkeys(shown(need.described) for body in bodies for need in body.needs))


def methods(report: RationReport) -> list[str]:
    """How energy and vitamin A were reckoned, once."""
    rows = (row for summary in report.summaries for row in summary.rows)
    noted = (row.gauge for row in rows if row.gauge.key in (ENERGY, VITAMIN_A))
    said_notes = (f"{gauge.title}: {shown(gauge.note)}." for gauge in noted)
    return list(dict.fromkeys(text[0].upper() + text[1:] for text in said_notes))


def weak_lines(summary: Summary) -> Iterator[tuple[str, str]]:
    """The weak inputs in words, all of one food together: what, and why."""
    for about, same in groupby(summary.weak, lambda weak: (weak.kind, weak.about)):
        whys = [
            f"{shown(weak.why, 200)}: {gauge_names(weak.gauges)}"
            if weak.gauges
            else shown(weak.why)
            for weak in same
        ]
        yield shown(about[1], 80), "; ".join(whys)


def feeds(summary: Summary) -> str:
    """What is fed when on the one day that is shown."""
    day = summary.period[0]
    said_feeds = [f"{shown(feed.slot, 40)}: {shown(feed.meal, 60)}" for feed in day.feeds]
    if day.fast:
        said_feeds.insert(0, "fast day")
    return "; ".join(said_feeds) or "nothing is planned"


def gauge_names(gauges: Iterable[Gauge]) -> str:
    """The titles of some gauges in a row."""
    return listed((gauge.title for gauge in gauges), 30)


def sheet_line(report: RationReport) -> str:
    """Which sheet and rota were in force on the day."""
    diet = report.diet
    sheet = diet.collection.sheet_on(diet.group.id, diet.on)
    rota = diet.collection.rota_on(diet.group.id, diet.on)
    said_sheet = f"diet sheet of {words.day(sheet.start)}" if sheet else "no diet sheet in force"
    said_rota = f"rota of {words.day(rota.start)}" if rota else "no rota in force"
    return f"{said_sheet}, {said_rota}"
