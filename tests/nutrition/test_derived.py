"""Class shares, calcium to phosphorus, vitamins for the fish, vitamin A. Amounts and labels are
invented; rows are of USDA SR28."""

from __future__ import annotations

from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.collection.foods import Food
from dietcheck.nutrition.composition import Profiles
from dietcheck.nutrition.derived import (
    HUMAN,
    added_per_kg_fish,
    calcium_to_phosphorus,
    per_kg_fish,
    stated_share,
    vitamin_a_of,
)
from dietcheck.nutrition.energy import ATWATER
from dietcheck.nutrition.rations import Ration
from dietcheck.nutrition.shares import CLASS_GROUPS, class_share
from dietcheck.quantities import UNKNOWN, Interval, exact
from dietcheck.reading.kinds import schema
from dietcheck.tables.taxa import find_taxon
from tests import records

PELLET = "label: {basis: as fed, moisture: 10 %, calcium: 1.2 %, phosphorus: 0.8 %}"
COLLECTION = records.linked(
    records.small(
        foods=records.foods(
            carrot="{same_as: carrot}",
            apple="{same_as: apple}",
            raisins="{same_as: raisin}",
            fish="{same_as: herring}",
            hay="{class: hay, label: {basis: as fed, moisture: 14 %}}",
            wet_hay="{class: hay, label: {basis: as fed, moisture: '10 to 20 %'}}",
            pellet=f"{{class: compound feed, {PELLET}}}",
            nobody_said=f"{{{PELLET}}}",
            mystery="{unknown_composition: none}",
            salad="{mix: {carrot: 60 %, apple: 40 %}}",
            muesli="{mix: {hay: 50 %, salad: 30 %, pellet: 20 %}}",
            odd="{mix: {hay: 50 %, nobody-said: 50 %}}",
            tablet="{class: supplement, label: {basis: as fed, thiamin: 100 mg/g,"
            " vitamin_e_iu: 400 IU/g}}",
            herring_ball="{mix: {fish: 80 %, tablet: 20 %}}",
            stalks="{same_as: broccoli-stalks}",
            mouse="{same_as: prey-cotton-mouse}",
            drops="{class: supplement, label: {basis: as fed, vitamin_a: 1000 IU/g}}",
        )
    )
)
FOODS = COLLECTION.foods
PROFILES = Profiles()
AMOUNTS = st.dictionaries(st.sampled_from(sorted(FOODS)), st.integers(1, 2000), min_size=1)
BASES = st.sampled_from(["dry_matter", None, ATWATER])
CLASSES = st.sampled_from(["roughage", "produce", "all fruit", "compound feed", "fish"])


def test_the_foods_of_these_tests_are_sound() -> None:
    assert COLLECTION.troubles == ()


def ration(amounts: dict[str, int | Interval]) -> Ration:
    grams = {
        FOODS[name]: one if isinstance(one, Interval) else exact(one)
        for name, one in amounts.items()
    }
    return Ration(grams, 1, PROFILES)


def test_classes_of_the_trade_are_classes_that_records_know() -> None:
    known = set(schema("foods")["$defs"]["food"]["properties"]["class"]["enum"])
    for classes in CLASS_GROUPS.values():
        assert classes <= known


def test_shares_as_fed_and_on_dry_matter() -> None:
    """100 g of hay at 86 % and 100 g of carrot at 11.71 % dry matter (SR28 11124)."""
    both = ration({"hay": 100, "carrot": 100})
    assert class_share(both, "roughage", None) == exact("0.5")
    assert class_share(both, "hay", None) == exact("0.5")
    on_dry_matter = class_share(both, "roughage")
    assert on_dry_matter.stands(at_least=Decimal("0.8801"), at_most=Decimal("0.8802")) == "inside"


@pytest.mark.parametrize(
    ("classes", "share"),
    [
        ("roughage", "0.5"),
        ("concentrate", "0.2"),
        ("produce", "0.3"),
        ("all fruit", "0.12"),
        ("vegetables", "0.18"),
        (("meat", "fish"), "0"),
        (("hay", "fruit"), "0.62"),
    ],
)
def test_a_mix_counts_by_its_ingredients(classes: str | tuple[str, ...], share: str) -> None:
    assert class_share(ration({"muesli": 100}), classes, None) == exact(share)


def test_on_dry_matter_an_ingredient_counts_by_its_own_dry_matter() -> None:
    """100 g of muesli: hay 43 g, salad 18 * 0.1171 + 12 g apple (85.56 % water, SR28 09003),
    pellet 18 g of dry matter."""
    whole = Decimal(43) + 18 * Decimal("0.1171") + 12 * Decimal("0.1444") + 18
    share = class_share(ration({"muesli": 100}), "roughage")
    assert abs(share.low - 43 / whole) < Decimal("1e-20")
    assert abs(share.high - 43 / whole) < Decimal("1e-20")


