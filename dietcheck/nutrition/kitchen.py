"""What the feed kitchen makes on a day: every portion that is weighed out, for whom, of what.

Nothing is dropped. A portion whose grams nobody can know stays in the list with the reason, and
so does a line for animals that are not here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date
from decimal import ROUND_CEILING, ROUND_HALF_EVEN, Context, Decimal
from typing import Literal

from msgspec import Struct

from dietcheck.collection.animals import Animal, Group, head_count
from dietcheck.collection.collection import Collection
from dietcheck.collection.feeding import Line
from dietcheck.collection.foods import Food
from dietcheck.nutrition.plan import Feed, PlannedDay, Planner
from dietcheck.nutrition.portions import Portioner, grams
from dietcheck.quantities import ZERO, Interval, exact

Kind = Literal["food", "supplement", "medicine", "special", "treat"]

SUPPLEMENTS = frozenset({"supplement", "mineral"})
"""Classes of food that are set apart wherever they stand on the sheet."""

_SAME = Context(prec=20, rounding=ROUND_HALF_EVEN)  # 1/3 × 3 is 1, as for verdicts
_WIDE = 200  # digits that no amount has
_PLACES = Decimal(1)


class Bowl(Struct, frozen=True, eq=False):
    """One portion as it is weighed out, and how many of it are made.

    `grams` is what the sheet prints, rounded; `reckoned` is the figure before that. `count` is
    the number of pieces (or ml, or IU) where the line is written so. `shared` is one bowl for all
    `animals` together, and then `times` is 1.
    """

    animals: tuple[Animal, ...]
    times: Interval
    shared: bool
    grams: Interval
    reckoned: Interval
    count: Interval | None = None
    gap: str | None = None

    @property
    def total(self) -> Interval:
        """Grams of all bowls like this together, as they are printed."""
        return self.grams * self.times


class Dish(Struct, frozen=True, eq=False):
    """One line of a feed with the bowls that are made of it; `absent` names who is not here."""

    group: Group
    feed: Feed
    line: Line
    kind: Kind
    bowls: tuple[Bowl, ...]
    absent: tuple[str, ...] = ()

    @property
    def food(self) -> Food:
        """What it is."""
        return self.line.food

    @property
    def total(self) -> Interval:
        """Grams of all bowls together: exactly the sum of what is printed."""
        return _sum(bowl.total for bowl in self.bowls)

    @property
    def reckoned(self) -> Interval:
        """The same from the figures before rounding."""
        return _sum(bowl.reckoned * bowl.times for bowl in self.bowls)

    @property
    def count(self) -> Interval | None:
        """Pieces (or ml, or IU) of all bowls together; None where the line is in grams."""
        counts = [bowl.count * bowl.times for bowl in self.bowls if bowl.count is not None]
        return _sum(counts) if counts else None

    @property
    def gaps(self) -> tuple[str, ...]:
        """Why grams cannot be known, each reason once."""
        return tuple(dict.fromkeys(bowl.gap for bowl in self.bowls if bowl.gap))


class Bar(Struct, frozen=True):
    """Food that must not go to somebody. `names` are words as written; `given` the foods of that
    name which the sheet gives that day to that very animal or group, or puts in its reach."""

    group: Group
    animal: Animal | None
    names: tuple[str, ...]
    why: str
    given: tuple[Food, ...]


class GroupDay(Struct, frozen=True, eq=False):
    """One group's part of a day."""

    group: Group
    plan: PlannedDay
    present: tuple[Animal, ...]
    dishes: tuple[Dish, ...]
    bars: tuple[Bar, ...]
    reached_by: tuple[Group, ...]


