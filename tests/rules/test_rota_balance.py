"""The rota over time. Intervals between feeds and all else here are common practice, no source;
animals, foods and rotas are invented. The judged day is 25 November 2026."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.quantities import exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import rota_balance
from tests import records

FED, FAST = "{morning: roots, afternoon: roots}", "{fast: planned}"
SNAKE, DRAGON, LION, TAPIR = (
    "Python regius", "Pogona vitticeps", "Panthera leo", "Tapirus terrestris",
)  # fmt: skip
WEIGHED = "weighings: [{on: 2026-11-20, mass: 2 kg}]"
FINDINGS = (Verdict.BREACH, Verdict.CANNOT_TELL)
Found = list[tuple[Verdict, Severity]]


def park(
    days: Sequence[str],
    species: str = SNAKE,
    animal: str = "",
    before: Sequence[str] = (),
    lines: Sequence[str] = ("{food: carrot, amount: 60 g per animal}",),
    **more: str,
) -> dict[str, str]:
    """A group with a rota from 16 November and perhaps one before it."""
    files = records.small(
        dietcheck=records.settings(rota_days=len(days)),
        group=records.group(species=species, animals=[f"{{id: T1, {WEIGHED}{animal}}}"]),
        sheet=records.sheet({"roots": lines, "leaves": ["{food: kale, amount: 9 g per animal}"]}),
        foods=records.foods(carrot="{same_as: carrot}", kale="{same_as: kale}"),
        rota=records.rota(days),
        **more,
    )
    if before:
        start = date(2026, 11, 16) - timedelta(days=len(before))
        files["before.yaml"] = records.rota(before, start=start.isoformat())
    return files


def said(files: dict[str, str], about: str = "", on: date = records.ON) -> list[Check]:
    """The findings about something."""
    checks = checks_of(outcome_of(rota_balance, files, on), "tapir")
    return [c for c in checks if c.verdict in FINDINGS and c.about.startswith(about)]


def grades(checks: list[Check]) -> Found:
    """Verdict and severity of each."""
    return [(check.verdict, check.severity) for check in checks]


def rat_on(day: int, length: int = 14) -> list[str]:
    """A rota with food on one day alone."""
    return [FED if number == day else FAST for number in range(1, length + 1)]


MEDIUM: Found = [(Verdict.BREACH, Severity.MEDIUM)]
UNSURE: Found = [(Verdict.CANNOT_TELL, Severity.MEDIUM)]


def test_one_meal_in_twenty_eight_is_proper_for_a_snake() -> None:
    """Fourteen days from rat to rat: exactly the limit."""
    assert said(park(rat_on(4), before=rat_on(4))) == []


def test_the_tail_of_the_rota_before_is_counted() -> None:
    """Fed on 5 November (day 4 of 14) and then on the 29th (day 14): 24 days."""
    (check,) = said(park(rat_on(14), before=rat_on(4)))
    assert grades([check]) == MEDIUM
    assert check.measured is not None
    assert check.measured.value.low == 24
    assert [when.on for when in check.occasions][:1] == [date(2026, 11, 6)]


def test_without_the_rota_before_nobody_can_tell_when_it_was_fed() -> None:
    assert grades(said(park(rat_on(14)))) == UNSURE


def test_a_wait_that_is_over_is_history() -> None:
    """As above, judged the day after the rat of the 29th."""
    assert said(park(rat_on(14), before=rat_on(4)), on=date(2026, 11, 30)) == []


def test_fifteen_days_are_one_too_many() -> None:
    assert grades(said(park(rat_on(1, 15), before=rat_on(1, 15)))) == MEDIUM


@pytest.mark.parametrize(
    ("species", "animal", "expected"),
    [
        (DRAGON, "", []),
        (DRAGON, ", stage: growing", MEDIUM),
        (LION, "", []),
        (LION, ", stage: juvenile", MEDIUM),
        (TAPIR, "", MEDIUM),
    ],
)
def test_single_fast_days_are_proper_for_some_and_never_for_the_young(
    species: str, animal: str, expected: Found
) -> None:
    days = [FED, FED, FED, FAST] * 2
    assert grades(said(park(days, species, animal, before=days), "fast too")) == expected


def test_a_feed_left_out_on_purpose_is_no_fast() -> None:
    assert (
        said(park(["{morning: roots, afternoon: no feed}"] * 4, DRAGON, ", stage: growing")) == []
    )


@pytest.mark.parametrize(
    ("animal", "expected"),
    [
        (", health: [diabetes]", MEDIUM),
        (", health: [insulin twice a day]", MEDIUM),
        (", stage: pregnant", MEDIUM),
        (", health: [old scar]", UNSURE),
        (", plan: {kind: medical, from: 2026-11-01, set_by: Dr Vale}", UNSURE),
        (", plan: {kind: medical, from: 2026-10-01, until: 2026-11-01, set_by: Dr Vale}", []),
        ("", []),
    ],
)
def test_the_sick_and_those_on_insulin_do_not_fast_unasked(animal: str, expected: Found) -> None:
    days = [FED, FED, FED, FAST] * 2
    checks = said(park(days, DRAGON, animal, before=days), "fast for")
    assert grades(checks) == expected
    if checks:
        assert checks[0].animals == ("T1",)


def test_a_missing_fast_day_is_only_said() -> None:
    (check,) = said(park([FED] * 14, LION))
    assert (check.about, check.severity) == ("fast days", Severity.LOW)
    assert said(park([*[FED] * 6, FAST] * 2, LION, before=[*[FED] * 6, FAST] * 2)) == []


LIMIT = (
    "record: limits\nlimits: [{{group: tapir, food: {food}, quantity: {quantity},"
    " at_most: {most}, over: {over}, severity: medium, why: test, set_by: Dr Vale,"
    " on: 2026-11-01}}]"
)
LEAVES = "{morning: roots, afternoon: leaves}"


def limit(most: str, quantity: str = "same-item", over: str = "7 days", food: str = "kale") -> str:
    """A limit of the house on kale."""
    return LIMIT.format(food=food, quantity=quantity, most=most, over=over)


def test_limits_in_any_seven_days_cross_the_join() -> None:
    """Kale on days 12 to 14 and 1 to 2: five of seven days, though three in no one week's half."""
    days = [LEAVES] * 2 + [FED] * 9 + [LEAVES] * 3
    (check,) = said(park(days, TAPIR, limits=limit("4 days")), "same-item")
    assert check.measured is not None
    assert check.measured.value.low == 5
    assert check.food == "kale"
    assert said(park(days, TAPIR, limits=limit("5 days")), "same-item") == []
    assert grades(said(park(days, TAPIR, limits=limit("4 days", "same-item-in-a-row")))) == MEDIUM


