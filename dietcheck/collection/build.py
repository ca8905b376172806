"""Turns the checked contents of the files into a linked collection.

The contents have passed the schemas and every dated or measured text is readable, so nothing here
guesses: what does not link becomes a `Trouble` with the place of the name that leads nowhere.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from difflib import get_close_matches
from typing import Any, TypeVar

from msgspec.structs import replace

from dietcheck.collection.build_animals import build_group
from dietcheck.collection.build_foods import build_foods
from dietcheck.collection.build_settings import build_limit, build_settings, build_sign_off
from dietcheck.collection.collection import (
    Collection,
    Trouble,
    Unread,
    givers_of,
    homes_of,
    neighbours_of,
)
from dietcheck.collection.feeding import (
    DietSheet,
    Leftover,
    Line,
    Meal,
    MealSwap,
    Medicine,
    Rota,
    RotaDay,
    TreatGift,
)
from dietcheck.collection.foods import Food
from dietcheck.collection.links import loose_ends
from dietcheck.collection.places import Pointer
from dietcheck.quantities import read_amount, read_date, read_share

NO_FEED = "no feed"  # written in a rota where a feed is left out on purpose

Record = tuple[Pointer, Mapping[str, Any]]
Sorted = TypeVar("Sorted", DietSheet, Rota, TreatGift)


class UnknownSettings(Exception):
    """The collection record could not be used, so nothing else can be judged."""


def build(records: Iterable[Record], unread: Unread | None = None) -> Collection:
    """Link the records (place and checked contents of each file) into a collection.

    `unread` names what the records that could not be read are about. Raises UnknownSettings when
    no usable collection record is among the records.
    """
    unread = unread or Unread()
    by_kind: dict[str, list[Record]] = defaultdict(list)
    for record in records:
        by_kind[record[1]["record"]].append(record)
    if not by_kind["collection"]:
        raise UnknownSettings
    settings = build_settings(*by_kind["collection"][0])
    troubles: list[Trouble] = []
    groups = {
        group.id: group
        for place, data in by_kind["group"]
        if (group := build_group(place, data, troubles)) is not None
    }
    foods = build_foods(by_kind["foods"], troubles)
    linker = Linker(foods)
    named_groups = {data["id"] for _, data in by_kind["group"]} | unread.groups
    unread = replace(unread, groups=frozenset(named_groups - groups.keys()))
    known = _known_groups(named_groups, troubles)
    troubles.extend(lost for sheet in by_kind["diet sheet"] for lost in _lost_supplements(*sheet))
    sheets = _dated(linker.sheet(*record) for record in known(by_kind["diet sheet"]))
    collection = Collection(
        settings=settings,
        groups=groups,
        foods=foods,
        sheets=sheets,
        rotas=_dated(_rota(*record) for record in known(by_kind["rota"])),
        treats=_dated(
            gift for record in by_kind["treats"] for gift in linker.gifts(*record, known)
        ),
        limits=tuple(build_limit(*entry) for entry in _entries(by_kind["limits"], "limits")),
        sign_offs=tuple(build_sign_off(*record) for record in by_kind["sign-off"]),
        troubles=tuple(troubles),
        unread=unread,
        neighbours=neighbours_of(groups),
        givers=givers_of(sheets),
        strangers=linker.strangers,
        homes=homes_of(groups),
        signed=bool(by_kind["sign-off"]),
    )
    return replace(collection, troubles=(*troubles, *loose_ends(collection)))


class Linker:
    """Finds the food behind each line; a name on no list becomes a food that is not known."""

    def __init__(self, foods: Mapping[str, Food]) -> None:
        self._foods = foods
        self.strangers: dict[str, Food] = {}

    def food(self, name: str, place: Pointer) -> Food:
        """The listed food of that exact id, or a stranger standing for the bare name."""
        if (food := self._foods.get(name)) is not None:
            return food
        if name not in self.strangers:
            self.strangers[name] = Food(id=name, name=name, place=place, known=False)
        return self.strangers[name]

    def line(self, place: Pointer, data: Mapping[str, Any], treat: str | None = None) -> Line:
        """One line of a meal; `treat` is the purpose of the record it stands in, if any."""
        return Line(
            food=self.food(data["food"], place.at("food")),
            amount=read_amount(data["amount"]),
            place=place,
            cut=data.get("cut"),
            presentation=data.get("presentation"),
            treat=data.get("treat") or treat,
            for_animals=tuple(data.get("for", ())),
            note=data.get("note"),
            medicine=_medicine(data["medicine"]) if data.get("medicine") else None,
            instead_of=data.get("instead_of"),
        )

    def sheet(self, place: Pointer, data: Mapping[str, Any]) -> DietSheet:
        """A diet sheet, its supplements put into the meals they go with."""
        with_meal: dict[str, list[Line]] = defaultdict(list)
        for number, entry in enumerate(data.get("supplements", ())):
            line = self.line(place.at("supplements", number), entry)
            for meal in entry["with"]:
                with_meal[meal].append(line)
        meals = {
            name: Meal(
                name=name,
                lines=(
                    *(
                        self.line(place.at("meals", name, number), line)
                        for number, line in enumerate(lines)
                    ),
                    *with_meal[name],
                ),
                place=place.at("meals", name),
            )
            for name, lines in data["meals"].items()
        }
        return DietSheet(
            group=data["group"],
            start=read_date(data["from"]),
            until=read_date(data["until"]) if data.get("until") else None,
            meals=meals,
            reason=data["reason"],
            written_by=data.get("written_by"),
            place=place,
            record=data,
            season=data.get("season"),
            stages=tuple(data.get("stages", ())),
            leftovers=tuple(
                self.leftover(place.at("leftovers", number), entry)
                for number, entry in enumerate(data.get("leftovers", ()))
            ),
        )

    def leftover(self, place: Pointer, data: Mapping[str, Any]) -> Leftover:
        """What a sheet leaves to another group."""
        return Leftover(
            to=data["to"],
            foods=tuple(
                self.food(name, place.at("foods", number))
                for number, name in enumerate(data["foods"])
            ),
            share=read_share(data["share"]) if data.get("share") else None,
            place=place,
        )

    def gifts(
        self,
        place: Pointer,
        data: Mapping[str, Any],
        known: Callable[[Iterable[Record]], Iterator[Record]],
    ) -> Iterator[TreatGift]:
        """The dated treats of one record."""
        for at, gift in known(_entries([(place, data)], "treats")):
            yield TreatGift(
                on=read_date(gift["on"]),
                group=gift["group"],
                slot=gift.get("slot"),
                purpose=gift["purpose"],
                lines=tuple(
                    self.line(
                        at.at("items", number),
                        {**item, "for": gift.get("animals", ())},
                        gift["purpose"],
                    )
                    for number, item in enumerate(gift["items"])
                ),
                place=at,
            )


def _medicine(data: Mapping[str, Any]) -> Medicine:
    return Medicine(
        drug=data["drug"],
        by=data["by"],
        start=read_date(data["from"]),
        until=read_date(data["until"]),
        dose=data.get("dose"),
    )


def _lost_supplements(place: Pointer, data: Mapping[str, Any]) -> Iterator[Trouble]:
    """Supplements that go with a meal the sheet does not have, and so would never be given."""
    for number, entry in enumerate(data.get("supplements", ())):
        for position, meal in enumerate(entry["with"]):
            if meal not in data["meals"]:
                near = get_close_matches(meal, data["meals"], n=3)
                hint = f"Nearest: {', '.join(near)}. " if near else ""
                yield Trouble(
                    place.at("supplements", number, "with", position),
                    f'{entry["food"]} goes with "{meal}", a meal that this sheet does not have, '
                    "so it is not given and not counted there.",
                    f"{hint}Correct the name, or add the meal.",
                )


def _rota(place: Pointer, data: Mapping[str, Any]) -> Rota:
    return Rota(
        group=data["group"],
        start=read_date(data["starts"]),
        until=read_date(data["until"]) if data.get("until") else None,
        days=tuple(
            _rota_day(place.at("days", number), day) for number, day in enumerate(data["days"])
        ),
        written_by=data.get("written_by"),
        place=place,
        record=data,
        swaps=tuple(
            MealSwap(
                meal=entry["meal"],
                instead_of=entry["instead_of"],
                until=read_date(entry["until"]) if entry.get("until") else None,
                place=place.at("swaps", number),
            )
            for number, entry in enumerate(data.get("swaps", ()))
        ),
    )


def _rota_day(place: Pointer, day: Mapping[str, Any]) -> RotaDay:
    return RotaDay(
        feeds={
            slot: _meal_names(said)
            for slot, said in day.items()
            if slot not in ("fast", "note") and not slot.startswith("x-")
        },
        fast=day.get("fast") is not None,
        place=place,
    )


def _meal_names(said: str | list[str]) -> tuple[str, ...]:
    if isinstance(said, str):
        return () if said == NO_FEED else (said,)
    return tuple(said)


def _entries(records: Iterable[Record], key: str) -> Iterator[Record]:
    for place, data in records:
        for number, entry in enumerate(data[key]):
            yield place.at(key, number), entry


def _known_groups(
    groups: set[str], troubles: list[Trouble]
) -> Callable[[Iterable[Record]], Iterator[Record]]:
    """A filter that keeps records of known groups and notes the others as trouble."""

    def keep(records: Iterable[Record]) -> Iterator[Record]:
        for place, data in records:
            group = data["group"]
            if group in groups:
                yield place, data
                continue
            near = get_close_matches(group, groups, n=3)
            hint = f"Nearest: {', '.join(near)}." if near else "No group has a name like it."
            troubles.append(
                Trouble(
                    place.at("group"),
                    f'No group record has the id "{group}".',
                    f"{hint} Correct the name, or add the group's own file.",
                )
            )

    return keep


def _dated(objects: Iterable[Sorted]) -> dict[str, tuple[Sorted, ...]]:
    by_group: dict[str, list[Sorted]] = defaultdict(list)
    for thing in objects:
        by_group[thing.group].append(thing)
    return {group: tuple(sorted(things, key=_start)) for group, things in by_group.items()}


def _start(thing: DietSheet | Rota | TreatGift) -> Any:
    return thing.on if isinstance(thing, TreatGift) else thing.start
