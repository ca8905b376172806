"""What is told of a change: how much is new, in how many days, by which sums. Feeds are invented,
without water. A quarter a step and seven days are common practice without a source.
"""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Severity, Verdict, exact
from dietcheck_rules import change_pace
from dietcheck_rules.change_pace.newness import _gained, _rest
from tests import records
from tests.rules.past_records import line, said
from tests.rules.test_change_pace import about, park, sheet
from tests.rules.told import figures, places

BEFORE = park(sheet(100, 0))


def to(after: str, before: dict[str, str] = BEFORE, **more: str) -> tuple[Check, ...]:
    """What is said when a sheet of today follows."""
    changed = {f"{stem}.yaml": text for stem, text in more.items()}
    return said(change_pace, {**before, **changed}, {**before, **changed, "n.yaml": after})


def mixed(**grams: str) -> str:
    """A sheet of today with these amounts a meal, twice a day."""
    lines = [line(food, f"{amount} per animal") for food, amount in grams.items()]
    return records.sheet({"roots": lines}, start="2026-11-25")


def test_new_foods_are_summed_over_the_day() -> None:
    """30 + 30 of 100 g in each of two meals."""
    (check,) = to(mixed(old="40 g", new="30 g", other="30 g"))
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert figures(*check.working) == "60 | 60 | 200 | 60"
    assert "on 2026-11-25: 60 % of dry matter (new, other)" in check.message
    assert places(check) == ["n roots 1 food", "n roots 2 food", "n from"]
    assert "quarter more" in check.advice
    assert (check.settles, check.weak) == ("", ())


def test_what_is_not_told_is_asked_for_by_name() -> None:
    """60 and 0 to 20 g new of 180 to 240 g."""
    (check,) = to(mixed(old="60 to 80 g", new="30 g", damp="10 g"))
    assert check.verdict is Verdict.CANNOT_TELL
    assert figures(*check.working[:3]) == "60 | 0 20 | 180 240"
    assert check.settles.endswith(": old")
    assert [note.partition(":")[0] for note in check.weak] == ["damp"]
    (unsure,) = to(mixed(old="90 g", damp="60 g"))
    assert (unsure.verdict, unsure.settles.endswith(": all")) == (Verdict.CANNOT_TELL, True)


def test_a_quarter_is_kept_and_counted_back_to_the_first_step() -> None:
    """Steps on days 19, 22 and 25: three quarters in 6 days are the whole in 9, as the first
    quarter took none: 0.75 × 6 ÷ 0.5."""
    before = park(sheet(100, 0), sheet(75, 25, "2026-11-19"), sheet(50, 50, "2026-11-22"))
    step, days = to(sheet(25, 75, "2026-11-25"), before)
    assert (step.verdict, step.severity, step.advice) == (Verdict.KEPT, Severity.LOW, "")
    assert figures(*step.working) == "50 | 200 | 25"
    assert (days.verdict, days.severity, days.advice) == (Verdict.KEPT, Severity.LOW, "")
    assert figures(days.message) == "1 2026 01 01 2026 11 25 6 75 9 7"
    assert figures(*days.working) == "150 | 200 | 75"
    assert places(days) == ["n from"]
    assert days.measured is not None
    assert days.measured.value == exact(9)


@pytest.mark.parametrize(("first", "steps"), [("2026-11-11", 2), ("2026-11-10", 1)])
def test_steps_further_apart_than_two_weeks_are_changes_of_their_own(
    first: str, steps: int
) -> None:
    before = park(sheet(100, 0), sheet(75, 25, first))
    assert len(to(sheet(50, 50, "2026-11-25"), before)) == steps


def test_a_house_may_bring_steps_nearer_together() -> None:
    limits = (
        "record: limits\nlimits: [{group: tapir, quantity: days-between-steps, at_most: 2 days,"
        " over: rota, severity: medium, why: x, set_by: Dr Vale, on: 2026-01-01}]\n"
    )
    before = park(sheet(100, 0), sheet(75, 25, "2026-11-22"), limits=limits)
    assert len(to(sheet(50, 50, "2026-11-25"), before)) == 1


