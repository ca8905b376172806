"""The computed ration for a terminal: a compact table for animals fed alike, then parts and doubts.

Plain text of at most 80 columns.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from dietcheck.nutrition.gauges import AS_FED, ENERGY
from dietcheck.nutrition.summary import MEASURES, Summary
from dietcheck.quantities import format_interval
from dietcheck.reporting import ration, words
from dietcheck.reporting.layout import WIDTH, listed, paragraph, shown, width, wrap
from dietcheck.reporting.ration import RationReport

PARTS = 14
"""Foods told one by one; the rest of a long list is only counted."""
WEAK = 16
"""Weak inputs told one by one."""
DAYS = 20
"""Differently fed days told one by one."""
SIDE_BY_SIDE = 5
SHOWN_FIRST = (AS_FED, "dry_matter", ENERGY, "protein", "sugars", "calcium")
"""What the table of foods shows where nothing special was asked for."""
BY_DAY = (AS_FED, "dry_matter", ENERGY, "sugars")
"""The same for the table of days."""


def render(report: RationReport) -> str:
    """The whole page."""
    lines = [*_head(report)]
    told: dict[str, str] = {}
    for summary in report.summaries:
        lines += _summary(summary, told)
    lines += _foot(report)
    return "\n".join(lines) + "\n"


def _foot(report: RationReport) -> Iterator[str]:
    yield from ("", "How it is reckoned", "-" * WIDTH)
    yield from paragraph(
        "Stated: the part of the dry matter whose foods state the figure; blank means all of it."
    )
    for method in ration.methods(report):
        yield from paragraph(method)
    formulas = ration.formulas(report)
    if formulas:
        yield "Energy that is published for the body mass:"
    for formula in formulas:
        yield from paragraph(formula, 4, "  -")
    yield ""
    for note in ration.NOTES:
        yield from paragraph(note)


def _head(report: RationReport) -> Iterator[str]:
    group = report.diet.group
    called = shown(group.called)
    species = shown(group.taxon.scientific_name, 80)
    yield from paragraph(f"{called} ({shown(group.id, 60)}), {species}: computed ration")
    on = words.day(report.diet.on)
    yield from paragraph(
        f"{shown(report.collection, 120)}, as at {on}; {ration.sheet_line(report)}."
    )
    if report.drafts:
        drafts = listed((shown(name, 200) for name in report.drafts), 5)
        yield from paragraph(f"With drafts laid over: {drafts}.", whole=True)


def _summary(summary: Summary, told: dict[str, str]) -> Iterator[str]:
    """One ration; sections that read as they do for animals further up are only named."""
    who = ration.animals(summary)
    yield ""
    yield from paragraph(f"{who}: {ration.period(summary)}")
    yield "-" * WIDTH
    if not summary.whole_rota:
        yield from paragraph(ration.feeds(summary))
    yield from _main_table(summary)
    if summary.is_same_daily:
        yield "Every day is fed the same."
    else:
        yield from _spread(summary)
    yield from _by_body_mass(summary)
    yield from _energy_need(summary)
    for title, section in _SECTIONS.items():
        lines = list(section(summary))
        first = told.setdefault("\n".join((title, *lines)), who)
        yield ""
        yield title
        yield from lines if first == who else paragraph(f"as for {first}")


def _main_table(summary: Summary) -> Iterator[str]:
    head = ("", "", "a day", "in dry matter", "stated")
    rows = map(ration.said, summary.rows)
    body = [(row.title, row.unit, row.value, row.density, row.known) for row in rows]
    yield from grid([head, *body], (24, 5, 17, 21, 13))


def _spread(summary: Summary) -> Iterator[str]:
    """The least and the most in one day and in seven days running, where they differ."""
    rows = [("", "", "lowest day", "highest day", "lowest 7 days", "highest 7 days")]
    rows += (
        (r.title, r.unit, r.lowest_day, r.highest_day, r.lowest_week, r.highest_week)
        for r in ration.spread(summary)
    )
    yield from ("", "From day to day, and in any seven days running (a day)")
    if len(rows) > 1:
        yield from grid(rows, (16, 5, 15, 15, 14, 15))
    if len(rows) == 1:
        yield "As shown above, no figure differs from one day to another."
    elif len(rows) <= len(summary.rows):
        yield "What is not named here is the same every day."
    yield from _days(summary)


def _days(summary: Summary) -> Iterator[str]:
    """Every differently fed day with a few figures, those fed alike in one row."""
    gauges = [row.gauge for row in summary.rows if row.gauge.key in BY_DAY]
    gauges = (gauges or [row.gauge for row in summary.rows])[:4]
    open_ = {row.gauge.key for row in summary.rows if row.is_open}
    rows = [("", *(f"{gauge.title}, {gauge.unit}" for gauge in gauges))]
    for days, of_day in summary.days[:DAYS]:
        figures = (ration.figure(gauge.a_day(of_day), gauge.key in open_) for gauge in gauges)
        rows.append((ration.days_said(days), *figures))
    yield from grid(rows, (24, *[14] * len(gauges)))
    if (left := len(summary.days) - DAYS) > 0:
        yield f"and {left} more"


def _by_body_mass(summary: Summary) -> Iterator[str]:
    yield from ("", "For the body mass, a day")
    rows = [
        (
            "animal",
            "weight",
            "weighed",
            "days ago",
            "dry matter g/kg^0.75",
            "as fed %",
            "sugars g/kg",
        )
    ]
    for body in summary.bodies:
        mass, weighed = ration.weight(body)
        stale = body.weighing is not None and body.mass is None
        rows.append(
            (
                shown(body.animal.called, 40),
                mass,
                weighed,
                "" if body.days_old is None else f"{body.days_old}{', too old' if stale else ''}",
                _short(format_interval(body.dry_matter_per_metabolic, "")),
                _short(ration.share(body.as_fed_share, "")) if body.mass else "unknown",
                _short(format_interval(body.sugars_per_kg, "", 2)),
            )
        )
    yield from grid(rows, (16, 11, 12, 9, 12, 10, 10))


def _energy_need(summary: Summary) -> Iterator[str]:
    """The energy offered beside what is published for the taxon, where something is held."""
    measures = [m for m in MEASURES if any(m in body.spans for body in summary.bodies)]
    offered = [row for row in summary.rows if row.gauge.key == ENERGY]
    if not offered:
        return
    if not measures:
        if any(body.mass for body in summary.bodies):
            yield "No energy need is held here for this taxon and stage."
        return
    yield from ("", "Energy, kcal a day: what is offered, and what is published for the body mass")
    rows = [("animal", "offered", *(ration.NEEDS[measure] for measure in measures))]
    for body in summary.bodies:
        spans = (body.spans.get(measure) for measure in measures)
        needs = ("" if span is None else format_interval(span, "") for span in spans)
        figures = map(_short, (ration.figure(offered[0].value), *needs))
        rows.append((shown(body.animal.called, 40), *figures))
    yield from grid(rows, (14, 12, *[13] * len(measures)))


def _short(text: str) -> str:
    """A range in fewer columns."""
    return text.replace(" to ", "–")


def _by_class(summary: Summary) -> Iterator[str]:
    body = [
        (shown(one.food_class, 40), ration.share(one.of_dry_matter), ration.share(one.as_fed))
        for one in summary.classes
    ]
    yield from grid([("", "of dry matter", "as fed"), *body], (24, 23, 23))


def _by_food(summary: Summary) -> Iterator[str]:
    """What each food brings; where nothing special was asked for, of a few quantities."""
    rows = [row for row in summary.rows if row.gauge.additive and row.gauge.key != AS_FED]
    usual = [row for row in rows if row.gauge.key in SHOWN_FIRST]
    rows = usual if len(usual) == len(SHOWN_FIRST) - 1 else rows
    parts = summary.parts[:PARTS]
    for start in range(0, len(rows), SIDE_BY_SIDE):
        columns = [ration.column(row, parts) for row in rows[start : start + SIDE_BY_SIDE]]
        heads = (f"{one.title} {one.unit}" for one in columns)
        table = [("", "g a day", *heads)]
        for number, part in enumerate(parts):
            cells = (part_of.cells[number] for part_of in columns)
            figures = (format_interval(part.grams, ""), *cells)
            table.append((shown(part.food.id, 60), *map(_short, figures)))
        yield from grid(table, (20, 12, *[9] * len(columns)))
    if (left := len(summary.parts) - PARTS) > 0:
        yield f"and {left} foods more"


def _weak(summary: Summary) -> Iterator[str]:
    found = list(ration.weak_lines(summary))
    if not found:
        yield "None: every figure is stated and every weight is current."
    for about, why in found[:WEAK]:
        yield from paragraph(f"{about}: {why}", 2)
    if (left := len(found) - WEAK) > 0:
        yield f"  and {left} more: --write html or json shows all"


_SECTIONS: Mapping[str, Callable[[Summary], Iterator[str]]] = {
    "By class of food": _by_class,
    "By food: grams as fed a day, and what it brings of each quantity": _by_food,
    "Weak inputs": _weak,
}


def grid(rows: Iterable[Sequence[str]], widths: Sequence[int]) -> Iterator[str]:
    """Rows as columns of these widths, the last blank of each left free; long cells are wrapped."""
    for row in rows:
        cells = [list(wrap(text, w - 1)) for text, w in zip(row, widths, strict=True)]
        for number in range(max(map(len, cells))):
            line = ""
            for cell, w in zip(cells, widths, strict=True):
                text = cell[number] if number < len(cell) else ""
                line += text + " " * (w - width(text))
            yield line.rstrip()
