"""One invented week, counted by hand, against each kind of limit; and fasts at their edges. The
judged day is Wednesday 25 November 2026, the third day of the rota."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import rota_balance
from tests import records
from tests.rules.worked import figures

BREACH, KEPT, OPEN = Verdict.BREACH, Verdict.KEPT, Verdict.CANNOT_TELL
FED, FAST = "{morning: roots, afternoon: roots}", "{fast: planned}"
WEEK = [
    "{morning: roots, afternoon: leaves}",
    "{morning: roots, afternoon: mixed}",
    FED,
    "{morning: leaves, afternoon: own}",
    "{morning: roots, afternoon: no feed}",
    "{morning: own, afternoon: roots}",
    FAST,
]
SHEET = {
    "roots": ["{food: carrot, amount: 60 g per animal, presentation: in a box}"],
    "leaves": ["{food: kale, amount: 9 g per animal, presentation: hung up}"],
    "mixed": [
        "{food: mash, amount: 9 g per animal}",
        "{food: powder, amount: 1 g per animal, for: [T2]}",
    ],
    "own": ["{food: kale, amount: 5 g per animal, for: [T2]}"],
    "sweet": ["{food: carrot, amount: 5 g per animal, treat: training}"],
    "many": [f"{{food: kale, amount: {n} g per animal}}" for n in range(1, 6)],
    "spinach": ["{food: greens, amount: 5 g per animal}"],
}
FOODS = records.foods(
    carrot="{same_as: carrot}",
    kale="{same_as: kale}",
    mash="{mix: {kale: 50 %, carrot: 50 %}}",
    powder="{class: supplement, unknown_composition: x}",
    greens="{name: baby spinach, unknown_composition: x}",
)


def house(quantity: str, bound: str, over: str = "7 days", most: str = "at_most") -> str:
    """A limit that the house has set; `kale: 3 days` puts it on kale."""
    food, _, figure = bound.rpartition(": ")
    on = f"food: {food}, " if food else ""
    return (
        f"{{group: tapir, quantity: {quantity}, {on}{most}: {figure}, over: {over},"
        " severity: medium, why: test, set_by: Dr Vale, on: 2026-11-01}"
    )


def said(
    *limits: str,
    week: Sequence[str] = WEEK,
    animals: Sequence[str] = ("T1", "T2"),
    species: str = "Tapirus terrestris",
    starts: str = "2026-11-16",
    on: date = records.ON,
    **more: str,
) -> tuple[Check, ...]:
    """What the rule says; an animal is its id and what else its record holds."""
    herd = [f"{{id: {one}, weighings: [{{on: 2026-11-20, mass: 2 kg}}]}}" for one in animals]
    files = records.small(
        dietcheck=records.settings(rota_days=len(week)),
        group=records.group(species=species, animals=herd),
        foods=FOODS,
        sheet=records.sheet(SHEET),
        rota=records.rota(week, start=starts),
        **({"limits": f"record: limits\nlimits: [{', '.join(limits)}]\n"} if limits else {}),
        **more,
    )
    outcome = outcome_of(rota_balance, files, on)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def only(checks: Sequence[Check], about: str, animal: str = "T1") -> Check:
    (check,) = [c for c in checks if c.about.startswith(about) and animal in ("", *c.animals)]
    return check


def told(check: Check) -> tuple[Verdict, int, list[int]]:
    """The verdict, the figure and the days of the month."""
    assert check.measured is not None
    return check.verdict, int(check.measured.value.low), [when.on.day for when in check.occasions]


@pytest.mark.parametrize(
    ("limit", "first", "second"),
    [
        # kale on days 1, 2 (in a mash) and 4, for T2 on day 6 as well and twice on day 4
        (("same-item", "kale: 3 days"), (KEPT, 3, [19, 23, 24]), (BREACH, 4, [19, 21, 23, 24])),
        (("same-item", "kale: 3 feeds"), (KEPT, 3, [19, 23, 24]), (BREACH, 5, [19, 21, 23, 24])),
        (("same-item-in-a-row", "kale: 1 days", "rota"), (BREACH, 2, [30, 1]),
         (BREACH, 2, [30, 1])),
        # carrot and kale: a mash is none of its own, and powder is no food
        (("different-foods", "3 foods", "7 days", "at_least"), (BREACH, 2, [*range(19, 26)]),
         (BREACH, 2, [*range(19, 26)])),
        # roots, leaves, mixed; T2 has its own as well
        (("different-meals", "4 meals", "7 days", "at_least"), (BREACH, 3, [*range(19, 26)]),
         (KEPT, 4, [*range(19, 26)])),
        # in a box alone on days 2 and 3, and on 5 and 6
        (("same-presentation-in-a-row", "1 days", "rota"), (BREACH, 2, [24, 25]),
         (BREACH, 2, [24, 25])),
    ],
)  # fmt: skip
def test_a_week_counted_by_hand(
    limit: tuple[str, ...],
    first: tuple[Verdict, int, list[int]],
    second: tuple[Verdict, int, list[int]],
) -> None:
    checks = said(house(*limit))
    for animal, wanted in (("T1", first), ("T2", second)):
        check = only(checks, limit[0], animal)
        assert told(check) == wanted
        assert (check.advice == "") is (check.verdict is KEPT)
        severity = Severity.LOW if check.verdict is KEPT else Severity.MEDIUM
        assert check.severity is severity
        assert check.message.count(str(check.occasions[0].on)) == 1
        assert str(check.occasions[-1].on) in check.message
        assert ("in a row" in check.message) is ("row" in limit[0])
        places = [place.path for place in check.places if place.file == "rota.yaml"]
        numbers = [when.number for when in check.occasions]
        assert [path[1] for path in places] == [number - 1 for number in numbers if number]


def test_the_line_of_the_last_of_the_days_is_pointed_at() -> None:
    check = only(said(house("same-item", "kale: 3 days")), "same-item")
    assert check.places[0].path == ("meals", "mixed", 0)
    unread = only(said(house("same-item", "kale: 3 pieces"), animals=["T1"]), "limit on", "")
    assert unread.places[0].file == "limits.yaml"


def test_every_food_is_counted_where_a_limit_names_none() -> None:
    """Carrot in 7 feeds of the week, twice on day 3; the mash itself is no food to count."""
    checks = said(house("same-item", "3 feeds"), animals=["T1"])
    assert {
        (check.food, told(check)[:2]) for check in checks if check.about.startswith("same-item")
    } == {("carrot", (BREACH, 7)), ("kale", (KEPT, 3))}


def test_limits_over_one_week_and_over_two_are_judged_beside_each_other() -> None:
    long = house("different-foods", "3 foods", "14 days", "at_least")
    short = house("different-meals", "4 meals", "rota", "at_least")
    checks = said(short, long, animals=["T1"], week=WEEK[:2])
    assert len(only(checks, "different-foods").occasions) == 14
    assert len(only(checks, "different-meals").occasions) == 2


def test_the_only_seven_days_of_an_animal_are_a_week() -> None:
    limit = house("different-foods", "3 foods", "7 days", "at_least")
    stay = ["T1, here_from: 2026-11-25, here_until: 2026-12-01"]
    assert told(only(said(limit, animals=stay), "different-foods"))[:2] == (BREACH, 2)


def test_the_poorest_week_counts_for_variety() -> None:
    """Kale on days 1 to 3 of 14: a week from day 4 on has carrot alone."""
    days = ["{morning: roots, afternoon: leaves}"] * 3 + [FED] * 11
    limit = house("different-foods", "2 foods", "7 days", "at_least")
    check = only(said(limit, week=days, animals=["T1"]), "different-foods")
    assert told(check)[:2] == (BREACH, 1)


@pytest.mark.parametrize(
    ("quantity", "bound"),
    [("same-item-in-a-row", "kale: {} days"), ("same-presentation-in-a-row", "{} days")],
)
def test_a_run_that_never_ends_is_longer_than_any_limit_and_one_that_ends_is_counted(
    quantity: str, bound: str
) -> None:
    every = ["{morning: leaves, afternoon: no feed}"]
    endless = said(house(quantity, bound.format(10), "rota"), week=every, animals=["T1"])
    check = only(endless, quantity)
    assert check.verdict is BREACH
    assert check.measured is not None
    assert check.measured.value.low > 10
    assert not check.measured.value.is_bounded
    stay = ["T1, here_from: 2026-11-25, here_until: 2026-11-28"]
    for most, verdict in ((4, KEPT), (5, KEPT), (3, BREACH)):
        limit = house(quantity, bound.format(most), "rota")
        check = only(said(limit, week=every, animals=stay), quantity)
        assert told(check) == (verdict, 4, [25, 26, 27, 28])
        assert check.measured is not None
        assert check.measured.value.is_bounded is (verdict is KEPT)


def test_three_lines_at_most_are_pointed_at() -> None:
    week = ["{morning: many, afternoon: roots}"]
    check = only(said(house("same-item", "kale: 1 days"), week=week, animals=["T1"]), "same-item")
    lines = [place.path[1:] for place in check.places if place.file == "sheet.yaml"]
    assert lines == [("many", n) for n in range(3)]
    way = house("same-presentation-in-a-row", "1 days", "rota")
    check = only(said(way, week=week, animals=["T1"]), "same-presentation")
    lines = [place.path[1:] for place in check.places if place.file == "sheet.yaml"]
    assert lines == [("roots", 0)]


def test_spinach_is_known_by_its_name_whatever_the_house_calls_it() -> None:
    """At most 2 days of 7 for tortoises: common practice, no source."""
    week = ["{morning: spinach, afternoon: no feed}"] * 7
    check = only(said(week=week, animals=["T1"], species="Testudo hermanni"), "same-item over")
    assert (check.food, told(check)[:2]) == ("greens", (BREACH, 7))
    own = house("same-item", "spinach: 2 days")
    checks = said(own, week=week, animals=["T1"], species="Testudo hermanni")
    assert not [c for c in checks if c.limit and c.limit.set_by]  # the house goes by id and class


# -- fasts -----------------------------------------------------------------------------------------


def test_food_every_day_is_kept_for_every_set_of_animals() -> None:
    checks = said(week=[FED, "{morning: roots, afternoon: own}"])
    assert {(c.animals, told(c)[:2]) for c in checks} == {
        (("T1",), (KEPT, 1)), (("T2",), (KEPT, 1)),
    }  # fmt: skip
    assert all(c.advice == c.settles == "" for c in checks)


@pytest.mark.parametrize(
    ("day", "fasts"),
    [
        (FAST, True),
        ("{afternoon: no feed}", False),  # a hole: somebody forgot the morning
        ("{morning: sweet, afternoon: no feed}", True),  # a treat alone is no food
        ("{morning: leaves, afternoon: no feed}", False),
    ],
)
@pytest.mark.parametrize("species", ["Tapirus terrestris", "Panthera leo"])
def test_what_is_a_day_without_food(day: str, fasts: bool, species: str) -> None:
    checks = said(week=[*[FED] * 6, day], animals=["T1"], species=species)
    wait = only(checks, "fast too long")
    assert told(wait)[1] == (2 if fasts else 1)
    if species == "Panthera leo":
        missing = only(checks, "fast days")
        assert told(missing)[:2] == ((KEPT, 1) if fasts else (BREACH, 0))
        assert missing.severity is Severity.LOW
        assert (missing.advice == "") is fasts
        assert [when.on.day for when in missing.occasions] == [*range(19, 26)]


def test_the_wait_says_from_when_to_when_and_where_it_stands() -> None:
    single = only(said(animals=["T1"]), "fast too long")
    assert figures(single.message)[1:] == ["2", "2026", "11", "29", "2026", "11", "30", "1"]
    assert [place.path for place in single.places] == [("days", 6), ("days", 0)]
    days = [FED, FED, *[FAST] * 8]
    check = only(said(week=days, animals=["T1"], starts="2026-11-25"), "fast too long")
    assert told(check) == (BREACH, 9, [27, 28, 29, 30, 1, 2, 3, 4])
    assert figures(check.message)[2:11] == [
        "2026", "11", "27", "2026", "12", "04", "2026", "12", "05",
    ]  # fmt: skip
    assert len(check.places) == 5
    assert check.advice
    assert check.settles == ""
    assert figures(check.working[0])[0] == "8"


def test_two_days_without_food_are_told_from_the_first_to_the_last() -> None:
    check = only(said(week=[*[FED] * 5, FAST, FAST], animals=["T1"]), "fast too long")
    assert figures(check.message)[2:8] == ["2026", "11", "28", "2026", "11", "29"]


def test_a_wait_that_ends_today_is_history() -> None:
    days = [*[FAST] * 13, FED]
    assert told(only(said(week=days, animals=["T1"], species="Python regius",
                          on=date(2026, 11, 28)), "fast too"))[1] >= 14  # fmt: skip
    today = said(week=days, animals=["T1"], species="Python regius", on=date(2026, 11, 29))
    assert told(only(today, "fast too")) == (KEPT, 14, [*range(30, 31), *range(1, 13)])


def test_an_animal_that_came_is_not_asked_for_its_days_before() -> None:
    """Here from the 20th, fed on the 29th: ten days at the most, fourteen are proper."""
    days = [*[FAST] * 13, FED]
    stay = ["T1, here_from: 2026-11-20, here_until: 2026-11-30"]
    check = only(said(week=days, animals=stay, species="Python regius"), "fast too")
    assert check.verdict is KEPT
    unknown = only(said(week=days, animals=["T1"], species="Python regius"), "fast too")
    assert unknown.verdict is OPEN
    assert unknown.settles


def test_no_food_at_all_is_a_wait_without_an_end() -> None:
    stay = ["T1, stage: growing, here_from: 2026-11-25, here_until: 2026-11-28"]
    check = only(said(week=[FAST] * 4, animals=stay, species="Pogona vitticeps",
                      starts="2026-11-25"), "fast too long")  # fmt: skip
    assert told(check) == (BREACH, 4, [25, 26, 27, 28])
    assert check.measured is not None
    assert not check.measured.value.is_bounded
    assert "no food is planned after" in check.message


@pytest.mark.parametrize(("stay", "first"), [("", 19), (", here_from: 2026-11-22", 22)])
def test_seven_days_in_which_an_animal_is_here_are_looked_at(stay: str, first: int) -> None:
    """The large cats' day without food a week: common practice, no source."""
    check = only(said(week=[FED] * 14, animals=[f"T1{stay}"], species="Panthera leo"), "fast days")
    assert told(check) == (BREACH, 0, [*range(first, first + 7)])
    week = ["T1, here_from: 2026-11-25, here_until: 2026-12-01"]  # those seven days alone
    told_of_week = told(only(said(week=[FED], animals=week, species="Panthera leo"), "fast days"))
    assert told_of_week[:2] == (BREACH, 0)


