"""Figures for people: short, and never on the other side of a limit than the truth."""

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dietcheck.quantities import UNKNOWN, Interval, between, exact, format_bound, format_interval

INF = Decimal("Infinity")


@pytest.mark.parametrize(
    ("interval", "unit", "words"),
    [
        (exact("8.7"), "g", "8.7 g"),
        (exact("8.7000"), "g", "8.7 g"),
        (exact(0), "g", "0 g"),
        (exact(1200), "g", "1200 g"),
        (exact("0.0000012345"), "g", "0.00000123 g"),
        (exact(1) / 3, "g", "0.333 g"),
        (between(0, 14), "g", "0 to 14 g"),
        (between("1.2345", "2.3451"), "g", "1.23 to 2.35 g"),
        (between("-0.12345", "0.12345"), "g", "-0.124 to 0.124 g"),
        (between("5.00001", "5.00002"), "%", "5 to 5.01 %"),
        (Interval(3, INF), "g", "at least 3 g"),
        (Interval(-INF, Decimal(3)), "g", "at most 3 g"),
        (UNKNOWN, "g", "unknown"),
        (Interval(-INF, INF), "g", "unknown"),
        (exact("1.5"), "", "1.5"),
    ],
)
def test_words(interval: Interval, unit: str, words: str) -> None:
    assert format_interval(interval, unit) == words


figures = st.decimals(0, 10**6, places=6)


def printed(text: str) -> tuple[Decimal, Decimal]:
    found = [Decimal(figure) for figure in re.findall(r"[0-9.]+", text)]
    return found[0], found[-1]


@given(figures, figures, st.integers(1, 6))
def test_a_printed_range_holds_the_whole_range(a: Decimal, b: Decimal, digits: int) -> None:
    low, high = sorted((a, b))
    shown_low, shown_high = printed(format_interval(Interval(low, high), "", digits))
    if low != high:
        assert shown_low <= low
        assert shown_high >= high
    else:
        assert abs(shown_low - low) <= low / 10 ** (digits - 1)


@given(figures, figures, figures)
def test_a_named_limit_is_never_crossed_by_rounding(a: Decimal, b: Decimal, limit: Decimal) -> None:
    low, high = sorted((a, b))
    shown_low, shown_high = printed(format_interval(Interval(low, high), "", against=[limit]))
    assert (shown_low > limit, shown_low < limit) == (low > limit, low < limit)
    assert (shown_high > limit, shown_high < limit) == (high > limit, high < limit)


def test_a_limit_just_missed_is_shown_as_missed() -> None:
    assert format_interval(exact("6.004"), "%") == "6 %"
    assert format_interval(exact("6.004"), "%", against=[Decimal(6)]) == "6.004 %"


@given(st.decimals("0.0001", 10**6, places=4))
def test_a_limit_is_shown_as_it_was_set(bound: Decimal) -> None:
    shown = Decimal(format_bound(bound))
    assert abs(shown - bound) <= bound / 10**5
    if len(bound.normalize().as_tuple().digits) <= 6:
        assert shown == bound


def test_a_limit_reckoned_over_to_another_unit_is_cut_short() -> None:
    assert format_bound(Decimal("3722.807127861492031375169999")) == "3722.81"
