"""Reads a repository for a command that shows what is in it and judges nothing."""

from __future__ import annotations

import os
from collections.abc import Collection as Names
from collections.abc import Sequence
from difflib import get_close_matches
from pathlib import Path

from msgspec import Struct

from dietcheck.collection.build import UnknownSettings, build
from dietcheck.collection.collection import Collection
from dietcheck.collection.places import Pointer
from dietcheck.commands.arguments import Usage
from dietcheck.commands.output import complain
from dietcheck.commands.report_files import Target
from dietcheck.errors import JobError
from dietcheck.reading import Folder, read_repository
from dietcheck.reading.problems import listed, show

MOST_TOLD = 10


class Opened(Struct, frozen=True, eq=False):
    """A collection as far as it could be read, and what could not, a line each."""

    collection: Collection
    described: str
    drafts: tuple[str, ...]
    unread: tuple[str, ...]

    def tell(self) -> int:
        """Say on standard error what could not be read. The exit status: 2 if there was any."""
        if not self.unread:
            return 0
        count = len(self.unread)
        things = "1 thing" if count == 1 else f"{count} things"
        complain(f"dietcheck: {things} could not be read, so what is shown may not be whole:")
        for said in self.unread[:MOST_TOLD]:
            complain(f"  {said}")
        if count > MOST_TOLD:
            complain(f"  and {count - MOST_TOLD} more: “dietcheck screen” tells all of them.")
        return 2


def folder(text: str) -> Path:
    """The folder that somebody named. Raises Usage."""
    root = Path(text)
    if os.path.isfile(root):
        raise Usage(f"{show(text, 200)} is a file.", "Name the folder that it lies in.")
    if not os.path.isdir(root):
        raise Usage(
            f"there is no folder {show(text, 200)}.", "Name the folder that holds dietcheck.yaml."
        )
    return root


def open_repository(root: Path, drafts: Sequence[tuple[str, bytes]] = ()) -> Opened:
    """Read and link a folder with drafts laid over it. Raises JobError if it is no repository."""
    repository = read_repository(Folder(root), drafts)
    try:
        collection = build(
            (Pointer(facts.file), facts.data)
            for facts in repository.files
            if facts.data is not None
        )
    except UnknownSettings:
        told = [str(p) for p in repository.problems if p.file == "dietcheck.yaml"]
        raise JobError(
            "dietcheck.yaml cannot be read, so nothing else can be. " + " ".join(told[:1]),
            "Put it right first.",
        ) from None
    unread = [show(str(problem), 400) for problem in repository.problems]
    for trouble in collection.troubles:
        place = repository.place(trouble.place.file, trouble.place.path)
        where = f"{trouble.place.file}:{place.line}:{place.column}"
        unread.append(show(f"{where}: {trouble.message} {trouble.remedy}", 400))
    return Opened(
        collection,
        repository.described,
        tuple(facts.file for facts in repository.files if facts.draft),
        tuple(unread),
    )


def read_target_of(text: str, kinds: Names[str]) -> Target:
    """The `KIND:FILE` of a `--write` that knows these kinds. Raises Usage."""
    kind, colon, file = text.partition(":")
    if kind in kinds and colon and file and file != "-":
        return Target(kind, file)
    near = get_close_matches(kind, kinds, n=1)
    example = near[0] if near else next(iter(kinds))
    raise Usage(
        f"--write: {show(text)} is not what can be written here.",
        f"Write {listed(kinds)}, a colon and the name of a file: "
        f"--write {example}:ration.{example}",
    )
