"""From the bytes of a file to text that can only be read one way, before YAML sees it.

Refused here: what is not UTF-8, and characters that a person cannot see or that the YAML
reader counts as ends of lines (which would make every line number after them wrong).
"""

from __future__ import annotations

import re

from dietcheck.outside.files import too_large
from dietcheck.reading.problems import Flaw, Place

_BOM = b"\xef\xbb\xbf"
_WIDE_BOMS = (b"\xff\xfe", b"\xfe\xff")
_PLAIN = bytes([0x09, 0x0A, *range(0x20, 0x7F)])

# Control characters; lone carriage returns; C1 controls (U+0085 is a line end to YAML); line and
# paragraph separators; marks that turn the writing direction; zero-width space; inner BOM.
_UNSEEN = re.compile(
    rb"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]|\r(?!\n)|\xc2[\x80-\x9f]"
    rb"|\xe2\x80[\x8b\x8e\x8f\xa8-\xae]|\xe2\x81[\xa6-\xa9]|\xef\xbb\xbf|\xef\xbf[\xbe\xbf]"
)
# Of the unprintable characters these do no harm inside a text: line ends, tabs, wide and
# unbreakable blanks, and the joiners that some scripts need. Readers of amounts are stricter.
_HARMLESS = frozenset("\n\t\u00a0\u2007\u2009\u202f\u200c\u200d")


def clean(raw: bytes) -> bytes | Flaw:
    """The bytes without a byte-order mark, or the first thing that makes them unreadable."""
    if size := too_large(len(raw)):
        return Flaw(Place(), *size)
    if raw.startswith(_BOM):
        raw = raw[len(_BOM) :]
    odd = raw.translate(None, _PLAIN)
    if not odd:
        return raw
    if raw.startswith(_WIDE_BOMS):
        return Flaw(
            Place(), "this file is not saved as UTF-8 but as UTF-16.", "Save it again as UTF-8."
        )
    try:
        raw.decode("utf-8")
    except UnicodeDecodeError as error:
        return Flaw(
            _place(raw, error.start),
            f"here stands a byte (0x{raw[error.start]:02x}) that is not UTF-8 text.",
            "Save the file again as UTF-8 and check the letters with accents.",
        )
    if found := _UNSEEN.search(raw):
        return Flaw(_place(raw, found.start()), *_unseen(found.group().decode("utf-8")[0]))
    return raw


def unseen_in(value: str) -> tuple[str, str] | None:
    """Message and remedy for a character in a text that a person cannot see, if there is one."""
    for character in value:
        if not character.isprintable() and character not in _HARMLESS:
            return _unseen(character)
    return None


def _unseen(character: str) -> tuple[str, str]:
    if character == "\r":
        return (
            "a line ends here in a way that other programs do not count as a line end.",
            "Save the file with ordinary line ends (LF or CRLF).",
        )
    return (
        f"here stands a character that cannot be seen (U+{ord(character):04X}).",
        "Delete it and type the text again.",
    )


def _place(raw: bytes, offset: int) -> Place:
    """Lines counted by line feeds alone, as editors do; columns in characters."""
    before = raw[:offset]
    start = before.rfind(b"\n") + 1
    column = len(before[start:].decode("utf-8", errors="replace")) + 1
    return Place(before.count(b"\n") + 1, column)
