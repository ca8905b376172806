"""What is new, gone and worse between two reports."""

from __future__ import annotations

from decimal import Decimal

import pytest
from msgspec.structs import replace

from dietcheck.contract import Check, Measure, Severity, exact
from dietcheck.screening.difference import Difference, difference
from tests.reporting.reports import ACCEPTED, afternoons, breach, cannot_tell, kept, limit, report

FAR = breach(measured=Measure(exact(14), "g/kg", "body mass"))


def between(before: tuple[Check, ...], after: tuple[Check, ...]) -> Difference:
    """The difference of two reports on the same records."""
    return difference(report(*before), report(*after))


def test_new_and_gone() -> None:
    found = between((breach(), kept()), (breach(about="other"), kept()))
    assert [f.check.about for f in found.new] == ["other"]
    assert [f.check.about for f in found.gone] == ["too much carrot"]
    assert not found.worsened


def test_a_finding_that_only_moved_is_the_same() -> None:
    moved = breach(message="other words", occasions=afternoons(2), places=())
    assert between((breach(),), (moved,)) == Difference((), (), ())


@pytest.mark.parametrize(
    ("mild", "grave"),
    [
        (breach(severity=Severity.MEDIUM), breach()),
        (cannot_tell(about="x"), breach(about="x", severity=Severity.MEDIUM, food="pellet")),
        (breach(), FAR),
        (breach(), breach(animals=("T1", "T2"))),
    ],
    ids=["graver", "certain", "further", "more animals"],
)
def test_what_counts_as_worse(mild: Check, grave: Check) -> None:
    ((was, now),) = between((mild,), (grave,)).worsened
    assert was.id == now.id
    assert not between((grave,), (mild,)).worsened


@pytest.mark.parametrize(
    ("was", "now"),
    [
        (breach(measured=None), FAR),
        (breach(), breach(measured=None)),
        (breach(limit=None), FAR),
        (breach(), replace(FAR, limit=None)),
        (breach(), replace(FAR, limit=limit(at_most=Decimal(7)))),
        (breach(), replace(FAR, limit=limit(over="meal"))),
        (breach(animals=("T1", "T2")), FAR),
        (replace(FAR, severity=Severity.MEDIUM), replace(FAR, severity=Severity.MEDIUM)),
        (FAR, FAR),
    ],
    ids=["no figure before", "none now", "no limit before", "none now", "another limit",
         "another span", "fewer animals", "as grave", "as far"],
)  # fmt: skip
def test_only_what_is_further_past_the_same_limit_is_worse_by_its_figure(
    was: Check, now: Check
) -> None:
    worsened = between((was,), (now,)).worsened
    assert len(worsened) == (1 if was.animals == ("T1", "T2") else 0)


def test_an_acceptance_that_is_gone_makes_it_worse() -> None:
    accepted, is_open = report(breach(), signoff=ACCEPTED), report(breach())
    assert len(difference(accepted, is_open).worsened) == 1
    assert not difference(is_open, accepted).worsened


def test_a_report_does_not_differ_from_itself() -> None:
    checks = (breach(), cannot_tell(), kept())
    assert between(checks, checks) == Difference((), (), ())
