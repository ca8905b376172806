"""Quantities for people: `8.7 g`, `0 to 14 g`, `at least 3 g`, `unknown`."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal

from dietcheck.quantities.interval import Interval

_MOST_DIGITS = 20
# A limit is shown as it was set; one that was reckoned over to another unit has no end of digits.
_BOUND = Context(prec=6, rounding=ROUND_HALF_EVEN)


def format_interval(
    interval: Interval, unit: str, digits: int = 3, against: Sequence[Decimal] = ()
) -> str:
    """The range in words, ends rounded outward to `digits` significant digits.

    Figures in `against` (limits) are never crossed by rounding: more digits are shown until what
    is printed stands on the same side of them as the truth.
    """
    for shown_digits in range(digits, _MOST_DIGITS):
        low, high = _ends(interval, shown_digits)
        if all(
            _side(interval.low, limit) == _side(low, limit)
            and _side(interval.high, limit) == _side(high, limit)
            for limit in against
        ):
            break
    tail = f" {unit}" if unit else ""
    known_high = high.is_finite()
    if not known_high and (low <= 0 or not low.is_finite()):
        return "unknown"
    if not known_high:
        return f"at least {plain(low)}{tail}"
    if not low.is_finite():
        return f"at most {plain(high)}{tail}"
    if low == high:
        return f"{plain(low)}{tail}"
    return f"{plain(low)} to {plain(high)}{tail}"


def format_bound(bound: Decimal) -> str:
    """A limit as it was set, to six digits: `1015`, `3722.81`, `0.005`."""
    return plain(_BOUND.plus(bound))


def format_mass(grams: Interval) -> str:
    """A body mass in grams as a keeper writes it, four digits: `340 g`, `47 kg`."""
    if grams.low >= 1000:
        return format_interval(grams / 1000, "kg", 4)
    return format_interval(grams, "g", 4)


def _ends(interval: Interval, digits: int) -> tuple[Decimal, Decimal]:
    fine = Context(prec=_MOST_DIGITS, rounding=ROUND_HALF_EVEN)
    low, high = fine.plus(interval.low), fine.plus(interval.high)
    if low == high:
        # Known outright, or but for the last digits of a division: one figure, to the nearest.
        near = Context(prec=digits, rounding=ROUND_HALF_EVEN).plus(low)
        return near, near
    return (
        Context(prec=digits, rounding=ROUND_FLOOR).plus(low),
        Context(prec=digits, rounding=ROUND_CEILING).plus(high),
    )


def _side(value: Decimal, limit: Decimal) -> int:
    return (value > limit) - (value < limit)


def plain(value: Decimal) -> str:
    """A figure written out, without an exponent and without zeros that say nothing."""
    text = format(value, "f")
    return (text.rstrip("0").rstrip(".") if "." in text else text) or "0"
