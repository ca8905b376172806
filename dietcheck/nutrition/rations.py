"""A ration: what one animal is offered over some days, added up food by food."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal

from dietcheck.collection.foods import Food
from dietcheck.nutrition.composition import IN_UNIT, Profiles
from dietcheck.nutrition.portions import Portion
from dietcheck.quantities import ZERO, Interval, exact, ratio
from dietcheck.tables.nutrients import nutrients


class Ration:
    """Grams as fed of each food over `days` days, and the nutrients in them.

    Nutrients are totals over the whole ration in the nutrient's own unit; use `per_day` for the
    daily mean. Grams are added first and multiplied after, so repeats cost nothing.
    """

    __slots__ = ("_profiles", "_totals", "days", "grams_of")

    def __init__(self, grams_of: Mapping[Food, Interval], days: int, profiles: Profiles) -> None:
        self.grams_of = grams_of
        self.days = days
        self._profiles = profiles
        self._totals: dict[str, Interval] = {}

    @classmethod
    def of_portions(cls, portions: Iterable[Portion], days: int, profiles: Profiles) -> Ration:
        """The ration of some portions."""
        grams_of: dict[Food, Interval] = {}
        for portion in portions:
            known = grams_of.get(portion.food)
            grams_of[portion.food] = portion.grams if known is None else known + portion.grams
        return cls(grams_of, days, profiles)

    @classmethod
    def joined(cls, rations: Iterable[Ration], profiles: Profiles) -> Ration:
        """Several rations of one animal, taken together."""
        grams_of: dict[Food, Interval] = {}
        days = 0
        for ration in rations:
            days += ration.days
            for food, grams in ration.grams_of.items():
                known = grams_of.get(food)
                grams_of[food] = grams if known is None else known + grams
        return cls(grams_of, days, profiles)

    @property
    def profiles(self) -> Profiles:
        """The composition of the foods."""
        return self._profiles

    def total(self, key: str) -> Interval:
        """The total of a nutrient, in its own unit."""
        if key not in self._totals:
            total = ZERO
            for food, grams in self.grams_of.items():
                total = total + grams / 100 * self._profiles[food].per_100g(key)
            self._totals[key] = total
        return self._totals[key]

    def grams(self) -> Interval:
        """The total mass as fed, in grams."""
        total = ZERO
        for grams in self.grams_of.values():
            total = total + grams
        return total

    def per_day(self, figure: Interval) -> Interval:
        """The daily mean of a total."""
        return figure if self.days == 1 else figure / exact(self.days)

    def density(self, key: str, of: str = "dry_matter") -> Interval:
        """A nutrient per unit of another (usually dry matter), both in grams: a fraction.

        For energy it is kcal per gram. The range is exact: each food's amount varies in its own
        range, but it is the same amount above and below the line.
        """
        unit = IN_UNIT.get(nutrients()[key].unit, 1)
        below = IN_UNIT.get(nutrients()[of].unit, 1)
        parts = [
            (
                grams,
                self._profiles[food].per_100g(key) / unit,
                self._profiles[food].per_100g(of) / below,
            )
            for food, grams in self.grams_of.items()
        ]
        figure = ratio(parts)
        part_of_whole = of == "dry_matter" and nutrients()[key].unit in IN_UNIT
        if part_of_whole and figure.low <= 1 < figure.high:
            # Bounds of two figures of one food can cross; a part is never more than its whole.
            return Interval(figure.low, 1, figure.best and min(figure.best, Decimal(1)))
        return figure

    def share(self, foods: Iterable[tuple[Food, Interval]], of: str | None) -> Interval:
        """The share that parts of some foods make of the whole ration, by a nutrient or as fed.

        `foods` gives each food with the fraction of it that counts (1 for all of it, less for a
        mix that only holds some). `of` is `dry_matter`, another nutrient, or None for as fed.
        """
        counted = dict(foods)
        hundred = exact(100)
        parts = []
        for food, grams in self.grams_of.items():
            whole = hundred if of is None else self._profiles[food].per_100g(of)
            parts.append((grams, whole * counted.get(food, ZERO), whole))
        return ratio(parts)

    def contributions(self, key: str) -> list[tuple[Food, Interval]]:
        """Each food's part of a nutrient total, largest possible first."""
        parts = [
            (food, grams / 100 * self._profiles[food].per_100g(key))
            for food, grams in self.grams_of.items()
        ]
        return sorted(parts, key=lambda part: (-_size(part[1]), part[0].id))

    def weak_inputs(self, key: str) -> list[tuple[Food, str]]:
        """The foods whose figure for a nutrient is weak, each with the reason."""
        return [
            (food, reason)
            for food, _ in self.contributions(key)
            if (reason := self._profiles[food].weakness(key)) is not None
        ]


def _size(figure: Interval) -> Decimal:
    return figure.high
