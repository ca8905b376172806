"""Shares and steps worked out end by end: their ends never cross, and hold the true value.

Ranges no wider than a last digit come of every amount that is divided among three animals; ends
that are each rounded to nearest can cross on them. Figures are invented.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dietcheck.contract import Interval, exact, share_of
from dietcheck.nutrition.energy import narrowed
from dietcheck.nutrition.kitchen import rounded, rounded_up
from dietcheck.quantities import between, ratio
from dietcheck_rules.concentrate_ceiling.worst_case import taken
from dietcheck_rules.condition_plan.state import change
from dietcheck_rules.head_count import _apart
from dietcheck_rules.toxic_item.shares import _enclosed

wholes = st.integers(1, 9999)
divisors = st.sampled_from([1, 3, 7, 9, 11, 13])
narrow = st.builds(lambda top, below: exact(top) / below, wholes, divisors)
ends = st.tuples(wholes, wholes).map(sorted)
wide = st.builds(lambda span, below: between(*span) / below, ends, divisors)
ranges = st.one_of(narrow, wide)


def _whole_and_part(part: Interval, rest: Interval) -> Interval:
    return ratio([(part, exact(1), exact(1)), (rest, exact(0), exact(1))])


SHARES: dict[str, Callable[[Interval, Interval], Interval]] = {
    "of an item": lambda part, rest: _enclosed(part, rest) / 100,
    "of treats": share_of,
    "of a ratio": _whole_and_part,
}


@given(ranges, ranges)
@pytest.mark.parametrize("way", SHARES)
def test_a_share_is_a_range_and_holds_the_truth(way: str, part: Interval, rest: Interval) -> None:
    found = SHARES[way](part, rest)
    assert 0 <= found.low <= found.high <= 1
    for a in (part.low, part.high):
        for b in (rest.low, rest.high):
            true = Fraction(a) / (Fraction(a) + Fraction(b))
            assert Fraction(found.low) <= true <= Fraction(found.high)


@given(ranges, ranges, st.integers(1, 9))
def test_what_else_is_worked_out_end_by_end_is_a_range(
    one: Interval, other: Interval, times: int
) -> None:
    for found in (
        change(one, other),
        _apart(one, other),
        taken(share_of(one, other), times),
        rounded(one),
        rounded_up(one),
        narrowed(one, other),
    ):
        assert found.low <= found.high
        assert found.best is None or found.low <= found.best <= found.high
