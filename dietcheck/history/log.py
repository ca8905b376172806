"""Who changed which files when, as git has it, and the records as they were then."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from functools import cached_property
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from dietcheck.collection.build import UnknownSettings, build
from dietcheck.collection.collection import Collection
from dietcheck.collection.places import Pointer
from dietcheck.errors import JobError
from dietcheck.reading import Revision, git, read_repository

MOST = 5_000
"""Commits that are looked at: ten years of ten changes a week."""
TITLES = frozenset({"dr", "prof", "professor", "mr", "mrs", "ms", "miss", "mx", "sir", "dame"})


class Commit(Struct, frozen=True):
    """One commit: who made the change, on which day, in which files of the collection."""

    id: str
    author: str
    on: date
    files: frozenset[str]


class Log:
    """The commits of a folder, newest first; read when somebody asks."""

    def __init__(self, root: str | Path) -> None:
        self._root = Path(root)
        self._seen: dict[str, Collection | None] = {}
        self.refused: set[str] = set()  # versions that git did not give, which may pass

    @cached_property
    def commits(self) -> tuple[Commit, ...]:
        """Every commit that touched the folder; empty where git cannot tell."""
        return self._asked("--format=%x01%H%x02%an%x02%as%x02")

    @cached_property
    def main_line(self) -> tuple[Commit, ...]:
        """The commits of the main line alone, each with all that it changed there, newest first.

        A change on a branch is in force from its merge on. A commit cannot be older than the one
        that it follows, whatever its own date says.
        """
        rows = self._asked("--first-parent", "-m", "--format=%x01%H%x02%an%x02%cs%x02")
        found: list[Commit] = []
        for commit in reversed(rows):
            latest = max(commit.on, found[-1].on) if found else commit.on
            found.append(replace(commit, on=latest))
        return tuple(reversed(found))

    def _asked(self, *how: str) -> tuple[Commit, ...]:
        asked = ["log", f"-n{MOST}", "-z", "--no-renames", "--relative", "--name-only",
                 "--no-show-signature", *how, "--", "."]  # fmt: skip
        try:
            said = git(self._root, asked).decode("utf-8", "replace")
        except JobError:
            return ()
        return tuple(_commit(row) for row in said.split("\1") if row.strip("\0\n"))

    def part(self, files: Iterable[str]) -> Log:
        """The log of these files alone."""
        return _Part(self, frozenset(files))

    @cached_property
    def places(self) -> tuple[Mapping[str, list[int]], Mapping[str, list[int]]]:
        """For each file where it stands in `commits` and in `main_line`."""
        return _places(self.commits), _places(self.main_line)

    def touching(self, files: Iterable[str]) -> Iterator[Commit]:
        """The commits that changed one of the files, newest first."""
        wanted = frozenset(files)
        return (commit for commit in self.commits if commit.files & wanted)

    def at(self, version: str) -> Collection | None:
        """The linked records of a version (`ID`, or `ID^` for the one before); None if none."""
        if version not in self._seen:
            self._seen[version] = self._read(version)
        return self._seen[version]

    def _read(self, version: str) -> Collection | None:
        try:
            files = read_repository(Revision(self._root, version)).files
            return build((Pointer(f.file), f.data) for f in files if f.data is not None)
        except UnknownSettings:
            return None
        except JobError:
            self.refused.add(version)
            return None


class _Part(Log):
    """The log of some files, without the commits that touched none of them."""

    def __init__(self, whole: Log, files: frozenset[str]) -> None:
        super().__init__(whole._root)
        self._whole = whole
        self._files = files

    @cached_property
    def commits(self) -> tuple[Commit, ...]:
        return self._of(self._whole.commits, self._whole.places[0])

    @cached_property
    def main_line(self) -> tuple[Commit, ...]:
        return self._of(self._whole.main_line, self._whole.places[1])

    def _of(self, commits: Sequence[Commit], places: Mapping[str, list[int]]) -> tuple[Commit, ...]:
        found = {place for file in self._files for place in places.get(file, ())}
        return tuple(commits[place] for place in sorted(found))

    def touching(self, files: Iterable[str]) -> Iterator[Commit]:
        wanted = frozenset(files)
        if not wanted <= self._files:
            raise ValueError(f"not a file of this part: {min(wanted - self._files)}")
        return super().touching(wanted)

    def at(self, version: str) -> Collection | None:
        found = self._whole.at(version)
        self.refused |= self._whole.refused & {version}
        return found


def _places(commits: Iterable[Commit]) -> Mapping[str, list[int]]:
    found: dict[str, list[int]] = defaultdict(list)
    for place, commit in enumerate(commits):
        for file in commit.files:
            found[file].append(place)
    return found


def _commit(row: str) -> Commit:
    id_, author, on, files = row.split("\2", 3)
    names = (name.strip("\n") for name in files.split("\0"))
    return Commit(id_, author, date.fromisoformat(on), frozenset(n for n in names if n))


def same_person(one: str, other: str) -> bool:
    """Whether two names are one person's, whatever their titles, capitals and blanks."""
    return _bare(one) == _bare(other) != ()


def _bare(name: str) -> tuple[str, ...]:
    words = (word.strip(".,").casefold() for word in name.split())
    return tuple(word for word in words if word and word not in TITLES)
