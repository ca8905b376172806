"""Diet sheets, rotas and treats as linked objects: which food, how much, in which meal, when."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from msgspec import Struct

from dietcheck.collection.foods import Food
from dietcheck.collection.places import Pointer
from dietcheck.quantities import Amount, Interval


class Medicine(Struct, frozen=True):
    """A medicine that a line of food carries, as it was ordered."""

    drug: str
    by: str
    start: date
    until: date
    dose: str | None = None


class Line(Struct, frozen=True, eq=False):
    """One line of a meal, a supplement list or a treat record. Compared by identity."""

    food: Food
    amount: Amount
    place: Pointer
    cut: str | None = None
    presentation: str | None = None
    treat: str | None = None  # its purpose, where the line is flagged as a treat
    for_animals: tuple[str, ...] = ()  # empty: every animal of the group
    note: str | None = None
    medicine: Medicine | None = None
    instead_of: str | None = None  # the food that it takes the place of for a while

    @property
    def is_even(self) -> bool:
        """Whether every animal of the group gets the same of it."""
        return not self.for_animals and self.amount.per != "kg body mass"


class Meal(Struct, frozen=True, eq=False):
    """A named meal of a diet sheet, with the supplements that go into it."""

    name: str
    lines: tuple[Line, ...]
    place: Pointer


class Leftover(Struct, frozen=True, eq=False):
    """Foods of a sheet that go to another group, as trimmings or because they were left.

    `share` is how much of them goes there (0 to 1), None where nobody wrote it.
    """

    to: str
    foods: tuple[Food, ...]
    share: Interval | None
    place: Pointer


class DietSheet(Struct, frozen=True, eq=False):
    """The written diet of a group, in force from `start` until a later sheet or `until`."""

    group: str
    start: date
    until: date | None
    meals: Mapping[str, Meal]
    reason: str
    written_by: str | None
    place: Pointer
    record: Mapping[str, Any]  # as written
    season: str | None = None  # the season it is for
    stages: tuple[str, ...] = ()  # the stages of life it is written for; empty: nothing is said
    leftovers: tuple[Leftover, ...] = ()

    def record_at(self, path: tuple[str | int, ...]) -> Any:
        """What is written at a place of the sheet, such as that of a line."""
        found: Any = self.record
        for step in path[len(self.place.path) :]:
            found = found[step]
        return found


class RotaDay(Struct, frozen=True, eq=False):
    """One day of a rota: slot → meal names; an empty tuple is a feed left out on purpose."""

    feeds: Mapping[str, tuple[str, ...]]
    fast: bool
    place: Pointer


class MealSwap(Struct, frozen=True, eq=False):
    """A meal that takes the place of another for a while; `until` is None where nobody wrote it."""

    meal: str
    instead_of: str
    until: date | None
    place: Pointer


class Rota(Struct, frozen=True, eq=False):
    """Which meal in which slot; after the last day comes the first again."""

    group: str
    start: date
    until: date | None
    days: tuple[RotaDay, ...]
    written_by: str | None
    place: Pointer
    record: Mapping[str, Any]  # as written
    swaps: tuple[MealSwap, ...] = ()

    def number(self, on: date) -> int:
        """The rota day, counted from 1, that falls on a date."""
        return (on - self.start).days % len(self.days) + 1


class TreatGift(Struct, frozen=True, eq=False):
    """Treats given, or planned, outside the rota on one date."""

    on: date
    group: str
    slot: str | None
    purpose: str
    lines: tuple[Line, ...]
    place: Pointer
