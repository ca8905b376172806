"""Names in records that should lead to another record, a taxon or an animal, and do not."""

from __future__ import annotations

from collections.abc import Collection as Names
from collections.abc import Iterator
from difflib import get_close_matches

from dietcheck.collection.animals import Group
from dietcheck.collection.collection import Collection, Trouble
from dietcheck.collection.feeding import Line
from dietcheck.collection.places import Pointer
from dietcheck.tables.taxa import known_taxon_name, near_taxa


def loose_ends(collection: Collection) -> Iterator[Trouble]:
    """A trouble for every such name, at its place, with the nearest right ones."""
    groups = {*collection.groups, *collection.unread.groups}
    for group in collection.groups.values():
        yield from _of_group(group, groups)
        yield from _of_lines(collection, group)
        for sheet in collection.sheets.get(group.id, ()):
            for leftover in sheet.leftovers:
                yield from _group_named(leftover.to, leftover.place.at("to"), groups)
    for sign_off in collection.sign_offs:
        for number, name in enumerate(sign_off.groups):
            yield from _group_named(name, sign_off.place.at("groups", number), groups)
        for acceptance in sign_off.accepts:
            yield from _group_named(acceptance.group, acceptance.place.at("group"), groups)
    yield from _of_settings(collection, groups)


def _of_group(group: Group, groups: Names[str]) -> Iterator[Trouble]:
    for number, name in enumerate(group.also_reached_by):
        yield from _group_named(name, group.place.at("also_reached_by", number), groups)
    for animal in group.animals:
        condition = animal.condition
        if condition is not None and not 1 <= condition.score <= condition.of:
            yield Trouble(
                animal.place.at("condition", "score"),
                f"{animal.called}: a score of {condition.score} does not fit a scale of 1 to "
                f"{condition.of}.",
                "Correct the score, or say which scale it is on.",
            )


def _of_lines(collection: Collection, group: Group) -> Iterator[Trouble]:
    ids = [animal.id for animal in group.animals]
    for line in _lines(collection, group.id):
        for number, name in enumerate(line.for_animals):
            if name not in ids:
                key = "for" if line.treat is None or "treats" not in line.place.path else "animals"
                yield Trouble(
                    line.place.at(key, number),
                    f'{group.called} have no animal with the id "{name}", so nobody gets this.',
                    f"Their animals are {', '.join(ids)}.",
                )


def _lines(collection: Collection, group: str) -> Iterator[Line]:
    for sheet in collection.sheets.get(group, ()):
        for meal in sheet.meals.values():
            yield from meal.lines
    for gift in collection.treats.get(group, ()):
        yield from gift.lines


def _of_settings(collection: Collection, groups: Names[str]) -> Iterator[Trouble]:
    settings = collection.settings
    for taxon in settings.weigh_every:
        yield from _taxon_named(taxon, settings.place.at("weigh_every", taxon), ())
    for entry in settings.do_not_feed:
        for number, name in enumerate(entry.taxa_or_groups):
            yield from _taxon_named(name, entry.place.at("for", number), groups)


def _group_named(name: str, place: Pointer, groups: Names[str]) -> Iterator[Trouble]:
    if name not in groups:
        near = ", ".join(get_close_matches(name, groups, n=3))
        yield Trouble(
            place,
            f'No group record has the id "{name}".',
            f"Nearest: {near}. Correct the name." if near else "Correct the name, or take it out.",
        )


def _taxon_named(name: str, place: Pointer, groups: Names[str]) -> Iterator[Trouble]:
    if name not in groups and not known_taxon_name(name):
        near = "; ".join(near_taxa(name))
        yield Trouble(
            place,
            f'"{name}" is neither a taxon that is known here nor a group.'
            if groups
            else f'"{name}" is not a taxon that is known here.',
            f"Nearest: {near}." if near else "Write the scientific name.",
        )
