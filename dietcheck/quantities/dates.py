"""Days and periods: `2026-11-09`, `6 weeks`, `1 year`."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date, timedelta
from functools import lru_cache
from typing import Final

from msgspec import Struct

from dietcheck.quantities.grammar import QuantityError, shown, tidy

_DATE: Final = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_YEAR: Final = re.compile(r"[0-9]{4}")
_FIRST_YEAR: Final = 1900
_LAST_YEAR: Final = 2199
_LONGEST_YEARS: Final = 100


@lru_cache(16384)
def read_date(text: str) -> date:
    """A day written year-month-day, 1900 to 2199; QuantityError for anything else."""
    clean = tidy(text)
    found = _DATE.fullmatch(clean)
    if found is None:
        raise QuantityError(
            f"{shown(text)} is not a date written year-month-day", _date_remedy(clean)
        )
    year, month, day = (int(part) for part in found.groups())
    _check_year(year, text)
    try:
        return date(year, month, day)
    except ValueError:
        raise QuantityError(
            f"{shown(text)} is a day that no calendar has", "check the month and the day"
        ) from None


@lru_cache(4096)
def read_born(text: str) -> tuple[date, date]:
    """Earliest and latest day of a birth written as a date, or as a year where no more is known."""
    clean = tidy(text)
    if _YEAR.fullmatch(clean):
        _check_year(int(clean), text)
        return date(int(clean), 1, 1), date(int(clean), 12, 31)
    day = read_date(clean)
    return day, day


_MONTH_DAY: Final = re.compile(r"([0-9]{2})-([0-9]{2})")
_LEAP_YEAR: Final = 2024  # so that 02-29 is a day of the year


@lru_cache(512)
def read_month_day(text: str) -> tuple[int, int]:
    """A day of any year written month-day, as `10-01`; 02-29 is one. QuantityError otherwise."""
    found = _MONTH_DAY.fullmatch(tidy(text))
    remedy = "write the month and the day in two figures each, as in 10-01 for 1 October"
    if found is None:
        raise QuantityError(f"{shown(text)} is not a day written month-day", remedy)
    month, day = int(found[1]), int(found[2])
    try:
        date(_LEAP_YEAR, month, day)
    except ValueError:
        raise QuantityError(f"{shown(text)} is a day that no calendar has", remedy) from None
    return month, day


def _check_year(year: int, text: str) -> None:
    if not _FIRST_YEAR <= year <= _LAST_YEAR:
        raise QuantityError(
            f"{shown(text)} is outside {_FIRST_YEAR} to {_LAST_YEAR}", "check the year"
        )


def _date_remedy(text: str) -> str:
    found = re.fullmatch(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})", text)
    if found:
        year, month, day = found.groups()
        return f"write {year}-{month:0>2}-{day:0>2}"
    return "write the year, the month and the day in figures, as in 2026-11-09"


class Period(Struct, frozen=True):
    """A length of time in whole days or whole calendar months; the other is zero."""

    days: int = 0
    months: int = 0

    def after(self, day: date) -> date:
        """The day this long after `day`; a month too short ends on its last day."""
        month_index = day.year * 12 + day.month - 1 + self.months
        year, month = divmod(month_index, 12)
        last = monthrange(year, month + 1)[1]
        return date(year, month + 1, min(day.day, last)) + timedelta(days=self.days)

    def __str__(self) -> str:
        count, word = (self.months, "month") if self.months else (self.days, "day")
        return f"{count} {word}" if count == 1 else f"{count} {word}s"


# word: days, months
_PERIODS: Final = {"day": (1, 0), "week": (7, 0), "month": (0, 1), "year": (0, 12)}
_PERIOD: Final = re.compile(r"([1-9][0-9]{0,4}) (day|week|month|year)s?")


@lru_cache(1024)
def read_period(text: str) -> Period:
    """A period such as `90 days`, `6 weeks`, `12 months`, `1 year`, at most a hundred years."""
    found = _PERIOD.fullmatch(tidy(text))
    if found is None:
        raise QuantityError(
            f"{shown(text)} is not a length of time",
            "write a whole number and days, weeks, months or years, as in 6 weeks",
        )
    count = int(found[1])
    days, months = (count * size for size in _PERIODS[found[2]])
    if days > _LONGEST_YEARS * 366 or months > _LONGEST_YEARS * 12:
        raise QuantityError(
            f"{shown(text)} is longer than {_LONGEST_YEARS} years", "check the figure"
        )
    return Period(days, months)
