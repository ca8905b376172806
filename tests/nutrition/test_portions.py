"""How many grams of a line one animal is offered. Amounts and masses are invented."""

from __future__ import annotations

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.nutrition.diet import Diet
from dietcheck.nutrition.portions import Portion
from dietcheck.quantities import UNKNOWN, Interval, exact
from tests import records

TWO = (
    "{id: T1, weighings: [{on: 2026-11-20, mass: 200 kg}]}",
    "{id: T2, weighings: [{on: 2026-11-20, mass: 250 kg}]}",
)


def diet_of(amount: str, entry: str = "{same_as: carrot}", line: str = "") -> Diet:
    """Two tapirs, one meal of one line."""
    return records.diet(
        records.small(
            group=records.group(animals=TWO),
            foods=records.foods(item=entry),
            sheet=records.sheet({"roots": [f"{{food: item, amount: '{amount}'{line}}}"]}),
        )
    )


def portion(diet: Diet, animal: int = 0) -> Portion:
    """The first portion of an animal's first feed."""
    (_, portions), *_ = diet.feeds(diet.animals[animal], diet.days[0])
    return portions[0]


@pytest.mark.parametrize(
    ("amount", "grams"),
    [
        ("45 g per animal", exact(45)),
        ("1.2 kg per group", exact(600)),
        ("12 g per kg body mass", exact(2400)),
        ("20 to 30 g per animal", Interval(20, 30)),
        ("ad lib, expected 700 to 1100 g per animal", Interval(700, 1100)),
        # The spread of a bare expectation is the tool's own default of 50 %.
        ("ad lib, expected 900 g per animal", Interval(450, 1350, 900)),
    ],
)
def test_grams_of_an_amount(amount: str, grams: Interval) -> None:
    found = portion(diet_of(amount))
    assert (found.grams, found.gap) == (grams, None)


def test_pieces_weigh_what_the_food_list_says() -> None:
    food = "{same_as: carrot, piece: 60 to 70 g}"
    assert portion(diet_of("2 pieces per animal", food)).grams == Interval(120, 140)


def test_volume_needs_a_density() -> None:
    syrup = "{same_as: carrot, density: 1.03 g/ml}"
    assert portion(diet_of("100 ml per animal", syrup)).grams == exact(103)
    assert portion(diet_of("100 ml per animal")).gap == 'the food list has no density for "item"'


def test_pieces_of_unknown_mass_are_unknown_and_say_why() -> None:
    found = portion(diet_of("2 pieces per animal"))
    assert found.grams == UNKNOWN
    assert found.gap == 'the food list has no piece mass for "item"'


def test_iu_are_no_grams() -> None:
    assert portion(diet_of("2000 IU per animal")).gap is not None


def test_iu_are_grams_where_the_label_gives_one_nutrient_in_iu() -> None:
    drops = "{label: {basis: as fed, vitamin_e_iu: 400 IU/g}}"
    assert portion(diet_of("2000 IU per animal", drops)).grams == exact(5)


def test_a_line_for_one_animal_reaches_only_that_one() -> None:
    diet = diet_of("30 g per group", line=", for: [T2]")
    (_, nobody), *_ = diet.feeds(diet.animals[0], diet.days[0])
    assert nobody == ()
    assert portion(diet, 1).grams == exact(30)


@pytest.mark.parametrize(
    ("amount", "first", "second", "whole"),
    [
        ("90 g per group", 45, 45, 90),
        ("45 g per animal", 45, 45, 90),
        ("2 g per kg body mass", 400, 500, 900),
    ],
)
def test_the_shares_of_two_animals_are_what_lies_there(
    amount: str, first: int, second: int, whole: int
) -> None:
    diet = diet_of(amount)
    assert [portion(diet, n).grams for n in (0, 1)] == [exact(first), exact(second)]
    assert diet.offers()[0].whole == exact(whole)


