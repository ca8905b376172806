"""Groups and their animals: who is there, how heavy, fed how, and who else can reach the food."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Literal

from msgspec import Struct, field

from dietcheck.collection.places import Pointer
from dietcheck.quantities import Interval, exact
from dietcheck.tables.taxa import Taxon

Feeding = Literal["singly", "together", "scattered"]
Rank = Literal["dominant", "subordinate"]


class Weighing(Struct, frozen=True):
    """One weighing; `mass` in grams, a range where the record gives one."""

    on: date
    mass: Interval
    place: Pointer


class Condition(Struct, frozen=True):
    """A body condition score with the scale it was scored on (1 to 5, or 1 to 9)."""

    on: date
    score: Decimal
    of: int


class CarePlan(Struct, frozen=True):
    """A plan that an animal is on, such as a weight reduction."""

    kind: str
    start: date
    until: date | None
    set_by: str | None
    why: str | None
    place: Pointer
    target: Interval | None = None  # grams
    pace: Interval | None = None  # share of the body mass in a week
    review: date | None = None

    def is_running(self, on: date) -> bool:
        """Whether the plan is in force on a day."""
        return self.start <= on and (self.until is None or on <= self.until)


class Animal(Struct, frozen=True):
    """One animal of a group, or one member of a colony whose members are not told apart.

    `weighings` stand oldest first. `count` is 1, except for a colony, where it is the head count
    (a range where it is an estimate).
    """

    id: str
    place: Pointer
    name: str | None = None
    sex: str | None = None
    born: str | None = None
    stage: str | None = None
    here_from: date | None = None
    here_until: date | None = None
    weighings: tuple[Weighing, ...] = ()
    condition: Condition | None = None
    health: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    plan: CarePlan | None = None
    rank: Rank | None = None  # among those it eats with, where it is plain to see
    diet_before: str | None = None  # what it ate where it came from
    count: Interval = field(default_factory=lambda: exact(1))

    def __hash__(self) -> int:
        return hash(self.id)  # not of every weighing: animals are looked up a great deal

    @property
    def called(self) -> str:
        """How a keeper knows the animal: its name with its id, or the id alone."""
        return f"{self.name} ({self.id})" if self.name else self.id

    def is_here(self, on: date) -> bool:
        """Whether the animal lives in the group on that day."""
        return not (
            (self.here_from is not None and on < self.here_from)
            or (self.here_until is not None and on > self.here_until)
        )

    def weighed(self, on: date) -> Weighing | None:
        """The latest weighing on or before that day, or None when there is none."""
        return next((w for w in reversed(self.weighings) if w.on <= on), None)


class Group(Struct, frozen=True):
    """Animals of one species that are fed together from one diet sheet."""

    id: str
    taxon: Taxon
    enclosure: str
    fed: Feeding
    place: Pointer
    animals: tuple[Animal, ...]
    name: str | None = None
    also_reached_by: tuple[str, ...] = ()
    stations: int | None = None
    is_colony: bool = False

    @property
    def called(self) -> str:
        """The name for messages: the group's own, else the species' English name, else the id."""
        return self.name or self.taxon.english_name or self.id

    def present(self, on: date) -> tuple[Animal, ...]:
        """The animals that live in the group on that day."""
        return tuple(animal for animal in self.animals if animal.is_here(on))

    def head_count(self, on: date) -> Interval:
        """How many animals share a group amount on that day."""
        return head_count(self.present(on))


def head_count(animals: tuple[Animal, ...]) -> Interval:
    """How many animals these are; a colony counts as its estimated number."""
    total = exact(0)
    for count in _counts(animals):
        total = total + count
    return total


def _counts(animals: tuple[Animal, ...]) -> Iterator[Interval]:
    return (animal.count for animal in animals)
