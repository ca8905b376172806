"""A supplement for a meal that does not exist is said, not dropped. All records are invented."""

from __future__ import annotations

from tests import records

DUST = "supplements: [{{food: carrot, amount: 1 g per animal, with: [{}]}}]"
LINE = ["{food: carrot, amount: 600 g per animal}"]


def test_a_supplement_for_a_meal_the_sheet_does_not_have_is_said() -> None:
    sheet = records.sheet({"roots": LINE}, more=DUST.format("roots, rots"))
    (trouble,) = records.linked(records.small(sheet=sheet)).troubles
    assert trouble.place.path == ("supplements", 0, "with", 1)
    assert "roots" in trouble.remedy


def test_a_supplement_for_a_meal_of_the_sheet_is_none() -> None:
    sheet = records.sheet({"roots": LINE}, more=DUST.format("roots"))
    assert not records.linked(records.small(sheet=sheet)).troubles
