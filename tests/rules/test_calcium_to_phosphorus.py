"""Calcium and phosphorus of whole diets. Foods are invented unless a test names a source."""

from __future__ import annotations

from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Standing, Verdict
from dietcheck.quantities import exact
from dietcheck_rules import calcium_to_phosphorus
from tests import records
from tests.rules.levels_records import about, findings, food, in_the_park, line, said, verdict

DRAGON = "Pogona vitticeps"
MACAQUE = "Macaca mulatta"
PARROT = "Psittacus erithacus"
# SACN5 Table 71-6 p.1192: house cricket 0.3 mg calcium and 2.7 mg phosphorus per kcal, so 1:9.
CRICKET = food("calcium: 30 mg/100 g, phosphorus: 270 mg/100 g", "insect")
DUST = food("calcium: 38 %, phosphorus: 0 %", "supplement")
SALAD = food("calcium: 1.3 %, phosphorus: 0.6 %", "leafy green")
SILENT = food("crude_protein: 10 %", "browse")


def judged(species: str, lines: list[str], foods: dict[str, str]) -> tuple[Check, ...]:
    """What the rule says."""
    return said(calcium_to_phosphorus, species, foods, lines)


def test_undusted_insects_are_the_wrong_way_round() -> None:
    check = about(judged(DRAGON, [line("cricket")], {"cricket": CRICKET}), "Ca:P floor")
    assert verdict(check) == (Verdict.BREACH, Severity.MEDIUM)
    assert check.measured is not None
    assert check.measured.value.stands(at_least=Decimal("0.11"), at_most=Decimal("0.112"))
    assert check.limit is not None
    assert check.limit.standing is Standing.COMMON_PRACTICE
    assert "common practice, no source; the vet sets this" in check.message


def test_the_powder_counts() -> None:
    foods = {"cricket": CRICKET, "dust": DUST}
    checks = judged(DRAGON, [line("cricket"), line("dust", "2 g per animal")], foods)
    assert about(checks, "Ca:P floor").verdict is Verdict.KEPT


@pytest.mark.parametrize(
    ("calcium", "expected"), [("1.5", Verdict.KEPT), ("1.4999999", Verdict.BREACH)]
)
def test_exactly_at_the_floor_is_kept(calcium: str, expected: Verdict) -> None:
    leaf = food(f"calcium: {calcium} %, phosphorus: 1 %")
    check = about(judged(DRAGON, [line("leaf")], {"leaf": leaf}), "Ca:P floor")
    assert check.verdict is expected


def test_a_right_ratio_does_not_hide_ten_times_the_calcium() -> None:
    """Parrots 1 to 2 and 0.3 to 1.2 % calcium (ExpertPanel1998, basis open, so low)."""
    rich = food("calcium: 8 %, phosphorus: 4 %")
    checks = judged(PARROT, [line("rich")], {"rich": rich})
    assert about(checks, "Ca:P ceiling").verdict is Verdict.KEPT
    check = about(checks, "calcium ceiling")
    assert verdict(check) == (Verdict.BREACH, Severity.LOW)
    assert "basis not stated" in check.message
    assert check.food == "rich"


def test_an_open_amount_of_one_food_does_not_blur_its_ratio() -> None:
    check = about(
        judged(DRAGON, [line("salad", "10 to 900 g per animal")], {"salad": SALAD}), "Ca:P floor"
    )
    assert check.verdict is Verdict.KEPT
    assert check.measured is not None
    assert check.measured.value.high - check.measured.value.low < Decimal("1e-20")


def test_what_nobody_states_is_one_low_finding_that_names_the_food_and_the_lines() -> None:
    foods = {"salad": SALAD, "twig": SILENT}
    (check,) = findings(judged(DRAGON, [line("salad"), line("twig")], foods))
    assert verdict(check) == (Verdict.CANNOT_TELL, Severity.LOW)
    assert "twig" in check.settles
    assert "calcium" in check.settles
    assert "phosphorus" in check.settles
    assert any(place.path == ("foods", "twig") for place in check.places)


