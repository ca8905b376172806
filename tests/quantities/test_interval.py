"""Laws of ranges: the true result of any operation is inside, and exact ones stay exact."""

import copy
import pickle
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dietcheck.quantities import UNKNOWN, ZERO, Interval, between, exact, total

INF = Decimal("Infinity")
figures = st.decimals(-(10**9), 10**9, places=4) | st.integers(-1000, 1000).map(Decimal)
positive = st.decimals(0, 10**9, places=6) | st.integers(0, 1000).map(Decimal)
shares = st.fractions(0, 1, max_denominator=64)


@st.composite
def ranges(draw: st.DrawFn, of: st.SearchStrategy[Decimal] = figures) -> Interval:
    low, best, high = sorted(draw(st.tuples(of, of, of)))
    if draw(st.booleans()):
        return exact(low)
    return Interval(low, high, best if draw(st.booleans()) else None)


@st.composite
def ranges_with_a_point(
    draw: st.DrawFn, of: st.SearchStrategy[Decimal] = figures
) -> tuple[Interval, Fraction]:
    interval = draw(ranges(of))
    low, high = Fraction(interval.low), Fraction(interval.high)
    return interval, low + (high - low) * draw(shares)


def holds(interval: Interval, point: Fraction) -> bool:
    above = interval.high == INF or point <= Fraction(interval.high)
    below = interval.low == -INF or Fraction(interval.low) <= point
    return above and below


def well_formed(interval: Interval) -> bool:
    in_order = interval.low <= interval.high
    if interval.best is None:
        return in_order and not interval.is_exact
    return in_order and interval.low <= interval.best <= interval.high


@given(ranges_with_a_point(), ranges_with_a_point())
def test_sums_differences_and_products_hold_the_truth(
    left: tuple[Interval, Fraction], right: tuple[Interval, Fraction]
) -> None:
    (a, x), (b, y) = left, right
    for result, truth in ((a + b, x + y), (a - b, x - y), (a * b, x * y), (-a, -x)):
        assert holds(result, truth)
        assert well_formed(result)
    if y:
        assert holds(a / b, x / y)
        assert well_formed(a / b)


@given(ranges(), ranges())
def test_bounds_are_reached_when_the_arithmetic_is_exact(a: Interval, b: Interval) -> None:
    assert (a + b).low == a.low + b.low
    assert (a + b).high == a.high + b.high
    assert (a - b).low == a.low - b.high
    assert (a - b).high == a.high - b.low


@given(ranges(positive), ranges(positive), ranges(positive))
def test_sums_do_not_depend_on_order(a: Interval, b: Interval, c: Interval) -> None:
    assert a + b == b + a
    assert (a + b) + c == a + (b + c) == total([c, a, b])


@given(ranges(positive), st.sampled_from(["3", "7", "0.3", "4.184"]))
def test_rounding_is_outward_and_no_wider_than_the_last_digit(a: Interval, by: str) -> None:
    quotient = a / Decimal(by)
    low, high = Fraction(a.low) / Fraction(by), Fraction(a.high) / Fraction(by)
    assert Fraction(quotient.low) <= low
    assert Fraction(quotient.high) >= high
    assert low - Fraction(quotient.low) <= low / 10**26
    assert Fraction(quotient.high) - high <= high / 10**26


@given(ranges_with_a_point(), ranges_with_a_point())
def test_narrower_operands_never_give_wider_results(
    left: tuple[Interval, Fraction], right: tuple[Interval, Fraction]
) -> None:
    a, b = left[0], right[0]
    point = exact(a.low)
    for operation in _OPERATIONS:
        wide, narrow = operation(a, b), operation(point, b)
        assert wide.low <= narrow.low
        assert narrow.high <= wide.high


_OPERATIONS: list[Callable[[Any, Any], Interval]] = [
    lambda a, b: a + b,
    lambda a, b: a - b,
    lambda a, b: a * b,
    lambda a, b: a.hull(b),
]


@given(ranges(positive))
def test_plain_numbers_take_part(a: Interval) -> None:
    assert a + 2 == 2 + a == a + exact(2)
    assert a * Decimal("0.5") == Decimal("0.5") * a == a.scale(Decimal("0.5"))
    assert a - 2 == a + exact(-2)
    assert 2 - a == exact(2) - a
    assert 1 / exact(4) == exact("0.25")


