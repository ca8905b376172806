"""Finds the version that stood on a day, and the animal in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from difflib import get_close_matches
from pathlib import Path

from msgspec import Struct

from dietcheck.collection.animals import Animal, Group
from dietcheck.collection.collection import Collection
from dietcheck.errors import JobError
from dietcheck.history.lookback import Lookback
from dietcheck.history.versions import Version, Versions
from dietcheck.reading import Folder, Revision, Source
from dietcheck.reading.problems import listed, show
from dietcheck.reporting import words
from dietcheck.reporting.trail_log import called

NAMES = 8  # that stand in one message


class Found(Struct, frozen=True, eq=False):
    """The animal in the version that stood; `version` None: the folder, because git holds none."""

    version: Version | None
    source: Source
    group: Group
    animal: Animal
    too_old: bool  # no version of the day is here: this is the oldest that knows the animal


def find(root: Path, versions: Versions, name: str, group: str | None, on: date) -> Found:
    """The animal on a day. Raises JobError with the nearest names, or the day it first appears."""
    if not versions.all:
        collection = _read(Folder(root), "dietcheck.yaml cannot be read.")
        return Found(None, Folder(root), *_pick(collection, name, group), False)
    standing = versions.standing(on)
    if standing is None:
        for version in versions.all:
            source = Revision(root, version.commit)
            known = Lookback(source).collection
            if known is not None and any(_named(known, name, group)):
                return Found(version, source, *_pick(known, name, group), True)
        newest = versions.all[-1]
        _pick(_read(Revision(root, newest.commit), _unreadable(newest)), name, group)
        raise _unknown(name, on)
    source = Revision(root, standing.commit)
    collection = _read(source, _unreadable(standing))
    if not any(_named(collection, name, group)):
        for version in versions.all[versions.all.index(standing) + 1 :]:
            later = Lookback(Revision(root, version.commit)).collection
            if later is not None and any(_named(later, name, group)):
                raise JobError(
                    f"{called(standing)}, which stood on {words.day(on)}, knows no animal "
                    f"{show(name)}.",
                    f"It first appears in {called(version)}: name a day from then on.",
                )
    return Found(standing, source, *_pick(collection, name, group), False)


def _read(source: Source, why_not: str) -> Collection:
    collection = Lookback(source).collection
    if collection is None:
        raise JobError(why_not, "“dietcheck screen” tells why; or name another day with --on.")
    return collection


def _unreadable(version: Version) -> str:
    return f"{called(version)} holds no dietcheck.yaml that can be read."


def _unknown(name: str, on: date) -> JobError:
    return JobError(
        f"no version knows an animal {show(name)} on {words.day(on)}.", "Check the name."
    )


def _named(collection: Collection, name: str, group: str | None) -> Iterator[tuple[Group, Animal]]:
    wanted = " ".join(name.split()).casefold()
    for one in collection.groups.values():
        if group is None or group.casefold() in (one.id.casefold(), one.called.casefold()):
            for animal in one.animals:
                if wanted in (animal.id.casefold(), (animal.name or animal.id).casefold()):
                    yield one, animal


def _pick(collection: Collection, name: str, group: str | None) -> tuple[Group, Animal]:
    found = list(_named(collection, name, group))
    if len(found) == 1:
        return found[0]
    if found:
        groups = listed([show(one.id) for one, _ in found[:NAMES]], "and")
        raise JobError(
            f"the animal {show(name)} stands in {groups}.", "Say which one, with --group."
        )
    if group is not None and not any(
        group.casefold() in (one.id.casefold(), one.called.casefold())
        for one in collection.groups.values()
    ):
        raise JobError(f"there is no group {show(group)} here.", _nearest(group, collection.groups))
    names = {n for g in collection.groups.values() for a in g.animals for n in (a.id, a.name) if n}
    where = "here" if group is None else f"in {show(group)}"
    raise JobError(f"there is no animal {show(name)} {where}.", _nearest(name, names))


def _nearest(name: str, names: Iterable[str]) -> str:
    known = {text.casefold(): text for text in sorted(names)}
    near = [known[n] for n in get_close_matches(name[:60].casefold(), known, n=3, cutoff=0.5)]
    if near:
        return f"Nearest: {listed([show(one) for one in near], 'and')}."
    shown = sorted(known.values())
    if not shown:
        return "None is on file: “dietcheck screen” tells what could not be read."
    more = f" and {len(shown) - NAMES} more" if len(shown) > NAMES else ""
    return f"Here are {', '.join(map(show, shown[:NAMES]))}{more}."
