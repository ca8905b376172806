"""What is told of a share of the diet by food class, shown on the floor for roughage. Foods carry
invented labels, 10 % water in each; half the dry matter is common practice, no source."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.quantities import exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import roughage_floor
from tests import records
from tests.rules.worked import figures, steps

BREACH, KEPT, OPEN = Verdict.BREACH, Verdict.KEPT, Verdict.CANNOT_TELL
DRY = "label: {basis: as fed, moisture: 10 %}"
FOODS = {
    "hay": f"{{class: hay, {DRY}}}",
    "willow": f"{{class: browse, {DRY}}}",
    "pellet": f"{{class: compound feed, {DRY}}}",
    "half": "{mix: {hay: 50 %, pellet: 50 %}}",
    "cuttings": f"{{{DRY}}}",
    "damp": "{class: hay, label: {basis: as fed, moisture: 10 to 80 %}}",
}
ONE = "{id: T1}"


def house(bound: str, over: str = "rota", severity: str = "medium") -> str:
    return (
        f"{{group: tapir, quantity: roughage-share, {bound}, over: {over}, severity: {severity},"
        " why: x, set_by: Dr Vale, on: 2026-01-01}"
    )


def said(
    *lines: tuple[str, object],
    limit: str = "",
    animals: Sequence[str] = (ONE,),
    species: str = "Equus caballus",
    **more: Any,
) -> Check:
    """The one check on horses that get some grams of these foods twice a day."""
    texts = []
    for name, grams in lines:
        food, _, whom = name.partition("@")
        amount = grams if isinstance(grams, str) else f"{grams} g per animal"
        texts.append(f"{{food: {food}, amount: '{amount}'{f', for: [{whom}]' if whom else ''}}}")
    foods = more.pop("foods", {})
    files = records.small(
        group=records.group(species=species, animals=animals),
        foods=records.foods(**FOODS | foods),
        sheet=records.sheet({"meal": texts}),
        rota=records.rota(["{morning: meal, afternoon: meal}"] * 2),
        **({"limits": f"record: limits\nlimits: [{limit}]\n"} if limit else {}),
        **more,
    )
    outcome = outcome_of(roughage_floor, files, records.ON)
    assert not outcome.failures
    found = checks_of(outcome, "tapir")
    (check,) = [c for c in found if c.limit and c.limit.set_by] if limit else found
    return check


def test_a_share_that_is_too_small_is_worked_out_food_by_food() -> None:
    """In four feeds 1200 g of willow and 600 of hay in 4000 g: 1620 of 3600 g dry matter."""
    check = said(("hay", 150), ("willow", 300), ("pellet", 550))
    assert (check.verdict, check.severity) == (BREACH, Severity.MEDIUM)
    assert check.measured is not None
    assert check.measured.value == exact(45)
    told = steps(check.working)
    assert told[:3] == [["1200", "2", "90", "1080"], ["600", "2", "90", "540"], ["3600", "45"]]
    assert ["5"] in told  # percentage points past it
    assert any(step.startswith("limit: at least 50 %") for step in check.working)
    assert [place.path[2] for place in check.places] == [1, 0]  # the biggest first
    assert "more of it" in check.advice
    assert check.settles == ""
    assert check.weak == ()
    assert {when.number for when in check.occasions} == {1, 2}
    assert "the limit is" in check.message
    assert "more)" not in check.message


def test_a_share_that_is_kept_asks_for_nothing() -> None:
    check = said(("hay", 300), ("willow", 200), ("pellet", 500))
    assert check.verdict is KEPT
    nothing = (check.advice, check.occasions, check.working, check.weak, check.places)
    assert nothing == ("", (), (), (), ())
    assert "within" in check.message
    damp = said(("damp", 900), ("pellet", 10))
    assert (damp.verdict, damp.weak) == (KEPT, ())


def test_a_share_that_is_too_large_asks_for_less() -> None:
    check = said(("hay", 500), ("pellet", 500), limit=house("at_most: 40 % as fed"))
    assert check.verdict is BREACH
    assert "less of it" in check.advice
    assert [step for step in check.working if step.startswith("÷")] == [
        "÷ all together 4000 g as fed = 50 % as fed"
    ]
    assert check.places[-1].file == "limits.yaml"
    assert not any("dry matter" in step for step in check.working[:1])


def test_what_counts_of_a_mix_and_what_does_not_count_at_all_is_told() -> None:
    half = said(("half", 400), ("pellet", 600))
    assert "50 % counts" in half.working[0]
    names = ("pellet", "mash", "bran", "cake")
    feeds = dict.fromkeys(names, FOODS["pellet"])
    none = said(*zip(names, (100, 400, 300, 200), strict=True), foods=feeds)
    assert none.working[0].startswith("none of the foods")
    assert [place.path[2] for place in none.places] == [1, 2, 3]  # the biggest three
    apart = said(("pellet@T1", 100), ("pellet@T2", 100), animals=(ONE, "{id: T2}"))
    assert [place.path[2] for place in apart.places] == [0]  # the line of the animal that is shown


@pytest.mark.parametrize(("count", "more"), [(5, []), (6, [["1"]])])
def test_five_foods_are_listed_and_the_others_counted(count: int, more: list[list[str]]) -> None:
    names = {f"hay_{'abcdef'[n]}": FOODS["hay"] for n in range(count)}
    lines = [(name.replace("_", "-"), 10) for name in names]
    check = said(*lines, ("pellet", 500), foods=names)
    assert steps(check.working)[5 : 5 + len(more)] == more
    assert any("more foods" in step for step in check.working) is bool(more)
    assert len(check.places) == 3


def test_a_question_is_never_graver_than_its_limit_and_asks_for_what_is_widest() -> None:
    low = house("at_least: 50 % of dry matter", severity="low")
    for limit, severity in ((low, Severity.LOW), ("", Severity.MEDIUM)):
        check = said(("cuttings", 500), ("pellet", 500), limit=limit)
        assert (check.verdict, check.severity) == (OPEN, severity)
        assert "class of food" in check.settles
        assert "cuttings" in check.settles
        assert "cannot be told" in check.message
        assert check.advice != said(("pellet", 500)).advice
    amount = said(("hay", "ad lib, expected 100 to 900 g per animal"), ("pellet", 300))
    assert "how much" in amount.settles
    assert "(hay)" in amount.settles
    water = said(("damp", 500), ("pellet", 300))
    assert "water content" in water.settles
    assert "(damp)" in water.settles
    assert any("damp" in why for why in water.weak)
    soup = {"soup": "{class: hay, label: {basis: as fed, moisture: 99 %}}"}
    some = "ad lib, expected {} g per animal".format
    two = said(("soup", some(900)), ("hay", some(100)), ("pellet", 100), foods=soup)
    assert "(hay)" in two.settles  # the widest in dry matter, not in the bowl


def test_the_animals_that_stand_alike_are_counted_and_lines_of_others_left_out() -> None:
    two = (ONE, "{id: T2}")
    both = said(("hay", 100), ("pellet", 500), animals=two)
    assert "T1 (and 1 more)" in both.message
    files = {"pellet@T2": 500, "hay": 100, "pellet@T1": 400}
    checks = said(*files.items(), animals=two)
    assert checks.animals == ("T2", "T1")


@pytest.mark.parametrize("over", ["day", "7 days", "rota"])
def test_a_share_over_a_day_a_week_and_the_rota(over: str) -> None:
    """75 % on one of two days and 25 % on the other; a week may hold one poor day more."""
    line = "{{food: {}, amount: {} g per animal}}".format
    sheet = records.sheet(
        {
            "meal": [line("hay", 300), line("pellet", 100)],
            "poor": [line("hay", 100), line("pellet", 300)],
        }
    )
    rota = records.rota([f"{{morning: {meal}, afternoon: no feed}}" for meal in ("meal", "poor")])
    files = records.small(
        group=records.group(species="Equus caballus", animals=[ONE]),
        foods=records.foods(**FOODS), sheet=sheet, rota=rota,
        limits=f"record: limits\nlimits: [{house('at_least: 60 % as fed', over)}]\n",
    )  # fmt: skip
    checks = checks_of(outcome_of(roughage_floor, files, records.ON), "tapir")
    (check,) = [c for c in checks if c.limit and c.limit.set_by]
    assert check.measured is not None
    assert ("days" in check.working[0]) is (over != "day")
    found = float(check.measured.value.low)
    assert found == pytest.approx({"day": 25, "7 days": (3 * 75 + 4 * 25) / 7, "rota": 50}[over])


def test_a_limit_that_no_share_can_be_counted_in_is_asked_about() -> None:
    check = said(("hay", 9), limit=house("at_least: 5 mm"))
    assert (check.verdict, check.places[0].file) == (OPEN, "limits.yaml")
    meal = said(("hay", 9), limit=house("at_least: 5 % as fed", "meal"))
    assert meal.verdict is OPEN
    assert figures(meal.message)


def test_days_with_holes_alone_are_no_days() -> None:
    files = records.small(
        group=records.group(species="Equus caballus", animals=[ONE]),
        foods=records.foods(**FOODS),
        sheet=records.sheet({"meal": ["{food: hay, amount: 9 g per animal}"]}),
        rota=records.rota(["{morning: meal}"] * 2),
    )
    (check,) = checks_of(outcome_of(roughage_floor, files, records.ON), "tapir")
    assert check.verdict is Verdict.NOT_APPLICABLE


@pytest.mark.parametrize(("over", "value"), [("day", 100), ("rota", None), ("7 days", None)])
def test_a_day_with_a_hole_is_no_day_and_breaks_the_runs(over: str, value: int | None) -> None:
    """The second day gives half of it in pellets and leaves the afternoon open."""
    files = records.small(
        group=records.group(species="Equus caballus", animals=[ONE]),
        foods=records.foods(**FOODS),
        sheet=records.sheet(
            {
                "meal": ["{food: hay, amount: 9 g per animal}"],
                "poor": ["{food: pellet, amount: 9 g per animal}"],
            }
        ),
        rota=records.rota(["{morning: meal, afternoon: meal}", "{morning: poor}"]),
        limits=f"record: limits\nlimits: [{house('at_least: 60 % as fed', over)}]\n",
    )
    checks = checks_of(outcome_of(roughage_floor, files, records.ON), "tapir")
    own = [c for c in checks if c.limit and c.limit.set_by]
    assert [c.verdict for c in own] == ([KEPT] if value else [])