@pytest.mark.parametrize("other", [0.5, "2", None, True])
def test_floats_text_and_truth_values_do_not(other: Any) -> None:
    for operation in _OPERATIONS[:3]:
        with pytest.raises(TypeError):
            operation(ZERO, other)
        with pytest.raises(TypeError):
            operation(other, ZERO)
    with pytest.raises(TypeError):
        ZERO / other
    with pytest.raises(TypeError):
        other / exact(1)


def test_nothing_of_an_unknown_amount_is_nothing() -> None:
    assert ZERO * UNKNOWN == ZERO
    assert UNKNOWN * between(0, 2) == UNKNOWN
    assert UNKNOWN * exact(2) == UNKNOWN
    assert (UNKNOWN * between(-1, 2)) == Interval(-INF, INF)


def test_dividing_by_what_may_be_nothing_never_fails() -> None:
    assert between(2, 6) / between(0, 2) == Interval(1, INF)
    assert ZERO / between(0, 5) == ZERO
    assert exact(3) / ZERO == UNKNOWN
    assert between(1, 2) / UNKNOWN == UNKNOWN
    assert exact(1) / between(-1, 1) == Interval(-INF, INF)
    assert UNKNOWN / exact(4) == UNKNOWN


@pytest.mark.parametrize(
    ("low", "high"),
    [
        (Decimal("NaN"), Decimal(1)),
        (Decimal(2), Decimal(1)),
        (INF, INF),
        (-INF, -INF),
    ],
)
def test_a_range_that_is_none_cannot_be_made(low: Decimal, high: Decimal) -> None:
    with pytest.raises(ValueError, match="not a"):
        Interval(low, high)


def test_an_exact_value_is_finite_and_a_best_estimate_is_inside() -> None:
    with pytest.raises(ValueError, match="finite"):
        exact(INF)
    with pytest.raises(ValueError, match="outside"):
        Interval(0, 1, 2)
    wrong: Any = 0.1
    with pytest.raises(TypeError):
        exact(wrong)


@given(ranges())
def test_a_range_is_a_value(a: Interval) -> None:
    twin = Interval(a.low, a.high, a.best)
    assert twin == a
    assert hash(twin) == hash(a)
    assert pickle.loads(pickle.dumps(a)) == copy.deepcopy(a) == a
    assert eval(repr(a), {"exact": exact, "between": between}) == a
    assert a != a.low
    name: Any = "low"
    with pytest.raises(AttributeError):
        setattr(a, name, Decimal(0))
    with pytest.raises(AttributeError):
        delattr(a, name)


@given(ranges(), ranges())
def test_hull_holds_both_and_clamping_only_raises(a: Interval, b: Interval) -> None:
    hull = a.hull(b)
    assert hull.low == min(a.low, b.low)
    assert hull.high == max(a.high, b.high)
    assert a.hull(a) == a
    assert well_formed(a.clamp_low(0))
    assert a.clamp_low(0).low == max(a.low, 0)
    assert a.clamp_low(0).high == max(a.high, 0)
    assert a.clamp_low(0).clamp_low(0) == a.clamp_low(0)


@given(ranges(positive))
def test_metabolic_mass_encloses_the_root(a: Interval) -> None:
    result = a.power34()
    assert Fraction(result.low) ** 4 <= Fraction(a.low) ** 3
    assert Fraction(result.high) ** 4 >= Fraction(a.high) ** 3
    # and by no more than the last of 28 digits
    assert Fraction(result.low) * (1 + Fraction(2, 10**27)) >= Fraction(result.low)
    assert (Fraction(result.low) * (1 + Fraction(2, 10**27))) ** 4 >= Fraction(a.low) ** 3
    assert (Fraction(result.high) * (1 - Fraction(2, 10**27))) ** 4 <= Fraction(a.high) ** 3
    assert well_formed(result)


def test_metabolic_mass_of_whole_fourth_powers_is_exact() -> None:
    assert exact(16).power34() == exact(8)
    assert exact("0.0001").power34() == exact("0.001")
    assert ZERO.power34() == ZERO
    assert UNKNOWN.power34() == UNKNOWN
    with pytest.raises(ValueError, match="mass"):
        exact(-1).power34()


