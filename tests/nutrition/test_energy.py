"""Energy of foods and rations by each method. Labels are invented; rows are of USDA SR28."""

from __future__ import annotations

from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.nutrition.composition import Profile, Profiles
from dietcheck.nutrition.energy import (
    ATWATER,
    FOOD_SPECIFIC,
    MODIFIED_ATWATER,
    EnergyMethod,
    energy_density,
    energy_method,
    energy_methods,
    energy_of,
    energy_per_100g,
    energy_weakness,
    narrowed,
)
from dietcheck.nutrition.rations import Ration
from dietcheck.quantities import Interval, exact
from dietcheck.tables.taxa import Taxon, find_taxon
from tests import records

METHODS = (FOOD_SPECIFIC, ATWATER, MODIFIED_ATWATER)
# Invented: no source gives protein another factor than carbohydrate.
UNEVEN = EnergyMethod(name="uneven", factors=(Decimal(5), Decimal(9), Decimal(4)))
LABEL = "basis: as fed, crude_protein: 20 %, moisture: 10 %, ash: 5 %, crude_fat: 10 %"
COLLECTION = records.linked(
    records.small(
        foods=records.foods(
            carrot="{same_as: carrot}",
            oil="{same_as: oil-sunflower}",
            pellet=f"{{label: {{{LABEL}, crude_fibre: 15 %}}}}",
            declared=f"{{label: {{{LABEL}, energy: 3.1 kcal/g}}}}",
            in_kj=f"{{label: {{{LABEL}, energy_kj: 1297.04 kJ/100 g}}}}",
            bare="{label: {basis: as fed, crude_protein: '>= 20 %', moisture: '<= 10 %'}}",
            cricket="{same_as: invert-house-cricket-adult}",
            like_carrot="{same_as: carrot, stands_in: yes, why: invented}",
            like_prey="{same_as: prey-mouse-minerals, stands_in: yes, why: invented}",
            no_ash="{label: {basis: as fed, crude_protein: 20 %, crude_fat: 9 %, moisture: 9 %}}",
            extract="{label: {basis: as fed, crude_protein: 10 %, crude_fat: 5 %, nfe: 40 %,"
            " crude_fibre: 8 %}}",
            guessed="{label: {basis: as fed, crude_protein: 10 %, moisture: 10 %, ash: 5 %,"
            " crude_fat: 5 to 15 %, fibre: 5 %},"
            " estimate: {carbohydrate: about 65 %, fat: about 10 %, evidence: letter}}",
            lean="{label: {basis: as fed, crude_protein: 20 %, moisture: 70 %}}",
            prey="{same_as: prey-mouse-minerals}",
            mystery="{unknown_composition: none}",
            salad="{mix: {carrot: 60 %, pellet: 40 %}}",
            odd="{mix: {carrot: 60 %, mystery: 40 %}}",
        )
    )
)
FOODS = COLLECTION.foods
PROFILES = Profiles()
NAMES = sorted(FOODS)


def test_the_foods_of_these_tests_are_sound() -> None:
    assert COLLECTION.troubles == ()


def profile(name: str) -> Profile:
    return PROFILES[FOODS[name]]


def taxon(name: str) -> Taxon:
    found = find_taxon(name)
    assert found is not None
    return found


def ration(amounts: dict[str, int]) -> Ration:
    return Ration({FOODS[name]: exact(grams) for name, grams in amounts.items()}, 1, PROFILES)


@pytest.mark.parametrize(
    ("species", "name", "source"),
    [
        ("Lemur catta", "Atwater", "NRC2003"),
        ("Felis catus", "modified Atwater", "AAFCO2008"),
        ("Panthera leo", "food-specific factors", "SR28"),
        ("Tapirus terrestris", "food-specific factors", "SR28"),
        ("Testudo hermanni", "food-specific factors", "SR28"),
    ],
)
def test_each_taxon_has_the_method_a_source_gives_it(species: str, name: str, source: str) -> None:
    """energy-formulas D043 to D045. No source read gives factors for all carnivores."""
    method = energy_method(taxon(species))
    assert (method.name, method.source) == (name, source)
    assert method.seen
    assert method.name in method.described


def test_factors_for_one_way_of_feeding_are_not_for_the_whole_taxon() -> None:
    """D045 (SACN5 p.1191) is for herbivorous reptiles; guild is not taxon."""
    conditional, general = energy_methods(taxon("Testudo hermanni"))
    assert conditional.condition
    assert general == FOOD_SPECIFIC


