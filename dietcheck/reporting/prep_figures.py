"""Weights and numbers as the feed kitchen reads them: to the last digit, so that sums come out."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from dietcheck.quantities import Dimension, Interval, exact, format_interval
from dietcheck.quantities.show import plain

_UNITS: Mapping[Dimension, tuple[str, str]] = {
    "piece": ("piece", "pieces"),
    "volume": ("ml", "ml"),
    "iu": ("IU", "IU"),
}
_KG = Decimal(1000)


def mass(value: Interval) -> str:
    """Grams in words, in kg from a kilogram up: `600 g`, `1.3 kg`, `30 to 50 g (40 g expected)`.

    What is printed is exactly the figure, so that a reader's own sum comes out.
    """
    biggest = value.high if value.high.is_finite() else value.low
    unit, times = ("kg", 1 / _KG) if biggest >= _KG else ("g", Decimal(1))
    said = _exactly(value * times, unit)
    if value.best is not None and not value.is_exact:
        said += f" ({plain((value * times).best or Decimal(0))} {unit} expected)"
    return said


def _exactly(value: Interval, unit: str) -> str:
    if value.high.is_finite():
        low, high = plain(value.low), plain(value.high)
        return f"{low} {unit}" if low == high else f"{low} to {high} {unit}"
    return f"at least {plain(value.low)} {unit}" if value.low > 0 else "grams not known"


def count(value: Interval, dimension: Dimension) -> str:
    """A number of pieces, ml or IU in words."""
    one, many = _UNITS.get(dimension, (dimension, dimension))
    return format_interval(value, one if value == exact(1) else many, 6)


def counts(row: Mapping[Dimension, Interval]) -> str:
    """Several such numbers."""
    return " + ".join(count(value, unit) for unit, value in row.items())


def amount(grams: Interval, number: Interval | None, dimension: Dimension) -> str:
    """What one bowl or all bowls hold: in pieces first where the line is written so."""
    if number is None:
        return mass(grams)
    return counted(count(number, dimension), grams)


def counted(number: str, grams: Interval) -> str:
    known = grams.high.is_finite() or grams.low > 0
    return f"{number} = {mass(grams)}" if known else f"{number}, {mass(grams)}"


def signed(value: Decimal) -> str:
    """A difference with its sign and two digits; what division alone has left is none."""
    if abs(value) < Decimal("1e-9"):
        return "0"
    return ("+" if value > 0 else "−") + format_interval(exact(abs(value)), "", 2)
