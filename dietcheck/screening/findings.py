"""Turns checks into findings: one cause one finding, graded, accepted where a vet has said so."""

from __future__ import annotations

import hashlib
import json
from collections import defaultdict
from collections.abc import Iterable
from typing import TypeVar

from msgspec import Struct
from msgspec.structs import replace

from dietcheck.screening.acceptance import Acceptances, Accepted
from dietcheck.screening.checks import Check, Severity, Verdict, When

Item = TypeVar("Item")


class Judged(Struct, frozen=True):
    """A check with the rule that made it and the group it is about (None: the collection)."""

    rule: str
    group: str | None
    check: Check
    can_be_accepted: bool = True


class Finding(Struct, frozen=True):
    """One thing that someone has to decide on or look at. `id` is stable when lines move."""

    id: str
    rule: str
    group: str | None
    check: Check
    accepted: Accepted | None = None

    @property
    def severity(self) -> Severity:
        """How grave it is."""
        return self.check.severity

    def blocks(self, on: Severity) -> bool:
        """Whether it stops a commit when findings of that severity and graver do."""
        return self.accepted is None and self.severity.rank <= on.rank


def findings_of(judged: Iterable[Judged], acceptances: Acceptances) -> tuple[Finding, ...]:
    """The findings among the checks: gravest first, then by group and rule."""
    causes: dict[str, list[Judged]] = defaultdict(list)
    for one in judged:
        if one.check.verdict in (Verdict.BREACH, Verdict.CANNOT_TELL):
            causes[finding_id(one)].append(one)
    findings = [_finding(key, same, acceptances) for key, same in causes.items()]
    return tuple(
        sorted(
            findings, key=lambda f: (f.severity.rank, f.group or "", f.rule, f.check.about, f.id)
        )
    )


def finding_id(one: Judged) -> str:
    """A name for the cause that holds no line, no figure and no date."""
    cause = [one.rule, one.group, one.check.about, one.check.food]
    return hashlib.sha256(json.dumps(cause).encode()).hexdigest()[:12]


def _finding(key: str, same: list[Judged], acceptances: Acceptances) -> Finding:
    worst = min(same, key=_gravity)
    checks = [one.check for one in same]
    check = replace(
        worst.check,
        animals=_union(c.animals for c in checks),
        occasions=tuple(sorted(_union(c.occasions for c in checks))),
        places=_union(c.places for c in (worst.check, *checks)),
    )
    can = all(one.can_be_accepted for one in same)
    accepted = acceptances.covering(worst.rule, worst.group, check) if can else None
    if accepted is None and (why := acceptances.refused(worst.rule, worst.group, check, can)):
        check = replace(check, message=f"{check.message} {why}")
    return Finding(key, worst.rule, worst.group, check, accepted)


def _gravity(one: Judged) -> tuple[int, bool]:
    return one.check.severity.rank, one.check.verdict is not Verdict.BREACH


def _union(groups: Iterable[tuple[Item, ...]]) -> tuple[Item, ...]:
    return tuple(dict.fromkeys(item for group in groups for item in group))


def days_of(occasions: Iterable[When]) -> tuple[int, ...]:
    """The rota day numbers of some occasions, in order, each once."""
    return tuple(sorted({when.number for when in occasions}))
