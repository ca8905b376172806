"""How much of a food an animal can get at: on its worst day, over the rota, with three shares, and
of what is laid out for others. All records are invented."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from dietcheck.contract import ZERO, Diet
from dietcheck.quantities import exact
from dietcheck_rules.toxic_item.exposure import Exposure, exposures
from tests import records

DAYS = ["{morning: roots, afternoon: roots}", "{morning: more, afternoon: no feed}"]


def animal(name: str, more: str = "") -> str:
    return f"{{id: {name}{more}, weighings: [{{on: 2026-11-20, mass: 10 kg}}]}}"


def park(
    first: str = "10 g per animal",
    second: str = "30 g per animal",
    *,
    herd: Sequence[str] = (animal("A1"), animal("A2")),
    fed: str = "together",
    **more: str,
) -> Diet:
    """Grapes twice on the first of two days and once on the second."""
    group = records.group(animals=herd).replace("fed: together", f"fed: {fed}")
    files = {
        "group": group,
        "foods": records.foods(
            grape="{same_as: grape}", carrot="{same_as: carrot}",
            mash="{mix: {grape: 50 %, deep: 50 %}}", deep="{mix: {grape: 50 %, carrot: 50 %}}",
        ),
        "sheet": records.sheet(
            {
                "roots": [f"{{food: grape, amount: {first}}}"],
                "more": [f"{{food: grape, amount: {second}}}"],
            }
        ),
        "rota": records.rota(DAYS),
    }  # fmt: skip
    return records.diet(records.small(**{**files, **more}))


def of(diet: Diet, food: str = "grape", *, own: bool = True) -> Exposure:
    (found,) = [one for one in exposures(diet) if one.part.id == food and one.own is own]
    return found


def test_the_worst_day_and_the_whole_rota() -> None:
    for first, second, worst in (("10 g", "30 g", 30), ("20 g", "30 g", 40)):
        diet = park(f"{first} per animal", f"{second} per animal")
        grape, one = of(diet), diet.animals[0]
        assert grape.worst_day(diet, one) == exact(worst)
        total = 2 * int(first.split()[0]) + 30
        assert grape.over_rota(diet, one) == exact(total)
        assert list(grape.occasions()) == sorted(set(grape.occasions()))
        assert [part.id for part in (grape.part,)] == ["grape"]
        assert grape.inside == ()


@pytest.mark.parametrize(
    ("herd", "fed", "most"),
    [
        (("A1", "A2"), "together", 60),  # what is laid out for both
        (("A1", "A2", "A3", "A4"), "together", 90),  # three shares
        (("A1", "A2"), "singly", None),
        (("A1",), "together", None),
    ],
)
def test_an_animal_may_take_three_shares_of_what_lies_there(
    herd: tuple[str, ...], fed: str, most: int | None
) -> None:
    diet = park(herd=[animal(name) for name in herd], fed=fed)
    grape = of(diet)
    taken = grape.taking_three(diet, grape.worst_day(diet, diet.animals[0]))
    assert (None if taken is None else taken.high) == most
    if taken is not None:
        assert taken.low == 30


def test_an_amount_nobody_knows_is_not_tripled() -> None:
    diet = park("1 ml per animal", "1 ml per animal")
    grape = of(diet)
    assert grape.taking_three(diet, grape.worst_day(diet, diet.animals[0])) is None


def test_the_rota_with_a_treat_counts_as_many_days_as_a_rota_has() -> None:
    """100 g on 10 December, the second day of the rota: beside it a day of 20 g."""
    treats = (
        "record: treats\ntreats:\n  - {on: 2026-12-10, group: tapir, purpose: training, "
        "items: [{food: grape, amount: 100 g per animal}]}\n"
    )
    diet = park(treats=treats)
    grape, one = of(diet), diet.animals[0]
    day = 30 if diet.day(min(w.on for w in grape.occasions() if w.on.day == 10)).number == 2 else 20
    assert grape.worst_day(diet, one) == exact(100 + day)
    assert grape.over_rota(diet, one) == exact(150)


def test_who_leaves_leaves_its_share_to_the_other() -> None:
    leaving = (animal("A1"), animal("A2", ", here_until: 2026-11-30"))
    diet = park("60 g per group", "60 g per group", herd=leaving)
    stays = next(one for one in diet.animals if one.id == "A1")
    goes = next(one for one in diet.animals if one.id == "A2")
    grape = of(diet)
    assert grape.worst_day(diet, stays) == exact(120)  # 60 g for two, then for one, twice a day
    assert grape.worst_day(diet, goes) == exact(60)
    coming = (animal("A1"), animal("A2", ", here_from: 2026-11-30"))
    diet = park("60 g per group", "60 g per group", herd=coming)
    assert of(diet).worst_day(diet, diet.animals[0]) == exact(120)


def test_a_food_on_several_levels_of_a_mix_is_summed() -> None:
    """Half of the mash is grape, and a quarter through the deep mix."""
    sheet = records.sheet(
        {"roots": ["{food: mash, amount: 100 g per animal}"],
         "more": ["{food: carrot, amount: 1 g per animal}"]}
    )  # fmt: skip
    diet = park(sheet=sheet)
    grape = of(diet)
    assert grape.worst_day(diet, diet.animals[0]) == exact(150)
    assert grape.inside == ("mash",)


def test_what_is_laid_out_for_others_within_reach_counts_whole() -> None:
    other = {
        "group2": records.group(id="goats", species="Capra hircus", animals=["{id: G1}"]),
        "sheet2": records.sheet(
            {"roots": ["{food: grape, amount: 60 g per group}"],
             "more": ["{food: carrot, amount: 1 g per animal}"]}, group="goats",
        ),
        "rota2": records.rota(DAYS, group="goats"),
    }  # fmt: skip
    sheet = records.sheet(
        {"roots": ["{food: carrot, amount: 1 g per animal}"],
         "more": ["{food: carrot, amount: 1 g per animal}"]}
    )  # fmt: skip
    diet = park(sheet=sheet, **other)
    grape, one = of(diet, own=False), diet.animals[0]
    assert grape.worst_day(diet, one) == exact(120)
    assert grape.over_rota(diet, one) == exact(120)
    assert grape.taking_three(diet, exact(120)) is None
    assert grape.animals(diet) == diet.animals
    assert "within reach" in grape.whence
    assert "within reach" in grape.laid_out
    assert "laid out" in grape.laid_out
    assert len([e for e in exposures(diet) if e.part.id == "grape"]) == 1
    assert of(diet, "carrot").worst_day(diet, one) == exact(2)


def test_what_others_leave_is_told_as_left_over() -> None:
    goats = {
        "group2": records.group(
            id="goats", species="Capra hircus", enclosure="Hill", animals=["{id: G1}"]
        ),
        "sheet2": records.sheet(
            {"roots": ["{food: grape, amount: 60 g per group}"]}, "goats",
            more="leftovers: [{foods: [grape], to: tapir}]",
        ),
        "rota2": records.rota(["{morning: roots, afternoon: no feed}"] * 2, group="goats"),
    }  # fmt: skip
    sheet = records.sheet({name: ["{food: carrot, amount: 1 g per animal}"]
                           for name in ("roots", "more")})  # fmt: skip
    grape = of(park(sheet=sheet, **goats), own=False)
    assert grape.whence == grape.laid_out
    assert "left over by" in grape.whence


def test_a_line_for_one_animal_reaches_that_one() -> None:
    diet = park("10 g per animal, for: [A2]", "30 g per animal, for: [A2]")
    grape = of(diet)
    assert [one.id for one in grape.animals(diet)] == ["A2"]
    assert grape.worst_day(diet, diet.animals[0]) == ZERO
