"""Where a value stands in its file: looked up only when something has to be said about it."""

from __future__ import annotations

from contextlib import suppress
from functools import lru_cache
from typing import Any

import yaml
from msgspec import Struct, field
from yaml.events import (
    AliasEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from dietcheck.reading.problems import Flaw, Path, Place, show
from dietcheck.reading.stream import DEPTH_LIMIT, NODE_LIMIT, parser, place_of

_BOM = b"\xef\xbb\xbf"


class _Map(Struct):
    """Every path of a document with the places of its name and its value."""

    names: dict[Path, Place] = field(default_factory=dict)
    values: dict[Path, Place] = field(default_factory=dict)
    doubles: list[tuple[Path, Place]] = field(default_factory=list)


def locate(raw: bytes, path: Path, *, key: bool = False) -> Place:
    """Where the value at `path` begins (or, with `key`, the name before it).

    Counted from 1, columns in code points. A path that is not there gets the place of the nearest
    thing around it, so that there is always a line to show; it never raises.
    """
    found = _positions(raw)
    if key and path in found.names:
        return found.names[path]
    for end in range(len(path), -1, -1):
        part = path[:end]
        if part in found.values:
            # for a value that is missing, the name of what should hold it says more than its body
            return found.values[part] if end == len(path) else _head(found, part)
    return Place()


def doubles(text: bytes) -> list[Flaw]:
    """A flaw for each name that stands twice in one place, naming both lines."""
    found = _positions(text)
    return [
        Flaw(
            second,
            f"“{show(path[-1])}” stands here a second time; "
            f"the first is on line {found.names[path].line}.",
            "Keep one of the two.",
            path,
        )
        for path, second in found.doubles
    ]


def _head(found: _Map, path: Path) -> Place:
    return found.names.get(path, found.values[path])


@lru_cache(maxsize=4)
def _positions(raw: bytes) -> _Map:
    """Read a text once more, keeping places. What follows a fault is simply not in the map."""
    found = _Map()
    # The reader has already told of any fault; places up to there are kept.
    with suppress(yaml.YAMLError, ValueError, RecursionError):
        _fill(found, raw.removeprefix(_BOM))
    return found


def _fill(found: _Map, text: bytes) -> None:
    """Walk the events, keeping for each open list or mapping its path and what comes next."""
    next_event = parser(text)
    stack: list[tuple[Path, Any]] = []
    path: Path = ()
    turn: Any = "whole"  # an int: place in a list; None: a name comes next; a str: its value comes
    for _ in range(3 * NODE_LIMIT):
        event = next_event()
        kind = event.__class__
        if kind is StreamEndEvent or len(stack) > DEPTH_LIMIT:
            return
        if kind is MappingEndEvent or kind is SequenceEndEvent:
            path, turn = stack.pop()
            continue
        opens = kind is MappingStartEvent or kind is SequenceStartEvent
        if not opens and kind is not ScalarEvent and kind is not AliasEvent:
            continue
        if turn is None:
            if opens:
                return
            turn = event.value if kind is ScalarEvent else f"*{event.anchor}"
            if (*path, turn) in found.names:
                found.doubles.append(((*path, turn), place_of(event)))
                turn += f"\0{len(found.doubles)}"  # so that what it holds is not doubled as well
            else:
                found.names[*path, turn] = place_of(event)
            continue
        here: Path = () if turn == "whole" and not stack else (*path, turn)
        found.values.setdefault(here, place_of(event))
        turn = turn + 1 if isinstance(turn, int) else None
        if opens:
            stack.append((path, turn))
            path, turn = here, (None if kind is MappingStartEvent else 0)
