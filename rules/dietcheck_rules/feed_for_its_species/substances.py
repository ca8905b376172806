"""The substances that feeds are made with for some animals and that harm others, as typed rows."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from typing import Any

from msgspec import Struct

from dietcheck.contract import Taxon, files, read_trusted
from dietcheck_rules.toxic_item.words import any_holds, tokens

IONOPHORES, UREA = "ionophore-feed", "urea-feed"


class Row(Struct, frozen=True):
    """A taxon that a substance harms, and how well that is known."""

    taxon: str
    common: str
    severity: str
    evidence: str
    note: str
    sources: tuple[str, ...]
    seen: str


class Dose(Struct, frozen=True):
    """A published harmful dose of a substance; `low` in `unit`."""

    taxon: str
    kind: str
    substance: str
    low: Decimal
    unit: str
    effect: str
    sources: tuple[str, ...]
    seen: str


class Substance(Struct, frozen=True):
    """A sort of substance with its names, the taxa it harms and the doses that did."""

    id: str
    name: str
    effect: str
    names: tuple[str, ...]
    in_additives: bool
    rows: tuple[Row, ...]
    doses: tuple[Dose, ...]

    def row_for(self, taxon: Taxon) -> Row | None:
        """The row of the narrowest taxon that the animal belongs to."""
        fitting = [row for row in self.rows if taxon.is_in(row.taxon)]
        return min(fitting, key=lambda row: taxon.rank_distance(row.taxon), default=None)


@cache
def substances() -> tuple[Substance, ...]:
    """Every sort of substance of the table."""
    return tuple(_substance(entry) for entry in _table()["items"])


@cache
def words(key: str) -> tuple[str, ...]:
    """One of the lists of names: vehicles, unnamed, other_coccidiostats."""
    return tuple(_table()[key])


def found_in(text: str, *, additive: bool = False) -> Substance | None:
    """The substance that a medicine or an additive is, by its name in whole words."""
    name = (tokens(text),)
    return next(
        (
            one
            for one in substances()
            if (one.in_additives or not additive) and any_holds(name, one.names)
        ),
        None,
    )


def is_medicine_word(text: str) -> bool:
    """Whether a name among the additives says coccidiostat or medicine, of whatever sort."""
    name = (tokens(text),)
    return any_holds(name, (*words("unnamed"), *words("other_coccidiostats")))


@cache
def _table() -> Any:
    return read_trusted(files(__package__).joinpath("substances.yaml").read_bytes())


def _substance(entry: Mapping[str, Any]) -> Substance:
    return Substance(
        id=entry["id"],
        name=entry["name"],
        effect=entry["effect"],
        names=tuple(entry["names"]),
        in_additives=entry["in_additives"] == "yes",
        rows=tuple(
            Row(
                row["taxon"], row["common"], row["severity"], row["evidence"],
                row.get("note", ""), tuple(row.get("sources", ())), row["seen"],
            )
            for row in entry["susceptible"]
        ),
        doses=tuple(_dose(row) for row in entry.get("doses", ())),
    )  # fmt: skip


def _dose(row: Mapping[str, Any]) -> Dose:
    amount = row["amount"]
    low = amount[0] if isinstance(amount, list) else amount
    return Dose(
        row["taxon"], row["kind"], row["substance"], Decimal(low), row["unit"], row["effect"],
        tuple(row.get("sources", ())), row["seen"],
    )  # fmt: skip
