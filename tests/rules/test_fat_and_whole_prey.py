"""Whole prey and egg for meerkats. Foods and amounts are invented; no cap here is published."""

from __future__ import annotations

from collections.abc import Sequence

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import fat_and_whole_prey
from tests import records

# All without water, so that shares of dry matter are shares as fed.
FOODS = {
    "kibble": "{class: compound feed, label: {basis: as fed, moisture: 0 %, crude_fat: 10 %}}",
    "mouse": "{class: whole prey, label: {basis: as fed, moisture: 0 %, crude_fat: 20 %}}",
    "egg": "{class: egg, label: {basis: as fed, moisture: 0 %}}",
    "mash": "{mix: {kibble: 50 %, egg: 50 %}}",
    "nameless": "{label: {basis: as fed, moisture: 0 %}}",
}
PLAIN, PREY, TWICE = (
    "morning: kibble, afternoon: kibble",
    "morning: kibble, afternoon: prey",
    ("morning: prey, afternoon: prey"),
)


def said(
    days: Sequence[str],
    *,
    food: str = "mouse",
    grams: object = 1,
    species: str = "Suricata suricatta",
    limits: str = "",
) -> tuple[Check, ...]:
    """What the rule says of two animals with 100 g kibble in a feed, or a food beside it."""
    files = {
        "dietcheck": records.settings(rota_days=len(days)),
        "group": records.group(species=species, animals=["{id: M1}", "{id: M2}"]),
        "foods": records.foods(**FOODS),
        "sheet": records.sheet(
            {
                "kibble": ["{food: kibble, amount: 100 g per animal}"],
                "prey": [
                    "{food: kibble, amount: 100 g per animal}",
                    f"{{food: {food}, amount: {grams} g per animal}}",
                ],
            }
        ),
        "rota": records.rota([f"{{{day}}}" for day in days]),
    }
    if limits:
        files["limits"] = f"record: limits\nlimits:\n  - {limits}\n"
    outcome = outcome_of(fat_and_whole_prey, records.small(**files), records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def verdicts(checks: Sequence[Check]) -> dict[str, Verdict]:
    """Each check's verdict by what it is about."""
    return {check.about: check.verdict for check in checks}


@pytest.mark.parametrize("food", ["mouse", "egg", "mash"])
def test_two_feeds_in_seven_days_are_kept_and_three_are_not(food: str) -> None:
    """At most 2 feeds in 7 days: common practice, no source."""
    checks = said([PREY, PLAIN, PLAIN, PREY, PLAIN, PLAIN, PLAIN], food=food)
    assert set(verdicts(checks).values()) == {Verdict.KEPT}
    check = said([PREY, PLAIN, PLAIN, PREY, PLAIN, PREY, PLAIN], food=food)[0]
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert check.animals == ("M1", "M2")
    assert check.measured is not None
    assert check.measured.value.low == 3
    assert "common practice, no source; the vet sets this" in check.message
    assert check.places[0].file == "rota.yaml"


def test_two_feeds_of_one_day_are_two() -> None:
    checks = said([TWICE, PLAIN, PLAIN, PLAIN, PREY, PLAIN, PLAIN])
    assert verdicts(checks)["whole prey too often"] is Verdict.BREACH


def test_seven_days_reach_across_the_join_of_the_rota() -> None:
    """The last two days and the first one of a fortnight lie within seven days."""
    days = [PREY, *[PLAIN] * 11, PREY, PREY]
    assert verdicts(said(days))["whole prey too often"] is Verdict.BREACH
    days = [PREY, *[PLAIN] * 6, PREY, *[PLAIN] * 6]
    assert verdicts(said(days))["whole prey too often"] is Verdict.KEPT


def test_few_large_feeds_do_not_hide_behind_a_low_count() -> None:
    """1 feed in 4 of 100 g kibble: 400 / 9 g of prey is 10 % of the dry matter, exactly the cap."""
    days = [PREY, PLAIN]
    limit = "{group: tapir, quantity: whole-prey-feeds, at_most: 9 feeds, over: 7 days,"
    limit += " severity: low, why: invented, set_by: Dr Vale, on: 2026-01-01}"
    assert verdicts(said(days, grams=44, limits=limit))["whole prey share"] is Verdict.KEPT
    (_, check) = said(days, grams=45, limits=limit)
    assert (check.about, check.verdict) == ("whole prey share", Verdict.BREACH)
    assert check.severity is Severity.MEDIUM


def test_too_often_and_too_much_are_one_finding() -> None:
    (check,) = said([TWICE] * 7, grams=100)
    assert check.verdict is Verdict.BREACH
    assert any("50 % of dry matter" in line for line in check.working)


def test_a_food_of_no_class_cannot_be_told_where_it_decides() -> None:
    check = said([PREY, PREY, PREY, PLAIN, PLAIN, PLAIN, PLAIN], food="nameless")[0]
    assert check.verdict is Verdict.CANNOT_TELL
    assert "nameless" in check.settles
    checks = said([PREY, PLAIN, PLAIN, PLAIN, PLAIN, PLAIN, PLAIN], food="nameless")
    assert verdicts(checks)["whole prey too often"] is Verdict.KEPT


def test_other_species_have_no_cap_unless_the_site_sets_one() -> None:
    (check,) = said([TWICE] * 7, species="Python regius")
    assert check.verdict is Verdict.NOT_APPLICABLE
    assert "not yet sourced" in check.message
    limit = "{taxon: Python, quantity: whole-prey-feeds, at_most: 1 feed, over: 7 days,"
    limit += " severity: low, why: invented, set_by: Dr Vale, on: 2026-01-01}"
    check = said([TWICE] * 7, species="Python regius", limits=limit)[0]
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.LOW)


