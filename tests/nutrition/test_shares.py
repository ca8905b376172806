"""What parts of a ration make of the whole, with amounts that are ranges. All invented."""

from __future__ import annotations

from decimal import Decimal

import pytest

from dietcheck.nutrition.composition import Profiles
from dietcheck.nutrition.rations import Ration
from dietcheck.nutrition.shares import class_share, share_of
from dietcheck.quantities import UNKNOWN, Interval, exact
from tests import records

FOODS = records.linked(
    records.small(
        foods=records.foods(
            carrot="{same_as: carrot}",
            hay="{class: hay, label: {basis: as fed, moisture: 20 %}}",
            half="{mix: {hay: 50 %, carrot: 50 %}}",
            nobody_said="{label: {basis: as fed, moisture: 20 %}}",
        )
    )
).foods
NOBODY_KNOWS = Interval(1, UNKNOWN.high)
HALF, MOST = Decimal("0.5"), Decimal("0.75")


@pytest.mark.parametrize(
    ("part", "rest", "share"),
    [
        (exact(1), exact(3), exact("0.25")),
        (exact(1), exact(0), exact(1)),
        (exact(0), exact(3), exact(0)),
        (exact(0), exact(0), exact(0)),
        (Interval(1, 3), Interval(1, 3), Interval(Decimal("0.25"), MOST)),
        (Interval(1, 3, 2), Interval(1, 3, 2), Interval(Decimal("0.25"), MOST, HALF)),
        (Interval(1, 3, 2), Interval(1, 3), Interval(Decimal("0.25"), MOST)),
        (Interval(0, 3), exact(1), Interval(0, MOST)),
        (exact(1), Interval(0, 1), Interval(HALF, 1)),
        (exact(3), UNKNOWN, Interval(0, 1)),
        (NOBODY_KNOWS, exact(1), Interval(HALF, 1)),
        (NOBODY_KNOWS, NOBODY_KNOWS, Interval(0, 1)),
        (Interval(0, 2, 0), Interval(0, 2, 0), Interval(0, 1)),
    ],
)
def test_what_a_part_makes_of_itself_and_the_rest(
    part: Interval, rest: Interval, share: Interval
) -> None:
    assert share_of(part, rest) == share


@pytest.mark.parametrize(
    ("amounts", "share"),
    [
        ({"hay": exact(100), "carrot": exact(100)}, exact(HALF)),
        (
            {"hay": Interval(100, 300, 150), "carrot": exact(100)},
            Interval(HALF, MOST, Decimal("0.6")),
        ),
        ({"hay": Interval(100, 300, 100), "carrot": exact(100)}, Interval(HALF, MOST, HALF)),
        ({"hay": Interval(100, 300, 300), "carrot": exact(100)}, Interval(HALF, MOST, MOST)),
        ({"hay": Interval(100, 300), "carrot": exact(100)}, Interval(HALF, MOST)),
        ({"hay": exact(100), "nobody-said": exact(100)}, Interval(HALF, 1)),
        # however much of the mix there is, as much of it is hay as is not: 100 of 400 to 300 of 800
        (
            {"half": Interval(200, 600), "carrot": exact(200)},
            Interval(Decimal("0.25"), Decimal("0.375")),
        ),
        ({"half": Interval(200, 600)}, exact(HALF)),
        ({"hay": exact(0), "carrot": exact(100)}, exact(0)),
        ({"carrot": UNKNOWN, "hay": UNKNOWN}, Interval(0, 1)),
        ({}, Interval(0, 1)),
    ],
)
def test_the_share_of_roughage_as_fed(amounts: dict[str, Interval], share: Interval) -> None:
    ration = Ration({FOODS[name]: grams for name, grams in amounts.items()}, 1, Profiles())
    assert class_share(ration, "roughage", None) == share
