"""Small parks in two versions, for the tests of the rules that look back. All is invented."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.history.lookback import NO_LOOKBACK, Lookback
from dietcheck.screening.hookspecs import CONTRACT, Pack
from dietcheck.screening.packs import rules_of
from dietcheck.screening.screen import screen
from dietcheck.testing import Memory
from tests import records

FINDINGS = (Verdict.BREACH, Verdict.CANNOT_TELL)
Files = Mapping[str, str]


def said(
    rule: object, before: Files | None, after: Files, on: date = records.ON
) -> tuple[Check, ...]:
    """What a rule says of a park that was like `before`; None: no earlier version is there."""
    lookback = NO_LOOKBACK if before is None else Lookback(Memory(before))
    report = screen(
        Memory(after),
        on,
        load=lambda _: rules_of(Pack("test", "0", CONTRACT, (rule,))),
        earlier=lookback,
    )
    assert not report.failures, report.failures
    bad = [one.check.message for one in report.judged if one.rule == "records-readable"]
    assert len(bad) == 1, bad
    return tuple(one.check for one in report.judged if one.rule != "records-readable")


def findings(checks: Sequence[Check]) -> list[Check]:
    """The checks that someone has to look at."""
    return [check for check in checks if check.verdict in FINDINGS]


def grades(checks: Sequence[Check]) -> list[tuple[Verdict, Severity]]:
    """How each finding came out, with its level."""
    return [(check.verdict, check.severity) for check in findings(checks)]


def line(food: str, amount: str = "100 g per animal", more: str = "") -> str:
    """One line of a meal."""
    return f"{{food: {food}, amount: '{amount}'{', ' + more if more else ''}}}"
