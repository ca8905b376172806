"""A ration: what one animal is offered over some days, added up food by food."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Mapping
from decimal import Decimal

from dietcheck.collection.foods import Food
from dietcheck.nutrition.composition import IN_UNIT, Profile, Profiles
from dietcheck.nutrition.portions import Portion
from dietcheck.quantities import ZERO, Interval, exact, ratio, total, total_of_products
from dietcheck.tables.nutrients import nutrients

HUNDRED = exact(100)


class Ration:
    """Grams as fed of each food over `days` days, and the nutrients in them.

    Nutrients are totals over the whole ration in the nutrient's own unit; use `per_day` for the
    daily mean. Grams are added first and multiplied after, so repeats cost nothing. Each figure is
    worked out once, however many animals and rules ask for it.
    """

    __slots__ = ("_grams_of", "_parts", "_profiles", "days", "derived")

    def __init__(self, grams_of: Mapping[Food, Interval], days: int, profiles: Profiles) -> None:
        self._grams_of: Mapping[Food, Interval] | None = grams_of
        self._parts: tuple[tuple[Ration, int], ...] = ()
        self.days = days
        self._profiles = profiles
        # What is worked out of it, kept here so that it is reckoned once.
        self.derived: dict[Hashable, Interval] = {}

    @classmethod
    def of_portions(cls, portions: Iterable[Portion], days: int, profiles: Profiles) -> Ration:
        """The ration of some portions."""
        grams_of: dict[Food, Interval] = {}
        for portion in portions:
            known = grams_of.get(portion.line.food)
            grams_of[portion.line.food] = portion.grams if known is None else known + portion.grams
        return cls(grams_of, days, profiles)

    @classmethod
    def joined(cls, rations: Iterable[Ration], profiles: Profiles) -> Ration:
        """Several rations of one animal, taken together."""
        parts = Counter(rations)  # by identity: days that are fed the same have one ration
        whole = cls({}, sum(part.days * times for part, times in parts.items()), profiles)
        if len(parts) == 1 and 1 in parts.values():
            return next(iter(parts))
        whole._grams_of = None
        whole._parts = tuple(parts.items())
        return whole

    @property
    def grams_of(self) -> Mapping[Food, Interval]:
        """Grams as fed of each food."""
        if self._grams_of is None:
            self._grams_of = _added(self._parts)
        return self._grams_of

    @property
    def profiles(self) -> Profiles:
        """The composition of the foods."""
        return self._profiles

    def total(self, key: str) -> Interval:
        """The total of a nutrient, in its own unit."""
        return self.total_of(key, lambda profile: profile.per_gram(key))

    def total_of(self, name: Hashable, per_gram: Callable[[Profile], Interval]) -> Interval:
        """The total of anything that adds up, from what a gram of each food has of it.

        `name` tells it from all other figures: it is worked out once.
        """
        found = self.derived.get(name)
        if found is None:
            if self._parts:
                found = total_of_products(
                    (part.total_of(name, per_gram), exact(times)) for part, times in self._parts
                )
            else:
                profiles = self._profiles
                found = total_of_products(
                    (grams, per_gram(profiles[food])) for food, grams in self.grams_of.items()
                )
            self.derived[name] = found
        return found

    def grams(self) -> Interval:
        """The total mass as fed, in grams."""
        return self._once("grams", lambda: total(self.grams_of.values()))

    def per_day(self, figure: Interval) -> Interval:
        """The daily mean of a total."""
        return figure if self.days == 1 else figure / exact(self.days)

    def density(self, key: str, of: str = "dry_matter") -> Interval:
        """A nutrient per unit of another (usually dry matter), both in grams: a fraction.

        For energy it is kcal per gram. The range is exact: each food's amount varies in its own
        range, but it is the same amount above and below the line.
        """
        return self._once((key, of), lambda: self._density(key, of))

    def _density(self, key: str, of: str) -> Interval:
        unit = IN_UNIT.get(nutrients()[key].unit, 1)
        below = IN_UNIT[nutrients()[of].unit]
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
        parts = []
        for food, grams in self.grams_of.items():
            whole = HUNDRED if of is None else self._profiles[food].per_100g(of)
            parts.append((grams, whole * counted.get(food, ZERO), whole))
        return ratio(parts)

    def contributions(self, key: str) -> list[tuple[Food, Interval]]:
        """Each food's part of a nutrient total, largest possible first."""
        parts = [
            (food, grams * self._profiles[food].per_gram(key))
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

    def _once(self, name: Hashable, work_out: Callable[[], Interval]) -> Interval:
        found = self.derived.get(name)
        if found is None:
            found = self.derived[name] = work_out()
        return found


def _added(parts: Iterable[tuple[Ration, int]]) -> dict[Food, Interval]:
    """The grams of several rations, food by food."""
    grams_of: dict[Food, list[tuple[Interval, Interval]]] = {}
    for part, times in parts:
        how_often = exact(times)
        for food, grams in part.grams_of.items():
            grams_of.setdefault(food, []).append((grams, how_often))
    return {food: total_of_products(amounts) for food, amounts in grams_of.items()}


def _size(figure: Interval) -> Decimal:
    return figure.high
