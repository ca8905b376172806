"""Limits as they are written: `6 % of dry matter`, `48 g per kg^0.75`, `10 feeds`.

A figure means nothing without what it is counted against, so every phrase carries its basis, and
a phrase that leaves it open says "unstated" rather than a guess.
"""

from __future__ import annotations

import re
from decimal import Decimal
from functools import cache, lru_cache
from typing import Final, Literal

from msgspec import Struct

from dietcheck.quantities.grammar import NUMBER, QuantityError, explain, shown, split, tidy
from dietcheck.quantities.interval import NEAR
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

# words after "%", or after a figure in ppm: basis
_SHARES: Final[dict[str, Basis]] = {
    "": "unstated",
    " of dry matter": "dry matter",
    " as fed": "as fed",
    " of energy": "energy",
    " of body mass": "body mass",
}
_PPM: Final[dict[str, Basis]] = {
    "": "unstated",
    " dry matter": "dry matter",
    " of dry matter": "dry matter",
    " as fed": "as fed",
}
# words after "per" or "/", short form, basis, how many g of food, kcal, kg or animals that is
_PERS: Final[tuple[tuple[str, str, Basis, Decimal], ...]] = (
    ("kg dry matter", "kg", "dry matter", Decimal(1000)),
    ("kg as fed", "kg", "as fed", Decimal(1000)),
    ("kg", "kg", "unstated", Decimal(1000)),
    ("g dry matter", "g", "dry matter", Decimal(1)),
    ("g as fed", "g", "as fed", Decimal(1)),
    ("g", "g", "unstated", Decimal(1)),
    ("100 g dry matter", "100 g", "dry matter", Decimal(100)),
    ("100 g as fed", "100 g", "as fed", Decimal(100)),
    ("100 g", "100 g", "unstated", Decimal(100)),
    ("kcal", "kcal", "energy", Decimal(1)),
    ("1000 kcal", "1000 kcal", "energy", Decimal(1000)),
    ("MJ", "MJ", "energy", NEAR.divide(UNITS["MJ"].times, UNITS["MJ"].over)),
    ("kg body mass", "kg", "body mass", Decimal(1)),
    ("kg^0.75", "kg^0.75", "metabolic body mass", Decimal(1)),
    ("animal", "animal", "animal", Decimal(1)),
)
_OF: Final = ("kg", "g", "mg", "µg", "mcg", "ug", "IU", "kcal", "kJ", "MJ", "ml", "l")
# what limits count or measure with no basis: written one, written several
_COUNTED: Final = (
    ("feed", "feeds"),
    ("meal", "meals"),
    ("day", "days"),
    ("time", "times"),
    ("hour", "hours"),
    ("food", "foods"),
    ("piece", "pieces"),
    ("point", "points"),
    ("mm", "mm"),
    ("cm", "cm"),
)
_SHARE: Final = Unit("g", "mass", Decimal("0.01"))
_SHARE_OF_KG: Final = Unit("g", "mass", Decimal(10))


class Bound(Struct, frozen=True):
    """One limit: `value` in `unit` (short: `%`, `mg/kg`, `g/kg^0.75`, `feeds`) on a `basis`."""

    value: Decimal
    unit: str
    basis: Basis

    def amount(self, unit: str = "") -> Decimal:
        """The limit in `unit` (g, mg, IU, kcal …) for each one of its basis.

        One gram of food (dry matter, as fed, unstated), one kcal (energy), one kg or kg^0.75 of
        body mass, one animal. Without a unit: a share as a fraction, anything else as written for
        one of its basis. Counts, ratios and shares of energy have no other form. Raises
        QuantityError where the units cannot meet, as IU and mg.
        """
        of = self.unit.partition("/")[0]
        if self.basis in ("count", "ratio"):
            return self.value
        if of == "%" and (self.basis == "energy" or not unit):
            return NEAR.divide(self.value, Decimal(100))
        own = UNITS[of]
        if of == "%":
            own = _SHARE_OF_KG if self.basis == "body mass" else _SHARE
        wanted = UNITS[unit] if unit else own
        if wanted.dimension != own.dimension:
            raise QuantityError(
                f"a limit in {self.unit} cannot be set against a figure in {unit}",
                f"write the limit in {unit}",
            )
        above = NEAR.multiply(self.value, NEAR.multiply(own.times, wanted.over))
        below = NEAR.multiply(NEAR.multiply(own.over, wanted.times), _size(self.unit, self.basis))
        return NEAR.divide(above, below)


def _size(unit: str, basis: Basis) -> Decimal:
    short = unit.partition("/")[2]
    sizes = [
        size for _, row_short, row_basis, size in _PERS if (row_short, row_basis) == (short, basis)
    ]
    return sizes[0] if sizes else Decimal(1)


@cache
def _phrases() -> dict[str, tuple[str, Basis]]:
    """Every phrase that may follow the figure, with its short unit and its basis."""
    found: dict[str, tuple[str, Basis]] = {"": ("", "ratio")}
    found.update({f"%{words}": ("%", basis) for words, basis in _SHARES.items()})
    found.update({f"ppm{words}": ("mg/kg", basis) for words, basis in _PPM.items()})
    for words, short, basis, _ in _PERS:
        for of in _OF:
            unit = f"{UNITS[of].name}/{short}"
            found[f"{of} per {words}"] = found[f"{of}/{words}"] = (unit, basis)
    for one, several in _COUNTED:
        found[one] = found[several] = (several, "count")
    return found


@lru_cache(4096)
def read_bound(text: str) -> Bound:
    """A limit from its phrase; QuantityError for a range, an unknown unit or no figure."""
    clean = tidy(text)
    found = re.fullmatch(rf"({NUMBER}) ?(?::| to) ?1", clean)
    if found:
        raise QuantityError(f"{shown(text)}: a ratio is one figure here", f"write {found[1]}")
    quantity, words = split(clean, _EXAMPLE)
    if not quantity.is_exact:
        raise QuantityError(
            f"{shown(text)} is a range", "write the lower figure as at_least, the upper as at_most"
        )
    phrase = _phrases().get(words)
    if phrase is None:
        explain(clean, _EXAMPLE, _phrases())
    unit, basis = phrase
    return Bound(quantity.low, unit, basis)
