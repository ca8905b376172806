"""What changed for a group: its plan, its animals and the foods that it is given."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import Any

from dietcheck.collection.animals import Animal, Group
from dietcheck.collection.collection import Collection
from dietcheck.collection.foods import Food
from dietcheck.history.digest import NOT_MEANING
from dietcheck.quantities import format_interval, format_mass
from dietcheck.quantities.show import plain
from dietcheck.reporting import words
from dietcheck.reporting.change_plan import of_plan, standing
from dietcheck.reporting.change_words import Change, folded


def changes_of(before: Collection, after: Collection, group: str, on: date) -> tuple[Change, ...]:
    """Every change to the diet of a group that both versions hold, as at a day.

    Compared by meaning: what stands in another order or file is the same. Nothing is judged.
    """
    found = [
        *_of_group(before.groups[group], after.groups[group]),
        *_of_animals(before.groups[group], after.groups[group], on),
        *of_plan(before, after, group, on),
        *_of_foods(_foods(before, group, on), _foods(after, group, on)),
    ]
    return tuple(folded(found))


def _of_group(old: Group, new: Group) -> Iterator[Change]:
    for what, was, now in (
        ("species", old.taxon.scientific_name, new.taxon.scientific_name),
        ("fed", old.fed, new.fed),
        ("feeding stations", _count(old.stations), _count(new.stations)),
        ("enclosure", old.enclosure, new.enclosure),
        ("also reached by", _names(old.also_reached_by), _names(new.also_reached_by)),
    ):
        if was != now:
            yield Change("group", what, was, now, feeds=what == "species")


def _count(number: int | None) -> str:
    return "not given" if number is None else str(number)


def _names(names: Iterable[str]) -> str:
    return ", ".join(names) or "nobody"


def _of_animals(old: Group, new: Group, on: date) -> Iterator[Change]:
    was, now = ({animal.id: animal for animal in group.animals} for group in (old, new))
    for name in [*was, *(name for name in now if name not in was)]:
        if name not in now:
            yield Change("animal", was[name].called, "", None)
        elif name not in was:
            yield Change("animal", now[name].called, None, "")
        else:
            yield from _of_animal(was[name], now[name], on)


def _of_animal(old: Animal, new: Animal, on: date) -> Iterator[Change]:
    for what, was, now, feeds in (
        ("weight", _weight(old, on), _weight(new, on), False),
        ("number", format_interval(old.count, ""), format_interval(new.count, ""), True),
        ("stage", old.stage or "not given", new.stage or "not given", False),
        ("rank", old.rank or "not given", new.rank or "not given", False),
        ("here", _stay(old), _stay(new), True),
        ("never to be given", _names(old.never), _names(new.never), False),
    ):
        if was != now:
            yield Change("animal", f"{new.called}, {what}", was, now, feeds=feeds)


def _weight(animal: Animal, on: date) -> str:
    weighing = animal.weighed(on)
    if weighing is None:
        return "never weighed"
    return f"{format_mass(weighing.mass)} on {words.day(weighing.on)}"


def _stay(animal: Animal) -> str:
    parts = [
        f"{word} {words.day(day)}"
        for word, day in (("from", animal.here_from), ("until", animal.here_until))
        if day is not None
    ]
    return " ".join(parts) or "always"


def _foods(collection: Collection, group: str, on: date) -> dict[str, Food]:
    """Every food that a group is given, or that is in what it is given, by id."""
    lines = [
        line
        for sheet in standing(collection.sheets.get(group, ()), on)
        for meal in sheet.meals.values()
        for line in meal.lines
    ]
    lines += [line for gift in collection.treats.get(group, ()) for line in gift.lines]
    return {part.id: part for line in lines for part, _ in line.food.all_parts()}


def _of_foods(old: Mapping[str, Food], new: Mapping[str, Food]) -> Iterator[Change]:
    """What the food list says otherwise of a food that is given before and after."""
    for name in sorted(old.keys() & new.keys()):
        was, now = dict(flat(old[name].record)), dict(flat(new[name].record))
        for key in [*was, *(key for key in now if key not in was)]:
            if was.get(key) != now.get(key):
                subject = f"food {name}, {key}"
                yield Change("food", subject, was.get(key, "not given"), now.get(key, "not given"))


def flat(value: Any, way: tuple[str, ...] = ()) -> Iterator[tuple[str, str]]:
    """An entry of the food list as `label crude fibre` → text, without words about it."""
    if isinstance(value, Mapping):
        for key, inner in value.items():
            if key not in NOT_MEANING and not key.startswith("x-"):
                yield from flat(inner, (*way, key.replace("_", " ")))
    elif isinstance(value, list | tuple):
        yield (
            " ".join(way),
            ", ".join(plain(v) if hasattr(v, "is_finite") else str(v) for v in value),
        )
    else:
        yield " ".join(way), plain(value) if hasattr(value, "is_finite") else str(value)
