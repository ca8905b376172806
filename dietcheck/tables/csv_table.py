"""Read a bundled table once, line by line, so that a look-up costs one row and not the file.

Every bundled table keeps one row on one line and its key in the first cell, unquoted; a test
walks all tables to hold them to it.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from functools import cache
from pathlib import Path

_DATA = Path(__file__).parent / "data"


class Table:
    """The rows of one bundled file under their key; a key may have several rows."""

    __slots__ = ("_lines", "columns")

    def __init__(self, text: str) -> None:
        head, *lines = text.split("\n")
        self.columns = tuple(head.split(","))
        self._lines: dict[str, list[str]] = {}
        for line in lines:
            if line:
                self._lines.setdefault(line.partition(",")[0], []).append(line)

    def names(self) -> tuple[str, ...]:
        """All keys, in the order of the file."""
        return tuple(self._lines)

    def rows(self, key: str) -> list[dict[str, str]]:
        """The rows under a key, none if there is no such key; a blank cell is an empty text."""
        read = csv.reader(self._lines.get(key, ()))
        return [dict(zip(self.columns, cells, strict=True)) for cells in read]

    def all_rows(self) -> Iterator[dict[str, str]]:
        """Every row of the file."""
        for key in self._lines:
            yield from self.rows(key)

    def last_cells(self) -> Iterator[tuple[str, str]]:
        """Key and last cell of every row, for a last column that is never quoted."""
        for key, lines in self._lines.items():
            for line in lines:
                yield key, line.rpartition(",")[2]


@cache
def table(name: str) -> Table:
    """A bundled table by its file name without ending; read on first use and kept."""
    return Table((_DATA / f"{name}.csv").read_text(encoding="utf-8"))