def test_fruit_of_a_dried_kind_is_fruit() -> None:
    both = ration({"raisins": 50, "apple": 50})
    assert class_share(both, "all fruit", None) == exact(1)
    assert class_share(both, "fruit", None) == exact("0.5")


def test_a_food_of_no_class_settles_nothing() -> None:
    assert class_share(ration({"hay": 75, "nobody-said": 25}), "roughage", None) == Interval(
        Decimal("0.75"), 1
    )
    assert class_share(ration({"odd": 100}), "hay", None) == Interval(Decimal("0.5"), 1)
    assert class_share(ration({"hay": 100}), "fruit", None) == exact(0)
    assert class_share(ration({}), "fruit") == Interval(0, 1)


def test_an_uncertain_amount_is_the_same_in_all_its_parts() -> None:
    """However much muesli there is, half of it is hay."""
    unsure = ration({"muesli": Interval(50, 500)})
    share = class_share(unsure, "roughage", None)
    assert share.stands(at_least=Decimal("0.5"), at_most=Decimal("0.5")) == "inside"


@settings(max_examples=60, deadline=None)
@given(AMOUNTS, CLASSES, BASES, st.integers(2, 50))
def test_shares_are_shares_and_do_not_move_with_scale(
    amounts: dict[str, int], classes: str, of: str | None, factor: int
) -> None:
    once = class_share(ration({**amounts}), classes, of)
    more = class_share(ration({name: one * factor for name, one in amounts.items()}), classes, of)
    assert 0 <= once.low <= once.high <= 1
    assert abs(once.low - more.low) < Decimal("1e-20")
    assert abs(once.high - more.high) < Decimal("1e-20")


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 400), CLASSES, BASES)
def test_a_mix_has_the_share_of_its_parts(times: int, classes: str, of: str | None) -> None:
    mixed = class_share(ration({"muesli": 100 * times, "fish": 50}), classes, of)
    apart = {"hay": 50 * times, "carrot": 18 * times, "apple": 12 * times, "pellet": 20 * times}
    parts = class_share(ration({**apart, "fish": 50}), classes, of)
    assert abs(mixed.low - parts.low) < Decimal("1e-20")
    assert abs(mixed.high - parts.high) < Decimal("1e-20")


@settings(max_examples=80, deadline=None)
@given(AMOUNTS, CLASSES, BASES, st.integers(0, 500), st.integers(0, 500), st.data())
def test_widening_never_turns_cannot_tell_into_a_verdict(
    amounts: dict[str, int], classes: str, of: str | None, down: int, up: int, data: st.DataObject
) -> None:
    name = data.draw(st.sampled_from(sorted(amounts)))
    wide = Interval(max(amounts[name] - down, 0), amounts[name] + up)
    before = class_share(ration({**amounts}), classes, of)
    after = class_share(ration({**amounts, name: wide}), classes, of)
    for limit in (Decimal("0.1"), Decimal("0.25"), Decimal("0.5")):
        verdict = before.stands(at_least=limit)
        assert after.stands(at_least=limit) in (verdict, "across")


@settings(max_examples=60, deadline=None)
@given(AMOUNTS, CLASSES)
def test_a_class_and_the_rest_make_the_whole(amounts: dict[str, int], classes: str) -> None:
    wanted = CLASS_GROUPS.get(classes, frozenset({classes}))
    rest = set(schema("foods")["$defs"]["food"]["properties"]["class"]["enum"]) - wanted
    one, other = (class_share(ration({**amounts}), kind, None) for kind in (wanted, rest))
    assert one.low + other.high == pytest.approx(1)
    assert one.high + other.low == pytest.approx(1)


def test_calcium_to_phosphorus() -> None:
    """Invented pellet 1.2 to 0.8; carrot 33 mg to 35 mg (SR28 11124)."""
    assert calcium_to_phosphorus(ration({"pellet": 100})) == exact("1.5")
    both = calcium_to_phosphorus(ration({"pellet": 100, "carrot": 100}))
    assert both == exact(1233) / exact(835)
    assert not calcium_to_phosphorus(ration({"mystery": 10, "pellet": 90})).is_exact


def test_an_uncertain_amount_is_the_same_above_and_below_the_line() -> None:
    assert calcium_to_phosphorus(ration({"pellet": Interval(10, 1000)})) == exact("1.5")


def test_how_much_of_a_diet_has_a_known_figure() -> None:
    """No row of SR28 has NDF; calcium is on the pellet's label and not on the hay's."""
    both = ration({"hay": 100, "pellet": 100})
    assert stated_share(both, "ndf") == exact(0)
    assert stated_share(both, "calcium", None) == exact("0.5")
    assert stated_share(ration({"muesli": 100}), "calcium", None) == exact(0)
    assert stated_share(ration({}), "calcium") == Interval(0, 1)


