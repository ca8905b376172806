"""Reads the YAML tables that ship with rule packs, by the same reader as the records."""

from __future__ import annotations

from typing import Any

from dietcheck.reading.check import read_loosely


def read_trusted(raw: bytes) -> Any:
    """The contents of a table that came with an installed package.

    Raises ValueError with the first fault and its line: a fault of the package, not of the user.
    """
    data, flaws = read_loosely(raw)
    if flaws:
        problem = flaws[0].of("table")
        raise ValueError(f"line {problem.line}: {problem.message}")
    return data