def test_fermented_fibre_may_add_from_nothing_to_two_kcal_a_gram() -> None:
    """D045: 2 kcal a gram of fermented fibre; 15 g of crude fibre in the invented pellet."""
    method = energy_methods(taxon("Testudo hermanni"))[0]
    plain = energy_per_100g(profile("pellet"), MODIFIED_ATWATER)
    assert energy_per_100g(profile("pellet"), method) == plain + Interval(0, 30)


def test_a_row_s_own_energy_is_the_food_specific_one() -> None:
    """USDA SR28, 11124 Carrots, raw: 41 kcal."""
    assert energy_per_100g(profile("carrot")) == exact(41)
    assert energy_weakness(profile("carrot")) is None


def test_general_factors_leave_the_fibre_out_or_in() -> None:
    """Carrot (SR28 11124): protein 0.93, fat 0.24, carbohydrate 9.58, fibre 2.8 g."""
    figure = energy_per_100g(profile("carrot"), ATWATER)
    assert figure.low == Decimal("3.72") + Decimal("2.16") + 4 * Decimal("6.78")
    assert figure.high == Decimal("3.72") + Decimal("2.16") + 4 * Decimal("9.58")
    assert figure.best == figure.low


def test_crude_fibre_is_always_taken_off() -> None:
    """100 - 10 - 20 - 5 - 10 - 15 = 40 g NFE: 4 * 20 + 9 * 10 + 4 * 40 = 330 kcal."""
    assert energy_per_100g(profile("pellet"), ATWATER) == exact(330)
    assert energy_per_100g(profile("pellet"), MODIFIED_ATWATER) == exact(295)
    assert energy_per_100g(profile("pellet"), FOOD_SPECIFIC) == Interval(295, 330)
    assert energy_weakness(profile("pellet"), ATWATER) is None
    assert energy_weakness(profile("pellet"), FOOD_SPECIFIC) is not None


def test_an_extract_free_of_nitrogen_holds_no_fibre_and_an_estimate_is_carried_through() -> None:
    """4 × 10 + 9 × 5 + 4 × 40; and 4 × 10 + 9 × 10 + 4 × (65 - 5) at the best estimates."""
    assert energy_per_100g(profile("extract"), ATWATER) == exact(245)
    assert energy_per_100g(profile("guessed"), ATWATER).best == 370


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("name", ["declared", "in-kj"])
def test_a_declared_energy_always_counts(name: str, method: EnergyMethod) -> None:
    """3.1 kcal/g is 12.9704 kJ/g."""
    assert energy_per_100g(profile(name), method) == exact(310)


def test_what_a_label_leaves_open_is_a_range_in_which_nothing_counts_twice() -> None:
    """Protein 20 to 100 %, fat and ash not given: at most all fat beside the protein, at least
    protein alone with the rest ash. More protein is less of everything else."""
    figure = energy_per_100g(profile("bare"), ATWATER)
    assert figure.low == 80
    assert 4 * 20 + 9 * 80 <= figure.high <= 9 * 100
    assert energy_weakness(profile("bare"), ATWATER)
    # what is no protein, fat or water may all be ash, or all be carbohydrate: 62 g
    figure = energy_per_100g(profile("no-ash"), UNEVEN)
    assert figure == Interval(5 * 20 + 9 * 9, 5 * 20 + 9 * 9 + 4 * 62)


def test_an_energy_the_table_prints_serves_where_a_part_is_missing() -> None:
    """Finke, Hand-Rearing Birds Table 41.1: adult house cricket 1.40 kcal/g, no carbohydrate but
    water and ash, so the factors can be used; a row of minerals has neither."""
    assert energy_per_100g(profile("cricket")) == exact(140)
    assert energy_per_100g(profile("cricket"), ATWATER).is_bounded
    assert energy_per_100g(profile("prey")).high <= 900


def test_no_food_holds_more_than_pure_fat() -> None:
    assert energy_per_100g(profile("mystery"), ATWATER) == Interval(0, 900)
    assert energy_per_100g(profile("mystery")).high == 900
    assert energy_weakness(profile("mystery"))


