"""How much each animal is offered: the mean of the rota and the fullest day, as ranges of grams."""

from collections.abc import Iterable, Iterator
from decimal import Decimal
from functools import lru_cache

from msgspec import Struct

from dietcheck.contract import (
    ZERO,
    Animal,
    Diet,
    Food,
    Interval,
    Limit,
    PlannedDay,
    Ration,
    When,
)

GRAMS = {"g": Decimal(1), "kg": Decimal(1000), "mg": Decimal("0.001")}


class Intake(Struct, frozen=True, eq=False):
    """Grams a day, with the day or the run of days they were reckoned over."""

    grams: Interval
    days: tuple[PlannedDay, ...]
    ration: Ration

    @property
    def first(self) -> PlannedDay:
        """The first of its days."""
        return self.days[0]

    def occasions(self) -> tuple[When, ...]:
        """The days, as a check names them."""
        return tuple(When(day.on, day.number) for day in self.days)


class Intakes:
    """The intakes of a group's animals; animals that no line tells apart are reckoned once."""

    def __init__(self, diet: Diet) -> None:
        self._diet = diet
        self._alike = not any(
            offer.line.for_animals or offer.line.amount.per == "kg body mass"
            for offer in diet.offers()
        )
        self._known: dict[tuple[object, ...], tuple[Intake, ...]] = {}

    def means(self, animal: Animal, nutrient: str | None) -> tuple[Intake, ...]:
        """The daily mean of each rota-long run of days on which the animal is fed as planned.

        Days with a hole are left out: nobody knows what is fed on them, and rota-complete has
        already said so.
        """
        key = ("mean", nutrient, *self._who(animal))
        if key not in self._known:
            self._known[key] = tuple(self._means(animal, nutrient))
        return self._known[key]

    def fullest(self, animal: Animal, nutrient: str | None) -> tuple[Intake, ...]:
        """The day with the most; none when the animal is never here."""
        key = ("day", nutrient, *self._who(animal))
        if key not in self._known:
            self._known[key] = tuple(self._fullest(animal, nutrient))
        return self._known[key]

    def _who(self, animal: Animal) -> tuple[object, ...]:
        return (animal.here_from, animal.here_until) if self._alike else (animal.id,)

    def _means(self, animal: Animal, nutrient: str | None) -> Iterator[Intake]:
        for window in self._diet.rotas(animal):
            days = tuple(day for day in window.days if animal.is_here(day.on) and not day.holes)
            whole = len(days) == len(window.days)
            # Of an animal that leaves the full run before tells more than a part of one.
            if days and (whole or animal.is_here(window.days[-1].on)):
                rations = (self._diet.day_ration(animal, day) for day in days)
                ration = window.ration if whole else Ration.joined(rations, self._diet.profiles)
                yield Intake(amount(ration, nutrient) / len(days), days, ration)

    def _fullest(self, animal: Animal, nutrient: str | None) -> Iterator[Intake]:
        found: dict[tuple[int, ...], Intake] = {}
        for day in self._diet.days:
            if day.key not in found and animal.is_here(day.on):
                ration = self._diet.day_ration(animal, day)
                found[day.key] = Intake(amount(ration, nutrient), (day,), ration)
        if found:
            yield max(found.values(), key=lambda one: (one.grams.high, one.grams.low))


def amount(ration: Ration, nutrient: str | None) -> Interval:
    """Grams of a nutrient in a ration, or of all of it as fed."""
    return ration.grams() if nutrient is None else ration.total(nutrient)


@lru_cache(4096)
def metabolic(mass: Interval) -> Interval:
    """Metabolic body mass, kg^0.75, of a mass in grams."""
    return (mass / 1000).power34()


def in_unit(grams: Interval, mass: Interval, limit: Limit) -> Interval | None:
    """Grams a day in the limit's own unit, for a body mass in grams; None if it cannot be."""
    of, _, per = limit.unit.partition("/")
    if limit.unit == "%" and limit.basis == "body mass":
        return grams / mass * 100
    if of not in GRAMS:
        return None
    own = grams / GRAMS[of]
    if limit.basis == "body mass" and per == "kg":
        return own / (mass / 1000)
    if limit.basis == "metabolic body mass":
        return own / metabolic(mass)
    return own if limit.basis == "animal" else None


def biggest(intake: Intake, nutrient: str | None) -> tuple[Food, Interval]:
    """The food that makes the most of an intake that is not empty, with its grams of it a day."""
    food, grams = max(_parts(intake, nutrient), key=lambda part: (part[1].high, part[1].low))
    return food, grams / len(intake.days)


def without(intake: Intake, food: Food, nutrient: str | None) -> Interval:
    """What the other foods bring a day, in grams."""
    others = (grams for other, grams in _parts(intake, nutrient) if other is not food)
    return sum(others, ZERO) / len(intake.days)


def _parts(intake: Intake, nutrient: str | None) -> Iterable[tuple[Food, Interval]]:
    ration = intake.ration
    return ration.grams_of.items() if nutrient is None else ration.contributions(nutrient)
