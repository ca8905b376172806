"""The nutrients the tool knows, each with one unit, so that no figure travels without its unit.

A value in a bundled table is the amount of the nutrient in its unit per 100 g of food. A nutrient
without a column is known by name (labels and limits may use it) but no bundled food holds it.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from types import MappingProxyType

from msgspec import Struct

from dietcheck.tables.csv_table import table


class Nutrient(Struct, frozen=True):
    """One nutrient: its key, words for people, unit, and other names labels print for it."""

    key: str
    title: str
    unit: str  # g, mg, µg, kcal, kJ or IU
    column: str  # of foods.csv and feeds.csv; empty: no bundled food holds it
    labels: tuple[str, ...]
    per_iu: Decimal | None  # how much of `unit` is one IU; None: not defined, never guess
    note: str


@cache
def nutrients() -> Mapping[str, Nutrient]:
    """Every nutrient under its key, in the order of the table."""
    known = {
        row["key"]: Nutrient(
            key=row["key"],
            title=row["title"],
            unit=row["unit"],
            column=row["column"],
            labels=tuple(row["labels"].split()),
            per_iu=Decimal(row["per_iu"]) if row["per_iu"] else None,
            note=row["note"],
        )
        for row in table("nutrients").all_rows()
    }
    return MappingProxyType(known)


@cache
def _by_label() -> Mapping[str, Nutrient]:
    return {name: n for n in nutrients().values() for name in (n.key, *n.labels)}


def find_nutrient(name: str) -> Nutrient | None:
    """The nutrient of that key or label name (`crude_protein` is protein); None if unknown."""
    return _by_label().get(name)
