"""The closed table of units a record may use, each with its exact factor to one base unit.

Pint defines units in the tests; text from a record never reaches it, because pint reads
`1,5 g` as 15 g and `5 pinch` as picoinches. Factors: SI prefixes; the international pound of 1959,
0.453 592 37 kg, and a sixteenth of it for the ounce; the thermochemical calorie of 4.184 J. The
tests hold them against NIST SP 811, appendix B.8, and two unit libraries.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Final, Literal

from msgspec import Struct

from dietcheck.quantities.interval import Interval

Dimension = Literal["mass", "volume", "energy", "iu", "piece", "share"]

BASE_UNIT: Final[dict[Dimension, str]] = {
    "mass": "g",
    "volume": "ml",
    "energy": "kcal",
    "iu": "IU",
    "piece": "piece",
    "share": "",
}


class Unit(Struct, frozen=True):
    """One unit: what it measures, and `times / over` base units (two parts keep 1/4.184 exact)."""

    name: str
    dimension: Dimension
    times: Decimal
    over: Decimal = Decimal(1)

    def to_base(self, quantity: Interval) -> Interval:
        """A quantity written in this unit, in the base unit of its dimension."""
        return quantity * self.times if self.over == 1 else quantity * self.times / self.over

    def from_base(self, quantity: Interval) -> Interval:
        """A quantity in the base unit, in this unit."""
        return quantity * self.over / self.times


# name, dimension, times, over, other accepted spellings
_ROWS: Final[tuple[tuple[str, Dimension, str, str, tuple[str, ...]], ...]] = (
    ("kg", "mass", "1000", "1", ()),
    ("g", "mass", "1", "1", ()),
    ("mg", "mass", "0.001", "1", ()),
    ("µg", "mass", "0.000001", "1", ("mcg", "ug")),
    ("lb", "mass", "453.59237", "1", ()),
    ("oz", "mass", "28.349523125", "1", ()),
    ("l", "volume", "1000", "1", ("L",)),
    ("ml", "volume", "1", "1", ("mL",)),
    ("kcal", "energy", "1", "1", ()),
    ("kJ", "energy", "1", "4.184", ()),
    ("MJ", "energy", "1000", "4.184", ()),
    ("IU", "iu", "1", "1", ()),
    ("piece", "piece", "1", "1", ("pieces",)),
    ("%", "share", "0.01", "1", ()),
)

UNITS: Final[dict[str, Unit]] = {
    spelling: Unit(name, dimension, Decimal(times), Decimal(over))
    for name, dimension, times, over, others in _ROWS
    for spelling in (name, *others)
}
