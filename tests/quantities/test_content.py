"""Contents of labels and analyses, and what they are in 100 g of food."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dietcheck.quantities import Interval, QuantityError, between, exact, read_content
from dietcheck.quantities.content import CONTENT_UNITS

INF = Decimal("Infinity")


@pytest.mark.parametrize(
    ("text", "unit", "per_100g"),
    [
        ("0.9 %", "g", exact("0.9")),
        ("0.9 %", "mg", exact(900)),
        (">= 14 %", "g", between(14, 100)),
        (">=14%", "g", between(14, 100)),
        ("≥ 14 %", "g", between(14, 100)),
        ("<= 10 %", "g", between(0, 10)),
        ("5 to 7 %", "g", between(5, 7)),
        ("about 5 %", "g", between(0, 100, 5)),
        ("120 mg/kg", "mg", exact(12)),
        ("120 ppm", "mg", exact(12)),
        (">= 120 mg/kg", "mg", between(12, 100_000)),
        ("2000 IU/kg", "IU", exact(200)),
        ("20 IU/g", "IU", exact(2000)),
        (">= 2000 IU/kg", "IU", Interval(200, INF)),
        ("about 2000 IU/kg", "IU", Interval(0, INF, 200)),
        ("3.1 kcal/g", "kcal", exact(310)),
        ("3100 kcal/kg", "kcal", exact(310)),
        ("310 kcal/100 g", "kcal", exact(310)),
        ("41.84 kJ/g", "kcal", exact(1000)),
        ("418.4 kJ/100 g", "kcal", exact(100)),
        ("4.184 MJ/kg", "kcal", exact(100)),
        ("1.2 g/100 g", "g", exact("1.2")),
        ("55 mg/100 g", "g", exact("0.055")),
        ("55 µg/100 g", "mg", exact("0.055")),
        ("550 \u03bcg/kg", "µg", exact(55)),
        ("8 g/kg", "g", exact("0.8")),
        ("0 %", "g", exact(0)),
    ],
)
def test_contents(text: str, unit: str, per_100g: Interval) -> None:
    assert read_content(text).per_100g(unit) == per_100g


@pytest.mark.parametrize(
    "text",
    [
        "0.9",
        "%",
        "101 %",
        "1200 g/kg",
        "7 to 5 %",
        "about 5 to 7 %",
        ">= 5 to 7 %",
        ">= <= 5 %",
        ">= -5 %",
        "= 5 %",
        "12 mg",
        "5 % of dry matter",
        "trace",
        "5 %%",
        "mg/kg",
        "3 Mcal/kg",
        "3 cal/g",
    ],
)
def test_what_is_no_content(text: str) -> None:
    with pytest.raises(QuantityError):
        read_content(text)


@pytest.mark.parametrize(
    ("text", "unit"), [("0.9 %", "IU"), ("5 IU/g", "mg"), ("5 kcal/g", "g"), ("5 %", "kcal")]
)
def test_kinds_that_cannot_meet_are_refused(text: str, unit: str) -> None:
    with pytest.raises(QuantityError):
        read_content(text).per_100g(unit)


@given(st.sampled_from(sorted(CONTENT_UNITS)), st.decimals(0, "0.9", places=3))
def test_a_bound_holds_what_meets_it(unit: str, figure: Decimal) -> None:
    plain = read_content(f"{figure} {unit}").interval
    least = read_content(f">= {figure} {unit}").interval
    most = read_content(f"<= {figure} {unit}").interval
    about = read_content(f"about {figure} {unit}").interval
    assert least.low == most.high == plain.low == about.best
    assert least.hull(most) == Interval(0, about.high)
