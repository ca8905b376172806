"""Laws of the calendar: any rota and start, leap days, time zones, days before the first rota,
rotas that overlap, windows wherever they begin. Everything is invented."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, timedelta

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.collection.settings import Season
from dietcheck.nutrition.diet import Diet
from dietcheck.quantities import QuantityError, read_month_day
from tests import records

DAYS = st.dates(date(2023, 6, 1), date(2032, 12, 31))  # three leap days
LENGTHS = st.integers(1, 20)
NAMES = "abcdefghijklmnopqrst"
LEAP = date(2028, 2, 29)


def park(
    rotas: dict[str, tuple[date, int]], on: date, until: dict[str, date] | None = None
) -> Diet:
    """Tapirs with rotas by name: first day and length. Each day's meal bears rota and number."""
    meals = {
        f"{name}{NAMES[n]}": [f"{{food: carrot, amount: {10 + n} g per animal}}"]
        for name, (_, length) in rotas.items()
        for n in range(length)
    }
    files = records.small(
        dietcheck=records.settings(rota_days=max(length for _, length in rotas.values())),
        sheet=records.sheet(meals, start="2020-01-01"),
        **{
            f"rota-{name}": records.rota(
                [f"{{morning: {name}{NAMES[n]}, afternoon: no feed}}" for n in range(length)],
                start=start.isoformat(),
                more=f"until: {(until or {})[name]}" if name in (until or {}) else "",
            )
            for name, (start, length) in rotas.items()
        },
    )
    del files["rota.yaml"]
    return records.diet(files, on=on)


def meal(diet: Diet, on: date) -> str:
    """The meal of a day, or nothing."""
    return "".join(feed.meal for feed in diet.day(on).feeds)


@settings(max_examples=60, deadline=None)
@given(DAYS, LENGTHS, st.integers(0, 800))
def test_a_rota_comes_round_by_counted_days_whatever_its_length_and_start(
    start: date, length: int, later: int
) -> None:
    on = start + timedelta(days=later)
    diet = park({"A": (start, length)}, on)
    assert diet.day(on).number == later % length + 1
    assert meal(diet, on) == meal(diet, on + timedelta(days=length)) == f"A{NAMES[later % length]}"
    assert [day.on for day in diet.days] == [
        diet.days[0].on + timedelta(days=n) for n in range(length)
    ]
    assert on in {day.on for day in diet.days}


@settings(max_examples=30, deadline=None)
@given(LENGTHS, st.integers(0, 40))
def test_a_leap_day_is_a_day_like_any_other(length: int, before: int) -> None:
    start = LEAP - timedelta(days=before)
    diet = park({"A": (start, length)}, LEAP)
    numbers = [diet.day(LEAP + timedelta(days=n)).number for n in (-1, 0, 1) if before or n >= 0]
    assert numbers == [(before + n) % length + 1 for n in (-1, 0, 1) if before or n >= 0]


@settings(max_examples=60, deadline=None)
@given(DAYS, LENGTHS, st.integers(1, 400))
def test_before_the_first_rota_nothing_is_planned_and_its_first_round_is_judged(
    start: date, length: int, before: int
) -> None:
    on = start - timedelta(days=before)
    diet = park({"A": (start, length)}, on)
    assert diet.day(on).rota is None
    assert diet.day(on).holes
    assert diet.day(on).number == 0
    assert diet.days_before(30) == ()
    assert diet.days[0].on == start
    assert diet.days[0].number == 1


@settings(max_examples=60, deadline=None)
@given(DAYS, LENGTHS, LENGTHS, st.integers(1, 40), st.none() | st.integers(0, 60))
def test_where_rotas_overlap_the_later_one_counts_and_after_it_the_earlier_again(
    start: date, one: int, two: int, gap: int, lasts: int | None
) -> None:
    second = start + timedelta(days=gap)
    ends = {} if lasts is None else {"B": second + timedelta(days=lasts)}
    diet = park({"A": (start, one), "B": (second, two)}, start, ends)
    for n in range(gap + 80):
        on = start + timedelta(days=n)
        later = on >= second and (lasts is None or on <= ends["B"])
        name, length, first = ("B", two, second) if later else ("A", one, start)
        assert meal(diet, on) == f"{name}{NAMES[(on - first).days % length]}"


