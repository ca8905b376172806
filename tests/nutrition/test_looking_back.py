"""Runs of days that reach back over days already lived. Calendar laws; everything is invented."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.nutrition.diet import Diet
from dietcheck.nutrition.plan import PlannedDay
from tests import records

EPOCH = date(2028, 2, 1)  # a leap year
NAMES = "abcdefghijklmnopqrst"


@dataclass(frozen=True, slots=True)
class Plan:
    """Rotas by their first day and length, days with treats, and the day as at which is judged.

    All days are counted from the epoch.
    """

    rotas: dict[int, int]
    ends: int | None  # the last day of the latest rota
    sheet_changes: int | None
    treats: tuple[int, ...]
    on: int
    rota_days: int

    def diet(self, on: int | None = None) -> Diet:
        """The diet of the tapirs."""
        rotas = {
            f"rota-{start}": records.rota(
                [f"{{morning: {NAMES[n]}{start % 5}, afternoon: no feed}}" for n in range(length)],
                start=iso(start),
                more=f"until: {iso(self.ends)}"
                if self.ends is not None and start == max(self.rotas)
                else "",
            )
            for start, length in self.rotas.items()
        }
        meals = [f"{letter}{k}" for letter in NAMES for k in range(5)]
        sheets = {
            f"sheet-{plus}": records.sheet(
                {
                    meal: [f"{{food: carrot, amount: {10 + n + plus} g per animal}}"]
                    for n, meal in enumerate(meals)
                },
                start=start,
            )
            for plus, start in (
                (0, "2020-01-01"),
                *([(1000, iso(self.sheet_changes))] if self.sheet_changes is not None else []),
            )
        }
        gifts = "".join(
            f"  - {{on: {iso(day)}, group: tapir, purpose: training,"
            f" items: [{{food: carrot, amount: {5000 + day} g per animal}}]}}\n"
            for day in self.treats
        )
        files = records.small(
            dietcheck=records.settings(rota_days=self.rota_days),
            **rotas,
            **sheets,
            **({"treats": f"record: treats\ntreats:\n{gifts}"} if gifts else {}),
        )
        del files["sheet.yaml"], files["rota.yaml"]
        return records.diet(files, on=EPOCH + timedelta(days=self.on if on is None else on))


def iso(day: int) -> str:
    """The date so many days after the epoch."""
    return (EPOCH + timedelta(days=day)).isoformat()


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    """Plans with one to three rotas that may overlap or leave a gap at the end."""
    length = draw(st.integers(1, 20))
    starts = draw(st.lists(st.integers(-40, 40), min_size=1, max_size=3, unique=True))
    return Plan(
        rotas=dict.fromkeys(starts, length),
        ends=draw(st.none() | st.integers(max(starts), max(starts) + 60)),
        sheet_changes=draw(st.none() | st.integers(-30, 60)),
        treats=tuple(draw(st.lists(st.integers(-30, 60), max_size=4, unique=True))),
        on=draw(st.integers(-20, 60)),
        rota_days=length,
    )


def fed(days: tuple[PlannedDay, ...]) -> tuple[str, ...]:
    """What is fed on some days, their order apart."""
    return tuple(
        sorted(line.amount.text for day in days for feed in day.feeds for line in feed.lines)
    )


def lived(diet: Diet, first: date, days: int) -> tuple[PlannedDay, ...] | None:
    """The plan of every date of a run, one by one; None where no rota was in force on one."""
    planned = tuple(diet.day(first + timedelta(days=n)) for n in range(days))
    return planned if all(day.rota for day in planned) else None


@settings(max_examples=80, deadline=None)
@given(plans(), st.integers(1, 20))
def test_every_run_across_the_judged_day_and_after_it_is_seen(plan: Plan, days: int) -> None:
    """Whatever the rota, its start, the change of sheet, the treats and the length of the run."""
    diet = plan.diet()
    if not diet.days or diet.days[0].on > diet.on:
        return
    seen = {fed(w.days) for w in diet.windows(diet.animals[0], days, past=True)}
    for start in range(plan.on - days + 1, plan.on + 150):
        run = lived(diet, EPOCH + timedelta(days=start), days)
        if run is not None:
            assert fed(run) in seen, iso(start)


@settings(max_examples=60, deadline=None)
@given(plans(), st.integers(1, 20))
def test_nothing_is_seen_that_was_not_and_will_not_be_fed(plan: Plan, days: int) -> None:
    diet = plan.diet()
    for window in diet.windows(diet.animals[0], days, past=True):
        assert len(window.days) == days
        assert fed(window.days) == fed(tuple(diet.day(day.on) for day in window.days))


@settings(max_examples=40, deadline=None)
@given(plans(), st.integers(1, 20), st.integers(1, 20))
def test_a_run_is_the_same_as_at_whatever_day_it_is_judged(
    plan: Plan, days: int, later: int
) -> None:
    """A run of real dates has one ration, seen from its first day or from one in the middle."""

    def by_dates(diet: Diet) -> dict[tuple[date, ...], object]:
        return {
            tuple(day.on for day in window.days): window.ration.grams()
            for window in diet.windows(diet.animals[0], days, past=True)
        }

    now, then = by_dates(plan.diet()), by_dates(plan.diet(plan.on + later))
    assert all(now[dates] == then[dates] for dates in now.keys() & then.keys())


def park(**more: str) -> Diet:
    """A rota of two days that began on 16 November, judged as at the 25th."""
    return records.diet(records.small(**more))


def test_the_days_before_are_real_days_under_the_rota_of_then() -> None:
    diet = park()
    assert [day.on for day in diet.days] == [date(2026, 11, 24), date(2026, 11, 25)]
    assert [(d.on.day, d.number) for d in diet.days_before(3)] == [(21, 2), (22, 1), (23, 2)]


def test_they_reach_back_to_the_first_rota_and_no_further() -> None:
    """It began on the 16th, so eight days before the 24th are known."""
    assert [day.on.day for day in park().days_before(30)] == list(range(16, 24))


def test_there_are_none_before_a_rota_to_come_or_without_any() -> None:
    to_come = records.rota(["{morning: roots, afternoon: roots}"] * 2, start="2026-12-01")
    assert park(rota=to_come).days_before(10) == ()
    files = records.small()
    del files["rota.yaml"]
    diet = records.diet(files)
    assert diet.days_before(10) == ()
    assert list(diet.windows(diet.animals[0], 14, past=True)) == []


@pytest.mark.parametrize(("on", "times"), [("2026-11-12", 0), ("2026-11-13", 1), ("2026-11-24", 1)])
def test_a_treat_given_before_counts_for_as_long_as_the_run_is(on: str, times: int) -> None:
    """Fourteen days that hold 25 November begin on the 12th at the earliest; this rota began on
    the 13th."""
    diet = park(
        rota=records.rota(["{morning: roots, afternoon: roots}"] * 2, start="2026-11-13"),
        treats=f"record: treats\ntreats:\n  - {{on: {on}, group: tapir, purpose: training,"
        " items: [{food: carrot, amount: 50 g per animal}]}\n",
    )
    runs = diet.windows(diet.animals[0], 14, past=True)
    assert max(fed(run.days).count("50 g per animal") for run in runs) == times
