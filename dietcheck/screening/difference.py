"""What two screens find differently: what is new, what is gone, what got worse.

Findings are matched by their id, which holds no line, figure or date: a finding that only moved
in its file is the same one.
"""

from __future__ import annotations

from msgspec import Struct

from dietcheck.screening.checks import Verdict
from dietcheck.screening.findings import Finding
from dietcheck.screening.judging import excess
from dietcheck.screening.limits import Limit
from dietcheck.screening.report import Report


class Difference(Struct, frozen=True):
    """The findings that differ; of the worse ones the earlier form stands first."""

    new: tuple[Finding, ...]
    gone: tuple[Finding, ...]
    worsened: tuple[tuple[Finding, Finding], ...]


def difference(before: Report, after: Report) -> Difference:
    """Compare two reports of one collection, each list in the order of its report."""
    past = {finding.id: finding for finding in before.findings}
    now = {finding.id for finding in after.findings}
    return Difference(
        new=tuple(finding for finding in after.findings if finding.id not in past),
        gone=tuple(finding for finding in before.findings if finding.id not in now),
        worsened=tuple(
            (past[finding.id], finding)
            for finding in after.findings
            if finding.id in past and is_worse(past[finding.id], finding)
        ),
    )


def is_worse(before: Finding, after: Finding) -> bool:
    """Whether a finding became graver, certain, open again, or went further past its limit."""
    if (before.accepted is None) != (after.accepted is None):
        return after.accepted is None
    if before.severity is not after.severity:
        return after.severity.rank < before.severity.rank
    if before.check.verdict is not after.check.verdict:
        return after.check.verdict is Verdict.BREACH
    if not set(after.check.animals) <= set(before.check.animals):
        return True
    return _is_further(before, after)


def _is_further(before: Finding, after: Finding) -> bool:
    """Whether the worst possible figure lies further past the same limit than before."""
    was, now = before.check, after.check
    return (
        was.measured is not None
        and now.measured is not None
        and was.limit is not None
        and now.limit is not None
        and _bounds(was.limit) == _bounds(now.limit)
        and excess(now.measured.value, now.limit) > excess(was.measured.value, was.limit)
    )


def _bounds(limit: Limit) -> tuple[object, ...]:
    return limit.at_least, limit.at_most, limit.unit, limit.basis, limit.over
