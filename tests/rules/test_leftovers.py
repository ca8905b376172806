"""What goats leave to a tapir, in small diets. Every figure is invented."""

from __future__ import annotations

from types import ModuleType

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import (
    fat_and_whole_prey,
    fruit_as_treat,
    individual_exclusion,
    leftovers,
    piece_size,
    reach,
    toxic_item,
)
from tests import records

GIVEN = {
    "carrot": "{same_as: carrot}",
    "grape": "{same_as: grape}",
    "onion": "{same_as: onion}",
    "mash": "{mix: {onion: 10 %, carrot: 90 %}}",
    "avocado": "{same_as: avocado}",
    "guacamole": "{mix: {avocado: 90 %, carrot: 10 %}}",
    "chick": "{same_as: carrot, class: whole prey}",
}


def said(
    entry: str,
    line: str = "{food: carrot, amount: 500 g per group}",
    rule: ModuleType = leftovers,
    tapir: str = "",
    more: str = "",
    group: str = "tapir",
    third: str = "Hill",
    species: str = "Tapirus terrestris",
) -> tuple[Check, ...]:
    """The checks on the tapir, to whom the goats of another enclosure leave something."""
    animal = f"{{id: T1, {tapir} weighings: [{{on: 2026-11-20, mass: 200 kg}}]}}"
    files = records.small(
        dietcheck=records.settings(more=more),
        group=records.group(animals=(animal,), species=species),
        foods=records.foods(**GIVEN),
        group2=records.group(
            id="goats", species="Capra hircus", enclosure="Yard",
            animals=("{id: G1, weighings: [{on: 2026-11-20, mass: 40 kg}]}",),
        ),
        group3=records.group(
            id="rhea", species="Rhea americana", enclosure=third,
            animals=("{id: R1, weighings: [{on: 2026-11-20, mass: 22 kg}]}",),
        ),
        sheet2=records.sheet({"rest": [line]}, "goats", more=f"leftovers: [{entry}]"),
        rota2=records.rota(["{morning: rest, afternoon: no feed}"] * 2, group="goats"),
    )  # fmt: skip
    outcome = outcome_of(rule, files, records.ON)
    assert not outcome.failures
    return checks_of(outcome, group)


def spoken(checks: tuple[Check, ...]) -> list[Check]:
    return [c for c in checks if c.verdict in (Verdict.BREACH, Verdict.CANNOT_TELL)]


def test_an_entry_that_leaves_nothing_open_is_kept() -> None:
    (check,) = said("{to: tapir, foods: [carrot], share: 0 to 20 %}")
    assert check.verdict is Verdict.KEPT


def test_a_group_to_which_nothing_is_left() -> None:
    (check,) = said("{to: goats, foods: [carrot], share: 20 %}")
    assert check.verdict is Verdict.NOT_APPLICABLE


@pytest.mark.parametrize(
    ("entry", "line", "verdict", "severity", "about"),
    [
        ("{to: tapir, foods: [carrot]}", "{food: carrot, amount: 500 g per group}",
         Verdict.CANNOT_TELL, Severity.LOW, "share not written"),
        ("{to: tapir, foods: [onoin], share: 20 %}", "{food: onion, amount: 500 g per group}",
         Verdict.CANNOT_TELL, Severity.MEDIUM, "food that the giver does not feed"),
        ("{to: tapir, foods: [chick], share: 20 %}", "{food: chick, amount: 50 g per group}",
         Verdict.BREACH, Severity.LOW, "meat, fish or egg passed on"),
        ("{to: tapir, foods: [grape], share: 20 %}", "{food: grape, amount: 50 g per group}",
         Verdict.BREACH, Severity.LOW, "fruit on top"),
        ("{to: tapir, foods: [carrot], share: 20 %}",
         "{food: carrot, amount: 500 g per group, medicine: {drug: paste, by: Dr Vale, "
         "from: 2026-11-20, until: 2026-12-20}}",
         Verdict.BREACH, Severity.MEDIUM, "carries paste"),
    ],
)  # fmt: skip
def test_what_the_record_leaves_open_or_passes_on(
    entry: str, line: str, verdict: Verdict, severity: Severity, about: str
) -> None:
    check = next(c for c in said(entry, line) if c.about.endswith(about))
    assert (check.verdict, check.severity) == (verdict, severity)
    assert check.places[0].file == "sheet2.yaml"
    assert "leftovers" in check.places[0].path
    assert check.advice


def test_a_group_of_birds_may_have_the_fruit() -> None:
    line = "{food: grape, amount: 50 g per group}"
    assert not spoken(said("{to: rhea, foods: [grape], share: 20 %}", line, group="rhea"))


def test_no_more_than_the_share_goes_there() -> None:
    line = (
        "{food: mash, amount: 500 g per group, medicine: {drug: paste, by: Dr Vale, "
        "from: 2026-11-20, until: 2026-12-20}}"
    )
    (check,) = spoken(said("{to: tapir, foods: [onion], share: 0 to 20 %}", line))
    assert check.working == ("onion: 0 to 10 g left over from one giving",)  # 500 × 10 % × 20 %


