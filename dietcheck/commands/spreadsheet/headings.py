"""The headings of a sheet to the fields of a record."""

from __future__ import annotations

from difflib import get_close_matches

from dietcheck.commands.spreadsheet.cells import Sheet
from dietcheck.commands.spreadsheet.layout import Column, Slot, decode, known_headings, slot_of
from dietcheck.reading.problems import listed, show


def columns_of(sheet: Sheet, kind: str, feeds: tuple[str, ...]) -> dict[int, tuple[Slot, Column]]:
    """The field of each column that holds something; what is no field is refused."""
    fixed = known_headings(kind, feeds)
    found: dict[int, tuple[Slot, Column]] = {}
    for column, raw in sheet.headings.items():
        try:
            heading = str(decode(raw.strip()))
        except ValueError:
            heading = raw
        slot = fixed.get(heading.casefold()) or slot_of(heading)
        used = any(column in cells for cells in sheet.rows.values())
        if slot is None:
            titles = [c.heading for _, c in fixed.values()]
            near = get_close_matches(heading.capitalize(), titles, 1, 0.5)
            hint = f"Did you mean “{near[0]}”? " if near else ""
            sheet.refuse(
                sheet.top,
                column,
                f"the heading “{show(heading)}” is not known.",
                f"{hint}Write one of: {listed(titles)}; or “x-…” for a column of your own.",
            )
        elif slot[0] in {one[0] for one in found.values()}:
            sheet.refuse(
                sheet.top,
                column,
                f"the heading “{show(heading)}” stands here twice.",
                "Keep one of the two columns.",
            )
        elif used or slot[0][0] != "feed":
            found[column] = slot
    for row, cells in sheet.rows.items():
        for column in cells.keys() - sheet.headings.keys():
            sheet.refuse(
                row,
                column,
                "there is no heading over this cell.",
                "Write a heading into the first row, or empty the cell.",
            )
    return found
