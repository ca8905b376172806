"""One file's bytes to checked data: pure, so that it can be cached and tested alone.

Data is handed on only if the file has no problem at all: a record with a fault is not half used.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from msgspec import Struct

from dietcheck.reading.events import build
from dietcheck.reading.identity import Identity, identities
from dietcheck.reading.kept import kept_record
from dietcheck.reading.kinds import KINDS, shape
from dietcheck.reading.positions import locate
from dietcheck.reading.problems import Flaw, Place, Problem, listed, show
from dietcheck.reading.text import clean

PROBLEM_LIMIT = 20
"""Problems told of one file; the rest are counted."""
KEPT = 10_000
"""Files remembered: an earlier version is mostly the same files, and a draft leaves them all."""


class FileFacts(Struct, frozen=True):
    """What one file says, or why it cannot be used.

    `data` is None whenever there is a problem. `identities` names what the record is about even
    then, as far as it can be read. `draft` is set for a record laid over the repository.
    """

    file: str
    kind: str | None
    data: Mapping[str, Any] | None
    problems: tuple[Problem, ...] = ()
    identities: tuple[Identity, ...] = ()
    draft: bool = False


@lru_cache(KEPT)
def check_file(file: str, raw: bytes) -> FileFacts:
    """Read one record and check it against its schema. Same bytes, same answer; never raises."""
    if found := kept_record(raw):
        kind = kind_of(found[0])
        return FileFacts(file, kind, found[0], (), identities(kind, found[0]))
    data, flaws = read_loosely(raw)
    kind = kind_of(data)
    more = 0
    if not flaws:
        if kind is None:
            flaws = [_no_kind(raw, data)]
        elif not shape(kind)(data):
            from dietcheck.reading.explain import explain  # jsonschema is heavy: only when needed

            flaws, more = explain(kind, data, raw, PROBLEM_LIMIT)
    names = identities(kind, data)
    if not flaws:
        return FileFacts(file, kind, data, (), names)
    return FileFacts(file, kind, None, capped(file, flaws, more), names)


def read_loosely(raw: bytes) -> tuple[Any, list[Flaw]]:
    """Whatever can be read of a text, and what is wrong with it before any schema."""
    text = clean(raw)
    if isinstance(text, Flaw):
        return None, [text]
    document = build(text)
    return document.data, list(document.flaws)


def kind_of(data: Any) -> str | None:
    """The kind of record, if the document names one of the eight."""
    kind = data.get("record") if isinstance(data, dict) else None
    return kind if isinstance(kind, str) and kind in KINDS else None


def capped(file: str, flaws: list[Flaw], more: int = 0) -> tuple[Problem, ...]:
    """The first twenty problems in order, then one that counts the rest."""
    problems = sorted(flaw.of(file) for flaw in flaws)
    shown = problems[:PROBLEM_LIMIT]
    more += len(problems) - len(shown)
    if not more:
        return tuple(shown)
    last = Problem(
        file,
        shown[-1].line,
        shown[-1].column,
        f"and {more:,} more from here on.",
        "Mend those above first; one mistake often shows in many places.",
    )
    return (*shown, last)


_FIRST_LINE = f"Begin with a line “record: …”, one of: {listed(KINDS)}."
_LEAVE_OUT = "If this is no record, list the file under leave_out in dietcheck.yaml."


def _no_kind(raw: bytes, data: Any) -> Flaw:
    if data is None:
        return Flaw(Place(), "this file is empty.", "Write the record, or delete the file.")
    if not isinstance(data, dict):
        return Flaw(
            locate(raw, ()),
            "a record is lines of “name: value”; this file holds something else.",
            f"{_FIRST_LINE} {_LEAVE_OUT}",
        )
    if "record" not in data:
        near = difflib.get_close_matches("record", [name[:20] for name in list(data)[:50]], 1, 0.8)
        return Flaw(
            locate(raw, tuple(near), key=True),
            "nothing here says what kind of record this is.",
            f"{_FIRST_LINE} {_LEAVE_OUT}",
        )
    written = data["record"]
    near = difflib.get_close_matches(str(written).lower(), KINDS, 1) if written else []
    hint = f"Did you mean “{near[0]}”? " if near else ""
    return Flaw(
        locate(raw, ("record",)),
        f"“{show(written)}” is not a kind of record."
        if written is not None
        else "the kind of record is left empty.",
        f"{hint}Write one of: {listed(KINDS)}.",
        ("record",),
    )
