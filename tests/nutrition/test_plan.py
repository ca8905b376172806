"""What a group is planned to be fed on a day, and where nobody wrote it. Everything is invented."""

from __future__ import annotations

from datetime import date

import pytest

from dietcheck.nutrition.plan import PlannedDay
from dietcheck.quantities import exact
from tests import records


def first_days(days: list[str], **changes: str) -> tuple[PlannedDay, ...]:
    """The days of a rota, in a park with an evening feed that not every day needs."""
    settings = records.settings(rota_days=len(days)).replace("[noon]", "[noon, evening]")
    return records.diet(records.small(dietcheck=settings, rota=records.rota(days), **changes)).days


def holes(day: PlannedDay) -> list[tuple[str, str | None, str | None]]:
    """What is missing on a day, in which slot, of which meal."""
    return [(hole.kind, hole.slot, hole.meal) for hole in day.holes]


def test_the_days_of_a_rota_come_in_order_with_its_fast_days() -> None:
    days = first_days(["{morning: roots}", "{fast: planned}", "{morning: roots, afternoon: roots}"])
    told = [(day.number, day.fast, len(day.feeds), len(day.holes)) for day in days]
    assert told == [(1, False, 1, 1), (2, True, 0, 0), (3, False, 2, 0)]


def test_before_any_rota_there_is_no_number_and_no_feed() -> None:
    day = records.diet(records.small()).day(date(2026, 11, 15))
    assert (day.number, day.fast, day.feeds, holes(day)) == (
        0, False, (), [("no rota", None, None)],
    )  # fmt: skip


@pytest.mark.parametrize(
    ("day", "missing"),
    [
        ("{morning: roots, afternoon: roots}", []),
        ("{morning: roots, afternoon: no feed}", []),
        ("{morning: roots, afternoon: roots, noon: roots, evening: roots}", []),
        ("{morning: roots}", [("empty feed", "afternoon", None)]),
        ("{afternoon: roots, noon: roots}", [("empty feed", "morning", None)]),
        ("{morning: roots, afternoon: roots, night: roots}", [("unknown feed", "night", None)]),
        ("{morning: [roots, rootz], afternoon: roots}", [("unknown meal", "morning", "rootz")]),
        ("{fast: planned}", []),
    ],
)
def test_a_day_says_where_nobody_wrote_what_is_fed(
    day: str, missing: list[tuple[str, str | None, str | None]]
) -> None:
    (found,) = first_days([day])
    assert holes(found) == missing


def test_a_sheet_that_ended_leaves_every_meal_open() -> None:
    ended = records.sheet(
        {"roots": ["{food: carrot, amount: 1 g per animal}"]}, more="until: 2026-11-20"
    )
    (day,) = first_days(["{morning: roots, afternoon: [roots, roots]}"], sheet=ended)
    assert holes(day) == [
        ("no sheet", "morning", "roots"), ("no sheet", "afternoon", "roots"),
        ("no sheet", "afternoon", "roots"),
    ]  # fmt: skip
    assert day.feeds == ()


def test_a_treat_is_a_feed_of_its_own_and_by_body_mass_not_the_same_for_all() -> None:
    """5 g for each, and 2 g for each kilogram: 10 g and 20 g."""
    treats = (
        "record: treats\ntreats:\n  - {on: 2026-11-25, group: tapir, purpose: training, items:"
        " [{food: carrot, amount: 5 g per animal},"
        " {food: carrot, amount: 2 g per kg body mass}]}\n"
        "  - {on: 2026-11-25, group: tapir, slot: noon, purpose: enrichment, items:"
        " [{food: carrot, amount: 1 g per animal}]}\n"
    )
    animals = [f"{{id: T{n}, weighings: [{{on: 2026-11-20, mass: {n} kg}}]}}" for n in (5, 10)]
    diet = records.diet(records.small(group=records.group(animals=animals), treats=treats))
    day = diet.day(records.ON)
    assert [(feed.slot, feed.meal) for feed in day.feeds[2:]] == [
        ("between feeds", "treat (training)"), ("noon", "treat (enrichment)"),
    ]  # fmt: skip
    assert [diet.day_ration(animal, day).grams() for animal in diet.animals] == [
        exact(1216), exact(1226),
    ]  # fmt: skip
    assert [offer.whole for offer in diet.offers()[-1:]] == [exact(2)]
