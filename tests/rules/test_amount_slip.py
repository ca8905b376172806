"""An amount against the last one. The factor of five is common practice, no source."""

from __future__ import annotations

from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Severity, Verdict
from dietcheck_rules import amount_slip
from tests import records
from tests.rules.past_records import findings, grades, line, said

FOODS = records.foods(
    carrot="{same_as: carrot}",
    beet="{same_as: beetroot, piece: 50 g}",
    leaf="{same_as: lettuce-cos}",
)
SLIP = [(Verdict.BREACH, Severity.HIGH)]
MEDIUM = [(Verdict.BREACH, Severity.MEDIUM)]
LOW = [(Verdict.BREACH, Severity.LOW)]
TWO = ("{id: T1, weighings: [{on: 2026-11-20, mass: 200 kg}]}", "{id: T2}")


def park(
    amount: str, food: str = "carrot", start: str = "2026-01-01", **changes: str
) -> dict[str, str]:
    """A park with one line of a food."""
    files = {"foods": FOODS, "sheet": records.sheet({"roots": [line(food, amount)]}, start=start)}
    return records.small(**{**files, **changes})


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("1.3 kg per animal", "13 kg per animal", SLIP),
        ("100 g per animal", "500 g per animal", SLIP),  # exactly five times
        ("100 g per animal", "499 g per animal", []),
        ("100 g per animal", "20 g per animal", SLIP),  # exactly a fifth
        ("100 g per animal", "20.1 g per animal", []),
        ("100 g per animal", "100 g per animal", []),
        ("1.3 kg per animal", "1.3 g per animal", SLIP),
        ("1.3 kg per animal", "1300 g per animal", []),  # the same in another unit
        ("1.3 kg per animal", "900 g per animal", LOW),
        ("20 to 30 g per animal", "20 to 300 g per animal", SLIP),  # one end alone
        ("ad lib, expected 1 kg per animal", "ad lib, expected 10 kg per animal", SLIP),
        ("ad lib, expected 1 kg per animal", "ad lib, expected 1.5 kg per animal", []),
        ("3 g per kg body mass", "30 g per kg body mass", SLIP),
        ("600 g per animal", "3 g per kg body mass", []),  # 3 g × 200 kg is the same
        ("600 g per animal", "3 g per group", SLIP),
        ("3 g per kg body mass", "900 g per animal", MEDIUM),  # 1.5 times, on another basis
    ],
)
def test_a_jump_is_five_times_or_a_fifth(
    old: str, new: str, expected: list[tuple[Verdict, Severity]]
) -> None:
    checks = said(amount_slip, park(old), park(new))
    assert grades(checks) == expected
    if not expected:
        assert {check.verdict for check in checks} == {Verdict.KEPT}


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("100 g per animal", "2 pieces per animal", []),  # 2 × 50 g
        ("100 g per animal", "3 pieces per animal", MEDIUM),
        ("3 pieces per animal", "100 g per animal", MEDIUM),
        ("100 g per animal", "10 pieces per animal", SLIP),
    ],
)
def test_counting_instead_of_weighing(
    old: str, new: str, expected: list[tuple[Verdict, Severity]]
) -> None:
    assert grades(said(amount_slip, park(old, "beet"), park(new, "beet"))) == expected


def test_pieces_without_a_mass_cannot_be_compared() -> None:
    (check,) = said(amount_slip, park("50 g per animal"), park("2 pieces per animal"))
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert "piece mass" in check.settles
    assert check.food == "carrot"


def test_a_group_amount_is_shared_before_it_is_compared() -> None:
    group = records.group(animals=TWO)
    old, new = park("50 g per animal", group=group), park("100 g per group", group=group)
    assert grades(said(amount_slip, old, new)) == []


def test_fewer_animals_are_no_slip() -> None:
    """Five tapirs became one; each gets what it got."""
    many = records.group(animals=[f"{{id: T{n}}}" for n in range(5)])
    one = records.group(animals=["{id: T0}"])
    old, new = park("50 g per animal", group=many), park("51 g per animal", group=one)
    assert grades(said(amount_slip, old, new)) == []