def test_vitamins_per_kilogram_of_fish() -> None:
    """0.1 g of an invented tablet of 100 mg thiamin and 400 IU vitamin E a gram; 400 g of herring
    (SR28 15039: thiamin 0.092 mg per 100 g)."""
    given_ = ration({"fish": 400, "tablet": exact("0.1")})
    assert added_per_kg_fish(given_, "thiamin") == exact(25)
    assert added_per_kg_fish(given_, "vitamin_e_iu") == exact(100)
    assert per_kg_fish(given_, "thiamin") == exact("25.92")
    # 500 g of a ball: 400 g of herring and 100 g of tablets
    assert added_per_kg_fish(ration({"herring-ball": 500}), "thiamin") == exact(25_000)


def test_without_fish_there_is_no_figure_per_fish() -> None:
    assert added_per_kg_fish(ration({"carrot": 100}), "thiamin") == UNKNOWN


def test_a_food_of_no_class_may_be_fish_or_tablet() -> None:
    """At most all 90 g of its dry matter are thiamin, and then it is no fish; else it is 100 g
    more of fish with none: 4 × 0.092 mg in half a kilogram."""
    unsure = ration({"fish": 400, "nobody-said": 100})
    assert added_per_kg_fish(unsure, "thiamin") == Interval(0, 225_000)
    assert per_kg_fish(unsure, "thiamin").low == Decimal("0.736")


def test_vitamin_a_for_most_taxa_is_the_human_convention_by_name() -> None:
    """Carrot (SR28 11124): 835 µg RAE; 1 IU is 0.3 µg retinol (NRC 2003 p.113)."""
    tapir = vitamin_a_of(ration({"carrot": 100}), find_taxon("Tapirus terrestris"))
    assert tapir.micrograms == exact(835)
    assert tapir.convention == HUMAN
    assert tapir.iu == exact(835) / Decimal("0.3")


def test_a_label_s_iu_count_as_printed() -> None:
    assert vitamin_a_of(ration({"drops": 2})).micrograms == exact(600)
    assert vitamin_a_of(ration({"drops": 2})).iu == exact(2000)


def test_guinea_pigs_have_a_factor_of_their_own() -> None:
    """NRC 1995 Table 4-1: 6.6 mg retinol or 28 mg beta-carotene. Carrot holds 8285 µg beta- and
    3477 µg alpha-carotene (SR28 11124); what alpha-carotene is worth is not printed there."""
    pig = find_taxon("Cavia porcellus")
    assert pig is not None
    figure = vitamin_a_of(ration({"carrot": 100}), pig)
    assert figure.source == "NRC1995 Table 4-1"
    low = Decimal(8285) * Decimal("6.6") / 28
    high = (Decimal(8285) + Decimal(3477)) * Decimal("6.6") / 28
    assert abs(figure.micrograms.low - low) < Decimal("1e-20")
    assert figure.micrograms.high >= high
    assert figure.micrograms.high < high + 30  # cryptoxanthin


@pytest.mark.parametrize(
    ("food", "least", "most"),
    [
        # SR28: 20 µg RAE by the factors for people, so at most 24 times as much carotene
        ("stalks", "0", "113.142857"),
        ("mouse", "225.176220", "225.176220"),  # the feed table's 750.5874 IU, at 0.3 µg
    ],
)
def test_carotene_that_is_not_told_apart_may_be_worth_nothing_or_all_to_a_guinea_pig(
    food: str, least: str, most: str
) -> None:
    pig = find_taxon("Cavia porcellus")
    figure = vitamin_a_of(ration({food: 100}), pig).micrograms
    assert abs(figure.low - Decimal(least)) < Decimal("1e-6")
    assert abs(figure.high - Decimal(most)) < Decimal("1e-6")


@pytest.mark.parametrize("species", ["Cavia porcellus", "Tapirus terrestris"])
def test_a_mix_has_the_vitamin_a_of_its_parts(species: str) -> None:
    taxon = find_taxon(species)
    mixed = vitamin_a_of(ration({"salad": 100}), taxon).micrograms
    assert mixed == vitamin_a_of(ration({"carrot": 60, "apple": 40}), taxon).micrograms


def test_a_food_named_by_nobody_is_unknown_in_everything_derived() -> None:
    nowhere = Food(id="ghost", name="ghost", place=FOODS["carrot"].place, known=False)
    alone = Ration({nowhere: exact(100)}, 1, Profiles())
    assert class_share(alone, "fruit") == Interval(0, 1)
    assert alone.weak_inputs("sugars") == [(nowhere, "the food is on no list")]
    assert not vitamin_a_of(alone).micrograms.is_exact
    assert not calcium_to_phosphorus(alone).is_exact
