"""Food kept from one animal, in small groups. Animals, foods and amounts are invented."""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import individual_exclusion
from tests import records

CALM = "{id: T2, weighings: [{on: 2026-11-20, mass: 180 kg}]}"
CARROT = "{food: carrot, amount: 600 g per animal}"


def said(
    line: str = CARROT, never: str = "", health: str = "", fed: str = "together"
) -> tuple[Check, ...]:
    """A tapir with a list of its own beside one without, on one line of food."""
    first = (
        f"{{id: T1, never: [{never}], health: [{health}], "
        "weighings: [{on: 2026-11-20, mass: 200 kg}]}"
    )
    group = records.group(animals=(first, CALM)).replace("fed: together", f"fed: {fed}")
    outcome = outcome_of(
        individual_exclusion,
        records.small(
            group=group,
            foods=records.foods(
                carrot="{same_as: carrot}",
                banana="{same_as: banana}",
                mash="{mix: {banana: 10 %, carrot: 90 %}}",
                pudding="{mix: {mash: 50 %, carrot: 50 %}}",
            ),
            sheet=records.sheet({"roots": [line]}),
        ),
        records.ON,
    )
    assert not outcome.failures
    return checks_of(outcome)


def breaches(checks: tuple[Check, ...]) -> list[tuple[str, Severity, str | None, tuple[str, ...]]]:
    return [
        (c.verdict.value, c.severity, c.food, c.animals)
        for c in checks
        if c.verdict is Verdict.BREACH
    ]


def test_without_any_list_there_is_nothing_to_judge() -> None:
    (check,) = said()
    assert check.verdict is Verdict.NOT_APPLICABLE


@pytest.mark.parametrize("never", ["banana", "bananas"])
@pytest.mark.parametrize("food", ["banana", "mash", "pudding"])
def test_a_food_on_the_own_list_is_high_at_any_depth(never: str, food: str) -> None:
    checks = said(f"{{food: {food}, amount: 600 g per animal}}", never)
    assert breaches(checks) == [("breach", Severity.HIGH, "banana", ("T1",))]


def test_the_amount_counts_every_feed_of_the_day_and_the_share_in_a_mix() -> None:
    (check,) = said("{food: mash, amount: 600 g per animal}", "banana")
    assert check.measured is not None
    assert check.measured.value.high == 2 * 600 / 10  # two feeds, a tenth of the mix


def test_other_food_is_kept() -> None:
    (check,) = said(CARROT, "banana")
    assert check.verdict is Verdict.KEPT


@pytest.mark.parametrize(("fed", "caught"), [("singly", 0), ("together", 1), ("scattered", 1)])
def test_a_line_for_another_counts_where_they_are_not_fed_apart(fed: str, caught: int) -> None:
    line = "{food: banana, amount: 60 g per animal, for: [T2]}"
    assert len(breaches(said(line, "banana", fed=fed))) == caught


def test_the_own_line_counts_however_they_are_fed() -> None:
    line = "{food: banana, amount: 60 g per animal, for: [T1]}"
    assert breaches(said(line, "banana", fed="singly"))


@pytest.mark.parametrize("entry", ["diabetes", "Diabetic since 2024"])
def test_a_clinical_state_speaks_at_most_medium(entry: str) -> None:
    checks = said("{food: mash, amount: 600 g per animal}", health=entry)
    assert breaches(checks) == [("breach", Severity.MEDIUM, "banana", ("T1",))]
    assert breaches(said(CARROT, health=entry)) == []


def test_what_is_never_fed_is_told_once() -> None:
    checks = said("{food: banana, amount: 60 g per animal}", "banana", "diabetes")
    assert [severity for _, severity, _, _ in breaches(checks)] == [Severity.HIGH]


def test_a_state_without_a_food_list_is_no_pass() -> None:
    check = next(c for c in said(health="sore foot") if "sore foot" in c.message)
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_a_word_that_names_no_food_keeps_nothing_away_and_says_so() -> None:
    check = next(c for c in said(never="bannana") if c.verdict is Verdict.CANNOT_TELL)
    assert check.severity is Severity.LOW
    assert check.settles
