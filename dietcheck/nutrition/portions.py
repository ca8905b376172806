"""How many grams of a line one animal is offered, as a range, and why when nobody can tell."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from dietcheck.collection.animals import Animal, head_count
from dietcheck.collection.feeding import Line
from dietcheck.collection.foods import Food
from dietcheck.collection.settings import Settings
from dietcheck.quantities import UNKNOWN, Interval, exact


class Portion(Struct, frozen=True, eq=False):
    """A line as it meets one animal: grams as fed in one feed, an even share of group amounts.

    Grams as fed are what goes into the bowl, prepared: no waste is taken off.

    `gap` says in keeper's words what is missing when the grams cannot be known.
    """

    line: Line
    grams: Interval
    gap: str | None = None

    @property
    def food(self) -> Food:
        """The food offered."""
        return self.line.food


class Portioner:
    """Works out portions of one group on one weighing date, each only once."""

    def __init__(self, settings: Settings, on: date) -> None:
        self._settings = settings
        self._on = on
        self._done: dict[tuple[int, str, tuple[str, ...]], Portion | None] = {}

    def portion(self, line: Line, animal: Animal, present: tuple[Animal, ...]) -> Portion | None:
        """The animal's share of one giving of the line; None when the line is not for it."""
        if line.for_animals and animal.id not in line.for_animals:
            return None
        sharers = tuple(a for a in present if not line.for_animals or a.id in line.for_animals)
        key = (
            id(line),
            animal.id if line.amount.per == "kg body mass" else "",
            tuple(a.id for a in sharers) if line.amount.per == "group" else (),
        )
        if key not in self._done:
            self._done[key] = self._work_out(line, animal, sharers)
        return self._done[key]

    def whole(self, line: Line, present: tuple[Animal, ...]) -> Interval:
        """Grams that lie in the enclosure in one giving of the line, for all animals together."""
        if line.amount.per == "group":
            return grams(line, self._settings)[0]
        total = exact(0)
        for animal in present:
            portion = self.portion(line, animal, present)
            if portion is not None:
                total = total + portion.grams * animal.count
        return total

    def _work_out(self, line: Line, animal: Animal, sharers: tuple[Animal, ...]) -> Portion:
        amount, gap = grams(line, self._settings)
        if gap is not None:
            return Portion(line, UNKNOWN, gap)
        if line.amount.per == "group":
            heads = head_count(sharers)
            if heads.low <= 0:
                return Portion(line, UNKNOWN, "no animal is here to share a group amount")
            return Portion(line, amount / heads)
        if line.amount.per == "kg body mass":
            weighing = animal.weighed(self._on)
            if weighing is None:
                return Portion(line, UNKNOWN, f"{animal.called} has no weighing")
            return Portion(line, amount * weighing.mass / 1000)
        return Portion(line, amount)


def grams(line: Line, settings: Settings) -> tuple[Interval, str | None]:
    """The amount of a line in grams as fed, before it is shared; with the gap when unknown."""
    amount = line.amount
    quantity = amount.spread(settings.ad_lib_spread.high)
    food = line.food
    match amount.dimension:
        case "mass":
            return quantity, None
        case "piece":
            if food.piece is None:
                return UNKNOWN, f'the food list has no piece mass for "{food.id}"'
            return quantity * food.piece, None
        case "volume":
            if food.density is None:
                return UNKNOWN, f'the food list has no density for "{food.id}"'
            return quantity * food.density, None
        case "iu" if food.iu is not None:
            return quantity / food.iu, None
        case _:
            return UNKNOWN, f'the label of "{food.id}" gives no one nutrient in IU to count by'
