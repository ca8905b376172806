"""The tables of published formulas and factors that this package reckons with, read once."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from dietcheck.tables.csv_table import Table

_DATA = Path(__file__).parent / "data"


@cache
def bundled(name: str) -> Table:
    """A table of the package by its file name without ending."""
    return Table((_DATA / f"{name}.csv").read_text(encoding="utf-8"))


def citation(keys: str) -> str:
    """The full citations behind source keys (`A; B`); an unlisted key stands for itself."""
    table = bundled("sources")
    return "; ".join(
        row[0]["citation"] if (row := table.rows(key)) else key for key in keys.split("; ")
    )
