"""A laboratory's figure on the basis a limit is meant for: as fed, dry, or at 12 % moisture."""

from __future__ import annotations

from decimal import Decimal

from dietcheck.contract import Interval, Limit, exact

AT_12 = "12 % moisture"
DRY = "dry matter"
_DRY_PART_AT_12 = exact("0.88")
_TIMES = {"kg": Decimal("0.000001"), "g": Decimal("0.001"), "mg": Decimal(1), "µg": Decimal(1000)}
_PER = {"kg": Decimal(1), "100 g": Decimal("0.1"), "g": Decimal("0.001")}


def on_basis(value: Interval, own: str, wanted: str, dry_part: Interval) -> Interval:
    """A content on another basis. `dry_part` is the share of dry matter (0 to 1), as fed."""
    if own == wanted:
        return value
    whole = exact(1)
    part_of = {"as fed": dry_part, DRY: whole, AT_12: _DRY_PART_AT_12}
    # amount in the dry matter ÷ (its part of the one) × (its part of the other)
    return _divided(value * part_of[wanted], part_of[own])


def in_unit(value: Interval, limit: Limit) -> Interval | None:
    """mg per kg in the limit's unit; None where the limit is in a unit that no content has."""
    top, _, below = limit.unit.partition("/")
    if limit.basis not in ("as fed", "unstated", DRY):
        return None
    if limit.unit == "%":
        return value / 10_000
    if top not in _TIMES or below not in _PER:
        return None
    return value * (_TIMES[top] * _PER[below])


def _divided(value: Interval, by: Interval) -> Interval:
    if by.low > 0:
        return value / by
    low = (value / exact(by.high)).low if by.high > 0 else Decimal(0)
    return Interval(low, Decimal("Infinity"))
