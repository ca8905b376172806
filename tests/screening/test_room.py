"""What could be left out: the least reduction in round figures that the rules let pass.

An invented limit of 60 g of sugar a day. Carrot holds 4.74 g of sugar in 100 g (SR28, 11124).
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings
from msgspec.structs import replace

from dietcheck.collection.collection import Collection
from dietcheck.collection.feeding import Line
from dietcheck.history.lookback import Lookback
from dietcheck.quantities import UNKNOWN, Interval, exact
from dietcheck.screening.difference import difference
from dietcheck.screening.hookspecs import CONTRACT, Pack
from dietcheck.screening.packs import rules_of
from dietcheck.screening.room import (
    Option,
    Room,
    _amounts,
    give_less,
    leave_out,
    written_smaller,
)
from dietcheck.testing import Memory, report_of
from dietcheck_rules import sugar_ceiling
from tests import records

DAY = date(2026, 11, 26)
CARROT = Decimal("0.0474")
LIMIT = (
    "record: limits\nlimits:\n  - {group: tapir, quantity: sugars, at_most: 60 g per animal,"
    " over: day, severity: medium, why: invented, set_by: Dr Vale, on: 2026-01-01}\n"
)


def room(grams: object, morning: int = 800, per: str = "animal", slot: str = "afternoon") -> Room:
    """One tapir on carrots in the morning, 400 g in the afternoon, and a treat of carrot."""
    files = records.small(
        sheet=records.sheet(
            {
                "early": [f"{{food: carrot, amount: {morning} g per {per}}}"],
                "late": ["{food: carrot, amount: 400 g per animal}"],
            }
        ),
        rota=records.rota(["{morning: early, afternoon: late}"] * 2),
        limits=LIMIT,
    )
    draft = (
        f"record: treats\ntreats:\n  - {{on: {DAY}, group: tapir, slot: {slot}, purpose: training,"
        f" items: [{{food: carrot, amount: {grams} g per animal}}]}}\n"
    )
    before = report_of(sugar_ceiling, files, records.ON)
    after = report_of(sugar_ceiling, files, records.ON, {"draft.yaml": draft})
    return Room(
        before=before,
        after=after,
        rules=rules_of(Pack("test", "0", CONTRACT, (sugar_ceiling,))),
        group="tapir",
        dates=(DAY,),
        earlier=Lookback(Memory(files)),
        targets=difference(before, after).new,
    )


def options(of: Room, slots: frozenset[str] = frozenset({"morning", "afternoon"})) -> list[Option]:
    """Every line of the day that could be left out."""
    assert of.after.diets
    return list(leave_out(of.after.diets["tapir"], DAY, slots))


@settings(max_examples=15, deadline=None)
@given(st.integers(70, 450), st.sampled_from(["animal", "group"]))
def test_it_clears_and_one_step_less_does_not(grams: int, per: str) -> None:
    """1265.8 g of carrot hold 60 g of sugar; what is more than that has to go."""
    tried = room(grams, per=per)
    found = tried.smallest(options(tried))
    assert found is not None
    too_much = 1200 + grams - 60 / CARROT
    assert found.by >= too_much
    step = {800: 20, 400: 10}[int(found.line.amount.quantity.high)]
    assert found.by - step < too_much


def test_what_is_asked_for_is_the_smallest_of_all_lines() -> None:
    """84.2 g too much: 90 g in steps of 10, not 100 g in steps of 20."""
    tried = room(150)
    found = tried.smallest(options(tried))
    assert found is not None
    assert (found.meal, found.by) == ("late", Decimal(90))


def test_only_what_is_still_to_be_fed_is_asked_for() -> None:
    tried = room(150)
    found = tried.smallest(options(tried, frozenset({"morning"})))
    assert found is not None
    assert (found.meal, found.by) == ("early", Decimal(100))


def test_a_line_may_have_to_go_as_a_whole() -> None:
    """395.2 g too much: in steps of 10 g all of the afternoon's 400 g."""
    tried = room(461)
    found = tried.smallest(options(tried, frozenset({"afternoon"})))
    assert found is not None
    assert (found.meal, found.left) == ("late", Decimal(0))


