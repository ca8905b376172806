"""Rows of a sheet to records. Every cell that cannot be read is told; then there are no records."""

from __future__ import annotations

from difflib import get_close_matches
from typing import Any

from msgspec import Struct, field

from dietcheck.commands.spreadsheet.cells import Ref, Sheet, Trouble
from dietcheck.commands.spreadsheet.draft import Draft, finish
from dietcheck.commands.spreadsheet.layout import DIETS, ROTAS, kind_of
from dietcheck.commands.spreadsheet.rows import Known, Rows
from dietcheck.reading.problems import show


class Read(Struct):
    """What was read: records with the file each belongs in, or the cells in the way."""

    records: dict[str, dict[str, Any]] = field(default_factory=dict)
    troubles: list[Trouble] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def records_of(sheets: list[Sheet], known: Known) -> Read:
    """All records of some sheets. With any trouble, no record."""
    read = Read()
    ours = 0
    drafts: dict[tuple[str, str, str], Draft] = {}
    for sheet in sheets:
        kind = kind_of(sheet.headings)
        if kind is None and sheet.name not in (DIETS, ROTAS):
            near = get_close_matches(sheet.name.title(), (DIETS, ROTAS), 1, 0.7)
            if near:
                sheet.refuse(
                    1,
                    1,
                    f"this looks like the sheet {near[0]}, but its headings do not.",
                    "Take the headings of the template for its first row.",
                )
                read.troubles += sheet.troubles
            else:
                read.notes.append(f"the sheet {show(sheet.name)} was not read: not of this layout.")
            continue
        ours += 1
        Rows(sheet, kind or sheet.name, known, drafts).run()
        read.troubles += sheet.troubles
        read.notes += sheet.notes
    if not ours and not read.troubles:
        name = sheets[0].name if sheets else "file"
        read.troubles.append(
            Trouble(
                Ref(name, 1, 1),
                "no headings of a diet sheet or a rota stand here.",
                "Take the headings of the template for the first row: dietcheck sheets --template.",
            )
        )
    for (kind, group, start), draft in drafts.items():
        refused = {trouble.at for trouble in read.troubles}
        finish(kind, draft, read.troubles, refused)
        folder = "diet-sheets" if kind == DIETS else "rotas"
        read.records[f"{folder}/{group}-{start}.yaml"] = draft.data
    read.troubles.sort()
    if read.troubles:
        read.records.clear()
    return read
