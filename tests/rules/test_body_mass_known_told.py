"""What is told of weights: how old, for how many, by which line. All records are invented."""

from __future__ import annotations

from datetime import timedelta

import pytest

from dietcheck.contract import Check, Severity, Verdict, exact
from tests import records
from tests.rules.test_body_mass_known import PLAN, said, weighed
from tests.rules.told import figures, places


def ago(days: int, more: str = "", name: str = "T1") -> str:
    """An animal weighed so many days ago."""
    return weighed(records.ON - timedelta(days=days), more).replace("T1", name)


def test_the_oldest_weight_is_named_first_and_each_has_its_line() -> None:
    (check,) = said(ago(100), ago(200, name="T2"), ago(10, name="T3"), ago(91, name="T4"))
    assert check.animals == ("T2", "T1", "T4")
    assert figures(check.message) == "2 200 2026 05 09 90"
    assert [figures(step.partition(":")[2]) for step in check.working] == [
        f"2026 11 25 {days} 90" for days in (200, 100, 91)
    ]
    assert places(check) == [f"group {n} weighings 0" for n in (1, 0, 3)]
    assert check.measured is not None
    assert check.measured.value == exact(200)
    assert (check.about, check.advice) == ("weight out of date", "Weigh now and enter it.")


def test_what_hangs_on_the_weight_is_told() -> None:
    (check,) = said(ago(100, PLAN))
    assert "a weight reduction plan is running" in check.message
    assert "check the amounts" in check.advice
    lines = ["{food: carrot, amount: 3 g per kg body mass}"]
    (check,) = said(ago(100), sheet=records.sheet({"roots": lines}))
    assert "per kg body mass" in check.message
    assert check.severity is Severity.MEDIUM


@pytest.mark.parametrize(
    ("start", "until", "runs"),
    [("2026-11-25", "", True), ("2026-11-26", "", False), ("2026-10-01", "2026-11-25", True),
     ("2026-10-01", "2026-11-24", False)],
)  # fmt: skip
def test_a_plan_runs_from_its_first_day_to_its_last(start: str, until: str, runs: bool) -> None:
    plan = PLAN.replace("2026-10-01", start)
    plan = plan.replace("set_by", f"until: {until}, set_by") if until else plan
    (check,) = said(ago(100, plan))
    assert check.severity is (Severity.MEDIUM if runs else Severity.LOW)


def test_defaults_say_that_they_are_habit_and_limits_of_the_house_do_not() -> None:
    own = records.settings().replace("Mammalia: 90 days, ", "")
    (check,) = said(ago(181), dietcheck=own)
    assert figures(check.message) == "1 181 2026 05 28 180"
    assert check.limit is not None
    limits = (
        "record: limits\nlimits: [{group: tapir, quantity: weighing-interval, at_most: 100 days,"
        " over: rota, severity: medium, why: x, set_by: Dr Vale, on: 2026-01-01}]\n"
    )
    (check,) = said(ago(101), dietcheck=own, limits=limits)
    assert "every 100 days." in check.message
    assert "common practice" not in check.message


def test_how_many_weights_are_current_is_told_where_all_are() -> None:
    (kept,) = said(ago(1), ago(2, name="T2"))
    assert (kept.verdict, figures(kept.message)) == (Verdict.KEPT, "2 2")
    missing, kept = said(ago(1), "{id: T2}", "{id: T3}")
    assert figures(kept.message) == "1 3"
    assert (missing.animals, places(missing)) == (
        ("T2", "T3"),
        ["group animals 1", "group animals 2"],
    )
    assert missing.message.startswith("T2, T3:")


def test_weighings_to_come_are_pointed_at() -> None:
    days = ("2026-11-20", "2026-11-25", "2026-12-24")
    told = ", ".join(f"{{on: {day}, mass: 200 kg}}" for day in days)
    kept, check = said(f"{{id: T1, weighings: [{told}]}}", ago(1, name="T2"))
    assert (kept.verdict, check.verdict) == (Verdict.KEPT, Verdict.BREACH)
    assert (check.animals, places(check)) == (("T1",), ["group 0 weighings 2"])
    assert figures(check.message) == "1 2026 12 24 2026 11 25"


def jump(*weights: tuple[str, str], more: str = "", **changes: str) -> list[Check]:
    """What is doubted of a tapir with these weights."""
    told = ", ".join(f"{{on: {on}, mass: {mass}}}" for on, mass in weights)
    found = said(f"{{id: T1, weighings: [{told}]{more}}}", **changes)
    return [check for check in found if check.about.startswith("weight far")]


def test_a_weight_far_from_the_last_names_both_and_how_far() -> None:
    (check,) = jump(("2026-08-20", "200 kg"), ("2026-11-20", "500 kg"))
    assert figures(check.message) == "1 500 2026 11 20 200 2026 08 20 2"
    assert places(check) == ["group 0 weighings 1", "group 0 weighings 0"]
    assert check.measured is not None
    assert check.measured.value == exact("2.5")
    assert "common practice, no source" in check.message


@pytest.mark.parametrize(
    ("weights", "doubted"),
    [
        (["200 kg", "20 kg", "201 kg"], False),  # agrees with the one before the slip
        (["200 kg", "20 kg", "21 kg", "201 kg"], True),  # only two are looked at
        (["200 kg", "500 kg", "510 kg"], False),
        (["200 kg", "90 to 110 kg"], False),
        (["200 to 400 kg", "90 to 110 kg"], False),
        (["230 to 400 kg", "90 to 110 kg"], True),
        (["90 to 110 kg", "230 to 400 kg"], True),
    ],
)
def test_only_the_two_weights_before_the_last_are_looked_at(
    weights: list[str], doubted: bool
) -> None:
    days = [f"2026-0{month}-20" for month in range(4, 4 + len(weights))]
    assert bool(jump(*zip(days, weights, strict=True))) is doubted


def test_a_weight_of_tomorrow_is_not_the_last_one_and_one_alone_is_none() -> None:
    assert not jump(("2026-08-20", "200 kg"), ("2026-11-26", "500 kg"))
    assert jump(("2026-08-20", "200 kg"), ("2026-11-25", "500 kg"))
    assert not jump(("2026-11-20", "500 kg"))


def test_an_animal_with_one_weight_hides_no_neighbour() -> None:
    far = "{id: T2, weighings: [{on: 2026-08-20, mass: 9 kg}, {on: 2026-11-20, mass: 90 kg}]}"
    found = said(ago(1), far)
    assert [c.animals for c in found if c.about.startswith("weight far")] == [("T2",)]


def test_nobody_in_a_group_needs_no_weight() -> None:
    (check,) = said("{id: T1, here_until: 2026-10-01}")
    assert check.verdict is Verdict.NOT_APPLICABLE
