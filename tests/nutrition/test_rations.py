"""Rations: totals, shares and contributions. Composition from USDA SR28; amounts invented."""

from __future__ import annotations

from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.collection.foods import Food
from dietcheck.nutrition.composition import Profiles
from dietcheck.nutrition.rations import Ration
from dietcheck.quantities import Interval, exact
from tests import records

FOODS = records.linked(
    records.small(
        foods=records.foods(
            carrot="{same_as: carrot}",
            leaf="{same_as: lettuce-cos}",
            pellet="{label: {basis: as fed, crude_protein: '>= 14 %', moisture: '<= 10 %',"
            " ash: '<= 7 %', crude_fat: '>= 3 %', crude_fibre: '<= 12 %'}}",
            mystery="{unknown_composition: none}",
        )
    )
).foods
PROFILES = Profiles()
HALF, MOST = Decimal("0.5"), Decimal("0.75")
AMOUNTS = st.dictionaries(
    st.sampled_from(sorted(FOODS)), st.integers(1, 2000).map(exact), min_size=1
)


def ration(amounts: dict[str, Interval], days: int = 1) -> Ration:
    """A ration of foods by name."""
    return Ration({FOODS[name]: grams for name, grams in amounts.items()}, days, PROFILES)


def test_totals_are_amount_times_composition() -> None:
    """600 g of carrot at 4.74 g sugars per 100 g (USDA SR28 11124) is 28.44 g."""
    carrots = ration({"carrot": exact(600)})
    assert carrots.total("sugars") == exact("28.44")
    assert carrots.density("sugars").stands(at_most=Decimal("0.405")) == "inside"
    assert carrots.density("sugars").stands(at_least=Decimal("0.404")) == "inside"


def test_the_daily_mean_of_a_rota() -> None:
    fortnight = ration({"carrot": exact(1400)}, days=14)
    assert fortnight.per_day(fortnight.grams()) == exact(100)


def test_joining_days_adds_grams_and_days() -> None:
    parts = [ration({"carrot": exact(100)}), ration({"carrot": exact(50), "leaf": exact(10)})]
    joined = Ration.joined(parts, PROFILES)
    assert joined.days == 2
    assert joined.grams_of == {FOODS["carrot"]: exact(150), FOODS["leaf"]: exact(10)}
    week = Ration.joined([parts[0]] * 3 + [parts[1]] * 4, PROFILES)
    assert (week.days, week.grams()) == (7, exact(3 * 100 + 4 * 60))
    assert week.per_day(week.grams()) == exact(540) / 7
    assert week.total("calcium") == parts[0].total("calcium") * 3 + parts[1].total("calcium") * 4
    twice = Ration.joined([parts[0]] * 2, PROFILES)
    assert (twice.days, twice.grams()) == (2, exact(200))
    assert Ration.joined([parts[0]], PROFILES) is parts[0]


def test_a_share_may_count_only_part_of_a_food() -> None:
    mixed = ration({"carrot": exact(100), "leaf": exact(100)})
    half: list[tuple[Food, Interval]] = [(FOODS["carrot"], exact("0.5"))]
    assert mixed.share(half, None) == exact("0.25")


def test_contributions_name_the_largest_possible_first_and_weak_inputs_why() -> None:
    mixed = ration({"carrot": exact(100), "mystery": exact(100)})
    assert mixed.contributions("sugars") == [
        (FOODS["mystery"], Interval(0, 100)), (FOODS["carrot"], exact("4.74")),
    ]  # fmt: skip
    assert [(food.id, why) for food, why in mixed.weak_inputs("sugars")] == [
        ("mystery", "not stated")
    ]


def test_an_unknown_food_makes_the_share_anything_but_never_more_than_all() -> None:
    assert ration({"mystery": exact(100)}).density("sugars").high <= 1


@settings(max_examples=60, deadline=None)
@given(AMOUNTS, st.integers(2, 50))
def test_scaling_all_amounts_scales_totals_and_leaves_ratios(
    amounts: dict[str, Interval], factor: int
) -> None:
    once, more = ration(amounts), ration({k: v * factor for k, v in amounts.items()})
    for nutrient in ("sugars", "dry_matter", "calcium", "energy"):
        assert more.total(nutrient) == once.total(nutrient) * factor
    ratio_once, ratio_more = once.density("sugars"), more.density("sugars")
    for end in ("low", "high"):
        gap = abs(getattr(ratio_once, end) - getattr(ratio_more, end))
        assert gap < Decimal("1e-20")