@contextmanager
def zone(name: str) -> Iterator[None]:
    """The clock of another place."""
    before = os.environ.get("TZ")
    os.environ["TZ"] = name
    time.tzset()
    try:
        yield
    finally:
        if before is None:
            del os.environ["TZ"]
        else:
            os.environ["TZ"] = before
        time.tzset()


@pytest.mark.parametrize(
    "on", [date(2026, 3, 29), date(2026, 10, 25), LEAP, date(2027, 1, 1), date(2011, 12, 30)]
)
def test_the_time_zone_plays_no_part(on: date) -> None:
    """The days the clocks change in Europe, a leap day, new year, and the day Samoa left out."""
    found = set()
    for name in ("UTC", "Pacific/Kiritimati", "Pacific/Apia", "America/Los_Angeles"):
        with zone(name):
            diet = park({"A": (on - timedelta(days=5), 7), "B": (on + timedelta(days=3), 4)}, on)
            found.add(tuple((day.on, day.number, meal(diet, day.on)) for day in diet.days))
    assert len(found) == 1


@settings(max_examples=50, deadline=None)
@given(DAYS, LENGTHS, LENGTHS, st.integers(-30, 40), st.integers(0, 30), st.integers(0, 30))
def test_days_as_lived_have_no_gap_and_are_the_plan_of_each_date(
    start: date, one: int, two: int, next_rota: int, back: int, beyond: int
) -> None:
    on = start + timedelta(days=10)
    diet = park({"A": (start, one), "B": (on + timedelta(days=next_rota), two)}, on)
    lived = diet.lived(back, beyond)
    first = lived[0].on
    assert [day.on for day in lived] == [first + timedelta(days=n) for n in range(len(lived))]
    assert first <= on
    assert first >= on - timedelta(days=back)
    round_length = diet.settings.rota_days + beyond
    steady = max(on, on + timedelta(days=next_rota))
    assert lived[-1].on == steady + timedelta(days=round_length - 1)
    for day in lived:
        assert [f.meal for f in day.feeds] == [f.meal for f in diet.day(day.on).feeds]


@settings(max_examples=50, deadline=None)
@given(DAYS, LENGTHS, st.integers(1, 14), st.integers(0, 19))
def test_a_window_is_the_same_wherever_in_the_rota_the_judging_starts(
    start: date, length: int, days: int, later: int
) -> None:
    """What any run of days brings does not hang on the day as at which it is judged."""

    def bags(on: date) -> set[tuple[str, ...]]:
        diet = park({"A": (start, length)}, on)
        return {
            tuple(sorted(feed.meal for day in window.days for feed in day.feeds))
            for window in diet.windows(diet.animals[0], days)
        }

    on = start + timedelta(days=100)
    assert bags(on) == bags(on + timedelta(days=later))


MONTH_DAYS = st.dates(date(2024, 1, 1), date(2024, 12, 31)).map(lambda d: (d.month, d.day))


@given(MONTH_DAYS, MONTH_DAYS, DAYS)
def test_a_season_holds_its_days_in_every_year_and_no_others(
    start: tuple[int, int], until: tuple[int, int], on: date
) -> None:
    """Walking from its first day, the season ends the day after its last, also over new year."""
    season = Season("s", start, until, (), records.linked(records.small()).settings.place)
    walked = on
    while (walked.month, walked.day) != start and walked > on - timedelta(days=366 * 8):
        if (walked.month, walked.day) == until and walked != on:
            break  # the season ended before the day, and has not begun again
        walked -= timedelta(days=1)
    began = (walked.month, walked.day) == start
    if start == until:
        began = (on.month, on.day) == start
    if (2, 29) not in (start, until):
        assert season.holds(on) is began


@given(MONTH_DAYS)
def test_every_day_of_the_year_can_be_written(day: tuple[int, int]) -> None:
    assert read_month_day(f"{day[0]:02}-{day[1]:02}") == day


@pytest.mark.parametrize("text", ["02-30", "00-10", "13-01", "1-1", "10/01", "", "1 October"])
def test_what_is_no_day_of_the_year(text: str) -> None:
    with pytest.raises(QuantityError):
        read_month_day(text)