@pytest.mark.parametrize("food", ["avocado", "guacamole"])
def test_what_harms_them_is_found_for_them(food: str) -> None:
    line = f"{{food: {food}, amount: 500 g per group}}"
    found = spoken(
        said(f"{{to: rhea, foods: [{food}], share: 20 %}}", line, toxic_item, group="rhea")
    )
    assert [(c.food, c.severity) for c in found] == [("avocado", Severity.HIGH)]
    assert "left over by" in found[0].message
    assert "leftovers" in found[0].places[0].path
    assert not spoken(
        said("{to: rhea, foods: [carrot], share: 20 %}", line, toxic_item, group="rhea")
    )


def test_a_harmful_food_that_the_giver_does_not_feed_is_judged_all_the_same() -> None:
    found = spoken(said("{to: rhea, foods: [avocado], share: 20 %}", rule=toxic_item, group="rhea"))
    assert [c.food for c in found] == ["avocado"]


@pytest.mark.parametrize(("enclosure", "count"), [("Hill", 0), ("Paddock", 1)])
def test_who_shares_their_enclosure_gets_at_it_too(enclosure: str, count: int) -> None:
    line = "{food: avocado, amount: 500 g per group}"
    entry = "{to: tapir, foods: [avocado], share: 20 %}"
    assert len(spoken(said(entry, line, toxic_item, third=enclosure, group="rhea"))) == count


def test_the_lists_of_the_house_and_of_one_animal_hold() -> None:
    entry = "{to: tapir, foods: [carrot], share: 0 to 20 %}"
    house = (
        "do_not_feed: [{name: carrot, for: [tapir], severity: high, why: x, set_by: Dr Vale, "
        "on: 2026-01-01}]"
    )
    left = [c for c in said(entry, rule=toxic_item, more=house) if "left over by" in c.message]
    assert [c.severity for c in left] == [Severity.HIGH]
    (never,) = spoken(said(entry, rule=reach, tapir="never: [carrot],"))
    assert (never.severity, never.animals) == (Severity.HIGH, ("T1",))
    assert "left over by" in never.message
    assert {c.verdict for c in said(entry, rule=reach)} == {Verdict.NOT_APPLICABLE}


# Rules that first look whether a group has a kind of food at all, for an animal that has none of it
# but in what others leave. None of the carrots of its own sheet is fruit, prey or has a stone.


def left(check: Check) -> bool:
    return any("leftovers" in place.path for place in check.places)


def test_a_food_that_an_ill_animal_is_not_to_have() -> None:
    line = "{food: grape, amount: 50 g per group}"
    ill = {"entry": "{to: tapir, foods: [grape], share: 20 %}", "line": line}
    (check,) = spoken(said(**ill, rule=individual_exclusion, tapir="health: [diabetic],"))
    assert left(check)
    assert (check.food, check.animals) == ("grape", ("T1",))
    assert check.measured is not None
    assert check.measured.value.high == 10  # 50 g × 20 %
    # what its own list keeps from it is told once, by the rule on reach
    told = said(**ill, rule=individual_exclusion, tapir="health: [diabetic], never: [grape],")
    assert not spoken(told)


def test_fruit_that_is_no_treat() -> None:
    """Unflagged fruit for a mammal: nothing is the limit, and 10 g may come."""
    line = "{food: grape, amount: 50 g per group}"
    entry = "{to: tapir, foods: [grape], share: 20 %}"
    outside = [
        c for c in said(entry, line, fruit_as_treat)
        if c.limit and c.limit.quantity == "fruit-outside-treats"
    ]  # fmt: skip
    assert [c.verdict for c in outside] == [Verdict.CANNOT_TELL]
    assert left(outside[0])


def test_prey_may_come_on_each_day_of_the_rota() -> None:
    checks = said(
        "{to: tapir, foods: [chick], share: 20 %}", "{food: chick, amount: 50 g per group}",
        fat_and_whole_prey, species="Suricata suricatta",
    )  # fmt: skip
    feeds = next(c for c in checks if c.limit and c.limit.quantity == "whole-prey-feeds")
    assert feeds.measured is not None
    # over seven days, on each of which one feed of it may come or not
    assert (int(feeds.measured.value.low), int(feeds.measured.value.high)) == (0, 7)


def test_the_cut_it_was_given_in_is_held_against_the_one_that_gets_it() -> None:
    line = "{food: carrot, amount: 500 g per group, cut: sticks 6 cm}"
    entry = "{to: tapir, foods: [carrot], share: 20 %}"
    checks = spoken(said(entry, line, piece_size, species="Callithrix geoffroyi"))
    assert [c.verdict for c in checks if left(c)] == [Verdict.BREACH]
    assert not spoken(said("{to: rhea, foods: [carrot]}", line, piece_size, group="rhea"))
