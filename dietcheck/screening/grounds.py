"""A digest of all that a rule could see when it judged a group.

Two runs in which it is the same have judged the same group by the same records, old and new, on
the same day, with the same settings, foods and limits; so its rules have said the same.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from hashlib import sha256
from typing import Any

from dietcheck.collection.collection import Collection
from dietcheck.history.lookback import Lookback
from dietcheck.reading import FileFacts, Repository
from dietcheck.remembering.store import digest, encoded
from dietcheck.screening.subjects import Subjects


class Grounds:
    """What the verdicts of a run rest on: all of them, and those on each group besides.

    `compared` is what the earlier version is called. It counts only where a rule has asked for
    it, or every commit would make all that is kept useless.
    """

    def __init__(
        self,
        read: Repository,
        collection: Collection,
        on: date,
        rules: Iterable[str],
        earlier: Lookback,
    ) -> None:
        self.compared = earlier.described
        then = earlier.repository if earlier.collection is not None else None
        self._now = _Things(read, collection)
        self._then = _Things(then, earlier.collection)
        words = (
            str(on),
            repr(tuple(rules)),
            earlier.why_not,
            earlier.nothing_there,
            str(earlier.written_on),
            *_linked(collection),
            *_linked(earlier.collection),
        )
        parts = (*self._now.rest, b"then", *self._then.rest, b"and", *map(encoded, words))
        self._common = encoded(digest(parts))

    def key(self, group: str, subjects: Subjects) -> bytes:
        """The digest of all that the verdicts on a group rest on."""
        whole = sha256(self._common)
        for part in self._parts(group, subjects):
            whole.update(b"%d:" % len(part))
            whole.update(part)
        return whole.digest()

    def _parts(self, group: str, subjects: Subjects) -> Iterator[bytes]:
        scope = subjects.scope(group)
        yield encoded(group)
        for things, groups in ((self._now, scope.now), (self._then, scope.then)):
            for one in groups:
                yield encoded(one)
                yield from things.of.get(one, ())
                yield from things.moved.get(one, ())
            yield b"and"
        log = subjects.log(scope)
        for commits in () if log is None else (log.commits, log.main_line):
            for commit in commits:
                yield encoded(f"{commit.id} {commit.on} {commit.author}")
            yield b"and"


def _linked(collection: Collection | None) -> tuple[str, ...]:
    """What linking has found out that holds for every group."""
    if collection is None:
        return ()
    strangers = {name: food.place for name, food in collection.strangers.items()}
    return repr(collection.unread), repr(strangers), repr(collection.signed)


class _Things:
    """A digest of each thing in a repository: by the groups that it speaks of, and the rest.

    `moved` tells of animals that stand in several groups where those are.
    """

    def __init__(self, read: Repository | None, collection: Collection | None) -> None:
        self.of: dict[str, list[bytes]] = defaultdict(list)
        self.moved: dict[str, list[bytes]] = defaultdict(list)
        self.rest: list[bytes] = []
        if read is not None:
            self._add(read)
        for animal, homes in (collection.homes if collection else {}).items():
            if len(homes) > 1:
                found = _digest(animal, homes)
                for home in homes:
                    self.moved[home.group].append(found)

    def _add(self, read: Repository) -> None:
        for facts in read.files:
            for groups, found in _things(facts, read.raw(facts.file)):
                if groups is None:
                    self.rest.append(found)
                for group in groups or ():
                    self.of[group].append(found)


def _things(facts: FileFacts, raw: bytes) -> Iterator[tuple[Iterable[str] | None, bytes]]:
    """What stands in a file, with the groups that it speaks of; None: it may bear on any."""
    kind, data = facts.kind, facts.data
    if data is not None and kind == "treats":
        for number, gift in enumerate(data["treats"]):
            yield (gift["group"],), _digest(facts.file, number, gift)
    elif data is not None and kind in _GROUPS:
        yield _GROUPS[kind](data), _digest(facts.file, kind, raw)
    else:  # what a draft takes the place of is gone from the data, and from the identities
        yield None, _digest(facts.file, facts.identities, data is None, facts.problems, raw)


def _of_sign_off(data: Mapping[str, Any]) -> Iterable[str]:
    accepted = (one["group"] for one in data.get("accepts", ()))
    return {*data.get("groups", ()), *data.get("content", {}), *accepted}


_GROUPS = {
    "group": lambda data: (data["id"],),
    "diet sheet": lambda data: (data["group"],),
    "rota": lambda data: (data["group"],),
    "sign-off": _of_sign_off,
}


def _digest(*things: object) -> bytes:
    return sha256(encoded(repr(things))).digest()
