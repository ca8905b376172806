"""What is told about fruit: the sums, the lines, and the feeds that follow each other.

Animals, amounts, mixes and limits of the house are invented; each sum is worked out beside it.
"""

from __future__ import annotations

from datetime import date
from itertools import product

import pytest

from dietcheck.contract import Check, Standing, Verdict, When, exact, slot_order
from dietcheck_rules.fruit_as_treat.feed_order import FeedMark, longest_running, marks_of
from tests import records
from tests.rules.test_fruit_as_treat import FED, FRUITY, MARMOSET, SITE, TREAT, line, of, said
from tests.rules.told import figures, places

PELLET = line("pellet", 1000)
TWO = tuple(
    f"{{id: {name}, weighings: [{{on: 2026-11-20, mass: {kg} kg}}]}}"
    for name, kg in (("T1", 200), ("T2", 250))
)


def house(quantity: str, bound: str, over: str) -> str:
    """A limit of the house."""
    return f"{{group: tapir, quantity: {quantity}, at_most: {bound}, over: {over}, {SITE}}}"


def own(checks: tuple[Check, ...]) -> list[Check]:
    """Those held against a limit of the house."""
    return [c for c in checks if c.limit and c.limit.standing is Standing.SITE_RULE]


DAY = {
    "am meal": [PELLET, line("banana", 10, TREAT), line("raisin", 20), line("windfall", 30),
                line("jam", 4), line("sauce", 6)],
    "pm meal": [PELLET, line("banana", 10, TREAT + ", for: [T1]")],
}  # fmt: skip
# 4 feeds of 2 days hold fruit; each line with its grams and how often it is fed
COUNTS = "4 4 2 2 | 10 2 | 20 2 | 4 2 | 6 2 | 10 2 | "


def test_the_fruit_of_a_day_is_summed_over_all_lines_for_the_worst_animal() -> None:
    """10 + 10 + 20 + 4 + 6 = 50 g for 200 kg are 0.25 g per kg, 0.15 past 0.1; crab apples are
    named and not counted."""
    limit = house("fruit-amount", "0.1 g per kg body mass", "day")
    (check,) = own(said(DAY, animals=TWO, limits=[limit]))
    assert (check.verdict, check.animals, check.food) == (Verdict.BREACH, ("T1", "T2"), None)
    assert figures(check.message) == "1 1 0.25 0.1 2026 01 01"
    assert "and more)" in check.message  # of the four only three are named
    assert figures(*check.working) == f"20 | 20 | 4 | 6 | {COUNTS} | 0.1 2026 01 01 | 0.15"
    assert any(step.endswith("Crab apple") for step in check.working)
    assert sum("treat: training" in step for step in check.working) == 2
    assert sum("no treat" in step for step in check.working) == 3
    assert places(check) == [
        *(f"sheet am meal {number} food" for number in (1, 2, 4, 5)),
        "sheet pm meal 1 food",
        "limits limits 0",
    ]
    assert {(when.number, when.slot) for when in check.occasions} == {(1, ""), (2, "")}
    assert "body mass" in check.about


def test_a_share_names_each_food_and_what_of_it_counts() -> None:
    """In two days 40 + 40 + 8 + 12 of 4160 g are 2.4 %; 10 % leaves 7.6. What is kept asks for
    nothing."""
    (check,) = of(said(DAY, animals=TWO), "fruit-share")
    assert check.verdict is Verdict.KEPT
    assert figures(*check.working) == (
        "40 2 100 | 40 2 100 | 8 2 100 | 12 2 100 | 4160 2 2.4 | " + COUNTS + " | 10 | 7.6"
    )
    assert check.about == "share of cultivated fruit over the rota"
    assert (check.advice, check.places, check.occasions) == ("", (), ())
    (dry,) = own(said(DAY, animals=TWO, limits=[house("fruit-share", "1 % of dry matter", "day")]))
    assert "dry matter" in dry.about
    assert figures(*dry.working[:5]) == "20 100 | 20 100 | 4 100 | 6 100 | 2080 1.39"


