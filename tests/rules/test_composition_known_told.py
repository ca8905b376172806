"""What is told of missing figures: how many, of whom, at which line. All is invented."""

from __future__ import annotations

import pytest

from dietcheck.contract import Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import (
    composition_known,
)
from tests import records
from tests.rules import test_composition_known as composed
from tests.rules.told import places

BREACH, UNSURE, KEPT = Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT


def test_missing_figures_are_asked_for_with_what_they_may_bring() -> None:
    lines = [
        "{food: chop, amount: 850 g per animal}",
        "{food: blank, amount: 150 g per animal}",
    ]
    (check,) = composed.said(*lines, chop=composed.CHOP, blank=composed.BLANK)
    assert check.food == "blank"
    assert any("makes 15 % of the food" in step for step in check.working)
    assert "reported from 10 % on" in check.working[-1]
    assert places(check) == ["foods foods blank", "sheet meals roots 1"]
    assert len(check.weak) == len(check.working) - 1
    assert check.advice.startswith("Copy the figures")


def test_borrowed_figures_say_that_they_are_another_foods() -> None:
    found = composed.said(
        "{food: parsnip, amount: 600 g per animal}",
        parsnip="{same_as: carrot, stands_in: yes, why: no row for it}",
    )
    (check,) = [one for one in found if one.about == "composition borrowed"]
    assert "a similar food stand in for" in check.message
    assert check.advice.startswith("An analysis or a label of parsnip itself")


@pytest.mark.parametrize(
    ("amount", "question", "remedy"),
    [
        ("2 pieces", "What does one big chop weigh?", "piece: 50 to 70 g, under big-chop"),
        ("20 ml", "What does a millilitre of big chop weigh?", "density: 1.03 g/ml"),
        ("2000 IU", "How many IU of which nutrient are in big chop?", "its label, in IU"),
    ],
)
def test_an_amount_that_is_no_mass_asks_its_question(
    amount: str, question: str, remedy: str
) -> None:
    line = f"{{food: big-chop, amount: {amount} per animal}}"
    found = composed.said(line, line, big_chop=composed.CHOP)
    (check,) = [one for one in found if one.about.startswith("not in grams")]
    assert check.settles == question
    assert remedy in check.advice
    assert places(check) == ["sheet roots 0 amount", "sheet roots 1 amount"]
    assert check.message.count(amount) == 1


def test_where_nothing_is_fed_no_composition_is_asked_for() -> None:
    files = records.small(rota=records.rota(["{fast: planned}"] * 2))
    for found in (checks_of(outcome_of(composition_known, files, records.ON), "tapir"),):
        assert {one.verdict for one in found} == {Verdict.NOT_APPLICABLE}
