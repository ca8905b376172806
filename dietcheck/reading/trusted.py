"""Reads the YAML tables that ship with rule packs, by the same reader as the records.

Reading them costs more than judging a small collection, so what they hold is kept from run to run.
"""

from __future__ import annotations

from typing import Any

from dietcheck.reading.check import read_loosely
from dietcheck.reading.kept import Kept

_kept: list[Kept] = []  # one, from the first table on


def read_trusted(raw: bytes) -> Any:
    """The contents of a table that came with an installed package.

    Raises ValueError with the first fault and its line: a fault of the package, not of the user.
    """
    if not _kept:
        _kept.append(Kept("tables"))
    if found := _kept[0].find(raw):
        return found[0]
    data, flaws = read_loosely(raw)
    if flaws:
        problem = flaws[0].of("table")
        raise ValueError(f"line {problem.line}: {problem.message}")
    _kept[0].add(raw, data)
    return data


def keep_tables() -> None:
    """Keep the tables that this run had to read; later runs find them, also of other folders."""
    while _kept:
        _kept.pop().save()
