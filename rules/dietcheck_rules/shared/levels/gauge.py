"""What is measured: one nutrient of a ration, in the unit and on the basis a limit counts in."""

from collections.abc import Callable, Iterable
from decimal import Decimal

from msgspec import Struct

from dietcheck.contract import (
    ZERO,
    Food,
    Interval,
    Limit,
    Profiles,
    Ration,
    exact,
    nutrients,
    ratio,
)

_GRAMS = {"kg": Decimal(1000), "g": Decimal(1), "mg": Decimal("0.001"), "µg": Decimal("0.000001")}
_OF_FOOD = {"kg": Decimal(1000), "100 g": Decimal(100), "g": Decimal(1)}
# A source that leaves the basis open prints a table for dry feed: compared on dry matter, said so.
_DRY = ("dry matter", "unstated")
_BODY = {"body mass": "kg", "metabolic body mass": "kg^0.75", "animal": "animal"}
HUNDRED = exact(100)
Counts = Callable[[Food], bool]


class Gauge(Struct, frozen=True):
    """One nutrient under the name that limits call it by.

    With `below` it is a ratio: the nutrient divided by that other one, by mass, each food's amount
    one and the same above and below the line.
    """

    quantity: str
    key: str
    title: str
    below: str = ""

    @property
    def keys(self) -> tuple[str, ...]:
        """The nutrients the figure is made of."""
        return (self.key, self.below) if self.below else (self.key,)

    def states(self, food: Food, profiles: Profiles) -> bool:
        """Whether label, analysis or table gives the food's figure at all."""
        return all(profiles[food].states(key) for key in self.keys)

    def content(self, food: Food, profiles: Profiles) -> Interval:
        """The amount in 100 g as fed, in the nutrient's own unit."""
        return profiles[food].per_100g(self.key)

    def total(self, ration: Ration) -> Interval:
        """The amount in the whole ration, in the nutrient's own unit."""
        found = ZERO
        for food, grams in ration.grams_of.items():
            found = found + grams / 100 * self.content(food, ration.profiles)
        return found

    def can_judge(self, limit: Limit) -> bool:
        """Whether the nutrient can be reckoned in the limit's unit and on its basis."""
        return self._factor(limit) is not None

    def value(
        self, ration: Ration, limit: Limit, mass: Interval | None, only: Counts | None = None
    ) -> Interval:
        """The figure to hold against the limit: a concentration, or a dose a day.

        `mass` is the body mass in grams; `only` leaves out the other foods. ValueError where
        `can_judge` says no, or where a body mass is needed and not given.
        """
        factor = self._factor(limit)
        if factor is None:
            raise ValueError(f"{self.title} cannot be reckoned in {limit.unit}")
        if limit.basis in _BODY:
            return self._dose(ration, limit, mass) * factor
        below = self.below or ("dry_matter" if limit.basis in _DRY else None)
        return self._quotient(ration, below, only) * factor

    def parts(self, ration: Ration) -> list[tuple[Food, Interval]]:
        """Each food's part of the total, the largest possible first."""
        found = [
            (food, grams / 100 * self.content(food, ration.profiles))
            for food, grams in ration.grams_of.items()
        ]
        return sorted(found, key=lambda part: (-part[1].high, -part[1].low, part[0].id))

    def weak(self, foods: Iterable[Food], profiles: Profiles) -> tuple[str, ...]:
        """The weak inputs of the figure, in words."""
        return tuple(
            f"{food.id}: {nutrients()[key].title} {why}"
            for food in foods
            for key in self.keys
            if (why := profiles[food].weakness(key)) is not None
        )

    def _quotient(self, ration: Ration, below: str | None, only: Counts | None) -> Interval:
        profiles = ration.profiles
        return ratio(
            [
                (
                    grams,
                    self.content(food, profiles),
                    profiles[food].per_100g(below) if below else HUNDRED,
                )
                for food, grams in ration.grams_of.items()
                if only is None or only(food)
            ]
        )

    def _dose(self, ration: Ration, limit: Limit, mass: Interval | None) -> Interval:
        daily = ration.per_day(self.total(ration))
        if limit.basis == "animal":
            return daily
        if mass is None:
            raise ValueError("a dose per body mass needs a body mass")
        kilograms = mass / 1000
        return daily / (kilograms.power34() if "^" in limit.unit else kilograms)

    def _factor(self, limit: Limit) -> Decimal | None:
        """From the nutrient's unit per gram (or a day) to the limit's unit."""
        if self.below or limit.basis == "ratio":
            return Decimal(1) if self.below and limit.basis == "ratio" else None
        top, _, below = limit.unit.partition("/")
        if (own := self._into("g" if top == "%" else top)) is None:
            return None
        if top == "%":
            return own * 100 if limit.basis in (*_DRY, "as fed") and not below else None
        if limit.basis in (*_DRY, "as fed"):
            return own * _OF_FOOD[below] if below in _OF_FOOD else None
        return own if _BODY.get(limit.basis) == below else None

    def _into(self, unit: str) -> Decimal | None:
        nutrient = nutrients()[self.key]
        if unit == nutrient.unit:
            return Decimal(1)
        if unit == "IU":
            return None if nutrient.per_iu is None else 1 / nutrient.per_iu
        if unit not in _GRAMS or nutrient.unit not in _GRAMS:
            return None
        return _GRAMS[nutrient.unit] / _GRAMS[unit]
