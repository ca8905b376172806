"""Figures as JSON and CSV hold them: at most 15 digits, ranges rounded outward.

Fifteen significant digits are what every reader of JSON holds exactly, so a range in a file still
encloses the true value.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal
from typing import Any

from dietcheck.quantities import Interval

_DOWN, NEAR, _UP = (
    Context(prec=15, rounding=r) for r in (ROUND_FLOOR, ROUND_HALF_EVEN, ROUND_CEILING)
)
_SAME = Context(prec=20, rounding=ROUND_HALF_EVEN)  # as the verdicts compare


def ends(value: Interval) -> tuple[Decimal, Decimal, Decimal | None]:
    """Low, high and best of a range at 15 digits, the ends rounded outward."""
    low, high = _SAME.plus(value.low), _SAME.plus(value.high)
    if low == high:
        low = high = NEAR.plus(low)
    else:
        low, high = _DOWN.plus(value.low), _UP.plus(value.high)
    best = None if value.best is None else min(max(NEAR.plus(value.best), low), high)
    return low, high, best


def number(value: Decimal | None) -> float | int | None:
    """A figure of at most 15 digits as JSON holds it; None for what has no end or is not known."""
    if value is None or not value.is_finite():
        return None
    whole = value == value.to_integral_value() and abs(value) < 10**15
    return int(value) if whole else float(value)


def range_of(value: Interval) -> dict[str, float | int | None]:
    """A range as JSON holds it."""
    low, high, best = ends(value)
    return {"low": number(low), "high": number(high), "best": number(best)}


def clean(value: Any) -> Any:
    """Plain data with every text writable: half a surrogate pair is spelt out."""
    if isinstance(value, str):
        return value if value.isascii() else value.encode("utf-8", "backslashreplace").decode()
    if isinstance(value, Mapping):
        return {key: clean(item) for key, item in value.items()}
    if isinstance(value, list):
        return [clean(item) for item in value]
    return value
