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


def identities(kind: str | None, data: Any) -> tuple[tuple[Identity, Path], ...]:
    """Every identity a document claims, each with the path to point at.

    Works on refused documents too, as far as their names can be read: so a group whose file has
    a fault is not also reported as missing everywhere.
    """
    if not isinstance(data, dict) or kind is None:
        return ()
    if kind == "foods":
        foods = data.get("foods")
        names = foods if isinstance(foods, dict) else {}
        return tuple((("food", name), ("foods", name)) for name in names)
    if kind not in _FIELDS:
        return ()
    fields = _FIELDS[kind]
    values = [data.get(name) for name in fields]
    if not all(isinstance(value, str) for value in values):
        return ()
    return (((kind, *map(str, values)), (fields[-1],) if fields else ("record",)),)


def say(identity: Identity) -> str:
    """An identity in words: `the diet sheet of red-panda from 2026-10-01`."""
    kind, *names = identity
    shown = [f"“{show(name)}”" for name in names]
    if kind == "collection":
        return "the collection"
    if len(shown) == 1:
        return f"the {kind} {shown[0]}"
    return f"the {kind} of {listed([shown[0]])} from {shown[1]}"
