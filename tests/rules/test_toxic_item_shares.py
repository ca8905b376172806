"""Items that harm in quantity, by their share of the greens; and what the house does not feed. To
10 % of the greens is kept for tortoises (expert convention, from memory), most of them is medium
(common practice). Amounts are invented."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.quantities import exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import toxic_item
from tests import records
from tests.rules.worked import figures, steps

TORTOISE, TAPIR = "Aldabrachelys gigantea", "Tapirus terrestris"
BREACH, KEPT, OPEN = Verdict.BREACH, Verdict.KEPT, Verdict.CANNOT_TELL
FOODS = {
    "spinach": "{same_as: spinach}",
    "chard": "{same_as: chard}",
    "dandelion": "{same_as: dandelion-leaves}",
    "hay": "{same_as: hay-timothy-midbloom}",
    "salad": "{mix: {spinach: 50 %, dandelion: 50 %}}",
    "swede": "{same_as: swede}",
    "cabbage": "{name: x, organism: Brassica napus, part: leaf, unknown_composition: x}",
    "rape": "{name: x, organism: Brassica napus napus, part: root, unknown_composition: x}",
    "turnip": "{name: x, organism: Brassica rapa, part: root, unknown_composition: x}",
    "mash": "{mix: {swede: 50 %, hay: 50 %}}",
}


def fed(*foods: tuple[str, object]) -> list[str]:
    """The lines of one meal: a food with its grams, and for whom if anybody."""
    lines = []
    for name, grams in foods:
        food, _, whom = name.partition("@")
        more = f", for: [{whom}]" if whom else ""
        lines.append(f"{{food: {food}, amount: {grams} g per animal{more}}}")
    return lines


def said(
    meals: Mapping[str, Sequence[tuple[str, object]]],
    days: Sequence[str],
    *,
    species: str = TORTOISE,
    heads: Any = 1,
    settings: str = "",
    **more: str,
) -> list[Check]:
    herd = [f"{{id: A{n}, weighings: [{{on: 2026-11-20, mass: 90 kg}}]}}"
            for n in range(1, heads + 1)]  # fmt: skip
    files = {
        "dietcheck": records.settings(rota_days=len(days), more=settings),
        "group": records.group(species=species, animals=herd),
        "foods": records.foods(**FOODS),
        "sheet": records.sheet({name: fed(*foods) for name, foods in meals.items()}),
        "rota": records.rota(days),
    }
    outcome = outcome_of(toxic_item, records.small(**{**files, **more}), records.ON)
    assert not outcome.failures
    return list(checks_of(outcome, "tapir"))


MEAL, BOTH = "{morning: first, afternoon: no feed}", "{morning: first, afternoon: second}"


def by_item(checks: Sequence[Check]) -> Check:
    """The check on the tenth of the greens."""
    (check,) = [c for c in checks if "from high-oxalate-greens" in c.about]
    return check


def test_a_share_is_of_the_greens_alone_and_mixes_are_taken_apart() -> None:
    """11 of 100 g of greens, whatever hay there is; 22 g of salad hold 11 of spinach."""
    for foods in (
        (("spinach", 11), ("dandelion", 89), ("hay", 900)),
        (("salad", 22), ("dandelion", 78), ("hay", 900)),
        (("salad", 10), ("spinach", 6), ("dandelion", 84), ("hay", 900)),
    ):
        check = by_item(said({"first": foods}, [MEAL]))
        assert check.verdict is BREACH
        assert check.measured is not None
        assert check.measured.value == exact(11)
        assert check.food == "spinach"
        assert check.advice
        assert check.settles == ""
        assert figures(check.working[0])[-1] == "11"
        assert figures(check.message)[1] == "11"


def test_a_share_that_is_kept_asks_for_nothing() -> None:
    check = by_item(said({"first": (("spinach", 10), ("dandelion", 90))}, [MEAL]))
    assert check.verdict is KEPT
    assert check.measured is not None
    assert check.measured.value == exact(10)
    assert (check.advice, check.settles, check.occasions) == ("", "", ())
    named = said({"first": (("spinach-beet", 5), ("dandelion", 95))}, [MEAL])
    assert not [c for c in named if c.verdict in (BREACH, OPEN)]  # little of it, whatever it is
    tiny = by_item(said({"first": (("spinach", "0.5"), ("dandelion", "3.5"))}, [MEAL]))
    assert tiny.verdict is BREACH


def test_one_day_inside_clears_no_other() -> None:
    meals = {"first": (("spinach", 5), ("dandelion", 95)),
             "second": (("spinach", 30), ("dandelion", 70))}  # fmt: skip
    check = by_item(said(meals, [MEAL, "{morning: second, afternoon: no feed}"]))
    assert check.verdict is BREACH
    assert check.measured is not None
    assert check.measured.value == exact("17.5")


def test_only_feeds_with_the_food_are_its_occasions() -> None:
    """30 % on the second day alone is 15 % over the rota."""
    meals = {"first": (("dandelion", 100),), "second": (("spinach", 30), ("dandelion", 70))}
    days = [MEAL, "{morning: second, afternoon: no feed}"]
    check = by_item(said(meals, days))
    assert check.verdict is BREACH
    assert check.measured is not None
    assert check.measured.value == exact(15)
    assert {(when.number, when.slot) for when in check.occasions} == {(2, "morning")}
    assert check.places[0].path[1] == "second"


def test_two_foods_of_one_item_are_named_together() -> None:
    foods = (("spinach", 6), ("chard", 6), ("dandelion", 88))
    check = by_item(said({"first": foods}, [MEAL]))
    assert check.food is None
    assert "chard, spinach" in check.message
    assert check.measured is not None
    assert check.measured.value == exact(12)
    assert len(check.places) == 2


def test_an_animal_that_gets_more_of_it_stands_alone() -> None:
    foods = (("spinach@A2", 20), ("dandelion", 80))
    check = by_item(said({"first": foods}, [MEAL], heads=2))
    assert (check.verdict, check.animals) == (BREACH, ("A2",))
    assert check.measured is not None
    assert check.measured.value == exact(20)


def test_a_range_of_amounts_asks_for_a_narrower_one() -> None:
    check = by_item(said({"first": (("spinach", "5 to 15"), ("dandelion", 90))}, [MEAL]))
    assert check.verdict is OPEN
    assert "narrower" in check.settles
    named = said({"first": (("spinach-beet", 30), ("dandelion", 70))}, [MEAL])
    assert any(c.verdict is OPEN and "narrower" not in c.settles for c in named)


@pytest.mark.parametrize(("weeks", "severity"), [(1, Severity.MEDIUM), (0, Severity.LOW)])
def test_most_of_the_greens_of_one_week_is_medium(weeks: int, severity: Severity) -> None:
    """60 % for seven days running, or every other day, of fourteen: 30 % of the rota."""
    meals = {"first": (("dandelion", 100),), "second": (("spinach", 60), ("dandelion", 40))}
    other = "{morning: second, afternoon: no feed}"
    days = [other] * 7 + [MEAL] * 7 if weeks else [other, MEAL] * 7
    checks = said(meals, days)
    worst = min((c for c in checks if c.verdict is BREACH), key=lambda c: c.severity.rank)
    assert worst.severity is severity
    if weeks:
        assert worst.measured is not None
        assert worst.measured.value == exact(60)
        assert len({when.on for when in worst.occasions}) >= 7


# -- the house list --------------------------------------------------------------------------------


def house(more: str = "organism: Brassica napus, part: root", whom: str = "Tapiridae") -> str:
    return (
        f"do_not_feed: [{{name: swede, {more}, for: [{whom}], severity: high, why: choked once,"
        " set_by: Dr Vale, on: 2026-01-01}]"
    )


@pytest.mark.parametrize(
    ("food", "entry", "verdict"),
    [
        ("swede", house(), BREACH),
        ("swede", house(whom="Rodentia, Tapiridae"), BREACH),
        ("swede", house(whom="tapir"), BREACH),
        ("swede", house(whom="Rodentia"), None),
        ("cabbage", house(), None),  # a leaf
        ("cabbage", house("organism: Brassica"), BREACH),  # the genus
        ("rape", house(), BREACH),  # a form of the species
        ("turnip", house(), None),
        ("turnip", house("part: root"), None),
        ("swede", house("part: root"), BREACH),  # by its name
        ("swede", house("organism: Brassica napus, form: dried"), None),
        ("swede", house("organism: Brassica napus, form: raw"), BREACH),
        ("cabbage", house("organism: Brassica napus, form: raw"), OPEN),
        ("swede", house("organism: Brassica napus, part: gubbins, form: raw"), OPEN),
    ],
)
def test_what_the_house_does_not_feed(food: str, entry: str, verdict: Verdict | None) -> None:
    checks = said({"first": ((food, 100),)}, [MEAL], species=TAPIR, settings=entry)
    listed = [check for check in checks if check.about.startswith("house list")]
    assert [check.verdict for check in listed] == ([verdict] if verdict else [])
    for check in listed:
        assert check.severity is (Severity.HIGH if verdict is BREACH else Severity.MEDIUM)
        assert bool(check.settles) is (verdict is OPEN)
        assert " in " not in check.message.partition(", which")[0].partition('"swede"')[0]


def test_what_the_house_does_not_feed_is_found_in_mixes_and_at_the_neighbours() -> None:
    inside = said({"first": (("mash", 100),)}, [MEAL], species=TAPIR, settings=house())
    (check,) = [c for c in inside if c.about.startswith("house list")]
    assert '"swede" in mash' in check.message
    assert check.about == "house list: swede"
    other = {
        "group2": records.group(id="goats", species="Capra hircus", animals=("{id: G1}",)),
        "sheet2": records.sheet({"first": fed(("swede", 10))}, group="goats"),
        "rota2": records.rota([MEAL], group="goats"),
    }
    beside = said({"first": (("hay", 9),)}, [MEAL], species=TAPIR, settings=house(), **other)
    (check,) = [c for c in beside if c.about.startswith("house list")]
    assert "laid out for" in check.message
    assert "laid out for" in check.about


# -- thiamin ---------------------------------------------------------------------------------------

FISH = {
    "herring": "{same_as: herring}",
    "tablet": "{class: supplement, label: {basis: as fed, thiamin: 12000 mg/kg}}",
    "chalk": "{class: supplement, label: {basis: as fed, thiamin: 0 mg/kg}}",
    "trace": "{class: supplement, label: {basis: as fed, thiamin: 5 mg/kg}}",
    "dusted": "{mix: {herring: 99 %, tablet: 1 %}}",
    "liver": "{class: offal, label: {basis: as fed, thiamin: 9 mg/kg}}",
}


@pytest.mark.parametrize(
    ("beside", "days"),
    [("tablet", 1), ("trace", 1), ("chalk", 2), ("dusted", 1), ("liver", 2)],
)
def test_the_days_without_thiamin_are_counted(beside: str, days: int) -> None:
    meals = {"first": (("herring", 100), (beside, 1)), "second": (("herring", 100),)}
    checks = said(meals, [MEAL, "{morning: second, afternoon: no feed}"],
                  species="Spheniscus humboldti", foods=records.foods(**FISH))  # fmt: skip
    notes = [c for c in checks if c.about.endswith("without thiamin") and c.food == "herring"]
    (note,) = notes
    assert (note.verdict in (BREACH, OPEN), note.severity) == (True, Severity.LOW)
    assert f"on {days} of the judged days" in note.message
    assert len(note.occasions) == days
    assert steps(note.working)


def test_fish_with_thiamin_every_day_and_a_neighbour_s_fish_are_no_note() -> None:
    penguin = {"species": "Spheniscus humboldti", "foods": records.foods(**FISH)}
    every = said({"first": (("herring", 100), ("tablet", 1))}, [MEAL], **penguin)
    kept = [c for c in every if c.about.endswith("without thiamin")]
    assert [c.verdict for c in kept] == [KEPT]
    other = {
        "group2": records.group(id="seals", species="Phoca vitulina", animals=("{id: S1}",)),
        "sheet2": records.sheet({"first": fed(("herring", 10))}, group="seals"),
        "rota2": records.rota([MEAL], group="seals"),
    }
    beside = said({"first": (("liver", 9),)}, [MEAL], **penguin, **other)
    assert not [c for c in beside if c.about.endswith("without thiamin")]
