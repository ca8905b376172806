"""Sets the amount of a line against the last one of the same food."""

from __future__ import annotations

import re
from decimal import Decimal
from enum import Enum

from msgspec import Struct

from dietcheck.contract import (
    Animal,
    Diet,
    Interval,
    Limit,
    Line,
    Measure,
    format_interval,
    grams,
)
from dietcheck_rules.shared.pairing import MealLine, SheetPair
from dietcheck_rules.shared.sheet_ration import share_of
from dietcheck_rules.shared.wording import standing_words

INFINITE = Decimal("Infinity")
_UNIT = re.compile(r"([^\W\d]+|%) (?:per|of) ")


class Jump(Enum):
    """How two amounts differ more than a diet's do."""

    SLIP = "many times as much, or a small part"
    KIND = "another kind of unit"  # counted instead of weighed
    BASIS = "another basis"  # per animal, per group, per kg body mass
    UNIT = "another unit of the same kind"
    UNKNOWN = "cannot be compared"


class Compared(Struct, frozen=True, eq=False):
    """A line, its last amount, and how far the one is from the other.

    `ratio` is new to old, lower end to lower end and upper to upper: a range that was mistyped at
    one end is a slip too. None where the grams are not known.
    """

    old: MealLine
    new: MealLine
    jump: Jump | None
    ratio: tuple[Decimal, ...]
    gap: str = ""
    working: tuple[str, ...] = ()

    @property
    def old_text(self) -> str:
        """The last amount, as written."""
        return self.old.line.amount.text

    @property
    def measured(self) -> Measure:
        """New to old, as a range."""
        return Measure(Interval(min(self.ratio), max(self.ratio)), "times", "count")

    @property
    def times(self) -> str:
        """The ratio in words."""
        worst = max(self.ratio, key=lambda r: max(r, 1 / r) if r else Decimal("Infinity"))
        if worst >= 1:
            return f"{_figure(worst)} times as much"
        return f"1/{_figure(1 / worst)} of it" if worst else "nothing of it"


def compare(
    pair: SheetPair, old: MealLine, new: MealLine, slip: Limit, other_unit: Limit
) -> Compared:
    """How the new amount stands to the last one, by the two limits."""
    was, gap = _amount(pair.then, old.line, new.line)
    now, new_gap = _amount(pair.now, new.line, old.line)
    if was is None or now is None:
        same = old.line.amount.text == new.line.amount.text
        return Compared(old, new, None if same else Jump.UNKNOWN, (), gap or new_gap)
    ends = ((was.low, now.low), (was.high, now.high))
    ratio = tuple(after / before for before, after in ends if before > 0 and before.is_finite())
    most, least = _ends(slip)
    slipped = any(
        after >= most * before or after <= least * before for before, after in ends if before > 0
    )
    return Compared(
        old,
        new,
        Jump.SLIP if slipped else _unit_jump(old.line, new.line, ratio, other_unit),
        ratio,
        working=(
            f"before: {old.line.amount.text} = {format_interval(was, 'g')}",
            f"now: {new.line.amount.text} = {format_interval(now, 'g')}",
            f"a slip: {_slip_words(slip)} ({standing_words(slip)})",
        ),
    )


def _ends(limit: Limit) -> tuple[Decimal, Decimal]:
    """The most and the least; a side that the house leaves out is open."""
    most = INFINITE if limit.at_most is None else limit.at_most
    return most, Decimal(-1) if limit.at_least is None else limit.at_least


def _slip_words(slip: Limit) -> str:
    sides = ((slip.at_most, "times as much or more"), (slip.at_least, "times or less"))
    return ", ".join(f"{_figure(side)} {words}" for side, words in sides if side is not None)


def _unit_jump(old: Line, new: Line, ratio: tuple[Decimal, ...], other_unit: Limit) -> Jump | None:
    """Another unit matters where the amount is another too."""
    alike, _ = _ends(other_unit)
    if all(1 / alike <= one <= alike for one in ratio):
        return None
    if old.amount.dimension != new.amount.dimension:
        return Jump.KIND
    if old.amount.per != new.amount.per:
        return Jump.BASIS
    return Jump.UNIT if _unit(old) != _unit(new) else None


def _unit(line: Line) -> str:
    found = _UNIT.search(line.amount.text)
    return found.group(1).replace("pieces", "piece") if found else ""


def _amount(diet: Diet, line: Line, other: Line) -> tuple[Interval | None, str]:
    """Grams of one giving, on the basis that both lines have, or else for an animal; or the gap."""
    amount, gap = grams(line, diet.settings)
    if gap is not None:
        return None, gap
    if line.amount.per == other.amount.per:
        return amount, ""
    shares = [share_of(diet, line, animal) for animal in _eaters(diet, line)]
    known = [share for share in shares if share is not None and share.is_bounded]
    if not known or len(known) < len(shares):
        return None, "an animal has no weighing"
    return Interval(min(s.low for s in known), max(s.high for s in known)), ""


def _eaters(diet: Diet, line: Line) -> list[Animal]:
    return [a for a in diet.animals if not line.for_animals or a.id in line.for_animals]


def _figure(value: Decimal) -> str:
    return format_interval(Interval(value, value), "")
