"""Household measures: every one belongs to a food, and volumes say whose cup they are."""

from __future__ import annotations

from decimal import Decimal

import pytest

from dietcheck.tables.csv_table import table
from dietcheck.tables.foods import food_row
from dietcheck.tables.measures import density, pieces

# the US measures, ml (the gallon of 231 cubic inches, divided)
US_ML = {"US cup": "236.588", "US quart": "946.353", "US fl oz": "29.574"}


def test_every_measure_belongs_to_a_bundled_food_and_weighs_something() -> None:
    for row in table("measures").all_rows():
        assert food_row(row["food"]) is not None
        assert row["kind"] in ("measure", "density")
        assert row["source"] == "SR28"
        assert Decimal(row["grams"]) > 0


def test_no_volume_is_left_without_its_country() -> None:
    for name in table("measures").names():
        for measure, _ in pieces(name):
            assert not measure.startswith(("cup", "tbsp", "tsp", "tablespoon", "fl oz", "quart"))


def test_densities_are_the_weight_over_the_us_volume() -> None:
    found = 0
    for row in table("measures").all_rows():
        if row["kind"] == "density":
            found += 1
            worked_out = Decimal(row["grams"]) / Decimal(row["ml"])
            assert abs(worked_out - Decimal(row["g_per_ml"])) < Decimal("0.0001")
            assert abs(Decimal(row["ml"]) - Decimal(US_ML[row["measure"].split(" (")[0]])) < 1
    assert found == 37


@pytest.mark.parametrize("food_id", [name for name in table("measures").names() if density(name)])
def test_liquids_weigh_about_as_much_as_liquids_do(food_id: str) -> None:
    """Oils float on water and syrups sink in it; no liquid food leaves 0.85 to 1.5 g/ml."""
    weight = density(food_id)
    food = food_row(food_id)
    assert weight is not None
    assert food is not None
    assert Decimal("0.85") < weight < Decimal("1.5")
    assert (weight < Decimal("0.95")) == (food.food_class == "oil")


def test_pieces_of_a_banana_rise_with_the_words() -> None:
    """SR28: small 101 g, medium 118 g, large 136 g, without the skin."""
    grams = {measure.split(" (")[0]: weight for measure, weight in pieces("banana")}
    assert [grams[size] for size in ("small", "medium", "large")] == [101, 118, 136]


def test_an_unknown_food_has_no_measures() -> None:
    assert density("no-such-food") is None
    assert pieces("no-such-food") == []
    assert density("carrot") is None
