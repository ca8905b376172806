"""Missing and borrowed figures, and amounts that are no grams. Foods and animals are invented."""

from __future__ import annotations

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import composition_known
from dietcheck_rules.composition_known.needs import needs
from tests import records

# Everything that rules ask for a tapir: dry matter, sugars, calcium, phosphorus, iron.
FULL = (
    "moisture: 50 %, sugars: 5 %, calcium: 0.5 %, phosphorus: 0.3 %, iron: 50 mg/kg, protein: 10 %"
)
CHOP = f"{{label: {{basis: as fed, {FULL}}}}}"
BLANK = CHOP.replace("iron: 50 mg/kg, ", "").replace("calcium: 0.5 %, ", "")


def said(*lines: str, **foods: str) -> tuple[Check, ...]:
    """What the rule says of a tapir fed these lines from these foods."""
    files = records.small(
        foods=records.foods(**(foods or {"chop": CHOP})),
        sheet=records.sheet({"roots": lines or ["{food: chop, amount: 600 g per animal}"]}),
    )
    outcome = outcome_of(composition_known, files, records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def test_a_food_whose_figures_are_all_there_is_kept() -> None:
    (check,) = said()
    assert check.verdict is Verdict.KEPT


def test_blank_figures_of_one_food_are_one_low_finding() -> None:
    (check,) = said(chop=BLANK)
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.LOW)
    assert check.food == "chop"
    assert "calcium" in check.message
    assert "iron" in check.message
    assert "sugars" not in check.message


@pytest.mark.parametrize(("grams", "named"), [(99, False), (100, True)])
def test_a_food_counts_from_a_tenth_of_the_whole_on(grams: int, named: bool) -> None:
    """10 %: common practice, no source. Iron is a trace nutrient, so its mass is compared."""
    lines = [
        f"{{food: chop, amount: {1000 - grams} g per animal}}",
        f"{{food: dust, amount: {grams} g per animal}}",
    ]
    dust = CHOP.replace("iron: 50 mg/kg, ", "")
    checks = said(*lines, chop=CHOP, dust=dust)
    assert {check.food for check in checks if check.verdict is Verdict.CANNOT_TELL} == (
        {"dust"} if named else set()
    )


def test_figures_of_a_similar_food_are_named_as_borrowed() -> None:
    checks = said(
        "{food: parsnip, amount: 600 g per animal}",
        parsnip="{same_as: carrot, stands_in: yes, why: no row for it}",
    )
    assert "composition borrowed" in {check.about for check in checks}


def test_an_ingredient_of_a_mix_is_named_not_the_mix() -> None:
    checks = said(
        "{food: bowl, amount: 600 g per animal}",
        chop=CHOP,
        blank=BLANK,
        bowl="{mix: {chop: 50 %, blank: 50 %}}",
    )
    assert {check.food for check in checks} == {"blank"}


def test_a_food_of_unknown_composition_is_named_for_every_need() -> None:
    (check,) = said(chop="{unknown_composition: unlabelled sack}")
    assert "dry matter" in check.message
    assert check.severity is Severity.LOW


@pytest.mark.parametrize(
    ("amount", "food", "cause"),
    [
        ("2 pieces per animal", CHOP, "piece mass"),
        ("20 ml per animal", CHOP, "density"),
        ("2000 IU per animal", CHOP, "strength in IU"),
    ],
)
def test_amounts_that_are_no_grams_ask_the_question(amount: str, food: str, cause: str) -> None:
    checks = said(f"{{food: chop, amount: {amount}}}", chop=food)
    (check,) = [c for c in checks if c.about.startswith("not in grams")]
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert check.about.endswith(cause)
    assert check.settles.endswith("?")
    assert check.places[0].path[-1] == "amount"


def test_two_carrots_with_a_piece_mass_are_grams() -> None:
    (check,) = said(
        "{food: chop, amount: 2 pieces per animal}", chop=CHOP[:-1] + ", piece: 50 to 70 g}"
    )
    assert check.verdict is Verdict.KEPT


def test_units_of_a_vitamin_with_its_strength_are_grams() -> None:
    strong = CHOP[:-2] + ", vitamin_d3: 500 IU/g}}"
    (check,) = said("{food: chop, amount: 2000 IU per animal}", chop=strong)
    assert check.verdict is Verdict.KEPT


def test_a_food_on_no_list_is_left_to_the_rule_about_it() -> None:
    (check,) = said("{food: stranger, amount: 2 pieces per animal}", chop=CHOP)
    assert check.verdict is Verdict.KEPT


def test_every_need_names_known_nutrients_and_taxa() -> None:
    from dietcheck.tables.nutrients import nutrients
    from dietcheck.tables.taxa import known_taxon_name

    assert {need.nutrient for need in needs()} <= set(nutrients())
    assert all(known_taxon_name(name) for need in needs() for name in need.taxa)


@settings(deadline=None, max_examples=30)
@given(
    st.lists(st.sampled_from(["sugars: 5 %", "calcium: 0.5 %", "phosphorus: 0.3 %"]), unique=True)
)
def test_stating_a_figure_never_adds_a_finding(stated: set[str]) -> None:
    label = ", ".join(["basis: as fed", "moisture: 50 %", "iron: 50 mg/kg", *sorted(stated)])
    (check,) = said(chop=f"{{label: {{{label}}}}}")
    missing = {"sugars", "calcium", "phosphorus"} - {text.partition(":")[0] for text in stated}
    assert all(name in check.message for name in missing)
    assert (check.verdict is Verdict.KEPT) == (not missing)
