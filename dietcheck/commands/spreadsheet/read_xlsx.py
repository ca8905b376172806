"""Reads an XLSX file with care: nothing in it is run or fetched, and nothing is passed over.

A formula counts by the result that was saved with it. What is hidden, struck through, in error,
or in a merged block that could mean several things is refused by its cell.
"""

from __future__ import annotations

import io
import warnings
import zipfile
from datetime import date, datetime, time, timedelta
from typing import Any

from dietcheck.commands.spreadsheet.cells import (
    MOST_COLUMNS,
    MOST_ROWS,
    Number,
    Sheet,
    Value,
    letters,
)
from dietcheck.commands.spreadsheet.layout import DIETS, HELP, NAMES, ROTAS, kind_of
from dietcheck.errors import JobError
from dietcheck.reading.problems import show

MOST_UNPACKED = 64 * 1024 * 1024
MOST_PARTS = 500
MAY_RUN_DOWN = frozenset({"group", "from", "starts", "until", "reason", "written by", "meal"})


def read_xlsx(name: str, raw: bytes) -> list[Sheet]:
    """Every sheet that holds anything of ours. JobError if the file cannot be read at all."""
    _check_package(name, raw)
    try:
        from openpyxl import load_workbook
    except ImportError:
        raise JobError(
            "XLSX files need openpyxl, which is not installed.", "pip install 'openpyxl>=3.1'"
        ) from None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            said = load_workbook(io.BytesIO(raw), keep_links=False)
            kept = load_workbook(io.BytesIO(raw), keep_links=False, data_only=True)
    except Exception as error:  # a broken file makes openpyxl raise nearly anything
        raise _broken(name, type(error).__name__) from error
    sheets = []
    for work in said.worksheets:
        if work.title in (HELP, NAMES):
            continue
        sheet = _read_sheet(work, kept[work.title])
        if sheet.headings or sheet.troubles:
            sheets.append(sheet)
    return sheets


def _check_package(name: str, raw: bytes) -> None:
    try:
        package = zipfile.ZipFile(io.BytesIO(raw))
        parts = package.infolist()
        if len(parts) > MOST_PARTS or sum(part.file_size for part in parts) > MOST_UNPACKED:
            raise JobError(
                f"{show(name, 200)} unpacks to more than {MOST_UNPACKED // 2**20} MB.",
                "Copy the rows into a new file: a year of diets has far less.",
            )
        for part in parts:
            if part.filename.endswith((".xml", ".rels")):
                text = package.read(part)
                if b"<!" in text.replace(b"<![CDATA[", b"").replace(b"<!--", b"") or b"\0" in text:
                    raise _broken(name, "it declares names of its own")
    except JobError:
        raise
    except Exception as error:
        raise _broken(name, type(error).__name__) from error


def _broken(name: str, why: str) -> JobError:
    return JobError(
        f"{show(name, 200)} cannot be read as an XLSX file ({why}).",
        "Open it in your spreadsheet program and save it again as XLSX (not .xls, not .ods), "
        "without a password.",
    )


def _read_sheet(work: Any, kept: Any) -> Sheet:
    sheet = Sheet(work.title)
    if work.max_row > MOST_ROWS or work.max_column > MOST_COLUMNS:
        sheet.refuse(
            work.max_row,
            work.max_column,
            f"the sheet reaches to row {work.max_row:,}, column {letters(work.max_column)}.",
            "Delete the rows and columns after the last one, or copy the rows to a new sheet.",
        )
        return sheet
    cells: dict[tuple[int, int], Value] = {}
    formulas: list[str] = []
    for row in work.iter_rows():
        for cell in row:
            if cell.comment is not None:
                sheet.notes.append(f"{work.title}!{cell.coordinate}: its comment is not read.")
            if cell.value is None or (isinstance(cell.value, str) and not cell.value.strip()):
                continue
            value = cell.value
            if cell.data_type == "f":
                value = kept.cell(cell.row, cell.column).value
                formulas.append(cell.coordinate)
                if value is None or value == "":
                    sheet.refuse(
                        cell.row,
                        cell.column,
                        "here stands a formula, and no result was saved with it.",
                        "Type the result itself, or open and save the file in a spreadsheet "
                        "program.",
                    )
                    continue
            if (read := _value(sheet, cell, value)) is not None:
                cells[cell.row, cell.column] = read
    sheet.take(cells)
    if kind_of(sheet.headings) is None and work.title not in (DIETS, ROTAS):
        return sheet  # not ours: told as a whole by whoever asked
    if formulas:
        sheet.notes.append(
            f"{work.title}: the saved results of formulas were taken in {', '.join(formulas[:20])}"
            + (f" and {len(formulas) - 20} more." if len(formulas) > 20 else ".")
        )
    _merged(sheet, work)
    _hidden(sheet, work)
    return sheet