def test_a_line_that_is_not_enough_hides_none_that_is() -> None:
    """499.2 g too much: more than the afternoon's 400 g, and 500 g of the morning's 800 g."""
    tried = room(565)
    found = tried.smallest(reversed(options(tried)))
    assert found is not None
    assert (found.meal, found.by) == ("early", Decimal(500))


def test_nothing_is_told_where_no_single_line_is_enough() -> None:
    tried = room(2000)
    assert tried.smallest(options(tried)) is None


@pytest.mark.parametrize("food_class", ["hay", "browse", "supplement", "mineral"])
def test_roughage_and_supplements_are_never_asked_for(food_class: str) -> None:
    files = records.small(foods=records.foods(carrot=f"{{same_as: carrot, class: {food_class}}}"))
    assert list(leave_out(records.diet(files), DAY, frozenset({"morning", "afternoon"}))) == []


def test_giving_less_never_means_giving_none() -> None:
    """65.8 g are left to the limit: of a treat of 100 g that is 65 g, in steps of 2.5 or 5."""
    tried = room(100)
    assert tried.after.diets
    diet = tried.after.diets["tapir"]
    treat = [line for feed in diet.day(DAY).feeds for line in feed.lines if line.treat]
    found = tried.smallest(give_less(diet, DAY, treat))
    assert found is not None
    assert 60 <= found.left <= Decimal("65.8")
    tight = room(100, morning=860)  # 5.8 g are left to the limit, and the steps are of 5 g
    assert tight.after.diets
    diet = tight.after.diets["tapir"]
    treat = [line for feed in diet.day(DAY).feeds for line in feed.lines if line.treat]
    found = tight.smallest(give_less(diet, DAY, treat))
    assert found is not None
    assert found.left == 5
    full = room(1000, morning=1000)  # nothing at all is left to the limit
    assert full.after.diets
    diet = full.after.diets["tapir"]
    treat = [line for feed in diet.day(DAY).feeds for line in feed.lines if line.treat]
    assert full.smallest(give_less(diet, DAY, treat)) is None


def test_the_sheet_is_written_smaller_on_that_day_only() -> None:
    tried = room(150)
    option = options(tried)[0]
    assert tried.after.collection
    smaller = written_smaller(
        tried.after.collection, "tapir", replace(option, by=Decimal(300)), (DAY,)
    )
    amounts = {
        on: smaller.sheet_on("tapir", on).meals["early"].lines[0].amount.quantity.high  # type: ignore[union-attr]
        for on in (date(2026, 11, 25), DAY, date(2026, 11, 27))
    }
    assert list(amounts.values()) == [800, 500, 800]


@pytest.mark.parametrize(
    ("amount", "reductions"),
    [
        ("3 pieces", "1 2 3"),
        ("2.5 pieces", "1 2 2.5"),
        ("0.5 pieces", "0.5"),
        ("6 g", "0.2 0.4 0.6 ... 6.0"),
        ("8 g", "0.2 0.4 0.6 ... 8.0"),
        ("8.1 g", "0.5 1.0 1.5 ... 8.1"),
        ("400 g", "10 20 30 ... 400"),
        ("0.004 g", "0.001 0.002 0.003 ... 0.004"),
        ("1 to 3 pieces", "1 2 3"),
        ("5000 kg", "5000000"),  # no round figure is a fortieth of it
    ],
)
def test_reductions_are_thought_of_in_at_most_forty_round_steps(
    amount: str, reductions: str
) -> None:
    sheet = records.sheet({"roots": [f"{{food: carrot, amount: {amount} per animal}}"]})
    diet = records.diet(records.small(sheet=sheet))
    found = _amounts(diet.offers()[0].line)
    assert len(found) <= 41
    first, _, last = reductions.partition(" ... ")
    told = [Decimal(one) for one in first.split()]
    assert found[: len(told)] == told
    assert found[-1] == (Decimal(last) if last else told[-1])
    assert found == sorted(set(found))


def test_forty_pieces_are_counted_out_and_more_are_not() -> None:
    def reductions(pieces: int) -> list[Decimal]:
        line = f"{{food: carrot, amount: {pieces} pieces per animal}}"
        diet = records.diet(records.small(sheet=records.sheet({"roots": [line]})))
        return _amounts(diet.offers()[0].line)

    assert reductions(40) == [Decimal(n) for n in range(1, 41)]
    assert reductions(43) == [*(Decimal(n) for n in range(2, 43, 2)), Decimal(43)]


