"""What is a treat, what is fruit, and how a day is parted. Bundled foods; all else is invented."""

from __future__ import annotations

import pytest

from dietcheck.nutrition.treats import TreatLedger
from dietcheck.quantities import exact
from tests import records


@pytest.mark.parametrize(
    ("more", "is_treat"),
    [("", False), (", treat: training", True), (", treat: medicine vehicle", True)],
)
def test_a_flagged_line_is_a_treat(more: str, is_treat: bool) -> None:
    lines = [f"{{food: carrot, amount: 50 g per animal{more}}}"]
    diet = records.diet(records.small(sheet=records.sheet({"roots": lines})))
    treats = TreatLedger(diet, diet.animals[0]).over(diet.days)
    assert treats.given.grams() == exact(200 if is_treat else 0)
    assert treats.rest.grams() == exact(0 if is_treat else 200)
    assert len(treats.givings) == (4 if is_treat else 0)


def test_the_parts_make_the_whole_ration() -> None:
    files = records.small()
    files["treats.yaml"] = (
        "record: treats\ntreats:\n  - {on: 2026-11-26, group: tapir, purpose: training,"
        " items: [{food: carrot, amount: 50 g per animal}]}\n"
    )
    diet = records.diet(files)
    animal = diet.animals[0]
    for day in diet.days:
        treats = TreatLedger(diet, animal).over([day])
        whole = treats.given.grams() + treats.rest.grams()
        assert whole == diet.day_ration(animal, day).grams()
