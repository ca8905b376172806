"""The limits for a terminal: each with its bound, its standing, its source and how it was seen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from dietcheck.reporting import words
from dietcheck.reporting.layout import WIDTH, listed, paragraph, shown
from dietcheck.reporting.limits_view import Block, Entry, LimitsReport, Section
from dietcheck.screening.limits import Limit, Standing
from dietcheck.screening.report import Citation

MARKS = {
    "applies": "APPLIES",
    "beside": "beside it",
    "held": "not used",
    "strictest": "strictest",
    "listed": "",
}
EVERY_ANIMAL = "Metazoa"
_FOOT = (
    "The most specific taxon wins; of several rows for it the strictest applies. A site rule takes "
    "the place of a default without a source, and beside a published limit the stricter counts.",
    "Published limits may come from other species. No limit held here does not mean that none is "
    "published, and none of this is veterinary advice.",
)


def render(report: LimitsReport) -> str:
    """The whole page."""
    lines = [*_head(report)]
    for section in report.sections:
        lines += _section(section, report)
    if report.unjudged:
        lines += ["", "Site limits that no rule reads, so nothing is judged by them", "-" * WIDTH]
        for limit in report.unjudged:
            lines += _entry(Entry(limit, "listed"), report.bibliography, limit.quantity)
    if not report.count:
        lines += ["", *paragraph("No limit that fits is held here.")]
    lines.append("")
    for text in _FOOT:
        lines += paragraph(text)
    return "\n".join(lines) + "\n"


def _head(report: LimitsReport) -> Iterator[str]:
    asked = [f"{name} {shown(value, 80)}" for name, value in report.asked.items()]
    of = f" of {shown(report.collection, 120)}" if report.collection else ""
    said = f"Limits{of}: {', '.join(asked)}" if asked else f"Limits{of}: all"
    packs = listed((shown(pack, 60) for pack in report.packs), 10)
    yield from paragraph(f"{said}; rule pack {packs}; {report.count} shown.")


def _section(section: Section, report: LimitsReport) -> Iterator[str]:
    rule = section.rule
    yield ""
    subject = f" - {shown(section.subject, 120)}" if section.subject else ""
    yield from paragraph(f"{shown(rule.id, 60)}: {shown(rule.title, 80)}{subject}")
    yield "-" * WIDTH
    if section.setting:
        yield from paragraph(section.setting)
    for block in section.blocks:
        yield from _block(block, report.bibliography)


def _block(block: Block, bibliography: Mapping[str, Citation]) -> Iterator[str]:
    for number, entry in enumerate(block.entries):
        yield from _entry(entry, bibliography, "" if number else block.quantity)


def _entry(entry: Entry, bibliography: Mapping[str, Citation], quantity: str) -> Iterator[str]:
    limit = entry.limit
    if quantity:
        yield shown(quantity, 78)
    mark = MARKS[entry.role]
    yield from paragraph(f"{whom(limit)}: {bound(limit)}", 12, f"  {mark}")
    for text in details(limit, bibliography):
        yield from paragraph(text, 12)
    if entry.why_not:
        yield from paragraph(f"not used: {shown(entry.why_not, 200)}", 12)


def bound(limit: Limit) -> str:
    """What a limit asks; for an absence its exact words."""
    if limit.standing.is_absence:
        return limit.standing.value
    said = words.bounds(limit)
    return said.removesuffix(" a day") if limit.unit == "days" else said


def whom(limit: Limit) -> str:
    """Whom a limit is for: taxon or group, life stage, condition."""
    taxon = "all animals" if limit.taxon == EVERY_ANIMAL else shown(limit.taxon, 60)
    who = f"group {shown(limit.group, 60)}" if limit.group else taxon
    stage = f", {shown(limit.stage, 40)}" if limit.stage else ""
    condition = f", only: {shown(limit.condition, 120)}" if limit.condition else ""
    food = f", {shown(limit.food, 60)} alone" if limit.food else ""
    return f"{who}{food}{stage}{condition}"


def details(limit: Limit, bibliography: Mapping[str, Citation]) -> Iterator[str]:
    """The standing with source, place, evidence and how it was seen; the severity; the note."""
    match limit.standing:
        case Standing.PUBLISHED:
            cited = "; ".join(words.cite(ref, bibliography, limit.seen) for ref in limit.sources)
            said = f"published: {cited}; evidence: {shown(limit.evidence, 60)}"
        case Standing.SITE_RULE:
            file = f", in {shown(limit.place.file, 100)}" if limit.place else ""
            said = f"site rule, set by {shown(limit.set_by, 60)} on {shown(limit.on, 10)}{file}"
        case Standing.COMMON_PRACTICE:
            seen = words.SEEN.get(limit.seen, shown(limit.seen, 40))
            said = words.STANDING[limit.standing] + (f" ({seen})" if seen else "")
        case _:
            cited = "; ".join(words.cite(ref, bibliography, limit.seen) for ref in limit.sources)
            said = cited
    if said:
        yield said
    if not limit.standing.is_absence:
        yield f"when broken: {limit.severity}; row {shown(limit.id, 60)}"
    if limit.note:
        yield shown(limit.note, 300)
