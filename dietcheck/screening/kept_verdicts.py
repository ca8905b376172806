"""What rules said of a group, kept under a digest of all that they could see.

A rule on a group sees one part of the records (`subjects`). So while that part, the day, the
program and what git tells of its files are the same, the rule would say the same; only the groups
that a change touches are judged anew. Nothing is kept of a group on which a rule failed.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping

import msgspec

from dietcheck.remembering.program import is_as_it_was, program_seen
from dietcheck.remembering.store import Store, digest, encoded
from dietcheck.screening.grounds import Grounds
from dietcheck.screening.ledger import UNUSABLE, Page, read, written
from dietcheck.screening.said import OfGroup
from dietcheck.screening.subjects import Subjects


class _Kept(msgspec.Struct, array_like=True):
    """What the rules said of a group; `compared`, where its words may hold it, is what the version
    was called that it was compared with."""

    page: Page
    compared: str | None = None


class NothingKept:
    """No verdicts of former runs, and none to be kept of this one."""

    def rest_on(self, work_out: Callable[[], Grounds]) -> None:
        """Say what everything is judged by in this run."""

    def find(self, group: str, subjects: Subjects) -> OfGroup | None:
        """What a former run has said of a group of which all is as it was."""

    def add(self, group: str, subjects: Subjects, found: OfGroup) -> None:
        """Note what was said of a group in this run."""

    def save(self) -> None:
        """Keep what was said in this run."""


NONE_KEPT = NothingKept()


class KeptVerdicts(NothingKept):
    """Verdicts of former runs, by the digest of their grounds; `of_this` are those of this run."""

    def __init__(self, former: Mapping[bytes, bytes]) -> None:
        self.former = former
        self.of_this: dict[bytes, bytes] = {}
        self._grounds: Grounds | None = None

    def rest_on(self, work_out: Callable[[], Grounds]) -> None:
        self._grounds = work_out()

    def find(self, group: str, subjects: Subjects) -> OfGroup | None:
        if self._grounds is None:
            return None
        key = self._grounds.key(group, subjects)
        kept = self.former.get(key)
        if kept is None:
            return None
        try:
            found = read(kept, _Kept)
        except UNUSABLE:
            return None
        if found.compared not in (None, self._grounds.compared):
            return None
        self.of_this[key] = kept
        return OfGroup(found.page)

    def add(self, group: str, subjects: Subjects, found: OfGroup) -> None:
        if self._grounds is None or not found.is_lasting:
            return
        compared = self._grounds.compared if found.named else None
        self.of_this[self._grounds.key(group, subjects)] = written(_Kept(found.page, compared))


class StoredVerdicts(KeptVerdicts):
    """The verdicts on the groups of a folder, in the user's own folder of kept things."""

    def __init__(self, folder: str | os.PathLike[str]) -> None:
        self._store = Store()
        program = program_seen() if self._store.folder else None
        place = (program or "", os.path.realpath(folder))
        self._place = program and f"verdicts-{digest(map(encoded, place))}"
        parts = (self._place and self._store.load(self._place)) or []
        super().__init__(dict(zip(parts[::2], parts[1::2], strict=False)))

    def rest_on(self, work_out: Callable[[], Grounds]) -> None:
        if self._place:
            super().rest_on(work_out)

    def save(self) -> None:
        """Keep what holds in this run, if the program is still the one that said it."""
        if self._place and self.of_this != self.former and is_as_it_was():
            self._store.save(self._place, (part for one in self.of_this.items() for part in one))
