"""What each animal of a group was offered and is offered now, and by how much that differs.

Both versions are laid out by date, from the first day on which they are fed differently, so that
a sheet that starts next month shows its effect and not a mean with this month's.
"""

from __future__ import annotations

import re
from collections.abc import Hashable, Iterable, Iterator
from datetime import date, timedelta

from msgspec import Struct

from dietcheck.collection.animals import Animal
from dietcheck.collection.foods import Food
from dietcheck.nutrition.calendar import HORIZON_DAYS, plan_changes, treat_changes
from dietcheck.nutrition.diet import Diet
from dietcheck.nutrition.gauges import AS_FED, CALCIUM_TO_PHOSPHORUS, ENERGY, Gauge, gauges
from dietcheck.nutrition.plan import PlannedDay, Planner
from dietcheck.nutrition.rations import Ration
from dietcheck.quantities import ZERO, Interval, exact, format_interval, total
from dietcheck.reporting.change_found import flat

KEYS = (
    AS_FED, "dry_matter", ENERGY, "sugars", "protein", "fat", "fibre", "calcium", "phosphorus",
    CALCIUM_TO_PHOSPHORUS, "vitamin_c", "iron",
)  # fmt: skip
"""What is compared."""


class Figure(Struct, frozen=True):
    """A daily mean before and after; None on a side on which nothing is planned for the animal.

    `open_before` and `open_after` say that the upper end is no more than the dry matter. The
    `difference` is None where it would say nothing, because a changed food does not state it.
    """

    key: str
    title: str
    unit: str
    before: Interval | None
    after: Interval | None
    open_before: bool
    open_after: bool
    difference: Interval | None

    @property
    def is_ratio(self) -> bool:
        """Whether an open end leaves nothing known of it at all."""
        return self.key == CALCIUM_TO_PHOSPHORUS

    @property
    def is_same(self) -> bool:
        """Whether nothing that was changed bears on it."""
        return self.difference == ZERO and self.before is not None and self.after is not None


class Fed(Struct, frozen=True):
    """Animals for which the same changes: the figures over `days` days from `first`.

    `holes` are the feeds, before and after, for which nobody wrote what is fed.
    """

    animals: tuple[Animal, ...]
    first: date
    days: int
    figures: tuple[Figure, ...]
    holes: tuple[int, int]

    @property
    def is_same(self) -> bool:
        """Whether the change does not bear on what these animals get."""
        return all(figure.is_same for figure in self.figures)


class Side:
    """One version of a group's diet, laid out over any dates."""

    def __init__(self, diet: Diet) -> None:
        self.diet = diet
        self.animals = {animal.id: animal for animal in diet.animals}
        self.gauges = gauges(KEYS, diet.group.taxon)
        self._planner = Planner(diet.collection, diet.group.id)
        self._days: dict[date, PlannedDay] = {}

    def day(self, on: date) -> PlannedDay:
        """The plan for a date."""
        if on not in self._days:
            self._days[on] = self._planner.day(on)
        return self._days[on]

    def day_ration(self, name: str, on: date) -> Ration | None:
        """What an animal is offered on a date; None if it is not here."""
        animal = self.animals.get(name)
        if animal is None or not animal.is_here(on):
            return None
        return self.diet.day_ration(animal, self.day(on))

    def ration(self, name: str, dates: Iterable[date]) -> Ration | None:
        """What an animal is offered over some dates; None if nothing is planned for it."""
        found = [self.day_ration(name, on) for on in dates if self.day(on).rota]
        here = [ration for ration in found if ration is not None]
        return Ration.joined(here, self.diet.profiles) if here else None

    def holes(self, dates: Iterable[date]) -> int:
        """Feeds of some dates for which nobody wrote what is fed."""
        return sum(len(self.day(on).holes) for on in dates)

    def changes(self) -> Iterator[date]:
        """The dates from which the plan differs from the day before."""
        collection, group = self.diet.collection, self.diet.group.id
        yield from plan_changes(collection, group)
        yield from treat_changes(collection, group)

    def longest(self) -> int:
        """Days of the longest rota."""
        rotas = self.diet.collection.rotas.get(self.diet.group.id, ())
        return max((len(rota.days) for rota in rotas), default=1)


def compare(before: Diet | None, after: Diet | None) -> tuple[Fed, ...]:
    """The figures of every animal, those for which the same changes together."""
    sides = [None if diet is None else Side(diet) for diet in (before, after)]
    present = after or before
    assert present is not None
    names = list(dict.fromkeys(name for side in sides if side for name in side.animals))
    alike = _Alike(*sides)
    first = _first_difference(alike, names, present.on)
    days = present.settings.rota_days
    dates = [first + timedelta(days=n) for n in range(days)]
    found: dict[Hashable, tuple[list[Animal], tuple[Figure, ...]]] = {}
    for name in names:
        was, now = (side.ration(name, dates) if side else None for side in sides)
        animal = next(
            side.animals[name] for side in (*sides[::-1],) if side and name in side.animals
        )
        key = _amounts(was), _amounts(now)
        if key not in found:
            found[key] = [], tuple(alike.figures(was, now))
        found[key][0].append(animal)
    holes = tuple(side.holes(dates) if side else 0 for side in sides)
    return tuple(
        Fed(tuple(animals), first, days, figures, (holes[0], holes[1]))
        for animals, figures in found.values()
    )


