"""Meat with bone or calcium, insects with calcium. Foods and animals are invented."""

from __future__ import annotations

from collections.abc import Sequence

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import required_supplement
from tests import records

FOODS = {
    "mince": "{same_as: beef-mince}",  # 18 mg calcium and 158 mg phosphorus in 100 g (SR28)
    "heart": "{same_as: beef-heart}",
    "ribs": "{class: meat, part: meat with bone, label: {basis: as fed, moisture: 60 %}}",
    "boneless": "{class: meat, part: boneless, label: {basis: as fed, moisture: 60 %}}",
    "ground_carcass": "{class: meat, label: {basis: as fed, moisture: 60 %, calcium: 1 %,"
    " phosphorus: 0.6 %}}",
    "mouse": "{same_as: prey-mouse-adult}",
    "carrot": "{same_as: carrot}",
    "feed": "{class: compound feed, label: {basis: as fed, moisture: 10 %, calcium: 1 %}}",
    "mute_feed": "{class: compound feed, label: {basis: as fed, moisture: 10 %}}",
    "powder": "{class: supplement, label: {basis: as fed, moisture: 0 %, calcium: 38 %,"
    " phosphorus: 0 %}}",
    "mute_powder": "{class: supplement, label: {basis: as fed, moisture: 0 %}}",
    "vitamins": "{class: supplement, label: {basis: as fed, moisture: 0 %, calcium: 0 %,"
    " phosphorus: 0 %}}",
    "sausage": "{mix: {mince: 60 %, carrot: 40 %}}",
    # Crickets about 1 to 9 (incident I12)
    "crickets": "{class: insect, label: {basis: as fed, moisture: 70 %, calcium: 0.03 %,"
    " phosphorus: 0.27 %}}",
    "grubs": "{class: insect, label: {basis: as fed, moisture: 70 %, calcium: 0.9 %,"
    " phosphorus: 0.3 %}}",
    "mute_insects": "{class: insect, label: {basis: as fed, moisture: 70 %}}",
    "greens": "{class: leafy green, label: {basis: as fed, moisture: 90 %, calcium: 0.2 %,"
    " phosphorus: 0.05 %}}",
    "roots": "{class: root vegetable, label: {basis: as fed, moisture: 90 %, calcium: 0.02 %,"
    " phosphorus: 0.05 %}}",
    "plain": "{class: vegetable, label: {basis: as fed, moisture: 90 %}}",
}
CAT, DOG, DRAGON = "Panthera leo", "Lycaon pictus", "Pogona vitticeps"


