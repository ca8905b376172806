"""Small diets and the demo park, for the tests of the rules on calcium, iron and vitamins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from tests import records

PARK = Path(__file__).parents[2] / "example_repo"
# Invented dry feeds: whatever stands in them is per 100 g of dry matter.
DRY = "{{class: {kind}, {table}: {{basis: as fed, moisture: 0 %, {figures}}}}}"
FINDINGS = (Verdict.BREACH, Verdict.CANNOT_TELL)


def food(figures: str = "", kind: str = "compound feed", table: str = "label") -> str:
    """A food without water, with these figures on its label or analysis."""
    return DRY.format(kind=kind, figures=figures, table=table)


def line(name: str, amount: str = "100 g per animal") -> str:
    """One line of a meal."""
    return f"{{food: {name}, amount: {amount}}}"


def said(
    rule: object,
    species: str,
    foods: Mapping[str, str],
    lines: Sequence[str],
    *,
    afternoon: Sequence[str] | None = None,
    animals: Sequence[str] = ("{id: A1, weighings: [{on: 2026-11-20, mass: 1 kg}]}",),
    **changes: str,
) -> tuple[Check, ...]:
    """What a rule says of a group that gets some lines each morning, others each afternoon."""
    meals = {"first": lines, "second": lines if afternoon is None else afternoon}
    files = {
        "group": records.group(species=species, animals=animals),
        "foods": records.foods(**foods),
        "sheet": records.sheet({meal: given for meal, given in meals.items() if given}),
        "rota": records.rota(["{morning: first, afternoon: second}"] * 2),
    }
    outcome = outcome_of(rule, records.small(**{**files, **changes}), records.ON)
    assert not outcome.failures, outcome.failures
    return checks_of(outcome, "tapir")


def findings(checks: Sequence[Check]) -> list[Check]:
    """The checks that someone has to look at."""
    return [check for check in checks if check.verdict in FINDINGS]


def about(checks: Sequence[Check], start: str) -> Check:
    """The one check about something."""
    (found,) = [check for check in checks if check.about.startswith(start)]
    return found


def verdict(check: Check) -> tuple[Verdict, Severity]:
    """How a check came out, with its level."""
    return check.verdict, check.severity


def in_the_park(rule: object, group: str, *drafts: str) -> tuple[Check, ...]:
    """What a rule says of one group of the demo park, with some of its drafts on top."""
    parts = ("drafts", ".github", ".pre-commit-config.yaml")
    paths = [p for p in PARK.rglob("*.yaml") if p.relative_to(PARK).parts[0] not in parts]
    paths += [p for draft in drafts for p in _files(PARK / "drafts" / draft)]
    files = {path.relative_to(PARK).as_posix(): path.read_text("utf-8") for path in paths}
    outcome = outcome_of(rule, files, records.ON)
    assert not outcome.failures, outcome.failures
    return checks_of(outcome, group)


def _files(draft: Path) -> list[Path]:
    return [draft] if draft.is_file() else sorted(draft.rglob("*.yaml"))
