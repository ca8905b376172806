"""Meat with bone or calcium, insects with calcium. Foods and animals are invented."""

from __future__ import annotations

from collections.abc import Sequence

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.quantities import between
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import required_supplement
from tests import records
from tests.rules.worked import steps

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
    "herring": "{class: fish, part: whole, label: {basis: as fed, moisture: 75 %}}",
    "fillet": "{class: fish, part: fillet, label: {basis: as fed, moisture: 75 %}}",
    "some_fish": "{class: fish, label: {basis: as fed, moisture: 75 %}}",
    "even_carcass": "{class: meat, label: {basis: as fed, moisture: 60 %, calcium: 0.6 %,"
    " phosphorus: 0.6 %}}",
    "no_figure": "{class: meat, label: {basis: as fed, moisture: 60 %, phosphorus: 0 %}}",
    "trace_feed": "{class: compound feed, label: {basis: as fed, moisture: 10 %,"
    " calcium: 5 mg/kg}}",
    "sausage_feed": "{class: compound feed, mix: {mince: 60 %, feed: 40 %}}",
    "dog_sausage": "{class: compound feed, mix: {mince: 60 %, carrot: 40 %}}",
    "lean_sausage": "{mix: {mince: 40 %, carrot: 60 %}}",
    "half": "{mix: {crickets: 50 %, roots: 50 %}}",
    "dusted": "{mix: {crickets: 99 %, powder: 1 %}}",
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


@pytest.mark.parametrize(
    "rescue",
    ["ribs", "mouse", "feed", "powder", "ground-carcass", "even-carcass", "herring", "trace-feed"],
)
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
    foods = records.foods(**FOODS | {"herring": "{same_as: herring}"})
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


@pytest.mark.parametrize("food", ["fillet", "some-fish", "no-figure", "lean-sausage", "carrot"])
def test_what_brings_no_bone_ends_no_run(food: str) -> None:
    checks = said(DOG, ["mince"], ["mince"], ["mince", food], ["carrot"])
    assert only(checks)[0] is BREACH


def test_a_mix_with_less_meat_than_other_food_is_no_feed_of_meat() -> None:
    assert only(said(DOG, *[["lean-sausage"]] * 4))[0] is Verdict.NOT_APPLICABLE


SIX = [["mince", "carrot"], ["carrot"], ["sausage"], ["mince"], ["heart"], ["mince"]]


@pytest.mark.parametrize(("last", "listed"), [([["powder"], []], 5), ([["mince"], ["powder"]], 6)])
def test_a_run_is_told_feed_by_feed_and_where_it_stands(last: list[list[str]], listed: int) -> None:
    (check,) = said(DOG, *SIX, *last)
    assert check.measured is not None
    assert check.measured.value.low == listed
    assert f"{listed} feeds running" in check.message
    assert steps(check.working) == [[day] for day in "12233"] + [["4"]] * (listed - 5)
    assert len(check.occasions) == listed
    assert list(check.occasions) == sorted(check.occasions)
    assert {when.on.day for when in check.occasions} <= {24, 25, 26, 27}  # of the first round
    assert [place.path[1] for place in check.places] == ["m0", "m2", "m3", "m4", "m5", "m6"][
        :listed
    ]
    assert "running" in check.about
    assert check.advice


def test_feeds_beyond_six_are_counted() -> None:
    (check,) = said(DOG, *SIX, ["boneless"], ["mince"], ["powder"], [])
    assert steps(check.working)[6:] == [["1"]]


def test_a_label_that_is_silent_in_one_feed_leaves_the_run_before_and_after_it() -> None:
    """The silent feed may end the run or not: 2 feeds for sure, 3 at the most."""
    (check,) = said(DOG, ["mince", "mince", "mute-powder"], ["mince"], ["mince"], ["ribs"])
    assert check.verdict is OPEN
    assert check.measured is not None
    assert check.measured.value == between(2, 3)
    (past,) = said(DOG, *[["mince"]] * 3, ["mince", "mince", "mute-powder"], ["ribs"], [])
    assert past.verdict is BREACH
    assert past.settles == ""
    (none,) = said(DOG, *[["mince", "mute-powder"]] * 4)
    assert none.measured is not None
    assert none.measured.value.low == 0


def test_one_feed_with_calcium_in_the_rota_of_a_cat_keeps_the_printed_rule() -> None:
    (check,) = [c for c in said(CAT, ["mince"], ["mince", "powder"]) if "nothing" in c.about]
    assert check.verdict is KEPT
    assert check.measured is not None
    assert check.measured.value.high == 0
    assert check.advice == ""
    assert not check.occasions
    assert [line.endswith("; calcium") for line in check.working[:2]] == [False, True]
    assert only(said(DOG, *[["mince", "powder"]] * 4))[0] is KEPT


def test_days_of_a_cat_without_meat_are_not_counted_and_a_silent_feed_is_listed() -> None:
    (check,) = said(CAT, ["mince"], [], ["carrot"], [])
    assert check.measured is not None
    days = {when.on for when in check.occasions}
    assert check.measured.value.low == len(days)
    assert {when.number for when in check.occasions} == {1}
    (open_one,) = said(CAT, ["mince"], ["mute-feed"])
    assert open_one.verdict is OPEN
    assert any("no meat" in line for line in open_one.working)
    assert "mute-feed" in open_one.settles
    assert "rota" in open_one.about + open_one.message


