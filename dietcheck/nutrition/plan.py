"""What a group is planned to be fed on each day: the rota, the sheet in force, the treats."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Literal

from msgspec import Struct

from dietcheck.collection.collection import Collection
from dietcheck.collection.feeding import DietSheet, Line, Rota, TreatGift
from dietcheck.collection.places import Pointer

HoleKind = Literal["no rota", "no sheet", "empty feed", "unknown feed", "unknown meal"]


class Feed(Struct, frozen=True, eq=False):
    """One giving of food: in a slot of the day, from a meal of the sheet or as a dated treat."""

    slot: str
    meal: str
    lines: tuple[Line, ...]
    is_even: bool  # whether every animal of the group gets the same of it


class Hole(Struct, frozen=True):
    """A place where the plan for a day does not say what is fed."""

    kind: HoleKind
    place: Pointer
    slot: str | None = None
    meal: str | None = None


class PlannedDay(Struct, frozen=True, eq=False):
    """A date with its feeds. Days with the same `key` are fed the same.

    `received` is what other groups may leave that day; it comes on top, in no feed of the rota.
    """

    on: date
    number: int
    feeds: tuple[Feed, ...]
    fast: bool
    rota: Rota | None
    sheet: DietSheet | None
    holes: tuple[Hole, ...]
    key: tuple[int, ...]
    received: tuple[Line, ...] = ()


def nothing(_: date) -> tuple[Line, ...]:
    """What others leave to a group that gets no leftovers."""
    return ()


class Planner:
    """Lays out the days of one group, sharing what repeats."""

    def __init__(
        self,
        collection: Collection,
        group: str,
        received: Callable[[date], tuple[Line, ...]] = nothing,
    ) -> None:
        """`received` tells what other groups may leave to this one on a day."""
        self._collection = collection
        self._received = received
        self._group = group
        self._regular: dict[tuple[int, int, int], tuple[tuple[Feed, ...], tuple[Hole, ...]]] = {}
        self._feeds: dict[tuple[int, str, str], Feed] = {}
        self._treats: dict[TreatGift, Feed] = {}
        self._gifts: dict[date, list[TreatGift]] = {}
        for gift in collection.treats.get(group, ()):
            self._gifts.setdefault(gift.on, []).append(gift)

    def day(self, on: date) -> PlannedDay:
        """The plan for one date."""
        rota = self._collection.rota_on(self._group, on)
        sheet = self._collection.sheet_on(self._group, on)
        gifts = self._gifts.get(on, ())
        number = rota.number(on) if rota else 0
        key = (id(rota), id(sheet), number)
        if key not in self._regular:
            self._regular[key] = self._plan(rota, sheet, number)
        feeds, holes = self._regular[key]
        received = self._received(on)
        return PlannedDay(
            on=on,
            number=number,
            feeds=feeds + tuple(self._treat(gift) for gift in gifts),
            fast=rota is not None and rota.days[number - 1].fast,
            rota=rota,
            sheet=sheet,
            holes=holes,
            key=(*map(id, feeds), *map(id, gifts), *map(id, received)),
            received=received,
        )

    def _treat(self, gift: TreatGift) -> Feed:
        if gift not in self._treats:
            self._treats[gift] = _treat(gift)
        return self._treats[gift]

    def _feed(self, sheet: DietSheet, slot: str, meal: str) -> Feed:
        key = (id(sheet), slot, meal)
        if key not in self._feeds:
            lines = sheet.meals[meal].lines
            self._feeds[key] = Feed(slot, meal, lines, all(line.is_even for line in lines))
        return self._feeds[key]

    def _plan(
        self, rota: Rota | None, sheet: DietSheet | None, number: int
    ) -> tuple[tuple[Feed, ...], tuple[Hole, ...]]:
        if rota is None:
            return (), (Hole("no rota", self._collection.groups[self._group].place),)
        day = rota.days[number - 1]
        feeds: list[Feed] = []
        holes: list[Hole] = []
        settings = self._collection.settings
        for slot, meals in day.feeds.items():
            if slot not in settings.feeds and slot not in settings.extra_feeds:
                holes.append(Hole("unknown feed", day.place.at(slot), slot))
            for meal in meals:
                if sheet is None:
                    holes.append(Hole("no sheet", day.place.at(slot), slot, meal))
                elif meal not in sheet.meals:
                    holes.append(Hole("unknown meal", day.place.at(slot), slot, meal))
                else:
                    feeds.append(self._feed(sheet, slot, meal))
        if not day.fast:
            holes.extend(
                Hole("empty feed", day.place, slot)
                for slot in settings.feeds
                if slot not in day.feeds
            )
        return tuple(feeds), tuple(holes)


def _treat(gift: TreatGift) -> Feed:
    return Feed(
        slot=gift.slot or "between feeds",
        meal=f"treat ({gift.purpose})",
        lines=gift.lines,
        is_even=all(line.is_even for line in gift.lines),
    )
