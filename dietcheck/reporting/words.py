"""How reports say things to people: figures, days, animals, limits, sources.

All texts come out of here ready to print: what a record or a rule wrote has been through `shown`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from decimal import ROUND_FLOOR, Context, Decimal
from itertools import groupby

from dietcheck.quantities import format_bound, format_interval
from dietcheck.quantities.show import plain
from dietcheck.reporting.layout import listed, shown
from dietcheck.screening.acceptance import Accepted
from dietcheck.screening.checks import Check, Measure, Severity, Verdict, When
from dietcheck.screening.findings import Finding
from dietcheck.screening.limits import Limit, SourceRef, Standing
from dietcheck.screening.report import RECORDS_RULE, Citation, Report

VERDICT = {
    Verdict.BREACH: "rule broken",
    Verdict.CANNOT_TELL: "cannot tell",
    Verdict.KEPT: "kept",
    Verdict.NOT_APPLICABLE: "does not apply",
}

# Who does what with a finding of each severity.
WHOSE = {
    Severity.HIGH: "not to be fed until it is settled",
    Severity.MEDIUM: "for the vet or the nutrition lead to decide",
    Severity.LOW: "for the keeper to look at",
}

# The marks of the fact tables: in what form the work behind a figure was read.
SEEN = {
    "original": "read in the original",
    "read": "read in the original",
    "abstract": "only the abstract was read",
    "reprint": "read in a reprint",
    "memory": "from memory, not checked",
    "searched": "seen in a search result only",
}

STANDING = {
    Standing.COMMON_PRACTICE: "common practice, no source",
    Standing.NO_PUBLISHED_LIMIT: "no published limit",
    Standing.NOT_YET_SOURCED: "limit not yet sourced",
}

OVER = {
    "meal": "in one feed",
    "day": "a day",
    "7 days": "over 7 days",
    "14 days": "over 14 days",
    "90 days": "over 90 days",
    "rota": "over the rota",
    "two feeds": "from one feed to the next",
}

_YEAR = re.compile(r"^(.{3,60}?\b(?:1[89]|20)\d\d[a-z]?)\b")


def day(on: date) -> str:
    """A date as people write it: 25 Nov 2026. Always in English, wherever it runs."""
    return f"{on.day} {_MONTHS[on.month - 1]} {on.year}"


_MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]


def unit_of(unit: str, basis: str) -> str:
    """A unit with what it is counted against: `% of dry matter`, `mg/kg dry matter`, `feeds`."""
    if basis in ("", "count", "ratio", "animal"):
        return shown(unit)
    if basis == "unstated":
        return shown(f"{unit} (of what is not stated)")
    if basis == "metabolic body mass" and "^0.75" in unit:
        return shown(unit)
    return shown(f"{unit} of {basis}" if unit == "%" and basis != "as fed" else f"{unit} {basis}")


def measured(measure: Measure, limit: Limit | None) -> str:
    """A measured figure with its unit, never rounded across the limit it is held against."""
    bounds = [b for b in (limit.at_least, limit.at_most) if b is not None] if limit else []
    return format_interval(measure.value, unit_of(measure.unit, measure.basis), against=bounds)


def bounds(limit: Limit) -> str:
    """What a limit asks: `at most 6 % of dry matter over the rota`."""
    low, high = limit.at_least, limit.at_most
    unit = unit_of(limit.unit, limit.basis)
    figures = [
        f"{word} {format_bound(value)}"
        for word, value in (("at least", low), ("at most", high))
        if value is not None
    ]
    if not figures:
        return STANDING.get(limit.standing, limit.standing.value)
    return " ".join((*[" and ".join(figures)], *([unit] if unit else []), _over(limit))).strip()


def _over(limit: Limit) -> str:
    if limit.over == "day" and limit.basis in ("dry matter", "energy", "as fed", "ratio"):
        return "in the food of a day"
    return OVER.get(limit.over, shown(limit.over))


def how_far(check: Check) -> str:
    """How far a broken limit was missed, at the least: `2.9 times the limit`. Else empty."""
    limit, measure = check.limit, check.measured
    if check.verdict is not Verdict.BREACH or limit is None or measure is None:
        return ""
    low, high = measure.value.low, measure.value.high
    if limit.at_most and low > limit.at_most:
        times = _ROUGH.divide(low, limit.at_most)
        if times >= 2:
            return f"{plain(times)} times the limit"
        over = _ROUGH.multiply(_ROUGH.subtract(low, limit.at_most) / limit.at_most, Decimal(100))
        return f"{plain(over)} % over the limit"
    if limit.at_least and high < limit.at_least:
        share = _ROUGH.multiply(_FINE.divide(high, limit.at_least), Decimal(100))
        return f"{plain(share)} % of the least that is asked"
    return ""


_ROUGH = Context(prec=2, rounding=ROUND_FLOOR)
_FINE = Context(prec=28)


def who(finding: Finding, report: Report) -> str:
    """The group and the animals of a finding, or the file or collection that it is about."""
    check = finding.check
    if finding.group is None:
        if finding.rule == RECORDS_RULE and check.places:
            return shown(check.places[0].file)
        return shown(report.name)
    called = shown(report.group_called(finding.group))
    group = report.collection.groups.get(finding.group) if report.collection else None
    if group is None or not check.animals or group.is_colony:
        return called
    here = {animal.id for animal in group.present(report.on)}
    if len(here) > 1 and here <= set(check.animals):
        return f"{called}: {'both' if len(here) == 2 else f'all {len(here)}'} animals"
    names = {animal.id: animal.called for animal in group.animals}
    animals = [shown(names.get(animal, animal)) for animal in check.animals]
    return f"{called}: {listed(animals, 4)}"


def when(finding: Finding, report: Report) -> str:
    """The feeds or days of a finding, folded together; empty where it is about no day."""
    occasions = _in_order(finding.check.occasions, report)
    if not occasions:
        return ""
    by_feed = all(occasion.slot for occasion in occasions)
    found = {(o.on, o.slot if by_feed else "") for o in occasions}
    total = _feeds_in_all(finding.group, report, by_feed)
    word = "feeds" if by_feed else "days"
    if total and len(found) >= total:
        return f"all {total} {word} judged" if total > 1 else f"the one {word[:-1]} judged"
    said = listed(_folded(occasions, by_feed), 6)
    if len(found) == 1:
        return f"{said} ({day(occasions[0].on)})" if occasions[0].number else said
    return f"{len(found)} of {total} {word} judged: {said}" if total else said


def _in_order(occasions: Iterable[When], report: Report) -> list[When]:
    """By day, and within a day in the order in which the collection names its feeds."""
    settings = report.collection.settings if report.collection else None
    feeds = settings.slots if settings else ()
    order = {slot: number for number, slot in enumerate(feeds)}
    return sorted(occasions, key=lambda o: (o.on, o.number, order.get(o.slot, len(order)), o.slot))


def _feeds_in_all(group: str | None, report: Report, by_feed: bool) -> int:
    """How many feeds (or days) of a group were judged; 0 where that cannot be said."""
    diet = (report.diets or {}).get(group) if group else None
    if diet is None:
        return 0
    if not by_feed:
        return len(diet.days)
    return sum(len({feed.slot for feed in planned.feeds}) for planned in diet.days)


def _folded(occasions: Iterable[When], by_feed: bool) -> Iterator[str]:
    """Rota days in a row with the same feeds as one: `days 2 to 5 afternoon`, `day 9`."""
    slots: dict[int, list[str]] = {}
    for occasion in occasions:
        if occasion.number:
            of_day = slots.setdefault(occasion.number, [])
            if by_feed and occasion.slot not in of_day:
                of_day.append(occasion.slot)
        else:
            yield " ".join(filter(None, (day(occasion.on), shown(occasion.slot))))
    numbers = sorted(slots)
    for _, run in groupby(enumerate(numbers), lambda one: (one[1] - one[0], slots[one[1]])):
        days = [number for _, number in run]
        feeds = " and ".join(shown(slot) for slot in slots[days[0]])
        if len(days) == 1:
            yield f"day {days[0]} {feeds}".strip()
        else:
            between = "and" if len(days) == 2 else "to"
            yield f"days {days[0]} {between} {days[-1]} {feeds}".strip()


def sources(check: Check, report: Report) -> list[str]:
    """Where the limit of a check and the check itself come from, each with its evidence mark."""
    said = []
    limit = check.limit
    if limit is not None:
        if limit.standing is Standing.SITE_RULE:
            said.append(f"site rule, set by {shown(limit.set_by, 60)} on {shown(limit.on, 10)}")
        elif limit.standing is Standing.PUBLISHED:
            said.extend(cite(ref, report.bibliography, limit.seen) for ref in limit.sources)
        else:
            said.append(STANDING[limit.standing])
    cited = limit.sources if limit is not None else ()
    said.extend(cite(ref, report.bibliography) for ref in check.sources if ref not in cited)
    return list(dict.fromkeys(said))


def cite(ref: SourceRef, bibliography: Mapping[str, Citation], seen: str = "") -> str:
    """A source in short: author and year, the place in the work, and how the work was read."""
    work = bibliography.get(ref.key)
    name = short(work.citation) if work else ref.key
    mark = seen or (work.seen if work else "")
    parts = [shown(name, 70), *([shown(ref.locator, 80)] if ref.locator else [])]
    return f"{', '.join(parts)} ({SEEN.get(mark, shown(mark or 'not in the bibliography', 40))})"


def short(citation: str) -> str:
    """The authors and the year of a citation, or its first words."""
    found = _YEAR.match(citation)
    if found:
        return found[1]
    return citation if len(citation) <= 60 else f"{citation[:60].rpartition(' ')[0]} …"


def accepted(by: Accepted, on: date) -> str:
    """Who accepted a finding, until when, how many days are left, and what it is not bound to."""
    until, left = day(by.acceptance.until), by.days_left(on)
    days = f"{left} {'day' if left == 1 else 'days'} left" if left else "its last day"
    loose = f"; not bound to {', '.join(by.not_held)}" if by.not_held else ""
    return f"accepted by {shown(by.by, 60)} ({shown(by.role, 40)}) until {until}, {days}{loose}"


def places(finding: Finding, report: Report) -> list[str]:
    """The lines to look at, the most telling first: `file:line:column`."""
    said = []
    for pointer in finding.check.places:
        place = report.places.get(pointer)
        where = f":{place.line}:{place.column}" if place else ""
        said.append(shown(pointer.file, 300) + where)
    return list(dict.fromkeys(said))
