"""Supplements that are gone. Foods are invented; four fifths are common practice, no source."""

from __future__ import annotations

import pytest

from dietcheck.contract import Severity, Verdict
from dietcheck_rules import supplement_dropped
from tests import records
from tests.rules.past_records import findings, grades, line, said
from tests.rules.worked import steps

FOODS = {
    "fish": "{class: fish, label: {basis: as fed, moisture: 75 %, thiamin: 0 mg/kg}}",
    "leaf": "{same_as: lettuce-cos}",
    "tablet": "{class: supplement, label: {basis: as fed, thiamin: 12000 mg/kg, calcium: 8 %}}",
    "other_tablet": "{class: supplement, label: {basis: as fed, thiamin: 12000 mg/kg,"
    " calcium: 8 %}}",
    "weak_tablet": "{class: supplement, label: {basis: as fed, thiamin: 9000 mg/kg}}",
    "silent_tablet": "{class: supplement, unknown_composition: no label}",
    "silent_leaf": "{same_as: kale}",
    "zero_tablet": "{class: supplement, label: {basis: as fed, thiamin: 0 mg/kg}}",
    "trace_tablet": "{class: supplement, label: {basis: as fed, thiamin: 5 mg/kg}}",
    "fishcake": "{mix: {fish: 50 %, leaf: 50 %}}",
    "dusted": "{mix: {leaf: 99 %, tablet: 1 %}}",
}
TABLET = "supplements: [{food: tablet, amount: 1 g per animal, with: [roots]}]"


def park(lines: list[str], more: str = TABLET, **changes: str) -> dict[str, str]:
    """A park with a meal and its supplements."""
    sheet = records.sheet({"roots": lines}, more=more)
    return records.small(**{"foods": records.foods(**FOODS), "sheet": sheet, **changes})


FISH = [line("fish")]
LEAF = [line("leaf")]
HIGH = [(Verdict.BREACH, Severity.HIGH)]
MEDIUM = [(Verdict.BREACH, Severity.MEDIUM)]


@pytest.mark.parametrize(
    ("lines", "expected"), [(FISH, HIGH), (LEAF, MEDIUM), ([*FISH, *LEAF], HIGH)]
)
def test_gone_while_its_food_is_still_there(
    lines: list[str], expected: list[tuple[Verdict, Severity]]
) -> None:
    checks = said(supplement_dropped, park(lines), park(lines, ""))
    assert grades(checks) == expected
    assert findings(checks)[0].food == "tablet"
    assert "thiamin" in findings(checks)[0].message


def test_nothing_is_lost_when_nothing_changed_or_the_food_went_too() -> None:
    for after in (park(FISH), park(LEAF, "")):
        checks = said(supplement_dropped, park(FISH), after)
        assert {check.verdict for check in checks} == {Verdict.KEPT}


@pytest.mark.parametrize(
    ("name", "amount", "expected"),
    [
        ("other-tablet", "1 g", []),
        ("other-tablet", "0.8 g", []),  # exactly four fifths of the thiamin and the calcium
        ("other-tablet", "0.79 g", HIGH),
        ("weak-tablet", "1 g", HIGH),
        ("silent-tablet", "1 g", HIGH),
    ],
)
def test_another_one_in_its_place_must_bring_the_same(
    name: str, amount: str, expected: list[tuple[Verdict, Severity]]
) -> None:
    more = TABLET.replace("food: tablet", f"food: {name}").replace("1 g", amount)
    checks = said(supplement_dropped, park(FISH), park(FISH, more))
    assert grades(checks) == expected


def test_one_without_figures_is_missed_by_name() -> None:
    silent = TABLET.replace("food: tablet", "food: silent-tablet")
    assert grades(said(supplement_dropped, park(FISH, silent), park(FISH, ""))) == HIGH


def test_one_that_left_the_food_list_is_gone_too() -> None:
    entries = {name: entry for name, entry in FOODS.items() if name not in ("tablet", "dusted")}
    after = park(FISH, foods=records.foods(**entries))
    assert grades(said(supplement_dropped, park(FISH), after)) == HIGH


def test_one_inside_a_mix_counts() -> None:
    lines = [*FISH, line("dusted")]
    assert grades(said(supplement_dropped, park(lines, ""), park([*FISH, *LEAF], ""))) == HIGH
    assert grades(said(supplement_dropped, park(lines, ""), park(FISH))) == []


