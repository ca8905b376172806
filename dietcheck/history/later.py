"""Finds entries about past days that are changed, gone, or new and older than the last version."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from msgspec import Struct

from dietcheck.collection.animals import Group
from dietcheck.collection.collection import Collection
from dietcheck.collection.places import Pointer
from dietcheck.quantities import format_mass

KINDS = ("weighings", "diet sheets", "rotas", "treats", "signatures")
PLANS = frozenset({"diet sheets", "rotas"})
Told = tuple[Any, str, Pointer, str]  # what it says, in words, where, whose
Entries = Mapping[tuple[date, Any], Told]


class Later(Struct, frozen=True):
    """One entry that was touched after its day, `on`; `animal` is empty for one of the group."""

    kind: str
    on: date
    words: str
    place: Pointer | None
    animal: str = ""


def later_entries(
    earlier: Collection, now: Collection, group: str, on: date, written: date | None
) -> Iterator[Later]:
    """Everything about past days of a group that the earlier version did not have like this.

    Changed and gone counts for days before `on`. New counts for days before the earlier version
    was `written`; of an earlier version without a date nobody can tell.
    """
    unread = group in now.unread.fed_groups  # told as unreadable, and not gone
    for kind, of in _OF.items():
        if unread and kind in PLANS:
            continue
        was, present = of(earlier, group), of(now, group)
        for key in sorted({*was, *present}, key=lambda key: (key[0], str(key[1]))):
            day = key[0]
            old, new = was.get(key), present.get(key)
            if new is None and old is not None and day < on:
                yield Later(kind, day, f"{old[1]} is gone", None, old[3])
            elif old is not None and new is not None and old[0] != new[0] and day < on:
                former = f" (before: {old[1].rstrip(',')})" if old[1] != new[1] else ""
                yield Later(kind, day, f"{new[1]} was changed{former}", new[2], new[3])
            elif old is None and new is not None and written is not None and day < written:
                yield Later(kind, day, f"{new[1]} was written down after it", new[2], new[3])


def _weighings(collection: Collection, group: str) -> Entries:
    found = collection.groups.get(group)
    return {} if found is None else dict(_weighed(found))


def _weighed(group: Group) -> Iterator[tuple[tuple[date, Any], Told]]:
    for animal in group.animals:
        for number, one in enumerate(animal.weighings):
            twice = sum(other.on == one.on for other in animal.weighings[:number])
            said = f"the weight of {animal.called} on {one.on}, {format_mass(one.mass)},"
            yield (one.on, (animal.id, twice)), (one.mass, said, one.place, animal.id)


def _sheets(collection: Collection, group: str) -> Entries:
    return {
        (sheet.start, ""): (
            _plain(sheet.record),
            f"the sheet from {sheet.start}",
            sheet.place.at("from"),
            "",
        )
        for sheet in collection.sheets.get(group, ())
    }


def _rotas(collection: Collection, group: str) -> Entries:
    return {
        (rota.start, ""): (
            _plain(rota.record),
            f"the rota from {rota.start}",
            rota.place.at("starts"),
            "",
        )
        for rota in collection.rotas.get(group, ())
    }


def _treats(collection: Collection, group: str) -> Entries:
    found: dict[tuple[date, Any], Told] = {}
    for gift in collection.treats.get(group, ()):
        lines = [(line.food.id, line.amount.text, line.for_animals) for line in gift.lines]
        foods = ", ".join(f"{food} {amount}" for food, amount, _ in lines)
        number = 0
        while (gift.on, (gift.slot or "", gift.purpose, number)) in found:
            number += 1
        key = (gift.on, (gift.slot or "", gift.purpose, number))
        found[key] = (lines, f"the treat of {gift.on} ({foods})", gift.place.at("on"), "")
    return found


def _signatures(collection: Collection, group: str) -> Entries:
    found: dict[tuple[date, Any], Told] = {}
    for one in collection.sign_offs:
        if group in one.groups:
            accepted = sorted(
                (a.rule, a.food or "", a.animals, a.until, a.reason, str(a.up_to))
                for a in one.accepts
                if a.group == group
            )
            said = (one.content.get(group), one.next_review, accepted)
            key = (one.on, (one.by, one.role))
            found[key] = (said, f"the signature of {one.by} of {one.on}", one.place.at("on"), "")
    return found


def _plain(record: Mapping[str, Any]) -> Mapping[str, Any]:
    """The record without remarks: a note added later changes nothing that was fed."""
    words = ("notes", "reason", "written_by")
    return {key: value for key, value in record.items() if key not in words}


_OF = dict(zip(KINDS, (_weighings, _sheets, _rotas, _treats, _signatures), strict=True))
