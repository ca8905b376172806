"""The floor for roughage. Foods with invented labels; every floor is common practice, no source.

The floor under test is half the dry matter; 10 % moisture in every label, so shares of dry matter
are shares as fed.
"""

from __future__ import annotations

from collections.abc import Sequence

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Standing, Verdict
from dietcheck.quantities import exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import roughage_floor
from tests import records

DRY = "label: {basis: as fed, moisture: 10 %}"
FOODS = {
    "hay": f"{{class: hay, {DRY}}}",
    "willow": f"{{class: browse, {DRY}}}",
    "pellet": f"{{class: compound feed, {DRY}}}",
    "carrot": f"{{class: root vegetable, {DRY}}}",
    "dandelion": f"{{class: leafy green, {DRY}}}",
    "cuttings": f"{{{DRY}}}",
    "half": "{mix: {hay: 50 %, pellet: 50 %}}",
}
HORSE = "Equus caballus"


def said(
    lines: Sequence[str], species: str = HORSE, limits: Sequence[str] = (), **changes: str
) -> tuple[Check, ...]:
    """What the rule says of a group that gets the lines twice a day."""
    files = {
        "group": records.group(species=species),
        "foods": records.foods(**FOODS),
        "sheet": records.sheet({"meal": lines}),
        "rota": records.rota(["{morning: meal, afternoon: meal}"] * 2),
    }
    if limits:
        files["limits"] = "record: limits\nlimits:\n" + "".join(f"  - {row}\n" for row in limits)
    outcome = outcome_of(roughage_floor, records.small(**{**files, **changes}), records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def line(food: str, grams: object) -> str:
    """One line of a meal; `grams` may be a phrase."""
    amount = grams if isinstance(grams, str) else f"{grams} g per animal"
    return f'{{food: {food}, amount: "{amount}"}}'


def test_half_the_dry_matter_as_roughage_is_kept_and_less_is_a_breach() -> None:
    (kept,) = said([line("hay", 300), line("willow", 200), line("pellet", 500)])
    assert kept.measured is not None
    assert (kept.verdict, kept.measured.value) == (Verdict.KEPT, exact(50))
    (breach,) = said([line("hay", 300), line("willow", 199), line("pellet", 501)])
    assert (breach.verdict, breach.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert "common practice, no source; the vet sets this" in breach.message
    assert breach.animals == ("T1",)
    assert breach.places


def test_mixes_count_by_their_ingredients() -> None:
    (kept,) = said([line("half", 1000)])
    assert kept.verdict is Verdict.KEPT
    assert kept.measured is not None
    assert kept.measured.value == exact(50)


def test_greens_are_roughage_for_tortoises_only() -> None:
    lines = [line("hay", 300), line("dandelion", 300), line("pellet", 400)]
    assert said(lines)[0].verdict is Verdict.BREACH
    assert said(lines, "Testudo hermanni")[0].verdict is Verdict.KEPT


def test_a_food_of_no_known_class_is_asked_about() -> None:
    (check,) = said([line("hay", 400), line("cuttings", 200), line("pellet", 400)])
    assert check.verdict is Verdict.CANNOT_TELL
    assert "cuttings" in check.settles
    (check,) = said([line("hay", 600), line("cuttings", 200), line("pellet", 200)])
    assert check.verdict is Verdict.KEPT


def test_hay_ad_lib_is_a_range() -> None:
    lines = [line("hay", "ad lib, expected 400 to 600 g per animal"), line("pellet", 500)]
    (check,) = said(lines)
    assert check.verdict is Verdict.CANNOT_TELL
    assert "hay" in check.settles


@pytest.mark.parametrize(
    ("species", "severity"),
    [
        ("Loxodonta africana", Severity.MEDIUM),
        ("Giraffa camelopardalis", Severity.MEDIUM),
        ("Hydrochoerus hydrochaeris", Severity.MEDIUM),
        ("Oryctolagus cuniculus", Severity.MEDIUM),
        ("Notamacropus rufogriseus", Severity.MEDIUM),
        ("Aldabrachelys gigantea", Severity.MEDIUM),
        ("Tapirus terrestris", Severity.LOW),
        ("Ailurus fulgens", Severity.LOW),
    ],
)
def test_who_is_judged_and_how_gravely(species: str, severity: Severity) -> None:
    (check,) = said([line("pellet", 1000)], species)
    assert (check.verdict, check.severity) == (Verdict.BREACH, severity)


@pytest.mark.parametrize("species", ["Dendrolagus goodfellowi", "Suricata suricatta"])
def test_who_is_not_judged(species: str) -> None:
    """Tree kangaroos: a guideline warns of too much browse. Meerkats: no fibre eaters."""
    (check,) = said([line("pellet", 1000)], species)
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_the_house_replaces_the_unsourced_floor() -> None:
    limit = (
        "{group: tapir, quantity: roughage-share, at_least: 80 % of dry matter, over: rota, "
        "severity: medium, why: invented, set_by: Dr Vale, on: 2026-01-01}"
    )
    (check,) = said([line("hay", 700), line("pellet", 300)], limits=[limit])
    assert check.verdict is Verdict.BREACH
    assert check.limit is not None
    assert check.limit.standing is Standing.SITE_RULE


def test_days_with_a_hole_are_not_judged() -> None:
    (check,) = said([line("hay", 1)], rota=records.rota(["{morning: meal}"] * 2))
    assert check.verdict is Verdict.NOT_APPLICABLE


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 2000), st.integers(1, 2000), st.integers(1, 1000))
def test_more_hay_never_turns_a_pass_into_a_breach(hay: int, pellet: int, more: int) -> None:
    (first,) = said([line("hay", hay), line("pellet", pellet)])
    (second,) = said([line("hay", hay + more), line("pellet", pellet)])
    assert (first.verdict, second.verdict) != (Verdict.KEPT, Verdict.BREACH)