def test_a_house_rule_in_days_holds_for_a_species_without_a_rule_of_its_own() -> None:
    row = "{taxon: Rattus, quantity: meat-without-calcium, at_most: 0 days, over: rota,"
    row += " severity: medium, why: invented, set_by: Dr Vale, on: 2026-01-01}"
    limits = f"record: limits\nlimits:\n  - {row}\n"
    assert only(said("Rattus norvegicus", ["mince"], [], more={"limits": limits}))[0] is BREACH


def test_the_supplement_that_the_meat_had_before_is_named() -> None:
    earlier = records.sheet(
        {"m0": ["{food: mince, amount: 10 g per animal}"]},
        start="2025-06-01",
        more="supplements: [{food: powder, amount: 1 g per animal, with: [m0]}]",
    )
    (check,) = said(DOG, *[["mince"]] * 4, more={"earlier": earlier})
    assert "powder" in check.advice


def test_insects_inside_mixes_count_and_so_does_the_powder_in_them() -> None:
    """Half crickets: 15 mg calcium and 135 mg phosphorus of insects in 100 g, whatever the roots
    bring. Dusted: 29.7 + 380 mg on 267.3."""
    (check,) = said(DRAGON, ["half", "vitamins"], ["roots"])
    assert check.measured is not None
    assert float(check.measured.value.low) == pytest.approx(15 / 135)
    assert "no calcium powder" in check.message
    assert steps(check.working) == [
        ["100", "25", "160"], ["0.111", "1"], ["0.214", "1"],
    ]  # fmt: skip
    assert [place.path[1] for place in check.places] == ["m0"]
    (check,) = said(DRAGON, ["dusted"], [])
    assert check.measured is not None
    assert float(check.measured.value.low) == pytest.approx(409.7 / 267.3)
    assert check.verdict is KEPT
    assert "no calcium powder" not in check.message
    assert not check.places


def test_of_two_poor_days_the_poorer_is_shown_and_of_bare_ones_and_dusted_the_bare() -> None:
    poor = "{class: insect, label: {basis: as fed, moisture: 70 %, calcium: 0.2 %,"
    foods = records.foods(**FOODS, poor=f"{poor} phosphorus: 0.3 %}}}}",
                          pinch="{class: mineral, label: {basis: as fed, moisture: 0 %,"
                          " calcium: 5 mg/kg, phosphorus: 0 %}}")  # fmt: skip
    alone = records.group(species=DRAGON, animals=["{id: A1}"])
    (check,) = said(DRAGON, ["poor"], [], ["crickets"], [], more={"foods": foods, "group": alone})
    assert "0.111" in check.message
    assert [when.number for when in check.occasions] == [1, 2]
    (check,) = said(DRAGON, ["crickets", "pinch"], [], ["poor"], [], more={"foods": foods})
    assert "0.667" in check.message
    (check,) = said(DRAGON, ["crickets", "pinch"], [], more={"foods": foods})
    assert "no calcium powder" not in check.message


def test_a_ratio_just_below_one_is_not_rounded_to_it() -> None:
    label = "{basis: as fed, moisture: 70 %, calcium: 0.29999 %, phosphorus: 0.3 %}"
    foods = records.foods(**FOODS, even=f"{{class: insect, label: {label}}}")
    (check,) = said(DRAGON, ["even"], [], more={"foods": foods})
    assert "phosphorus 0.9" in check.message


def test_insects_of_a_species_nobody_speaks_of_are_no_matter() -> None:
    checks = said("Lissachatina fulica", ["crickets"], [])
    assert only(checks)[0] is Verdict.NOT_APPLICABLE


def test_insects_of_one_animal_alone_are_its_own_matter() -> None:
    sheet = records.sheet({"m0": ["{food: crickets, amount: 10 g per animal, for: [A2]}"]})
    (check,) = said(DRAGON, ["crickets"], [], more={"sheet": sheet})
    assert check.animals == ("A2",)


def test_what_is_asked_for_is_the_silent_food_or_else_a_narrower_figure() -> None:
    wide = "{class: insect, label: {basis: as fed, moisture: 70 %, calcium: 0.2 to 0.4 %,"
    half_said = "{class: insect, label: {basis: as fed, moisture: 70 %, calcium: 0.3 %}}"
    foods = records.foods(**FOODS, wide=f"{wide} phosphorus: 0.3 %}}}}", half_said=half_said)
    (check,) = said(DRAGON, ["wide", "roots"], [], more={"foods": foods})
    assert check.verdict is OPEN
    assert "wide" in check.settles
    assert "roots" not in check.settles
    (check,) = said(DRAGON, ["wide", "half-said"], [], more={"foods": foods})
    assert "half-said" in check.settles
    assert "wide" not in check.settles


def test_a_house_limit_in_another_form_points_at_itself() -> None:
    row = "{taxon: Pogona, quantity: insect-calcium, at_least: 10 % as fed, over: day,"
    row += " severity: medium, why: invented, set_by: Dr Vale, on: 2026-01-01}"
    limits = f"record: limits\nlimits:\n  - {row}\n"
    (check,) = said(DRAGON, ["crickets"], [], more={"limits": limits})
    assert [place.file for place in check.places] == ["limits.yaml"]


def test_of_two_runs_as_long_the_first_is_shown() -> None:
    (check,) = said(DOG, *[["mince"]] * 3, ["ribs"], *[["heart"]] * 3, ["ribs"])
    assert check.verdict is BREACH
    assert [place.path[1] for place in check.places] == ["m0", "m1", "m2"]


def test_a_mix_is_what_its_ingredients_are_whatever_class_it_was_given() -> None:
    assert only(said(DOG, *[["dog-sausage"]] * 4))[0] is BREACH
    assert only(said(DOG, *[["sausage-feed"]] * 4))[0] is KEPT
