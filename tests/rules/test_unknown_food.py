"""A food on no list is never cleared, however deep it hides. All records are invented."""

from __future__ import annotations

import hypothesis.strategies as st
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.screening.report import RECORDS_RULE
from dietcheck.screening.screen import screen
from dietcheck.testing import Memory, checks_of, outcome_of
from dietcheck_rules import unknown_food
from tests import records


def said(**changes: str) -> tuple[Check, ...]:
    """What the rule says of the small park with some files changed."""
    return checks_of(outcome_of(unknown_food, records.small(**changes), records.ON), "tapir")


def test_a_park_that_lists_its_foods_is_kept() -> None:
    (check,) = said()
    assert check.verdict is Verdict.KEPT


def test_a_name_on_no_list_is_not_cleared() -> None:
    (check,) = said(sheet=records.sheet({"roots": ["{food: hedge, amount: 600 g per animal}"]}))
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.HIGH)
    assert check.food == "hedge"
    assert check.animals == ("T1",)
    assert {when.slot for when in check.occasions} == {"morning", "afternoon"}
    assert [place.path[-1] for place in check.places] == ["food"]


def test_part_of_a_listed_name_is_no_match_but_the_list_is_offered() -> None:
    (check,) = said(sheet=records.sheet({"roots": ["{food: carrots, amount: 6 g per animal}"]}))
    assert check.verdict is Verdict.CANNOT_TELL
    assert "carrot" in check.advice


def test_a_stranger_inside_a_mix_of_a_mix_is_found() -> None:
    (check,) = said(
        foods=records.foods(
            carrot="{same_as: carrot}",
            chop="{mix: {carrot: 50 %, inner: 50 %}}",
            inner="{mix: {carrot: 50 %, berries: 50 %}}",
        ),
        sheet=records.sheet({"roots": ["{food: chop, amount: 600 g per animal}"]}),
    )
    assert check.food == "berries"


def test_a_stranger_among_treats_and_supplements_is_found() -> None:
    files = {
        "sheet": records.sheet(
            {"roots": ["{food: carrot, amount: 6 g per animal}"]},
            more="supplements: [{food: dust, amount: 1 g per animal, with: [roots]}]",
        ),
        "treats": (
            "record: treats\ntreats:\n  - {on: 2026-11-26, group: tapir, purpose: training, "
            "items: [{food: sweets, amount: 5 g per animal}]}\n"
        ),
    }
    assert {check.food for check in said(**files)} == {"dust", "sweets"}


def test_one_stranger_on_many_lines_is_one_finding() -> None:
    files = records.small(
        sheet=records.sheet(
            {
                "roots": [
                    "{food: hedge, amount: 600 g per animal}",
                    "{food: hedge, amount: 200 g per animal, for: [T1]}",
                ]
            }
        )
    )
    (finding,) = outcome_of(unknown_food, files, records.ON).findings
    assert len(finding.check.places) == 2


def test_a_food_of_a_record_that_cannot_be_read_is_no_second_cause() -> None:
    broken = "record: foods\nfoods:\n  hedge: {same_as: carrot, colour: green}\n"
    files = records.small(sheet=records.sheet({"roots": ["{food: hedge, amount: 6 g per animal}"]}))
    report = screen(Memory({**files, "more.yaml": broken}), records.ON)
    rules = [finding.rule for finding in report.findings]
    assert "unknown-food" not in rules
    assert RECORDS_RULE in rules


@settings(deadline=None, max_examples=40)
@given(st.text("abcdefgh-", min_size=1, max_size=12).filter(lambda name: name[0] != "-"))
def test_only_the_exact_name_passes(name: str) -> None:
    checks = said(sheet=records.sheet({"roots": [f"{{food: {name}, amount: 6 g per animal}}"]}))
    assert [check.verdict for check in checks] == [Verdict.CANNOT_TELL]
    assert [check.food for check in checks] == [name]


def test_three_names_of_the_list_and_two_of_the_table_are_offered_at_most() -> None:
    names = [f"apple_{n}" for n in "abcde"]
    (check,) = said(
        foods=records.foods(**dict.fromkeys(names, "{same_as: carrot}")),
        sheet=records.sheet({"roots": ["{food: apple, amount: 6 g per animal}"]}),
    )
    near, bundled = check.advice.split(". ")[:2]
    assert near.count("apple-") == 3
    assert bundled.count(",") == 1
    (strange,) = said(sheet=records.sheet({"roots": ["{food: zzzz, amount: 6 g per animal}"]}))
    assert "list" not in strange.advice
    assert "table" not in strange.advice


def test_no_house_may_switch_it_off() -> None:
    assert unknown_food.describe().always_on
