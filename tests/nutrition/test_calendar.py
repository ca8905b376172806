"""Which days are judged. Pure calendar laws; no figure of the trade."""

from __future__ import annotations

from datetime import date, timedelta

import hypothesis.strategies as st
import pytest
from hypothesis import given

from dietcheck.nutrition.calendar import (
    HORIZON_DAYS,
    Stretch,
    plan_changes,
    stretches,
    treat_changes,
)
from tests import records

DAYS = st.dates(date(2024, 1, 1), date(2030, 12, 31))
CYCLES = st.integers(1, 30)


@given(DAYS, CYCLES, st.lists(st.integers(-40, 500), max_size=6))
def test_every_change_in_sight_has_a_cycle_before_and_after(
    first: date, cycle: int, offsets: list[int]
) -> None:
    changes = [first + timedelta(days=n) for n in offsets]
    covered = {day for s in stretches(first, cycle, changes) for day in s.dates()}
    for change in changes:
        if not first < change <= first + timedelta(days=HORIZON_DAYS):
            continue
        around = (change + timedelta(days=n) for n in range(-cycle, cycle))
        assert all(day in covered for day in around if day >= first)


@given(DAYS, CYCLES, st.lists(st.integers(-40, 500), max_size=6))
def test_stretches_do_not_touch_and_only_the_last_repeats(
    first: date, cycle: int, offsets: list[int]
) -> None:
    found = stretches(first, cycle, [first + timedelta(days=n) for n in offsets])
    ends = [s.first + timedelta(days=s.length) for s in found]
    assert all(end < s.first for end, s in zip(ends, found[1:], strict=False))
    assert [s.cycle for s in found] == [None] * (len(found) - 1) + [cycle]


@given(CYCLES, st.integers(1, 40), st.integers(0, 30))
def test_windows_follow_the_days_as_they_will_be_lived(cycle: int, days: int, lead: int) -> None:
    """Whatever the length, a run is what the calendar brings when the end repeats."""
    stretch = Stretch(date(2026, 11, 16), lead + cycle, cycle)
    lived = [n if n < lead else lead + (n - lead) % cycle for n in range(lead + cycle + days)]
    runs = set(stretch.windows(days))
    expected = {tuple(lived[start : start + days]) for start in range(lead + cycle)}
    as_bags = {tuple(sorted(run)) for run in runs}
    assert as_bags == {tuple(sorted(run)) for run in expected}


def test_a_simple_repeating_rota_has_one_rota_long_window() -> None:
    assert list(Stretch(date(2026, 11, 16), 14, 14).windows(14)) == [tuple(range(14))]


def test_a_window_crosses_the_join_of_the_last_day_to_the_first() -> None:
    assert (13, 0) in set(Stretch(date(2026, 11, 16), 14, 14).windows(2))


def test_a_stretch_that_does_not_repeat_has_no_window_past_its_end() -> None:
    assert list(Stretch(date(2026, 11, 16), 3, None).windows(2)) == [(0, 1), (1, 2)]
    assert list(Stretch(date(2026, 11, 16), 3, None).windows(4)) == []


@pytest.mark.parametrize(
    ("changes", "reach", "laid_out"),
    [
        ([], 1, [(0, 7)]),
        ([], 3, [(0, 9)]),  # a run of three days from the seventh ends on the ninth
        ([-3, 0], 1, [(0, 7)]),
        ([5], 1, [(0, 12)]),
        ([5, 8], 1, [(0, 15)]),
        ([14], 1, [(0, 21)]),
        ([15], 1, [(0, 7), (8, 14)]),
        ([15], 3, [(0, 24)]),
        ([100, 366], 1, [(0, 7), (93, 14), (359, 14)]),
        ([367], 1, [(0, 7)]),  # more than a leap year from now
    ],
)
def test_a_weekly_rota_is_laid_out_for_a_week_and_a_week_either_side_of_each_change(
    changes: list[int], reach: int, laid_out: list[tuple[int, int]]
) -> None:
    first = date(2026, 11, 25)
    found = stretches(first, 7, [first + timedelta(days=n) for n in changes], reach)
    assert [((s.first - first).days, s.length) for s in found] == laid_out
    assert [s.cycle for s in found] == [None] * (len(found) - 1) + [7]
    if reach == 1:  # a day by itself, if nothing longer is looked for
        assert stretches(first, 7, [first + timedelta(days=n) for n in changes]) == found


def test_a_plan_changes_where_something_starts_and_on_the_day_after_it_ends() -> None:
    files = records.small(
        group=records.group(animals=("{id: T1, here_from: 2026-11-01, here_until: 2026-11-09}",)),
        sheet=records.sheet(
            {"roots": ["{food: carrot, amount: 1 g per animal}"]}, more="until: 2026-12-31"
        ),
        rota=records.rota(["{morning: roots}"], more="until: 2026-12-20"),
        treats="record: treats\ntreats:\n  - {on: 2026-12-24, group: tapir, purpose: training,"
        " items: [{food: carrot, amount: 1 g per animal}]}\n",
    )
    park = records.linked(files)
    assert {day.isoformat() for day in plan_changes(park, "tapir")} == {
        "2026-01-01", "2027-01-01", "2026-11-16", "2026-12-21", "2026-11-01", "2026-11-10",
    }  # fmt: skip
    assert [day.isoformat() for day in treat_changes(park, "tapir")] == ["2026-12-24", "2026-12-25"]
