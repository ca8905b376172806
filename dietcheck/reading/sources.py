"""Where records come from: the folder as it lies, or what is staged for commit.

Both list only ordinary files with `.yaml` or `.yml` names, follow no link, and look at a file's
size before reading it. What should have been a record but cannot be one is told, not skipped.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import Protocol

from dietcheck.errors import JobError
from dietcheck.reading.problems import Problem, show
from dietcheck.reading.text import SIZE_LIMIT, too_large

FILE_LIMIT = 20_000
"""Records in one repository."""

TOTAL_LIMIT = 64 * 1024 * 1024
"""Bytes of all records together: about five times a collection of a thousand groups."""


class NotARepository(JobError):
    """The place named holds no records to check."""


class Unreadable(Exception):
    """One file cannot be read; becomes a problem of that file."""

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy


class Source(Protocol):
    """What read_repository needs to know of a place where records lie."""

    def names(self) -> list[str]:
        """Names of all records from the root, with `/` between folders, sorted."""

    def read(self, name: str) -> bytes:
        """The bytes of one of the names; Unreadable if that cannot be done."""

    def problems(self) -> tuple[Problem, ...]:
        """What lies there under a record's name and cannot be a record."""

    def describe(self) -> str:
        """What was read, in words for the summary."""


def is_record_name(name: str) -> bool:
    """Whether a file of this name has to be a record. Capitals count: `X.YAML` is no way out."""
    return name.lower().endswith((".yaml", ".yml"))


def hidden(name: str) -> bool:
    """Whether a name, or a folder on the way to it, starts with a dot."""
    return name.startswith(".") or "/." in name


def name_problem(name: str) -> Problem | None:
    """A problem for a name that cannot be shown or written down."""
    try:
        name.encode("utf-8")
        if name.isprintable():
            return None
        what = "characters that cannot be seen"
    except UnicodeEncodeError:
        what = "bytes that are not UTF-8"
    shown = show(name.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace"))
    return Problem(shown, 1, 1, f"the name of this file has {what} in it.", "Give it a plain name.")


def link_problem(name: str) -> Problem:
    """A problem for a link, which is never followed."""
    return Problem(
        name,
        1,
        1,
        "this is a link to another place; links are not followed.",
        "Put the file or folder itself here, or list it under leave_out in dietcheck.yaml.",
    )


def special_problem(name: str) -> Problem:
    """A problem for a pipe, a device and the like under a record's name."""
    return Problem(name, 1, 1, "this is not an ordinary file.", "Remove it or rename it.")


def too_many() -> JobError:
    """The refusal of a place with more files than any collection has."""
    return JobError(
        f"there are more than {FILE_LIMIT:,} records here.",
        "Name the folder that holds the diet records, not one above it.",
    )


def too_much() -> JobError:
    """The refusal of records that together are larger than any collection's."""
    return JobError(
        f"the records here have more than {TOTAL_LIMIT // 1024**2} MiB in all.",
        "List what is no record under leave_out in dietcheck.yaml.",
    )


class Folder:
    """The records of a folder as it lies on disk."""

    def __init__(self, root: str | Path) -> None:
        self.root = Path(root)
        if not self.root.is_dir():
            raise NotARepository(
                f"there is no folder {show(str(root))}.",
                "Name the folder that holds dietcheck.yaml.",
            )
        self._names: list[str] | None = None
        self._problems: list[Problem] = []

    def describe(self) -> str:
        return "the folder as it lies"

    def problems(self) -> tuple[Problem, ...]:
        self.names()
        return tuple(sorted(self._problems))

    def names(self) -> list[str]:
        if self._names is None:
            self._names = sorted(self._walk())
        return self._names

    def read(self, name: str) -> bytes:
        if name not in self.names():
            raise Unreadable("this file is not one of the records here.", "Check its name.")
        try:
            return read_plain_file(self.root / name)
        except OSError as error:
            reason = error.strerror or "unknown reason"
            raise Unreadable(
                f"this file cannot be opened ({reason}).", "Check that you may read it."
            ) from error

    def _walk(self) -> list[str]:
        found: list[str] = []
        folders = [""]
        while folders:
            folder = folders.pop()
            for entry in self._entries(folder):
                name = folder + entry.name
                if entry.name.startswith("."):
                    continue
                if entry.is_dir(follow_symlinks=False):
                    folders.append(name + "/")
                elif self._is_record(entry, name):
                    found.append(name)
            if len(found) > FILE_LIMIT:
                raise too_many()
        return found

    def _is_record(self, entry: os.DirEntry[str], name: str) -> bool:
        """Whether a thing that is no folder is a record; if it only looks like one, say so."""
        named = is_record_name(name)
        if entry.is_symlink():
            if named or entry.is_dir():
                self._problems.append(name_problem(name) or link_problem(name))
            return False
        if not named:
            return False
        if problem := name_problem(name):
            self._problems.append(problem)
            return False
        if not entry.is_file(follow_symlinks=False):
            self._problems.append(special_problem(name))
            return False
        return True

    def _entries(self, folder: str) -> list[os.DirEntry[str]]:
        try:
            with os.scandir(self.root / folder) as entries:
                return list(entries)
        except OSError as error:
            if not folder:
                raise JobError(
                    f"the folder {show(str(self.root))} cannot be looked into.",
                    "Check that you may read it.",
                ) from error
            name = folder.rstrip("/")
            self._problems.append(
                name_problem(name)
                or Problem(
                    name, 1, 1, "this folder cannot be looked into.", "Check that you may read it."
                )
            )
            return []


def read_plain_file(path: Path) -> bytes:
    """Bytes of an ordinary file. Opened without following a link and without waiting for a pipe,
    then looked at through the open file, so that nothing can be swapped in between."""
    flags = os.O_RDONLY
    for name in ("O_NOFOLLOW", "O_NONBLOCK", "O_BINARY", "O_CLOEXEC"):
        flags |= getattr(os, name, 0)
    with open(os.open(path, flags), "rb") as file:
        facts = os.fstat(file.fileno())
        if not stat.S_ISREG(facts.st_mode):
            raise Unreadable("this is not an ordinary file.", "Remove it or rename it.")
        if refusal := too_large(facts.st_size):
            raise Unreadable(*refusal)
        return file.read(SIZE_LIMIT + 1)