def test_a_line_for_two_of_three_is_shared_by_those_two() -> None:
    files = records.small(
        group=records.group(animals=[*TWO, "{id: T3}"]),
        sheet=records.sheet({"roots": ["{food: carrot, amount: 90 g per group, for: [T1, T2]}"]}),
    )
    assert portion(records.diet(files), 1).grams == exact(45)


def test_an_unweighed_animal_has_no_share_by_body_mass() -> None:
    diet = records.diet(
        records.small(
            group=records.group(animals=["{id: T1}"]),
            sheet=records.sheet({"roots": ["{food: carrot, amount: 2 g per kg body mass}"]}),
        )
    )
    assert portion(diet).grams == UNKNOWN
    assert portion(diet).gap == "T1 has no weighing"


def test_an_animal_that_has_left_no_longer_shares() -> None:
    gone = "{id: T2, here_until: 2026-11-01, weighings: [{on: 2026-10-01, mass: 250 kg}]}"
    files = records.small(
        group=records.group(animals=[TWO[0], gone]),
        sheet=records.sheet({"roots": ["{food: carrot, amount: 900 g per group}"]}),
    )
    diet = records.diet(files)
    assert [animal.id for animal in diet.animals] == ["T1"]
    assert portion(diet).grams == exact(900)


def test_an_animal_that_is_away_is_offered_nothing_on_that_day() -> None:
    coming = "{id: T2, here_from: 2026-12-01, weighings: [{on: 2026-11-01, mass: 250 kg}]}"
    files = records.small(
        group=records.group(animals=[TWO[0], coming]),
        sheet=records.sheet({"roots": ["{food: carrot, amount: 900 g per group}"]}),
    )
    diet = records.diet(files)
    by_date = {day.on.isoformat(): day for day in diet.days}
    newcomer, resident = diet.animals[1], diet.animals[0]
    assert list(diet.feeds(newcomer, by_date["2026-11-30"])) == []
    before, after = by_date["2026-11-30"], by_date["2026-12-01"]
    assert diet.day_ration(resident, before).grams() == exact(1800)
    assert diet.day_ration(resident, after).grams() == exact(900)
    assert diet.day_ration(newcomer, after).grams() == exact(900)


@pytest.mark.parametrize(
    ("heads", "amount", "each", "whole"),
    [
        ("25 to 50", "100 g per group", Interval(2, 4), exact(100)),
        ("25 to 50", "2 g per animal", exact(2), Interval(50, 100)),
        ("0 to 50", "100 g per group", UNKNOWN, exact(100)),  # perhaps nobody is left to share it
        ("1 to 50", "100 g per group", Interval(2, 100), exact(100)),
    ],
)
def test_a_colony_shares_by_its_estimated_head_count(
    heads: str, amount: str, each: Interval, whole: Interval
) -> None:
    files = records.small(
        group="record: group\nid: tapir\nspecies: Tapirus terrestris\nenclosure: Tank\n"
        f"fed: scattered\ncolony: {{count: {heads}, mass: 5 to 20 g, on: 2026-11-01}}\n",
        sheet=records.sheet({"roots": [f"{{food: carrot, amount: {amount}}}"]}),
    )
    diet = records.diet(files)
    assert portion(diet).grams == each
    assert (portion(diet).gap is not None) is (each == UNKNOWN)
    assert diet.offers()[0].whole == whole


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 5000), st.integers(1, 5000))
def test_splitting_a_line_in_two_changes_no_ration(first: int, second: int) -> None:
    def ration(*amounts: int) -> list[Interval]:
        lines = [f"{{food: carrot, amount: {n} g per animal}}" for n in amounts]
        diet = records.diet(records.small(sheet=records.sheet({"roots": lines})))
        found = diet.day_ration(diet.animals[0], diet.days[0])
        return [found.grams(), found.total("sugars"), found.density("sugars")]

    assert ration(first + second) == ration(first, second)
