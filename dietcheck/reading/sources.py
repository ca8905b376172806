"""Where records come from: the folder as it lies, or what is staged for commit.

Both list only ordinary files with `.yaml` or `.yml` names, follow no link, and look at a file's
size before reading it. What should have been a record but cannot be one is told, not skipped.
"""

from __future__ import annotations

from pathlib import Path
from typing import Protocol

from dietcheck.errors import JobError, NotARepository
from dietcheck.outside.files import (
    LINK,
    LINK_TO_FOLDER,
    RECORD,
    SHUT,
    SPECIAL,
    Lying,
    Unreadable,
)
from dietcheck.reading.problems import Problem, show

TOTAL_LIMIT = 64 * 1024 * 1024
"""Bytes of all records together: about five times a collection of a thousand groups."""


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


def too_much() -> JobError:
    """The refusal of records that together are larger than any collection's."""
    return JobError(
        f"the records here have more than {TOTAL_LIMIT // 1024**2} MiB in all.",
        "List what is no record under leave_out in dietcheck.yaml.",
    )


class Folder:
    """The records of a folder as it lies on disk."""

    def __init__(self, root: str | Path, lying: Lying | None = None) -> None:
        self.root = Path(root)
        if not self.root.is_dir():
            raise NotARepository(
                f"there is no folder {show(str(root))}.",
                "Name the folder that holds dietcheck.yaml.",
            )
        self._lying = lying or Lying(root)
        self._names: dict[str, None] | None = None
        self._problems: list[Problem] = []

    def describe(self) -> str:
        return "the folder as it lies"

    def problems(self) -> tuple[Problem, ...]:
        self._listed()
        return tuple(sorted(self._problems))

    def names(self) -> list[str]:
        return list(self._listed())

    def read(self, name: str) -> bytes:
        if name not in self._listed():
            raise Unreadable("this file is not one of the records here.", "Check its name.")
        return self._lying.read(name)

    def _listed(self) -> dict[str, None]:
        """The names in order, and whether one is among them at once."""
        if self._names is None:
            things = self._lying.things()
            self._names = {name: None for kind, name in things if self._is_record(kind, name)}
        return self._names

    def _is_record(self, kind: str, name: str) -> bool:
        """Whether it is a record that can be read; of all else, that it cannot is told."""
        problem = name_problem(name)
        if problem is None:
            if kind == RECORD:
                return True
            problem = _OF_KIND[kind](name)
        self._problems.append(problem)
        return False


def shut_problem(name: str) -> Problem:
    """A problem for a folder that hides what is in it."""
    return Problem(name, 1, 1, "this folder cannot be looked into.", "Check that you may read it.")


_OF_KIND = {
    LINK: link_problem,
    LINK_TO_FOLDER: link_problem,
    SPECIAL: special_problem,
    SHUT: shut_problem,
}
