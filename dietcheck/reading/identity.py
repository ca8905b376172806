"""Which thing a record is about: two records must not be about the same one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from dietcheck.reading.problems import Path, listed, show

Identity = tuple[str, ...]
"""("collection",), ("group", id), ("food", id), ("diet sheet", group, from), ("rota", group, …)."""

_FIELDS: Mapping[str, tuple[str, ...]] = {
    "collection": (),
    "group": ("id",),
    "diet sheet": ("group", "from"),
    "rota": ("group", "starts"),
}


def identities(kind: str | None, data: Any) -> tuple[Identity, ...]:
    """Every identity a document claims.

    Works on refused documents too, as far as their names can be read: so a group whose file has
    a fault is not also reported as missing everywhere.
    """
    if not isinstance(data, dict) or kind is None:
        return ()
    if kind == "foods":
        foods = data.get("foods")
        return tuple(("food", name) for name in foods) if isinstance(foods, dict) else ()
    if kind not in _FIELDS:
        return ()
    values = [data.get(name) for name in _FIELDS[kind]]
    if not all(isinstance(value, str) for value in values):
        return ()
    return ((kind, *map(str, values)),)


def path_of(identity: Identity) -> Path:
    """The value in a record to point at when its identity is spoken of."""
    kind = identity[0]
    if kind == "food":
        return ("foods", identity[1])
    return (_FIELDS[kind][-1],) if _FIELDS[kind] else ("record",)


def say(identity: Identity) -> str:
    """An identity in words: `the diet sheet of red-panda from 2026-10-01`."""
    kind, *names = identity
    shown = [f"“{show(name)}”" for name in names]
    if kind == "collection":
        return "the collection"
    if len(shown) == 1:
        return f"the {kind} {shown[0]}"
    return f"the {kind} of {listed([shown[0]])} from {shown[1]}"