@settings(max_examples=60, deadline=None)
@given(AMOUNTS, st.sampled_from(sorted(FOODS)), st.integers(0, 500), st.integers(0, 500))
def test_widening_an_amount_never_turns_cannot_tell_into_a_verdict(
    amounts: dict[str, Interval], name: str, down: int, up: int
) -> None:
    known = amounts.get(name, exact(10))
    narrow = ration({**amounts, name: known})
    low = max(known.low - down, Decimal(0))
    wide = ration({**amounts, name: Interval(low, known.high + up)})
    for limit in (Decimal("0.05"), Decimal("0.15"), Decimal("0.40")):
        before = narrow.density("sugars").stands(at_most=limit)
        after = wide.density("sugars").stands(at_most=limit)
        assert after in (before, "across")


@settings(max_examples=40, deadline=None)
@given(st.permutations(sorted(FOODS)))
def test_the_order_of_foods_is_irrelevant(order: list[str]) -> None:
    one = ration({name: exact(10 + len(name)) for name in sorted(FOODS)})
    other = ration({name: exact(10 + len(name)) for name in order})
    for nutrient in ("sugars", "dry_matter", "iron"):
        assert one.total(nutrient) == other.total(nutrient)
        assert one.density("sugars") == other.density("sugars")
        assert one.contributions(nutrient) == other.contributions(nutrient)


@pytest.mark.parametrize(
    ("label", "nutrient", "of", "density"),
    [
        # bounds of one food can cross: 80 g of sugar in at least 60 g of dry matter
        ("moisture: 20 to 40 %, sugars: 80 %", "sugars", "dry_matter", exact(1)),
        ("moisture: 20 to 40 %, sugars: 60 %", "sugars", "dry_matter", Interval(MOST, 1)),
        (
            "moisture: 20 to 40 %, sugars: 30 %",
            "sugars",
            "dry_matter",
            Interval(Decimal("0.375"), HALF),
        ),
        # a mineral may well be more than another, and energy more than a kcal a gram
        ("calcium: 0.4 to 1.2 %, phosphorus: 0.8 %", "calcium", "phosphorus", Interval(2, 6) / 4),
        ("moisture: 0 %, energy: 0.5 to 3 kcal/g", "energy", "dry_matter", Interval(1, 6) / 2),
    ],
)
def test_a_part_is_never_more_than_the_dry_matter(
    label: str, nutrient: str, of: str, density: Interval
) -> None:
    """Invented labels."""
    foods = records.foods(food=f"{{label: {{basis: as fed, {label}}}}}")
    food = records.linked(records.small(foods=foods)).foods["food"]
    assert Ration({food: exact(70)}, 1, Profiles()).density(nutrient, of) == density


@pytest.mark.parametrize(("sugars", "best"), [("30 %", "0.6"), ("60 %", "1")])
def test_the_best_estimate_of_a_part_is_no_more_than_the_dry_matter(sugars: str, best: str) -> None:
    """Half of the food is water by the best estimate."""
    foods = records.foods(
        food="{label: {basis: as fed, moisture: 20 to 60 %, sugars: 10 to 70 %},"
        f" estimate: {{moisture: about 50 %, sugars: about {sugars}, evidence: letter}}}}"
    )
    food = records.linked(records.small(foods=foods)).foods["food"]
    found = Ration({food: exact(70)}, 1, Profiles()).density("sugars")
    assert found == Interval(Decimal("0.125"), 1, Decimal(best))


def test_a_density_of_energy_is_in_kcal_by_the_gram_of_dry_matter() -> None:
    """Invented: 3 kcal/g as fed at 40 % water is 5 kcal in each gram of dry matter."""
    wet = "{label: {basis: as fed, energy: 3 kcal/g, moisture: 40 %}}"
    files = records.small(
        foods=records.foods(wet=wet),
        sheet=records.sheet({"roots": ["{food: wet, amount: 70 g per animal}"]}),
    )
    diet = records.diet(files)
    assert diet.day_ration(diet.animals[0], diet.days[0]).density("energy") == exact(5)