@pytest.mark.parametrize(("day", "severity"), [(FAST, Severity.LOW), (FED, Severity.MEDIUM)])
def test_a_fast_day_that_the_house_wants_is_low_only_where_it_is_there(
    day: str, severity: Severity
) -> None:
    limit = house("fast-days", "1 days", "7 days", "at_least")
    checks = said(limit, week=[*[FED] * 6, day], animals=["T1"], species="Panthera leo")
    assert only(checks, "fast days").severity is severity


INSULIN = "{{food: carrot, amount: 9 g per animal{whom}, medicine: {{drug: insulin, by: Dr Vale, "
INSULIN += "dose: 5 ml, from: {start}, until: {until}}}}}"


@pytest.mark.parametrize(
    ("whom", "start", "until", "verdicts"),
    [
        ("", "2026-11-25", "2026-12-25", [BREACH, BREACH]),
        ("", "2026-11-01", "2026-11-25", [BREACH, BREACH]),
        (", for: [T2]", "2026-11-01", "2026-12-25", [BREACH]),
        ("", "2026-11-26", "2026-12-25", []),
        ("", "2026-11-01", "2026-11-24", []),
    ],
)
def test_insulin_in_the_food_forbids_a_fast_while_it_is_given(
    whom: str, start: str, until: str, verdicts: list[Verdict]
) -> None:
    meals = {**SHEET, "roots": [*SHEET["roots"],
                                INSULIN.format(whom=whom, start=start, until=until)]}  # fmt: skip
    files = {"sheet": records.sheet(meals)}
    herd = [f"{{id: {one}, weighings: [{{on: 2026-11-20, mass: 2 kg}}]}}" for one in ("T1", "T2")]
    park = records.small(
        dietcheck=records.settings(rota_days=7),
        group=records.group(species="Panthera leo", animals=herd),
        foods=FOODS,
        rota=records.rota(WEEK),
        **files,
    )
    checks = checks_of(outcome_of(rota_balance, park, records.ON), "tapir")
    found = [check for check in checks if check.about.startswith("fast for")]
    assert [check.verdict for check in found] == verdicts
    assert all(check.settles == "" for check in found)
    if whom:
        assert found[0].animals == ("T2",)