def _first_difference(alike: _Alike, names: Iterable[str], on: date) -> date:
    """The first day, from the one judged, on which an animal is fed differently; else that day."""
    sides = [side for side in (alike.before, alike.after) if side]
    latest = on + timedelta(days=HORIZON_DAYS)
    to_come = [day for side in sides for day in side.changes() if on < day <= latest]
    last = max([on, *to_come]) + timedelta(days=max(side.longest() for side in sides))
    every = list(names)
    for step in range((last - on).days):
        day = on + timedelta(days=step)
        if any(not alike.is_same_day(name, day) for name in every):
            return day
    return on


class _Alike:
    """Two versions side by side; either may be missing."""

    def __init__(self, before: Side | None, after: Side | None) -> None:
        self.before = before
        self.after = after
        self._same: dict[tuple[Food, Food], bool] = {}

    def is_same_day(self, name: str, on: date) -> bool:
        """Whether an animal is offered the same on a date."""
        was, now = (
            side.day_ration(name, on) if side else None for side in (self.before, self.after)
        )
        if was is None or now is None:
            return was is now
        if _amounts(was) != _amounts(now):
            return False
        of_now = {food.id: food for food in now.grams_of}
        return all(self.is_same_food(food, of_now[food.id]) for food in was.grams_of)

    def is_same_food(self, was: Food, now: Food) -> bool:
        """Whether the food list says the same of a food, its ingredients included."""
        if (was, now) not in self._same:
            self._same[was, now] = _meaning(was) == _meaning(now)
        return self._same[was, now]

    def figures(self, was: Ration | None, now: Ration | None) -> Iterator[Figure]:
        """Every quantity of two rations of one animal."""
        sides = [side.gauges if side else () for side in (self.before, self.after)]
        for old, new in zip(sides[0] or sides[1], sides[1] or sides[0], strict=True):
            yield Figure(
                key=new.key,
                title=new.title,
                unit=new.unit,
                before=None if was is None else old.a_day(was),
                after=None if now is None else new.a_day(now),
                open_before=was is not None and _is_open(old, was),
                open_after=now is not None and _is_open(new, now),
                difference=None if was is None or now is None else self._apart(old, new, was, now),
            )

    def _apart(self, old: Gauge, new: Gauge, was: Ration, now: Ration) -> Interval | None:
        """By how much the daily mean differs. What is given before and after in the same amount
        adds nothing to it; of a food that is given more or less of, the content is the same."""
        olds = {food.id: food for food in was.grams_of}
        news = {food.id: food for food in now.grams_of}
        parts: list[Interval] = []
        stated = True
        for name in dict.fromkeys((*olds, *news)):
            first, last = olds.get(name), news.get(name)
            less = ZERO if first is None else was.per_day(was.grams_of[first])
            more = ZERO if last is None else now.per_day(now.grams_of[last])
            same = first is not None and last is not None and self.is_same_food(first, last)
            if same and less == more and old.note == new.note:
                continue
            if first is not None:
                stated = stated and old.states(was.profiles[first])
            if last is not None:
                stated = stated and new.states(now.profiles[last])
            if same and last is not None and old.note == new.note:
                parts.append((more - less) * _content(new, last, now))
                continue
            if first is not None:
                parts.append(-(less * _content(old, first, was)))
            if last is not None:
                parts.append(more * _content(new, last, now))
        if not parts:
            return ZERO
        if new.additive:
            return total(parts) if stated or new.is_bounded else None
        apart = new.a_day(now) - old.a_day(was)
        is_open = _is_open(old, was) or _is_open(new, now)
        return None if is_open or not apart.is_bounded else apart


def _content(gauge: Gauge, food: Food, ration: Ration) -> Interval:
    """The quantity in a gram of a food; of a ratio nothing that could be added up."""
    if not gauge.additive:
        return ZERO
    return gauge.total(Ration({food: exact(100)}, 1, ration.profiles)) / 100


def _is_open(gauge: Gauge, ration: Ration) -> bool:
    value = gauge.a_day(ration)
    return value.high >= 2 * value.low and not gauge.is_bounded and not gauge.is_stated(ration)


def _amounts(ration: Ration | None) -> Hashable:
    if ration is None:
        return None
    return frozenset((food.id, ration.per_day(grams)) for food, grams in ration.grams_of.items())


def _meaning(food: Food) -> Hashable:
    """What the food list says of a food and of all that it is mixed of."""
    return tuple(
        (part.id, share, tuple(sorted(flat(part.record)))) for part, share in food.all_parts()
    )


def signed(value: Interval | None) -> str:
    """A difference in words: `+12 to +15`, `-3 to +5`, `none`, `not known`."""
    if value is None or not (value.low.is_finite() or value.high.is_finite()):
        return "not known"
    if value == ZERO:
        return "none"
    if not value.high.is_finite() and value.low < 0:
        return f"at least {format_interval(Interval(value.low, value.low), '')}"
    text = format_interval(value, "")
    return re.sub(r"\+0(?![\d.])", "0", re.sub(r"(?<![\d.\-])(?=\d)", "+", text))
