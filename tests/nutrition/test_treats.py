"""What is a treat, what is fruit, and how a day is parted. Bundled foods; all else is invented."""

from __future__ import annotations

import pytest

from dietcheck.nutrition.fruit import fruit_share
from dietcheck.nutrition.treats import TreatLedger
from dietcheck.quantities import exact
from dietcheck.tables.foods import food_ids
from dietcheck_rules.fruit_as_treat import fruits
from tests import records


def test_fruit_is_here_what_it_is_to_the_rule_on_fruit() -> None:
    entries = {f"f{n}": f"{{same_as: {name}}}" for n, name in enumerate(sorted(food_ids()))}
    entries["wild"] = "{same_as: apple, wild: yes}"
    entries["mix"] = "{mix: {f1: 50 %, wild: 20 %, f2: 30 %}}"
    collection = records.linked(
        records.small(foods=records.foods(carrot="{same_as: carrot}", **entries))
    )
    for food in collection.foods.values():
        assert fruit_share(food) == fruits.fruit_share(food), food.id


@pytest.mark.parametrize(
    ("more", "is_treat"),
    [("", False), (", treat: training", True), (", treat: medicine vehicle", True)],
)
def test_a_flagged_line_is_a_treat(more: str, is_treat: bool) -> None:
    lines = [f"{{food: carrot, amount: 50 g per animal{more}}}"]
    diet = records.diet(records.small(sheet=records.sheet({"roots": lines})))
    treats = TreatLedger(diet, diet.animals[0]).over(diet.days)
    assert treats.given.grams() == exact(200 if is_treat else 0)
    assert treats.rest.grams() == exact(0 if is_treat else 200)
    assert len(treats.givings) == (4 if is_treat else 0)


def test_the_parts_make_the_whole_ration() -> None:
    files = records.small()
    files["treats.yaml"] = (
        "record: treats\ntreats:\n  - {on: 2026-11-26, group: tapir, purpose: training,"
        " items: [{food: carrot, amount: 50 g per animal}]}\n"
    )
    diet = records.diet(files)
    animal = diet.animals[0]
    for day in diet.days:
        treats = TreatLedger(diet, animal).over([day])
        whole = treats.given.grams() + treats.rest.grams()
        assert whole == diet.day_ration(animal, day).grams()
