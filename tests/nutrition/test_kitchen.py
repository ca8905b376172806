"""The feed kitchen's portions and draws. Amounts, weights and wastes are invented."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import force_setattr

from dietcheck.nutrition.kitchen import Dish, GroupDay, Kitchen, is_called, rounded, rounded_up
from dietcheck.nutrition.kitchen_store import (
    Draw,
    KitchenDay,
    Waste,
    before_waste,
    ingredients,
    is_frozen,
    kitchen_day,
    order,
)
from dietcheck.quantities import Interval, between, exact
from tests import records

ON = records.ON  # day 2 of a rota of two days
PIECES = "{class: insect, form: live, unknown_composition: invented}"


def day(**changes: str) -> KitchenDay:
    """A day of the small tapir park, changed by file."""
    return day_of(changes)


def day_of(changes: Mapping[str, str], on: date = ON, held: Sequence[str] = ()) -> KitchenDay:
    """The same on another day, or with groups held back."""
    collection = records.linked(records.small(**changes))
    groups = [group for group in collection.groups.values() if group.id not in held]
    kept = [collection.groups[name] for name in held]
    return kitchen_day(Kitchen(collection, ON), groups, on, kept)


def dishes(found: KitchenDay) -> list[Dish]:
    """Every dish of a day."""
    return [dish for one in found.groups for dish in one.dishes]


def drawn(found: KitchenDay, food: str) -> Draw:
    """The draw of a food."""
    return next(draw for draw in found.draws if draw.food.id == food)


def lines(*row: str) -> str:
    """A sheet of one meal; it is given morning and afternoon."""
    return records.sheet({"roots": row})


TWO = (
    "{id: T1, weighings: [{on: 2026-11-20, mass: 200 kg}], never: [carrots, grape]}",
    "{id: T2, weighings: [{on: 2026-11-20, mass: 150 kg}]}",
)


def test_each_shared_and_by_weight() -> None:
    found = day(
        group=records.group(animals=TWO),
        sheet=lines(
            "{food: carrot, amount: 600 g per animal}",
            "{food: carrot, amount: 500 g per group}",
            "{food: carrot, amount: 2 g per kg body mass}",
        ),
    )
    each, shared, by_weight = dishes(found)[:3]
    assert [(b.grams, b.times, b.shared) for b in each.bowls] == [(exact(600), exact(2), False)]
    assert [(b.grams, b.times, b.shared) for b in shared.bowls] == [(exact(500), exact(1), True)]
    assert [b.grams for b in by_weight.bowls] == [exact(400), exact(300)]
    # (2 × 600 + 500 + 700) g, morning and afternoon; 11 % waste: SR28, 11124
    carrot = drawn(found, "carrot")
    assert carrot.prepared == exact(4800)
    assert carrot.drawn == exact(5394)  # 4800 ÷ 0.89 = 5393.26


def test_only_those_named_and_who_is_away() -> None:
    animals = (TWO[0], "{id: T2, here_until: 2026-11-20}")
    found = day(
        group=records.group(animals=animals),
        sheet=lines(
            "{food: carrot, amount: 50 g per animal, for: [T1, T2]}",
            "{food: carrot, amount: 50 g per group, for: [T2]}",
        ),
    )
    some, nobody = dishes(found)[:2]
    assert (some.total, some.absent, some.kind) == (exact(50), ("T2",), "special")
    assert (nobody.bowls, nobody.absent) == ((), ("T2",))
    assert drawn(found, "carrot").prepared == exact(100)


def test_the_sites_own_waste_goes_before_the_tables() -> None:
    found = day(foods=records.foods(carrot="{same_as: carrot, waste: 20 to 50 %}"))
    assert drawn(found, "carrot").raw == between(1500, 2400)  # 1200 g ÷ 0.8 and ÷ 0.5
    assert drawn(found, "carrot").waste == Waste(between("0.2", "0.5"), is_own=True)
    table = drawn(day(), "carrot").waste
    assert table is not None
    assert not table.is_own
    all_waste = day(foods=records.foods(carrot="{same_as: carrot, waste: 100 %}"))
    assert not drawn(all_waste, "carrot").raw.is_bounded


def test_a_mix_is_weighed_out_whole_and_drawn_as_what_it_is_made_of() -> None:
    found = day(
        foods=records.foods(
            carrot="{same_as: carrot, waste: 0 %}",
            swede="{class: root vegetable, waste: 10 %, unknown_composition: invented}",
            inner="{name: Inner, mix: {carrot: 50 %, swede: 50 %}}",
            outer="{name: Outer, mix: {inner: 80 %, carrot: 20 %}}",
        ),
        sheet=lines("{food: outer, amount: 1 kg per animal}"),
    )
    assert {dish.food.id for dish in dishes(found)} == {"outer"}
    assert [draw.food.id for draw in found.draws] == ["carrot", "swede"]
    carrot, swede = found.draws
    assert (carrot.prepared, swede.prepared) == (exact(1200), exact(800))
    assert swede.drawn == exact(889)  # 800 ÷ 0.9 = 888.9
    assert {food.id: grams for food, grams in carrot.mixes.items()} == {
        "inner": exact(800),
        "outer": exact(400),
    }


def test_what_is_eaten_where_it_grows_is_fed_but_not_fetched() -> None:
    found = day(
        foods=records.foods(
            carrot="{same_as: carrot, waste: 0 %}",
            sward="{class: grass, form: growing, unknown_composition: invented}",
        ),
        sheet=lines(
            "{food: sward, amount: 1 kg per animal}", "{food: carrot, amount: 10 g per animal}"
        ),
    )
    assert {dish.food.id for dish in dishes(found)} == {"sward", "carrot"}
    assert [draw.food.id for draw in found.draws] == ["carrot"]


def test_ad_lib_is_a_range_with_what_is_expected() -> None:
    found = day(
        dietcheck=records.settings(more="ad_lib_spread: 50 %"),
        sheet=lines('{food: carrot, amount: "ad lib, expected 100 g per animal"}'),
    )
    carrot = drawn(found, "carrot")
    assert carrot.prepared == Interval(100, 300, 200)
    assert carrot.ad_lib


def test_grams_that_nobody_knows_stay_on_the_sheet_with_the_reason() -> None:
    found = day(
        group=records.group(animals=(TWO[0], "{id: T2}")),
        foods=records.foods(carrot="{same_as: carrot, waste: 0 %}", cricket=PIECES),
        sheet=lines(
            "{food: cricket, amount: 3 pieces per animal}",
            "{food: carrot, amount: 2 g per kg body mass}",
        ),
    )
    crickets, carrots = dishes(found)[:2]
    assert crickets.count == exact(6)
    assert crickets.gaps
    assert [bowl.grams.is_bounded for bowl in carrots.bowls] == [True, False]
    cricket, carrot = drawn(found, "cricket"), drawn(found, "carrot")
    assert cricket.counts == {"piece": exact(12)}
    assert cricket.raw.low == 0
    assert carrot.drawn.low == 800
    assert not cricket.raw.is_bounded
    assert not carrot.drawn.is_bounded
    assert carrot.gaps


def test_pieces_by_body_mass_are_counted_for_each_animal() -> None:
    """Five crickets for each kilogram: 1,000 for 200 kg and 750 for 150 kg."""
    found = day(
        group=records.group(animals=TWO),
        foods=records.foods(carrot="{same_as: carrot}", cricket=PIECES),
        sheet=lines("{food: cricket, amount: 5 pieces per kg body mass}"),
    )
    (crickets, *_) = dishes(found)
    assert [bowl.count for bowl in crickets.bowls] == [exact(1000), exact(750)]


def test_kinds_set_apart() -> None:
    found = day(
        foods=records.foods(
            carrot="{same_as: carrot}", chalk="{class: mineral, unknown_composition: invented}"
        ),
        sheet=records.sheet(
            {
                "roots": [
                    "{food: carrot, amount: 1 g per animal}",
                    "{food: carrot, amount: 1 g per animal, for: [T1]}",
                    "{food: carrot, amount: 1 g per animal, treat: training}",
                    "{food: carrot, amount: 1 g per animal, treat: medicine vehicle, for: [T1]}",
                ]
            },
            more="supplements: [{food: chalk, amount: 1 g per animal, with: [roots]}]",
        ),
    )
    kinds = [dish.kind for dish in dishes(found)[:5]]
    assert kinds == ["food", "special", "treat", "medicine", "supplement"]


def test_what_must_not_go_to_whom_says_when_it_is_planned_all_the_same() -> None:
    entry = "name: ivy, for: [Mammalia], severity: high, why: x, set_by: V, on: 2026-01-01"
    bars = f"do_not_feed: [{{{entry}}}]"
    changes = {"dietcheck": records.settings(more=bars), "group": records.group(animals=TWO)}
    own, site = day(**changes).groups[0].bars
    assert own.animal is not None
    assert (own.animal.id, own.names) == ("T1", ("carrots", "grape"))
    assert [food.id for food in own.given] == ["carrot"]
    assert (site.names, site.given) == (("ivy",), ())
    (kept, _) = day_of(changes, held=["tapir"]).bars
    assert (kept.animal, kept.given) == (own.animal, ())


@pytest.mark.parametrize(("fed", "given"), [("singly", []), ("together", ["carrot"])])
def test_what_stands_in_anothers_bowl_is_in_reach_unless_they_are_fed_singly(
    fed: str, given: list[str]
) -> None:
    found = day(
        group=records.group(animals=TWO).replace("fed: together", f"fed: {fed}"),
        sheet=lines("{food: carrot, amount: 50 g per animal, for: [T2]}"),
    )
    (bar,) = found.groups[0].bars
    assert [food.id for food in bar.given] == given


def test_what_the_site_bars_in_one_state_is_named_with_it() -> None:
    entry = (
        "name: carrot, form: cooked, part: leaf, for: [tapir, Aves], severity: high, why: x,"
        " set_by: V, on: 2026-01-01"
    )
    (bar,) = day(dietcheck=records.settings(more=f"do_not_feed: [{{{entry}}}]")).groups[0].bars
    assert (bar.names, [food.id for food in bar.given]) == (("carrot (cooked leaf)",), ["carrot"])
    other = entry.replace("tapir, ", "")
    assert day(dietcheck=records.settings(more=f"do_not_feed: [{{{other}}}]")).groups[0].bars == ()


def test_who_can_reach_the_food_is_looked_at_too() -> None:
    rhea = records.group("rhea", "Rhea americana", animals=("{id: R1, never: [carrot]}",))
    found = day(other=rhea)
    tapir = next(one for one in found.groups if one.group.id == "tapir")
    assert [group.id for group in tapir.reached_by] == ["rhea"]
    assert [(bar.group.id, bool(bar.given)) for bar in tapir.bars] == [("rhea", True)]


@pytest.mark.parametrize(
    ("name", "word", "same"),
    [
        ("Red grapes", "grape", True),
        ("Grapefruit", "grape", False),
        ("Tomatoes", "tomato", True),
        ("Cos lettuce", "COS", True),
        ("Carrot", "", False),
    ],
)
def test_names_match_by_whole_words(name: str, word: str, same: bool) -> None:
    entry = f"{{name: {name}, class: other, unknown_composition: invented}}"
    food = records.linked(records.small(foods=records.foods(carrot=entry))).foods["carrot"]
    force_setattr(food, "id", "x")
    assert is_called(food, [word]) is same


def test_foods_are_fetched_by_class_and_name_whatever_stands_first_on_the_sheet() -> None:
    """Some is always there and the rest is weighed out; grass is in the mix, and not fetched."""
    found = day(
        foods=records.foods(
            kale="{same_as: kale}",
            carrot="{same_as: carrot, waste: 0 %}",
            beetroot="{same_as: carrot, name: Beetroot, waste: 0 %}",
            apple="{same_as: apple}",
            sward="{class: grass, form: growing, unknown_composition: invented}",
            mixed="{mix: {sward: 50 %, carrot: 50 %}}",
        ),
        sheet=lines(
            "{food: kale, amount: 10 g per animal}",
            "{food: mixed, amount: 10 g per animal}",
            '{food: carrot, amount: "ad lib, expected 100 g per animal"}',
            "{food: beetroot, amount: 10 g per animal}",
            "{food: apple, amount: 10 g per animal}",
        ),
    )
    names = ["apple", "kale", "beetroot", "carrot"]  # fruit, leafy green, roots by name
    assert [draw.food.id for draw in found.draws] == names
    assert [draw.ad_lib for draw in found.draws] == [False, False, False, True]
    assert [group.id for group in drawn(found, "carrot").groups] == ["tapir"]
    assert list(drawn(found, "carrot").mixes.values()) == [exact(10)]
    wanted = order([day_of({}), found])
    assert [one.food.id for one in wanted] == [*names, "carrot"]
    assert [one.ad_lib for one in order([found, found])] == [False, False, False, True]


@pytest.mark.parametrize(
    ("waste", "prepared", "raw"),
    [("20 %", "1", "1.25"), ("0 %", "7", "7"), ("100 %", "0", "0"), ("75 %", "0", "0")],
)
def test_what_is_thrown_away_is_fetched_too(waste: str, prepared: str, raw: str) -> None:
    park = records.small(foods=records.foods(carrot=f"{{same_as: carrot, waste: {waste}}}"))
    carrot = records.linked(park).foods["carrot"]
    assert before_waste(carrot, exact(prepared)) == exact(raw)


@pytest.mark.parametrize(
    ("form", "frozen"), [("thawed", True), ("Frozen", True), ("live", False), ("cut", False)]
)
def test_what_comes_out_of_the_freezer(form: str, *, frozen: bool) -> None:
    foods = records.foods(carrot=f"{{same_as: carrot, form: {form}}}")
    assert is_frozen(records.linked(records.small(foods=foods)).foods["carrot"]) is frozen


def test_what_is_reckoned_stands_beside_what_is_printed() -> None:
    """1.236 g for each of two is printed as 1.24 g; together 2.472 g are meant."""
    found = day(
        group=records.group(animals=TWO), sheet=lines("{food: carrot, amount: 1.236 g per animal}")
    )
    dish = dishes(found)[0]
    assert (dish.total, dish.reckoned, dish.count) == (exact("2.48"), exact("2.472"), None)


FROZEN = {
    "foods": records.foods(
        carrot="{same_as: carrot}",
        rat="{class: whole prey, form: frozen-thawed, piece: 100 g, unknown_composition: invented}",
    ),
    "sheet": records.sheet(
        {
            "roots": ["{food: carrot, amount: 600 g per animal}"],
            "rats": ["{food: rat, amount: 2 pieces per animal}"],
        }
    ),
    "rota": records.rota(
        ["{morning: rats, afternoon: roots}", "{morning: roots, afternoon: roots}"]
    ),
}


def test_thaw_the_day_before() -> None:
    before, of = day(**FROZEN), day_of(FROZEN, ON + timedelta(days=1))
    assert [(d.food.id, d.drawn) for d in before.thaw] == [("rat", exact(200))]
    assert "rat" not in {draw.food.id for draw in before.draws}
    assert "rat" in {draw.food.id for draw in of.draws}
    assert of.thaw == ()


def test_a_next_day_without_a_plan_is_said() -> None:
    ends = records.rota(["{morning: roots, afternoon: roots}"] * 2, more="until: 2026-11-25")
    found = day(rota=ends)
    assert [group.id for group in found.thaw_unknown] == ["tapir"]
    assert day().thaw_unknown == ()


def test_an_order_is_the_sum_of_the_sheets() -> None:
    collection = records.linked(records.small(**FROZEN))
    kitchen = Kitchen(collection, ON)
    groups = list(collection.groups.values())
    days = [kitchen_day(kitchen, groups, ON + timedelta(days=n)) for n in range(4)]
    carrot, rat = order(days)
    assert (rat.first, rat.days, rat.drawn) == (date(2026, 11, 26), 2, exact(400))
    assert rat.counts == {"piece": exact(4)}
    assert (carrot.first, carrot.days) == (ON, 4)
    assert carrot.drawn.low == sum(drawn(one, "carrot").drawn.low for one in days)


def test_an_order_for_a_day_ad_lib_and_one_by_weight_is_only_what_is_expected() -> None:
    collection = records.linked(
        records.small(
            sheet=records.sheet(
                {
                    "much": ['{food: carrot, amount: "ad lib, expected 100 g per animal"}'],
                    "roots": ["{food: carrot, amount: 600 g per animal}"],
                }
            ),
            rota=records.rota(["{morning: much}", "{morning: roots}"]),
        )
    )
    kitchen, groups = Kitchen(collection, ON), list(collection.groups.values())
    days = [kitchen_day(kitchen, groups, ON + timedelta(days=n)) for n in range(2)]
    assert [draw.ad_lib for one in days for draw in one.draws] == [False, True]
    assert [one.ad_lib for one in order(days)] == [True]


amounts = st.decimals("0.01", "9999", places=2)
pers = st.sampled_from(["animal", "group", "kg body mass"])


@given(
    st.lists(st.tuples(amounts, pers), min_size=1, max_size=5),
    st.lists(st.decimals("0.1", "400", places=2), min_size=1, max_size=4),
    st.integers(0, 90),
)
def test_printed_portions_add_up_to_what_is_drawn(
    written: list[tuple[Decimal, str]], weights: list[Decimal], waste: int
) -> None:
    animals = [
        f"{{id: A{n}, weighings: [{{on: 2026-11-20, mass: {mass} kg}}]}}"
        for n, mass in enumerate(weights)
    ]
    found = day(
        group=records.group(animals=animals),
        foods=records.foods(carrot=f"{{same_as: carrot, waste: {waste} %}}"),
        sheet=lines(*(f"{{food: carrot, amount: {much} g per {per}}}" for much, per in written)),
    )
    (carrot,) = found.draws
    printed = sum(bowl.grams.low * bowl.times.low for dish in dishes(found) for bowl in dish.bowls)
    assert carrot.prepared == exact(Decimal(printed))
    left = carrot.drawn.low * (100 - waste) / 100
    assert left >= carrot.prepared.low * (1 - Decimal("1e-18"))
    assert carrot.drawn.low - carrot.raw.low <= carrot.raw.high / 100
    exactly = 2 * sum((m * _heads(per, weights) for m, per in written), Decimal())
    assert abs(printed - exactly) <= exactly * Decimal("0.005") + Decimal("1e-9")


def _heads(per: str, weights: list[Decimal]) -> Decimal:
    """By what an amount is multiplied for the whole group."""
    return {"animal": Decimal(len(weights)), "group": Decimal(1)}.get(per, sum(weights, Decimal()))


@given(st.decimals("0.000001", "1e9", allow_nan=False, allow_infinity=False))
def test_rounding_moves_little_and_drawing_never_down(value: Decimal) -> None:
    near, up = rounded(exact(value)), rounded_up(exact(value))
    allowed = min(value * Decimal("0.005"), Decimal("0.5"))
    assert abs(near.low - value) <= allowed * (1 + Decimal("1e-9"))
    assert up.low >= value * (1 - Decimal("1e-15"))
    assert rounded(near) == near


@given(amounts, st.integers(1, 99), st.integers(1, 99))
def test_ingredients_come_to_the_mix(grams: Decimal, outer: int, inner: int) -> None:
    collection = records.linked(
        records.small(
            foods=records.foods(
                carrot="{same_as: carrot}",
                kale="{same_as: kale}",
                pair=f"{{name: Pair, mix: {{carrot: {inner} %, kale: {100 - inner} %}}}}",
                whole=f"{{name: Whole, mix: {{pair: {outer} %, kale: {100 - outer} %}}}}",
            )
        )
    )
    parts = list(ingredients(collection.foods["whole"], exact(grams)))
    assert sum((part.low for _, part, _ in parts), Decimal(0)) == grams


def test_an_empty_group_makes_nothing() -> None:
    found = day(group=records.group(animals=("{id: T1, here_until: 2026-11-01}",)))
    one: GroupDay = found.groups[0]
    assert (one.present, found.draws) == ((), ())
    assert all(dish.bowls == () for dish in one.dishes)
