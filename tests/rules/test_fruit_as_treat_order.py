"""The feeds with fruit that follow each other, and what a name says of a food. All is invented."""

from __future__ import annotations

from datetime import date
from itertools import product

import pytest

from dietcheck.contract import Verdict, When, slot_order
from dietcheck_rules.fruit_as_treat.feed_order import FeedMark, longest_running, marks_of
from tests import records
from tests.rules.test_fruit_as_treat import TREAT, line, of, said

PELLET = line("pellet", 1000)
TWO = tuple(
    f"{{id: {name}, weighings: [{{on: 2026-11-20, mass: {kg} kg}}]}}"
    for name, kg in (("T1", 200), ("T2", 250))
)


def test_lines_for_a_neighbour_hide_nothing_that_follows() -> None:
    meals = {
        "am meal": [line("carrot", 5, ", for: [T2]"), line("banana", 5, TREAT)],
        "pm meal": [line("carrot", 5, ", for: [T2]"), line("banana", 5, TREAT)],
    }
    running = of(said(meals, animals=TWO), "fruit-feeds-running")
    assert [check.animals for check in running] == [("T1", "T2")]


def test_a_treat_stands_at_its_place_in_the_day_whenever_it_was_written_down() -> None:
    """Carrots at noon lie between the bananas; one at some time of the day has no place."""
    treat = "  - {on: 2026-11-26, group: tapir, %spurpose: training, items: [%s]}\n"
    treats = "".join(treat % (slot, line("carrot", 9)) for slot in ("slot: noon, ", ""))
    files = {
        "foods": records.foods(banana="{same_as: banana}", carrot="{same_as: carrot}"),
        "sheet": records.sheet({"meal": [line("banana", 5, TREAT)]}),
        "rota": records.rota(["{morning: meal, afternoon: meal}"] * 2),
        "treats": f"record: treats\ntreats:\n{treats}",
    }
    diet = records.diet(records.small(**files))
    (day,) = [day for day in diet.days if day.on == date(2026, 11, 26)]
    feeds = marks_of(diet.animals[0], day, slot_order(["morning", "afternoon"], ["noon"]))
    assert [(mark.when.slot, bool(mark.fruit)) for mark in feeds] == [
        ("between feeds", False), ("morning", True), ("noon", False), ("afternoon", True),
    ]  # fmt: skip


def marks(days: str) -> list[list[FeedMark]]:
    """Days of feeds: F with fruit, - without, f with fruit and of no known place in its day."""
    (food,) = records.linked(records.small()).foods.values()
    return [
        [
            FeedMark(
                When(date(2026, 11, number + 1), number + 1, str(at)),
                None if sign == "f" else (at, 0),
                (food,) if sign in "Ff" else (),
            )
            for at, sign in enumerate(day)
        ]
        for number, day in enumerate(days.split())
    ]


def longest(days: list[str]) -> int:
    """The longest row of F in days where every feed has its place."""
    return max(map(len, "".join(days).split("-")))


@pytest.mark.parametrize(
    "days",
    ["F- -F", "FF-F F", "- -", "f", "-f-", "F-FFf", "fF- F", "-f f-", "-F f -F", "F-f fF-",
     "ff-", "F-Ff F-F", "f- -f", "--f F-", "-F-f -"],
)  # fmt: skip
def test_an_extra_feed_of_no_known_place_may_stand_anywhere_in_its_day(days: str) -> None:
    """The law: at most as many as in the worst of all ways to lay it out; surely as many as
    without it, and one where it is the only fruit."""
    found, which = longest_running(marks(days))
    placed = [day.replace("f", "") for day in days.split()]
    ways = [
        [{feeds[:at] + "F" * day.count("f") + feeds[at:] for at in range(len(feeds) + 1)}]
        for day, feeds in zip(days.split(), placed, strict=True)
    ]
    most = max(longest(list(way)) for way in product(*(one[0] for one in ways)))
    assert found.high == most == len(which)
    assert found.low == max(longest(placed), "f" in days)


@pytest.mark.parametrize(
    ("name", "asked"),
    [("figs", True), ("fig-bits", True), ("goji-berry", True), ("peel-cubes", False),
     ("parsnip", False), ("dried-cherries", True), ("peaches", True), ("cherry-tea", True),
     ("cubes", False), ("a-b", False), ("meal", False)],
)  # fmt: skip
def test_a_name_on_no_list_is_that_of_a_fruit_in_any_number(name: str, asked: bool) -> None:
    """Cherries and peaches are plurals of fruits of the bundled table; a cube is none."""
    meals = {"am meal": [PELLET, line(name, 5)], "pm meal": [PELLET]}
    found = [c.food for c in said(meals) if c.verdict is Verdict.CANNOT_TELL]
    assert found == ([name] if asked else [])
