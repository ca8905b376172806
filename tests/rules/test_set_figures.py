"""What the house may set itself in the rules that look back. All figures are invented."""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck_rules import amount_slip, swap_equivalence
from tests import records
from tests.rules.past_records import findings, line, said


def park(grams: int, limit: str = "", food: str = "carrot") -> dict[str, str]:
    """A park that feeds so much of a food, with a limit of its own."""
    files = records.small(
        foods=records.foods(carrot="{same_as: carrot, here_for: [sugars]}", kale="{same_as: kale}"),
        sheet=records.sheet({"roots": [line(food, f"{grams} g per animal")]}),
    )
    if limit:
        files["limits.yaml"] = (
            f"record: limits\nlimits: [{{group: tapir, {limit}, severity: medium, why: invented,"
            " set_by: Dr Vale, on: 2026-01-01}]\n"
        )
    return files


def slips(grams: int, limit: str = "") -> list[Check]:
    """What is said of 100 g that became so many."""
    return findings(said(amount_slip, park(100, limit), park(grams, limit)))


@pytest.mark.parametrize(("grams", "found"), [(20, 1), (21, 0), (499, 0), (500, 1)])
def test_five_times_or_a_fifth_is_a_slip_and_says_that_it_is_habit(grams: int, found: int) -> None:
    checks = slips(grams)
    assert len(checks) == found
    for check in checks:
        assert check.severity is Severity.HIGH
        assert any("common practice, no source" in step for step in check.working)


def test_the_house_may_set_its_own_figure() -> None:
    limit = "quantity: amount-against-last, at_most: 3 times, over: day"
    (check,) = slips(300, limit)
    assert any("site rule of Dr Vale" in step for step in check.working)
    assert slips(299, limit) == []


def test_a_figure_that_cannot_be_counted_is_told_and_the_usual_one_used() -> None:
    limit = "quantity: amount-against-last, at_most: 300 %, over: day"
    verdicts = [check.verdict for check in slips(500, limit)]
    assert sorted(verdicts) == [Verdict.BREACH, Verdict.CANNOT_TELL]


def test_a_swap_is_held_to_what_the_house_asks() -> None:
    """Kale brings far less sugar than carrot; a house that asks for none of it lets it pass."""
    limit = "quantity: swap-key-nutrient, at_least: 0.01 times, over: day"

    def unequal(limit: str) -> list[Check]:
        checks = findings(said(swap_equivalence, park(100, limit), park(100, limit, "kale")))
        return [check for check in checks if check.severity is Severity.MEDIUM]

    assert len(unequal("")) == 1
    assert unequal(limit) == []