def test_one_in_a_meal_that_the_rota_no_longer_calls_for_is_not_given() -> None:
    meals = {"roots": FISH, "second": FISH}
    sheet = records.sheet(meals, more=TABLET)
    both = "{morning: roots, afternoon: second}"
    old = park(FISH, sheet=sheet, rota=records.rota([both] * 2))
    new = {**old, "rota.yaml": records.rota(["{morning: second, afternoon: second}"] * 2)}
    assert grades(said(supplement_dropped, old, new)) == HIGH


def test_a_sheet_to_come_is_looked_at() -> None:
    old = park(FISH)
    later = records.sheet({"roots": FISH}, start="2026-12-01")
    (check,) = findings(said(supplement_dropped, old, {**old, "later.yaml": later}))
    assert "from 2026-12-01" in check.message


def test_without_an_earlier_version_the_reason_is_given() -> None:
    (check,) = said(supplement_dropped, None, park(FISH, ""))
    assert check.verdict is Verdict.NOT_APPLICABLE


TWO_MEALS = records.rota(["{morning: roots, afternoon: leaves}"] * 2)


def test_only_foods_that_it_was_given_with_call_for_it() -> None:
    """The tablet went with the fish of one meal; the leaves of the other never had any."""

    def meals(roots: str, more: str) -> dict[str, str]:
        sheet = records.sheet({"roots": [roots], "leaves": LEAF}, more=more)
        return records.small(foods=records.foods(**FOODS), sheet=sheet, rota=TWO_MEALS)

    fed = meals(line("fish"), TABLET)
    assert grades(said(supplement_dropped, fed, meals(line("fish"), ""))) == HIGH
    other = meals("{food: silent-leaf, amount: 100 g per animal}", "")
    checks = said(supplement_dropped, fed, other)
    assert not findings(checks)


def test_another_supplement_that_stays_is_no_food_it_was_for() -> None:
    weak = "supplements: [{food: weak-tablet, amount: 1 g per animal, with: [roots]}]"
    both = TABLET[:-1] + ", {food: weak-tablet, amount: 1 g per animal, with: [roots]}]"
    checks = said(supplement_dropped, park(FISH, both), park(LEAF, weak))
    assert not findings(checks)


def test_the_part_that_counts_as_still_there_is_named() -> None:
    (check,) = findings(said(supplement_dropped, park(FISH), park(FISH, "")))
    assert "80 %" in check.message + " ".join(check.working)


def test_before_and_now_are_told_in_figures_and_when() -> None:
    """In two feeds 2 g of tablet hold 24 mg of thiamin."""
    old = park(FISH)
    today = records.sheet({"roots": FISH}, start="2026-11-25")
    for new in (park(FISH, ""), {**old, "later.yaml": today}):
        (check,) = findings(said(supplement_dropped, old, new))
        assert ["1", "24", "0"] in steps(check.working)
        assert " from " not in check.message


@pytest.mark.parametrize(("name", "short"), [("zero-tablet", False), ("trace-tablet", True)])
def test_a_tablet_of_nothing_is_missed_and_one_of_traces_with_what_it_brought(
    name: str, short: bool
) -> None:
    tablet = TABLET.replace("food: tablet", f"food: {name}")
    (check,) = findings(said(supplement_dropped, park(FISH, tablet), park(FISH, "")))
    assert ("thiamin" in check.message) is short
    assert check.severity is Severity.HIGH


def test_fish_inside_a_mix_needs_its_tablet_as_well() -> None:
    cake = [line("fishcake")]
    assert grades(said(supplement_dropped, park(cake), park(cake, ""))) == HIGH


def test_without_a_rota_now_nothing_is_compared() -> None:
    new = park(FISH, "")
    del new["rota.yaml"]
    assert not findings(said(supplement_dropped, park(FISH), new))


@pytest.mark.parametrize(
    ("bound", "expected"),
    [
        ("at_least: 0.5 times", HIGH),
        ("at_least: 5 mm", [(Verdict.CANNOT_TELL, Severity.MEDIUM), *HIGH]),
        ("at_most: 2 times", []),  # no least: nothing can fall short of it
    ],
)
def test_the_house_says_what_part_must_be_left(
    bound: str, expected: list[tuple[Verdict, Severity]]
) -> None:
    ours = (
        "record: limits\nlimits:\n  - {group: tapir, quantity: nutrient-against-last, "
        f"{bound}, over: day, why: x, set_by: Dr Vale, on: 2026-01-01, severity: medium}}\n"
    )
    checks = said(supplement_dropped, park(FISH, limits=ours), park(FISH, "", limits=ours))
    assert grades(checks) == expected
