"""Reports with chosen findings, for tests of what is written about them. All invented."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from dietcheck.collection.places import Pointer
from dietcheck.contract import (
    Check,
    Diet,
    Limit,
    Measure,
    Rule,
    Severity,
    SourceRef,
    Standing,
    Verdict,
    When,
    exact,
    hookimpl,
)
from dietcheck.quantities import Interval
from dietcheck.screening.report import Citation, Report
from dietcheck.testing import report_of
from tests import records

WORK = Citation(
    key="Renn2020",
    citation="Renn P, Moss A 2020. Carrots and tapirs. Invented J 1:2-3.",
    url="https://example.org/renn2020",
    seen="abstract",
)


class Toy:
    """A rule that says what it is told to say, of every group."""

    def __init__(self, checks: Iterable[Check], title: str = "Not too many carrots") -> None:
        self._checks = tuple(checks)
        self._rule = Rule(id="toy-rule", title=title, folder=Path("nowhere"))

    @hookimpl
    def describe(self) -> Rule:
        """What it is."""
        return self._rule

    @hookimpl
    def judge_group(self, diet: Diet) -> Any:
        """The checks, whatever the diet is."""
        assert diet.group.id
        return iter(self._checks)


def limit(**changes: Any) -> Limit:
    """A published ceiling of 6 g per kg body mass a day."""
    facts: dict[str, Any] = {
        "id": "carrots",
        "quantity": "carrot",
        "taxon": "Tapiridae",
        "unit": "g/kg",
        "basis": "body mass",
        "over": "day",
        "severity": "high",
        "standing": Standing.PUBLISHED,
        "at_most": Decimal(6),
        "evidence": "trial",
        "seen": "abstract",
        "sources": (SourceRef("Renn2020", "p. 2"),),
    }
    return Limit(**(facts | changes))


def afternoons(*days: int) -> tuple[When, ...]:
    """The afternoon feeds of some days of the rota."""
    first = date(2026, 11, 16)
    return tuple(When(first + timedelta(days=n - 1), n, "afternoon", "roots") for n in days)


def breach(**changes: Any) -> Check:
    """A broken limit with everything that a check can carry."""
    facts: dict[str, Any] = {
        "verdict": Verdict.BREACH,
        "about": "too much carrot",
        "severity": Severity.HIGH,
        "message": "Tapir T1, carrot: 13 g for each kg of body mass a day.",
        "advice": "Feed the last approved sheet.",
        "animals": ("T1",),
        "occasions": afternoons(1, 2),
        "food": "carrot",
        "measured": Measure(exact(13), "g/kg", "body mass"),
        "limit": limit(),
        "working": ("2600 g ÷ 200 kg = 13 g/kg", "13 g/kg - 6 g/kg = 7 g/kg over"),
        "weak": ("weight 140 days old",),
        "places": (Pointer("sheet.yaml", ("meals", "roots", 0)), Pointer("rota.yaml")),
    }
    return Check(**(facts | changes))


def cannot_tell(**changes: Any) -> Check:
    """A figure that lies on both sides of its limit, with no upper end."""
    facts: dict[str, Any] = {
        "verdict": Verdict.CANNOT_TELL,
        "about": "sugar",
        "severity": Severity.MEDIUM,
        "message": "Tapir T1: the sugar in the pellet is not known.",
        "measured": Measure(Interval(2, Decimal("Infinity")), "g/kg", "body mass"),
        "settles": "an analysis of the pellet",
        "food": "pellet",
        "occasions": (),
        "working": (),
    }
    return breach(**(facts | changes))


def kept(**changes: Any) -> Check:
    """A limit that is kept, with a third of it left."""
    facts: dict[str, Any] = {
        "verdict": Verdict.KEPT,
        "about": "kept",
        "message": "Tapir T1: 4 g for each kg.",
        "measured": Measure(exact(4), "g/kg", "body mass"),
    }
    return breach(**(facts | changes))


def report(
    *checks: Check, title: str = "Not too many carrots", more: str = "", **changes: str
) -> Report:
    """The report on the small tapir park, judged by the toy rule alone."""
    files: Mapping[str, str] = records.small(
        **({"dietcheck": records.settings(more=more)} | changes)
    )
    found = report_of(Toy(checks or (kept(),), title), files, records.ON)
    return replace(found, bibliography={"Renn2020": WORK})


ACCEPTED = """
record: sign-off
by: Dr Vale
role: vet
on: 2026-11-20
groups: [tapir]
accepts:
  - {rule: toy-rule, group: tapir, reason: the last week of it, until: 2026-12-01}
"""
