"""Records to the rows of a sheet: nothing of a record is left out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from msgspec import Struct

from dietcheck.commands.spreadsheet.layout import (
    AMOUNT,
    DATE,
    DIET_HEAD,
    DIET_LINE,
    DIET_NOTES,
    DIETS,
    LIST,
    MEDICINE,
    NUMBER,
    ROTA_DAY,
    ROTA_HEAD,
    ROTA_NOTES,
    ROTAS,
    TEXT,
    Column,
    Slot,
    encode,
    feed_heading,
    join,
    own_heading,
)

Cell = str | int | date | None
Row = dict[Slot, Any]


class Filled(Struct, frozen=True):
    """A sheet to be written: its name, its headings with what they hold, and its rows."""

    name: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]


def filled(records: Iterable[Mapping[str, Any]], feeds: tuple[str, ...]) -> tuple[Filled, Filled]:
    """The two sheets of all diet sheets and rotas among some records, by group and date."""
    diets: list[Row] = []
    rotas: list[Row] = []
    ordered = sorted(
        (r for r in records if r["record"] in ("diet sheet", "rota")),
        key=lambda r: (r["group"], r.get("from") or r.get("starts")),
    )
    for record in ordered:
        if record["record"] == "diet sheet":
            diets += _headed(record, ("from", "meals", "supplements"), _diet_rows(record))
        else:
            rotas += _headed(record, ("starts", "days"), _rota_rows(record))
    heads = _slots("head", DIET_HEAD) + _slots("line", DIET_LINE) + _slots("medicine", MEDICINE)
    diet_columns = heads + _slots("head", DIET_NOTES)
    used = dict.fromkeys(field for row in rotas for part, field in row if part == "feed")
    wanted = [*feeds, *(feed for feed in used if feed not in feeds)]
    feed_columns = [(("feed", f), Column(feed_heading(f, feeds), f, LIST, "")) for f in wanted]
    days = _slots("line", ROTA_DAY)
    rota_columns = _slots("head", ROTA_HEAD) + days[:1] + feed_columns + days[1:]
    rota_columns += _slots("head", ROTA_NOTES)
    return _sheet(DIETS, diet_columns, diets), _sheet(ROTAS, rota_columns, rotas)


def _slots(part: str, columns: Sequence[Column]) -> list[tuple[Slot, Column]]:
    return [((part, column.field), column) for column in columns]


def _sheet(name: str, columns: list[tuple[Slot, Column]], rows: list[Row]) -> Filled:
    known = {slot for slot, _ in columns}
    own = dict.fromkeys(slot for row in rows for slot in row if slot not in known)
    whole = columns + [(s, Column(own_heading(*s), s[1], TEXT, "")) for s in own]
    return Filled(
        name,
        tuple(column for _, column in whole),
        tuple(tuple(_cell(column, row.get(slot)) for slot, column in whole) for row in rows),
    )


def _cell(column: Column, value: Any) -> Cell:
    if value is None:
        return None
    if column.holds == DATE:
        return date.fromisoformat(str(value).strip())
    if column.holds == NUMBER:
        return int(value)
    if column.holds == AMOUNT:
        return str(value)
    return encode(value, keep_blanks=column.holds == TEXT)


def _headed(record: Mapping[str, Any], apart: tuple[str, ...], rows: list[Row]) -> list[Row]:
    """Group and date on each row, so that rows may be sorted; the rest of the head once."""
    for row in rows:
        row["head", "group"] = record["group"]
        row["head", apart[0]] = record[apart[0]]
    for field, value in record.items():
        if field not in ("record", "group", *apart):
            rows[0]["head", field] = join(value) if field == "stages" else value
    return rows


def _diet_rows(record: Mapping[str, Any]) -> list[Row]:
    rows: list[Row] = []
    seen: list[Row] = []
    for meal, lines in record["meals"].items():
        for line in lines:
            row: Row = {("line", "meal"): meal}
            for field, value in line.items():
                if field == "medicine":
                    row |= {("medicine", name): v for name, v in value.items()}
                else:
                    row["line", field] = join(value) if field == "for" else value
            rows.append(row)
    for given in record.get("supplements", ()):
        row = {("line", "meal"): join(given["with"]), ("line", "part"): "supplement"}
        row |= {("line", f): v for f, v in given.items() if f != "with"}
        rows.append(row)
    for row in rows:
        if row in seen:
            part = row.get(("line", "part"))
            row["line", "part"] = "supplement again" if part else "again"
        else:
            seen.append(dict(row))
    if record.get("supplements") == []:
        rows.append({("line", "part"): "no supplements"})
    return rows


def _rota_rows(record: Mapping[str, Any]) -> list[Row]:
    rows: list[Row] = []
    for number, day in enumerate(record["days"], 1):
        row: Row = {("line", "day"): number}
        for field, value in day.items():
            if field in ("fast", "note") or field.startswith("x-"):
                row["line", field] = value
            elif isinstance(value, str):
                row["feed", field] = join([value])
            else:
                row["feed", field] = join(value) + (";" if len(value) == 1 else "")
        rows.append(row)
    return rows
