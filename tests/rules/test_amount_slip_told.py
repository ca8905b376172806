"""What is told of an amount that jumped: from what to what, how many times. Amounts are invented;
the factor of five and the fifth of another unit are common practice, no source.
"""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Severity, Verdict, exact
from dietcheck_rules import amount_slip
from tests import records
from tests.rules.past_records import findings, line, said
from tests.rules.test_amount_slip import FOODS, TWO, park
from tests.rules.told import figures, places


def change(old: str, new: str, food: str = "carrot", **changes: str) -> Check:
    """The one thing that is said of a line that goes from one amount to another."""
    (check,) = said(amount_slip, park(old, food, **changes), park(new, food, **changes))
    return check


def house(quantity: str, bound: str) -> str:
    """A limits record with one limit of the house."""
    return (
        f"record: limits\nlimits: [{{group: tapir, quantity: {quantity}, {bound}, over: meal,"
        " severity: medium, why: x, set_by: Dr Vale, on: 2026-01-01}]\n"
    )


@pytest.mark.parametrize(
    ("old", "new", "times"),
    [
        ("1.3 kg per animal", "13 kg per animal", "10 times as much"),
        ("100 g per animal", "10 g per animal", "1/10 of it"),
        ("20 to 30 g per animal", "20 to 300 g per animal", "10 times as much"),
        ("20 to 30 g per animal", "2 to 30 g per animal", "1/10 of it"),
        ("20 to 30 g per animal", "0 to 30 g per animal", "nothing of it"),
        ("0 to 30 g per animal", "10 to 150 g per animal", "5 times as much"),
        ("10 to 30 g per animal", "1 to 240 g per animal", "1/10 of it"),
    ],
)
def test_a_slip_tells_how_many_times(old: str, new: str, times: str) -> None:
    check = change(old, new)
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.HIGH)
    assert f"goes from {old} to {new}, " in check.message
    assert times in check.message
    assert f"Feed the last amount, {old}" in check.advice


def test_a_slip_shows_both_amounts_in_grams_and_the_bound() -> None:
    check = change("1.3 kg per animal", "13 kg per animal")
    assert figures(*check.working) == "1.3 1300 | 13 13000 | 5 0.2"
    assert places(check) == ["sheet roots 0 amount"]
    assert (check.animals, check.food) == (("T1",), "carrot")
    assert check.measured is not None
    assert check.measured.value == exact(10)


@pytest.mark.parametrize(
    ("new", "severity"),
    [
        ("1000 g per animal", None),  # exactly 1.2 times less
        ("1440 g per animal", None),
        ("1441 g per animal", Severity.LOW),
        ("999 g per animal", Severity.LOW),
    ],
)
def test_another_unit_matters_where_the_amount_is_another_too(
    new: str, severity: Severity | None
) -> None:
    """1.2 times either way is let pass."""
    check = change("1.2 kg per animal", new)
    assert (check.severity if check.verdict is Verdict.BREACH else None) is severity


def test_a_change_of_unit_is_told_with_its_times() -> None:
    check = change("1.2 kg per animal", "1.8 g per animal".replace("1.8 g", "1800 g"))
    assert "the unit changed and the amount with it, 1.5 times as much" in check.message
    assert (check.severity, places(check)) == (Severity.LOW, ["sheet roots 0 amount"])
    assert figures(*check.working[:2]) == "1.2 1200 | 1800 1800"
    assert check.measured is not None
    assert check.measured.value == exact("1.5")
    pieces = change("100 g per animal", "3 pieces per animal", "beet")
    assert (pieces.severity, pieces.about) == (Severity.MEDIUM, "unit changed")
    assert figures(*pieces.working[:2]) == "100 100 | 3 150"


def test_an_amount_that_nobody_can_compare_names_the_gap() -> None:
    check = change("50 g per animal", "2 pieces per animal")
    assert check.settles in check.message
    assert places(check) == ["sheet roots 0 amount"]
    assert check.animals == ("T1",)
    unweighed = change("600 g per animal", "3 g per kg body mass", group=records.group(animals=TWO))
    assert "weighing" in unweighed.settles


def test_per_kg_is_compared_over_all_animals_that_eat_of_the_line() -> None:
    """3 g per kg are 300 to 600 g; 600 g are once to twice that, and T3 gets none of it."""
    animals = [
        f"{{id: {name}, weighings: [{{on: 2026-11-20, mass: {kg} kg}}]}}"
        for name, kg in (("T1", 100), ("T2", 200))
    ] + ["{id: T3}"]
    group = records.group(animals=animals)

    def fed(amount: str) -> dict[str, str]:
        lines = [line("carrot", amount, "for: [T1, T2]"), line("leaf", "5 g per animal")]
        return records.small(foods=FOODS, group=group, sheet=records.sheet({"roots": lines}))

    (check,) = findings(said(amount_slip, fed("3 g per kg body mass"), fed("600 g per animal")))
    assert (check.severity, check.animals) == (Severity.MEDIUM, ("T1", "T2"))
    assert figures(*check.working[:2]) == "3 300 600 | 600 600"
    assert check.measured is not None
    assert check.measured.value == exact(1).hull(exact(2))


def test_a_house_may_move_the_bounds_or_leave_one_side_open() -> None:
    top = house("amount-against-last", "at_most: 3 times")
    assert change("100 g per animal", "300 g per animal", limits=top).verdict is Verdict.BREACH
    assert change("100 g per animal", "299 g per animal", limits=top).verdict is Verdict.KEPT
    low = change("100 g per animal", "1 g per animal", limits=top)
    assert low.verdict is Verdict.KEPT  # the lower side is the house's to leave out
    slipped = change("100 g per animal", "300 g per animal", limits=top)
    assert figures(slipped.working[2]) == "3 2026 01 01"
    floor = house("amount-against-last", "at_least: 0.5 times")
    halved = change("100 g per animal", "50 g per animal", limits=floor)
    assert (halved.verdict, figures(halved.working[2])) == (Verdict.BREACH, "0.5 2026 01 01")
    assert change("100 g per animal", "900 g per animal", limits=floor).verdict is Verdict.KEPT


def test_how_many_amounts_were_compared_is_told() -> None:
    lines = [line("carrot", "100 g per animal"), line("leaf", "50 g per animal")]
    more = [line("carrot", "110 g per animal"), line("leaf", "50 g per animal")]
    before, after = (
        records.small(foods=FOODS, sheet=records.sheet({"roots": one})) for one in (lines, more)
    )
    (check,) = said(amount_slip, before, after)
    assert (check.verdict, figures(check.message)) == (Verdict.KEPT, "2")
    new = records.small(
        foods=FOODS, sheet=records.sheet({"roots": [line("beet", "50 g per animal")]})
    )
    (check,) = said(amount_slip, before, new)
    assert check.verdict is Verdict.NOT_APPLICABLE
