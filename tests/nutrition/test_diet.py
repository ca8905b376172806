"""The days, windows, offers and reach of a group's diet. Everything is invented."""

from __future__ import annotations

from datetime import date, timedelta

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.nutrition.diet import Diet, diets_of
from dietcheck.quantities import Interval, exact
from tests import records


def hole_kinds(diet: Diet) -> set[str]:
    """The kinds of holes in the plan."""
    return {hole.kind for day in diet.days for hole in day.holes}


def test_two_weeks_fed_twice_a_day_are_28_meals() -> None:
    """A two-week rota fed twice a day is 28 meals: common practice, no source."""
    diet = records.diet(
        records.small(
            dietcheck=records.settings(rota_days=14),
            rota=records.rota(["{morning: roots, afternoon: roots}"] * 14),
        )
    )
    assert len(list(diet.servings(diet.animals[0]))) == 28
    (offer,) = diet.offers()
    assert len(offer.occasions) == 28


def test_pieces_offered_divide_among_the_animals() -> None:
    """Pieces offered divide among the animals of the group: common practice, no source."""
    animals = [f"{{id: T{n}, weighings: [{{on: 2026-11-20, mass: 200 kg}}]}}" for n in range(4)]
    diet = records.diet(
        records.small(
            group=records.group(animals=animals),
            foods=records.foods(carrot="{same_as: carrot, piece: 60 g}"),
            sheet=records.sheet({"roots": ["{food: carrot, amount: 8 pieces per group}"]}),
        )
    )
    ration = diet.day_ration(diet.animals[0], diet.days[0])
    assert ration.grams() == exact(2 * 2 * 60)
    assert diet.offers()[0].whole == exact(8 * 60)


def test_a_sheet_that_starts_later_is_judged_as_well() -> None:
    files = records.small()
    files["next.yaml"] = records.sheet(
        {"roots": ["{food: carrot, amount: 6 kg per animal}"]}, start="2026-12-10"
    )
    diet = records.diet(files)
    amounts = {offer.line.amount.text for offer in diet.offers()}
    assert amounts == {"600 g per animal", "6 kg per animal"}
    assert not hole_kinds(diet)


def test_a_rota_that_only_starts_next_month_is_judged() -> None:
    diet = records.diet(
        records.small(
            rota=records.rota(["{morning: roots, afternoon: roots}"] * 2, start="2026-12-20")
        )
    )
    assert diet.days[0].on == date(2026, 12, 20)


def test_a_treat_counts_once_and_only_on_its_day() -> None:
    files = records.small()
    files["treats.yaml"] = (
        "record: treats\ntreats:\n  - on: 2026-11-26\n    group: tapir\n"
        "    purpose: enrichment\n    items: [{food: carrot, amount: 50 g per animal}]\n"
    )
    diet = records.diet(files)
    grams = {day.on.isoformat(): diet.day_ration(diet.animals[0], day).grams() for day in diet.days}
    assert grams["2026-11-26"] == exact(1250)
    assert all(g == exact(1200) for day, g in grams.items() if day != "2026-11-26")
    totals = sorted(window.ration.grams().low for window in diet.rotas(diet.animals[0]))
    assert totals == [2400, 2400, 2450, 2450]


def test_a_rota_that_ends_leaves_days_without_one() -> None:
    files = records.small(
        rota=records.rota(["{morning: roots, afternoon: roots}"] * 2, more="until: 2026-11-30")
    )
    diet = records.diet(files)
    assert hole_kinds(diet) == {"no rota"}
    assert {day.on for day in diet.days if day.holes} == {date(2026, 12, 1), date(2026, 12, 2)}


def test_a_group_without_any_rota_has_no_days() -> None:
    files = records.small()
    del files["rota.yaml"]
    assert records.diet(files).days == ()


def test_slots_of_a_day_are_added_up_by_slot() -> None:
    files = records.small(rota=records.rota(["{morning: [roots, roots], afternoon: roots}"] * 2))
    diet = records.diet(files)
    by_slot = dict(diet.meal_rations(diet.animals[0], diet.days[0]))
    assert by_slot["morning"].grams() == exact(1200)
    assert by_slot["afternoon"].grams() == exact(600)


def test_food_of_a_shared_enclosure_and_of_a_named_neighbour_is_in_reach() -> None:
    files = records.small()
    files["rhea.yaml"] = records.group("rhea", "Rhea americana", ["{id: R1}"], "Paddock")
    files["wallaby.yaml"] = records.group("wallaby", "Osphranter rufus", ["{id: W1}"], "Hill")
    files["tapir-reach.yaml"] = files.pop("group.yaml").replace(
        "fed: together", "fed: together\nalso_reached_by: [wallaby]"
    )
    diets = diets_of(records.linked(files), records.ON)
    assert [o.line.food.id for o in diets["rhea"].reachable()] == ["carrot"]
    assert [o.line.food.id for o in diets["wallaby"].reachable()] == ["carrot"]
    assert diets["tapir"].reachable() == ()


