"""Limits as they are written: `6 % of dry matter`, `48 g per kg^0.75`, `10 feeds`.

A figure means nothing without what it is counted against, so every phrase carries its basis, and
a phrase that leaves it open says "unstated" rather than a guess.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache
from typing import Final, Literal

from dietcheck.quantities.grammar import QuantityError, explain, shown, split, tidy
from dietcheck.quantities.units import UNITS, Unit

Basis = Literal[
    "dry matter",
    "as fed",
    "energy",
    "body mass",
    "metabolic body mass",
    "animal",
    "unstated",
    "count",
    "ratio",
]

_EXAMPLE: Final = "6 % of dry matter, 100 mg per kg dry matter or 2 g per kg body mass"

_SHARES: Final[dict[str, Basis]] = {
    "": "unstated",
    " of dry matter": "dry matter",
    " as fed": "as fed",
    " of energy": "energy",
    " of body mass": "body mass",
}
# words after "per" or "/", short form, basis, size in the basis' own unit: g of food, kcal, kg
_PERS: Final[tuple[tuple[str, str, Basis, str], ...]] = (
    ("kg dry matter", "kg", "dry matter", "1000"),
    ("kg as fed", "kg", "as fed", "1000"),
    ("kg", "kg", "unstated", "1000"),
    ("g dry matter", "g", "dry matter", "1"),
    ("g as fed", "g", "as fed", "1"),
    ("g", "g", "unstated", "1"),
    ("100 g dry matter", "100 g", "dry matter", "100"),
    ("100 g as fed", "100 g", "as fed", "100"),
    ("100 g", "100 g", "unstated", "100"),
    ("kcal", "kcal", "energy", "1"),
    ("1000 kcal", "1000 kcal", "energy", "1000"),
    ("MJ", "MJ", "energy", "239.0057361376673040152963671"),
    ("kg body mass", "kg", "body mass", "1"),
    ("kg^0.75", "kg^0.75", "metabolic body mass", "1"),
    ("animal", "animal", "animal", "1"),
)
_OF: Final = ("kg", "g", "mg", "µg", "mcg", "ug", "IU", "kcal", "kJ", "MJ", "ml", "l")
_COUNTED: Final = ("feed", "meal", "day", "time", "hour", "food", "piece", "mm", "cm")


@dataclass(frozen=True, slots=True)
class Bound:
    """One limit: `value` in `unit` (short: `%`, `mg/kg`, `g/kg^0.75`, `feeds`) on a `basis`."""

    value: Decimal
    unit: str
    basis: Basis

    def amount(self, unit: str = "") -> Decimal:
        """The limit in `unit` (g, mg, IU, kcal …) for each one of its basis.

        One gram of food (dry matter, as fed, unstated), one kcal (energy), one kg or kg^0.75 of
        body mass, one animal. Shares of energy, counts and ratios take no unit and give the plain
        figure, a share as a fraction. Raises QuantityError where the units cannot meet.
        """
        over, _, _ = self.unit.partition("/")
        own = UNITS.get(over)
        if own is None or self.basis in ("count", "ratio"):
            return self.value
        if over == "%" and self.basis == "energy":
            return self.value / 100
        if over == "%":
            # A share by mass: grams in each gram of food, or in each thousand of a kg of animal.
            own = Unit("g", "mass", Decimal(10 if self.basis == "body mass" else "0.01"))
            if not unit:
                return self.value / 100
        wanted = UNITS[unit] if unit else own
        if wanted.dimension != own.dimension:
            raise QuantityError(
                f"a limit in {self.unit} cannot be set against {unit}",
                f"write the limit in {unit}",
            )
        size = _sizes()[self.unit, self.basis]
        return (self.value * own.times * wanted.over) / (own.over * wanted.times * size)


@cache
def _phrases() -> dict[str, tuple[str, Basis]]:
    """Every phrase that may follow the figure, with its short unit and its basis."""
    found: dict[str, tuple[str, Basis]] = {"": ("", "ratio")}
    found.update({f"%{tail}": ("%", basis) for tail, basis in _SHARES.items()})
    for phrase, unit, basis, _ in _rates():
        found[phrase] = (unit, basis)
    for word in _COUNTED:
        plural = word if word in ("mm", "cm") else f"{word}s"
        found[word] = found[plural] = (plural, "count")
    return found


def _rates() -> Iterator[tuple[str, str, Basis, Decimal]]:
    for words, short, basis, size in _PERS:
        for of in _OF:
            unit = f"{UNITS[of].name}/{short}"
            yield f"{of} per {words}", unit, basis, Decimal(size)
            yield f"{of}/{words}", unit, basis, Decimal(size)
    for tail in ("", " of dry matter", " dry matter", " as fed"):
        yield (
            f"ppm{tail}",
            "mg/kg",
            _SHARES[tail.replace(" dry", " of dry") if "of" not in tail else tail],
            Decimal(1000),
        )


@cache
def _sizes() -> dict[tuple[str, Basis], Decimal]:
    return {(unit, basis): size for _, unit, basis, size in _rates()} | {
        ("%", basis): Decimal(1) for basis in _SHARES.values()
    }


@lru_cache(4096)
def read_bound(text: str) -> Bound:
    """A limit from its phrase; QuantityError for a range, an unknown unit or no figure."""
    clean = tidy(text)
    quantity, words = split(clean, _EXAMPLE)
    if not quantity.is_exact:
        raise QuantityError(
            f"{shown(text)} is a range", "write the lower figure as at_least, the upper as at_most"
        )
    found = _phrases().get(words)
    if found is None:
        explain(clean, _EXAMPLE, _phrases())
    unit, basis = found
    return Bound(quantity.low, unit, basis)
