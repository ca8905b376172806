"""The exact range of a weighted ratio, against every corner worked out in fractions."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dietcheck.quantities import UNKNOWN, ZERO, Interval, between, exact, ratio

INF = Decimal("Infinity")
figures = st.integers(0, 20).map(Decimal) | st.decimals(0, 100, places=3)


@st.composite
def ranges(draw: st.DrawFn) -> Interval:
    low, best, high = sorted(draw(st.tuples(figures, figures, figures)))
    kind = draw(st.sampled_from(["exact", "bare", "best"]))
    return exact(low) if kind == "exact" else Interval(low, high, best if kind == "best" else None)


Part = tuple[Interval, Interval, Interval]
parts_lists = st.lists(st.tuples(ranges(), ranges(), ranges()), min_size=1, max_size=4)


def ends(interval: Interval) -> tuple[Fraction, Fraction]:
    return Fraction(interval.low), Fraction(interval.high)


def corners(parts: Sequence[Part], which: int) -> list[tuple[Fraction, Fraction]]:
    """Numerator and denominator for every choice of amounts; tops high (1) or low (0)."""
    found = []
    for amounts in product(*(ends(amount) for amount, _, _ in parts)):
        tops = [ends(top)[which] for _, top, _ in parts]
        bottoms = [ends(bottom)[1 - which] for _, _, bottom in parts]
        found.append(
            (
                sum((a * t for a, t in zip(amounts, tops, strict=True)), Fraction(0)),
                sum((a * b for a, b in zip(amounts, bottoms, strict=True)), Fraction(0)),
            )
        )
    return found


def close(found: Decimal, truth: Fraction) -> bool:
    return abs(Fraction(found) - truth) <= truth / 10**24


@given(parts_lists)
def test_bounds_are_those_of_the_corners(parts: list[Part]) -> None:
    result = ratio(parts)
    if not any(below for _, below in corners(parts, 0)):
        assert result == UNKNOWN
        return
    lowest = min(above / below for above, below in corners(parts, 0) if below)
    assert Fraction(result.low) <= lowest
    assert close(result.low, lowest)
    highs = corners(parts, 1)
    if any(above and not below for above, below in highs):
        assert result.high == INF
        return
    highest = max((above / below for above, below in highs if below), default=Fraction(0))
    assert Fraction(result.high) >= highest
    assert close(result.high, highest)


@given(parts_lists, st.data())
def test_every_choice_inside_gives_a_ratio_inside(parts: list[Part], data: st.DataObject) -> None:
    above = below = Fraction(0)
    for part in parts:
        amount, top, bottom = (
            low + (high - low) * data.draw(st.fractions(0, 1, max_denominator=8))
            for low, high in map(ends, part)
        )
        above += amount * top
        below += amount * bottom
    result = ratio(parts)
    if below:
        assert Fraction(result.low) <= above / below
        assert result.high == INF or above / below <= Fraction(result.high)


@given(parts_lists)
def test_never_wider_than_dividing_the_two_sums(parts: list[Part]) -> None:
    above = below = ZERO
    for amount, top, bottom in parts:
        above += amount * top
        below += amount * bottom
    naive, sharp = above / below, ratio(parts)
    # a last digit of rounding apart
    assert sharp.low * (1 + Decimal("1e-24")) >= naive.low
    assert sharp.high <= naive.high * (1 + Decimal("1e-24"))


def test_one_food_alone_keeps_its_own_ratio_however_uncertain_its_amount() -> None:
    assert ratio([(between(10, 500), exact(6), exact(12))]) == exact("0.5")
    assert ratio([(UNKNOWN, exact(6), exact(12))]) == exact("0.5")


def test_an_unbounded_amount_reaches_towards_its_own_ratio() -> None:
    sweet, plain = exact(40), exact(2)
    dry = exact(100)
    result = ratio([(exact(50), plain, dry), (Interval(0, INF), sweet, dry)])
    assert (result.low, result.high) == (Decimal("0.02"), Decimal("0.4"))


def test_unknown_content_leaves_the_top_open_and_the_floor_known() -> None:
    result = ratio([(exact(50), exact(2), exact(100)), (exact(50), UNKNOWN, exact(100))])
    assert (result.low, result.high) == (Decimal("0.01"), INF)


def test_a_bottom_of_unknown_size_gives_no_floor() -> None:
    result = ratio([(exact(50), exact(2), UNKNOWN)])
    assert (result.low, result.high) == (Decimal(0), INF)


def test_foods_not_given_do_not_matter() -> None:
    known = (exact(50), exact(2), exact(100))
    assert ratio([known, (ZERO, UNKNOWN, UNKNOWN)]) == ratio([known]) == exact("0.02")


def test_nothing_below_gives_no_figure() -> None:
    assert ratio([]) == UNKNOWN
    assert ratio([(exact(5), exact(1), ZERO)]) == UNKNOWN
    assert ratio([(exact(5), ZERO, between(0, 2))]) == ZERO


def test_best_estimate_is_the_ratio_of_best_estimates() -> None:
    parts = [
        (between(0, 10, 5), exact(1), exact(10)),
        (exact(5), between(0, 4, 3), exact(10)),
    ]
    assert ratio(parts).best == Decimal("0.2")
    assert ratio([(between(1, 2), exact(1), exact(2)), parts[0]]).best is None


def test_a_negative_operand_is_a_mistake_in_code() -> None:
    with pytest.raises(ValueError, match="zero"):
        ratio([(exact(-1), exact(1), exact(1))])


@given(st.lists(st.decimals("0.1", 10**9, places=24), min_size=6, max_size=6))
def test_figures_too_long_to_be_exact_are_enclosed(f: list[Decimal]) -> None:
    parts = [(exact(f[0]), exact(f[1]), exact(f[2])), (exact(f[3]), exact(f[4]), exact(f[5]))]
    above, below = corners(parts, 0)[0]
    result = ratio(parts)
    assert Fraction(result.low) <= above / below <= Fraction(result.high)
    assert close(result.low, above / below)
    assert close(result.high, above / below)
