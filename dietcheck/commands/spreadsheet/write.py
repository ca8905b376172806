"""Writes the two sheets as a workbook or as CSV files, so that no cell is taken for a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any

from dietcheck.commands.spreadsheet.cells import letters
from dietcheck.commands.spreadsheet.layout import (
    CSV_FILES,
    DATE,
    DIETS,
    HELP,
    NAMES,
    ROTAS,
    UNITS,
    Column,
)
from dietcheck.commands.spreadsheet.read_csv import FORMULA_STARTS
from dietcheck.commands.spreadsheet.to_rows import Cell, Filled
from dietcheck.errors import JobError
from dietcheck.reading.kinds import schema

LONGEST_CELL = 32_767
EMPTY_ROWS = 500  # rows below the last that get the drop-down lists as well
FIRST_SURE_DATE = date(1900, 3, 1)  # spreadsheets count a 29 February 1900 that never was

EXAMPLES: Mapping[str, tuple[tuple[Cell, ...], ...]] = {
    DIETS: (
        (
            "red-panda",
            "2026-10-01",
            "",
            "winter sheet",
            "Pia Renn",
            "biscuit and bamboo",
            "",
            "panda-biscuit",
            "65 g per animal",
        ),
        (
            "red-panda",
            "2026-10-01",
            "",
            "",
            "",
            "biscuit and bamboo",
            "",
            "bamboo-leaf",
            175,
            "g per animal",
        ),
        (
            "red-panda",
            "2026-10-01",
            "",
            "",
            "",
            "biscuit and bamboo",
            "supplement",
            "fish-tablet",
            "1 piece per animal",
        ),
    ),
    ROTAS: (
        (
            "red-panda",
            "2026-11-16",
            "",
            "Jory Lindahl",
            1,
            "biscuit and bamboo",
            "biscuit and bamboo; training pear",
        ),
        ("red-panda", "2026-11-16", "", "", 2, "biscuit and bamboo", "no feed"),
    ),
}


def csv_files(sheets: Sequence[Filled]) -> dict[str, bytes]:
    """The CSV files by name: commas, UTF-8 with a mark that spreadsheet programs look for."""
    files = {}
    for sheet in sheets:
        out = io.StringIO(newline="")
        writer = csv.writer(out)
        writer.writerow([_safe(column.heading) for column in sheet.columns])
        for row in sheet.rows:
            writer.writerow([_safe(cell) for cell in row])
        files[CSV_FILES[sheet.name]] = b"\xef\xbb\xbf" + out.getvalue().encode()
    return files


def _safe(cell: Cell) -> str:
    text = "" if cell is None else str(cell)
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


def workbook(sheets: Sequence[Filled], groups: Sequence[str], foods: Sequence[str]) -> bytes:
    """An XLSX file: the two sheets, how to fill them in, and the names for drop-down lists."""
    try:
        from openpyxl import Workbook
    except ImportError:
        raise JobError(
            "XLSX files need openpyxl, which is not installed.",
            "pip install 'openpyxl>=3.1', or name a folder to get CSV files.",
        ) from None
    book = Workbook()
    book.remove(book.active)
    for sheet in sheets:
        _fill(book.create_sheet(sheet.name), sheet, len(groups), len(foods))
    _explain(book.create_sheet(HELP), sheets)
    names = book.create_sheet(NAMES)
    for row, pair in enumerate(_pairs(["Groups", *groups], ["Foods", *foods]), 1):
        for column, text in enumerate(pair, 1):
            _put(names.cell(row, column), text)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _pairs(left: list[str], right: list[str]) -> list[tuple[str | None, str | None]]:
    size = max(len(left), len(right))
    return list(
        zip(left + [""] * (size - len(left)), right + [""] * (size - len(right)), strict=True)
    )


def _put(cell: Any, value: Cell) -> None:
    if value is None or value == "":
        return
    if isinstance(value, date):
        if value < FIRST_SURE_DATE:
            value = value.isoformat()
        else:
            cell.value = datetime(value.year, value.month, value.day)
            cell.number_format = "yyyy-mm-dd"
            return
    if isinstance(value, str):
        if len(value) > LONGEST_CELL:
            raise JobError("a text is too long for a cell.", "Shorten it in its record.")
        cell.value = value
        cell.data_type = "s"  # never a formula
        cell.number_format = "@"  # so that what is typed over it stays text
    else:
        cell.value = value


def _fill(work: Any, sheet: Filled, groups: int, foods: int) -> None:
    from openpyxl.styles import Font

    for number, column in enumerate(sheet.columns, 1):
        _put(work.cell(1, number), column.heading)
        work.cell(1, number).font = Font(bold=True)
        size = work.column_dimensions[letters(number)]
        size.width = max(12, min(40, len(column.heading) + 6))
        size.number_format = "yyyy-mm-dd" if column.holds == DATE else "@"
    for row, cells in enumerate(sheet.rows, 2):
        for number, cell in enumerate(cells, 1):
            _put(work.cell(row, number), cell)
    work.freeze_panes = "A2"
    last = len(sheet.rows) + EMPTY_ROWS
    for number, column in enumerate(sheet.columns, 1):
        if choices := _choices(column, groups, foods):
            from openpyxl.worksheet.datavalidation import DataValidation

            choice = DataValidation(type="list", formula1=choices, allow_blank=True)
            choice.errorStyle = "warning"
            choice.add(f"{letters(number)}2:{letters(number)}{last}")
            work.add_data_validation(choice)


def _choices(column: Column, groups: int, foods: int) -> str:
    purposes = schema("diet sheet")["$defs"]["purpose"]["enum"]
    if column.field == "group" and groups:
        return f"{NAMES}!$A$2:$A${groups + 1}"
    if column.field in ("food", "instead_of") and foods:
        return f"{NAMES}!$B$2:$B${foods + 1}"
    words = {
        "treat": purposes,
        "unit": UNITS,
        "fast": ("planned",),
        "part": ("supplement", "again"),
    }
    return f'"{",".join(words[column.field])}"' if column.field in words else ""


def _explain(work: Any, sheets: Sequence[Filled]) -> None:
    row = 1
    for sheet in sheets:
        _put(
            work.cell(row, 1),
            f"The sheet “{sheet.name}”: a row for each "
            + ("food of a meal." if sheet.name == DIETS else "day of a rota."),
        )
        for column in sheet.columns:
            row += 1
            _put(work.cell(row, 1), column.heading)
            _put(work.cell(row, 2), column.help or "The meal at this feed; several with ; between.")
        row += 1
        _put(work.cell(row, 1), "Examples (this sheet is not read):")
        for number, column in enumerate(sheet.columns, 1):
            _put(work.cell(row + 1, number), column.heading)
        row += 2
        for example in EXAMPLES[sheet.name]:
            for number, text in enumerate(example, 1):
                _put(work.cell(row, number), text)
            row += 1
        row += 1
    work.column_dimensions["A"].width = 22