def _value(sheet: Sheet, cell: Any, value: Any) -> Value | None:
    """A cell's value as we have it; None if it was refused."""
    message = remedy = ""
    if cell.font is not None and cell.font.strike:
        message = "this is struck through."
        remedy = "Delete it, or take the line through it away if it counts."
    elif isinstance(value, str):
        if not (
            cell.data_type == "e" or (value.startswith("#") and value.endswith(("!", "?", "/A")))
        ):
            return value
        message, remedy = f"here stands the error {show(value)}.", "Type the value itself."
    elif isinstance(value, datetime):
        if value.time() == time(0):
            return value.date()
        message, remedy = f"“{value}” is a time of day as well.", "Type the date alone."
    elif isinstance(value, date):
        return value
    elif isinstance(value, bool):
        message, remedy = f"here stands {str(value).upper()}.", "Type it as text."
    elif isinstance(value, int | float):
        text = f"{value:.15g}"
        if "e" not in text and "n" not in text and "%" not in str(cell.number_format):
            plain = isinstance(value, int) and cell.number_format in ("General", "0", "@")
            return Number(text, plain)
        message, remedy = f"{text} is no plain number.", "Type it as a plain number."
    elif isinstance(value, time | timedelta):
        message = f"the program has made a time of day ({value}) of what was typed."
        remedy = "Set the cell's format to text and type it again."
    else:
        message, remedy = "this cell is of a kind that is not known.", "Type it as text."
    sheet.refuse(cell.row, cell.column, message, remedy)
    return None


def _merged(sheet: Sheet, work: Any) -> None:
    for block in work.merged_cells.ranges:
        top = sheet.rows.get(block.min_row, {}).get(block.min_col)
        if top is None:
            continue
        heading = sheet.headings.get(block.min_col, "").strip().casefold()
        if block.min_col != block.max_col or heading not in MAY_RUN_DOWN:
            sheet.refuse(
                block.min_row,
                block.min_col,
                f"the cells {block.coord} are merged, so it is not clear what belongs where.",
                "Split them and fill each cell.",
            )
            continue
        for row in range(block.min_row, block.max_row + 1):
            if row in sheet.rows:
                sheet.rows[row][block.min_col] = top


def _hidden(sheet: Sheet, work: Any) -> None:
    show_it = "Show it (take filters and groups away), or delete it."
    if work.sheet_state != "visible":
        sheet.refuse(1, 1, "this sheet is hidden.", show_it)
        return
    for row, cells in sheet.rows.items():
        size = work.row_dimensions[row]
        if size.hidden or size.height == 0:
            sheet.refuse(row, min(cells), f"row {row} is hidden, yet has something in it.", show_it)
    for size in work.column_dimensions.values():
        if not size.hidden and size.width != 0:
            continue
        for column in range(size.min or 1, min(size.max or 1, MOST_COLUMNS) + 1):
            used = [row for row, cells in sheet.rows.items() if column in cells]
            if used:
                sheet.refuse(
                    used[0],
                    column,
                    f"column {letters(column)} is hidden, yet has something in it.",
                    show_it,
                )