@pytest.mark.parametrize("quantity", [exact(0), UNKNOWN])
def test_of_nothing_and_of_what_nobody_knows_no_part_can_be_left_out(quantity: Interval) -> None:
    line = records.diet(records.small()).offers()[0].line
    assert _amounts(replace(line, amount=replace(line.amount, quantity=quantity))) == []


def amounts(collection: Collection, group: str = "tapir") -> dict[str, list[tuple[int, int]]]:
    """The amounts of every meal of the sheets and of every treat."""
    sheets = {
        f"{sheet.start} {name}": [line.amount.quantity for line in meal.lines]
        for sheet in collection.sheets[group]
        for name, meal in sheet.meals.items()
    }
    treats = {
        f"treat {gift.on}": [line.amount.quantity for line in gift.lines]
        for gift in collection.treats[group]
    }
    return {
        name: [(int(one.low), int(one.high)) for one in found]
        for name, found in (sheets | treats).items()
    }


def test_a_line_written_smaller_keeps_its_proportions_and_one_of_nothing_is_gone() -> None:
    line = "{food: carrot, amount: 100 to 400 g per animal}"
    files = records.small(
        sheet=records.sheet({"early": [line, line], "late": [line]}),
        rota=records.rota(["{morning: early, afternoon: late}"] * 2),
        treats="record: treats\ntreats:\n"
        + "".join(
            f"  - {{on: 2026-11-{day}, group: tapir, purpose: training,"
            " items: [{food: carrot, amount: 40 g per animal}]}\n"
            for day in (26, 27)
        ),
    )
    park = records.linked(files)
    first = park.sheets["tapir"][0].meals["early"].lines[0]
    treat = park.treats["tapir"][0].lines[0]

    def smaller(line: Line, by: int, *dates: date) -> dict[str, list[tuple[int, int]]]:
        option = Option("give less", line, ("morning",), "early", Decimal(by))
        return amounts(written_smaller(park, "tapir", option, dates))

    as_written = amounts(park)
    everywhere = "2026-01-01 early"
    assert as_written[everywhere] == [(100, 400), (100, 400)]
    assert smaller(first, 200) == as_written | {everywhere: [(50, 200), (100, 400)]}
    assert smaller(first, 400) == as_written | {everywhere: [(100, 400)]}
    assert smaller(treat, 10) == as_written | {"treat 2026-11-26": [(30, 30)]}
    assert "treat 2026-11-26" not in smaller(treat, 40)
    of_a_day = smaller(first, 200, DAY)
    assert of_a_day == as_written | {
        f"{DAY} early": [(50, 200), (100, 400)], f"{DAY} late": [(100, 400)],
    }  # fmt: skip
    assert smaller(treat, 10, DAY) == smaller(treat, 10)
    assert smaller(first, 200, date(2025, 1, 1)) == as_written  # no sheet was in force


def test_a_line_is_left_out_only_where_all_its_feeds_are_still_to_come() -> None:
    files = records.small(
        foods=records.foods(carrot="{same_as: carrot}", apple="{same_as: apple}"),
        sheet=records.sheet(
            {
                "roots": ["{food: carrot, amount: 600 g per animal}"],
                "fruit": [
                    "{food: apple, amount: 60 g per animal}",
                    "{food: apple, amount: 5 g per animal, treat: training}",
                ],
            }
        ),
        rota=records.rota(["{morning: roots, afternoon: [roots, fruit]}"] * 2),
    )
    diet = records.diet(files)

    def told(*slots: str) -> list[tuple[str, tuple[str, ...], str, Decimal]]:
        found = leave_out(diet, DAY, frozenset(slots))
        return [(one.line.food.id, one.slots, one.meal, one.left) for one in found]

    roots = ("carrot", ("morning", "afternoon"), "roots", Decimal(600))
    fruit = ("apple", ("afternoon",), "fruit", Decimal(60))
    assert told("afternoon") == [fruit]
    assert told("morning") == []
    assert told("morning", "afternoon") == [roots, fruit]
    lines = [line for feed in diet.day(DAY).feeds for line in feed.lines]
    assert [one.line for one in give_less(diet, DAY, lines[1:])] == list(dict.fromkeys(lines))
    assert [one.line for one in give_less(diet, DAY, lines[2:3])] == lines[2:3]
