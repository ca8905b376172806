"""The exact range of a weighted ratio, such as the sugar in a diet over its dry matter.

Dividing two ranges would let one uncertain amount be large above the line and small below it at
once. Here each amount takes one value for both, so the answer is as narrow as the truth allows.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Context, Decimal, Inexact

from dietcheck.quantities.interval import (
    DOWN,
    INFINITY,
    NEAR,
    ONLY_EXACT,
    UNKNOWN,
    UP,
    Interval,
    exact,
)

Part = tuple[Interval, Interval, Interval]
_0 = Decimal(0)
# Two quotients of 28-digit numbers differ, if at all, within 57 digits: this orders them exactly.
_ORDER = Context(prec=60, rounding=ROUND_HALF_EVEN, Emin=-9999, Emax=9999)


def ratio(parts: Sequence[Part]) -> Interval:
    """The range of sum(amount * top) / sum(amount * bottom), each amount shared by both sums.

    All ranges must be at or above zero (ValueError otherwise). An amount may be unbounded. A
    bottom that can only be zero gives UNKNOWN; values where only some choices give zero below
    are left out, as they are no ratio.
    """
    live: list[Part] = []
    known = True
    for part in parts:
        amount, top, bottom = part
        if amount.low < _0 or top.low < _0 or bottom.low < _0:
            raise ValueError("a ratio needs ranges at or above zero")
        if amount.high:
            live.append(part)
            # An exact range holds one object twice: cheaper to see than to compare.
            known = known and amount.low is amount.high
            known = known and top.low is top.high and bottom.low is bottom.high
    if not any(bottom.high for _, _, bottom in live):
        return UNKNOWN
    if known and (figure := _known(live)) is not None:
        return figure
    low, high, best = _lowest(live), _highest(live), _best(live)
    # Rounding to nearest may leave the best estimate one last digit outside its own bounds.
    return Interval(low, high, None if best is None else min(max(best, low), high))


def _known(parts: Sequence[Part]) -> Interval | None:
    """The ratio where nothing is uncertain, which is most of the time; None if sums round."""
    above = below = _0
    try:
        for amount, top, bottom in parts:
            share = amount.low
            above = ONLY_EXACT.add(above, ONLY_EXACT.multiply(share, top.low))
            below = ONLY_EXACT.add(below, ONLY_EXACT.multiply(share, bottom.low))
    except Inexact:
        return None
    return exact(above) / exact(below)


def _highest(parts: Sequence[Part]) -> Decimal:
    """The supremum: tops at their highest, bottoms at their lowest, amounts chosen.

    The quotient is monotone in each amount, and at the maximum the parts richer than the whole
    are at their highest amount, the others at their lowest: one of n + 1 choices in rich order.
    """
    if any(top.high == INFINITY for _, top, _ in parts):
        return INFINITY
    above = below = _0
    for amount, top, bottom in parts:
        above = UP.add(above, UP.multiply(amount.low, top.high))
        below = DOWN.add(below, DOWN.multiply(amount.low, bottom.low))
    found = _quotient(above, below, UP)
    free = [part for part in parts if part[0].low != part[0].high]
    for amount, top, bottom in sorted(
        free, key=lambda part: _richness(part[1].high, part[2].low), reverse=True
    ):
        t, b = top.high, bottom.low
        if not t and not b:
            continue
        if amount.high == INFINITY:
            # Ever more of it: the quotient goes to that part's own.
            found = max(found, _quotient(t, b, UP))
            continue
        above = UP.add(above, UP.multiply(UP.subtract(amount.high, amount.low), t))
        below = DOWN.add(below, DOWN.multiply(DOWN.subtract(amount.high, amount.low), b))
        found = max(found, _quotient(above, below, UP))
    # Never defined at these ends means nothing above the line anywhere: then it is zero.
    return max(found, _0)


def _lowest(parts: Sequence[Part]) -> Decimal:
    """The infimum: as `_highest` the other way round."""
    if any(bottom.high == INFINITY for _, _, bottom in parts):
        return _0
    above = below = _0
    for amount, top, bottom in parts:
        above = DOWN.add(above, DOWN.multiply(amount.low, top.low))
        below = UP.add(below, UP.multiply(amount.low, bottom.high))
    found = [_quotient(above, below, DOWN)] if below else []
    free = [part for part in parts if part[0].low != part[0].high and part[2].high]
    for amount, top, bottom in sorted(free, key=lambda part: _richness(part[1].low, part[2].high)):
        t, b = top.low, bottom.high
        if amount.high == INFINITY:
            found.append(_quotient(t, b, DOWN))
            continue
        above = DOWN.add(above, DOWN.multiply(DOWN.subtract(amount.high, amount.low), t))
        below = UP.add(below, UP.multiply(UP.subtract(amount.high, amount.low), b))
        found.append(_quotient(above, below, DOWN))
    return min(found)


def _richness(top: Decimal, bottom: Decimal) -> Decimal:
    if bottom:
        return _ORDER.divide(top, bottom)
    return INFINITY if top else _0


def _quotient(above: Decimal, below: Decimal, context: Context) -> Decimal:
    """The quotient, infinite over nothing, and below every other where both are nothing."""
    if below:
        return context.divide(above, below)
    return INFINITY if above else -INFINITY


def _best(parts: Sequence[Part]) -> Decimal | None:
    above = below = _0
    for amount, top, bottom in parts:
        if amount.best is None or top.best is None or bottom.best is None:
            return None
        above = NEAR.add(above, NEAR.multiply(amount.best, top.best))
        below = NEAR.add(below, NEAR.multiply(amount.best, bottom.best))
    return NEAR.divide(above, below) if below else None