class Kitchen:
    """Lays out the portions of any day, by the last weighing on or before one date."""

    def __init__(self, collection: Collection, weighed_by: date) -> None:
        self._collection = collection
        self.weighed_by = weighed_by
        self._planners: dict[str, Planner] = {}
        self._portioner = Portioner(collection.settings, weighed_by)

    def day(self, group: Group, on: date) -> GroupDay:
        """What is made for a group on a day."""
        if group.id not in self._planners:
            self._planners[group.id] = Planner(self._collection, group.id)
        plan = self._planners[group.id].day(on)
        present = group.present(on)
        dishes = tuple(
            self._dish(group, feed, line, present) for feed in plan.feeds for line in feed.lines
        )
        others = self._collection.groups.values()
        reached_by = tuple(g for g in others if group in self._collection.reaching(g))
        return GroupDay(
            group=group,
            plan=plan,
            present=present,
            dishes=dishes,
            bars=(
                *self._bars(group, present, dishes, own=True),
                *(bar for g in reached_by for bar in self._bars(g, g.present(on), dishes)),
            ),
            reached_by=reached_by,
        )

    def bars(self, group: Group, on: date) -> tuple[Bar, ...]:
        """What must not go to a group or to animals of it, whatever is made that day."""
        return tuple(self._bars(group, group.present(on), ()))

    def _bars(
        self, group: Group, present: tuple[Animal, ...], dishes: tuple[Dish, ...], own: bool = False
    ) -> Iterator[Bar]:
        """The bars of a group, held against some dishes: its own, or those that it can reach."""
        for animal in present:
            if animal.never:
                apart = own and group.fed == "singly"  # else it gets at the others' bowls too
                given = _given(dishes, animal if apart else None, animal.never)
                yield Bar(group, animal, animal.never, "the animal's own list", given)
        for entry in self._collection.settings.do_not_feed:
            if any(name == group.id or group.taxon.is_in(name) for name in entry.taxa_or_groups):
                state = " ".join(filter(None, (entry.form, entry.part)))
                name = f"{entry.name} ({state})" if state else entry.name
                given = _given(dishes, None, (entry.name, *entry.also_called))
                yield Bar(group, None, (name,), entry.why, given)

    def _dish(self, group: Group, feed: Feed, line: Line, present: tuple[Animal, ...]) -> Dish:
        wanted = line.for_animals
        sharers = tuple(a for a in present if not wanted or a.id in wanted)
        here = {animal.id for animal in sharers}
        return Dish(
            group=group,
            feed=feed,
            line=line,
            kind=kind_of(line),
            bowls=tuple(self._bowls(line, sharers, present)) if sharers else (),
            absent=tuple(name for name in wanted if name not in here),
        )

    def _bowls(
        self, line: Line, sharers: tuple[Animal, ...], present: tuple[Animal, ...]
    ) -> Iterator[Bowl]:
        amount = line.amount
        counted = amount.dimension != "mass"
        quantity = amount.spread(self._collection.settings.ad_lib_spread.high)
        if amount.per == "group":
            whole, gap = grams(line, self._collection.settings)
            count = rounded(quantity) if counted else None
            yield Bowl(sharers, exact(1), True, rounded(whole), whole, count, gap)
            return
        alike = [sharers] if amount.per == "animal" else [(animal,) for animal in sharers]
        for animals in alike:
            portion = self._portioner.portion(line, animals[0], present)
            assert portion is not None  # all of them are sharers
            count = quantity if counted and amount.per == "animal" else None
            weighing = animals[0].weighed(self.weighed_by)
            if counted and amount.per == "kg body mass" and weighing is not None:
                count = quantity * weighing.mass / 1000
            yield Bowl(
                animals=animals,
                times=head_count(animals),
                shared=False,
                grams=rounded(portion.grams),
                reckoned=portion.grams,
                count=None if count is None else rounded(count),
                gap=portion.gap,
            )


def kind_of(line: Line) -> Kind:
    """Whether a line is set apart on the sheet, and as what."""
    carries = line.medicine is not None or line.treat == "medicine vehicle"
    if carries or line.food.food_class == "medicine":
        return "medicine"
    if line.place.path[:1] == ("supplements",) or line.food.food_class in SUPPLEMENTS:
        return "supplement"
    if line.treat:
        return "treat"
    return "special" if line.for_animals else "food"


def rounded(value: Interval) -> Interval:
    """A figure as it is weighed: three digits, or whole grams where that is finer."""
    ends = (value.low, value.high, value.best)
    low, high, best = (None if end is None else _round(end, ROUND_HALF_EVEN) for end in ends)
    assert low is not None
    assert high is not None
    return Interval(low, high, best)


def rounded_up(value: Interval) -> Interval:
    """The same, never less than it was: what is drawn must suffice."""
    ends = (value.low, value.high, value.best)
    low, high, best = (None if end is None else _round(end, ROUND_CEILING) for end in ends)
    assert low is not None
    assert high is not None
    return Interval(low, high, best)


def _round(value: Decimal, rounding: str) -> Decimal:
    if not value.is_finite() or not value:
        return value
    value = _SAME.plus(value)
    step = _PLACES.scaleb(min(0, value.adjusted() - 2))
    return value.quantize(step, rounding, Context(prec=_WIDE, rounding=rounding))


def _sum(values: Iterable[Interval]) -> Interval:
    total = ZERO
    for value in values:
        total = total + value
    return total


def _given(
    dishes: Iterable[Dish], animal: Animal | None, names: tuple[str, ...]
) -> tuple[Food, ...]:
    """The foods among some dishes that go to an animal (or anybody) and bear one of the names."""
    found: dict[Food, None] = {}
    for dish in dishes:
        if animal is None or any(animal in bowl.animals for bowl in dish.bowls):
            found |= {p: None for p, _ in dish.food.all_parts() if is_called(p, names)}
    return tuple(found)


def is_called(food: Food, names: Iterable[str]) -> bool:
    """Whether one of a food's names holds one of these names as whole words, plural or not."""
    own = [f" {_words(name)} " for name in food.names()]
    return any(wanted and f" {wanted} " in name for wanted in map(_words, names) for name in own)


def _words(text: str) -> str:
    """The words of a name in small letters, plural endings off: `Red grapes` is `red grape`."""
    found = re.findall(r"[^\W_]+", text.casefold())
    return " ".join(re.sub(r"(?<=[a-z]{3})(?:(?<=o)es|s)$", "", word) for word in found)