def said(
    species: str, *meals: Sequence[str], more: dict[str, str] | None = None
) -> tuple[Check, ...]:
    """What the rule says of an animal that gets these meals one after the other, a feed each.

    A food is 100 g, a powder or vitamins 1 g. An odd number of meals ends in a feed left out.
    """
    small = ("powder", "mute-powder", "vitamins")
    named = {
        f"m{number}": [
            f"{{food: {food}, amount: {1 if food in small else 100} g per animal}}"
            for food in foods
        ]
        for number, foods in enumerate(meals)
    }
    slots = [f"m{number}" if foods else "no feed" for number, foods in enumerate(meals)]
    slots += ["no feed"] * (len(slots) % 2)
    days = [
        f"{{morning: {first}, afternoon: {second}}}"
        for first, second in zip(slots[::2], slots[1::2], strict=True)
    ]
    files = {
        "dietcheck": records.settings(rota_days=len(days)),
        "group": records.group(species=species, animals=["{id: A1}", "{id: A2}"]),
        "foods": records.foods(**FOODS),
        "sheet": records.sheet({name: lines for name, lines in named.items() if lines}),
        "rota": records.rota(days),
    } | (more or {})
    outcome = outcome_of(required_supplement, records.small(**files), records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def only(checks: Sequence[Check]) -> tuple[Verdict, Severity]:
    """The verdict and level of the one check."""
    (check,) = checks
    return check.verdict, check.severity


BREACH, KEPT, OPEN = Verdict.BREACH, Verdict.KEPT, Verdict.CANNOT_TELL


def test_a_cat_on_meat_alone_breaks_the_printed_rule_once() -> None:
    """B129, MSDcarn, chapter text, in words: muscle meat on its own must be supplemented."""
    for food in ("mince", "heart", "boneless", "sausage"):
        (check,) = said(CAT, [food], [food], [food], [food])
        assert (check.verdict, check.severity) == (BREACH, Severity.MEDIUM)
        assert check.limit is not None
        assert check.limit.id == "b129-meat-felidae"
        assert check.animals == ("A1", "A2")
        assert check.places


@pytest.mark.parametrize("rescue", ["ribs", "mouse", "feed", "powder", "ground-carcass"])
def test_bone_prey_and_calcium_end_a_run(rescue: str) -> None:
    """At most 2 feeds running: common practice, no source."""
    checks = said(DOG, ["mince"], ["mince"], ["mince", rescue], ["carrot"])
    assert only(checks) == (KEPT, Severity.MEDIUM)
    (check,) = said(DOG, ["mince"], ["mince"], ["mince"], ["mince", rescue])
    assert (check.verdict, check.severity) == (BREACH, Severity.MEDIUM)
    assert check.measured is not None
    assert check.measured.value.low == 3
    assert "common practice, no source; the vet sets this" in check.message


def test_a_run_goes_on_over_the_join_of_the_rota_and_over_other_feeds() -> None:
    checks = said(DOG, ["mince"], ["powder"], ["mince"], ["mince"])
    assert only(checks)[0] is BREACH
    checks = said(DOG, ["mince"], ["carrot"], ["mince"], [], ["mince"], ["mince", "powder"])
    assert only(checks)[0] is BREACH


def test_a_little_meat_beside_other_food_is_no_feed_of_meat() -> None:
    (check,) = said(DOG, *[["mince", "carrot", "plain"]] * 4)
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_a_supplement_without_calcium_is_none() -> None:
    checks = said(DOG, *[["mince", "vitamins"]] * 4)
    assert only(checks)[0] is BREACH


@pytest.mark.parametrize("food", ["mute-feed", "mute-powder"])
@pytest.mark.parametrize("species", [CAT, DOG])
def test_a_silent_label_cannot_be_told(species: str, food: str) -> None:
    (check,) = said(species, *[["mince", "mince", food]] * 4)
    assert (check.verdict, check.severity) == (OPEN, Severity.MEDIUM)
    assert food in check.settles


def test_a_food_on_no_list_is_not_taken_for_bone() -> None:
    (check,) = said(DOG, *[["mince", "no-such-food"]] * 4)
    assert check.verdict is OPEN


def test_other_species_have_no_rule_for_meat() -> None:
    (check,) = said("Rattus norvegicus", *[["mince"]] * 4)
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_insects_as_they_come_are_a_breach_and_dusted_ones_are_not() -> None:
    """At least 1: common practice. 1 g of powder is 380 mg calcium on 30 mg, 270 mg phosphorus."""
    (check,) = said(DRAGON, ["crickets"], [])
    assert (check.verdict, check.severity) == (BREACH, Severity.MEDIUM)
    assert "no calcium powder" in check.message
    assert only(said(DRAGON, ["crickets", "powder"], []))[0] is KEPT
    assert only(said(DRAGON, ["grubs"], []))[0] is KEPT
    assert only(said(DRAGON, ["crickets", "vitamins"], []))[0] is BREACH


def test_each_day_is_asked_for_itself() -> None:
    checks = said(DRAGON, ["crickets", "powder"], [], ["crickets"], [])
    breach = next(check for check in checks if check.verdict is BREACH)
    assert {when.number for when in breach.occasions} == {2}


@pytest.mark.parametrize(("calcium", "verdict"), [("0.3 %", KEPT), ("0.2999 %", BREACH)])
def test_exactly_one_to_one_is_enough(calcium: str, verdict: Verdict) -> None:
    label = f"{{basis: as fed, moisture: 70 %, calcium: {calcium}, phosphorus: 0.3 %}}"
    foods = records.foods(**FOODS, even=f"{{class: insect, label: {label}}}")
    assert only(said(DRAGON, ["even"], [], more={"foods": foods}))[0] is verdict


def test_the_other_food_of_the_day_may_make_up_for_it() -> None:
    assert only(said(DRAGON, ["crickets"], ["greens", "greens", "greens"]))[0] is KEPT
    assert only(said(DRAGON, ["crickets"], ["roots"]))[0] is BREACH
    (check,) = said(DRAGON, ["crickets"], ["plain"])
    assert (check.verdict, check.severity) == (OPEN, Severity.MEDIUM)
    assert "plain" in check.settles


def test_silent_figures_cannot_be_told() -> None:
    assert only(said(DRAGON, ["mute-insects"], [])) == (OPEN, Severity.MEDIUM)
    assert only(said(DRAGON, ["mute-insects", "powder"], [])) == (OPEN, Severity.LOW)
    assert only(said(DRAGON, ["crickets", "mute-powder"], [])) == (OPEN, Severity.LOW)


def test_fish_is_left_to_its_own_rule() -> None:
    foods = records.foods(**FOODS, herring="{same_as: herring}")
    (check,) = said("Phoca vitulina", *[["herring"]] * 4, more={"foods": foods})
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_a_supplement_that_was_dropped_is_named() -> None:
    earlier = records.sheet(
        {"m0": ["{food: crickets, amount: 10 g per animal}"]},
        start="2025-06-01",
        more="supplements: [{food: powder, amount: 1 g per animal, with: [m0]}]",
    )
    (check,) = said(DRAGON, ["crickets"], [], more={"earlier": earlier})
    assert check.verdict is BREACH
    assert "2025-06-01" in check.advice
    assert "powder" in check.advice


def test_a_site_limit_in_another_form_is_said() -> None:
    row = "{taxon: Pogona, quantity: insect-calcium, at_least: 10 % as fed, over: day,"
    row += " severity: medium, why: invented, set_by: Dr Vale, on: 2026-01-01}"
    limits = f"record: limits\nlimits:\n  - {row}\n"
    assert only(said(DRAGON, ["crickets"], [], more={"limits": limits}))[0] is OPEN


@settings(max_examples=25, deadline=None)
@given(meals=st.lists(st.sampled_from(["mince", "ribs", "carrot"]), min_size=4, max_size=8))
def test_the_run_is_the_longest_without_bone(meals: list[str]) -> None:
    """Counted by hand on the meals written twice, the feeds of other food left out."""
    meals = [*meals, *["carrot"] * (len(meals) % 2)]
    checks = said(DOG, *[[meal] for meal in meals])
    if "mince" not in meals:
        assert only(checks)[0] is Verdict.NOT_APPLICABLE
        return
    runs = "".join(meal[0] for meal in (*meals, *meals) if meal != "carrot").split("r")
    longest = max(len(run) for run in runs)
    (check,) = checks
    assert check.measured is not None
    assert check.measured.value.low == longest
    assert (check.verdict is BREACH) == (longest > 2)
