"""Slips planted at known lines of a synthetic collection, and whether each is found there."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

GRAVE = {"low": 0, "medium": 1, "high": 2}
HIDING = ("sign-off",)  # an approval is of the sheet as it was: each slip breaks it, rightly


@dataclass(frozen=True)
class Kind:
    """A kind of slip: where it is made, and what must come of it."""

    name: str
    where: str
    find: str
    put: str
    severity: str
    rules: tuple[str, ...]
    also: tuple[str, ...]


@dataclass(frozen=True)
class Planted:
    """A slip at its line."""

    kind: Kind
    file: str
    line: int

    @property
    def group(self) -> str:
        """The group that it befalls."""
        return Path(self.file).stem


@cache
def kinds() -> tuple[Kind, ...]:
    """The table of slips."""
    rows = yaml.safe_load(Path(__file__).with_name("defects.yaml").read_text(encoding="utf-8"))
    return tuple(
        Kind(
            name,
            row["in"],
            row["find"],
            row["put"],
            row["severity"],
            tuple(row["rules"]),
            tuple(row.get("also", ())),
        )
        for name, row in rows.items()
    )


def plant(files: Mapping[str, str], each: int) -> tuple[dict[str, str], list[Planted]]:
    """The collection with so many slips of each kind, spread over it, and where they are."""
    broken, planted = dict(files), []
    for kind in kinds():
        held = sorted(name for name in files if re.fullmatch(rf"{kind.where}-\d+\.yaml", name))
        for name in held[:: max(1, len(held) // each)][:each]:
            lines = broken[name].split("\n")
            at = next(i for i, line in enumerate(lines) if re.search(kind.find, line))
            lines[at] = re.sub(kind.find, kind.put, lines[at], count=1)
            broken[name] = "\n".join(lines)
            planted.append(Planted(kind, name, at + 1))
    return broken, planted


def compare(planted: Iterable[Planted], findings: Iterable[Mapping[str, Any]]) -> list[str]:
    """What is wrong: slips that were not found at their line, and high findings of nothing."""
    planted, findings = list(planted), list(findings)
    wrong = [
        f"missed: {one.kind.name} at {one.file}:{one.line}"
        for one in planted
        if not any(_names(finding, one) for finding in findings)
    ]
    by_group = {one.group: one.kind for one in planted}
    extra = Counter(
        (finding["rule"], finding["message"])
        for finding in findings
        if finding["severity"] == "high" and not _explained(finding, by_group)
    )
    return wrong + [f"new: {rule}: {message}" for rule, message in extra]


def _names(finding: Mapping[str, Any], one: Planted) -> bool:
    return (
        finding["rule"] in one.kind.rules
        and GRAVE[finding["severity"]] >= GRAVE[one.kind.severity]
        and any((p["file"], p["line"]) == (one.file, one.line) for p in finding["places"])
    )


def _explained(finding: Mapping[str, Any], by_group: Mapping[str, Kind]) -> bool:
    groups = {finding["group"], *(Path(place["file"]).stem for place in finding["places"])}
    met = [by_group[group] for group in groups if group in by_group]
    return any(finding["rule"] in (*kind.rules, *kind.also, *HIDING) for kind in met)