@pytest.mark.parametrize(
    ("plan", "asked"),
    [
        ("from: 2026-11-25", True), ("from: 2026-11-26", False),
        ("from: 2026-11-01, until: 2026-11-25", True),
        ("from: 2026-11-01, until: 2026-11-24", False),
    ],
)  # fmt: skip
def test_a_medical_plan_asks_about_fasts_while_it_runs(plan: str, asked: bool) -> None:
    animal = f"T1, plan: {{kind: medical, {plan}, set_by: Dr Vale}}"
    checks = said(animals=[animal], species="Panthera leo")
    found = [check for check in checks if check.about.startswith("fast for")]
    assert bool(found) is asked
    assert all(check.settles for check in found)


@pytest.mark.parametrize(("on", "days"), [(28, [29]), (29, [29]), (30, [6])])
def test_only_a_fast_that_is_not_over_is_held_against_the_sick(on: int, days: list[int]) -> None:
    checks = said(animals=["T1, health: [diabetes]"], species="Panthera leo", on=date(2026, 11, on))
    check = only(checks, "fast for")
    assert [when.on.day for when in check.occasions][:1] == days
    assert check.places[-1].file == "group.yaml"


def test_a_treat_is_food_when_kinds_are_counted() -> None:
    week = ["{morning: sweet, afternoon: leaves}"] * 7
    check = only(said(house("same-item", "carrot: 3 days"), week=week), "same-item")
    assert told(check)[:2] == (BREACH, 7)


def test_without_a_rota_nothing_is_called_kept() -> None:
    files = records.small()
    del files["rota.yaml"]
    (check,) = checks_of(outcome_of(rota_balance, files, records.ON), "tapir")
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_two_days_without_food_and_then_gone_is_no_wait_that_can_be_measured() -> None:
    stay = ["T1, here_from: 2026-11-25, here_until: 2026-11-26"]
    (check,) = said(week=[FAST] * 7, animals=stay, species="Pogona vitticeps", starts="2026-11-25")
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_three_days_are_no_week() -> None:
    stay = ["T1, here_from: 2026-11-25, here_until: 2026-11-27"]
    checks = said(house("same-item", "kale: 3 days"), animals=stay, species="Panthera leo")
    assert {check.about for check in checks} == {"fast too long"}
