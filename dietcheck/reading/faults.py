"""What the YAML parser stumbled over, said in the words of somebody who writes diet sheets."""

from __future__ import annotations

from typing import Any

import yaml

from dietcheck.reading.problems import Flaw, Place, show

Words = tuple[str, str]

KEY_NOT_TEXT: Words = (
    "a list or a group of names stands where a single name is expected.",
    "Write a plain name before the colon.",
)
TOO_DEEP: Words = (
    "this is nested more than 40 levels deep.",
    "Write it flatter: no record needs more than a few levels.",
)
TOO_MANY: Words = (
    "this file holds more than 100,000 values.",
    "Split it into several records.",
)
DIRECTIVE: Words = (
    "the file begins with a line that starts with “%”, which a record does not use.",
    "Delete that line.",
)
SECOND_DOCUMENT: Words = (
    "a second record begins here (after “---”); a file holds one.",
    "Put it in a file of its own.",
)
MERGE: Words = (
    "“<<” copies lines from elsewhere, which a record may not do.",
    "Write the lines out.",
)
NO_NAME: Words = ("there is no name before the colon.", "Write the name of the value.")


def decorated(event: Any) -> Words:
    """For a value with `&name` or `!type` before it."""
    if event.anchor is not None:
        return (
            f"“&{show(event.anchor)}” marks a part to be repeated elsewhere; a record may not.",
            "Delete the mark; put the text in quotes if it really begins with “&”.",
        )
    return (
        f"“{show(event.tag)}” before a value names a type, which a record does not use.",
        "Delete it; put the text in quotes if it really begins with “!”.",
    )


def alias(event: Any) -> Words:
    """For `*name`."""
    return (
        f"“*{show(event.anchor)}” asks for a part to be repeated; a record may not.",
        "Write the part out; put the text in quotes if it really begins with “*”.",
    )


_QUOTE = "Put the text in quotes."
_ALIGN = "Give it exactly as many blanks in front as the lines it belongs with, no tabs."

_TAB: Words = ("a tab stands here where blanks are expected.", "Use blanks, no tabs.")
_COLON_IN_TEXT: Words = (
    "the text has a second colon in it, so that it is not clear where the value begins.",
    "Put the text in quotes.",
)
_NOT_ALIGNED: Words = ("this line does not line up with the one above.", _ALIGN)
_VALUE_ENDED: Words = (
    "the value has ended before this, and more follows on the same line.",
    "Put quotes around the whole text, or around none of it.",
)
_NO_CHARACTER: Words = (
    "a backslash in double quotes asks for a character that does not exist.",
    "Use single quotes, or type the character itself.",
)

# What the parser says (both parsers, in part) → what is meant and what to do.
_MEANINGS: tuple[tuple[str, Words], ...] = (
    (
        "block sequence entries are not allowed",
        ("a dash stands here where no list can begin.", "Start the list on a line of its own."),
    ),
    ("found a tab", _TAB),
    ("maximum nesting depth", TOO_DEEP),
    ("invalid Unicode", _NO_CHARACTER),
    (
        "cannot start any token",
        ("a text cannot begin with this character unless it is in quotes.", _QUOTE),
    ),
    (
        "expected comment or line break",
        ("after “>” or “|” the text has to begin on the next line.", _QUOTE),
    ),
    (
        "unknown escape character",
        (
            "a backslash in double quotes is followed by a letter that means nothing.",
            "Use single quotes, or write the backslash twice.",
        ),
    ),
    (
        "unexpected end of stream",
        ("a quotation mark is opened here and never closed.", "Close it at the end of the text."),
    ),
    (
        "document separator",
        ("a quotation mark is opened here and never closed.", "Close it at the end of the text."),
    ),
    (
        "',' or ']'",
        (
            "the list in square brackets is not closed, or a comma is missing.",
            "Put commas between the items and “]” at the end.",
        ),
    ),
    (
        "',' or '}'",
        (
            "the group in curly brackets is not closed, or a comma is missing.",
            "Put commas between the parts and “}” at the end.",
        ),
    ),
    (
        "expected ':'",
        (
            "this line is neither “name: value” nor “- item”.",
            "Write “name: value”, with a blank after the colon.",
        ),
    ),
    (
        "expected key",
        ("this line does not line up with the one above, or is not “name: value”.", _ALIGN),
    ),
    (
        "expected <block end>",
        ("this line does not line up with the one above, or is not “name: value”.", _ALIGN),
    ),
    (
        "'-' indicator",
        ("this line does not line up with the list above it.", _ALIGN),
    ),
    (
        "<document start>",
        ("something stands here that belongs to nothing above it.", _ALIGN),
    ),
    (
        "alphabetic or numeric character",
        ("“*” or “&” cannot begin a text unless it is in quotes.", _QUOTE),
    ),
    ("directive", ("a line that starts with “%” cannot be read.", "Delete it or use quotes.")),
    ("tag", ("“!” cannot begin a text unless it is in quotes.", _QUOTE)),
    ("expected node content", ("a value is missing here.", "Write it, or delete the mark.")),
)


def explain(error: yaml.MarkedYAMLError, text: bytes) -> Flaw:
    """A flaw with the place the parser names, in plain words where the cause can be told."""
    said = f"{error.context or ''} {error.problem or ''}"
    mark = error.problem_mark or error.context_mark
    if any(fragment in said for fragment in _BEGAN_EARLIER):
        mark = error.context_mark or mark
    place = _place(mark, text)
    before, after = _line_around(place, text)
    if words := _seen_in_the_line(said, before, after):
        return Flaw(place, *words)
    for fragment, words in _MEANINGS:
        if fragment in said:
            return Flaw(place, *words)
    return Flaw(
        place,
        f"the text cannot be understood from here on ({show(said.strip())}).",
        "Compare it with a record that works, line by line; quotes around a text often help.",
    )


# What the parser notices only later than where it began.
_BEGAN_EARLIER = ("end of stream", "document separator", "',' or ']'", "',' or '}'", "expected ':'")


def _line_around(place: Place, text: bytes) -> tuple[str, str]:
    lines = text.split(b"\n", place.line)
    line = lines[place.line - 1].decode("utf-8", "replace") if len(lines) >= place.line else ""
    return line[: place.column - 1], line[place.column - 1 :]


def _seen_in_the_line(said: str, before: str, after: str) -> Words | None:
    """The cause where the line itself shows more than the parser says."""
    if after.startswith("\t") or (not before.strip() and "\t" in before):
        return _TAB
    if "mapping values" in said:
        return _COLON_IN_TEXT if ": " in before else _NOT_ALIGNED
    if "expected key" in said or "expected <block end>" in said:
        if after.startswith(":"):
            return NO_NAME
        if before.strip():
            return _VALUE_ENDED
    return None


def unknown(error: Exception) -> Flaw:
    """A flaw for a failure that gives no place."""
    return Flaw(
        Place(),
        f"the text of this file cannot be understood ({show(error)}).",
        "Compare it with a record that works, line by line.",
    )


def _place(mark: Any, text: bytes) -> Place:
    if mark is None:
        return Place()
    last = text.rstrip().count(b"\n")
    if mark.line > last:  # the end of the file: point at its last line, which can be shown
        return Place(last + 1, 1)
    return Place(mark.line + 1, mark.column + 1)
