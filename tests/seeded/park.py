"""A park held as data, which faults can change; and its judgement by all rules."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import Any

from dietcheck.history.lookback import Lookback
from dietcheck.reading import check_file
from dietcheck.screening.findings import Finding
from dietcheck.screening.kept_verdicts import NONE_KEPT, KeptVerdicts, NothingKept
from dietcheck.screening.packs import load_packs
from dietcheck.screening.report import Report
from dietcheck.screening.screen import screen
from dietcheck.testing import Memory

EXAMPLE = Path(__file__).resolve().parents[2] / "example_repo"
ON = date(2026, 11, 25)  # the day that the files of the example show
LAST_MONTH = "marmoset-2026-05.yaml"  # sheets that are no longer, or not yet, in force
OTHER_SHEETS = {"diet-sheets/" + LAST_MONTH, "diet-sheets/capybara-no-pepper.yaml"}

Record = dict[str, Any]


@dataclass(eq=False)
class Park:
    """The records of the example: file name → data, and raw texts laid over them."""

    files: dict[str, Record]
    texts: dict[str, str] = field(default_factory=dict)

    def source(self) -> Memory:
        """The park as files; JSON is YAML, and holds a value a line."""
        told = {n: json.dumps(data, indent=1, ensure_ascii=False) for n, data in self.files.items()}
        return Memory({**told, **self.texts})

    def copy(self) -> Park:
        """The same park, to be broken."""
        return Park(copy.deepcopy(self.files), dict(self.texts))

    def of(self, kind: str) -> dict[str, Record]:
        """The records of a kind: file name → data."""
        return {name: data for name, data in self.files.items() if data["record"] == kind}

    def sheets(self) -> dict[str, Record]:
        """The diet sheets in force: group → record."""
        return {
            data["group"]: data
            for name, data in self.of("diet sheet").items()
            if name not in OTHER_SHEETS
        }

    def group(self, name: str) -> Record:
        """The record of a group."""
        return next(data for data in self.of("group").values() if data["id"] == name)

    def rota(self, group: str) -> Record:
        """The rota of a group."""
        return next(data for data in self.of("rota").values() if data["group"] == group)

    def foods(self) -> dict[str, Record]:
        """Every food record, whatever file it is in: id → record."""
        return {k: v for data in self.of("foods").values() for k, v in data["foods"].items()}

    def file_of(self, record: Record) -> str:
        """The file that holds a record."""
        return next(name for name, data in self.files.items() if data is record)

    def settings(self) -> Record:
        """The settings of the collection."""
        return self.files["dietcheck.yaml"]


def lines(sheet: Record) -> Iterator[tuple[str, Record]]:
    """Every line of a sheet with the name of its meal."""
    for meal, held in sheet["meals"].items():
        for line in held:
            yield meal, line


@cache
def sound() -> Park:
    """The park of the example as it stands, without its drafts."""
    found: dict[str, Record] = {}
    for path in sorted(EXAMPLE.rglob("*.yaml")):
        name = path.relative_to(EXAMPLE).as_posix()
        if not name.startswith(("drafts/", ".")):
            data = check_file(name, path.read_bytes()).data
            assert isinstance(data, dict), name
            found[name] = data
    return Park(found)


class Yesterday(Lookback):
    """The sound park as it was committed the day before."""

    @property
    def written_on(self) -> date:
        """The day of that commit."""
        return ON - timedelta(days=1)


@cache
def yesterday(base: Park) -> Yesterday:
    """A sound park as what stood the day before; read once."""
    return Yesterday(base.source())


_load = cache(load_packs)


def judge(park: Park, base: Park | None = None) -> Report:
    """What all rules say of a park whose earlier version is a sound one.

    They say the same where what they said of the sound one is kept: AssertionError otherwise.
    """
    base = base or sound()
    anew = _screened(park, base, NONE_KEPT)
    spared = _screened(park, base, KeptVerdicts(_verdicts(base)))
    assert spared.judged == anew.judged
    assert spared.findings == anew.findings
    return anew


@cache
def _verdicts(base: Park) -> dict[bytes, bytes]:
    kept = KeptVerdicts({})
    _screened(base, base, kept)
    return kept.of_this


def _screened(park: Park, base: Park, kept: NothingKept) -> Report:
    return screen(
        park.source(),
        ON,
        load=lambda packs: _load(tuple(packs)),
        earlier=yesterday(base),
        kept=kept,
    )


Seen = tuple[str, str, str, bool]


def seen(finding: Finding) -> Seen:
    """What makes a finding the same one as before the fault."""
    return (
        finding.id,
        str(finding.severity),
        str(finding.check.verdict),
        finding.accepted is not None,
    )


@cache
def known(base: Park) -> frozenset[Seen]:
    """What is said of a sound park already."""
    return frozenset(seen(finding) for finding in judge(base, base).findings)


def news(park: Park, base: Park) -> list[Finding]:
    """What is said of a park that was not said of the sound one that it was made from."""
    return [finding for finding in judge(park, base).findings if seen(finding) not in known(base)]
