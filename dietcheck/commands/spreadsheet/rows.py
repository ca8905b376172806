"""The rows of one sheet into the records that they belong to."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from difflib import get_close_matches
from typing import Any

from msgspec import Struct, field

from dietcheck.commands.spreadsheet.cells import Number, Ref, Sheet, Value
from dietcheck.commands.spreadsheet.draft import Draft
from dietcheck.commands.spreadsheet.headings import columns_of
from dietcheck.commands.spreadsheet.layout import (
    AMOUNT,
    DATE,
    DIETS,
    KIND,
    NUMBER,
    RECORD,
    START,
    TEXT,
    Column,
    Slot,
    decode,
    split,
)
from dietcheck.reading import Path
from dietcheck.reading.problems import show
from dietcheck.reading.text import unseen_in

PARTS = ("food", "supplement", "again", "supplement again", "no supplements")


class Known(Struct, frozen=True):
    """What the collection knows: its feeds, and ids by the names of groups and of foods."""

    feeds: tuple[str, ...] = ()
    groups: Mapping[str, str] = field(default_factory=dict)
    foods: Mapping[str, str] = field(default_factory=dict)


class Rows:
    """Goes through the rows of one sheet."""

    def __init__(
        self, sheet: Sheet, kind: str, known: Known, drafts: dict[tuple[str, str, str], Draft]
    ) -> None:
        self.sheet, self.kind, self.known, self.drafts = sheet, kind, known, drafts
        self.columns = columns_of(sheet, kind, known.feeds)
        self.at = {slot: column for column, (slot, _) in self.columns.items()}

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
            draft = Draft({"record": KIND[self.kind]}, self.ref(number, ("head", "group")))
            draft.at[("reason",)] = self.ref(number, ("head", "reason"))
            self.drafts[key] = draft
        for (part, name), value in row.items():
            if part == "head":
                self._head(number, draft, name, value)
        if self.kind == DIETS:
            self._diet(number, draft, row)
        else:
            self._day(number, draft, row)

    def _head(self, number: int, draft: Draft, name: str, value: Any) -> None:
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

    def _diet(self, number: int, draft: Draft, row: dict[Slot, Any]) -> None:
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

    def _day(self, number: int, draft: Draft, row: dict[Slot, Any]) -> None:
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
