"""What happened to an animal's diet, version by version, and what was written after its day."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import pairwise
from pathlib import Path

from msgspec import Struct

from dietcheck.collection.animals import Animal, Group
from dietcheck.collection.collection import Collection
from dietcheck.collection.settings import SignOff
from dietcheck.history.later import later_entries
from dietcheck.history.lookback import Lookback
from dietcheck.history.touched import may_touch
from dietcheck.history.versions import Version, Versions
from dietcheck.reading import Folder, Revision
from dietcheck.reporting import words
from dietcheck.reporting.change_found import changes_of
from dietcheck.reporting.change_words import Change, said
from dietcheck.reporting.layout import listed, shown

MOST = 300
"""Versions that are gone through, the latest; older ones are counted."""

NOT_COMMITTED = "not committed"


class Entry(Struct, frozen=True):
    """One version that changed something for the animal; `version` None: not committed yet."""

    version: Version | None
    changes: tuple[str, ...]


class Late(Struct, frozen=True):
    """Something about a past day that was written, changed or taken out afterwards.

    `days` is how long after its day it was committed; None when it is not committed yet.
    """

    kind: str
    on: date
    words: str
    version: Version | None
    days: int | None


class Log(Struct, frozen=True):
    """The changes up to a day, newest first; what was written later; and what could not be seen.

    `since` is the version in which the group first appears, as far as they are here.
    """

    entries: tuple[Entry, ...]
    late: tuple[Late, ...]
    unread: tuple[str, ...]
    left_out: int = 0
    since: Version | None = None


class _Step(Struct, frozen=True):
    version: Version | None
    collection: Collection


def log_of(root: Path, versions: Versions, animal: str, group: str, on: date) -> Log:
    """Go through the versions of a folder for one animal, whichever group it was in."""
    taken = versions.all[-MOST:]
    unread: list[str] = []
    steps = list(_steps(root, versions, taken, unread, (group, animal)))
    entries: list[Entry] = []
    late: list[Late] = []
    since = next((step.version for step in steps if group in step.collection.groups), None)
    for before, after in pairwise(steps):
        if after.collection is before.collection:
            continue
        if group in before.collection.groups:
            late.extend(_late(before, after, animal, group, on))
        if after.version is not None and after.version.on > on:
            continue
        if after.version is None and (not taken or taken[-1].on > on):
            continue
        changes = tuple(dict.fromkeys(_changes(before.collection, after, animal, group)))
        if changes:
            entries.append(Entry(after.version, changes))
    if steps and steps[0].version in versions.all[:1] and steps[0].version.on <= on:
        first = home(steps[0].collection, animal, group)
        if first is not None:
            entries.insert(0, Entry(steps[0].version, (_arrived(*first),)))
    return Log(
        tuple(reversed(entries)), tuple(late), tuple(unread), len(versions.all) - len(taken), since
    )


def home(collection: Collection, animal: str, group: str) -> tuple[Group, Animal] | None:
    """The group an animal is recorded in, the one named if it is there, and its record."""
    groups = collection.groups
    named = [groups[group]] if group in groups else []
    for found in (*named, *groups.values()):
        for one in found.animals:
            if one.id == animal:
                return found, one
    return None


def _steps(
    root: Path,
    versions: Versions,
    taken: Sequence[Version],
    unread: list[str],
    whose: tuple[str, str],
) -> Iterator[_Step]:
    """Each version with its records; the same records again where nothing bears on the animal."""
    last: _Step | None = None
    for version in taken:
        if last is not None and last.version is not None:
            before = last.version.commit
            if not may_touch(root, before, version.commit, *whose):
                last = _Step(version, last.collection)
                yield last
                continue
        collection = Lookback(Revision(root, version.commit)).collection
        if collection is not None:
            last = _Step(version, collection)
            yield last
        elif version is not versions.all[0]:
            unread.append(shown(called(version), 120))
    if versions.uncommitted or not taken:
        collection = Lookback(Folder(root)).collection
        if collection is not None:
            yield _Step(None, collection)
        else:
            unread.append(called(None))


def called(version: Version | None) -> str:
    """A version in words."""
    if version is None:
        return "what is not committed"
    return f"version {version.commit[:10]} of {words.day(version.dated)}"


def by(version: Version | None) -> str:
    """Who wrote a version, and who merged it where that is somebody else."""
    if version is None:
        return NOT_COMMITTED
    writers = [shown(name, 60) for name in version.writers]
    if not writers or writers == [version.by]:
        return shown(version.by, 60)
    return f"{listed(writers, 4)}; merged by {shown(version.by, 60)}"


def _late(before: _Step, after: _Step, animal: str, group: str, on: date) -> Iterator[Late]:
    made = after.version.on if after.version else None
    written = before.version.on if before.version else None
    for one in later_entries(before.collection, after.collection, group, made or date.max, written):
        if one.on <= on and one.animal in ("", animal):
            days = (made - one.on).days if made else None
            yield Late(one.kind, one.on, shown(one.words, 300), after.version, days)


def _arrived(group: Group, animal: Animal) -> str:
    return f"{shown(animal.called, 60)} is recorded in {shown(group.called, 60)}: the first version"


def _changes(before: Collection, after: _Step, animal: str, group: str) -> Iterator[str]:
    was, now = (home(one, animal, group) for one in (before, after.collection))
    if was is None or now is None:
        if now is not None:
            yield f"{shown(now[1].called, 60)}: now in {shown(now[0].called, 60)}"
        elif was is not None:
            yield f"{shown(was[1].called, 60)}: no longer in {shown(was[0].called, 60)}"
        return
    if was[0].id != now[0].id:
        called_now = shown(now[1].called, 60)
        yield f"{called_now}: from {shown(was[0].called, 60)} to {shown(now[0].called, 60)}"
    name = now[0].id
    day = after.version.on if after.version else date.today()
    if name in before.groups:
        for change in changes_of(before, after.collection, name, day):
            if _is_about(change, now[1]):
                yield said(change, lambda text: shown(text, 160))
    yield from _signed(before, after.collection, name)
    yield from _limits(before, after.collection, now[0])


def _is_about(change: Change, animal: Animal) -> bool:
    """Whether a change bears on the animal: all but what is said of others alone."""
    own = change.subject == animal.called or change.subject.startswith(f"{animal.called}, ")
    return change.about != "animal" or own or change.feeds


def _signed(before: Collection, after: Collection, group: str) -> Iterator[str]:
    was, now = (
        {
            (one.by, one.role, one.on, tuple(sorted(_risks(one, group))))
            for one in collection.sign_offs
            if group in one.groups
        }
        for collection in (before, after)
    )
    for word, found in (("signed by", now - was), ("signature taken out, of", was - now)):
        for signer, role, on, accepted in sorted(found):
            risks = f", with {len(accepted)} accepted risks" if len(accepted) > 1 else ""
            risks = ", with 1 accepted risk" if len(accepted) == 1 else risks
            yield f"{word} {shown(signer, 60)} ({shown(role, 40)}), {words.day(on)}{risks}"


def _risks(sign_off: SignOff, group: str) -> Iterator[tuple[str, date, str]]:
    return ((a.rule, a.until, a.food or "") for a in sign_off.accepts if a.group == group)


def _limits(before: Collection, after: Collection, group: Group) -> Iterator[str]:
    was, now = (
        {
            (limit.quantity, str(limit.at_least), str(limit.at_most), limit.over)
            for limit in collection.limits
            if limit.group == group.id or (limit.taxon and group.taxon.is_in(limit.taxon))
        }
        for collection in (before, after)
    )
    for quantity, *_ in sorted(was ^ now):
        yield f"the site's own limit for {shown(quantity, 60)} was changed"
