"""Cultivated fruit as a treat. Animals, amounts and mixes are invented.

Trade facts held here are common practice, no source: mammals get cultivated fruit only as a rare
treat, birds a little and less than vegetables, never in two feeds running, and root vegetables
carry sugar but are no fruit. The 10 % for primates is published (A001, MSDprim-new); the older
editions it supersedes are A002 and SL03. 15 g a day for red pandas is a proposal (SL13).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Standing, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import fruit_as_treat
from tests import records

FOODS = {
    "banana": "{same_as: banana}",
    "raisin": "{same_as: raisin}",
    "juice": "{same_as: juice-apple}",
    "sauce": "{same_as: apple-sauce-unsweetened}",
    "jam": "{same_as: jam}",
    "honey": "{same_as: honey}",
    "carrot": "{same_as: carrot}",
    "cucumber": "{same_as: cucumber}",
    "hips": "{same_as: rose-hips}",
    "windfall": "{same_as: crab-apple, wild: yes}",
    "relabelled": "{same_as: banana, class: vegetable}",
    "pellet": "{label: {basis: as fed, sugars: 5 %, moisture: 10 %}, class: compound feed}",
    "inner": "{mix: {banana: 50 %, carrot: 50 %}}",
    "chop": "{mix: {inner: 50 %, cucumber: 50 %}}",
}
FED = "{morning: am meal, afternoon: pm meal}"
Meals = Mapping[str, Sequence[str]]
MARMOSET: dict[str, Any] = {
    "species": "Callithrix geoffroyi",
    "animals": (
        "{id: Pip, weighings: [{on: 2026-11-20, mass: 0.34 kg}]}",
        "{id: Wren, weighings: [{on: 2026-11-20, mass: 0.40 kg}]}",
    ),
}


def said(
    meals: Meals,
    *,
    days: Sequence[str] = (FED, FED),
    species: str = "Tapirus terrestris",
    animals: Sequence[str] = ("{id: T1, weighings: [{on: 2026-11-20, mass: 200 kg}]}",),
    limits: Sequence[str] = (),
    more_foods: Mapping[str, str] | None = None,
    **changes: str,
) -> tuple[Check, ...]:
    """What the rule says of a group with some meals, fed morning and afternoon."""
    files = {
        "dietcheck": records.settings(rota_days=len(days)),
        "group": records.group(species=species, animals=animals),
        "foods": records.foods(**{**FOODS, **(more_foods or {})}),
        "sheet": records.sheet(meals),
        "rota": records.rota(days),
    }
    if limits:
        files["limits"] = "record: limits\nlimits:\n" + "".join(f"  - {row}\n" for row in limits)
    outcome = outcome_of(fruit_as_treat, records.small(**{**files, **changes}), records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def line(food: str, grams: object = 10, more: str = "") -> str:
    """One line of a meal."""
    return f"{{food: {food}, amount: {grams} g per animal{more}}}"


TREAT = ", treat: training"
PELLET = line("pellet", 2000)


def of(checks: Sequence[Check], quantity: str) -> list[Check]:
    """The checks of one quantity of the limit table."""
    return [check for check in checks if check.limit and check.limit.quantity == quantity]


def verdicts(checks: Sequence[Check], quantity: str) -> set[Verdict]:
    """How the checks of a quantity came out."""
    return {check.verdict for check in of(checks, quantity)}


def test_without_fruit_the_diet_is_kept() -> None:
    (check,) = said({"am meal": [PELLET], "pm meal": [line("carrot"), line("honey")]})
    assert check.verdict is Verdict.KEPT


@pytest.mark.parametrize(
    "food", ["banana", "raisin", "juice", "sauce", "jam", "relabelled", "chop"]
)
def test_fruit_in_any_form_and_depth_needs_the_flag(food: str) -> None:
    checks = said({"am meal": [PELLET, line(food)], "pm meal": [PELLET]})
    (check,) = of(checks, "fruit-outside-treats")
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert check.food == food
    assert check.animals == ("T1",)
    assert "common practice, no source; the vet sets this" in check.message
    assert check.places[0].path[-1] == "food"


@pytest.mark.parametrize("food", ["carrot", "honey", "hips", "windfall", "cucumber", "pellet"])
def test_roots_honey_wild_fruit_and_gourds_are_no_cultivated_fruit(food: str) -> None:
    checks = said({"am meal": [PELLET, line(food)], "pm meal": [PELLET, line(food)]})
    assert [check.verdict for check in checks] == [Verdict.KEPT]


def test_a_flagged_treat_is_allowed() -> None:
    checks = said({"am meal": [PELLET, line("banana", 10, TREAT)], "pm meal": [PELLET]})
    assert {check.verdict for check in checks} == {Verdict.KEPT}


def test_each_unflagged_fruit_is_a_finding_of_its_own() -> None:
    checks = said({"am meal": [PELLET, line("banana"), line("raisin")], "pm meal": [PELLET]})
    assert {c.food for c in of(checks, "fruit-outside-treats")} == {"banana", "raisin"}


def test_a_mix_counts_only_the_fruit_in_it() -> None:
    """Half of a half of 40 g is 10 g."""
    checks = said({"am meal": [PELLET, line("chop", 40)], "pm meal": [PELLET]})
    (check,) = of(checks, "fruit-outside-treats")
    assert check.measured is not None
    assert check.measured.value.low == check.measured.value.high == 10


def running(meals: Meals, days: Sequence[str], **more: Any) -> Check:
    """The check on feeds running."""
    (check,) = of(said(meals, days=days, **more), "fruit-feeds-running")
    return check


FRUITY: Meals = {
    "am meal": [PELLET, line("banana", 10, TREAT)],
    "pm meal": [PELLET],
}


def test_once_a_day_is_never_two_feeds_running() -> None:
    assert running(FRUITY, [FED] * 14).verdict is Verdict.KEPT


def test_morning_and_afternoon_are_two_feeds_running() -> None:
    check = running(FRUITY, [FED, "{morning: am meal, afternoon: am meal}"])
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert check.measured is not None
    assert check.measured.value.low == 3  # and the next morning
    assert check.food == "banana"


def test_the_last_day_is_followed_by_the_first() -> None:
    """Day 14 afternoon and day 1 morning, nothing between: only the join shows it."""
    plain = "{morning: pm meal, afternoon: pm meal}"
    days = ["{morning: am meal, afternoon: pm meal}", *[plain] * 12]
    assert running(FRUITY, [*days, plain]).verdict is Verdict.KEPT
    check = running(FRUITY, [*days, "{morning: pm meal, afternoon: am meal}"])
    assert check.verdict is Verdict.BREACH
    assert {(when.number, when.slot) for when in check.occasions} == {
        (14, "afternoon"),
        (1, "morning"),
    }


def test_a_feed_left_out_lies_not_between() -> None:
    """Fruit in the afternoon, a planned fast day, fruit in the morning: two feeds running."""
    days = [
        "{morning: pm meal, afternoon: am meal}",
        "{fast: planned}",
        "{morning: am meal, afternoon: pm meal}",
    ]
    assert running(FRUITY, days).verdict is Verdict.BREACH


def test_a_change_of_rota_is_looked_across() -> None:
    late = ["{morning: pm meal, afternoon: am meal}"] * 2
    early = records.rota(["{morning: am meal, afternoon: pm meal}"] * 2, start="2026-12-01")
    assert running(FRUITY, late).verdict is Verdict.KEPT
    assert running(FRUITY, late, later=early).verdict is Verdict.BREACH


def test_feeds_of_other_animals_do_not_count() -> None:
    meals = {
        "am meal": [PELLET, line("banana", 10, TREAT + ", for: [T1]")],
        "pm meal": [PELLET, line("banana", 10, TREAT + ", for: [T2]")],
    }
    animals = ("{id: T1}", "{id: T2}")
    checks = said(meals, animals=animals)
    assert verdicts(checks, "fruit-feeds-running") == {Verdict.KEPT}


def treats(slot: str) -> str:
    """A treats record with one banana in the slot, or without a slot."""
    at = f"slot: {slot}, " if slot else ""
    return (
        "record: treats\ntreats:\n"
        f"  - {{on: 2026-11-26, group: tapir, {at}purpose: training,"
        " items: [{food: banana, amount: 10 g per animal}]}\n"
    )


@pytest.mark.parametrize(
    ("slot", "verdict"),
    [
        ("morning", Verdict.KEPT),  # the same feed as the planned banana
        ("noon", Verdict.BREACH),  # between morning and afternoon
        ("afternoon", Verdict.BREACH),
        ("", Verdict.CANNOT_TELL),  # some time of the day
    ],
)
def test_a_dated_treat_takes_its_place_in_the_day(slot: str, verdict: Verdict) -> None:
    check = running(FRUITY, [FED, FED], treats=treats(slot))
    assert check.verdict is verdict
    assert (check.settles != "") is (verdict is Verdict.CANNOT_TELL)


def test_a_feed_at_noon_parts_morning_from_afternoon() -> None:
    meals = {**FRUITY, "noon meal": [PELLET]}
    plain = "{morning: pm meal, afternoon: pm meal}"
    parted = "{morning: am meal, noon: noon meal, afternoon: am meal}"
    joined = "{morning: am meal, afternoon: am meal}"
    assert running(meals, [parted, plain]).verdict is Verdict.KEPT
    assert running(meals, [joined, plain]).verdict is Verdict.BREACH


def test_primates_have_a_published_share_and_the_older_editions_beside_it() -> None:
    """10 g of 100 g as fed is exactly 10 %."""
    meals = {
        "am meal": [line("pellet", 40), line("banana", 10, TREAT)],
        "pm meal": [line("pellet", 50)],
    }
    (kept,) = of(said(meals, **MARMOSET), "fruit-share")
    assert kept.verdict is Verdict.KEPT
    meals["am meal"][1] = line("banana", "10.001", TREAT)
    (check,) = of(said(meals, **MARMOSET), "fruit-share")
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert check.limit is not None
    assert check.limit.standing is Standing.PUBLISHED
    assert "compared as fed" in check.message
    assert {limit.condition for limit in check.others} == {"superseded edition"}


def test_what_one_animal_gets_is_held_against_that_animal_alone() -> None:
    """A little fruit for one marmoset: a finding names the food and no other animal, so that an
    acceptance for that food and animal can cover it."""
    meals = {
        "am meal": [line("pellet", 7), line("banana", 10, ", treat: medicine vehicle, for: [Pip]")],
        "pm meal": [line("pellet", 7), line("banana", 10, ", treat: medicine vehicle, for: [Pip]")],
    }
    breaches = [c for c in said(meals, **MARMOSET) if c.verdict is Verdict.BREACH]
    assert {c.limit.quantity for c in breaches if c.limit} == {
        "fruit-share",
        "fruit-feeds-running",
        "fruit-frequency",
    }
    assert {c.food for c in breaches} == {"banana"}
    assert {c.animals for c in breaches} == {("Pip",)}


@pytest.mark.parametrize(("until", "accepted"), [("2026-12-31", True), ("2026-11-24", False)])
def test_an_acceptance_for_the_food_and_the_animal_covers_the_finding(
    until: str, accepted: bool
) -> None:
    files = {
        "group": records.group(
            species=MARMOSET["species"],
            animals=MARMOSET["animals"],
        ),
        "foods": records.foods(**FOODS),
        "sheet": records.sheet(
            {
                "am meal": [line("pellet", 7), line("banana", 3, TREAT + ", for: [Pip]")],
                "pm meal": [line("pellet", 7)],
            }
        ),
        "rota": records.rota([FED, FED]),
        "signed": (
            "record: sign-off\nby: Dr Vale\nrole: vet\non: 2026-11-10\ngroups: [tapir]\naccepts:\n"
            "  - {rule: fruit-as-treat, group: tapir, food: banana, animals: [Pip],"
            f" reason: carries the medicine, until: {until},"
            " up_to: 3 g}\n"
        ),
    }
    (finding,) = outcome_of(fruit_as_treat, records.small(**files), records.ON).findings
    assert (finding.accepted is not None) is accepted


def test_great_apes_count_treats_with_the_fruit() -> None:
    """A003: 5 % fruit and 6 % other treats is past 10 %; each for itself would not be."""
    both = [line("pellet", 890), line("banana", 50, TREAT), line("carrot", 60, TREAT)]
    days = ["{morning: am meal, afternoon: no feed}"] * 2
    checks = said({"am meal": both}, days=days, species="Gorilla gorilla")
    (check,) = of(checks, "fruit-and-treat-share")
    assert check.verdict is Verdict.BREACH
    assert verdicts(checks, "fruit-share") == {Verdict.KEPT}
    only = [line("pellet", 900), line("carrot", 101, TREAT)]
    checks = said({"am meal": only}, days=days, species="Gorilla gorilla")
    assert verdicts(checks, "fruit-and-treat-share") == {Verdict.BREACH}


@pytest.mark.parametrize(("grams", "verdict"), [(15, Verdict.KEPT), ("15.1", Verdict.BREACH)])
def test_red_pandas_have_an_amount_a_day(grams: object, verdict: Verdict) -> None:
    meals = {"am meal": [PELLET, line("banana", grams, TREAT)], "pm meal": [PELLET]}
    assert verdicts(said(meals, species="Ailurus fulgens"), "fruit-amount") == {verdict}


def test_two_fruits_together_break_an_amount_and_no_single_one_is_blamed() -> None:
    lines = [PELLET, line("banana", 10, TREAT), line("raisin", 10, TREAT)]
    checks = said({"am meal": lines, "pm meal": [PELLET]}, species="Ailurus fulgens")
    (check,) = of(checks, "fruit-amount")
    assert check.verdict is Verdict.BREACH
    assert check.food is None


@pytest.mark.parametrize(
    ("fruit", "vegetables", "verdict"),
    [(50, 50, Verdict.KEPT), (51, 49, Verdict.BREACH), (5, 0, Verdict.BREACH)],
)
def test_birds_get_less_fruit_than_vegetables(
    fruit: int, vegetables: int, verdict: Verdict
) -> None:
    lines = [line("pellet", 2000), line("banana", fruit)]
    if vegetables:
        lines.append(line("cucumber", vegetables))
    checks = said({"am meal": lines, "pm meal": [PELLET]}, species="Rhea americana")
    assert verdicts(checks, "fruit-of-produce") == {verdict}
    assert not of(checks, "fruit-outside-treats")  # birds need no flag
    assert all(c.severity is Severity.LOW for c in checks if c.verdict is Verdict.BREACH)


@pytest.mark.parametrize(
    "species", ["Ramphastos toco", "Buceros bicornis", "Rousettus aegyptiacus"]
)
def test_frugivores_may_have_fruit_in_every_feed(species: str) -> None:
    meal = [line("pellet", 45), line("banana", 90)]
    checks = said({"am meal": meal, "pm meal": meal}, species=species)
    assert {c.verdict for c in checks} <= {Verdict.KEPT, Verdict.NOT_APPLICABLE}


def test_a_toucan_on_fruit_alone_is_past_what_the_pellet_share_leaves() -> None:
    checks = said(
        {"am meal": [line("banana", 90)], "pm meal": [line("banana")]}, species="Ramphastos toco"
    )
    assert verdicts(checks, "fruit-share") == {Verdict.BREACH}


def test_a_ground_hornbill_is_no_frugivore() -> None:
    meal = [line("pellet", 45), line("banana", 90)]
    checks = said({"am meal": meal, "pm meal": meal}, species="Bucorvus leadbeateri")
    assert verdicts(checks, "fruit-share") == {Verdict.BREACH}


def test_tortoises_get_fruit_as_a_treat_if_at_all() -> None:
    meals = {"am meal": [PELLET, line("banana")], "pm meal": [PELLET]}
    checks = said(meals, species="Aldabrachelys gigantea")
    assert verdicts(checks, "fruit-outside-treats") == {Verdict.BREACH}


@pytest.mark.parametrize("species", ["Python regius", "Pogona vitticeps"])
def test_a_taxon_without_a_row_has_a_limit_not_yet_sourced(species: str) -> None:
    (check,) = said({"am meal": [line("banana")], "pm meal": [line("banana")]}, species=species)
    assert check.verdict is Verdict.NOT_APPLICABLE
    assert "limit not yet sourced" in check.message


@pytest.mark.parametrize(
    ("food", "entry", "asked"),
    [
        ("mango", None, True),  # on no list
        ("dried_figs", "{label: {basis: as fed, sugars: 50 %}}", True),  # no class
        ("treat_cubes", "{label: {basis: as fed, sugars: 50 %}}", False),  # no fruit by name
        ("dried_figs", "{label: {basis: as fed, sugars: 50 %}, class: bakery}", False),
    ],
)
def test_a_food_without_class_is_asked_about_only_by_the_name_of_a_fruit(
    food: str, entry: str | None, asked: bool
) -> None:
    name = food.replace("_", "-")
    checks = said(
        {"am meal": [PELLET, line(name)], "pm meal": [PELLET]},
        more_foods={food: entry} if entry else {},
    )
    found = [check for check in checks if check.verdict is Verdict.CANNOT_TELL]
    assert [check.food for check in found] == ([name] if asked else [])
    assert all(check.settles for check in found)


def test_an_amount_that_is_not_known_well_enough_cannot_be_told() -> None:
    loose = "{food: pellet, amount: 'ad lib, expected 50 to 150 g per animal'}"
    meals = {"am meal": [loose, line("banana", 10, TREAT)], "pm meal": [line("pellet", 1)]}
    (check,) = of(said(meals, **MARMOSET), "fruit-share")
    assert check.verdict is Verdict.CANNOT_TELL
    assert "pellet" in check.settles


SITE = "set_by: Dr Vale, on: 2026-01-01, why: invented for the test, severity: medium"


@pytest.mark.parametrize(
    ("quantity", "bound", "over", "verdict"),
    [
        ("fruit-frequency", "1 day", "rota", Verdict.BREACH),
        ("fruit-frequency", "2 days", "rota", Verdict.KEPT),
        ("fruit-frequency", "2 feeds", "rota", Verdict.KEPT),
        ("fruit-amount", "10 g per animal", "day", Verdict.KEPT),
        ("fruit-amount", "0.04 g per kg body mass", "day", Verdict.BREACH),
        ("fruit-share", "0.01 % of dry matter", "rota", Verdict.BREACH),
        ("fruit-share", "1 % as fed", "day", Verdict.KEPT),
        ("fruit-share", "5 % of energy", "rota", Verdict.CANNOT_TELL),
        ("fruit-amount", "10 g per animal", "rota", Verdict.CANNOT_TELL),
    ],
)
def test_a_site_limit_is_judged_or_said_not_to_be(
    quantity: str, bound: str, over: str, verdict: Verdict
) -> None:
    """10 g of banana once a day for a tapir of 200 kg on 4 kg of pellets."""
    limit = f"{{group: tapir, quantity: {quantity}, at_most: {bound}, over: {over}, {SITE}}}"
    checks = of(said(FRUITY, limits=[limit]), quantity)
    (own,) = [c for c in checks if c.limit and c.limit.standing is Standing.SITE_RULE]
    assert own.verdict is verdict


def test_two_weeks_fed_twice_a_day_are_28_feeds() -> None:
    """Common practice, no source."""
    check = running(FRUITY, [FED] * 14)
    assert any("14 of the 28 feeds" in step for step in check.working)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.booleans(), min_size=4, max_size=12).filter(lambda given: len(given) % 2 == 0))
def test_two_running_is_what_a_ring_of_feeds_says(pattern: list[bool]) -> None:
    """The law: a rota is a ring. Fruit in two neighbours of the ring is a breach, else not."""
    named = ["am meal" if fruit else "pm meal" for fruit in pattern]
    days = [
        f"{{morning: {first}, afternoon: {second}}}"
        for first, second in zip(named[::2], named[1::2], strict=True)
    ]
    ring = any(a and b for a, b in zip(pattern, [*pattern[1:], pattern[0]], strict=True))
    found = of(said(FRUITY, days=days), "fruit-feeds-running")
    expected = Verdict.BREACH if ring else Verdict.KEPT
    assert [c.verdict for c in found] == ([expected] if any(pattern) else [])
