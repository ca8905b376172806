"""The layout: which headings a sheet has, and how lists and odd texts are written in a cell."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from msgspec import Struct

from dietcheck.commands.spreadsheet.flow import as_json

DIETS, ROTAS, HELP, NAMES = "Diet sheets", "Rotas", "How to fill in", "Names"
KIND = {DIETS: "diet sheet", ROTAS: "rota"}
START = {DIETS: "from", ROTAS: "starts"}  # the field that holds a record's first day
CSV_FILES = {DIETS: "diet-sheets.csv", ROTAS: "rotas.csv"}
EXACT = "exact: "
"""What stands before a text in JSON: one that a cell cannot hold as it is."""

DATE, TEXT, NAME, LIST, AMOUNT, NUMBER = "date", "text", "name", "list", "amount", "number"
RECORD = "record"
"""A part of a record that has parts of its own, written after `exact:`."""


class Column(Struct, frozen=True):
    """A heading, the field of the record that it holds, and what a cell below it may be."""

    heading: str
    field: str
    holds: str
    help: str


DIET_HEAD = (
    Column("Group", "group", NAME, "The group's id or its name. On every row."),
    Column("From", "from", DATE, "First day of this diet sheet, a date. On every row."),
    Column("Until", "until", DATE, "Last day, if there is one. Once for each sheet is enough."),
    Column("Reason", "reason", TEXT, "Why it replaces the one before. Once is enough."),
    Column("Written by", "written_by", NAME, "Who wrote it. Once is enough."),
)
DIET_LINE = (
    Column("Meal", "meal", NAME, "The meal's name; for a supplement the meals it goes with."),
    Column("Part", "part", NAME, "Empty for a food; “supplement”; “again” for a row said twice."),
    Column("Food", "food", NAME, "The food's id or its name."),
    Column("Amount", "amount", AMOUNT, "“45 g per animal”; or a number, and its unit beside it."),
    Column("Unit", "unit", NAME, "Only beside a number: “g per animal”, “kg per group” …"),
    Column("Cut", "cut", NAME, "How it is cut."),
    Column("Presentation", "presentation", NAME, "How it is given: bowl, scatter …"),
    Column("Treat", "treat", NAME, "If it is a treat: what for."),
    Column("For", "for", LIST, "Only these animals, with ; between them."),
    Column("Instead of", "instead_of", NAME, "The food that this one takes the place of."),
    Column("Note", "note", TEXT, "A note on this row."),
)
MEDICINE = (
    Column("Medicine", "drug", NAME, "The medicine that the food carries."),
    Column("Ordered by", "by", NAME, "The vet who ordered it."),
    Column("Dose", "dose", TEXT, "How much, how often."),
    Column("Course from", "from", DATE, "First day of the medicine."),
    Column("Course until", "until", DATE, "Last day of the medicine."),
)
DIET_NOTES = (
    Column("Season", "season", NAME, "The season the sheet is for. Once is enough."),
    Column("Stages", "stages", LIST, "The stages of life it is for, with ; between them."),
    Column("Heads", "heads", NUMBER, "For how many animals the amounts per group are meant."),
    Column("Leftovers", "leftovers", RECORD, "What is left and who gets it, as export writes it."),
    Column("Sheet notes", "notes", TEXT, "Notes on the diet sheet. Once is enough."),
)

ROTA_HEAD = (
    Column("Group", "group", NAME, "The group's id or its name. On every row."),
    Column("Starts", "starts", DATE, "The date of day 1. On every row."),
    Column("Until", "until", DATE, "Last day, if there is one. Once for each rota is enough."),
    Column("Written by", "written_by", NAME, "Who wrote it. Once is enough."),
)
ROTA_DAY = (
    Column("Day", "day", NUMBER, "1, 2, 3 … one row for each day of the rota."),
    Column("Fast", "fast", NAME, "“planned” on a planned fast day; then no meals."),
    Column("Note", "note", TEXT, "A note on this day."),
)
ROTA_NOTES = (
    Column("Swaps", "swaps", RECORD, "Meals in the place of others, as export writes them."),
    Column("Rota notes", "notes", TEXT, "Notes on the rota. Once is enough."),
)

UNITS = (
    *("g per animal", "kg per animal", "pieces per animal", "ml per animal"),
    *("g per group", "kg per group", "pieces per group", "g per kg body mass"),
)

Slot = tuple[str, str]
"""Where a column's cells go: the part of the record (head, line, medicine, feed) and the field."""


