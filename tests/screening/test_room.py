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

from dietcheck.history.lookback import Lookback
from dietcheck.screening.difference import difference
from dietcheck.screening.hookspecs import CONTRACT, Pack
from dietcheck.screening.packs import rules_of
from dietcheck.screening.room import Option, Room, give_less, leave_out, written_smaller
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
