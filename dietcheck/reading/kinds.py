"""The eight kinds of record and their schemas."""

from __future__ import annotations

import json
from functools import lru_cache
from typing import Any

from dietcheck.outside.packages import files
from dietcheck.reading.formats import FORMATS
from dietcheck.reading.shapes import Test, compile_schema

KINDS = ("collection", "group", "foods", "diet sheet", "rota", "treats", "limits", "sign-off")


@lru_cache(maxsize=len(KINDS))
def _text(kind: str) -> str:
    if kind not in KINDS:
        raise KeyError(kind)
    name = f"{kind.replace(' ', '-')}.schema.json"
    return (files(__package__) / "schemas" / name).read_text(encoding="utf-8")


def schema(kind: str) -> dict[str, Any]:
    """The JSON Schema (2020-12) of a kind of record, whole in itself; KeyError for no such kind."""
    loaded: dict[str, Any] = json.loads(_text(kind))
    return loaded


@lru_cache(maxsize=len(KINDS))
def shape(kind: str) -> Test:
    """The fast test of a kind of record."""
    return compile_schema(schema(kind), FORMATS)