def test_what_nobody_states_is_medium_where_the_rest_already_looks_wrong() -> None:
    foods = {"cricket": CRICKET, "twig": SILENT}
    (check,) = findings(judged(DRAGON, [line("cricket"), line("twig")], foods))
    assert verdict(check) == (Verdict.CANNOT_TELL, Severity.MEDIUM)


def test_a_range_across_the_floor_with_all_foods_known_is_told_apart() -> None:
    leaf = food("calcium: 1 to 2 %, phosphorus: 1 %")
    check = about(judged(DRAGON, [line("leaf")], {"leaf": leaf}), "Ca:P floor")
    assert verdict(check) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert "leaf" in check.settles


def test_a_forgotten_powder_on_one_day_is_low_and_names_the_day() -> None:
    days = ["{morning: first, afternoon: second}", "{morning: second, afternoon: second}"]
    foods = {"cricket": CRICKET, "dust": DUST}
    checks = said(
        calcium_to_phosphorus,
        DRAGON,
        foods,
        [line("cricket"), line("dust", "5 g per animal")],
        afternoon=[line("cricket")],
        rota=records.rota(days),
    )
    assert about(checks, "Ca:P floor").verdict is Verdict.KEPT
    check = about(checks, "Ca:P on a single day")
    assert verdict(check) == (Verdict.BREACH, Severity.LOW)
    assert {when.number for when in check.occasions} == {2}


def test_infants_are_not_held_against_tables_for_weaned_animals() -> None:
    animals = ["{id: A1, stage: infant, weighings: [{on: 2026-11-20, mass: 1 kg}]}"]
    (check,) = said(
        calcium_to_phosphorus, MACAQUE, {"leaf": CRICKET}, [line("leaf")], animals=animals
    )
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_the_primate_rows_are_held_together() -> None:
    """NRC2003 Table 11-2 by reprint: Ca:P 1, calcium 0.8 %, phosphorus 0.6 % of dry matter."""
    leaf = food("calcium: 0.7 %, phosphorus: 0.6 %")
    checks = judged(MACAQUE, [line("leaf")], {"leaf": leaf})
    assert about(checks, "Ca:P floor").verdict is Verdict.KEPT
    assert about(checks, "phosphorus floor").verdict is Verdict.KEPT
    check = about(checks, "calcium floor")
    assert verdict(check) == (Verdict.BREACH, Severity.MEDIUM)
    assert "seen as a reprint" in check.message
    assert check.measured is not None
    assert check.measured.value == exact("0.7")


def test_a_species_without_figures_is_said_to_have_none() -> None:
    (check,) = judged("Tapirus terrestris", [line("leaf")], {"leaf": SALAD})
    assert check.verdict is Verdict.NOT_APPLICABLE
    assert "limit not yet sourced" in check.message


def test_the_dragons_of_the_park_are_well_dusted() -> None:
    """The plan says 2.2 from memory; the composition tables and invented labels give 2.6 to 2.8."""
    checks = in_the_park(calcium_to_phosphorus, "bearded-dragon")
    ratios = [check for check in checks if check.about.startswith("Ca:P floor")]
    assert {check.verdict for check in ratios} == {Verdict.KEPT}
    for check in ratios:
        assert check.measured is not None
        value = check.measured.value
        assert value.stands(at_least=Decimal("2.2"), at_most=Decimal("2.8")) == "inside"


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 50), st.integers(1, 50))
def test_more_powder_never_lowers_the_ratio(grams: int, more: int) -> None:
    foods = {"cricket": CRICKET, "dust": DUST}
    values = []
    for dust in (grams + 1, grams + 1 + more):
        checks = judged(DRAGON, [line("cricket"), line("dust", f"{dust} g per animal")], foods)
        measured = about(checks, "Ca:P floor").measured
        assert measured is not None
        values.append(measured.value)
    assert values[0].low <= values[1].low
