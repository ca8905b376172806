"""Faults of a record in a keeper's words: what is written, what is expected, the nearest right."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from dietcheck.errors import LONGEST_SHOWN, show
from dietcheck.quantities import QuantityError
from dietcheck.reading.problems import Path, listed

Words = tuple[str, str]
Schema = Mapping[str, Any]

MANY = 12
"""Names listed in one remedy; with more than this only the nearest are named."""
FAR_TOO_MANY = 40
"""Words that nobody reads to the end of in a message."""

_KINDS_OF_VALUE = {
    "string": "a text",
    "integer": "a whole number",
    "number": "a number",
    "array": "a list",
    "object": "lines of “name: value”",
    "boolean": "true or false",
}


def sentence(text: str, *, capital: bool = False) -> str:
    """A message as a sentence: with its full stop, and a capital where it begins a remedy."""
    text = text.strip()
    if text and text[-1] not in ".?!":
        text += "."
    return text[:1].upper() + text[1:] if capital else text


def value_words(value: object) -> str:
    """What somebody wrote, named: `“5 g”`, `the number 12`, `a list`."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return f"“{str(value).lower()}”"
    if isinstance(value, (int, Decimal)):
        return f"the number {show(value)}"
    if isinstance(value, str):
        return f"“{show(value)}”"
    return "a list" if isinstance(value, list) else "lines of “name: value”"


def subject(path: Path) -> str:
    """What a path leads to, named: `“mass”`, `item 2 of “feeds”`, `this record`."""
    if not path:
        return "this record"
    *before, last = path
    if isinstance(last, str):
        return f"“{show(last)}”"
    holder = next((step for step in reversed(before) if isinstance(step, str)), None)
    return f"item {last + 1} of “{show(holder)}”" if holder else f"item {last + 1}"


def nearest(word: object, known: Iterable[str], how_many: int = 1) -> list[str]:
    """The known words most like one that is not known, the likest first."""
    flat = re.sub(r"[\s_-]+", "_", str(word)[:LONGEST_SHOWN].strip().lower())
    by_flat: dict[str, str] = {}
    for one in known:
        by_flat.setdefault(re.sub(r"[\s_-]+", "_", one.lower()), one)
    return [by_flat[one] for one in difflib.get_close_matches(flat, by_flat, how_many, 0.7)]


def unknown_name(name: str, known: Sequence[str], present: Mapping[str, object]) -> Words:
    """For a name that has no place where it stands."""
    message = f"“{show(name)}” is not a name that can stand here."
    if near := nearest(name, known):
        return message, f"Did you mean “{near[0]}”?"
    if present[name] is None and " " in name:  # `{amount: 1,5 g per animal}`, `{note: a, b}`
        return (
            message,
            "If it belongs to the text before it, put that whole text in quotes: inside braces a "
            "comma begins something new. In a number write a point.",
        )
    free = [one for one in known if one not in present and one != "record"]
    own = "begin the name with “x-” if it is a line of your own."
    if not free or len(free) > MANY:
        return message, f"Take the line out, or {own}"
    return message, f"Here can stand {listed(free)}; or {own}"


def missing(name: str, field: Schema) -> Words:
    """For a name that must be there and is not."""
    example = next(iter(field.get("examples", ())), None)
    if example is None and "enum" in field:
        example = field["enum"][0]
    what = str(field.get("description", "")).rstrip(".")
    told = f": {what[:1].lower() + what[1:]}" if what and not what[:2].isupper() else ""
    if isinstance(example, (str, int)):
        return f"“{name}” is missing{told}.", f"Add a line such as “{name}: {example}”."
    return f"“{name}” is missing{told}.", f"Add “{name}: …”."


def needs_beside(name: str, others: Sequence[str]) -> Words:
    """For a name that another must stand beside."""
    quoted = listed([f"“{one}”" for one in others], "and")
    return f"“{name}” stands here without {quoted}.", f"Add {quoted}, or take “{name}” out."


def one_of_names(path: Path, present: Sequence[str], choices: Sequence[str], only: bool) -> Words:
    """For a choice of names of which one (or, unless `only`, at least one) must stand here."""
    quoted = listed(f"“{one}”" for one in choices)
    if not present:
        return f"{subject(path)} has none of {quoted}.", "Write exactly one." if only else (
            "Write at least one."
        )
    both = listed([f"“{one}”" for one in present], "and")
    return f"{both} stand together in {subject(path)}.", "Keep one of them."


