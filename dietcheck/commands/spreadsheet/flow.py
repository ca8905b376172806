"""Records as YAML text that reads back as the same data, in the style of the example park."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

_PLAIN = re.compile(
    r"[A-Za-z](?:[A-Za-z0-9_./()%+ -]*[A-Za-z0-9_./()%+])?|[0-9]{4}-[0-9]{2}-[0-9]{2}"
)
_AMOUNT = re.compile(r"[0-9]+(?:\.[0-9]+)?(?: [A-Za-z]+)+")
_WORDS = frozenset(["true", "false", "null", "yes", "no", "on", "off", "y", "n"])


def as_json(value: Any) -> str:
    """Any value of a record as JSON on one line, which YAML reads as well; figures exact."""
    if isinstance(value, Mapping):
        inner = (
            f"{json.dumps(str(k), ensure_ascii=False)}: {as_json(v)}" for k, v in value.items()
        )
        return "{" + ", ".join(inner) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(as_json(inner) for inner in value) + "]"
    if isinstance(value, Decimal):
        return f"{value:f}"
    return json.dumps(value, ensure_ascii=not (isinstance(value, str) and value.isprintable()))


def text_of(value: Any) -> str:
    """A value on one line: plain where that can be read only one way, in quotes otherwise."""
    if isinstance(value, str):
        plain = _PLAIN.fullmatch(value) or _AMOUNT.fullmatch(value)
        return value if plain and value.casefold() not in _WORDS else as_json(value)
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{text_of(k)}: {text_of(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(text_of, value)) + "]"
    return as_json(value)


def record_text(data: Mapping[str, Any]) -> str:
    """A diet sheet or a rota as the text of its file."""
    lines: list[str] = []
    for key, value in data.items():
        if key == "meals":
            lines.append("meals:")
            for meal, rows in value.items():
                lines += [f"  {text_of(meal)}:", *(f"    - {text_of(row)}" for row in rows)]
        elif key in ("days", "supplements") and value:
            lines += [f"{key}:", *(f"  - {text_of(row)}" for row in value)]
        else:
            lines.append(f"{text_of(key)}: {text_of(value)}")
    return "\n".join(lines) + "\n"