@pytest.mark.parametrize(
    ("food", "method", "why"),
    [
        ("carrot", ATWATER, "mixed or label"),
        ("no-ash", ATWATER, "a range"),
        ("like-carrot", ATWATER, "borrowed from a similar food"),
        ("like-carrot", FOOD_SPECIFIC, "borrowed from a similar food"),
        ("pellet", ATWATER, None),
        ("pellet", FOOD_SPECIFIC, "a range"),
        ("declared", ATWATER, None),
        ("in-kj", MODIFIED_ATWATER, None),
        ("cricket", ATWATER, None),
        ("prey", ATWATER, "a range"),
        ("lean", ATWATER, "a range"),
        ("mystery", ATWATER, "a range"),
    ],
)
def test_why_an_energy_is_weak(food: str, method: EnergyMethod, why: str | None) -> None:
    said = energy_weakness(profile(food), method)
    assert (why is None and said is None) or (why is not None and why in (said or ""))


def test_a_mix_is_as_weak_as_its_weakest_part() -> None:
    assert energy_weakness(profile("salad")) == "weak in pellet"
    assert energy_weakness(profile("odd")) == "weak in mystery"


def test_the_energy_of_a_ration_and_its_density() -> None:
    """600 g of carrot at 41 kcal and 11.71 g dry matter per 100 g (SR28 11124)."""
    carrots = ration({"carrot": 600})
    assert energy_of(carrots) == exact(246)
    assert energy_density(carrots, of=None) == exact("0.41")
    assert energy_density(carrots).stands(at_most=Decimal("3.502")) == "inside"
    assert energy_density(carrots).stands(at_least=Decimal("3.501")) == "inside"


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 999), st.sampled_from(METHODS))
def test_a_mix_has_the_energy_of_its_parts(grams: int, method: EnergyMethod) -> None:
    mixed = energy_of(ration({"salad": 10 * grams}), method)
    apart = energy_of(ration({"carrot": 6 * grams, "pellet": 4 * grams}), method)
    assert mixed == apart


@settings(max_examples=40, deadline=None)
@given(
    st.dictionaries(st.sampled_from(NAMES), st.integers(1, 2000), min_size=1), st.integers(2, 50)
)
def test_scaling_a_ration_scales_its_energy_and_leaves_the_density(
    amounts: dict[str, int], factor: int
) -> None:
    once, more = ration(amounts), ration({k: v * factor for k, v in amounts.items()})
    assert energy_of(more, ATWATER) == energy_of(once, ATWATER) * factor
    for method in METHODS:
        a, b = energy_density(once, method, of=None), energy_density(more, method, of=None)
        assert abs(a.low - b.low) < Decimal("1e-20")
        assert abs(a.high - b.high) < Decimal("1e-20")


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 30), st.integers(0, 20), st.integers(0, 10), st.integers(0, 20))
def test_a_label_that_says_less_gives_a_wider_range(
    protein: int, fat: int, ash: int, fibre: int
) -> None:
    """The truth (all four declared) lies inside what each weaker label allows."""
    shown = [
        f"crude_protein: {protein} %", f"crude_fat: {fat} %", f"ash: {ash} %",
        f"crude_fibre: {fibre} %",
    ]  # fmt: skip
    weaker = [
        f"crude_protein: '>= {protein} %'", f"crude_fat: '>= {fat} %'", f"ash: '<= {ash} %'",
        f"crude_fibre: '<= {fibre} %'",
    ]  # fmt: skip
    labels = [shown, weaker, [*weaker[:2], *shown[2:]], weaker[:2], shown[:2], shown[:1], []]
    entries = {
        f"food{i}": f"{{label: {{{', '.join(['basis: as fed', 'moisture: 10 %', *label])}}}}}"
        for i, label in enumerate(labels)
    }
    foods = records.linked(records.small(foods=records.foods(**entries))).foods
    for method in (*METHODS, UNEVEN):
        truth, *wider = (energy_per_100g(Profiles()[foods[name]], method) for name in entries)
        for figure in wider:
            assert figure.low <= truth.low
            assert truth.high <= figure.high


@pytest.mark.parametrize(
    ("one", "other", "both"),
    [
        (Interval(1, 4), Interval(0, 2), Interval(1, 2)),
        (Interval(1, 4, 1), Interval(0, 2), Interval(1, 2, 1)),
        (Interval(1, 4, 2), Interval(0, 2), Interval(1, 2, 2)),
        (Interval(1, 4, 3), Interval(0, 2), Interval(1, 2)),
        (Interval(1, 4, 2), Interval(0, 1), exact(1)),
        (Interval(1, 4), Interval(2, 3), Interval(2, 3)),
        (exact(1), exact(2), exact(1)),
    ],
)
def test_one_figure_told_twice_narrows_to_what_both_allow(
    one: Interval, other: Interval, both: Interval
) -> None:
    assert narrowed(one, other) == both
