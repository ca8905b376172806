"""One animal on one day: what it was offered, from which version, on whose word, with what open.

What every kind of output starts from. Each kind of file is one module with `render(report)` and a
row in `KINDS`. Texts are ready to print.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from importlib import import_module

from msgspec import Struct

from dietcheck.collection.animals import Animal, Group
from dietcheck.history.versions import Version
from dietcheck.quantities import Interval
from dietcheck.reporting.trail_log import Log

KINDS: Mapping[str, str] = {"html": "trail_html", "json": "trail_json"}

NOTES = (
    "Offered, not eaten: worked out from the amounts that are written. Who typed a record is what "
    "git says; days and names in git are those of the computers on which it was written.",
    "Findings are what the rules of this dietcheck say of the version of that day. The rules and "
    "tables in use on the day itself may have been others.",
    "This is a screening aid. It is not veterinary advice, and no finding is not proof of safety.",
)
"""Printed with every trail."""


class Offered(Struct, frozen=True):
    """One line of food in one feed of the day; `grams` is this animal's part."""

    slot: str
    meal: str
    food: str
    called: str
    amount: str
    grams: Interval
    gap: str
    details: tuple[str, ...]
    place: str


class Total(Struct, frozen=True):
    """A quantity of the day and of the mean day of the rota.

    `is_open`: some food does not state it, so that only its lower end says anything.
    """

    key: str
    title: str
    unit: str
    day: Interval
    mean: Interval | None
    is_open: bool


class FileUsed(Struct, frozen=True):
    """A file that the day's food comes from, and the commit that gave it its content."""

    what: str
    file: str
    changed: Version | None


class Signature(Struct, frozen=True):
    """A signature under the group's diet that stood on the day.

    `covers` says whether it was put under what was fed; `weight` and `condition` are what was on
    file when it was given; `doubts` are reasons to ask.
    """

    by: str
    role: str
    on: date
    covers: str
    weight: str
    condition: str
    next_review: date | None
    conditions: tuple[str, ...]
    doubts: tuple[str, ...]
    file: str
    written: Version | None


class Open(Struct, frozen=True):
    """A finding about the animal or its whole group."""

    id: str
    rule: str
    title: str
    severity: str
    verdict: str
    message: str
    advice: str
    place: str
    accepted: str


class Risk(Struct, frozen=True):
    """A risk that somebody had accepted for the animal or its group and that had not ended."""

    rule: str
    title: str
    food: str
    reason: str
    by: str
    role: str
    signed: date
    until: date
    left: int
    releases: str


class TrailReport(Struct, frozen=True, eq=False):
    """The whole answer. `version` is None where git holds none.

    `unknown` is what nobody can tell, `last_change` what the latest change did to the findings.
    """

    collection: str
    group: Group
    animal: Animal
    on: date
    is_here: bool
    about: str
    version: Version | None
    read_from: str
    unknown: tuple[str, ...]
    plan: str
    offered: tuple[Offered, ...]
    totals: tuple[Total, ...]
    files: tuple[FileUsed, ...]
    signatures: tuple[Signature, ...]
    findings: tuple[Open, ...]
    risks: tuple[Risk, ...]
    log: Log
    last_change: tuple[str, ...]


def render(kind: str, report: TrailReport) -> str:
    """The text of a file of one of the `KINDS`. Only that kind's module is loaded."""
    text: str = import_module(f"dietcheck.reporting.{KINDS[kind]}").render(report)
    return text
