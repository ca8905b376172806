"""Reads a CSV file: UTF-8, with commas, semicolons or tabs between the cells."""

from __future__ import annotations

import csv
import io

from dietcheck.commands.spreadsheet.cells import MOST_COLUMNS, MOST_ROWS, Sheet, Value
from dietcheck.errors import JobError
from dietcheck.reading.problems import show

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "'")


def read_csv(name: str, raw: bytes) -> list[Sheet]:
    """The one sheet of a CSV file. JobError if it is none."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise JobError(
            f"{show(name, 200)}, line {line}: here stands a byte that is not UTF-8 text.",
            "Save it again as “CSV UTF-8”.",
        ) from error
    if "\0" in text:
        raise JobError(f"{show(name, 200)} is no CSV file.", "Save it as “CSV UTF-8” or XLSX.")
    first = next((line for line in text.splitlines() if line.strip()), "")
    between = max(",;\t", key=lambda sign: len(_split(first, sign)))
    sheet = Sheet(name)
    cells: dict[tuple[int, int], Value] = {}
    try:
        for number, row in enumerate(
            csv.reader(io.StringIO(text, newline=""), delimiter=between, strict=True), 1
        ):
            filled = {i: cell for i, cell in enumerate(row, 1) if cell.strip()}
            if number > MOST_ROWS or max(filled, default=0) > MOST_COLUMNS:
                raise JobError(
                    f"{show(name, 200)} has over {MOST_ROWS:,} rows or {MOST_COLUMNS} columns.",
                    "Split it into several files.",
                )
            cells.update({(number, i): _plain(cell) for i, cell in filled.items()})
    except csv.Error as error:
        raise JobError(
            f"{show(name, 200)} cannot be read as CSV ({error}).",
            "Look for a quotation mark that is not closed, or save it as XLSX.",
        ) from error
    sheet.take(cells)
    return [sheet]


def _split(line: str, sign: str) -> list[str]:
    return next(csv.reader([line], delimiter=sign), [])


def _plain(cell: str) -> str:
    """The text without the ' that keeps a program from taking it for a formula."""
    return cell[1:] if cell[:1] == "'" and cell[1:].startswith(FORMULA_STARTS) else cell