def test_a_limit_in_a_form_that_cannot_be_counted_is_said() -> None:
    limit = "{group: tapir, quantity: whole-prey-feeds, at_most: 5 % as fed, over: rota,"
    limit += " severity: low, why: invented, set_by: Dr Vale, on: 2026-01-01}"
    checks = said([PREY, *[PLAIN] * 6], limits=limit)
    assert Verdict.CANNOT_TELL in verdicts(checks).values()


@settings(max_examples=25, deadline=None)
@given(days=st.lists(st.sampled_from([PLAIN, PREY, TWICE]), min_size=7, max_size=7))
def test_the_count_is_the_number_of_feeds_with_prey(days: list[str]) -> None:
    """Any run of seven days of a seven-day rota holds every day once."""
    check = said([PREY, *days[1:]], grams="0.1")[0]
    assert check.measured is not None
    feeds = 1 + sum(day.count("prey") for day in days[1:])
    assert check.measured.value.low == check.measured.value.high == feeds
    assert (check.verdict is Verdict.BREACH) == (feeds > 2)


def test_without_prey_there_is_nothing_to_count() -> None:
    (check,) = said([PLAIN] * 7)
    assert check.verdict is Verdict.NOT_APPLICABLE
    assert "no whole prey" in check.message


@pytest.mark.parametrize(
    ("moisture", "words"),
    [("moisture: 0 %,", "how much"), ("moisture: 0 to 70 %,", "how much"), ("", "water")],
)
def test_a_cannot_tell_names_what_would_settle_it(moisture: str, words: str) -> None:
    """1 to 60 g of prey beside 100 g of dry kibble a day; the cap is 10 % of dry matter."""
    mouse = f"{{class: whole prey, label: {{basis: as fed, {moisture} crude_fat: 20 %}}}}"
    house = (
        "{group: tapir, quantity: whole-prey-feeds, at_most: 9 feeds, over: 7 days, severity: low,"
        " why: invented, set_by: Dr Vale, on: 2026-01-01}"
    )
    files = records.small(
        dietcheck=records.settings(rota_days=1),
        group=records.group(species="Suricata suricatta", animals=["{id: M1}"]),
        foods=records.foods(**{**FOODS, "mouse": mouse}),
        sheet=records.sheet(
            {
                "kibble": ["{food: kibble, amount: 100 g per animal}"],
                "prey": ["{food: mouse, amount: 1 to 60 g per animal}"],
            }
        ),
        rota=records.rota(["{morning: kibble, afternoon: prey}"]),
        limits=f"record: limits\nlimits:\n  - {house}\n",
    )
    checks = checks_of(outcome_of(fat_and_whole_prey, files, records.ON), "tapir")
    (open_,) = [check for check in checks if check.verdict is Verdict.CANNOT_TELL]
    assert open_.about == "whole prey share"
    assert words in open_.settles
