"""How fast a diet changes. 7 to 14 days are published for elephants (I015, BIAZAele p.57); 25 % of
dry matter a step, and the days for all others, are common practice, no source (SL15)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Standing, Verdict
from dietcheck_rules import change_pace
from tests import records
from tests.rules.past_records import findings, grades, line, said

# Invented feeds without water: a gram as fed is a gram of dry matter.
DRY = "{class: compound feed, label: {basis: as fed, moisture: 0 %}}"
FOODS = records.foods(old=DRY, new=DRY, other=DRY, damp="{unknown_composition: no label}")
MEDIUM = [(Verdict.BREACH, Severity.MEDIUM)]


def sheet(old: int, new: int, start: str = "2026-01-01", more: str = "") -> str:
    """A sheet with so many grams of the old and the new feed."""
    lines = [line(food, f"{g} g per animal") for food, g in (("old", old), ("new", new)) if g]
    return records.sheet({"roots": lines}, start=start, more=more)


def park(*sheets: str, species: str = "Tapirus terrestris", **changes: str) -> dict[str, str]:
    """A park with these sheets, the first one in the file `sheet`."""
    files = {"foods": FOODS, "sheet": sheets[0], "group": records.group(species=species)}
    more = {f"sheet-{n}.yaml": text for n, text in enumerate(sheets[1:])}
    return {**records.small(**{**files, **changes}), **more}


def about(checks: Sequence[Check], start: str) -> list[Check]:
    """The checks about something."""
    return [check for check in checks if check.about.startswith(start)]


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (75, 25, []),  # exactly a quarter
        (749, 251, MEDIUM),
        (0, 100, MEDIUM),
        (100, 0, []),
    ],
)
def test_a_step_is_a_quarter_at_most(
    old: int, new: int, expected: list[tuple[Verdict, Severity]]
) -> None:
    before = park(sheet(100, 0))
    after = {**before, "next.yaml": sheet(old, new, "2026-11-25")}
    assert grades(said(change_pace, before, after)) == (expected if (old, new) != (100, 0) else [])


def test_the_words_of_habit_stand_beside_the_figure() -> None:
    before = park(sheet(100, 0))
    (check,) = findings(
        said(change_pace, before, {**before, "n.yaml": sheet(0, 100, "2026-11-25")})
    )
    assert "common practice, no source; the vet sets this" in check.message
    assert check.limit is not None
    assert check.limit.standing is Standing.COMMON_PRACTICE
    assert check.measured is not None
    assert check.measured.value.low == check.measured.value.high == 100


def test_a_larger_helping_of_the_same_is_nothing_new() -> None:
    before = park(sheet(100, 50))
    after = {**before, "next.yaml": sheet(200, 100, "2026-11-25")}
    assert grades(said(change_pace, before, after)) == []


def test_a_food_that_gains_counts_with_what_it_gained() -> None:
    """Half and half becomes a fifth and four fifths: 30 % are new."""
    before = park(sheet(50, 50))
    after = {**before, "next.yaml": sheet(20, 80, "2026-11-25")}
    (check,) = findings(said(change_pace, before, after))
    assert check.measured is not None
    assert check.measured.value.low == check.measured.value.high == 30


def quarters(*days: str) -> dict[str, str]:
    """The whole change in steps of a quarter, starting on these days."""
    return {
        f"step-{n}.yaml": sheet(100 - 25 * n, 25 * n, day) for n, day in enumerate(days, start=1)
    }


def test_a_change_in_quarters_over_nine_days_is_kept() -> None:
    before = park(sheet(100, 0))
    steps = quarters("2026-11-26", "2026-11-29", "2026-12-02", "2026-12-05")
    checks = said(change_pace, before, {**before, **steps})
    assert grades(checks) == []
    assert {check.verdict for check in about(checks, "days")} == {Verdict.KEPT}


def test_a_change_in_quarters_day_by_day_is_too_fast() -> None:
    before = park(sheet(100, 0))
    steps = quarters("2026-11-26", "2026-11-27", "2026-11-28", "2026-11-29")
    checks = said(change_pace, before, {**before, **steps})
    assert {check.about for check in findings(checks)} == {"days for the whole change"}
    assert findings(checks)[0].severity is Severity.MEDIUM


@pytest.mark.parametrize(
    ("days", "expected"),
    [
        (["2026-11-26", "2026-11-28", "2026-11-30", "2026-12-03"], []),  # exactly seven days
        (["2026-11-26", "2026-11-29", "2026-12-01", "2026-12-02"], MEDIUM),
    ],
)
def test_seven_days_from_the_first_step_to_the_last(
    days: list[str], expected: list[tuple[Verdict, Severity]]
) -> None:
    before = park(sheet(100, 0))
    checks = said(change_pace, before, {**before, **quarters(*days)})
    last = [check for check in about(checks, "days") if days[-1] in check.message]
    assert grades(last) == expected


@pytest.mark.parametrize(("second", "expected"), [("2026-11-26", []), ("2026-11-25", MEDIUM)])
def test_steps_that_were_committed_before_count_as_steps(
    second: str, expected: list[tuple[Verdict, Severity]]
) -> None:
    """Half of the diet in three days is all of it in nine, a quarter having been at once; in two
    days it is six."""
    before = park(sheet(100, 0), sheet(75, 25, "2026-11-23"))
    checks = said(change_pace, before, {**before, "next.yaml": sheet(50, 50, second)})
    assert grades(checks) == expected


def test_elephants_have_a_published_time() -> None:
    """I015: 7 to 14 days, gradual. One step takes none."""
    before = park(sheet(100, 0), species="Elephas maximus")
    checks = said(change_pace, before, {**before, "n.yaml": sheet(0, 100, "2026-11-25")})
    (days,) = about(checks, "days")
    assert (days.verdict, days.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert days.limit is not None
    assert days.limit.standing is Standing.PUBLISHED
    assert "BIAZAele" in days.message


def test_a_small_change_needs_no_time() -> None:
    before = park(sheet(100, 0), species="Elephas maximus")
    checks = said(change_pace, before, {**before, "n.yaml": sheet(90, 10, "2026-11-25")})
    assert grades(checks) == []


def test_a_sheet_written_over_changes_at_once() -> None:
    checks = said(change_pace, park(sheet(100, 0)), park(sheet(0, 100)))
    assert grades(checks) == MEDIUM
    assert "at once" in findings(checks)[0].message


def test_dry_matter_that_nobody_states_leaves_it_open() -> None:
    before = park(sheet(100, 0))
    lines = [line("old"), line("damp", "50 g per animal")]
    after = {**before, "n.yaml": records.sheet({"roots": lines}, start="2026-11-25")}
    (check,) = findings(said(change_pace, before, after))
    assert check.verdict is Verdict.CANNOT_TELL
    assert check.settles


def test_hay_ad_lib_that_stays_is_not_new() -> None:
    """What is eaten of the hay is not known, but it is the same before and after."""
    hay = line("other", "ad lib, expected 500 g per animal")
    before = park(records.sheet({"roots": [hay, line("old")]}))
    lines = [hay, line("old", "95 g per animal"), line("new", "5 g per animal")]
    after = {**before, "n.yaml": records.sheet({"roots": lines}, start="2026-11-25")}
    assert grades(said(change_pace, before, after)) == []


def test_meals_that_the_rota_does_not_call_for_are_not_fed() -> None:
    meals: Mapping[str, Sequence[str]] = {"roots": [line("old")]}
    before = park(records.sheet(meals))
    after = {**before, "n.yaml": records.sheet({**meals, "x": [line("new")]}, start="2026-11-25")}
    assert grades(said(change_pace, before, after)) == []


SITE = (
    "record: limits\nlimits:\n  - {{group: tapir, quantity: {q}, at_most: {bound}, over: day,"
    " severity: medium, why: test, set_by: Dr Vale, on: 2026-01-01}}\n"
)


@pytest.mark.parametrize(
    ("bound", "verdicts"),
    [
        ("10 % of dry matter", {Verdict.BREACH}),
        ("30 % of dry matter", {Verdict.KEPT}),
        ("10 % of energy", {Verdict.CANNOT_TELL}),
    ],
)
def test_a_limit_of_the_house_replaces_the_habit(bound: str, verdicts: set[Verdict]) -> None:
    limits = {"limits.yaml": SITE.format(q="diet-change-step", bound=bound)}
    before = {**park(sheet(100, 0)), **limits}
    checks = said(change_pace, before, {**before, "n.yaml": sheet(80, 20, "2026-11-25")})
    assert {check.verdict for check in checks} == verdicts


def test_nothing_changed_and_nothing_to_compare_with() -> None:
    same = park(sheet(100, 0))
    for before in (same, None):
        (check,) = said(change_pace, before, same)
        assert check.verdict is Verdict.NOT_APPLICABLE


@settings(max_examples=50, deadline=None)
@given(st.integers(1, 1000), st.integers(0, 1000), st.integers(1, 1000), st.integers(0, 1000))
def test_what_is_new_is_what_the_shares_gained(a: int, b: int, c: int, d: int) -> None:
    """The law: the sum of the gains of all shares, whatever the sizes of the two diets."""
    before = park(sheet(a, b))
    checks = said(change_pace, before, {**before, "n.yaml": sheet(c, d, "2026-11-25")})
    old, new = a / (a + b), c / (c + d)
    (step,) = about(checks, "new in one step")
    assert step.measured is not None
    assert float(step.measured.value.high) == pytest.approx(100 * abs(old - new), abs=1e-9)
