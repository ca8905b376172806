"""The collection at an earlier version, read only when somebody looks back."""

from __future__ import annotations

from datetime import date
from functools import cached_property

from dietcheck.collection.build import UnknownSettings, build
from dietcheck.collection.collection import Collection
from dietcheck.collection.places import Pointer
from dietcheck.errors import JobError
from dietcheck.history.log import Log
from dietcheck.reading import Repository, Revision, Source, read_repository

UNUSABLE = "the earlier version cannot be read as a diet repository"


class Lookback:
    """An earlier version of the records, or the reason why it cannot be seen."""

    named = False
    """Whether anybody has asked what it is called; only a part of one notes that."""

    def __init__(self, source: Source | None, why_not: str = "", log: Log | None = None) -> None:
        self._source = source
        self._why_not = why_not
        self.log = log  # who changed what when; None where git is not asked

    @cached_property
    def repository(self) -> Repository | None:
        """The files of the earlier version; None if there is none or it is no repository."""
        if self._source is None:
            return None
        try:
            return read_repository(self._source)
        except JobError:
            return None

    @cached_property
    def collection(self) -> Collection | None:
        """Its linked records, those that could not be read left out; None if there are none."""
        if self.repository is None:
            return None
        try:
            return build(
                (Pointer(facts.file), facts.data)
                for facts in self.repository.files
                if facts.data is not None
            )
        except UnknownSettings:
            return None

    @property
    def why_not(self) -> str:
        """Why nothing can be compared, in plain words; empty when it can."""
        if self.collection is not None:
            return ""
        return self._why_not or UNUSABLE

    @property
    def nothing_there(self) -> str:
        """Why no earlier version is to be had, where one was looked for; else empty."""
        return "" if self is NO_LOOKBACK or self._source is not None else self._why_not

    @cached_property
    def written_on(self) -> date | None:
        """The day on which the earlier version was committed; None for one that is no commit."""
        return self._source.written_on() if isinstance(self._source, Revision) else None

    @property
    def described(self) -> str:
        """What is looked back to, in words."""
        return "nothing" if self._source is None else self._source.describe()

    def part(self, collection: Collection | None, log: Log | None) -> Lookback:
        """What a group may see of it: a part of the earlier collection and of the log."""
        return self if self is NO_LOOKBACK else _Part(self, collection, log)


class _Part(Lookback):
    """A part of an earlier version. It notes whether anybody asked for that version's name."""

    repository = None
    collection = None

    def __init__(self, whole: Lookback, collection: Collection | None, log: Log | None) -> None:
        super().__init__(whole._source, whole._why_not, log)
        self._whole = whole
        self.collection = collection
        self.named = False

    @property
    def written_on(self) -> date | None:
        return self._whole.written_on

    @property
    def described(self) -> str:
        self.named = True
        return self._whole.described


NO_LOOKBACK = Lookback(None, "no earlier version was asked for")
