"""Rows of a sheet to records. Every cell that cannot be read is told; then there are no records."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from difflib import get_close_matches
from typing import Any

from msgspec import Struct, field

from dietcheck.commands.spreadsheet.cells import Number, Ref, Sheet, Trouble, Value
from dietcheck.commands.spreadsheet.flow import record_text
from dietcheck.commands.spreadsheet.layout import (
    AMOUNT,
    DATE,
    DIETS,
    NUMBER,
    RECORD,
    ROTAS,
    TEXT,
    Column,
    Slot,
    decode,
    kind_of,
    known_headings,
    slot_of,
    split,
)
from dietcheck.reading import Path, check_file
from dietcheck.reading.check import read_loosely
from dietcheck.reading.explain import explain
from dietcheck.reading.kinds import shape
from dietcheck.reading.problems import listed, show
from dietcheck.reading.text import unseen_in

PARTS = ("food", "supplement", "again", "supplement again", "no supplements")
ORDER = (
    *("record", "group", "from", "starts", "until", "reason", "written_by"),
    *("season", "stages", "heads", "meals", "days", "supplements", "leftovers", "notes"),
)
KIND = {DIETS: "diet sheet", ROTAS: "rota"}
START = {DIETS: "from", ROTAS: "starts"}


class Known(Struct, frozen=True):
    """What the collection knows: its feeds, and ids by the names of groups and of foods."""

    feeds: tuple[str, ...] = ()
    groups: Mapping[str, str] = field(default_factory=dict)
    foods: Mapping[str, str] = field(default_factory=dict)


class Read(Struct):
    """What was read: records with the file each belongs in, or the cells in the way."""

    records: dict[str, dict[str, Any]] = field(default_factory=dict)
    troubles: list[Trouble] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


class _Draft(Struct):
    data: dict[str, Any]
    first: Ref
    at: dict[Path, Ref] = field(default_factory=dict)
    days: dict[int, tuple[dict[str, Any], Ref]] = field(default_factory=dict)
    seen: dict[str, Ref] = field(default_factory=dict)


def records_of(sheets: list[Sheet], known: Known) -> Read:
    """All records of some sheets. With any trouble, no record."""
    read = Read()
    ours = 0
    drafts: dict[tuple[str, str, str], _Draft] = {}
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
        _Rows(sheet, kind or sheet.name, known, drafts).run()
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
        _finish(kind, draft, read, refused)
        folder = "diet-sheets" if kind == DIETS else "rotas"
        read.records[f"{folder}/{group}-{start}.yaml"] = draft.data
    read.troubles.sort()
    if read.troubles:
        read.records.clear()
    return read


class _Rows:
    """Goes through the rows of one sheet."""

    def __init__(
        self, sheet: Sheet, kind: str, known: Known, drafts: dict[tuple[str, str, str], _Draft]
    ) -> None:
        self.sheet, self.kind, self.known, self.drafts = sheet, kind, known, drafts
        self.columns = self._columns()
        self.at = {slot: column for column, (slot, _) in self.columns.items()}

    def _columns(self) -> dict[int, tuple[Slot, Column]]:
        fixed = known_headings(self.kind, self.known.feeds)
        found: dict[int, tuple[Slot, Column]] = {}
        for column, raw in self.sheet.headings.items():
            try:
                heading = str(decode(raw.strip()))
            except ValueError:
                heading = raw
            slot = fixed.get(heading.casefold()) or slot_of(heading)
            used = any(column in cells for cells in self.sheet.rows.values())
            if slot is None:
                titles = [c.heading for _, c in fixed.values()]
                near = get_close_matches(heading.capitalize(), titles, 1, 0.5)
                hint = f"Did you mean “{near[0]}”? " if near else ""
                self.sheet.refuse(
                    self.sheet.top,
                    column,
                    f"the heading “{show(heading)}” is not known.",
                    f"{hint}Write one of: {listed(titles)}; or “x-…” for a column of your own.",
                )
            elif slot[0] in {one[0] for one in found.values()}:
                self.sheet.refuse(
                    self.sheet.top,
                    column,
                    f"the heading “{show(heading)}” stands here twice.",
                    "Keep one of the two columns.",
                )
            elif used or slot[0][0] != "feed":
                found[column] = slot
        for row, cells in self.sheet.rows.items():
            for column in cells.keys() - self.sheet.headings.keys():
                self.sheet.refuse(
                    row,
                    column,
                    "there is no heading over this cell.",
                    "Write a heading into the first row, or empty the cell.",
                )
        return found

    def run(self) -> None:
        for number, cells in self.sheet.rows.items():
            row: dict[Slot, Any] = {}
            for column, value in cells.items():
                if column in self.columns:
                    slot, kind = self.columns[column]
                    text = self._text(number, column, slot, kind, value)
                    if text is not None:
                        row[slot] = text
            if row:
                self._amount(number, row)
                self._take(number, row)

    def ref(self, row: int, slot: Slot) -> Ref:
        """The cell of a field; the row's first if the sheet has no such column."""
        return Ref(self.sheet.name, row, self.at.get(slot, min(self.sheet.rows[row])))

    def refuse(self, row: int, slot: Slot, message: str, remedy: str) -> None:
        at = self.ref(row, slot)
        self.sheet.refuse(at.row, at.column, message, remedy)

    def _text(self, row: int, column: int, slot: Slot, kind: Column, value: Value) -> Any:
        """A cell as the text a record has; None if it is empty or was refused."""
        message = remedy = ""
        if isinstance(value, date):
            if kind.holds == DATE:
                return value.isoformat()
            message = f"here stands the date {value.isoformat()}; perhaps the program made one "
            message += "of what was typed, such as 1-2."
            remedy = "Set the cell's format to text and type it again."
        elif isinstance(value, Number):
            if kind.holds in (AMOUNT, NUMBER) or (value.plain and kind.holds != DATE):
                return value.text
            message = f"here stands the number {value.text}."
            remedy = (
                "Set the cell's format to date, or write year-month-day."
                if kind.holds == DATE
                else "Set the cell's format to text and type it again."
            )
        else:
            text = value if kind.holds == TEXT else value.strip()
            try:
                text = decode(text)
            except ValueError:
                message, remedy = "what stands after “exact:” cannot be read.", "Type it again."
            else:
                if not isinstance(text, str) and (slot[1].startswith("x-") or kind.holds == RECORD):
                    return text
                odd = unseen_in(str(text))
                if odd is None:
                    return self._id(slot, str(text))
                message, remedy = odd
        self.sheet.refuse(row, column, message, remedy)
        return None

    def _id(self, slot: Slot, text: str) -> str:
        """The id for the name of a group or a food; the text itself otherwise."""
        if slot == ("head", "group"):
            return self.known.groups.get(text.casefold(), text)
        if slot in (("line", "food"), ("line", "instead_of")):
            return self.known.foods.get(text.casefold(), text)
        return text

    def _amount(self, number: int, row: dict[Slot, Any]) -> None:
        unit = row.pop(("line", "unit"), None)
        amount = row.get(("line", "amount"))
        if amount is None:
            if unit is not None:
                self.refuse(
                    number, ("line", "amount"), "a unit without an amount.", "Write the amount."
                )
            return
        if unit is None:
            if re.fullmatch(r"[0-9.,]+", amount):
                del row["line", "amount"]
                self.refuse(
                    number,
                    ("line", "amount"),
                    f"“{show(amount)}” alone does not say of what and for whom.",
                    "Write “45 g per animal”, or “g per animal” into the column Unit.",
                )
        elif re.fullmatch(r"[0-9]+(\.[0-9]+)?", amount):
            row["line", "amount"] = f"{amount} {unit}"
        else:
            del row["line", "amount"]
            self.refuse(
                number,
                ("line", "amount"),
                f"“{show(amount)}” is no plain number, yet a unit stands beside it.",
                "Write the number with a point, as in 1.5; or all of it here and no unit.",
            )

    def _take(self, number: int, row: dict[Slot, Any]) -> None:
        start = START[self.kind]
        missing = [s for s in (("head", "group"), ("head", start)) if s not in row]
        if missing:
            refused = {trouble.at for trouble in self.sheet.troubles}
            for slot in missing:
                if self.ref(number, slot) not in refused:
                    self.refuse(
                        number,
                        slot,
                        f"row {number} does not say which "
                        f"{'group it is for' if slot[1] == 'group' else 'day it begins on'}.",
                        "Fill Group and the date on every row.",
                    )
            return
        key = (self.kind, row["head", "group"], row["head", start])
        draft = self.drafts.get(key)
        if draft is None:
            draft = _Draft({"record": KIND[self.kind]}, self.ref(number, ("head", "group")))
            draft.at[("reason",)] = self.ref(number, ("head", "reason"))
            self.drafts[key] = draft
        for (part, name), value in row.items():
            if part == "head":
                self._head(number, draft, name, value)
        if self.kind == DIETS:
            self._diet(number, draft, row)
        else:
            self._day(number, draft, row)

    def _head(self, number: int, draft: _Draft, name: str, value: Any) -> None:
        if name == "stages":
            value, _ = self._list(number, ("head", name), value)
        elif name == "heads" and value.isdecimal():
            value = int(value)
        if draft.data.setdefault(name, value) != value:
            self.refuse(
                number,
                ("head", name),
                f"this says “{show(value)}”, but {draft.at[(name,)]} says "
                f"“{show(draft.data[name])}” for the same {KIND[self.kind]}.",
                "Write it once, or the same on each row.",
            )
        draft.at.setdefault((name,), self.ref(number, ("head", name)))

    def _list(self, number: int, slot: Slot, text: str) -> tuple[list[str], bool]:
        try:
            return split(text)
        except ValueError:
            self.refuse(
                number,
                slot,
                "a quotation mark is not closed here.",
                "Write the names with ; between them.",
            )
            return [], True

    def _diet(self, number: int, draft: _Draft, row: dict[Slot, Any]) -> None:
        line = {name: value for (part, name), value in row.items() if part == "line"}
        part = line.pop("part", "food").casefold()
        if part not in PARTS:
            near = get_close_matches(part, PARTS, 1)
            hint = f"Did you mean “{near[0]}”? " if near else ""
            self.refuse(
                number,
                ("line", "part"),
                f"“{show(part)}” is no part of a diet sheet.",
                f"{hint}Leave it empty for a food, or write “supplement”.",
            )
            return
        medicine = {name: value for (part_, name), value in row.items() if part_ == "medicine"}
        if part == "no supplements":
            draft.data.setdefault("supplements", [])
            return
        meal = line.pop("meal", None)
        if meal is None and not any((line, medicine)):
            return  # a row of the head alone
        if meal is None:
            self.refuse(number, ("line", "meal"), "the meal is left empty.", "Write its name.")
            return
        same = repr((meal, part.removesuffix("again").strip() or "food", line, medicine))
        if same in draft.seen and not part.endswith("again"):
            self.refuse(
                number,
                ("line", "food"),
                f"this row says the same as {draft.seen[same]}.",
                "Delete one of the two; or write “again” into Part if it is meant twice.",
            )
        draft.seen.setdefault(same, self.ref(number, ("line", "food")))
        for one in ("food", "amount"):
            if one not in line:
                self.refuse(number, ("line", one), f"the {one} is left empty.", f"Write the {one}.")
        if "for" in line:
            line["for"] = self._list(number, ("line", "for"), line["for"])[0]
        if medicine:
            line["medicine"] = medicine
        if part.startswith("supplement"):
            line["with"] = self._list(number, ("line", "meal"), meal)[0]
            rows = draft.data.setdefault("supplements", [])
            path: Path = ("supplements", len(rows))
            draft.at[(*path, "with")] = self.ref(number, ("line", "meal"))
        else:
            rows = draft.data.setdefault("meals", {}).setdefault(meal, [])
            path = ("meals", meal, len(rows))
            draft.at.setdefault(("meals", meal), self.ref(number, ("line", "meal")))
        rows.append(line)
        draft.at[path] = self.ref(number, ("line", "food"))
        for one in (*line, "food", "amount"):
            if one != "with":
                draft.at[(*path, one)] = self.ref(number, ("line", one))
        for one in (*medicine, *(("drug", "by", "from", "until") if medicine else ())):
            draft.at[(*path, "medicine", one)] = self.ref(number, ("medicine", one))

    def _day(self, number: int, draft: _Draft, row: dict[Slot, Any]) -> None:
        said = row.pop(("line", "day"), None)
        rest = {slot: value for slot, value in row.items() if slot[0] != "head"}
        if said is None and not rest:
            return
        slot = ("line", "day")
        if said is None or not re.fullmatch(r"[1-9][0-9]?", str(said)):
            self.refuse(
                number,
                slot,
                f"“{show(said)}” is no day of a rota." if said else "the day is left empty.",
                "Number the days 1, 2, 3 …",
            )
            return
        day: dict[str, Any] = {}
        for (part, name), value in rest.items():
            if part == "feed":
                names, several = self._list(number, (part, name), value)
                day[name] = names if several or len(names) != 1 else names[0]
            else:
                day[name] = value
        if int(said) in draft.days:
            self.refuse(
                number,
                slot,
                f"day {said} stands in {draft.days[int(said)][1]} already.",
                "Number each day once.",
            )
            return
        at = self.ref(number, slot)
        draft.days[int(said)] = (day, at)
        draft.at[("days", int(said) - 1)] = at
        for part, name in rest:
            draft.at[("days", int(said) - 1, name)] = self.ref(number, (part, name))


