"""YAML text to plain data in one pass over the parser's events, refusing what could mislead.

A record is a small part of YAML: names, lists, texts, numbers. Everything that can make one file
mean two things (names given twice, references, tags, several documents, numbers and dates guessed
by the reader) is refused or left as the text it is. The C parser is used where there is one; the
pure one gives the same answers, some eight times slower.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from sys import intern
from typing import Any

import yaml
from msgspec import Struct
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from dietcheck.reading import faults, positions
from dietcheck.reading.problems import Flaw, show
from dietcheck.reading.stream import DEPTH_LIMIT, NODE_LIMIT, parser, place_of
from dietcheck.reading.text import unseen_in

DIGIT_LIMIT = 30
FLAW_LIMIT = 30

_CONSTANTS = {"true": True, "false": False, "null": None, "~": None, "": None}
_NUMBER_STARTS = frozenset("-0123456789")
_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]*)(\.[0-9]+)?")
_NOT_FINITE = frozenset(
    sign + word
    for sign in ("", "+", "-")
    for word in (".inf", ".Inf", ".INF", ".nan", ".NaN", ".NAN")
)


class Document(Struct, frozen=True):
    """What a text holds, and everything that stops it from being taken at its word."""

    data: Any
    flaws: tuple[Flaw, ...]


def build(text: bytes) -> Document:
    """Read one clean text (see text.clean). Never raises for anything the text holds."""
    builder = _Builder()
    try:
        builder.run(parser(text))
    except _Stop:
        pass
    except yaml.MarkedYAMLError as error:
        builder.flaws.append(faults.explain(error, text))
    except (yaml.YAMLError, ValueError, RecursionError) as error:
        builder.flaws.append(faults.unknown(error))
    if builder.doubles:  # rare, so only then is the text read again for the two places
        builder.flaws.extend(positions.doubles(text))
    return Document(builder.top, tuple(builder.flaws))


class _Stop(Exception):
    """Reading further makes no sense; the reason is in the flaws."""


class _Builder:
    """The state of one pass; `top` holds what was built so far, even when it stopped early."""

    def __init__(self) -> None:
        self.top: Any = None
        self.flaws: list[Flaw] = []
        self.doubles = False

    def refuse(self, event: Any, message: str, remedy: str) -> None:
        self.flaws.append(Flaw(place_of(event), message, remedy))
        if len(self.flaws) >= FLAW_LIMIT:
            raise _Stop

    def stop(self, event: Any, message: str, remedy: str) -> None:
        self.flaws.append(Flaw(place_of(event), message, remedy))
        raise _Stop

    def run(self, next_event: Callable[[], Any]) -> None:
        """The one loop. It is long because a call for each of 100,000 nodes would double it."""
        read = _Scalars()
        stack: list[tuple[Any, str | None]] = []
        box: Any = None  # the list or dict being filled; None outside the document
        key: str | None = None  # the name that waits for its value
        nodes = documents = 0
        while True:
            event = next_event()
            kind = event.__class__
            if kind is ScalarEvent:
                value: Any = event.value
                if event.anchor is not None or event.tag is not None:
                    self.refuse(event, *faults.decorated(event))
                if not value.isprintable() and (unseen := unseen_in(value)):
                    self.refuse(event, *unseen)
                if key is None and box.__class__ is dict:
                    self.check_key(event, value, box)
                    key = intern(value)  # a collection has few names, each a thousand times
                    continue
                if not event.style:  # no quotes and no block: the word may mean a number
                    try:
                        value = read[value]
                    except ValueError as error:
                        self.refuse(event, *error.args)
            elif kind is MappingStartEvent or kind is SequenceStartEvent:
                if event.anchor is not None or event.tag is not None:
                    self.refuse(event, *faults.decorated(event))
                if key is None and box.__class__ is dict:
                    self.stop(event, *faults.KEY_NOT_TEXT)
                if len(stack) >= DEPTH_LIMIT:
                    self.stop(event, *faults.TOO_DEEP)
                value = {} if kind is MappingStartEvent else []
            elif kind is MappingEndEvent or kind is SequenceEndEvent:
                box, key = stack.pop()
                continue
            elif kind is AliasEvent:
                self.refuse(event, *faults.alias(event))
                if key is None and box.__class__ is dict:
                    key = f"*{event.anchor}"
                    continue
                value = None
            elif kind is DocumentStartEvent:
                documents += 1
                if event.version is not None or event.tags:
                    self.refuse(event, *faults.DIRECTIVE)
                if documents > 1:
                    self.stop(event, *faults.SECOND_DOCUMENT)
                continue
            elif kind is StreamEndEvent:
                return
            else:
                continue
            nodes += 1
            if nodes > NODE_LIMIT:
                self.stop(event, *faults.TOO_MANY)
            if box is None:
                self.top = value
            elif key is not None:
                box[key] = value
                key = None
            else:
                box.append(value)
            if kind is not ScalarEvent and kind is not AliasEvent:
                stack.append((box, None))
                box, key = value, None

    def check_key(self, event: Any, name: str, box: dict[str, Any]) -> None:
        if name in box:
            self.doubles = True
        elif name == "<<" and not event.style:
            self.refuse(event, *faults.MERGE)
        elif not name:
            self.refuse(event, *faults.NO_NAME)


class _Scalars(dict[str, Any]):
    """Plain words to values, each distinct word judged once. ValueError: (message, remedy)."""

    def __missing__(self, word: str) -> Any:
        value = self[word] = plain(word)
        return value


def plain(word: str) -> Any:
    """What an unquoted word means: true, false, nothing, a plain number, else the text itself.

    `no`, `on`, `08:30`, `010`, `1_000`, `1e3` and dates stay text, whatever other readers make of
    them. ValueError carries (message, remedy) for numbers that cannot be meant.
    """
    if word[:1] in _NUMBER_STARTS:
        found = _NUMBER.fullmatch(word)
        if found is None and word not in _NOT_FINITE:
            return word
    else:
        found = None
    if found is not None:
        if len(word) > DIGIT_LIMIT:
            raise ValueError(
                f"the number {show(word[:20] + '…')} has {len(word)} digits.",
                f"Write at most {DIGIT_LIMIT}; put it in quotes if it is a code, not a number.",
            )
        return Decimal(word) if found.group(1) else int(word)
    if word in _CONSTANTS:
        return _CONSTANTS[word]
    if word in _NOT_FINITE:
        raise ValueError(
            f"“{word}” stands for a number without end, which cannot be measured out.",
            "Write a number, or put the word in quotes if it is a text.",
        )
    return word
