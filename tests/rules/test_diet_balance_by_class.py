"""Shares of the diet and feeds a day. Foods with invented labels, 10 % moisture in all.

Published figures under test: A004 and A005 (MSDprim-new), SL03 (S-primate, older edition), A036
(NijboerISD), I004 (RedPandaGL), I007 (AZAotter2009 p.37), SL06 (S-otter).
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from dietcheck.contract import Check, Severity, Standing, Verdict
from dietcheck.quantities import exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import diet_balance_by_class
from tests import records

LABEL = (
    "label: {basis: as fed, moisture: 10 %, crude_protein: 10 %, crude_fat: 5 %, ash: 5 %, "
    "crude_fibre: 5 %, energy: 3 kcal/g}"
)
FOODS = {
    "pellet": f"{{class: compound feed, {LABEL}}}",
    "kale": f"{{class: leafy green, {LABEL}}}",
    "willow": f"{{class: browse, {LABEL}}}",
    "carrot": f"{{class: root vegetable, {LABEL}}}",
    "wet-kale": "{class: leafy green, label: {basis: as fed, moisture: 90 %}}",
}
GORILLA, BABOON, TOUCAN = "Gorilla gorilla", "Papio hamadryas", "Ramphastos toco"
PELLET = "pellet-share on dry matter over the rota"
GREENS = "greens-and-browse-share on unstated over the rota"
GREENS_DRY = "greens-and-browse-share on dry matter over the rota"
SITE = "severity: medium, why: invented, set_by: Dr Vale, on: 2026-01-01"


def said(
    lines: Sequence[str],
    species: str,
    days: Sequence[str] = ("{morning: meal, afternoon: meal}",) * 2,
    limits: Sequence[str] = (),
    stage: str = "adult",
) -> dict[str, Check]:
    """What the rule says, by what was tested."""
    animal = f"{{id: A1, stage: {stage}, weighings: [{{on: 2026-11-20, mass: 5 kg}}]}}"
    files = {
        "group": records.group(species=species, animals=[animal]),
        "foods": records.foods(**{name.replace("-", "_"): food for name, food in FOODS.items()}),
        "sheet": records.sheet({"meal": lines}),
        "rota": records.rota(days),
    }
    if limits:
        files["limits"] = "record: limits\nlimits:\n" + "".join(f"  - {row}\n" for row in limits)
    outcome = outcome_of(diet_balance_by_class, records.small(**files), records.ON)
    assert not outcome.failures
    return {check.about: check for check in checks_of(outcome, "tapir")}


def line(food: str, grams: object, more: str = "") -> str:
    """One line of a meal."""
    return f"{{food: {food}, amount: {grams} g per animal{more}}}"


def test_great_apes_have_the_figures_of_the_current_edition() -> None:
    """20 % pellet of dry matter, 40 % greens and browse; the older 50 % is shown, never applied."""
    lines = [line("pellet", 200), line("kale", 300), line("willow", 100), line("carrot", 400)]
    checks = said(lines, GORILLA)
    assert checks[PELLET].verdict is checks[GREENS].verdict is Verdict.KEPT
    pellet = checks[PELLET]
    assert pellet.measured is not None
    assert pellet.measured.value == exact(20)
    assert [row.sources[0].key for row in pellet.others] == ["S-primate"]
    lines = [line("pellet", 199), line("kale", 299), line("willow", 100), line("carrot", 402)]
    checks = said(lines, GORILLA)
    for about in (PELLET, GREENS):
        assert (checks[about].verdict, checks[about].severity) == (Verdict.BREACH, Severity.LOW)


def test_other_primates_have_the_older_edition_and_are_told_so() -> None:
    kept = said([line("pellet", 500), line("kale", 250), line("carrot", 250)], BABOON)
    assert kept[PELLET].verdict is kept[GREENS_DRY].verdict is Verdict.KEPT
    broken = said([line("pellet", 499), line("kale", 249), line("carrot", 252)], BABOON)
    for about in (PELLET, GREENS_DRY):
        assert (broken[about].verdict, broken[about].severity) == (Verdict.BREACH, Severity.LOW)
        assert "S-primate" in broken[about].message


def test_an_unstated_basis_is_compared_as_fed_and_said() -> None:
    """600 g of leaves with 90 % water are 60 % as fed and about 14 % of the dry matter."""
    check = said([line("wet-kale", 600), line("pellet", 400)], GORILLA)[GREENS]
    assert check.verdict is Verdict.KEPT
    assert "compared as fed" in check.message


@pytest.mark.parametrize(
    ("pellet", "verdict"),
    [(49, Verdict.BREACH), (50, Verdict.KEPT), (75, Verdict.KEPT), (76, Verdict.BREACH)],
)
def test_toucans_are_held_to_the_softbill_range_as_common_practice(
    pellet: int, verdict: Verdict
) -> None:
    check = said([line("pellet", pellet), line("carrot", 100 - pellet)], TOUCAN)[PELLET]
    assert check.verdict is verdict
    assert "common practice, no source" in check.message


def test_rows_for_a_guild_are_never_applied_to_the_taxon() -> None:
    """A036 for softbills at large and A037 for herbivorous tortoises."""
    for species in ("Spheniscus humboldti", "Testudo hermanni"):
        assert set(said([line("pellet", 100)], species)) == {"balance"}


def test_treats_are_judged_elsewhere() -> None:
    """One cause is one finding: the rule on treats has them all."""
    lines = [line("pellet", 1), line("kale", 100, ", treat: training")]
    assert not any("treat" in about for about in said(lines, "Canis lupus"))


TWICE = "{morning: meal, afternoon: meal}"
ONCE = "{morning: meal, afternoon: no feed}"
THRICE = "{morning: meal, noon: meal, afternoon: meal}"
FAST = "{fast: planned}"


@pytest.mark.parametrize(
    ("species", "days", "verdict"),
    [
        ("Ailurus fulgens", (TWICE, TWICE), Verdict.KEPT),
        ("Ailurus fulgens", (TWICE, ONCE), Verdict.BREACH),
        ("Ailurus fulgens", (TWICE, FAST), Verdict.KEPT),
        ("Pteronura brasiliensis", (THRICE, THRICE), Verdict.KEPT),
        ("Pteronura brasiliensis", (THRICE, TWICE), Verdict.BREACH),
        ("Aonyx cinereus", (THRICE, THRICE), Verdict.KEPT),
        ("Aonyx cinereus", (TWICE, TWICE), Verdict.BREACH),
    ],
)
def test_feeds_a_day(species: str, days: Sequence[str], verdict: Verdict) -> None:
    checks = feeds(species, days)
    breaches = [check for check in checks if check.verdict is Verdict.BREACH]
    assert bool(breaches) is (verdict is Verdict.BREACH)
    for check in breaches:
        assert check.severity is Severity.MEDIUM


def feeds(species: str, days: Sequence[str]) -> list[Check]:
    """What is said of the feeds of a day."""
    animal = "{id: A1, weighings: [{on: 2026-11-20, mass: 5 kg}]}"
    files = records.small(
        group=records.group(species=species, animals=[animal]),
        foods=records.foods(pellet=FOODS["pellet"]),
        sheet=records.sheet({"meal": [line("pellet", 100)], "more": [line("pellet", 100)]}),
        rota=records.rota(days),
    )
    outcome = outcome_of(diet_balance_by_class, files, records.ON)
    return [check for check in checks_of(outcome, "tapir") if check.about == "feeds a day"]


def test_a_breach_of_the_feeds_names_the_day_with_too_few() -> None:
    breach = next(c for c in feeds("Ailurus fulgens", (TWICE, ONCE)) if c.verdict is Verdict.BREACH)
    assert {when.number for when in breach.occasions} == {2}
    assert breach.places


def test_several_meals_in_one_feed_are_one_feed() -> None:
    (check,) = feeds("Ailurus fulgens", ("{morning: [meal, more], afternoon: no feed}",) * 2)
    assert check.verdict is Verdict.BREACH


@pytest.mark.parametrize(
    ("species", "about"),
    [
        ("Lemur catta", "vegetable-share on  over the rota"),
        ("Tapirus terrestris", "produce-share on  over the rota"),
        ("Suricata suricatta", "balance"),
    ],
)
def test_absences_are_said_as_such(species: str, about: str) -> None:
    check = said([line("pellet", 100)], species)[about]
    assert check.verdict is Verdict.NOT_APPLICABLE
    assert "limit not yet sourced" in check.message


def test_a_limit_of_the_house_on_a_share_is_judged() -> None:
    bound = "at_most: 10 % of dry matter, over: rota"
    limit = f"{{group: tapir, quantity: produce-share, {bound}, {SITE}}}"
    lines = [line("pellet", 80), line("carrot", 11), line("kale", 9)]
    checks = said(lines, "Tapirus terrestris", limits=[limit])
    check = checks["produce-share on dry matter over the rota"]
    assert check.verdict is Verdict.BREACH
    assert check.limit is not None
    assert check.limit.standing is Standing.SITE_RULE
