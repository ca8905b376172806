"""Lays text out in columns that fit the terminal, whatever a record has put into the words.

Everything from a record goes through `shown` first: one line, nothing that moves the cursor,
turns the writing direction or starts a command of a CI log. Width is counted as a terminal
counts it: wide characters take two columns, combining ones none.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator

from dietcheck.reading import show

WIDTH = 80
LONGEST = 400
"""Characters of one text from a record or a rule: more would bury the other findings."""

# CI logs obey lines with "::" in front and "##[" or "##vso[" anywhere: these are pulled apart.
_COMMAND = re.compile(r":(?=:)|#(?=#)")


def shown(text: object, longest: int = LONGEST) -> str:
    """A text as it may be printed. Nothing in it can look like a command to a CI log."""
    return apart(show(text, longest))


def apart(text: str) -> str:
    """The text with the signs pulled apart that would start a command of a CI log."""
    return _COMMAND.sub(r"\g<0> ", text)


def width(text: str) -> int:
    """Columns that the text takes in a terminal."""
    if text.isascii():
        return len(text)
    return sum(_columns(character) for character in text)


def _columns(character: str) -> int:
    if unicodedata.combining(character):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


def wrap(text: str, room: int, whole: bool = False) -> Iterator[str]:
    """The text in lines of at most `room` columns, broken at blanks.

    Words longer than a line are cut, but left `whole` where that is asked: a path that is to be
    copied may be wider than the page.
    """
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}" if line else word
        if width(longer) <= room:
            line = longer
            continue
        if line:
            yield line
        *full, line = [word] if whole else _pieces(word, room)
        yield from full
    yield line


def _pieces(word: str, room: int) -> list[str]:
    """A word in pieces that each fit; the last one may be shorter or empty."""
    pieces = [""]
    taken = 0
    for character in word:
        columns = _columns(character)
        if taken + columns > room:
            pieces.append("")
            taken = 0
        pieces[-1] += character
        taken += columns
    return pieces


def paragraph(text: str, indent: int = 0, first: str = "", whole: bool = False) -> Iterator[str]:
    """A wrapped text, indented; `first` stands before its first line in the indent."""
    start = f"{first:<{indent}}"
    for line in wrap(text, WIDTH - max(indent, width(start)), whole):
        yield (start + line).rstrip()
        start = " " * indent


def listed(items: Iterable[str], most: int, mark: str = ", ") -> str:
    """The first few of some items with a mark between them, and how many more there are."""
    row = list(items)
    left = len(row) - most
    return mark.join(row[:most]) + (f" and {left} more" if left > 0 else "")
