"""A digest of what is approved when a group's diet is signed: the same meaning, the same digest.

It covers the sheets and rotas of the group that are in force or to come, every food that they offer
with all that it is made of, and what other groups leave to it. Comments, the order of keys, of
files and of records, and where a value stands play no part. Weighings and treats already given are
no part of it: they change daily and are judged on their own.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import Any, Protocol, TypeVar

from dietcheck.collection.collection import Collection, in_force
from dietcheck.collection.feeding import DietSheet, Rota, RotaDay
from dietcheck.collection.foods import Food

Dated = TypeVar("Dated", DietSheet, Rota)


class Which(Protocol):
    """Which of the dated records of a group count on a day."""

    def __call__(self, dated: tuple[Dated, ...], on: date, /) -> list[Dated]:
        """Those that count."""


# Words about a record, not part of the diet.
NOT_MEANING = frozenset({"notes", "note", "reason", "written_by"})


def content_digest(collection: Collection, group: str, on: date) -> str:
    """The digest of a group's diet as at a day: `sha256:` and 64 hexadecimal digits."""
    content = signed_content(collection, group, on)
    text = json.dumps(content, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    return f"sha256:{hashlib.sha256(text.encode()).hexdigest()}"


def signed_content(collection: Collection, group: str, on: date) -> dict[str, Any]:
    """What the digest of a group's diet is taken of, as plain data."""
    return _content(collection, group, on, _standing)


def fed_content(collection: Collection, group: str, on: date) -> dict[str, Any]:
    """What of that is fed on one day: the sheet and the rota in force, nothing that is to come."""
    return _content(collection, group, on, _in_force)


def _content(collection: Collection, group: str, on: date, which: Which) -> dict[str, Any]:
    sheets = which(collection.sheets.get(group, ()), on)
    rotas = which(collection.rotas.get(group, ()), on)
    foods = {part.id: part.record for food in _foods(sheets) for part, _ in food.all_parts()}
    content: dict[str, Any] = {
        "species": collection.groups[group].taxon.scientific_name,
        "sheets": [sheet.record for sheet in sheets],
        "rotas": [rota.record for rota in rotas],
        "foods": foods,
    }
    received: list[dict[str, Any]] = []
    for one in _received(collection, group, on, which):
        if one not in received:  # a later sheet that leaves the same changes nothing
            received.append(one)
    if received:
        content["received"] = received
    return {key: _plain(value) for key, value in content.items()}


def food_content(
    collection: Collection, group: str, food: str, on: date, which: Which | None = None
) -> Any:
    """All that the plan of a group says of one food, mixes with it included, as plain data.

    The lines of the sheets with their meals, how often the rotas serve those meals, and the food,
    each once: a new sheet that has the same of the food changes nothing.
    """
    found = []
    meals = set()
    which = which or _standing
    sheets = which(collection.sheets.get(group, ()), on)
    rotas = which(collection.rotas.get(group, ()), on)
    for sheet in sheets:
        for meal in sheet.meals.values():
            for line in meal.lines:
                if any(part.id == food for part, _ in line.food.all_parts()):
                    meals.add(meal.name)
                    written = sheet.record_at(line.place.path)
                    found.append([meal.name, _plain(written)])
    served = [
        [meal, len(rota.days), sum(_times(feeds, meal) for feeds in rota.days)]
        for rota in rotas
        for meal in sorted(meals)
    ]
    whole = [one for one in _foods(sheets) if any(part.id == food for part, _ in one.all_parts())]
    parts = {part.id: _plain(part.record) for one in whole for part, _ in one.all_parts()}
    return {"lines": _each(found), "served": _each(served), "foods": parts}


def _received(
    collection: Collection, group: str, on: date, which: Which
) -> Iterator[dict[str, Any]]:
    """What other groups' sheets leave to a group, and what the givers are fed of it."""
    for giver in collection.givers.get(group, ()):
        for sheet in which(collection.sheets.get(giver, ()), on):
            for left in sheet.leftovers:
                if left.to == group:
                    for food in left.foods:
                        yield {
                            "food": f"{food.id} left over by {giver}",
                            "share": sheet.record_at(left.place.path).get("share"),
                            "of": food_content(collection, giver, food.id, on, which),
                        }


def _each(things: list[Any]) -> list[str]:
    return sorted({json.dumps(thing, sort_keys=True) for thing in things})


def _times(day: RotaDay, meal: str) -> int:
    return sum(meals.count(meal) for meals in day.feeds.values())


def _standing(dated: tuple[Dated, ...], on: date) -> list[Dated]:
    """Those in force on the day or later: the last one that has started, and all to come."""
    present = in_force(dated, on)
    return [d for d in dated if d is present or d.start > on]


def _in_force(dated: tuple[Dated, ...], on: date) -> list[Dated]:
    present = in_force(dated, on)
    return [] if present is None else [present]


def _foods(sheets: list[DietSheet]) -> Iterator[Food]:
    return (line.food for sheet in sheets for meal in sheet.meals.values() for line in meal.lines)


def _plain(value: Any) -> Any:
    """The value as JSON has it, without words about it; figures as exact text."""
    if isinstance(value, Mapping):
        return {
            key: _plain(inner)
            for key, inner in value.items()
            if key not in NOT_MEANING and not key.startswith("x-")
        }
    if isinstance(value, list | tuple):
        return [_plain(inner) for inner in value]
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    if isinstance(value, int) and not isinstance(value, bool):
        return str(value)
    return value
