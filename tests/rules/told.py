"""What a check tells its reader, without the words around it: figures, and where they lead."""

from __future__ import annotations

import re

from dietcheck.contract import Check


def figures(*texts: str) -> str:
    """The figures of some texts in order; each text is set apart by a bar."""
    return " | ".join(" ".join(re.findall(r"\d+(?:[.,]\d+)*", text)) for text in texts)


def places(check: Check) -> list[str]:
    """Where the check leads: the file's stem and the last steps into it."""
    return [
        " ".join((place.file.removesuffix(".yaml"), *map(str, place.path[-3:])))
        for place in check.places
    ]
