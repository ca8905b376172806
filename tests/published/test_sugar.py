"""Sugar of produce on dry matter, against the percentages published in or worked out from SR28.

Expected figures: A055 (fruit: items 09176 09181 09089 09003 09050 09316 09040) and A056
(vegetables: items 11124 11205 11251 11507 11233 11457) of the project's fact file on nutrition
limits, there computed as sugars / (100 - water) from the printed grams of USDA National Nutrient
Database for Standard Reference, Release 28. They are rounded to whole per cent.
"""

from __future__ import annotations

from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given

from dietcheck.nutrition.composition import Profiles
from dietcheck.nutrition.rations import Ration
from dietcheck.quantities import Interval, exact
from dietcheck.tables.foods import food_row
from tests import records

FRUIT = {  # A055
    "mango": 83,
    "melon-cantaloupe": 80,
    "fig": 78,
    "apple": 72,
    "blueberry": 63,
    "strawberry": 54,
    "banana": 49,
}
VEGETABLES = {  # A056 without kale and carrot, which disagree: see below
    "cucumber": 35,
    "lettuce-cos": 22,
    "sweet-potato": 18,
    "spinach": 5,
}
NAMES = [*FRUIT, *VEGETABLES, "kale", "carrot"]
FOODS = records.linked(
    records.small(
        foods="record: foods\nfoods:\n" + "".join(f"  {n}: {{same_as: {n}}}\n" for n in NAMES)
    )
).foods
PROFILES = Profiles()


def sugar_share(name: str, grams: int = 100) -> Interval:
    """Sugars in per cent of dry matter, through the same ration that the rules use."""
    return Ration({FOODS[name]: exact(grams)}, 1, PROFILES).density("sugars") * 100


@pytest.mark.parametrize(("name", "percent"), [*FRUIT.items(), *VEGETABLES.items()])
def test_the_published_share_comes_out_of_a_ration(name: str, percent: int) -> None:
    found = sugar_share(name)
    assert abs(found.low - percent) <= Decimal("0.5")
    assert abs(found.high - percent) <= Decimal("0.5")
    row = food_row(name)
    assert row is not None
    assert row.source_of("sugars") == "SR28"


def test_carrot_disagrees_by_a_rounding() -> None:
    """A056 has 41 %; its own items give 4.74 / (100 - 88.29) = 40.48, which rounds to 40.

    The figure in the fact file was rounded up, and another place in the same files says "about
    40 %". The division is what counts here.
    """
    row = food_row("carrot")
    assert row is not None
    assert (row.value("sugars"), row.value("water")) == (Decimal("4.74"), Decimal("88.29"))
    assert row.source_of("sugars") == "SR28"
    assert round(sugar_share("carrot").low, 2) == Decimal("40.48")


def test_kale_disagrees_because_it_was_analysed_again() -> None:
    """A056 has 14 %, from SR28: 2.26 g sugars. The bundled row carries SR Legacy 2018: 0.99 g.

    The two sources disagree by more than half. The later analysis is the one in the table, so
    the ration holds 9.1 % and not the older 14 %.
    """
    row = food_row("kale")
    assert row is not None
    assert row.source_of("sugars") == "SRLegacy2018"
    assert sugar_share("kale").stands(at_least=Decimal("9.1"), at_most=Decimal("9.2")) == "inside"
    assert sugar_share("kale").stands(at_most=Decimal("13.5")) == "inside"


def test_root_vegetables_carry_sugar_but_are_not_fruit() -> None:
    """Common practice, no source, for the class; the shares are A055 and A056."""
    assert FOODS["carrot"].food_class == FOODS["sweet-potato"].food_class == "root vegetable"
    assert sugar_share("carrot").low > 40


def test_cultivated_fruit_holds_more_sugar_than_any_of_the_vegetables() -> None:
    """The two printed spans, 49 to 83 and 5 to 41, do not overlap (A055, A056)."""
    fruit = min(sugar_share(name).low for name in FRUIT)
    assert fruit > max(sugar_share(name).high for name in [*VEGETABLES, "kale", "carrot"])


@given(st.sampled_from(NAMES), st.integers(1, 10_000))
def test_the_share_does_not_depend_on_the_helping(name: str, grams: int) -> None:
    whole, helping = sugar_share(name), sugar_share(name, grams)
    assert helping.stands(at_least=whole.low, at_most=whole.high) == "inside"
