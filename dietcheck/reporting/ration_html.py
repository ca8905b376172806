"""The computed ration as one HTML page: plain tables that read the same on paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from dietcheck import __version__
from dietcheck.nutrition.gauges import AS_FED, ENERGY
from dietcheck.nutrition.summary import MEASURES, Summary
from dietcheck.quantities import format_interval
from dietcheck.reporting import ration, words
from dietcheck.reporting.layout import shown
from dietcheck.reporting.pages import page
from dietcheck.reporting.ration import RationReport

SIDE_BY_SIDE = 6
"""Quantities beside each other in the table of foods: what fits on paper."""


class Table(Struct, frozen=True):
    """A table as the template draws it; `numbers` are the columns that stand to the right."""

    caption: str
    heads: Sequence[str]
    rows: Sequence[Sequence[str]]

    @property
    def numbers(self) -> frozenset[int]:
        """The columns with figures: all but the first, and those that hold words."""
        return frozenset(
            n for n, head in enumerate(self.heads) if n and head not in ("unit", "weighed", "days")
        )


def render(report: RationReport) -> str:
    """The whole page."""
    group = report.diet.group
    return page(
        "ration.html",
        collection=shown(report.collection, 120),
        group=shown(group.id, 60),
        called=shown(group.called),
        species=shown(group.taxon.scientific_name, 80),
        on=words.day(report.diet.on),
        sheet=ration.sheet_line(report),
        drafts=[shown(name, 200) for name in report.drafts],
        unread=[shown(said) for said in report.unread],
        rations=[
            {
                "animals": ration.animals(summary),
                "period": ration.period(summary),
                "feeds": "" if summary.whole_rota else ration.feeds(summary),
                "tables": list(_tables(summary)),
                "weak": list(ration.weak_lines(summary)),
            }
            for summary in report.summaries
        ],
        methods=ration.methods(report),
        formulas=ration.formulas(report),
        notes=ration.NOTES,
        version=__version__,
    )


def _tables(summary: Summary) -> Iterator[Table]:
    said = [ration.said(row) for row in summary.rows]
    yield Table(
        "The ration, a day",
        ("", "unit", "a day", "in dry matter", "stated"),
        [(row.title, row.unit, row.value, row.density, row.known) for row in said],
    )
    if not summary.is_same_daily:
        spread = ration.spread(summary)
        if spread:
            yield Table(
                "From day to day, and in any seven days running, where figures differ (a day)",
                ("", "unit", "lowest day", "highest day", "lowest 7 days", "highest 7 days"),
                [
                    (r.title, r.unit, r.lowest_day, r.highest_day, r.lowest_week, r.highest_week)
                    for r in spread
                ],
            )
        yield _days(summary)
    yield _bodies(summary)
    yield from _energy(summary)
    yield Table(
        "By class of food",
        ("", "of dry matter", "as fed"),
        [
            (shown(one.food_class, 40), ration.share(one.of_dry_matter), ration.share(one.as_fed))
            for one in summary.classes
        ],
    )
    yield from _foods(summary)


def _days(summary: Summary) -> Table:
    gauges = [row.gauge for row in summary.rows][:SIDE_BY_SIDE]
    open_ = {row.gauge.key for row in summary.rows if row.is_open}
    return Table(
        "Day by day" + (": every day is fed the same" if summary.is_same_daily else ""),
        ("days", *(f"{gauge.title}, {gauge.unit}" for gauge in gauges)),
        [
            (
                ration.days_said(days),
                *(ration.figure(g.a_day(of_day), g.key in open_) for g in gauges),
            )
            for days, of_day in summary.days
        ],
    )


def _bodies(summary: Summary) -> Table:
    rows = []
    for body in summary.bodies:
        mass, weighed = ration.weight(body)
        old = "" if body.days_old is None else str(body.days_old)
        if body.weighing is not None and body.mass is None:
            old += ", too old to count"
        rows.append(
            (
                shown(body.animal.called, 60),
                mass,
                weighed,
                old,
                format_interval(body.dry_matter_per_metabolic, ""),
                ration.share(body.dry_matter_share, "") if body.mass else "unknown",
                ration.share(body.as_fed_share, "") if body.mass else "unknown",
                format_interval(body.sugars_per_kg, ""),
            )
        )
    heads = (
        "animal",
        "weight",
        "weighed",
        "days ago",
        "dry matter, g/kg^0.75",
        "dry matter, %",
        "as fed, %",
        "sugars, g/kg",
    )
    return Table("For the body mass, a day", heads, rows)


def _energy(summary: Summary) -> Iterator[Table]:
    measures = [m for m in MEASURES if any(m in body.spans for body in summary.bodies)]
    offered = [row for row in summary.rows if row.gauge.key == ENERGY]
    if not offered or not measures:
        return
    rows = []
    for body in summary.bodies:
        spans = (body.spans.get(measure) for measure in measures)
        needs = ("" if span is None else format_interval(span, "") for span in spans)
        name = shown(body.animal.called, 60)
        rows.append((name, ration.figure(offered[0].value), *needs))
    yield Table(
        "Energy, kcal a day: what is offered, and what is published for the body mass",
        ("animal", "offered", *(ration.NEEDS[measure] for measure in measures)),
        rows,
    )


def _foods(summary: Summary) -> Iterator[Table]:
    rows = [row for row in summary.rows if row.gauge.additive and row.gauge.key != AS_FED]
    for start in range(0, max(len(rows), 1), SIDE_BY_SIDE):
        columns = [ration.column(row, summary.parts) for row in rows[start : start + SIDE_BY_SIDE]]
        yield Table(
            "By food: grams as fed a day, and what it brings of each quantity"
            + (" (continued)" if start else ""),
            ("food", "g a day", *(f"{one.title}, {one.unit}" for one in columns)),
            [
                (
                    shown(part.food.id, 60),
                    format_interval(part.grams, ""),
                    *(one.cells[number] for one in columns),
                )
                for number, part in enumerate(summary.parts)
            ],
        )