def test_elephants_in_one_step_and_in_ten_days() -> None:
    """I015: 7 to 14 days."""
    one = park(sheet(100, 0), species="Elephas maximus")
    step, days = to(sheet(50, 50, "2026-11-25"), one)
    assert step.verdict is days.verdict is Verdict.BREACH
    assert "in one step, 50 % new" in days.message
    assert days.advice.startswith("Spread it")
    ten = park(sheet(100, 0), sheet(50, 50, "2026-11-15"), species="Elephas maximus")
    step, days = to(sheet(0, 100, "2026-11-25"), ten)
    assert (step.verdict, days.verdict) == (Verdict.BREACH, Verdict.KEPT)
    assert figures(days.message) == "1 2026 01 01 2026 11 25 10 100 10 7"
    loose = mixed(old="40 to 80 g", new="50 g")
    found = to(loose, one)
    (days,) = about(found, "days")
    assert (days.verdict, days.settles) == (Verdict.BREACH, "")
    slow = park(sheet(100, 0), sheet(90, 10, "2026-11-21"), species="Elephas maximus")
    (days,) = about(to(mixed(old="40 to 60 g", new="20 to 90 g"), slow), "days")
    assert days.verdict is Verdict.CANNOT_TELL
    assert "one figure each" in days.settles


def test_the_animal_with_most_that_is_new_is_named_first() -> None:
    two = records.group(animals=["{id: A}", "{id: B}", "{id: C}"])
    lines = [
        line("old", "50 g per animal"),
        line("new", "50 g per animal", "for: [B]"),
        line("new", "20 g per animal", "for: [A]"),
    ]
    after = records.sheet({"roots": lines}, start="2026-11-25")
    found = to(after, park(sheet(100, 0), group=two))
    assert {check.verdict: check.animals for check in found} == {
        Verdict.BREACH: ("B", "A"),
        Verdict.KEPT: ("C",),
    }
    assert figures(found[0].message) == "1 2026 11 25 50 25"
    kept = found[1]
    assert "(nothing)" in kept.message


@pytest.mark.parametrize(
    ("quantity", "bound", "told"),
    [
        ("diet-change-step", "at_most: 10 g per animal", ["limit on diet-change-step"]),
        ("diet-change-days", "at_least: 3 %", ["new in one step", "limit on diet-change-days"]),
        ("days-between-steps", "at_most: 3 %", ["limit on days-between-steps", "new in one step"]),
    ],
)
def test_a_limit_that_cannot_be_read_is_pointed_at(
    quantity: str, bound: str, told: list[str]
) -> None:
    limits = (
        f"record: limits\nlimits: [{{group: tapir, quantity: {quantity}, {bound}, over: 14 days,"
        " severity: medium, why: x, set_by: Dr Vale, on: 2026-01-01}]\n"
    )
    found = to(sheet(80, 20, "2026-11-25"), limits=limits)
    assert sorted(check.about for check in found) == sorted(told)
    (open_,) = [check for check in found if check.verdict is Verdict.CANNOT_TELL]
    assert (open_.severity, places(open_)) == (Severity.MEDIUM, ["limits limits 0"])


def test_a_house_that_allows_all_at_once_asks_for_no_days() -> None:
    limits = (
        "record: limits\nlimits: [{group: tapir, quantity: diet-change-step, at_most: 100 % of dry"
        " matter, over: day, severity: medium, why: x, set_by: Dr Vale, on: 2026-01-01}]\n"
    )
    before = park(sheet(100, 0), sheet(50, 50, "2026-11-24"), limits=limits)
    (step,) = to(sheet(0, 100, "2026-11-25"), before)
    assert step.verdict is Verdict.KEPT


def test_without_a_rota_nothing_is_new() -> None:
    before = {name: text for name, text in BEFORE.items() if name != "rota.yaml"}
    (check,) = said(change_pace, before, {**before, "n.yaml": sheet(0, 100, "2026-11-25")})
    assert check.verdict is Verdict.NOT_APPLICABLE
    assert "no rota is in force" in check.message


def test_a_food_gains_end_by_end_and_the_rest_was_there_before() -> None:
    """10 to 20 g before become 15 to 40 g: 5 to 20 gained, 10 to 20 of it not new."""
    was, now = exact(10).hull(exact(20)), exact(15).hull(exact(40))
    assert _gained(was, now, exact(1).low) == exact(5).hull(exact(20))
    assert _rest(now, exact(5).hull(exact(20))) == exact(10).hull(exact(20))
    assert _gained(now, was, exact(1).low) == exact(0)
    assert _gained(was, now, exact(2).low) == exact(0)
