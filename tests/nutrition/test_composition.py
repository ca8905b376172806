"""Composition of foods: rows, labels, mixes, and what nobody states."""

from __future__ import annotations

from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.nutrition.composition import Profile, Profiles
from dietcheck.quantities import UNKNOWN, Interval, exact
from tests import records


def profile(entry: str, **others: str) -> Profile:
    """The composition of one food entry."""
    files = records.small(foods=records.foods(carrot="{same_as: carrot}", food=entry, **others))
    return Profiles()[records.linked(files).foods["food"]]


def test_a_row_of_the_table_gives_its_figures_per_100_g_as_fed() -> None:
    """USDA SR28, 11124 Carrots, raw: water 88.29 g, sugars 4.74 g."""
    carrot = profile("{same_as: carrot}")
    assert carrot.per_100g("sugars") == exact("4.74")
    assert carrot.per_100g("dry_matter") == exact("11.71")
    assert carrot.weakness("sugars") is None


def test_a_label_minimum_is_bounded_by_what_the_rest_leaves() -> None:
    """Invented label: protein at least 14 %, moisture at most 10 %, ash 7 %, fat 3 %."""
    feed = profile(
        "{label: {basis: as fed, crude_protein: '>= 14 %', moisture: '<= 10 %', ash: 7 %,"
        " crude_fat: 3 %}}"
    )
    assert feed.per_100g("protein") == Interval(14, 90)
    assert feed.per_100g("water") == Interval(0, 10)
    assert feed.per_100g("dry_matter") == Interval(90, 100)
    assert feed.weakness("protein") == "printed as a minimum or a maximum"


def test_undeclared_sugars_lie_between_nothing_and_the_carbohydrate_that_is_not_fibre() -> None:
    """Invented label; carbohydrate by difference 100 - 10 - 15 - 3 - 7 = 65, fibre 12."""
    feed = profile(
        "{label: {basis: as fed, crude_protein: 15 %, moisture: 10 %, ash: 7 %, crude_fat: 3 %,"
        " crude_fibre: 12 %}}"
    )
    assert feed.per_100g("carbohydrate") == exact(65)
    assert feed.per_100g("sugars") == Interval(0, 53)
    assert feed.weakness("sugars") == "not stated"
    assert feed.per_100g("fibre") == Interval(0, 65)
    assert feed.per_100g("ndf") == Interval(0, 90)
    assert feed.per_100g("iron") == Interval(0, 90_000)
    assert feed.per_100g("energy") == UNKNOWN


WATER = "moisture: 10 %"


@pytest.mark.parametrize(
    ("label", "nutrient", "low", "high"),
    [
        (f"{WATER}, sugars: 5 %", "glucose", "0", "5"),
        (f"{WATER}, sugars: 5 %, starch: 20 %", "nsc", "25", "90"),
        (f"{WATER}, glucose: 3 %, fructose: 4 %", "sugars", "7", "90"),
        (f"{WATER}, fibre: 20 %", "sugars", "0", "70"),
        (f"{WATER}, fibre: '20 to 30 %'", "starch", "0", "70"),
        (f"{WATER}, crude_fibre: 20 %", "starch", "0", "70"),
        ("moisture: 95 %, fibre: 20 %", "sugars", "0", "0"),  # a label that contradicts itself
        (f"{WATER}, ash: '5 to 8 %'", "carbohydrate", "0", "85"),
        (f"{WATER}, ash: 5 %, crude_fat: 15 %, crude_protein: '20 to 30 %', crude_fibre: 12 %",
         "nfe", "28", "38"),  # 100 - 10 - 5 - 15 - 20 - 12, and ten less
        ("nfe: 40 %, crude_fibre: 8 %", "carbohydrate", "48", "48"),
        (WATER, "calcium", "0", "90000"),  # mg
        (WATER, "vitamin_d", "0", "90000000"),  # µg
        ("sugars: 5 %", "water", "0", "100"),
        ("sugars: 5 %", "dry_matter", "0", "100"),
        ("sugars: 5 %", "carbohydrate", "0", "100"),
        ("sugars: 5 %", "nfe", "0", "100"),
        ("energy: 3 kcal/g", "energy_kj", "1255.2", "1255.2"),  # × 4.184
        ("energy_kj: 8.368 kJ/g", "energy", "200", "200"),
    ],
)  # fmt: skip
def test_what_a_label_says_bounds_what_it_does_not_say(
    label: str, nutrient: str, low: str, high: str
) -> None:
    found = profile(f"{{label: {{basis: as fed, {label}}}}}").per_100g(nutrient)
    assert (found.low, found.high) == (Decimal(low), Decimal(high))


def test_a_row_on_dry_matter_may_be_any_part_of_it_where_the_water_is_not_known() -> None:
    """The feed table's whole mice: calcium 1.2 to 2.3 % of dry matter, no water."""
    assert profile("{same_as: prey-mouse-minerals}").per_100g("calcium") == Interval(0, 2300)


