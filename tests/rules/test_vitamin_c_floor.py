"""Vitamin C of whole diets. Foods are invented; limits are named where they count."""

from __future__ import annotations

from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck_rules import vitamin_c_floor
from tests.rules.levels_records import about, findings, food, in_the_park, line, said, verdict

CAPYBARA = "Hydrochoerus hydrochaeris"
MACAQUE = "Macaca sylvanus"
GUINEA_PIG = "Cavia porcellus"
SILENT = food("crude_protein: 10 %", "hay")
KILO = ("{id: A1, weighings: [{on: 2026-11-20, mass: 1 kg}]}",)


def pellet(amount: object) -> str:
    """A dry pellet with so much vitamin C, mg per kg."""
    return food(f"vitamin_c: {amount} mg/kg")


def judged(species: str, lines: list[str], **foods: str) -> tuple[Check, ...]:
    """What the rule says."""
    return said(vitamin_c_floor, species, foods, lines)


@pytest.mark.parametrize(("amount", "expected"), [(600, Verdict.KEPT), (599, Verdict.BREACH)])
def test_capybaras_have_a_floor(amount: int, expected: Verdict) -> None:
    """SL07, two reports seen as abstracts: 600 mg per kg dry matter."""
    check = about(judged(CAPYBARA, [line("pellet")], pellet=pellet(amount)), "vitamin C floor")
    assert verdict(check) == (expected, Severity.MEDIUM)


def test_what_hay_does_not_state_never_passes_and_never_breaks() -> None:
    foods = {"hay": SILENT, "pellet": pellet(1000)}
    (check,) = judged(CAPYBARA, [line("pellet"), line("hay")], **foods)
    assert verdict(check) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert "hay" in check.settles
    foods = {"hay": SILENT, "pellet": pellet(1200)}
    (check,) = judged(CAPYBARA, [line("pellet"), line("hay")], **foods)
    assert check.verdict is Verdict.KEPT


def test_primates_are_held_per_kg_of_food_and_of_body() -> None:
    """B072: 200 mg per kg dry matter. G021: 3 mg per kg body mass a day is the floor, below 6 low.

    2 × 10 g of pellet a day with 250 mg per kg are 5 mg for an animal of 1 kg.
    """
    checks = judged(MACAQUE, [line("pellet", "10 g per animal")], pellet=pellet(250))
    assert about(checks, "vitamin C floor").verdict is Verdict.KEPT
    check = about(checks, "vitamin C a day floor")
    assert verdict(check) == (Verdict.BREACH, Severity.LOW)
    checks = judged(MACAQUE, [line("pellet", "10 g per animal")], pellet=pellet(149))
    check = about(checks, "vitamin C a day floor")
    assert verdict(check) == (Verdict.BREACH, Severity.MEDIUM)
    assert about(checks, "vitamin C floor").verdict is Verdict.BREACH


def test_a_dose_needs_a_weighing() -> None:
    animals = ["{id: A1}"]
    checks = said(
        vitamin_c_floor, MACAQUE, {"pellet": pellet(900)}, [line("pellet")], animals=animals
    )
    check = about(checks, "vitamin C a day without a body mass")
    assert verdict(check) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert about(checks, "vitamin C floor").verdict is Verdict.KEPT


@pytest.mark.parametrize("species", ["Lemur catta", "Nycticebus pygmaeus", "Rousettus aegyptiacus"])
def test_who_makes_it_or_is_not_named_has_no_floor(species: str) -> None:
    (check,) = judged(species, [line("pellet")], pellet=pellet(0))
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_other_cavies_have_no_figure_yet() -> None:
    (check,) = judged("Dolichotis patagonum", [line("pellet")], pellet=pellet(0))
    assert check.verdict is Verdict.NOT_APPLICABLE
    assert "limit not yet sourced" in check.message


def test_a_pregnant_guinea_pig_needs_thrice_the_dose() -> None:
    """G025a, G025b, SACN5 p.1180: 10 and 30 mg per kg body mass a day."""
    for stage, expected in (("adult", Verdict.KEPT), ("pregnant", Verdict.BREACH)):
        animals = [f"{{id: A1, stage: {stage}, weighings: [{{on: 2026-11-20, mass: 1 kg}}]}}"]
        checks = said(
            vitamin_c_floor,
            GUINEA_PIG,
            {"pellet": pellet(500)},
            [line("pellet", "20 g per animal")],
            animals=animals,
        )
        assert about(checks, "vitamin C a day floor").verdict is expected


def test_birds_that_store_iron_have_ceilings() -> None:
    """C008 500 and C009 100 for toucans, basis open: the stricter applies, and low."""
    check = about(judged("Ramphastos toco", [line("pellet")], pellet=pellet(300)), "vitamin C ceil")
    assert verdict(check) == (Verdict.BREACH, Severity.LOW)
    assert [other.at_most for other in check.others] == [500]
    check = about(
        judged("Buceros bicornis", [line("pellet")], pellet=pellet(300)), "vitamin C ceil"
    )
    assert check.verdict is Verdict.KEPT


def test_the_capybaras_of_the_park() -> None:
    """The plan says 612 and, with cucumber, 66: both from memory.

    The tables give 648 and 124, of which the park's pellet with its invented label brings 135 mg a
    day. After the swap hay and grass, which state nothing, leave it open: medium.
    """
    check = about(in_the_park(vitamin_c_floor, "capybara"), "vitamin C floor")
    assert check.verdict is Verdict.KEPT
    assert check.measured is not None
    assert 640 < check.measured.value.low < 660
    draft = in_the_park(vitamin_c_floor, "capybara", "b02-capybara-cucumber.yaml")
    (check,) = findings(draft)
    assert verdict(check) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert check.measured is not None
    assert 120 < check.measured.value.low < 130
    assert "cut-grass" in check.settles


def test_the_marmosets_of_the_park_get_enough() -> None:
    checks = in_the_park(vitamin_c_floor, "marmoset")
    assert {check.verdict for check in checks} == {Verdict.KEPT}


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 1500), st.integers(0, 500))
def test_less_of_it_never_turns_a_breach_into_a_pass(amount: int, less: int) -> None:
    kept = []
    for figure in (amount + less, amount):
        foods = {"hay": SILENT, "pellet": pellet(figure)}
        (check,) = judged(CAPYBARA, [line("pellet"), line("hay")], **foods)
        kept.append(check.verdict is Verdict.KEPT)
        assert check.measured is not None
        assert check.measured.value.low == Decimal(figure) / 2
    assert kept[0] or not kept[1]