def test_feeds_running_are_told_for_each_animal_with_its_own_lines() -> None:
    """T2 gets none in the afternoon: one feed running, on both days; T1 four without end."""
    longest, single = of(said(DAY, animals=TWO), "fruit-feeds-running")
    assert (longest.animals, single.animals) == (("T1",), ("T2",))
    assert figures(*longest.working) == f"{COUNTS} | 1 | 3"
    assert figures(*single.working) == "2 4 2 2 | 10 2 | 20 2 | 4 2 | 6 2 |  | 1 | 0"
    assert longest.measured is not None
    assert longest.measured.value == exact(4)


def test_an_unflagged_fruit_points_at_its_unflagged_lines_only() -> None:
    meals = {
        "am meal": [PELLET, line("banana", 5, TREAT), line("banana", 3, ", for: [T2]")],
        "pm meal": [PELLET],
    }
    check, kept = of(said(meals, animals=TWO), "fruit-outside-treats")
    assert (check.animals, kept.animals) == (("T2",), ("T1",))
    assert (kept.verdict, kept.measured and kept.measured.value) == (Verdict.KEPT, exact(0))
    assert places(check) == ["sheet am meal 2 food"]
    assert "fruit in 2 of the 4 feeds" in "\n".join(check.working)


@pytest.mark.parametrize(
    ("over", "bound", "verdict"),
    [("day", "1 day", Verdict.KEPT), ("day", "0 days", Verdict.BREACH),
     ("7 days", "3 days", Verdict.BREACH), ("7 days", "4 days", Verdict.KEPT),
     ("rota", "1 day", Verdict.KEPT)],
)  # fmt: skip
def test_the_busiest_window_counts(over: str, bound: str, verdict: Verdict) -> None:
    """Fruit on one day of two is fruit on four of seven, at the worst."""
    days = [FED, "{morning: pm meal, afternoon: pm meal}"]
    limit = house("fruit-frequency", bound, over)
    assert [c.verdict for c in own(said(FRUITY, days=days, limits=[limit]))] == [verdict]


def test_how_often_tells_of_the_busiest_rota() -> None:
    """The rota that starts in December brings fruit in each of its 4 feeds, the first in 1."""
    later = records.rota(["{morning: am meal, afternoon: am meal}"] * 2, start="2026-12-01")
    days = [FED, "{morning: pm meal, afternoon: pm meal}"]
    (check,) = of(said(FRUITY, days=days, later=later), "fruit-share")
    assert "fruit in 4 of the 4 feeds of a rota, on 2 of 2 days" in check.working


def test_treats_beside_fruit_count_once_where_one_food_is_both() -> None:
    """A half-fruit chop of 100 g, 40 g of it as treats, of 1000 g: at least the 50 g of fruit, at
    most 90 g (A003 allows 10 % of fruit and treats for gorillas)."""
    mixed = {"half": "{mix: {banana: 50 %, carrot: 50 %}}"}

    def share(treat: int, plain: int, pellet: int) -> list[Check]:
        lines = [line("pellet", pellet), line("half", treat, TREAT), line("half", plain)]
        days = ["{morning: am meal, afternoon: no feed}"] * 2
        found = said({"am meal": lines}, days=days, species="Gorilla gorilla", more_foods=mixed)
        return of(found, "fruit-and-treat-share")

    for treat, plain, low, high in ((40, 60, 5, 9), (80, 20, 8, 10), (50, 50, 5, 10)):
        (check,) = share(treat, plain, 900)
        assert check.measured is not None
        assert check.measured.value == exact(low).hull(exact(high))
    assert [check.verdict for check in share(40, 60, 400)] == [Verdict.CANNOT_TELL]


def test_fruit_and_vegetables_of_a_mix_are_parted() -> None:
    """100 g of a chop that is a quarter fruit and half vegetable beside 25 g of banana: 50 g of
    fruit in 100 g of produce are the half that a bird may have (common practice, no source)."""
    chop = {"quarter": "{mix: {banana: 25 %, carrot: 50 %, pellet: 25 %}}"}
    for banana, verdict in ((25, Verdict.KEPT), (26, Verdict.BREACH)):
        meals = {
            "am meal": [PELLET, line("quarter", 100), line("banana", banana)],
            "pm meal": [PELLET],
        }
        found = said(meals, species="Rhea americana", more_foods=chop)
        (check,) = of(found, "fruit-of-produce")
        assert check.verdict is verdict
    assert "50.5 %" in check.message  # 51 of 101 g


