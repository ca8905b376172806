"""A packed page gives back just what was written into it, or it is not packed."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from dietcheck.quantities import UNKNOWN, Interval, exact
from dietcheck.screening.checks import Check, Measure, Verdict
from dietcheck.screening.findings import Judged
from dietcheck.screening.ledger import Ledger, Page


def judged(verdict: Verdict = Verdict.KEPT, **more: Any) -> Judged:
    return Judged("toy-rule", "tapir", Check(verdict=verdict, about="x", message="Said.", **more))


RANGE = Interval(Decimal("0.10"), Decimal("2"), Decimal("1.0"))
CHECKS = [
    judged(measured=Measure(RANGE, "g")),
    judged(Verdict.BREACH, measured=Measure(exact(3), "g", "dry matter"), working=("3 g",)),
    judged(Verdict.NOT_APPLICABLE),
    judged(Verdict.CANNOT_TELL, measured=Measure(UNKNOWN, "kcal")),
]


def test_a_page_comes_back_as_it_was_with_what_is_open_at_hand() -> None:
    page = Page.packed_of(CHECKS)
    assert page.packed
    assert list(page.judged()) == CHECKS
    assert repr(page.judged()) == repr(tuple(CHECKS))  # to the last nought of a figure
    assert list(page.open) == [CHECKS[1], CHECKS[3]]
    both = Ledger((page, Page.of(CHECKS[:1])))
    assert list(both) == [*CHECKS, CHECKS[0]]
    assert [both.count(verdict) for verdict in Verdict] == [1, 1, 2, 1]
    assert both == Ledger((Page.of([*CHECKS, CHECKS[0]]),))
    assert both != Ledger((page,))


@pytest.mark.parametrize(
    "odd", [{"advice": "half a letter \ud800"}, {"working": ["a list"]}, {"food": object()}]
)
def test_what_would_not_come_back_stays_as_it_is(odd: dict[str, Any]) -> None:
    page = Page.packed_of([judged(**odd)])
    assert not page.packed
    assert page.judged() == (judged(**odd),)
