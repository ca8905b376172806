"""What counts as cultivated fruit, and how much of a food it makes up. The mixes are invented."""

from __future__ import annotations

import pytest

from dietcheck.nutrition.fruit import fruit_share
from dietcheck.quantities import exact
from tests import records

FOODS = records.linked(
    records.small(
        foods=records.foods(
            carrot="{same_as: carrot}",
            apple="{same_as: apple}",
            raisins="{same_as: raisin}",
            jam="{same_as: jam}",
            honey="{same_as: honey}",
            rowan="{same_as: apple, wild: yes}",
            called_other="{same_as: apple, class: other}",
            only_classed="{class: fruit, unknown_composition: invented}",
            salad="{mix: {carrot: 60 %, apple: 40 %}}",
            picnic="{mix: {salad: 50 %, jam: 10 %, honey: 40 %}}",
        )
    )
).foods


@pytest.mark.parametrize(
    ("food", "share"),
    [
        ("carrot", "0"),
        ("apple", "1"),
        ("raisins", "1"),
        ("jam", "1"),
        ("honey", "0"),
        ("rowan", "0"),
        ("called-other", "1"),
        ("only-classed", "1"),
        ("salad", "0.4"),
        ("picnic", "0.3"),  # half of it salad: 0.5 × 0.4 + 0.1
    ],
)
def test_how_much_of_a_food_is_fruit(food: str, share: str) -> None:
    assert fruit_share(FOODS[food]) == exact(share)
