"""Corners of single rules that no diet of the other tests walks into. Figures are invented."""

from __future__ import annotations

from decimal import Decimal

import pytest
from msgspec.structs import replace

from dietcheck.contract import Limit, Standing, exact
from dietcheck.nutrition.energy import ATWATER
from dietcheck_rules.batch_limit.figures import in_unit as batch_in_unit
from dietcheck_rules.batch_limit.tables import kinds_of
from dietcheck_rules.calcium_to_phosphorus.days import RATIO
from dietcheck_rules.fruit_as_treat.fruits import _forms, vegetable_share, wild_fruit
from dietcheck_rules.limit_has_evidence import _missing
from dietcheck_rules.look_alike_food.pairs import _both
from dietcheck_rules.nutrient_range.measures import gauge_for
from dietcheck_rules.portion_for_body_mass.intake import in_unit
from dietcheck_rules.shared.levels.gauge import Gauge
from dietcheck_rules.shared.wording import standing_words
from dietcheck_rules.sugar_ceiling.gauges import measure
from dietcheck_rules.toxic_item.dose import percentages_of_cocoa
from dietcheck_rules.treat_allowance.ledger import size_of
from dietcheck_rules.vitamin_d3_source.d3 import D3Gauge
from tests import records

LIMIT = Limit(
    id="x", quantity="q", taxon="Metazoa", unit="g/kg", basis="body mass", over="day",
    severity="medium", standing=Standing.COMMON_PRACTICE, at_most=Decimal(2),
)  # fmt: skip
DIET = records.diet(
    records.small(
        foods=records.foods(
            carrot="{same_as: carrot}",
            windfall="{same_as: crab-apple, wild: yes}",
            apple="{same_as: crab-apple}",
            oats="{class: grain, label: {basis: as fed, moisture: 10 %}}",
            bowl="{mix: {carrot: 25 %, apple: 35 %, windfall: 40 %}}",
        ),
        sheet=records.sheet({"roots": ["{food: bowl, amount: 200 g per animal}"]}),
    )
)
FOODS = {food.id: food for food in DIET.collection.foods.values()}
RATION = DIET.day_ration(DIET.animals[0], DIET.days[0])


def test_grams_by_the_kilogram_of_body_mass() -> None:
    assert in_unit(exact(300), exact(150_000), LIMIT) == exact(2)
    assert in_unit(exact(300), exact(150_000), replace(LIMIT, unit="mg/kg")) != exact(2)
    assert in_unit(exact(300), exact(150_000), replace(LIMIT, unit="IU/kg")) is None


def test_a_contaminant_is_not_counted_in_iu() -> None:
    per_kg = replace(LIMIT, basis="as fed")
    assert batch_in_unit(exact(5), replace(per_kg, unit="IU/kg")) is None
    assert batch_in_unit(exact(5), replace(per_kg, unit="mg/kg")) == exact(5)


def test_every_food_is_a_feed_and_grain_is_a_feed_material_too() -> None:
    assert all("feed" in kinds_of(food) for food in FOODS.values())
    assert "mixed feed" in kinds_of(FOODS["bowl"])


def test_vegetables_and_wild_fruit_are_found_inside_a_mix() -> None:
    assert vegetable_share(FOODS["bowl"]) == exact("0.25")
    assert vegetable_share(FOODS["apple"]) == exact(0)
    assert [food.id for food in wild_fruit(FOODS["bowl"])] == ["windfall"]


@pytest.mark.parametrize(
    ("many", "one"), [("berries", "berry"), ("peaches", "peach"), ("figs", "fig")]
)
def test_a_plural_may_be_of_its_singular(many: str, one: str) -> None:
    assert one in _forms(many)


def test_more_than_all_of_a_chocolate_is_no_share_of_cocoa() -> None:
    assert [*percentages_of_cocoa(["chocolate 850 %", "dark chocolate 85 %", "juice 20 %"])] == [85]


def test_an_absence_says_which_it_is() -> None:
    absent = replace(LIMIT, standing=Standing.NOT_YET_SOURCED, at_most=None)
    assert standing_words(absent) == Standing.NOT_YET_SOURCED.value


def test_a_published_limit_must_name_a_work() -> None:
    assert _missing(replace(LIMIT, standing=Standing.PUBLISHED), frozenset()) != ""
    assert _missing(LIMIT, frozenset()) == ""


def test_names_that_are_one_are_told_from_names_that_are_alike() -> None:
    assert _both("Bran", "Bran") != _both("Bran", "bran")


def test_a_gauge_refuses_what_it_cannot_reckon() -> None:
    """Rules ask `can_judge` first; a slip there must be an error, not a figure."""
    with pytest.raises(ValueError, match="cannot be reckoned"):
        RATIO.value(RATION, LIMIT, exact(1000))
    with pytest.raises(ValueError, match="body mass"):
        Gauge("q", "calcium", "calcium").value(RATION, LIMIT, None)
    assert gauge_for("no such nutrient", "g/kg") is None
    assert not measure(RATION, replace(LIMIT, unit="feeds", basis="count"), None).is_bounded


def test_treats_are_measured_by_energy_by_dry_matter_or_as_fed() -> None:
    fed, dry = size_of("as fed", ATWATER)(RATION), size_of("dry matter", ATWATER)(RATION)
    assert fed == exact(400)
    assert dry.high < fed.low
    assert size_of("energy", ATWATER)(RATION) not in (fed, dry)


def test_a_mix_holds_of_d3_what_its_parts_bring() -> None:
    """Invented: a quarter of drops with 400 µg/kg, 40 µg in 100 g, is 10 µg in 100 g of the mix."""
    diet = records.diet(
        records.small(
            foods=records.foods(
                drops="{class: supplement, label: {basis: as fed, vitamin_d3: 400 µg/kg}}",
                filler="{class: hay, label: {basis: as fed, vitamin_d3: 0 µg/kg}}",
                mash="{mix: {drops: 25 %, filler: 75 %}}",
            ),
            sheet=records.sheet({"roots": ["{food: mash, amount: 200 g per animal}"]}),
        )
    )
    food = next(food for food in diet.collection.foods.values() if food.id == "mash")
    assert D3Gauge("vitamin-d3", "vitamin_d", "vitamin D3").content(food, diet.profiles) == exact(
        10
    )