@pytest.mark.parametrize(
    ("entry", "nutrient", "why"),
    [
        ("same_as: globe-artichoke", "sugars", "imputed"),
        ("same_as: asparagus", "water", "mixed or label"),
        ("same_as: asparagus", "dry_matter", "mixed or label"),
        ("same_as: invert-house-cricket-adult-finke-cap", "calcium", "from memory"),
        ("same_as: alfalfa-sprouts", "protein", None),
        ("same_as: alfalfa-sprouts", "starch", "not stated"),
        ("same_as: prey-20-items-kerr", "protein", None),
        ("label: {basis: as fed, sugars: 5 %}", "sugars", None),
        ("label: {basis: as fed, energy: 3 kcal/g}", "energy_kj", None),
        ("label: {basis: as fed, dry_matter: '>= 80 %'}", "water",
         "printed as a minimum or a maximum"),
        ("mix: {carrot: 100 %}", "sugars", None),
    ],
)  # fmt: skip
def test_why_a_figure_is_weak(entry: str, nutrient: str, why: str | None) -> None:
    assert profile(f"{{{entry}}}").weakness(nutrient) == why


@pytest.mark.parametrize(
    ("part", "states"), [("same_as: apple", True), (f"label: {{basis: as fed, {WATER}}}", False)]
)
def test_a_mix_states_what_all_its_parts_state(part: str, *, states: bool) -> None:
    mixed = profile("{mix: {carrot: 50 %, other: 50 %}}", other=f"{{{part}}}")
    assert mixed.states("sugars") is states
    assert mixed.states("dry_matter")


def test_an_analysis_on_dry_matter_is_turned_into_as_fed() -> None:
    """Invented: 80 % water, sugars 10 % of dry matter: 2 g in 100 g as fed."""
    wet = profile("{analysis: {basis: dry matter, moisture: 80 %, sugars: 10 %}}")
    assert wet.per_100g("sugars") == exact(2)


def test_dry_matter_may_be_declared_instead_of_moisture() -> None:
    dry = profile("{analysis: {basis: as fed, dry_matter: 90 %}}")
    assert dry.per_100g("water") == exact(10)
    assert dry.weakness("dry_matter") is None


@pytest.mark.parametrize(
    ("label", "estimate", "figure"),
    [
        ("moisture: 10 %", "sugars: about 5 %", Interval(0, 90, 5)),
        ("moisture: 10 %", "protein: about 90 %", Interval(0, 90, 90)),
        ("sugars: 5 to 10 %", "sugars: about 5 %", Interval(5, 10, 5)),
        ("sugars: 5 to 10 %", "sugars: about 10 %", Interval(5, 10, 10)),
        ("sugars: 5 to 10 %", "sugars: about 11 %", Interval(5, 10)),
        ("sugars: 5 %", "sugars: about 6 %", exact(5)),
    ],
)
def test_an_estimate_gives_a_best_value_and_leaves_the_range(
    label: str, estimate: str, figure: Interval
) -> None:
    """Invented supplier's letter."""
    food = f"{{label: {{basis: as fed, {label}}}, estimate: {{{estimate}, evidence: letter}}}}"
    assert profile(food).per_100g(estimate.partition(":")[0]) == figure


def test_an_estimate_outside_the_possible_range_is_not_believed() -> None:
    feed = profile(
        "{label: {basis: as fed, moisture: 90 %}, estimate: {sugars: about 50 %, evidence: letter}}"
    )
    assert feed.per_100g("sugars").best is None


def test_milligrams_and_iu_come_in_the_nutrients_own_unit() -> None:
    """1 IU of vitamin D is 0.025 µg (table nutrients.csv, column per_iu)."""
    feed = profile("{label: {basis: as fed, iron: 100 mg/kg, vitamin_d3: 2000 IU/kg}}")
    assert feed.per_100g("iron") == exact(10)
    assert feed.per_100g("vitamin_d") == exact(5)


def test_a_food_of_unknown_composition_is_unknown_in_everything() -> None:
    food = profile("{unknown_composition: no analysis yet}")
    assert food.per_100g("sugars") == Interval(0, 100)
    assert food.per_100g("energy") == UNKNOWN
    assert food.weakness("sugars") == "not stated"


def test_a_borrowed_figure_is_weak() -> None:
    food = profile("{same_as: carrot, stands_in: yes, why: no analysis of its own}")
    assert food.weakness("sugars") == "borrowed from a similar food"


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 99), st.sampled_from(["sugars", "dry_matter", "calcium", "energy", "fat"]))
def test_a_mix_equals_its_parts(share: int, nutrient: str) -> None:
    mixed = profile(
        f"{{mix: {{carrot: {share} %, leaf: {100 - share} %}}}}", leaf="{same_as: lettuce-cos}"
    )
    carrot = profile("{same_as: carrot}").per_100g(nutrient)
    leaf = profile("{same_as: lettuce-cos}").per_100g(nutrient)
    expected = (carrot * share + leaf * (100 - share)) / 100
    assert mixed.per_100g(nutrient) == expected


def test_a_mix_is_as_weak_as_its_weakest_part() -> None:
    mixed = profile("{mix: {carrot: 50 %, feed: 50 %}}", feed="{unknown_composition: none}")
    assert mixed.weakness("sugars") == "weak in feed"
    assert mixed.per_100g("sugars") == Interval(Decimal("2.37"), Decimal("52.37"))


@pytest.mark.parametrize("nutrient", ["sugars", "starch", "fibre", "carbohydrate", "protein"])
def test_a_part_is_never_more_than_the_food(nutrient: str) -> None:
    assert profile("{unknown_composition: none}").per_100g(nutrient).high <= 100


def test_carbohydrate_is_what_is_free_of_nitrogen_and_the_crude_fibre() -> None:
    """So the proximate analysis divides it: nitrogen-free extract and crude fibre together."""
    found = profile("{label: {basis: as fed, nfe: 40 %, crude_fibre: 8 %, moisture: 10 %}}")
    assert found.per_100g("carbohydrate") == exact(48)