exponents = st.sampled_from([Decimal(text) for text in ("0.5", "0.64", "0.734", "0.76", "1", "2")])


@given(ranges(positive), exponents)
def test_a_power_holds_the_truth_and_keeps_order(a: Interval, exponent: Decimal) -> None:
    """Checked without any power of a fraction: value^(p/q) <= end exactly when value^p <= end^q."""
    result = a.power(exponent)
    assert well_formed(result)
    top, bottom = exponent.as_integer_ratio()
    for end, value in ((result.low, a.low), (result.high, a.high)):
        root, truth = Fraction(end) ** bottom, Fraction(value) ** top
        assert root <= truth if end is result.low else root >= truth
    assert a.power(exponent).low <= (a + 1).power(exponent).low


def test_powers_of_three_quarters_are_metabolic_mass_and_powers_of_one_stay_one() -> None:
    for mass in (exact("0.435"), between("4.6", "15.6", 7), exact(0), UNKNOWN):
        assert mass.power(Decimal("0.75")) == mass.power34()
    assert exact(1).power(Decimal("0.77")) == exact(1)
    root = exact(81).power(Decimal("0.5"))
    assert root.low <= 9 <= root.high


def test_powers_that_have_no_meaning_are_refused() -> None:
    for base, exponent in ((exact(-1), 1), (exact(2), 0), (exact(2), -1)):
        with pytest.raises(ValueError, match="power"):
            base.power(exponent)


def test_standing_against_bounds() -> None:
    assert between(1, 2).stands(at_most=2) == "inside"
    assert between(1, 2).stands(at_least=1, at_most=2) == "inside"
    assert between(1, 2).stands(at_most=1) == "across"
    assert between(1, 2).stands(at_least=2) == "across"
    assert between(1, 2).stands(at_most=Decimal("0.9")) == "past"
    assert between(1, 2).stands(at_least=Decimal("2.1")) == "past"
    assert UNKNOWN.stands(at_most=5) == "across"
    assert UNKNOWN.stands(at_least=0) == "inside"
    assert UNKNOWN.stands() == "inside"


def test_a_third_three_times_meets_one() -> None:
    whole = exact(1) / 3 * 3
    assert not whole.is_exact
    assert whole.stands(at_least=1, at_most=1) == "inside"


@given(ranges(), figures, figures)
def test_standing_agrees_with_comparing(a: Interval, x: Decimal, y: Decimal) -> None:
    bottom, top = min(x, y), max(x, y)
    expected = "across"
    if a.low >= bottom and a.high <= top:
        expected = "inside"
    elif a.high < bottom or a.low > top:
        expected = "past"
    assert a.stands(at_least=bottom, at_most=top) == expected


def test_total_of_nothing_is_nothing_and_an_unknown_part_leaves_a_floor() -> None:
    assert total([]) == ZERO
    summed = total([exact(3), UNKNOWN])
    assert (summed.low, summed.high, summed.best) == (Decimal(3), INF, None)
    assert not summed.is_bounded


long_figures = st.decimals(-(10**12), 10**12, places=24)


@given(long_figures, long_figures)
def test_figures_too_long_to_be_exact_are_enclosed(x: Decimal, y: Decimal) -> None:
    a, b = exact(x), exact(y)
    for result, truth in (
        (a + b, Fraction(x) + Fraction(y)),
        (a - b, Fraction(x) - Fraction(y)),
        (a * b, Fraction(x) * Fraction(y)),
    ):
        assert holds(result, truth)
        assert well_formed(result)
        assert abs(Fraction(result.high) - Fraction(result.low)) <= abs(truth) / 10**26


def test_whole_numbers_are_divided_whichever_side_they_stand() -> None:
    assert 6 / between(2, 3) == between(2, 3)
    assert between(2, 3) / 2 == between(1, "1.5")
    assert between(1, 2) / between(-2, -1) == between(-2, "-0.5")


def test_text_that_is_no_number_makes_no_range() -> None:
    with pytest.raises(ValueError, match="not a number"):
        exact("NaN")
