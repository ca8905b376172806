"""The rule's tables as typed rows: origins, poultry, legal points."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from msgspec import Struct

from dietcheck.contract import Severity, Taxon, files, read_trusted

MEATS = frozenset({"meat", "offal", "whole prey"})


class Row(Struct, frozen=True):
    """A taxon that an origin endangers, and how well that is known."""

    taxon: str
    common: str
    severity: Severity
    evidence: str
    note: str
    sources: tuple[str, ...]
    seen: str


class Origin(Struct, frozen=True):
    """A place or a death that meat should not come from, with the words it is recognised by.

    `others` is the grade for animals that no row names. A `question` makes it a cannot-tell.
    """

    id: str
    title: str
    said: tuple[str, ...]
    cleared: tuple[str, ...]
    effect: str
    advice: str
    others: Severity
    rows: tuple[Row, ...]
    question: str = ""
    classes: frozenset[str] = frozenset()
    laws: tuple[str, ...] = ()
    any_food: bool = False  # the words mean the same of a food that is not of an animal


class Answer(Struct, frozen=True):
    """A statement that the record of a fallen animal must hold."""

    asks: str
    said: tuple[str, ...]


class LegalPoint(Struct, frozen=True):
    """A legal text that was read in some form, to be checked where it may hold."""

    where: str
    countries: frozenset[str]
    topic: str
    rule: str
    cited: str
    status: str
    sources: tuple[str, ...]
    seen: str


def narrowest(rows: tuple[Row, ...], taxon: Taxon) -> Row | None:
    """The row of the narrowest taxon that the animal belongs to."""
    fitting = [row for row in rows if taxon.is_in(row.taxon)]
    return min(fitting, key=lambda row: taxon.rank_distance(row.taxon), default=None)


@cache
def origins() -> tuple[Origin, ...]:
    """Every origin of the table, in its order."""
    return tuple(_origin(entry) for entry in table("origins.yaml")["origins"])


@cache
def answers() -> tuple[Answer, ...]:
    """What must be known of a fallen or put-down animal."""
    return tuple(Answer(a["asks"], tuple(a["said"])) for a in table("origins.yaml")["answers"])


@cache
def words(*keys: str) -> tuple[str, ...]:
    """A list of words of the origins table, by the keys that lead to it."""
    found = table("origins.yaml")
    for key in keys:
        found = found[key]
    return tuple(found)


@cache
def poultry_rows(when: str) -> tuple[Row, ...]:
    """The rows on raw poultry: in a `zone`, while there is none (`clear`), or `always`."""
    return tuple(_row(row) for row in table("origins.yaml")["poultry"][when])


@cache
def legal_points() -> tuple[LegalPoint, ...]:
    """Every legal point that was read."""
    data = table("legal.yaml")
    return tuple(
        LegalPoint(
            where=one["where"],
            countries=frozenset(data["countries"][one["where"]]),
            topic=one["topic"],
            rule=one["rule"],
            cited=one.get("provision") or one.get("instrument") or "",
            status=one["status"],
            sources=tuple(one["sources"]),
            seen=one["seen"],
        )
        for one in data["points"]
    )


@cache
def table(name: str) -> Any:
    """One of the rule's own tables."""
    return read_trusted(files(__package__).joinpath(name).read_bytes())


def _origin(entry: Mapping[str, Any]) -> Origin:
    return Origin(
        id=entry["id"],
        title=entry["title"],
        said=tuple(entry["said"]),
        cleared=tuple(entry["cleared"]),
        effect=entry["effect"],
        advice=entry["advice"],
        others=Severity(entry["others"]),
        rows=tuple(_row(row) for row in entry["rows"]),
        question=entry.get("question", ""),
        classes=frozenset(entry.get("classes", ())),
        laws=tuple(entry.get("laws", ())),
        any_food=entry.get("any_food") == "yes",
    )


def _row(row: Mapping[str, Any]) -> Row:
    return Row(
        row["taxon"], row["common"], Severity(row["severity"]), row["evidence"],
        row.get("note", ""), tuple(row.get("sources", ())), row["seen"],
    )  # fmt: skip
