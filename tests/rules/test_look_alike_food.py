"""Names of foods that are mixed up. The food lists are invented."""

from __future__ import annotations

from collections.abc import Mapping

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import look_alike_food
from dietcheck_rules.look_alike_food.pairs import _is_one_slip
from tests import records

BREACH, KEPT = Verdict.BREACH, Verdict.KEPT
MEDIUM, LOW = Severity.MEDIUM, Severity.LOW


def plant(organism: str = "", more: str = "") -> str:
    fields = [f"organism: {organism}"] if organism else []
    return "{" + ", ".join(["unknown_composition: x", *fields, *([more] if more else [])]) + "}"


def said(
    foods: Mapping[str, str], fed: str = "", species: str = "Tapirus terrestris"
) -> tuple[Check, ...]:
    files = records.small(
        group=records.group(species=species),
        foods=records.foods(**foods, hay="{same_as: hay-timothy-midbloom}"),
        sheet=records.sheet({"roots": [f"{{food: {fed or 'hay'}, amount: 10 g per animal}}"]}),
    )
    outcome = outcome_of(look_alike_food, files, records.ON)
    assert not outcome.failures
    return checks_of(outcome)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ({"pear": plant("Pyrus communis")}, {"pea": plant("Pisum sativum")}),
        ({"leek": plant()}, {"leak": plant()}),
        ({"carp": plant()}, {"crap": plant()}),
        ({"beetroot": plant()}, {"beet-root": plant()}),
        ({"rocket": plant()}, {"rockets": plant()}),
        ({"courgette": plant()}, {"zucchini": plant()}),
        ({"weed-mix": plant(more="also_called: [green mix]")},
         {"lamb-mix": plant(more="also_called: [Green Mix]")}),
        ({"sweet-potato": "{same_as: sweet-potato}"}, {"potato": "{same_as: potato}"}),
        ({"lime-fruit": plant("Citrus aurantiifolia")}, {"lime-branch": plant("Tilia cordata")}),
        ({"pepper": plant("Capsicum annuum")}, {"pepper-tree": plant("Schinus molle")}),
        ({"endive": "{same_as: endive}"}, {"chicory-leaf": "{same_as: chicory-greens}"}),
        ({"turnip": plant("Brassica rapa")}, {"swede": plant("Brassica napus")}),
    ],
)  # fmt: skip
def test_names_that_are_mixed_up_are_a_note(one: dict[str, str], other: dict[str, str]) -> None:
    (check,) = said({**one, **other})
    assert (check.verdict, check.severity) == (BREACH, LOW)
    assert len(check.places) == 2
    assert check.advice


@pytest.mark.parametrize(
    "foods",
    [
        {"kale": plant(), "carrot": plant()},
        {"pea": plant(), "pek": plant()},  # three letters
        {"mix-1": plant(), "mix-2": plant()},  # told apart on purpose
        {"carrot": plant("Daucus carota"), "baby-carrot": plant("Daucus carota")},
        {"tapir-pellet": plant(), "pellet": plant()},  # neither says what it is
        {"lime-fruit": plant("Citrus aurantiifolia"), "lime-juice": plant("Citrus aurantiifolia")},
    ],
)
def test_names_that_are_not_mixed_up_are_silent(foods: dict[str, str]) -> None:
    (check,) = said(foods)
    assert check.verdict is KEPT


def test_a_pair_is_medium_where_the_other_one_harms_a_group_that_is_fed_the_first() -> None:
    """Grapes, currants of the vine among them, harm dogs; currants of the bush do not."""
    foods = {
        "blackcurrant": plant("Ribes nigrum", "part: fruit, also_called: [currant]"),
        "vine-fruit": plant("Vitis vinifera", "part: fruit, also_called: [currants]"),
    }
    dog = "Canis lupus familiaris"
    assert said(foods, "blackcurrant", dog)[0].severity is MEDIUM
    assert "blackcurrant" in said(foods, "blackcurrant", dog)[0].message
    assert said(foods, "hay", dog)[0].severity is LOW
    assert said(foods, "vine-fruit", dog)[0].severity is LOW  # that is toxic-item's finding
    assert said(foods, "blackcurrant", "Ailurus fulgens")[0].severity is LOW


def test_a_mix_hands_its_ingredients_on() -> None:
    foods = {
        "blackcurrant": plant("Ribes nigrum", "part: fruit, also_called: [currant]"),
        "vine-fruit": plant("Vitis vinifera", "part: fruit, also_called: [currants]"),
        "mash": "{mix: {blackcurrant: 50 %, hay: 50 %}}",
    }
    assert said(foods, "mash", "Canis lupus familiaris")[0].severity is MEDIUM


def test_each_pair_is_told_once() -> None:
    foods = {
        "lime": plant("Citrus aurantiifolia", "also_called: [limes, lime fruit]"),
        "limes": plant("Tilia cordata", "also_called: [lime, lime tree]"),
    }
    assert len(said(foods)) == 1


def test_a_crowd_under_one_name_floods_nobody() -> None:
    foods = {f"mix{chr(97 + n)}x": plant(more="also_called: [greens]") for n in range(20)}
    assert len(said(foods)) <= 1


@given(st.text("abc ", max_size=8), st.text("abc ", max_size=8))
@settings(max_examples=200, deadline=None)
def test_a_slip_leads_back_the_way_it_came(one: str, other: str) -> None:
    assert _is_one_slip(one, other) == _is_one_slip(other, one)
