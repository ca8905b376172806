"""What git holds: the index, which the next commit will hold, and the commits before it."""

from __future__ import annotations

import posixpath
from datetime import date
from pathlib import Path

from msgspec import Struct

from dietcheck.errors import NotARepository
from dietcheck.outside.files import FILE_LIMIT, Unreadable, is_record_name, too_large, too_many
from dietcheck.outside.git import git
from dietcheck.reading.problems import Problem, show
from dietcheck.reading.sources import (
    TOTAL_LIMIT,
    hidden,
    link_problem,
    name_problem,
    too_much,
)

_LINK, _MODULE, _FILES = "120000", "160000", ("100644", "100755")


class _Entry(Struct, frozen=True):
    mode: str
    blob: str
    stage: str
    name: str


class Index:
    """The records of a folder as git has them staged."""

    def __init__(self, root: str | Path) -> None:
        self.root = Path(root)
        if not self.root.is_dir():
            raise NotARepository(
                f"there is no folder {show(str(root))}.",
                "Name the folder that holds dietcheck.yaml.",
            )
        self._blobs: dict[str, str] | None = None
        self._sizes: dict[str, int] = {}
        self._contents: dict[str, bytes] | None = None
        self._problems: list[Problem] = []

    def describe(self) -> str:
        return "what is staged for commit"

    def problems(self) -> tuple[Problem, ...]:
        self._listing()
        return tuple(sorted(self._problems))

    def names(self) -> list[str]:
        return sorted(self._listing())

    def read(self, name: str) -> bytes:
        blob = self._listing().get(name)
        if blob is None:
            raise Unreadable("this file is not staged.", "Check its name, or stage it.")
        if self._contents is None:
            self._fetch()
        if refusal := too_large(self._sizes.get(blob, 0)):
            raise Unreadable(*refusal)
        content = (self._contents or {}).get(blob)
        if content is None:
            raise Unreadable("git does not hold the content of this file.", "Stage it again.")
        return content

    def _listing(self) -> dict[str, str]:
        if self._blobs is None:
            self._blobs = self._sort(self._entries())
        return self._blobs

    def _entries(self) -> list[_Entry]:
        listing = git(self.root, ["ls-files", "-s", "-z"])
        entries = []
        for row in listing.split(b"\0"):
            if row:
                facts, _, name = row.partition(b"\t")
                mode, blob, stage = facts.decode("ascii").split(" ")
                entries.append(_Entry(mode, blob, stage, name.decode("utf-8", "surrogateescape")))
        return entries

    def _sort(self, entries: list[_Entry]) -> dict[str, str]:
        """Keep the ordinary files that have to be records; tell of the rest what must be told."""
        tracked = {entry.name for entry in entries if entry.mode in _FILES}
        blobs: dict[str, str] = {}
        links: list[_Entry] = []
        for entry in entries:
            named = is_record_name(entry.name)
            if hidden(entry.name):
                continue
            if entry.mode == _LINK:
                links.append(entry)
            elif entry.mode == _MODULE:
                self._tell(entry.name, _module_problem(entry.name))
            elif named and entry.stage != "0":
                self._tell(entry.name, _conflict_problem(entry.name))
            elif named and (problem := name_problem(entry.name)):
                self._problems.append(problem)
            elif named:
                blobs[entry.name] = entry.blob
            if len(blobs) > FILE_LIMIT:
                raise too_many()
        self._tell_of_links(links, tracked)
        return blobs

    def _tell(self, name: str, problem: Problem) -> None:
        told = name_problem(name) or problem
        if told not in self._problems:
            self._problems.append(told)

    def _tell_of_links(self, links: list[_Entry], tracked: set[str]) -> None:
        """A link matters if it is named as a record, or may lead to a folder full of them."""
        if not links:
            return
        sizes = _sizes(self.root, [link.blob for link in links])
        targets = _contents(self.root, [blob for blob, size in sizes.items() if size < 4096])
        for link in links:
            target = targets.get(link.blob, b"").decode("utf-8", "surrogateescape")
            leads_to = posixpath.normpath(posixpath.join(posixpath.dirname(link.name), target))
            if is_record_name(link.name) or leads_to not in tracked:
                self._tell(link.name, link_problem(link.name))

    def _fetch(self) -> None:
        blobs = list(dict.fromkeys(self._listing().values()))
        self._sizes = _sizes(self.root, blobs)
        if sum(self._sizes.values()) > TOTAL_LIMIT:
            raise too_much()
        wanted = [
            blob for blob in blobs if blob in self._sizes and not too_large(self._sizes[blob])
        ]
        self._contents = _contents(self.root, wanted)


def _module_problem(name: str) -> Problem:
    return Problem(
        name,
        1,
        1,
        "this folder is a repository of its own; what is in it is not read.",
        "Put the records themselves here, or list it under leave_out in dietcheck.yaml.",
    )


def _conflict_problem(name: str) -> Problem:
    return Problem(
        name,
        1,
        1,
        "two versions of this file wait to be brought together.",
        "Settle the conflict and stage the file.",
    )


class Revision(Index):
    """The records of a folder as a commit holds them."""

    def __init__(self, root: str | Path, commit: str) -> None:
        super().__init__(root)
        self.commit = commit  # a full commit id, never text from a user: see history.earlier

    def describe(self) -> str:
        return f"version {self.commit[:10]}"

    def written_on(self) -> date:
        """The day on which the commit was made, where it was made."""
        stamp = git(self.root, ["show", "--no-patch", "--format=%cI", self.commit])
        return date.fromisoformat(stamp[:10].decode("ascii"))

    def _entries(self) -> list[_Entry]:
        entries = []
        for row in git(self.root, ["ls-tree", "-r", "-z", self.commit]).split(b"\0"):
            if row:
                facts, _, name = row.partition(b"\t")
                mode, _, blob = facts.decode("ascii").split(" ")
                entries.append(_Entry(mode, blob, "0", name.decode("utf-8", "surrogateescape")))
        return entries


def _sizes(root: Path, blobs: list[str]) -> dict[str, int]:
    given = "".join(f"{blob}\n" for blob in blobs).encode("ascii")
    sizes = {}
    for row in git(root, ["cat-file", "--batch-check"], given).decode("ascii").splitlines():
        parts = row.split(" ")
        if len(parts) == 3:
            sizes[parts[0]] = int(parts[2])
    return sizes


def _contents(root: Path, blobs: list[str]) -> dict[str, bytes]:
    """Content by blob id, from one run of git; an id that git lacks is simply not there."""
    given = "".join(f"{blob}\n" for blob in blobs).encode("ascii")
    answer = git(root, ["cat-file", "--batch"], given)
    contents: dict[str, bytes] = {}
    start = 0
    while start < len(answer):
        end = answer.index(b"\n", start)
        parts = answer[start:end].decode("ascii").split(" ")
        start = end + 1
        if len(parts) == 3:
            size = int(parts[2])
            contents[parts[0]] = answer[start : start + size]
            start += size + 1
    return contents