def wrong_type(path: Path, value: object, wanted: Sequence[str], field: Schema) -> Words:
    """For a text where a list is expected, and the like."""
    what = subject(path)
    if value is None:
        return f"{what} is left empty.", "Write the value, or take the line out."
    expected = listed(_KINDS_OF_VALUE[one] for one in wanted)
    message = f"{what} must be {expected}, not {value_words(value)}."
    plain = isinstance(value, (str, int, Decimal)) and not isinstance(value, bool)
    if plain and "integer" in wanted and "string" in wanted:
        return message, described(field)
    if plain and "string" in wanted:
        return message, f'Put it in quotes: "{show(value)}".'
    if plain and wanted[0] == "array":
        return message, f"Write it in square brackets: [{show(value)}]."
    if isinstance(value, str) and wanted[0] in ("integer", "number"):
        if re.fullmatch(r"[0-9]+,[0-9]+", value):
            return message, f"Write a point, not a comma: {value.replace(',', '.')}."
        return message, "Write it in figures, without quotes and without a unit."
    if wanted[0] == "array":
        return message, "Begin each item on a line of its own with “- ”."
    if wanted[0] == "object" and "description" not in field:
        return message, "Write lines of “name: value” under it."
    return message, described(field)


def unknown_value(path: Path, value: object, allowed: Sequence[object]) -> Words:
    """For a value that is not one of a list."""
    if value is None:
        return f"{subject(path)} is left empty.", f"Write {_choice(allowed)}."
    message = f"{subject(path)} cannot be {value_words(value)}."
    words = [one for one in allowed if isinstance(one, str)]
    spoken = {True: "yes", False: "no"}.get(value, value) if isinstance(value, bool) else value
    if spoken in words:
        return message, f"Write “{spoken}”."
    if near := nearest(spoken, words, 1 if len(words) <= MANY else 3):
        rest = "" if len(allowed) > MANY else f" Here can stand {_choice(allowed)}."
        return message, f"Did you mean {listed(f'“{one}”' for one in near)}?{rest}"
    return message, f"Write {_choice(allowed)}."


def _choice(allowed: Sequence[object]) -> str:
    if len(allowed) > FAR_TOO_MANY:
        first = ", ".join(str(one) for one in allowed[:MANY])
        return f"one of {len(allowed)} words, such as {first}; “dietcheck schema” lists them all"
    words = listed(map(str, allowed))
    return f"one of: {words}" if len(allowed) > 2 else words


def unreadable(path: Path, value: str, read: Callable[[str], object]) -> Words:
    """For a text that its reader refuses; the reader knows best what is wrong with it."""
    try:
        read(value)
    except QuantityError as error:
        return (
            f"{subject(path)}: {sentence(_cut(error.message))}",
            sentence(_cut(error.remedy), capital=True),
        )
    return f"{subject(path)} cannot be {value_words(value)}.", "Write it otherwise."


def _cut(text: str) -> str:
    return text if len(text) <= 300 else text[:299] + "…"


def wrong_form(path: Path, value: str, pattern: str, field: Schema, *, name: bool = False) -> Words:
    """For a text or name that is not built as it should be."""
    what = f"“{show(value)}” as a name" if name else f"{subject(path)} “{show(value)}”"
    for mend in () if "/" in value else _MENDS:
        mended = mend(value[:LONGEST_SHOWN])
        if mended and mended != value and re.search(pattern, mended):
            return f"{what} is not written as it must be here.", f"Write “{show(mended)}”."
    return f"{what} is not written as it must be here.", described(field)


# Tried in turn on a badly written name: one blank between words; capitals; small letters, hyphens.
_MENDS: tuple[Callable[[str], str], ...] = (
    lambda text: " ".join(text.split()),
    lambda text: text.strip().upper(),
    lambda text: re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-"),
)


def described(field: Schema) -> str:
    """A remedy made of what the schema says of the field, with an example if it has one."""
    what = sentence(str(field.get("description", "Write what the record needs here")), capital=True)
    example = next(iter(field.get("examples", ())), None)
    return f"{what} For example: {example}" if isinstance(example, (str, int)) else what


def out_of_range(path: Path, value: object, word: str, bound: object) -> Words:
    """For a number that is too small or too large, a list or text that is too short or long."""
    what = subject(path)
    if word in ("minimum", "maximum"):
        side = "small" if word == "minimum" else "large"
        limit = "at least" if word == "minimum" else "at most"
        return f"{what} is too {side}: {show(value)}.", f"Write {limit} {bound}."
    if word.startswith("min"):
        return f"{what} is left empty.", "Write something here, or take the line out."
    unit = {"maxLength": "characters", "maxItems": "items"}.get(word, "lines")
    size = len(value) if isinstance(value, (str, list, dict)) else 0
    return f"{what} is too long: {size:,} {unit}.", f"Write at most {bound:,} {unit}."
