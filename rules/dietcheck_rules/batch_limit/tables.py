"""Which substance is held against which limit in which kind of feed."""

from __future__ import annotations

from functools import cache
from typing import Any

from msgspec import Struct

from dietcheck.contract import Food, files, read_trusted
from dietcheck_rules.toxic_item.words import any_holds, tokens


class Quantity(Struct, frozen=True):
    """A quantity of the limit table: `at` is the basis that it is compared on."""

    name: str
    substance: str
    kind: str
    whose: str
    at: str


class Certificate(Struct, frozen=True):
    """A result of the batch itself that is asked for, for feed of a taxon, and why."""

    of: str
    taxon: str
    classes: tuple[str, ...]
    contaminants: tuple[str, ...]
    nutrient: str
    why: str


@cache
def quantities() -> tuple[Quantity, ...]:
    """Every quantity of the limit table."""
    return tuple(
        Quantity(row["quantity"], row["substance"], row["kind"], row["whose"], row["at"])
        for row in _table()["quantities"]
    )


@cache
def certificates() -> tuple[Certificate, ...]:
    """Every result that is asked for."""
    return tuple(
        Certificate(
            row["of"],
            row["taxon"],
            tuple(row["classes"]),
            tuple(row.get("contaminants", ())),
            row.get("nutrient", ""),
            row["why"],
        )
        for row in _table()["certificates"]
    )


def kinds_of(food: Food) -> frozenset[str]:
    """The kinds of feed that a food is: `feed` always, and the narrowest one that fits."""
    names = [tokens(name) for name in food.names()]
    kind = next(
        row["kind"]
        for row in _table()["kinds"]
        if len(row) == 1  # the last one, that fits every food
        or food.food_class in row.get("classes", ())
        or any_holds(names, row.get("names", ()))
        or food.organism in row.get("organisms", ())
    )
    return frozenset({"feed", kind, *(("feed material",) if kind == "cereal" else ())})


@cache
def _table() -> Any:
    return read_trusted(files(__package__).joinpath("quantities.yaml").read_bytes())
