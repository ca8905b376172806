"""What a reader of spreadsheets hands on: sheets of rows of cells, and what it refused."""

from __future__ import annotations

import string
from collections.abc import Mapping
from datetime import date

from msgspec import Struct, field

MOST_ROWS, MOST_COLUMNS = 20_000, 200
MOST_BYTES = 8 * 1024 * 1024


class Number(Struct, frozen=True):
    """A number as text in full, and whether it is shown as the plain whole number it is."""

    text: str
    plain: bool


Value = str | date | Number


class Ref(Struct, frozen=True, order=True):
    """A cell: the sheet's name, its row and column counted from 1."""

    sheet: str
    row: int
    column: int

    def __str__(self) -> str:
        return f"{self.sheet}!{letters(self.column)}{self.row}"


class Trouble(Struct, frozen=True, order=True):
    """A cell that cannot be read, why, and what to do."""

    at: Ref
    message: str
    remedy: str


class Sheet(Struct):
    """One sheet: the headings by column (in row `top`), and the cells of each row that has any.

    `troubles` are cells that were refused already; `notes` what a person should know.
    """

    name: str
    top: int = 1
    headings: dict[int, str] = field(default_factory=dict)
    rows: dict[int, dict[int, Value]] = field(default_factory=dict)
    troubles: list[Trouble] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    refused: set[Ref] = field(default_factory=set)

    def refuse(self, row: int, column: int, message: str, remedy: str) -> None:
        """Put a cell down as one that cannot be read."""
        at = Ref(self.name, row, column)
        if at not in self.refused:  # the first reason is the one that counts
            self.refused.add(at)
            self.troubles.append(Trouble(at, message, remedy))

    def take(self, cells: Mapping[tuple[int, int], Value]) -> None:
        """Sort cells into headings (the first row that has any) and rows."""
        self.top = min((row for row, _ in cells), default=1)
        for (row, column), value in sorted(cells.items()):
            if row == self.top:
                self.headings[column] = value if isinstance(value, str) else str(value)
            else:
                self.rows.setdefault(row, {})[column] = value


def letters(column: int) -> str:
    """The letters of a column counted from 1: A, B … Z, AA."""
    text = ""
    while column:
        column, left = divmod(column - 1, 26)
        text = string.ascii_uppercase[left] + text
    return text
