"""The toxic items as typed rows. An item's file is read when something first matches it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from functools import cache
from typing import Any

from msgspec import Struct

from dietcheck.contract import Severity
from dietcheck_rules.toxic_item.words import table


class Condition(Struct, frozen=True):
    """When a row holds. Empty fields ask nothing; `text` says it in words."""

    parts: tuple[str, ...] = ()
    forms: tuple[str, ...] = ()
    organisms: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    without_words: tuple[str, ...] = ()
    stages: tuple[str, ...] = ()
    health: tuple[str, ...] = ()
    settled_by: tuple[str, ...] = ()
    ask: str = ""
    text: str = ""

    @property
    def asks(self) -> bool:
        """Whether the row holds only under a condition."""
        return any((self.parts, self.forms, self.organisms, self.words, self.stages, self.health))


class Row(Struct, frozen=True):
    """Who is harmed and how gravely. `severity` is the one the evidence carries."""

    taxa: tuple[str, ...]
    common: str
    severity: Severity
    evidence: str
    advice: str
    condition: Condition
    note: str
    sources: tuple[str, ...]
    seen: str


class Tolerance(Struct, frozen=True):
    """A taxon that is less affected as far as known."""

    taxon: str
    common: str
    note: str
    sources: tuple[str, ...]


class Dose(Struct, frozen=True):
    """A published dose, as printed. `low` and `high` are in `unit`.

    `cumulative`: the source counts all that was eaten over weeks or months, not what a day brings.
    """

    taxon: str
    kind: str
    substance: str
    low: Decimal
    high: Decimal
    unit: str
    effect: str
    sources: tuple[str, ...]
    seen: str
    cumulative: bool


class Content(Struct, frozen=True):
    """How much of a substance a product holds, in `unit`.

    `pure`: a product that a label gives a percentage of, as "70 % cocoa".
    """

    names: tuple[str, ...]
    substance: str
    low: Decimal
    high: Decimal
    unit: str
    product: str
    sources: tuple[str, ...]
    seen: str
    pure: bool


class Disagreement(Struct, frozen=True):
    """A point on which sources differ, with what is used. `point` numbers it."""

    point: int
    text: str
    sources: tuple[str, ...]


class Cap(Struct, frozen=True):
    """Names of an item that never grade higher than `severity`, and why."""

    names: tuple[str, ...]
    severity: Severity
    why: str


class Item(Struct, frozen=True):
    """One toxic item with its rows, doses and contents."""

    id: str
    name: str
    principle: str
    effect: str
    parts: tuple[str, ...]
    forms: tuple[str, ...]
    form_decides: bool
    stones: bool  # a fruit fed whole brings the stone along
    share_of: str
    by_share: tuple[str, ...]  # advice of the rows that the share decides on
    any_amount_of: tuple[str, ...]
    unless_thiamin: bool
    no_threshold: tuple[str, ...]
    not_for_kin: str  # why harm to some says nothing of others of their order
    exempt: Mapping[str, tuple[str, ...]]
    caps: tuple[Cap, ...]
    rows: tuple[Row, ...]
    tolerant: tuple[Tolerance, ...]
    doses: tuple[Dose, ...]
    contents: tuple[Content, ...]


@cache
def item(item_id: str) -> Item:
    """The item of that id."""
    data = table(f"items/{item_id}.yaml")
    rapid = tuple(data.get("rapid", ()))
    return Item(
        id=data["id"],
        name=data["name"],
        principle=data.get("principle", ""),
        effect=data["effect"],
        parts=tuple(data["part"]),
        forms=tuple(data["form"]),
        form_decides=bool(data.get("form_decides")),
        stones=bool(data.get("stones")),
        share_of=data.get("share_of", ""),
        by_share=tuple(data.get("by_share", ("limit-share",))),
        any_amount_of=tuple(data.get("any_amount_of", ())),
        unless_thiamin=bool(data.get("unless_thiamin")),
        no_threshold=tuple(data.get("no_threshold", ())),
        not_for_kin=data.get("not_for_kin", ""),
        exempt={key: tuple(values) for key, values in data.get("exempt", {}).items()},
        caps=tuple(
            Cap(tuple(one["names"]), Severity(one["severity"]), one["why"])
            for one in data.get("at_most", ())
        ),
        rows=tuple(_row(row, rapid) for row in data["susceptible"]),
        tolerant=tuple(
            Tolerance(one["taxon"], one["common"], one.get("note", ""), _sources(one))
            for one in data.get("tolerant", ())
        ),
        doses=tuple(_doses(data.get("doses", ()))),
        contents=tuple(_contents(data.get("contents", ()))),
    )


def item_ids() -> tuple[str, ...]:
    """The ids of all items."""
    return tuple(table("names.yaml")["items"])


def _row(row: Mapping[str, Any], rapid: tuple[str, ...]) -> Row:
    severity = Severity(row["severity"])
    if row["evidence"] == "C" and not rapid:
        severity = Severity.LOW  # an extrapolation alone carries no more than a note
    if row["evidence"] == "C" and rapid and rapid != ("Vertebrata",) and row["taxon"] not in rapid:
        severity = Severity.LOW  # a rapid killer only in the taxa it is known to kill rapidly
    return Row(
        taxa=(row["taxon"], *row.get("same_as", ())),
        common=row["common"],
        severity=severity,
        evidence=row["evidence"],
        advice=row["advice"],
        condition=Condition(
            parts=tuple(row.get("part", ())),
            forms=tuple(row.get("form", row.get("forms", ()))),
            organisms=tuple(row.get("organisms", ())),
            words=tuple(row.get("words", ())),
            without_words=tuple(row.get("without_words", ())),
            stages=tuple(row.get("stages", ())),
            health=tuple(row.get("health", ())),
            settled_by=tuple(row.get("settled_by", ())),
            ask=row.get("ask", ""),
            text=row.get("when", ""),
        ),
        note=row.get("note", ""),
        sources=_sources(row),
        seen=row["seen"],
    )


def _doses(rows: Iterable[Mapping[str, Any]]) -> Iterable[Dose]:
    for row in rows:
        low, high = _range(row["amount"])
        yield Dose(
            row.get("taxon", ""), row["kind"], row.get("substance", ""), low, high, row["unit"],
            row["effect"], _sources(row), row["seen"], bool(row.get("cumulative")),
        )  # fmt: skip


def _contents(rows: Iterable[Mapping[str, Any]]) -> Iterable[Content]:
    for row in rows:
        low, high = _range(row["amount"])
        yield Content(
            tuple(row["names"]), row["substance"], low, high, row["unit"], row["product"],
            _sources(row), row["seen"], bool(row.get("pure")),
        )  # fmt: skip


@cache
def disagreements() -> Mapping[str, tuple[Disagreement, ...]]:
    """Where the sources of an item disagree, by item."""
    found: dict[str, tuple[Disagreement, ...]] = {}
    for row in table("disagreements.yaml")["disagreements"]:
        one = Disagreement(row["point"], row["text"], _sources(row))
        found[row["item"]] = (*found.get(row["item"], ()), one)
    return found


def _range(amount: Any) -> tuple[Decimal, Decimal]:
    low, high = amount if isinstance(amount, list) else (amount, amount)
    return Decimal(low), Decimal(high)


def _sources(row: Mapping[str, Any]) -> tuple[str, ...]:
    return tuple(row.get("sources", ()))
