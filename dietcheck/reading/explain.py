"""Why a document does not fit its schema, in the words of somebody who writes diet sheets."""

from __future__ import annotations

from typing import Any

from dietcheck.reading.problems import Flaw, Place


def explain(kind: str, data: Any, raw: bytes) -> list[Flaw]:
    """At least one flaw for a document that its schema refuses."""
    from jsonschema import Draft202012Validator
    from referencing import Registry

    from dietcheck.reading.kinds import schema
    from dietcheck.reading.positions import locate

    v = Draft202012Validator(schema(kind), registry=Registry())
    return [
        Flaw(locate(raw, tuple(e.absolute_path)), e.message[:200], "", tuple(e.absolute_path))
        for e in v.iter_errors(data)
    ] or [Flaw(Place(), "does not fit", "")]