def _finish(kind: str, draft: _Draft, read: Read, refused: set[Ref]) -> None:
    """Put a record together in its usual order, and find what the schema does not allow."""
    if kind == ROTAS:
        last = max(draft.days, default=0)
        gone = [str(n) for n in range(1, last + 1) if n not in draft.days]
        if gone:
            read.troubles.append(
                Trouble(
                    draft.first,
                    f"day {listed(gone, 'and')} of this rota is not there.",
                    "Write a row for each day; a fast day has “planned” under Fast.",
                )
            )
            return
        draft.data["days"] = [draft.days[n][0] for n in range(1, last + 1)]
    if kind == DIETS and "reason" not in draft.data:
        at = draft.at[("reason",)]
        if at not in refused:
            refused.add(at)
            read.troubles.append(
                Trouble(
                    at,
                    "no row of this diet sheet gives its reason.",
                    "Write under Reason why it replaces the one before, once.",
                )
            )
    draft.data = {k: draft.data[k] for k in ORDER if k in draft.data} | draft.data
    raw = record_text(draft.data).encode()
    if shape(KIND[kind])(draft.data):
        facts = check_file("record", raw)
        if facts.data != draft.data:
            _, flaws = read_loosely(raw)
            said = flaws[0] if flaws else None
            read.troubles.append(
                Trouble(
                    draft.first,
                    said.message
                    if said
                    else "this record cannot be written so that it reads back.",
                    said.remedy if said else "Type its texts again.",
                )
            )
        return
    rows = {(at.sheet, at.row) for at in refused}
    for flaw in explain(KIND[kind], draft.data, raw, 1000)[0]:
        path = flaw.path
        while path and path not in draft.at:
            path = path[:-1]
        at = draft.at.get(path, draft.first)
        # what is missing in a row with a refused cell is most likely that cell
        own_cell = path == flaw.path and isinstance(path[-1:] and path[-1], str)
        if at not in refused and (own_cell or (at.sheet, at.row) not in rows):
            refused.add(at)
            read.troubles.append(Trouble(at, flaw.message, flaw.remedy))
    if not read.troubles:  # nothing that is refused may be written as if it had been read
        read.troubles.append(
            Trouble(draft.first, "this record cannot be read.", "Compare it with the template.")
        )
