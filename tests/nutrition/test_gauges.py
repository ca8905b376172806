"""What is measured of a ration for people to read. Labels are invented; rows are of USDA SR28."""

from __future__ import annotations

from decimal import Decimal

import pytest

from dietcheck.nutrition.composition import Profiles
from dietcheck.nutrition.gauges import Gauge, gauges
from dietcheck.nutrition.rations import Ration
from dietcheck.quantities import Interval, exact
from tests import records

PARK = records.linked(
    records.small(
        foods=records.foods(
            carrot="{same_as: carrot}",
            apple="{same_as: apple}",
            drops="{class: supplement, label: {basis: as fed, moisture: 0 %, vitamin_a: 100 IU/g,"
            " vitamin_e_iu: 400 IU/g}}",
            few="{class: supplement, label: {basis: as fed, vitamin_e_iu: '>= 1 IU/g'}}",
            many="{class: supplement, label: {basis: as fed, vitamin_e_iu: '>= 2 IU/g'}}",
            hay="{class: hay, label: {basis: as fed, moisture: 20 %, calcium: 1 to 5 %,"
            " crude_protein: 8 %}}",
            extract="{label: {basis: as fed, crude_protein: 10 %, crude_fat: 5 %, nfe: 40 %,"
            " crude_fibre: 8 %}}",
            straw="{class: hay, label: {basis: as fed, moisture: 20 %}}",
            borrowed="{same_as: carrot, stands_in: yes, why: invented}",
        )
    )
)
FOODS = PARK.foods
PROFILES = Profiles()


def gauge(key: str) -> Gauge:
    """The gauge of a quantity for the tapirs."""
    return gauges([key], PARK.groups["tapir"].taxon)[0]


def ration(days: int = 1, **grams: int) -> Ration:
    """Some foods over some days."""
    return Ration({FOODS[name]: exact(much) for name, much in grams.items()}, days, PROFILES)


@pytest.mark.parametrize(
    ("key", "food", "unit", "density", "density_unit"),
    [
        ("sugars", "carrot", "g", "40.478", "%"),  # 4.74 of 11.71 g
        ("calcium", "carrot", "mg", "2818.104", "mg/kg"),  # 33 mg in 11.71 g
        ("vitamin_a_activity", "carrot", "µg", "71306.576", "µg/kg"),  # 835 µg in 11.71 g
        ("energy", "carrot", "kcal", "3.501", "kcal/g"),  # 41 kcal in 11.71 g
        ("vitamin_e_iu", "drops", "IU", "400000.000", "IU/kg"),
        ("vitamin_a_activity", "drops", "µg", "30000.000", "µg/kg"),  # 100 IU of 0.3 µg a gram
    ],
)
def test_a_density_is_by_the_dry_matter_in_the_unit_of_the_trade(
    key: str, food: str, unit: str, density: str, density_unit: str
) -> None:
    one = gauge(key)
    assert (one.unit, one.density_unit) == (unit, density_unit)
    assert one.density is not None
    found = one.density(ration(**{food: 100}))
    assert found.low.quantize(Decimal("0.001")) == Decimal(density)
    assert found.high.quantize(Decimal("0.001")) == Decimal(density)


@pytest.mark.parametrize("key", ["as_fed", "dry_matter", "water", "calcium_to_phosphorus"])
def test_some_quantities_have_no_density(key: str) -> None:
    assert gauge(key).density is None


def test_an_amount_has_a_daily_mean_and_a_ratio_has_none() -> None:
    carrots = ration(days=2, carrot=400)
    assert gauge("as_fed").a_day(carrots) == exact(200)
    assert gauge("calcium").a_day(carrots) == exact(66)
    assert gauge("calcium_to_phosphorus").a_day(carrots) == exact(33) / exact(35)


def test_each_food_has_its_part_of_an_amount_the_most_first() -> None:
    """Calcium: 66 mg in 200 g of carrot, 24 mg in 400 g of apple (SR28 09003: 6 mg), 0 in none."""
    parts = gauge("calcium").parts(ration(days=2, apple=400, carrot=200))
    assert [(food.id, amount) for food, amount, _ in parts] == [
        ("carrot", exact(33)), ("apple", exact(12)),
    ]  # fmt: skip
    assert [share for *_, share in parts] == [exact(66) / exact(90), exact(24) / exact(90)]
    unsure = gauge("calcium").parts(ration(straw=100, hay=100))
    assert [food.id for food, *_ in unsure] == ["straw", "hay"]  # up to 80 g, up to 5 g
    assert unsure[1][1] == Interval(1000, 5000)


def test_of_parts_that_may_be_as_much_the_one_that_is_surely_more_stands_first() -> None:
    without_end = gauge("vitamin_e_iu").parts(ration(few=10, many=10))
    assert [food.id for food, *_ in without_end] == ["many", "few"]
    same = gauge("calcium").parts(ration(carrot=10, borrowed=10))
    assert [food.id for food, *_ in same] == ["borrowed", "carrot"]


@pytest.mark.parametrize(
    ("key", "foods", "states", "known"),
    [
        ("calcium", {"hay": 100}, True, "1"),
        ("calcium", {"hay": 100, "straw": 300}, False, "0.25"),
        ("calcium", {"hay": 100, "straw": 0}, True, "1"),
        ("calcium", {"straw": 100}, False, "0"),
        ("calcium", {}, True, "1"),
        ("as_fed", {"straw": 100}, True, "1"),
        ("calcium_to_phosphorus", {"hay": 100}, False, "0"),
        ("calcium_to_phosphorus", {"carrot": 100}, True, "1"),
        ("vitamin_a_activity", {"drops": 100, "hay": 125}, False, "0.5"),
        ("energy", {"carrot": 100}, True, "1"),
        ("energy", {"hay": 100}, False, "0"),
        ("energy", {"extract": 100}, True, "1"),
    ],
)
def test_how_much_of_the_dry_matter_states_a_quantity(
    key: str, foods: dict[str, int], states: bool, known: str
) -> None:
    fed = ration(**foods)
    assert gauge(key).is_stated(fed) is states
    assert gauge(key).known(fed) == exact(known)


@pytest.mark.parametrize(
    ("key", "food", "why"),
    [
        ("as_fed", "straw", None),
        ("calcium", "carrot", None),
        ("calcium", "straw", "not stated"),
        ("calcium", "hay", "printed as a minimum or a maximum"),
        ("calcium_to_phosphorus", "carrot", None),
        ("calcium_to_phosphorus", "straw", "not stated"),
        ("calcium_to_phosphorus", "hay", "printed as a minimum or a maximum"),
        ("vitamin_a_activity", "hay", "not stated"),
        ("vitamin_a_activity", "drops", None),
        ("vitamin_a_activity", "borrowed", "borrowed from a similar food"),
        ("energy", "carrot", None),
        ("energy", "borrowed", "borrowed from a similar food"),
    ],
)
def test_why_a_quantity_is_weak_in_a_food(key: str, food: str, why: str | None) -> None:
    assert gauge(key).weakness(PROFILES[FOODS[food]]) == why
