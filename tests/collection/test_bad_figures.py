"""Figures that cannot be, each named with its place and a way out. All labels are invented."""

from __future__ import annotations

import pytest

from dietcheck.collection.collection import Trouble
from dietcheck.nutrition.composition import Profiles
from dietcheck.quantities import Interval, exact
from dietcheck.reading import check_file
from tests import records

FOOD = ("foods", "food")


def troubles(entry: str) -> tuple[Trouble, ...]:
    """What does not fit about one food."""
    return records.linked(records.small(foods=foods(entry))).troubles


def foods(entry: str) -> str:
    return records.foods(carrot="{same_as: carrot}", food=entry)


@pytest.mark.parametrize(
    ("entry", "path"),
    [
        ("{label: {basis: as fed, moisture: 60 %, crude_protein: 30 %, fat: 12 %}}", ()),
        ("{label: {basis: as fed, moisture: 50 %, crude_protein: '>= 60 %'}}", ()),
        ("{analysis: {basis: dry matter, crude_protein: 60 %, carbohydrate: 45 %}}", ()),
        ("{label: {basis: as fed, sugars: 60 %, starch: 30 %, crude_fibre: 15 %}}", ()),
        ("{label: {basis: as fed, carbohydrate: 10 %, sugars: 20 %}}", ("sugars",)),
        ("{label: {basis: as fed, moisture: 10 %, dry_matter: 80 %}}", ("dry_matter",)),
        ("{label: {basis: as fed, energy: 350 kcal/100 g, energy_kj: 2000 kJ/100 g}}",
         ("energy_kj",)),
    ],
)  # fmt: skip
def test_figures_that_cannot_all_be_true(entry: str, path: tuple[str, ...]) -> None:
    (found,) = troubles(entry)
    origin = "analysis" if "analysis" in entry else "label"
    assert found.place.path == (*FOOD, origin, *path)
    assert found.remedy


@pytest.mark.parametrize(
    "entry",
    [
        "{label: {basis: as fed, moisture: 60 %, crude_protein: 30 %, fat: 10.5 %}}",
        "{analysis: {basis: dry matter, moisture: 90 %, crude_protein: 60 %, fat: 40 %}}",
        "{label: {basis: as fed, crude_protein: '<= 80 %', fat: '<= 80 %'}}",
        "{label: {basis: as fed, moisture: about 90 %, crude_protein: 60 %}}",
        "{label: {basis: as fed, fibre: 60 %, crude_fibre: 50 %}}",
        "{label: {basis: as fed, energy: 350 kcal/100 g, energy_kj: 1464 kJ/100 g}}",
    ],
)
def test_figures_that_may_all_be_true_are_let_pass(entry: str) -> None:
    """Rounding, another basis, maxima and two ways to measure fibre are no mistakes."""
    assert troubles(entry) == ()


@pytest.mark.parametrize(
    ("entry", "name", "remedy"),
    [
        ("{label: {basis: as fed, vitamin_e: 100 IU/kg}}", "vitamin_e", "vitamin_e_iu"),
        ("{label: {basis: as fed, thiamin: 100 IU/kg}}", "thiamin", "mg/kg"),
        ("{label: {basis: as fed, vitamin_a: 3 mg/kg}}", "vitamin_a", "retinol"),
        ("{label: {basis: as fed, crude_protein: 3 kcal/g}}", "crude_protein", "g/kg"),
        ("{label: {basis: as fed, energy: 14 %}}", "energy", "kcal/kg"),
        ("{estimate: {iron: about 3 kcal/g, evidence: letter}, same_as: carrot}", "iron", "mg/kg"),
    ],
)
def test_a_content_that_cannot_be_of_that_nutrient(entry: str, name: str, remedy: str) -> None:
    (found,) = troubles(entry)
    assert found.place.path[-1] == name
    assert remedy in found.remedy


@pytest.mark.parametrize(
    ("entry", "key"),
    [
        ("{label: {crude_protein: 14 %}}", "label"),
        ("{analysis: {moisture: 14 %}}", "analysis"),
        ("{mix: {}}", "mix"),
        ("{mix: {carrot: }}", "mix"),
        ("{mix: [carrot]}", "mix"),
        ("{label: {basis: as fed, crude_protein: 140 %}}", "label"),
        ("{label: {basis: as sold, crude_protein: 14 %}}", "label"),
        ("{label: {basis: as fed, vitamin_q: 14 %}}", "label"),
    ],
)
def test_what_is_refused_when_the_record_is_read(entry: str, key: str) -> None:
    """A label without basis, a mix without shares, more than the whole, an unknown nutrient."""
    facts = check_file("foods.yaml", foods(entry).encode())
    assert facts.data is None
    (found,) = facts.problems
    assert found.path[:3] == (*FOOD, key)
    assert found.line > 1
    assert found.remedy