def test_limits_count_the_tail_of_the_rota_before() -> None:
    """Judged on the first day of the new rota: kale on its first two days, and on three before."""
    before, now = [FED] * 11 + [LEAVES] * 3, [LEAVES] * 2 + [FED] * 12
    files = park(now, TAPIR, before=before, limits=limit("4 days"))
    assert grades(said(files, "same-item", on=date(2026, 11, 16))) == MEDIUM
    assert said(files, "same-item", on=date(2026, 11, 25)) == []


def test_feeds_may_be_counted_and_a_class_be_named() -> None:
    days = ["{morning: leaves, afternoon: leaves}", FED]
    assert grades(said(park(days, TAPIR, limits=limit("6 feeds")), "same-item")) == MEDIUM
    by_class = limit("6 feeds", food="leafy green")
    assert grades(said(park(days, TAPIR, limits=by_class), "same-item")) == MEDIUM
    assert grades(said(park(days, TAPIR, limits=limit("6 pieces")), "limit on")) == UNSURE


def test_too_few_kinds_and_the_same_way_every_day_are_low_for_a_monkey() -> None:
    line = "{food: carrot, amount: 60 g per animal, presentation: in a box}"
    checks = said(park([FED] * 14, "Callithrix geoffroyi", lines=[line]))
    assert {c.about.split()[0] for c in checks} == {
        "different-foods", "different-meals", "same-presentation-in-a-row",
    }  # fmt: skip
    assert {c.severity for c in checks} == {Severity.LOW}


def test_nobody_at_home_is_said() -> None:
    gone = records.group(animals=["{id: T1, here_until: 2026-01-01}"])
    checks = checks_of(outcome_of(rota_balance, records.small(group=gone), records.ON), "tapir")
    assert [check.verdict for check in checks] == [Verdict.NOT_APPLICABLE]


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.booleans(), min_size=1, max_size=12).filter(any),
    st.integers(-30, 30),
    st.integers(0, 20),
)
def test_the_longest_wait_does_not_depend_on_where_the_rota_starts(
    fed: list[bool], turn: int, later: int
) -> None:
    """A rota that has run for months, turned by some days, its start moved as far: one verdict."""
    length = len(fed)
    turned = [fed[(n + turn) % length] for n in range(length)]

    def verdict(pattern: list[bool], start: int) -> set[tuple[str, str]]:
        files = park([FED if one else FAST for one in pattern], SNAKE)
        files["rota.yaml"] = records.rota(
            [FED if one else FAST for one in pattern],
            start=(date(2026, 8, 1) + timedelta(days=start)).isoformat(),
        )
        on = records.ON + timedelta(days=later)
        found = checks_of(outcome_of(rota_balance, files, on), "tapir")
        return {(c.about, str(c.measured)) for c in found if c.about == "fast too long"}

    assert verdict(fed, 0) == verdict(turned, turn)


def test_what_is_for_one_animal_counts_for_that_one() -> None:
    """T2 alone gets kale, every day; the house allows it on four days of seven."""
    kale = "{food: kale, amount: 9 g per animal, for: [T2]}"
    lines = ("{food: carrot, amount: 60 g per animal}", kale)
    files = park([FED] * 14, TAPIR, limits=limit("4 days"), lines=lines)
    files["group.yaml"] = records.group(animals=[f"{{id: T{n}, {WEIGHED}}}" for n in (1, 2)])
    (check,) = said(files, "same-item")
    assert check.animals == ("T2",)
    assert check.food == "kale"
    assert check.measured is not None
    assert check.measured.value.low == 7


def test_the_week_with_the_fewest_fast_days_counts() -> None:
    """Day 7 of 14 is a fast, so the seven days from day 8 on have none."""
    days = [*[FED] * 6, FAST, *[FED] * 7]
    (check,) = said(park(days, LION, before=days))
    assert (check.about, check.severity) == ("fast days", Severity.LOW)
    assert check.measured is not None
    assert check.measured.value == exact(0)


def test_a_fast_that_is_over_is_history() -> None:
    """A growing animal fasted in the rota before; nothing can be done about it today."""
    here = ", stage: growing, here_from: 2026-11-10"
    files = park([FED] * 4, DRAGON, here, before=[FED, FED, FAST, FED])
    assert said(files, "fast too") == []
    assert said(park([FED, FED, FAST, FED], DRAGON, here), "fast too") != []
