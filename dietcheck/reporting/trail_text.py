"""The trail of an animal for a terminal of 80 columns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from dietcheck.reporting import trail_said
from dietcheck.reporting.layout import WIDTH, paragraph, shown
from dietcheck.reporting.ration_text import grid
from dietcheck.reporting.trail import NOTES, Open, TrailReport


def render(report: TrailReport) -> str:
    """The whole page."""
    lines = [*_head(report)]
    lines += _part("Cannot be known", _items(report.unknown), "")
    lines += _part("Offered on this day", _offered(report), "")
    lines += _part("Written in", _items(map(trail_said.file_line, report.files)), "")
    lines += _part("Signed by", _signatures(report), "Nobody: no signature covers this group.")
    still = [one for one in report.findings if not one.accepted]
    lines += _part("Findings that stood open", _findings(still), "None.")
    lines += _part("Risks accepted", _items(map(trail_said.risk, report.risks)), "None.")
    lines += _part("Changes up to this day, newest first", _log(report), "None is on file.")
    lines += _part("What the latest change did to the findings", _items(report.last_change), "")
    late = (trail_said.late(one, report) for one in report.log.late)
    lines += _part("Written after its day", _items(late), _no_late(report))
    lines += ["", *paragraph(" ".join(NOTES))]
    return "\n".join(lines) + "\n"


def _head(report: TrailReport) -> Iterator[str]:
    group = report.group
    yield from paragraph(f"{trail_said.heading(report)}: {report.collection}")
    called = shown(group.called, 80)
    yield from paragraph(f"{called} ({shown(group.taxon.scientific_name, 80)}); {report.about}")
    yield from paragraph(f"Version: {trail_said.commit(report.version)}")
    yield from paragraph(f"In short: {trail_said.short(report)}")


def _part(title: str, lines: Iterable[str], none: str) -> Iterator[str]:
    found = list(lines)
    if not found and not none:
        return
    yield from ("", title, "-" * WIDTH)
    yield from found or paragraph(none)


def _items(texts: Iterable[str]) -> Iterator[str]:
    for text in texts:
        yield from paragraph(text, 2, "- ")


def _offered(report: TrailReport) -> Iterator[str]:
    if not report.offered:
        yield trail_said.nothing_offered(report)
    yield from paragraph(f"{report.plan[:1].upper()}{report.plan[1:]}.")
    feed = None
    for one in report.offered:
        if feed != (one.slot, one.meal):
            feed = (one.slot, one.meal)
            yield f"  {one.slot}: {one.meal}"
        details = f" ({'; '.join(one.details)})" if one.details else ""
        text = f"{one.food}: {one.amount} = {trail_said.grams(one)}{details}; {one.place}"
        yield from paragraph(text, 6, "    -")
    if report.totals:
        yield ""
        rows = [("", "", "this day", "mean of the rota")]
        for total in report.totals:
            day, mean = (trail_said.figure(f, total.is_open) for f in (total.day, total.mean))
            rows.append((total.title, total.unit, day, mean))
        yield from grid(rows, (26, 8, 22, 22))


def _signatures(report: TrailReport) -> Iterator[str]:
    for one in report.signatures:
        first, *rest = trail_said.signature(one)
        yield from paragraph(first, 2, "- ")
        for line in rest:
            yield from paragraph(line, 2)


def _findings(findings: Iterable[Open]) -> Iterator[str]:
    for one in findings:
        yield from paragraph(f"{one.severity.upper()}, {one.verdict}: {one.message}", 2, "- ")
        yield from paragraph(f"{one.title}; {one.place}".rstrip("; "), 2)


def _log(report: TrailReport) -> Iterator[str]:
    for entry in report.log.entries:
        yield from paragraph(trail_said.log_heading(entry.version), 2, "- ")
        for change in entry.changes:
            yield from paragraph(change, 6, "    ")


def _no_late(report: TrailReport) -> str:
    if report.version is None:
        return "Without git nobody can tell."
    return "Nothing, as far as the versions here go back."