def known_headings(sheet: str, feeds: tuple[str, ...]) -> dict[str, tuple[Slot, Column]]:
    """Heading in small letters → where its cells go."""
    known: dict[str, tuple[Slot, Column]] = {}
    if sheet == DIETS:
        parts = {"head": DIET_HEAD + DIET_NOTES, "line": DIET_LINE, "medicine": MEDICINE}
    else:
        parts = {"head": ROTA_HEAD + ROTA_NOTES, "line": ROTA_DAY, "medicine": ()}
    for part, columns in parts.items():
        for column in columns:
            known[column.heading.casefold()] = ((part, column.field), column)
    if sheet == ROTAS:
        for feed in feeds:
            heading = feed_heading(feed, feeds)
            help_ = "The meal at this feed; several with ; between; or “no feed”."
            known[heading.casefold()] = (("feed", feed), Column(heading, feed, LIST, help_))
    return known


def feed_heading(feed: str, feeds: tuple[str, ...]) -> str:
    """The heading of a feed: its name, or `feed: name` where that could mean something else."""
    taken = {c.heading.casefold() for c in ROTA_HEAD + ROTA_DAY + ROTA_NOTES}
    folded = [other.casefold() for other in feeds]
    odd = re.match(r"(?i)x-|feed:|sheet x-|medicine x-|exact:", feed)
    unsure = feed not in feeds or folded.count(feed.casefold()) > 1
    return f"feed: {feed}" if odd or unsure or feed.casefold() in taken else feed


_OWN = re.compile(r"(?:(sheet|medicine) )?(x-.*)", re.DOTALL)


def own_heading(part: str, field: str) -> str:
    """The heading of a line of somebody's own (x-…) in a part of the record."""
    before = {"head": "sheet ", "medicine": "medicine "}.get(part, "")
    return encode(before + field)


def slot_of(heading: str) -> tuple[Slot, Column] | None:
    """Where the cells below an x-… or `feed: …` heading go."""
    if found := _OWN.fullmatch(heading):
        part = {"sheet": "head", "medicine": "medicine"}.get(found[1] or "", "line")
        return (part, found[2]), Column(heading, found[2], TEXT, "")
    if heading.casefold().startswith("feed: "):
        return ("feed", heading[6:]), Column(heading, heading[6:], LIST, "")
    return None


def encode(value: Any, keep_blanks: bool = False) -> str:
    """A value as the text of a cell; in JSON where the plain text would come back as another."""
    if isinstance(value, str):
        odd = not value.strip() or (not keep_blanks and value != value.strip())
        if not odd and not value.startswith(EXACT) and not re.search("_x[0-9A-Fa-f]{4}_|\r", value):
            return value
    return EXACT + as_json(value).replace("_x", "\\u005fx")


def decode(text: str) -> Any:
    """The value of a cell's text. ValueError for JSON that cannot be read."""
    if not text.startswith(EXACT):
        return text
    return json.loads(text[len(EXACT) :], parse_float=Decimal, parse_constant=_no_constant)


def _no_constant(word: str) -> None:
    raise ValueError(word)


def join(parts: list[str]) -> str:
    """Names in one cell: `a; b`. A name with ; or quotes in it stands in quotes."""
    return "; ".join(
        '"' + part.replace('"', '""') + '"' if re.search('[;"]', part) else part for part in parts
    )


_PART = re.compile(r'\s*(?:"((?:[^"]|"")*)"|([^;"][^;]*?)|)\s*(;|$)', re.DOTALL)


def split(text: str) -> tuple[list[str], bool]:
    """The names in a cell, and whether it is written as a list. ValueError for open quotes."""
    parts: list[str] = []
    at, listed = 0, False
    while at < len(text):
        found = _PART.match(text, at)
        if found is None:
            raise ValueError(text)
        part = found[1].replace('""', '"') if found[1] is not None else (found[2] or "")
        if part:
            parts.append(part)
        listed = listed or found[3] == ";"
        at = found.end()
    return parts, listed


def kind_of(headings: Mapping[int, str]) -> str | None:
    """Which of our sheets these headings belong to, if any."""
    words = {heading.casefold() for heading in headings.values()}
    if {"group", "starts", "day"} <= words or {"starts", "day"} <= words:
        return ROTAS
    if {"meal", "food"} <= words:
        return DIETS
    return None
