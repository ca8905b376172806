"""Amounts, masses, shares, densities and counts: what is taken and what it comes to."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dietcheck.quantities import (
    Interval,
    QuantityError,
    between,
    exact,
    read_amount,
    read_count,
    read_density,
    read_mass,
    read_share,
)


@pytest.mark.parametrize(
    ("text", "quantity", "dimension", "per", "ad_lib"),
    [
        ("45 g per animal", exact(45), "mass", "animal", False),
        ("45g per animal", exact(45), "mass", "animal", False),
        ("1.2 kg per group", exact(1200), "mass", "group", False),
        ("12 g per kg body mass", exact(12), "mass", "kg body mass", False),
        ("3 % of body mass", exact(30), "mass", "kg body mass", False),
        ("2 pieces per animal", exact(2), "piece", "animal", False),
        ("1 piece per animal", exact(1), "piece", "animal", False),
        ("1.5 pieces per group", exact("1.5"), "piece", "group", False),
        ("20 to 30 g per animal", between(20, 30), "mass", "animal", False),
        ("0 to 30 g per animal", between(0, 30), "mass", "animal", False),
        ("ad lib, expected 900 g per animal", exact(900), "mass", "animal", True),
        ("ad lib, expected 0.7 to 1.1 kg per group", between(700, 1100), "mass", "group", True),
        ("5 ml per animal", exact(5), "volume", "animal", False),
        ("0.5 l per group", exact(500), "volume", "group", False),
        ("2000 IU per animal", exact(2000), "iu", "animal", False),
        ("250 µg per animal", exact("0.00025"), "mass", "animal", False),
        ("2 lb per group", exact("907.18474"), "mass", "group", False),
    ],
)
def test_amounts_in_base_units(
    text: str, quantity: Interval, dimension: str, per: str, ad_lib: bool
) -> None:
    amount = read_amount(text)
    assert amount.quantity == quantity
    assert (amount.dimension, amount.per, amount.ad_lib) == (dimension, per, ad_lib)
    assert amount.text == text


def test_both_signs_for_micro_mean_the_same() -> None:
    assert read_mass("250 \u03bcg") == read_mass("250 \u00b5g") == read_mass("250 mcg")


@given(st.integers(1, 10**9 - 1), st.sampled_from(["g", "kg", "mg"]), st.booleans())
def test_whole_figures_come_back_exactly(figure: int, unit: str, space: bool) -> None:
    grams = {"g": Decimal(1), "kg": Decimal(1000), "mg": Decimal("0.001")}[unit]
    assert read_mass(f"{figure}{' ' * space}{unit}") == exact(figure * grams)


@given(st.decimals(0, 10**6, places=3), st.decimals(0, 10**6, places=3))
def test_ranges_keep_both_ends_and_no_best(a: Decimal, b: Decimal) -> None:
    low, high = sorted((a, b))
    if low == high:
        return
    assert read_mass(f"{low} to {high} g") == Interval(low, high)


def test_only_an_expected_figure_is_spread() -> None:
    half = Decimal("0.5")
    spread = read_amount("ad lib, expected 900 g per animal").spread(half)
    assert spread == between(450, 1350, 900)
    ranged = read_amount("ad lib, expected 700 to 1100 g per animal").spread(half)
    assert ranged == between(700, 1100)
    assert read_amount("900 g per animal").spread(half) == exact(900)


def test_masses_shares_densities_counts() -> None:
    assert read_mass("4.9 kg") == exact(4900)
    assert read_mass("5 to 20 g") == between(5, 20)
    assert read_share("60 %") == read_share("60%") == exact("0.6")
    assert read_share("0 %") == exact(0)
    assert read_share("10 to 15 %") == between("0.1", "0.15")
    assert read_density("1.03 g/ml") == read_density("1.03 kg/l") == exact("1.03")
    assert read_count("30") == exact(30)
    assert read_count("25 to 35") == between(25, 35)


@pytest.mark.parametrize("text", ["0 g", "0.0 kg", "0 to 0 g"])
def test_no_mass_is_nothing(text: str) -> None:
    with pytest.raises(QuantityError):
        read_mass(text)


@pytest.mark.parametrize(
    "text", ["0", "2.5", "30 snails", "about 30", "-3", "3 to 2", "", "0 to 0"]
)
def test_counts_are_whole_and_alone(text: str) -> None:
    with pytest.raises(QuantityError):
        read_count(text)


@pytest.mark.parametrize("text", ["101 %", "0.6", "60", "60 percent", "-5 %", "50 to 150 %", "5 g"])
def test_shares_are_of_a_whole(text: str) -> None:
    with pytest.raises(QuantityError):
        read_share(text)


@pytest.mark.parametrize("text", ["1.03", "0 g/ml", "1.03 g", "1.03 ml/g", "1,03 g/ml"])
def test_densities_are_grams_a_millilitre(text: str) -> None:
    with pytest.raises(QuantityError):
        read_density(text)


@pytest.mark.parametrize("text", ["5 ml", "4.9", "200 kcal", "3 pieces", "50 %", "100 IU"])
def test_a_mass_is_in_units_of_mass(text: str) -> None:
    with pytest.raises(QuantityError):
        read_mass(text)