@pytest.mark.parametrize("shares", ["{carrot: 50 %}", "{carrot: 60 %, leaf: 60 %}"])
def test_shares_that_do_not_make_a_whole(shares: str) -> None:
    text = records.foods(
        carrot="{same_as: carrot}", leaf="{same_as: lettuce-cos}", food=f"{{mix: {shares}}}"
    )
    (found,) = records.linked(records.small(foods=text)).troubles
    assert found.place.path == (*FOOD, "mix")


@pytest.mark.parametrize(
    "entry",
    [
        "{same_as: carrot-boiled, form: raw}",
        "{same_as: fig-dried, form: fresh}",
        "{label: {basis: as fed, form: boiled, moisture: 70 %}, form: raw}",
        "{analysis: {basis: as fed, form: raw, moisture: 70 %}, form: cooked}",
        "{analysis: {basis: as fed, form: dried, moisture: 7 %}, form: frozen-thawed}",
    ],
)
def test_used_in_one_state_but_analysed_in_another(entry: str) -> None:
    (found,) = troubles(entry)
    assert found.place.path == (*FOOD, "form")
    assert "stands_in" in found.remedy


def test_a_row_in_the_state_wanted_is_offered() -> None:
    (found,) = troubles("{same_as: carrot-boiled, form: raw}")
    assert "carrot" in found.remedy
    assert "carrot-boiled" not in found.remedy


@pytest.mark.parametrize(
    "entry",
    [
        "{same_as: carrot, form: fresh}",
        "{same_as: carrot, form: grated}",
        "{same_as: carrot, form: frozen-thawed}",
        "{same_as: carrot-boiled, form: raw, stands_in: yes, why: nothing nearer was found}",
        "{label: {basis: as fed, form: frozen, moisture: 70 %}, form: thawed}",
        "{same_as: invert-mealworm-larva, form: dried}",
    ],
)
def test_states_that_do_not_differ_or_are_not_known(entry: str) -> None:
    """A feed whose source names no state cannot be told to differ; a borrowed figure says so."""
    assert troubles(entry) == ()


def test_the_state_of_an_analysis_is_the_food_s_where_it_names_none() -> None:
    collection = records.linked(
        records.small(foods=foods("{label: {basis: as fed, form: boiled, moisture: 70 %}}"))
    )
    assert collection.foods["food"].form == "boiled"


@pytest.mark.parametrize(
    ("label", "grams"),
    [
        ("{basis: as fed, vitamin_d3: 500 IU/g}", exact(4)),
        ("{basis: as fed, vitamin_e_iu: 100 IU/g, thiamin: 5 mg/g}", exact(20)),
        ("{basis: as fed, vitamin_a: '500 to 1000 IU/g'}", Interval(2, 4)),
        ("{basis: as fed, vitamin_a: '>= 1000 IU/g'}", Interval(0, 2)),
        ("{basis: dry matter, moisture: 50 %, vitamin_d3: 1000 IU/g}", exact(4)),
    ],
)
def test_iu_of_a_supplement_are_grams_where_one_nutrient_is_meant(
    label: str, grams: Interval
) -> None:
    """2000 IU of a supplement; every strength is invented."""
    assert portion_of_2000_iu(label) == (grams, None)


@pytest.mark.parametrize(
    "label",
    [
        "{basis: as fed, vitamin_d3: 500 IU/g, vitamin_a: 1000 IU/g}",
        "{basis: as fed, vitamin_e: 5 mg/g}",
        "{basis: dry matter, vitamin_d3: 1000 IU/g}",
    ],
)
def test_iu_that_may_mean_several_things_stay_a_gap(label: str) -> None:
    grams, gap = portion_of_2000_iu(label)
    assert not grams.is_bounded
    assert gap is not None


def portion_of_2000_iu(label: str) -> tuple[Interval, str | None]:
    diet = records.diet(
        records.small(
            foods=records.foods(carrot="{same_as: carrot}", drops=f"{{label: {label}}}"),
            sheet=records.sheet({"roots": ["{food: drops, amount: 2000 IU per animal}"]}),
        )
    )
    portion = next(diet.servings(diet.animals[0])).portion
    return portion.grams, portion.gap


def test_the_vitamin_in_so_many_iu_is_so_many_iu() -> None:
    """2000 IU of vitamin D are 50 µg (1 IU = 0.025 µg, nutrients.csv), whatever the strength."""
    collection = records.linked(
        records.small(foods=foods("{label: {basis: as fed, vitamin_d3: 500 IU/g}}"))
    )
    per_100g = Profiles()[collection.foods["food"]].per_100g("vitamin_d")
    assert per_100g * 4 / 100 == exact(50)
