"""What can be wrong with a record, and where: the values that every reader hands out."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from msgspec import Struct

from dietcheck.errors import show

__all__ = ["Flaw", "Path", "Place", "Problem", "listed", "show"]

Path = tuple[str | int, ...]
"""The way to a value inside a document: names and places counted from 0."""


class Place(Struct, frozen=True):
    """A line and a column, both counted from 1; the column counts code points."""

    line: int = 1
    column: int = 1


class Problem(Struct, frozen=True):
    """One thing in one record that stops it being read, and what to do about it."""

    file: str
    line: int
    column: int
    message: str
    remedy: str
    path: Path = ()

    @property
    def sort_key(self) -> tuple[Any, ...]:
        """By file, then place; the inner path last (as text, for it mixes names and numbers)."""
        inner = tuple(map(str, self.path))
        return (self.file, self.line, self.column, self.message, self.remedy, inner)

    def __lt__(self, other: Problem) -> bool:
        return self.sort_key < other.sort_key

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}: {self.message} {self.remedy}".rstrip()


class Flaw(Struct, frozen=True):
    """A problem of one document before it is known which file holds it."""

    place: Place
    message: str
    remedy: str
    path: Path = ()

    def of(self, file: str) -> Problem:
        """Say which file the flaw is in."""
        return Problem(
            file, self.place.line, self.place.column, self.message, self.remedy, self.path
        )


def listed(words: Iterable[str], last: str = "or") -> str:
    """Words in a row as one says them: `a, b or c`."""
    row = list(words)
    if len(row) < 2:
        return "".join(row)
    return f"{', '.join(row[:-1])} {last} {row[-1]}"
