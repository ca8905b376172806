"""Days, births and periods."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dietcheck.quantities import Period, QuantityError, read_born, read_date, read_period

days = st.dates(date(1900, 1, 1), date(2199, 12, 31))


@given(days)
def test_every_day_comes_back(day: date) -> None:
    assert read_date(day.isoformat()) == day
    assert read_born(day.isoformat()) == (day, day)


def test_a_birth_year_is_any_day_of_it() -> None:
    assert read_born("2016") == (date(2016, 1, 1), date(2016, 12, 31))


@pytest.mark.parametrize(
    "text",
    ["2026-02-30", "2026-2-3", "20261109", "09/11/2026", "9 Nov 2026", "2026-11-09T00:00", "today",
     "0026-11-09", "9999-12-31", "2026-11-09 ago", "٢٠٢٦-11-09", "", "2026-W46-1", "-2026-11-09"],
)  # fmt: skip
def test_what_is_no_day(text: str) -> None:
    with pytest.raises(QuantityError):
        read_date(text)


@pytest.mark.parametrize(
    ("text", "period"),
    [
        ("90 days", Period(days=90)),
        ("1 day", Period(days=1)),
        ("6 weeks", Period(days=42)),
        ("12 months", Period(months=12)),
        ("1 year", Period(months=12)),
        ("2 years", Period(months=24)),
    ],
)
def test_periods(text: str, period: Period) -> None:
    assert read_period(text) == period


@pytest.mark.parametrize(
    "text",
    ["90", "0 days", "-1 day", "1.5 years", "six weeks", "1 fortnight", "200 years", "1e2 days"],
)
def test_what_is_no_period(text: str) -> None:
    with pytest.raises(QuantityError):
        read_period(text)


def test_a_month_too_short_ends_on_its_last_day() -> None:
    assert Period(months=1).after(date(2026, 1, 31)) == date(2026, 2, 28)
    assert Period(months=12).after(date(2028, 2, 29)) == date(2029, 2, 28)
    assert Period(months=1).after(date(2026, 12, 9)) == date(2027, 1, 9)


@given(days, st.integers(1, 36_500), st.integers(1, 1200))
def test_periods_lead_forward_and_stay_in_the_calendar(day: date, count: int, months: int) -> None:
    assert Period(days=count).after(day) == day + timedelta(days=count)
    later = Period(months=months).after(day)
    assert later > day
    assert (later.year - day.year) * 12 + later.month - day.month == months


def test_periods_in_words() -> None:
    assert str(Period(days=1)) == "1 day"
    assert str(Period(months=6)) == "6 months"
