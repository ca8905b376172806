"""What an animal is given as treats, apart from the rest of what it is offered.

A treat is a line that is flagged with its purpose, a dated treat, or the food that carries a
medicine. Everything else is the rest of the ration.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable

from msgspec import Struct

from dietcheck.collection.animals import Animal
from dietcheck.collection.feeding import Line
from dietcheck.nutrition.diet import DayKey, Diet
from dietcheck.nutrition.fruit import fruit_share
from dietcheck.nutrition.offers import Occasion
from dietcheck.nutrition.plan import PlannedDay
from dietcheck.nutrition.portions import Portion
from dietcheck.nutrition.rations import Ration

Giving = tuple[Occasion, Portion]


def is_treat(line: Line) -> bool:
    """Whether a line is a treat of any purpose."""
    return line.treat is not None or line.medicine is not None


def purpose(line: Line) -> str:
    """What a treat is for."""
    return line.treat or "medicine vehicle"


class Treats(Struct, frozen=True, eq=False):
    """The treats of one animal over some days, each giving of them, and the rest of its ration."""

    given: Ration
    rest: Ration
    givings: tuple[Giving, ...]

    @property
    def fruit(self) -> tuple[Giving, ...]:
        """The givings that hold cultivated fruit."""
        return tuple(one for one in self.givings if fruit_share(one[1].food).high)


class TreatLedger:
    """Parts the days of one animal into treats and the rest, each day only once."""

    def __init__(self, diet: Diet, animal: Animal, purposes: frozenset[str] | None = None) -> None:
        self._diet = diet
        self._animal = animal
        self._purposes = purposes
        self._days: dict[DayKey, tuple[tuple[Portion, ...], Ration, Ration]] = {}

    def over(self, days: Iterable[PlannedDay]) -> Treats:
        """The treats of some days together."""
        parted = [(day, *self._day(day)) for day in days]
        profiles = self._diet.profiles
        return Treats(
            given=Ration.joined((given for _, _, given, _ in parted), profiles),
            rest=Ration.joined((rest for *_, rest in parted), profiles),
            givings=tuple(one for day, portions, *_ in parted if portions for one in self._of(day)),
        )

    def bag(self, days: Iterable[PlannedDay]) -> Hashable:
        """The same for runs of days that are fed the same, in whatever order."""
        return tuple(sorted(self._key(day) for day in days))

    def has_any(self, days: Iterable[PlannedDay]) -> bool:
        """Whether any treat is given on some days."""
        return any(self._day(day)[0] for day in days)

    def _counts(self, line: Line) -> bool:
        return is_treat(line) and (self._purposes is None or purpose(line) in self._purposes)

    def _of(self, day: PlannedDay) -> Iterable[Giving]:
        for feed, portions in self._diet.feeds(self._animal, day):
            occasion = Occasion(day.on, day.number, feed.slot, feed.meal)
            for portion in portions:
                if self._counts(portion.line):
                    yield occasion, portion

    def _key(self, day: PlannedDay) -> DayKey:
        return day.key, tuple(animal.id for animal in self._diet.present(day.on))

    def _day(self, day: PlannedDay) -> tuple[tuple[Portion, ...], Ration, Ration]:
        key = self._key(day)
        if key not in self._days:
            given: list[Portion] = []
            rest: list[Portion] = []
            for _, portions in self._diet.feeds(self._animal, day):
                for portion in portions:
                    (given if self._counts(portion.line) else rest).append(portion)
            profiles = self._diet.profiles
            self._days[key] = (
                tuple(given),
                Ration.of_portions(given, 1, profiles),
                Ration.of_portions(rest, 1, profiles),
            )
        return self._days[key]
