"""Ranges that surely hold the true value, so that a verdict can never rest on a rounding error.

An `Interval` is a lowest and a highest possible value with, where one is known, a best estimate.
Lower ends are always rounded down and upper ends up (28 significant digits), so whatever the true
operands were, the true result lies inside the result. "No idea" is a range too: `UNKNOWN`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from decimal import (
    ROUND_CEILING,
    ROUND_FLOOR,
    ROUND_HALF_EVEN,
    Context,
    Decimal,
    DivisionByZero,
    Inexact,
    InvalidOperation,
)
from functools import lru_cache
from typing import Final, Literal, NoReturn

_TRAPS = [InvalidOperation, DivisionByZero]


def _context(rounding: str, digits: int = 28, exact_only: bool = False) -> Context:
    traps = [*_TRAPS, Inexact] if exact_only else _TRAPS
    return Context(prec=digits, rounding=rounding, Emin=-9999, Emax=9999, traps=traps)


DOWN: Final = _context(ROUND_FLOOR)
UP: Final = _context(ROUND_CEILING)
NEAR: Final = _context(ROUND_HALF_EVEN)
ONLY_EXACT: Final = _context(ROUND_HALF_EVEN, exact_only=True)
# Bounds meet a limit at 20 digits, so that 1/3 * 3 meets 1 although its lower end is 0.999…
_COMPARE: Final = _context(ROUND_HALF_EVEN, digits=20)
_LONG: Final = _context(ROUND_HALF_EVEN, digits=150)
_MIDDLE: Final = _context(ROUND_HALF_EVEN, digits=40)

_0: Final = Decimal(0)
INFINITY: Final = Decimal("Infinity")

# Bound methods looked up once: these run about a million times in a large repository.
_down_add, _up_add, _near_add, _exact_add = DOWN.add, UP.add, NEAR.add, ONLY_EXACT.add
_down_sub, _up_sub, _near_sub = DOWN.subtract, UP.subtract, NEAR.subtract
_exact_sub = ONLY_EXACT.subtract
_down_mul, _up_mul, _near_mul = DOWN.multiply, UP.multiply, NEAR.multiply
_exact_mul = ONLY_EXACT.multiply
_down_div, _up_div, _near_div = DOWN.divide, UP.divide, NEAR.divide
_exact_div = ONLY_EXACT.divide

Number = Decimal | int
Standing = Literal["inside", "past", "across"]


class Interval:
    """A quantity known to lie from `low` to `high`, with a `best` estimate where there is one.

    `high` may be infinite: nothing is known above `low`. Raises ValueError for an upside-down or
    not-a-number range and TypeError for a float, both of which are mistakes in code, not in data.
    """

    __slots__ = ("best", "high", "low")
    low: Decimal
    high: Decimal
    best: Decimal | None

    def __init__(self, low: Number, high: Number, best: Number | None = None) -> None:
        low, high = _number(low), _number(high)
        if low == high:
            high = best = low
        elif best is not None:
            best = _number(best)
            if not low <= best <= high:
                raise ValueError(f"the best estimate {best} is outside {low} to {high}")
        if low > high or low == INFINITY or high == -INFINITY:
            raise ValueError(f"{low} to {high} is not a range")
        _set_low(self, low)
        _set_high(self, high)
        _set_best(self, best)

    def __setattr__(self, name: str, value: object) -> NoReturn:
        raise AttributeError("an Interval does not change: make a new one")

    def __delattr__(self, name: str) -> NoReturn:
        raise AttributeError("an Interval does not change: make a new one")

    def __reduce__(self) -> tuple[type[Interval], tuple[Decimal, Decimal, Decimal | None]]:
        return (Interval, (self.low, self.high, self.best))

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Interval):
            return NotImplemented
        return self.low == other.low and self.high == other.high and self.best == other.best

    def __hash__(self) -> int:
        return hash((self.low, self.high, self.best))

    def __repr__(self) -> str:
        if self.is_exact:
            return f"exact('{self.low}')"
        best = "" if self.best is None else f", '{self.best}'"
        return f"between('{self.low}', '{self.high}'{best})"

    @property
    def is_exact(self) -> bool:
        """Whether the value is known outright."""
        return self.low == self.high

    @property
    def is_bounded(self) -> bool:
        """Whether both ends are finite."""
        return self.low.is_finite() and self.high.is_finite()

    def __add__(self, other: Interval | Number) -> Interval:
        if other.__class__ is not Interval:
            operand = _operand(other)
            if operand is None:
                return NotImplemented
            other = operand
        a, b, c, d = self.low, self.high, other.low, other.high
        if a is b and c is d:
            try:
                value = _exact_add(a, c)
            except Inexact:
                return _make(_down_add(a, c), _up_add(a, c), _near_add(a, c))
            return _make(value, value, value)
        p, q = self.best, other.best
        best = None if p is None or q is None else _near_add(p, q)
        return _settle(_down_add(a, c), _up_add(b, d), best)

    __radd__ = __add__

    def __neg__(self) -> Interval:
        best = None if self.best is None else self.best.copy_negate()
        return _settle(self.high.copy_negate(), self.low.copy_negate(), best)

    def __sub__(self, other: Interval | Number) -> Interval:
        if other.__class__ is not Interval:
            operand = _operand(other)
            if operand is None:
                return NotImplemented
            other = operand
        a, b, c, d = self.low, self.high, other.low, other.high
        if a is b and c is d:
            try:
                value = _exact_sub(a, c)
            except Inexact:
                return _make(_down_sub(a, c), _up_sub(a, c), _near_sub(a, c))
            return _make(value, value, value)
        p, q = self.best, other.best
        best = None if p is None or q is None else _near_sub(p, q)
        return _settle(_down_sub(a, d), _up_sub(b, c), best)

    def __rsub__(self, other: Number) -> Interval:
        return self.__neg__() + other

    def __mul__(self, other: Interval | Number) -> Interval:
        """Product; nothing times an unknown amount is nothing (0 * inf = 0)."""
        if other.__class__ is not Interval:
            operand = _operand(other)
            if operand is None:
                return NotImplemented
            other = operand
        a, b, c, d = self.low, self.high, other.low, other.high
        if a is b and c is d:
            try:
                value = _exact_mul(a, c) or _0
            except Inexact:
                return _make(_down_mul(a, c), _up_mul(a, c), _near_mul(a, c))
            return _make(value, value, value)
        p, q = self.best, other.best
        best = None if p is None or q is None else _near_mul(p, q)
        if a >= _0 and c >= _0:
            return _settle(_down_mul(a, c), _times(_up_mul, b, d), best)
        corners = ((a, c), (a, d), (b, c), (b, d))
        low = min(_times(_down_mul, x, y) for x, y in corners)
        high = max(_times(_up_mul, x, y) for x, y in corners)
        return _settle(low, high, best)

    __rmul__ = __mul__

    def __truediv__(self, other: Interval | Number) -> Interval:
        """Quotient over every divisor but zero; a divisor that can only be zero gives no figure.

        Operands that vary together (a part and its whole) belong in `ratio`, which is exact.
        """
        if other.__class__ is not Interval:
            operand = _operand(other)
            if operand is None:
                return NotImplemented
            other = operand
        a, b, c, d = self.low, self.high, other.low, other.high
        if a is b and c is d and c:
            try:
                value = _exact_div(a, c) or _0
            except Inexact:
                return _make(_down_div(a, c), _up_div(a, c), _near_div(a, c))
            return _make(value, value, value)
        p, q = self.best, other.best
        best = None if p is None or not q else _near_div(p, q)
        if a >= _0 and c >= _0:
            if not d:
                return UNKNOWN
            high = _over(_up_div, b, c) if c else (INFINITY if b else _0)
            return _settle(_over(_down_div, a, d), high, best)
        if c <= _0 <= d:
            return _make(-INFINITY, INFINITY, best)
        corners = ((a, c), (a, d), (b, c), (b, d))
        low = min(_over(_down_div, x, y) for x, y in corners)
        high = max(_over(_up_div, x, y) for x, y in corners)
        return _settle(low, high, best)

    def __rtruediv__(self, other: Number) -> Interval:
        return NotImplemented if (top := _operand(other)) is None else top / self

    def scale(self, factor: Number) -> Interval:
        """The range times one exact factor, as for a unit or a head count."""
        return self * factor

    def clamp_low(self, floor: Number = 0) -> Interval:
        """The range with nothing below `floor`, where less has no meaning (a mass below zero)."""
        floor = _number(floor)
        if self.low >= floor:
            return self
        best = None if self.best is None else max(self.best, floor)
        return _settle(floor, max(self.high, floor), best)

    def hull(self, other: Interval) -> Interval:
        """The smallest range holding both; a best estimate only where both agree on it."""
        best = self.best if self.best == other.best else None
        return _settle(min(self.low, other.low), max(self.high, other.high), best)

    def power34(self) -> Interval:
        """The range to the power 0.75, as for metabolic body mass (mass in kg gives kg^0.75)."""
        if self.low < _0:
            raise ValueError("metabolic mass needs a mass of zero or more")
        if self.low is self.high:
            low, high = _power34(self.low, up=False), _power34(self.low, up=True)
            return _settle(low, high, low)
        best = None if self.best is None else _power34(self.best, up=False)
        return _settle(_power34(self.low, up=False), _power34(self.high, up=True), best)

    def power(self, exponent: Number) -> Interval:
        """The range to a power above zero, as published energy formulas scale with body mass.

        Raises ValueError for a range that reaches below zero and for an exponent of zero or less.
        """
        exponent = _number(exponent)
        if self.low < _0 or not _0 < exponent < INFINITY:
            raise ValueError("a power needs a range of zero or more and an exponent above zero")
        if exponent == 1:
            return self
        if exponent == Decimal("0.75"):
            return self.power34()
        at_low = _power(self.low, exponent)
        at_high = at_low if self.low == self.high else _power(self.high, exponent)
        best = None
        if self.best is not None:
            at_best = at_low if self.best == self.low else _power(self.best, exponent)
            best = NEAR.plus(at_best[0])
        return _settle(DOWN.subtract(*at_low), UP.add(*at_high), best)

    def stands(self, at_least: Number | None = None, at_most: Number | None = None) -> Standing:
        """Where the range lies: inside the bounds, past one of them, or across (cannot be told)."""
        low, high = self.low, self.high
        # What compares so at full length does so at 20 digits, and needs no rounding.
        if (at_most is None or high <= at_most) and (at_least is None or low >= at_least):
            return "inside"
        low, high = _COMPARE.plus(low), _COMPARE.plus(high)
        inside = True
        if at_most is not None:
            top = _COMPARE.plus(_number(at_most))
            if low > top:
                return "past"
            inside = high <= top
        if at_least is not None:
            bottom = _COMPARE.plus(_number(at_least))
            if high < bottom:
                return "past"
            inside = inside and low >= bottom
        return "inside" if inside else "across"


_new = object.__new__
_set_low: Callable[[Interval, Decimal], None] = Interval.__dict__["low"].__set__
_set_high: Callable[[Interval, Decimal], None] = Interval.__dict__["high"].__set__
_set_best: Callable[[Interval, Decimal | None], None] = Interval.__dict__["best"].__set__


def _make(low: Decimal, high: Decimal, best: Decimal | None) -> Interval:
    """An Interval from parts already known to be in order."""
    made = _new(Interval)
    _set_low(made, low)
    _set_high(made, high)
    _set_best(made, best)
    return made


def _settle(low: Decimal, high: Decimal, best: Decimal | None) -> Interval:
    """As `_make`, after turning the -0 of downward rounding into 0 and an exact result into one."""
    if not low:
        low = _0
    if low == high:
        return _make(low, low, low)
    return _make(low, high or _0, best)


def _number(value: object) -> Decimal:
    """A Decimal from the kinds of figure that are exact; a float is not one."""
    if value.__class__ is not Decimal:
        if isinstance(value, bool) or not isinstance(value, (Decimal, int, str)):
            raise TypeError(f"{value!r}: an Interval is made of Decimal or whole numbers")
        value = Decimal(value)
    if value.is_nan():
        raise ValueError("not a number")
    return value


def _operand(value: object) -> Interval | None:
    """The other side of an operation as a range; None if it is nothing to calculate with."""
    if isinstance(value, Interval):
        return value
    if value.__class__ is Decimal and value.is_finite():
        return _make(value, value, value)
    return exact(value) if value.__class__ is int or value.__class__ is Decimal else None


def _times(multiply: Callable[[Decimal, Decimal], Decimal], x: Decimal, y: Decimal) -> Decimal:
    return multiply(x, y) if x and y else _0


def _over(divide: Callable[[Decimal, Decimal], Decimal], x: Decimal, y: Decimal) -> Decimal:
    return divide(x, y) if y.is_finite() else _0


@lru_cache(1 << 13)
def _power34(value: Decimal, *, up: bool) -> Decimal:
    if not value or not value.is_finite():
        return value
    # For a mass of 28 digits, the cube and the fourth power of any 28-digit root differ within 112
    # digits unless they are equal, so 150 digits are enough to round the right way.
    root = _LONG.sqrt(_LONG.sqrt(_LONG.power(value, 3)))
    return (UP if up else DOWN).plus(root)


@lru_cache(1 << 13)
def _power(value: Decimal, exponent: Decimal) -> tuple[Decimal, Decimal]:
    """A power with how far off it may be; 0 where it is exact."""
    if value in (0, 1) or not value.is_finite():
        return value, _0
    # The last of 40 digits may be off by one: a step in the 38th either way holds the truth. More
    # digits cost ten times the time and change nothing that is left of them.
    near = _MIDDLE.power(value, exponent)
    return near, near.scaleb(-38)


def exact(value: Number | str) -> Interval:
    """A value known outright. Text is for constants in code; records go through the readers."""
    number = _number(value)
    if not number.is_finite():
        raise ValueError("an exact value is finite")
    return _make(number, number, number)


def between(low: Number | str, high: Number | str, best: Number | str | None = None) -> Interval:
    """A value known to lie from `low` to `high`, with a best estimate if there is one."""
    return Interval(_number(low), _number(high), None if best is None else _number(best))


def total(parts: Iterable[Interval]) -> Interval:
    """The sum of many ranges, without making every sum on the way. Nothing sums to zero."""
    low, high = _0, _0
    best: Decimal | None = _0
    for part in parts:
        low = _down_add(low, part.low)
        high = _up_add(high, part.high)
        best = None if best is None or part.best is None else _near_add(best, part.best)
    return _settle(low, high, best)


def total_of_products(parts: Iterable[tuple[Interval, Interval]]) -> Interval:
    """The sum of many products, without making every sum on the way. Nothing sums to zero.

    Such as grams times what a gram holds.
    """
    low, high = _0, _0
    best: Decimal | None = _0
    for one, other in parts:
        a, b, c, d = one.low, one.high, other.low, other.high
        if a is b and c is d:  # both known outright, as most are
            low = _down_add(low, _down_mul(a, c))
            high = _up_add(high, _up_mul(a, c))
            if best is not None:
                best = _near_add(best, _near_mul(a, c))
            continue
        product = one * other
        low = _down_add(low, product.low)
        high = _up_add(high, product.high)
        if best is not None:
            best = None if product.best is None else _near_add(best, product.best)
    return _settle(low, high, best)


ZERO: Final = exact(0)
UNKNOWN: Final = Interval(0, INFINITY)
