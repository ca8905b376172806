"""What a group is left by another counts in its sums. Animals and amounts are invented."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from dietcheck.contract import Check, Verdict
from dietcheck.history.difference import differences
from dietcheck.history.digest import content_digest
from dietcheck.nutrition.diet import Diet, diets_of
from dietcheck.quantities import UNKNOWN, Interval
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import sugar_ceiling
from tests import records

FOODS = {
    "hay": "{class: hay, unknown_composition: invented}",
    "roots": "{mix: {carrot: 40 %, hay: 60 %}}",
    "carrot": "{same_as: carrot}",
    "sugar-cane": "{class: sweetener, label: {basis: as fed, sugars: 90 %, water: 5 %}}",
}


def files(entry: str, lines: list[str], back: str = "") -> dict[str, str]:
    """Two tapirs with hay, to whom two goats leave something; the goats eat on odd days only."""
    two = [f"{{id: {{}}{n}, weighings: [{{on: 2026-11-20, mass: 40 kg}}]}}" for n in (1, 2)]
    return records.small(
        group=records.group(animals=[one.replace("{}", "T") for one in two]),
        foods=records.foods(**FOODS),
        sheet=records.sheet({"roots": ["{food: hay, amount: 1 kg per animal}"]}, more=back),
        group2=records.group(
            id="goats", species="Capra hircus", enclosure="Yard",
            animals=[one.replace("{}", "G") for one in two],
        ),
        sheet2=records.sheet({"rest": lines}, "goats", more=f"leftovers: [{entry}]"),
        rota2=records.rota(
            ["{morning: rest, afternoon: rest}", "{fast: planned}"], group="goats"
        ),
    )  # fmt: skip


def diet_of(entry: str, lines: list[str], group: str = "tapir", back: str = "") -> Diet:
    """The diet of one of the groups."""
    return diets_of(records.linked(files(entry, lines, back)), records.ON)[group]


def eaten(diet: Diet, food: str) -> list[Interval]:
    """Grams of a food that the first animal is offered on each day of the rota."""
    animal = diet.animals[0]
    zero = Interval(0, 0)
    found = []
    for day in diet.days:
        grams = diet.day_ration(animal, day).grams_of
        found.append(next((g for f, g in grams.items() if f.id == food), zero))
    return found


def test_from_nothing_to_the_share_on_the_days_it_is_laid_out() -> None:
    diet = diet_of(
        "{to: tapir, foods: [carrot], share: 0 to 25 %}",
        ["{food: carrot, amount: 100 g per animal}", "{food: roots, amount: 500 g per group}"],
    )
    # a feed lays out 2 × 100 + 500 × 40 % = 400 g, two feeds 800 g; a quarter of it for two tapirs
    assert eaten(diet, "carrot") == [Interval(0, 100), Interval(0, 0)]


def test_no_share_is_anything_up_to_all_of_it() -> None:
    diet = diet_of("{to: tapir, foods: [carrot]}", ["{food: carrot, amount: 100 g per animal}"])
    assert eaten(diet, "carrot") == [Interval(0, 200), Interval(0, 0)]


def test_what_the_giver_never_feeds_is_in_no_sum() -> None:
    diet = diet_of("{to: tapir, foods: [carrot]}", ["{food: hay, amount: 100 g per animal}"])
    assert eaten(diet, "carrot") == [Interval(0, 0)] * 2
    assert [leaving.strays[0].id for leaving in diet.leavings()] == ["carrot"]


def test_a_giver_whose_record_cannot_be_used_stops_nobody() -> None:
    held = files("{to: tapir, foods: [carrot]}", ["{food: carrot, amount: 1 g per animal}"])
    held["group2.yaml"] = held["group2.yaml"].replace("Capra hircus", "Capra hirkus")
    diet = diets_of(records.linked(held), records.ON)["tapir"]
    assert eaten(diet, "carrot") == [Interval(0, 0), Interval(0, 0)]


def test_what_changes_for_the_giver_is_judged_for_those_it_leaves_something_to() -> None:
    entry = "{to: tapir, foods: [carrot]}"
    held = files(entry, ["{food: carrot, amount: 1 g per animal}"])
    held["sheet3.yaml"] = held["sheet2.yaml"].replace("2026-01-01", "2026-12-10")
    diet = diets_of(records.linked(held), records.ON)["tapir"]
    assert "2026-12-10" in {day.on.isoformat() for day in diet.days}


@pytest.mark.parametrize("gone", ["group", "sheet"])
def test_a_giver_that_is_not_there_or_has_no_sheet_leaves_nothing(gone: str) -> None:
    held = files("{to: tapir, foods: [carrot]}", ["{food: carrot, amount: 1 g per animal}"])
    held["sheet2.yaml"] += "until: 2026-11-20\n" if gone == "sheet" else ""
    park = records.linked(held)
    if gone == "group":
        park = replace(park, groups={"tapir": park.groups["tapir"]})
    diet = diets_of(park, records.ON)["tapir"]
    assert (diet.leavings(), eaten(diet, "carrot")) == ((), [Interval(0, 0)] * 2)


def test_only_what_the_sheet_lays_out_is_left_and_no_treat() -> None:
    held = files("{to: tapir, foods: [carrot]}", ["{food: carrot, amount: 100 g per animal}"])
    held["treats.yaml"] = (
        "record: treats\ntreats:\n  - {on: 2026-11-26, group: goats, purpose: training,"
        " items: [{food: carrot, amount: 7 g per animal}]}\n"
    )
    diet = diets_of(records.linked(held), records.ON)["tapir"]
    (leaving,) = diet.leavings()
    (offer,) = leaving.offers
    assert (offer.whole, offer.leftover) == (Interval(0, 200), True)
    (left,) = diet.day(date(2026, 11, 26)).received
    assert left.amount.quantity == Interval(0, 400)  # two feeds


def test_a_food_that_is_not_fed_is_left_on_the_days_of_the_sheet_that_leaves_it() -> None:
    held = files("{to: tapir, foods: [carrot]}", ["{food: hay, amount: 1 g per animal}"])
    held["sheet3.yaml"] = held["sheet2.yaml"].replace("2026-01-01", "2026-12-10")
    first, second = diets_of(records.linked(held), records.ON)["tapir"].leavings()
    for leaving, later in ((first, False), (second, True)):
        (offer,) = leaving.offers
        assert {when.on.isoformat() >= "2026-12-10" for when in offer.occasions} == {later}
        assert (offer.whole, offer.leftover) == (UNKNOWN, True)
        assert not offer.line.amount.ad_lib


def test_what_came_as_a_leftover_is_not_passed_on() -> None:
    """Each leaves all of its carrot to the other; neither sum goes round in circles."""
    back = "leftovers: [{to: goats, foods: [carrot, hay]}]"
    lines = ["{food: carrot, amount: 100 g per animal}"]
    entry = "{to: tapir, foods: [carrot]}"
    assert eaten(diet_of(entry, lines, back=back), "carrot")[0] == Interval(0, 200)
    goats = diet_of(entry, lines, "goats", back)
    assert eaten(goats, "carrot")[0] == Interval(200, 200)
    assert eaten(goats, "hay")[0] == Interval(0, 2000)  # two feeds of 1 kg for each of two tapirs


def test_the_feeds_of_the_rota_stay_its_own() -> None:
    diet = diet_of("{to: tapir, foods: [carrot]}", ["{food: carrot, amount: 100 g per animal}"])
    animal = diet.animals[0]
    assert {p.food.id for s in diet.servings(animal) for p in (s.portion,)} == {"hay"}
    assert {offer.line.food.id for offer in diet.offers()} == {"hay"}
    slots = [slot for slot, _ in diet.meal_rations(animal, diet.days[0])]
    assert len(slots) == 3  # morning, afternoon, and what is left over


shares = st.integers(0, 100)


@given(shares, shares)
def test_more_left_over_never_lowers_a_sum(one: int, other: int) -> None:
    low, high = sorted((one, other))
    lines = ["{food: carrot, amount: 100 g per animal}"]
    few, many, none = (
        diet_of(f"{{to: tapir, foods: [carrot], share: {share} %}}", lines)
        for share in (low, high, 0)
    )
    totals = [
        [diet.day_ration(diet.animals[0], day).total("sugars") for day in diet.days]
        for diet in (none, few, many)
    ]
    for nothing, less, more in zip(*totals, strict=True):
        assert nothing.low == less.low == more.low
        assert nothing.high <= less.high <= more.high
    assert few.days[0].received == () or low > 0


def sugar(share: str) -> list[Check]:
    """What the rule on sugar says of the tapirs, whose own hay is known to hold little."""
    texts = files(
        f"{{to: tapir, foods: [sugar-cane], share: {share}}}",
        ["{food: sugar-cane, amount: 400 g per animal}"],
    )
    poor = "{class: hay, label: {basis: as fed, sugars: 2 %, water: 10 %}}"
    texts["foods.yaml"] = records.foods(**{**FOODS, "hay": poor}).replace(
        "sugar_cane", "sugar-cane"
    )
    limit = (
        "record: limits\nlimits:\n  - {group: tapir, quantity: sugars, severity: medium, "
        "at_most: 10 % of dry matter, over: day, why: invented, "
        "set_by: Dr Vale, on: 2026-01-01, source: site rule}\n"
    )
    outcome = outcome_of(sugar_ceiling, {**texts, "limits.yaml": limit}, records.ON)
    assert not outcome.failures
    return [c for c in checks_of(outcome, "tapir") if c.verdict is not Verdict.NOT_APPLICABLE]


def test_a_ceiling_holds_only_if_it_holds_with_all_of_it() -> None:
    # hay alone: 2 ÷ 90 = 2.2 % of dry matter is sugar; with 1 % of two feeds of 2 × 400 g, 8 g a
    # tapir: (40 + 7.2) ÷ (1800 + 7.6) = 2.6 %; with all of it (40 + 720) ÷ (1800 + 760) = 30 %
    assert {c.verdict for c in sugar("1 %")} == {Verdict.KEPT}
    assert Verdict.CANNOT_TELL in {c.verdict for c in sugar("100 %")}


def test_a_ceiling_that_leftovers_may_pass_points_at_the_line_that_leaves_them() -> None:
    open_ = next(c for c in sugar("100 %") if c.verdict is Verdict.CANNOT_TELL)
    assert [(p.file, p.path) for p in open_.places if p.path[:1] == ("leftovers",)] == [
        ("sheet2.yaml", ("leftovers", 0, "foods", 0, "amount"))
    ]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("share: 20 %", "share: 30 %"),
        ("100 g per animal", "150 g per animal"),
        ("foods: [carrot]", "foods: [roots]"),
    ],
)
def test_the_receivers_signature_covers_what_it_is_left(old: str, new: str) -> None:
    texts = files(
        "{to: tapir, foods: [carrot], share: 20 %}", ["{food: carrot, amount: 100 g per animal}"]
    )
    changed = {name: text.replace(old, new) for name, text in texts.items()}
    day = records.ON - timedelta(days=1)
    digests = [content_digest(records.linked(one), "tapir", day) for one in (texts, changed)]
    assert digests[0] != digests[1]


def test_a_later_sheet_of_the_giver_that_leaves_the_same_keeps_the_signature() -> None:
    lines = ["{food: carrot, amount: 100 g per animal}", "{food: hay, amount: 1 kg per animal}"]
    texts = files("{to: tapir, foods: [carrot], share: 20 %}", lines)
    later = texts["sheet2.yaml"].replace("2026-01-01", "2026-12-01").replace("1 kg", "2 kg")
    more = later.replace("share: 20 %", "share: 30 %")
    digests = [
        content_digest(records.linked({**texts, **one}), "tapir", records.ON)
        for one in ({}, {"sheet3.yaml": later}, {"sheet3.yaml": more})
    ]
    assert digests[0] == digests[1] != digests[2]


def test_a_giver_that_changes_something_else_leaves_the_signature_alone() -> None:
    lines = ["{food: carrot, amount: 100 g per animal}", "{food: hay, amount: 1 kg per animal}"]
    texts = files("{to: tapir, foods: [carrot], share: 20 %}", lines)
    changed = dict(texts)
    changed["sheet2.yaml"] = texts["sheet2.yaml"].replace("1 kg per animal", "2 kg per animal")
    assert changed != texts
    digests = [content_digest(records.linked(one), "tapir", records.ON) for one in (texts, changed)]
    assert digests[0] == digests[1]


def told(old: str, new: str) -> list[str]:
    """How a signature's words tell a change in the goats' sheet to those who look after tapirs."""
    texts = files(
        "{to: tapir, foods: [carrot], share: 20 %}", ["{food: carrot, amount: 100 g per animal}"]
    )
    changed = {name: text.replace(old, new) for name, text in texts.items()}
    before, after = records.linked(texts), records.linked(changed)
    return list(differences(before, after, "tapir", records.ON))


def test_a_change_of_what_is_left_is_told_in_words() -> None:
    name = "carrot left over by goats"
    assert told("share: 20 %", "share: 30 %") == [f"{name}, share: 20 % → 30 %"]
    assert told(", share: 20 %", "") == [f"{name}, share: 20 % → not given"]
    assert told("100 g per animal", "90 g per animal") == [
        f"{name}: what it is left from has changed"
    ]
    assert told("leftovers: [{to: tapir, foods: [carrot], share: 20 %}]", "") == [
        f"{name}: taken out"
    ]
    assert told("foods: [carrot]", "foods: [hay]") == [
        f"{name}: taken out", "hay left over by goats: new"
    ]  # fmt: skip
