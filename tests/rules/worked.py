"""What a check tells in figures, apart from the words around them."""

from __future__ import annotations

import re
from collections.abc import Iterable


def figures(text: str) -> list[str]:
    """The figures of a text in the order they stand: `10 g = 20 kcal` → 10, 20."""
    return re.findall(r"\d+(?:\.\d+)?", text)


def steps(lines: Iterable[str]) -> list[list[str]]:
    """The figures of each line that has any."""
    return [found for line in lines if (found := figures(line))]
