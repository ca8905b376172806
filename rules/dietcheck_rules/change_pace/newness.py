"""How much of an animal's dry matter is new when one sheet takes the place of another."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from msgspec import Struct

from dietcheck.contract import (
    UNKNOWN,
    ZERO,
    Animal,
    DietSheet,
    Food,
    Interval,
    Pointer,
    Ration,
    format_interval,
    ratio,
)
from dietcheck_rules.shared.pairing import SheetPair, meal_lines
from dietcheck_rules.shared.sheet_ration import sheet_ration


class NewPart(Struct, frozen=True, eq=False):
    """The new share of the dry matter (0 to 1), and the foods that make it, largest first."""

    share: Interval
    foods: tuple[tuple[Food, Interval], ...]  # grams of dry matter a day that are new
    total: Interval
    weak: tuple[str, ...]
    loose: tuple[str, ...]

    @property
    def working(self) -> tuple[str, ...]:
        """The arithmetic, a step a line."""
        steps = [
            f"{food.id}: {format_interval(grams, 'g')} of new dry matter a day"
            for food, grams in self.foods
        ]
        return (
            *steps,
            f"dry matter of the whole day: {format_interval(self.total, 'g')}",
            f"new: {format_interval(self.share * 100, '%')} of dry matter",
        )

    def places(self, sheet: DietSheet) -> Iterator[Pointer]:
        """The lines of the new foods."""
        new = {food.id for food, _ in self.foods}
        for given in meal_lines(sheet):
            if given.line.food.id in new:
                yield given.line.place.at("food")


def new_part(pair: SheetPair, animal: Animal) -> NewPart | None:
    """What is new for one animal; None where no rota says how often a meal is fed.

    A food counts with what it has gained on its former part of the diet. The former diet is first
    brought to the size of the new one, so that a larger helping of the same is nothing new.
    """
    old = sheet_ration(pair.then, pair.before, animal)
    new = sheet_ration(pair.now, pair.after, animal)
    if old is None or new is None:
        return None
    before = {food.id: old.per_day(grams) for food, grams in old.grams_of.items()}
    after = {food: new.per_day(grams) for food, grams in new.grams_of.items()}
    scale = _scale(old, new)
    parts, foods, total = [], [], ZERO
    for food, grams in after.items():
        dry = new.profiles[food].per_100g("dry_matter") / 100
        gained = _gained(before.get(food.id, ZERO), grams, scale)
        rest = _rest(grams, gained)
        parts += [(gained, dry, dry), (rest, ZERO, dry)]
        total = total + grams * dry
        if gained.high > 0:
            foods.append((food, gained * dry))
    foods.sort(key=lambda one: (-one[1].high, one[0].id))
    weak = tuple(f"{food.id}: {why}" for food, why in new.weak_inputs("dry_matter"))
    loose = tuple(food.id for food, grams in after.items() if not grams.is_exact)
    return NewPart(ratio(parts), tuple(foods), total, weak, loose)


def _gained(before: Interval, after: Interval, scale: Decimal) -> Interval:
    """End by end, because an amount that did not change is the same unknown twice."""
    ends = [
        max(now - was * scale, Decimal(0)) if was.is_finite() and now.is_finite() else now
        for was, now in ((before.low, after.low), (before.high, after.high))
    ]
    return Interval(min(ends), max(ends))


def _rest(grams: Interval, gained: Interval) -> Interval:
    """What of a food was there before."""
    if not grams.is_bounded:
        return UNKNOWN
    ends = sorted((max(grams.low - gained.low, Decimal(0)), grams.high - gained.high))
    return Interval(max(ends[0], Decimal(0)), max(ends[1], Decimal(0)))


def _scale(old: Ration, new: Ration) -> Decimal:
    """The size of the new diet to the old one, by the middle of their dry matter."""
    was, now = (_middle(one.per_day(one.total("dry_matter"))) for one in (old, new))
    if was is None or now is None or not was:
        return Decimal(1)
    return now / was


def _middle(figure: Interval) -> Decimal | None:
    if not figure.is_bounded:
        return None
    return (figure.low + figure.high) / 2 if figure.best is None else figure.best
