"""The trail of an animal as one page that is read without the program, on a screen or on paper."""

from __future__ import annotations

from dietcheck import __version__
from dietcheck.reporting import trail_said, words
from dietcheck.reporting.layout import shown
from dietcheck.reporting.pages import page
from dietcheck.reporting.trail import NOTES, TrailReport


def render(report: TrailReport) -> str:
    """The whole page; every text in it is escaped by the template."""
    group = report.group
    return page(
        "trail.html",
        heading=trail_said.heading(report),
        collection=report.collection,
        called=shown(group.called, 80),
        species=shown(group.taxon.scientific_name, 80),
        about=report.about,
        short=trail_said.short(report),
        version=trail_said.commit(report.version),
        commit=report.version.commit if report.version else "",
        unknown=report.unknown,
        plan=f"{report.plan[:1].upper()}{report.plan[1:]}.",
        nothing="" if report.offered else trail_said.nothing_offered(report),
        offered=[
            (
                f"{one.slot}: {one.meal}",
                one.called if one.called == one.food else f"{one.called} ({one.food})",
                one.amount,
                trail_said.grams(one),
                "; ".join(one.details),
                one.place,
            )
            for one in report.offered
        ],
        totals=[
            (
                total.title,
                total.unit,
                trail_said.figure(total.day, total.is_open),
                trail_said.figure(total.mean, total.is_open),
            )
            for total in report.totals
        ],
        files=[(one.what, one.file, trail_said.commit(one.changed)) for one in report.files],
        signatures=[list(trail_said.signature(one)) for one in report.signatures],
        findings=[one for one in report.findings if not one.accepted],
        risks=[trail_said.risk(one) for one in report.risks],
        log=[(trail_said.log_heading(e.version), e.changes) for e in report.log.entries],
        last_change=report.last_change,
        late=[trail_said.late(one, report) for one in report.log.late],
        in_git=report.version is not None,
        on=words.day(report.on),
        notes=NOTES,
        tool=__version__,
    )
