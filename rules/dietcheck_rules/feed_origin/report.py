"""A check on where a food comes from, with its row, its place and the legal points to look at."""

from __future__ import annotations

from collections.abc import Iterable

from dietcheck.contract import Check, Diet, Pointer, Severity, Verdict
from dietcheck_rules.feed_origin.tables import LegalPoint, Row, legal_points
from dietcheck_rules.feed_origin.words import origin_of
from dietcheck_rules.shared.reaching import about
from dietcheck_rules.shared.references import refs
from dietcheck_rules.toxic_item.exposure import Exposure

NO_ADVICE = "Check your local code and ask your authority; this is no legal advice."


def check(
    diet: Diet,
    exposure: Exposure,
    cause: str,
    verdict: Verdict,
    severity: Severity,
    message: str,
    advice: str,
    *,
    settles: str = "",
    row: Row | None = None,
    laws: Iterable[str] = (),
    places: tuple[Pointer, ...] = (),
    weak: tuple[str, ...] = (),
) -> Check:
    """The check for one cause in one food."""
    points = _points(diet, tuple(laws))
    return Check(
        verdict=verdict,
        about=about(cause, exposure),
        food=exposure.part.id,
        severity=severity,
        message=f"{diet.group.called}: {message}",
        advice=advice,
        settles=settles,
        animals=tuple(animal.id for animal in exposure.animals(diet)),
        occasions=exposure.occasions(),
        working=(*_row_lines(row), *(line for line, _ in points)),
        weak=(*_weak(row), *weak),
        places=(
            *(offer.line.place.at("food") for offer in exposure.offers),
            *places,
            _own(exposure),
        ),
        sources=refs((*(row.sources if row else ()), *(key for _, keys in points for key in keys))),
    )


def row_words(row: Row | None) -> str:
    """Who is known to take harm, for a message."""
    if row is None:
        return "; these animals stand in no row of the table"
    note = f" ({row.note})" if row.note else ""
    return f", a danger to {row.common}{note}"


def _own(exposure: Exposure) -> Pointer:
    food = exposure.part
    return food.place.at("meat_origin") if origin_of(food) else food.place


def _points(diet: Diet, topics: tuple[str, ...]) -> list[tuple[str, tuple[str, ...]]]:
    """Legal points of the collection's country, as lines with their sources."""
    if not topics:
        return []
    country = diet.settings.country
    found = [
        point for point in legal_points() if point.topic in topics and country in point.countries
    ]
    lines = [(_line(point), point.sources) for point in found]
    return lines or [(f"law: no text for {country} was read. {NO_ADVICE}", ())]


def _line(point: LegalPoint) -> str:
    said = "; ".join(filter(None, (point.cited, ", ".join(point.sources), point.status)))
    return f"law to check, {point.where}: {point.rule} ({said}; read as {point.seen}). {NO_ADVICE}"


def _row_lines(row: Row | None) -> tuple[str, ...]:
    if row is None:
        return ()
    cited = ", ".join(row.sources) or "no source read"
    return (f"listed: {row.common}, evidence {row.evidence}, {cited}, read as {row.seen}",)


def _weak(row: Row | None) -> tuple[str, ...]:
    if row is None or row.seen == "original":
        return ()
    return (f"that {row.common} are endangered was read as {row.seen}, not in its source",)
