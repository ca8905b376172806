"""Which days a group's food is looked at, as at a day. Everything is invented."""

from __future__ import annotations

from datetime import date

import pytest

from dietcheck.nutrition.diet import Diet
from tests import records

FED = ["{morning: roots, afternoon: roots}"] * 2
EARLIER = records.rota(FED, start="2026-11-01", more="until: 2026-11-10")


def treat(on: str) -> str:
    """A treat for the tapirs."""
    return (
        f"record: treats\ntreats:\n  - {{on: {on}, group: tapir, purpose: training,"
        " items: [{food: carrot, amount: 1 g per animal}]}\n"
    )


def park(**changes: str) -> Diet:
    """A rota of two days that began on 16 November, judged as at the 25th."""
    return records.diet(records.small(**changes))


@pytest.mark.parametrize(
    ("changes", "back", "first", "last"),
    [
        ({}, 2, "2026-11-23", "2026-11-29"),  # one round of two days and three more
        ({}, 20, "2026-11-16", "2026-11-29"),
        ({"before": EARLIER}, 20, "2026-11-16", "2026-11-29"),  # what was fed between is not known
        ({"treats": treat("2026-12-10")}, 2, "2026-11-23", "2026-12-15"),
        ({"treats": treat("2027-11-26")}, 2, "2026-11-23", "2027-11-30"),  # 366 days from now
        ({"treats": treat("2027-11-27")}, 2, "2026-11-23", "2026-11-29"),  # not looked at yet
        ({"rota": records.rota(FED, more="until: 2026-11-24")}, 2, "2026-11-23", "2026-11-29"),
    ],
)  # fmt: skip
def test_days_as_lived_begin_with_the_rota_and_go_on_until_all_has_come_round(
    changes: dict[str, str], back: int, first: str, last: str
) -> None:
    found = [day.on for day in park(**changes).lived(back, 3)]
    assert (found[0], found[-1]) == (date.fromisoformat(first), date.fromisoformat(last))
    assert len(found) == (found[-1] - found[0]).days + 1


@pytest.mark.parametrize(("count", "days"), [(1, [23]), (3, [21, 22, 23]), (30, [*range(16, 24)])])
def test_the_days_before_are_the_last_ones_of_the_same_run_of_rotas(
    count: int, days: list[int]
) -> None:
    diet = park(before=EARLIER, treats=treat("2026-12-10"))
    assert [day.on.day for day in diet.days][:2] == [24, 25]
    assert [day.on.day for day in diet.days_before(count)] == days


@pytest.mark.parametrize(("days", "first"), [(2, 24), (3, 23), (5, 21), (30, 16)])
def test_runs_that_began_before_count_while_they_are_not_over(days: int, first: int) -> None:
    diet = park()
    found = [window.days for window in diet.windows(diet.animals[0], days, past=True)]
    assert found[0][0].on == date(2026, 11, first)
    assert all(
        len(run) == days and run[-1].on >= records.ON for run in found if run[0].on < records.ON
    )


def test_what_changes_on_the_very_day_is_no_longer_judged_as_it_was() -> None:
    lines = {"roots": ["{food: carrot, amount: 1 g per animal}"]}
    diet = park(today=records.sheet(lines, start="2026-11-25"))
    assert [day.on.day for day in diet.days] == [25, 26]