def test_a_limit_per_kg_needs_a_weighing() -> None:
    limit = house("fruit-amount", "0.1 g per kg body mass", "day")
    (check,) = own(said(FRUITY, animals=("{id: Tim}",), limits=[limit]))
    assert check.verdict is Verdict.CANNOT_TELL
    assert "weighing of Tim" in check.settles
    assert check.advice


LOOSE = "{food: pellet, amount: 'ad lib, expected 20 to 40 g per animal'}"
PIECES = "{food: %s, amount: 1 piece per animal, treat: training}"


def test_what_settles_a_share_is_the_vague_amount_or_else_the_mass_or_water_of_foods() -> None:
    vague = {"am meal": [LOOSE, line("banana", 3, TREAT), line("carrot", 5)]}
    days = ["{morning: am meal, afternoon: no feed}"] * 2
    (check,) = of(said(vague, days=days, **MARMOSET), "fruit-share")
    assert check.verdict is Verdict.CANNOT_TELL
    assert "pellet" in check.settles
    assert "banana" not in check.settles
    unknown = {"fig": "{class: fruit, label: {basis: as fed, sugars: 20 %}}"}
    dry = {"am meal": [line("pellet", 50), line("fig", 5, TREAT), line("carrot", 9)]}
    limit = house("fruit-share", "5 % of dry matter", "rota")
    found = said(dry, days=days, more_foods=unknown, limits=[limit])
    (check,) = own(found)
    assert check.verdict is Verdict.CANNOT_TELL
    assert "first of" in check.settles
    assert "(fig)" in check.settles


def test_a_food_that_may_be_fruit_is_asked_about_for_those_that_get_it() -> None:
    meals = {"am meal": [PELLET, line("mango", 5, ", for: [T2]")], "pm meal": [PELLET]}
    (check,) = [c for c in said(meals, animals=TWO) if c.verdict is Verdict.CANNOT_TELL]
    assert (check.food, check.animals) == ("mango", ("T2",))
    assert places(check)[0] == "sheet am meal 1 food"
    both = {"am meal": [PELLET, line("mango", 5)], "pm meal": [PELLET]}
    (check,) = [c for c in said(both, animals=TWO) if c.verdict is Verdict.CANNOT_TELL]
    assert check.animals == ("T1", "T2")


def test_a_limit_that_fruit_cannot_be_counted_in_is_pointed_at() -> None:
    (check,) = own(said(FRUITY, limits=[house("fruit-amount", "9 g per animal", "rota")]))
    assert places(check) == ["limits limits 0"]
    assert "g/animal, g/kg" in check.advice


def test_stages_have_their_own_limits() -> None:
    """A003 is for adult gorillas: a growing one has no share of fruit and treats together."""
    animals = ("{id: A1, stage: adult}", "{id: G1, stage: growing}")
    meals = {"am meal": [line("pellet", 800), line("carrot", 200, TREAT)]}
    days = ["{morning: am meal, afternoon: no feed}"] * 2
    found = said(meals, days=days, species="Gorilla gorilla", animals=animals)
    (check,) = of(found, "fruit-and-treat-share")
    assert (check.verdict, check.animals) == (Verdict.BREACH, ("A1",))


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
    [("figs", True), ("dried-cherries", True), ("peaches", True), ("cherry-tea", True),
     ("cubes", False), ("a-b", False), ("meal", False)],
)  # fmt: skip
def test_a_name_on_no_list_is_that_of_a_fruit_in_any_number(name: str, asked: bool) -> None:
    """Cherries and peaches are plurals of fruits of the bundled table; a cube is none."""
    meals = {"am meal": [PELLET, line(name, 5)], "pm meal": [PELLET]}
    found = [c.food for c in said(meals) if c.verdict is Verdict.CANNOT_TELL]
    assert found == ([name] if asked else [])