def test_an_animal_without_a_weighing_leaves_another_basis_open() -> None:
    group = records.group(animals=["{id: T1}"])
    old, new = park("600 g per animal", group=group), park("3 g per kg body mass", group=group)
    (check,) = said(amount_slip, old, new)
    assert check.verdict is Verdict.CANNOT_TELL


def test_a_new_sheet_is_compared_with_the_one_before_it() -> None:
    old = park("100 g per animal")
    later = records.sheet({"roots": [line("carrot", "1 kg per animal")]}, start="2026-12-01")
    checks = said(amount_slip, old, {**old, "later.yaml": later})
    assert grades(checks) == SLIP
    assert findings(checks)[0].places[0].file == "later.yaml"


def test_steps_that_are_planned_ahead_are_compared_one_with_the_next() -> None:
    """100, 300, 900 g: nine times in all, three times in each step."""
    old = park("100 g per animal")
    steps = {
        f"{day}.yaml": records.sheet({"roots": [line("carrot", amount)]}, start=day)
        for day, amount in (("2026-12-01", "300 g per animal"), ("2026-12-08", "900 g per animal"))
    }
    assert grades(said(amount_slip, old, {**old, **steps})) == []


def test_a_food_that_moved_to_another_meal_is_the_same_food() -> None:
    rota = records.rota(["{morning: roots, afternoon: leaves}"] * 2)
    old = records.sheet({"roots": [line("carrot")], "leaves": [line("leaf")]})
    new = records.sheet({"roots": [line("leaf")], "leaves": [line("carrot", "1 kg per animal")]})
    before = records.small(foods=FOODS, sheet=old, rota=rota)
    (check,) = findings(said(amount_slip, before, {**before, "sheet.yaml": new}))
    assert check.food == "carrot"


def test_a_piece_that_was_weighed_anew_is_seen_under_an_unchanged_sheet() -> None:
    old = park("2 pieces per animal", "beet")
    new = park("2 pieces per animal", "beet", foods=FOODS.replace("50 g", "500 g"))
    assert grades(said(amount_slip, old, new)) == SLIP


def test_a_line_for_one_animal_is_compared_with_the_line_for_that_animal() -> None:
    group = records.group(animals=TWO)
    both = [line("carrot", "100 g per animal", "for: [T1]"),
            line("carrot", "1 kg per animal", "for: [T2]")]  # fmt: skip
    old = records.small(foods=FOODS, group=group, sheet=records.sheet({"roots": both}))
    new = records.small(foods=FOODS, group=group, sheet=records.sheet({"roots": both[::-1]}))
    assert grades(said(amount_slip, old, new)) == []


def test_a_renamed_file_is_no_change() -> None:
    old = park("100 g per animal")
    new = {("moved.yaml" if name == "sheet.yaml" else name): text for name, text in old.items()}
    assert {check.verdict for check in said(amount_slip, old, new)} == {Verdict.KEPT}


def test_without_an_earlier_version_the_reason_is_given() -> None:
    (check,) = said(amount_slip, None, park("13 kg per animal"))
    assert check.verdict is Verdict.NOT_APPLICABLE
    assert "no earlier version" in check.message


def test_a_new_group_has_nothing_to_compare_with() -> None:
    old = park("100 g per animal")
    new = {
        **old,
        "other.yaml": records.group(id="other", enclosure="Elsewhere"),
        "other-sheet.yaml": records.sheet({"roots": [line("carrot", "9 kg per animal")]}, "other"),
    }
    checks = said(amount_slip, old, new)
    assert [check.verdict for check in checks] == [Verdict.KEPT, Verdict.NOT_APPLICABLE]


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 3000), st.integers(1, 3000))
def test_the_verdict_is_the_ratio_and_nothing_else(old: int, new: int) -> None:
    checks = said(amount_slip, park(f"{old} g per animal"), park(f"{new} g per animal"))
    ratio = Decimal(new) / old
    assert grades(checks) == (SLIP if ratio >= 5 or 1 / ratio >= 5 else [])