@pytest.mark.parametrize("afternoon", ["more", "[more, roots]", "both"])
def test_what_is_for_one_animal_is_in_its_sums_alone(afternoon: str) -> None:
    """Everybody's roots in the morning, and in the afternoon 90 g for the second alone."""
    files = records.small(
        group=records.group(animals=["{id: T1}", "{id: T2}"]),
        sheet=records.sheet(
            {
                "roots": ["{food: carrot, amount: 600 g per animal}"],
                "more": ["{food: carrot, amount: 90 g per animal, for: [T2]}"],
                "both": [
                    "{food: carrot, amount: 600 g per animal}",
                    "{food: carrot, amount: 90 g per animal, for: [T2]}",
                ],
            }
        ),
        rota=records.rota([f"{{morning: roots, afternoon: {afternoon}}}"] * 2),
    )
    diet = records.diet(files)
    shared = 600 if afternoon == "more" else 1200
    for animal, grams in zip(diet.animals, (shared, shared + 90), strict=True):
        assert diet.day_ration(animal, diet.days[0]).grams() == exact(grams)
        (rota,) = diet.rotas(animal)
        assert rota.ration.grams() == exact(2 * grams)


def test_what_a_group_leaves_to_a_neighbour_whose_food_it_reaches_is_no_food_of_others() -> None:
    """Tapirs leave carrot to the rheas beside them, and the goats of the hill to both."""
    files = records.small(
        foods=records.foods(
            carrot="{same_as: carrot}", kale="{same_as: kale}", apple="{same_as: apple}"
        ),
        sheet=records.sheet(
            {"roots": ["{food: carrot, amount: 600 g per animal}"]},
            more="leftovers: [{to: rhea, foods: [carrot]}]",
        ),
        rhea=records.group("rhea", "Rhea americana", ["{id: R1}"]),
        rhea_sheet=records.sheet({"roots": ["{food: kale, amount: 1 g per animal}"]}, "rhea"),
        rhea_rota=records.rota(["{morning: roots}"] * 2, "rhea"),
        goat=records.group("goat", "Capra hircus", ["{id: G1}"], "Hill"),
        goat_sheet=records.sheet(
            {"roots": ["{food: apple, amount: 1 g per animal}"]},
            "goat",
            more="leftovers: [{to: rhea, foods: [apple]}, {to: tapir, foods: [apple]}]",
        ),
        goat_rota=records.rota(["{morning: roots}"] * 2, "goat"),
    )
    diets = diets_of(records.linked(files), records.ON)
    assert [len(diets[name].leavings()) for name in ("tapir", "rhea", "goat")] == [1, 2, 0]
    assert [o.line.food.id for o in diets["tapir"].reachable()] == ["kale", "apple", "apple"]
    assert [o.line.food.id for o in diets["tapir"].given()] == ["carrot", "apple"]
    tapir = diets["tapir"]
    (left,) = tapir.days[0].received
    assert (left.food.id, left.amount.ad_lib) == ("apple", False)
    grams_of = tapir.day_ration(tapir.animals[0], tapir.days[0]).grams_of
    assert grams_of[left.food] == Interval(0, 1)


def test_an_animal_counts_until_the_end_of_its_last_day() -> None:
    leaves = [f"{{id: T{n}, here_until: 2026-11-{n}}}" for n in (24, 25, 26)]
    diet = records.diet(records.small(group=records.group(animals=leaves)))
    assert [animal.id for animal in diet.animals] == ["T25", "T26"]


@settings(max_examples=25, deadline=None)
@given(
    st.integers(1, 21),
    st.dates(date(2026, 1, 1), date(2028, 12, 31)),
    st.integers(-60, 120),
)
def test_any_rota_length_start_and_day_gives_one_whole_cycle(
    length: int, start: date, offset: int
) -> None:
    files = records.small(
        dietcheck=records.settings(rota_days=length),
        sheet=records.sheet(
            {
                f"meal{n}": [f"{{food: carrot, amount: {n + 1} g per animal}}"]
                for n in range(length)
            },
            start="2025-01-01",
        ),
        rota=records.rota(
            [f"{{morning: meal{n}, afternoon: no feed}}" for n in range(length)],
            start=start.isoformat(),
        ),
    )
    on = start + timedelta(days=offset)
    diet = records.diet(files, on=on)
    assert [day.number for day in diet.days] == list(range(1, length + 1))
    if offset >= 0:
        assert diet.days[0].on <= on < diet.days[0].on + timedelta(days=length)
    else:
        assert diet.days[0].on == start
    (window,) = diet.rotas(diet.animals[0])
    assert window.ration.grams() == exact(length * (length + 1) // 2)


def test_days_before_a_change_that_has_happened_are_history() -> None:
    """The sheet changed on the 24th; what was fed before it is not judged on the 25th."""
    files = records.small(
        dietcheck=records.settings(rota_days=14),
        rota=records.rota(["{morning: roots, afternoon: roots}"] * 14),
    )
    files["now.yaml"] = records.sheet(
        {"roots": ["{food: carrot, amount: 1 g per animal}"]}, start="2026-11-24"
    )
    diet = records.diet(files)
    assert {offer.line.amount.text for offer in diet.offers()} == {"1 g per animal"}
    assert [day.number for day in diet.days] == [9, 10, 11, 12, 13, 14, 1, 2, 3, 4, 5, 6, 7, 8]
