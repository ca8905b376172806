"""A fault is a function that breaks a copy of the park; faults.yaml says what must come of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from random import Random

import yaml

from dietcheck.screening.checks import Severity
from tests.seeded.park import Park, Record


@dataclass(frozen=True)
class Broken:
    """What was done: the files of which one must be named, and the fault in words."""

    files: str | tuple[str, ...]
    what: str

    def names(self) -> tuple[str, ...]:
        """The files, of which one must be named by the finding."""
        return (self.files,) if isinstance(self.files, str) else self.files


Fault = Callable[[Park, Random], Broken]
FAULTS: dict[str, Fault] = {}
HARMLESS: dict[str, Fault] = {}


def fault(made: Fault) -> Fault:
    """Register a way to break the park, under the function's name."""
    FAULTS[made.__name__] = made
    return made


def harmless(made: Fault) -> Fault:
    """Register a change of which no high finding may come."""
    HARMLESS[made.__name__] = made
    return made


@dataclass(frozen=True)
class Expected:
    """What must come of a fault: a finding of one of these rules, at least so grave."""

    rules: frozenset[str]
    severity: Severity
    source: str


@cache
def expected() -> dict[str, Expected]:
    """The table of faults: name → what must come of it."""
    rows = yaml.safe_load((Path(__file__).parent / "faults.yaml").read_text(encoding="utf-8"))
    return {
        name: Expected(frozenset(row["rules"]), Severity(row["severity"]), row["source"])
        for name, row in rows.items()
    }


def file_of_sheet(park: Park, group: str) -> str:
    """The file with a group's diet sheet."""
    return park.file_of(park.sheets()[group])


def some_sheet(park: Park, group: str) -> Record:
    """A group's diet sheet in force."""
    return park.sheets()[group]
