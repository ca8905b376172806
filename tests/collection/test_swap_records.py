"""What a food is here for, and a line that stands in for another."""

from __future__ import annotations

import pytest

from dietcheck.reading import check_file
from tests import records


def test_a_food_says_what_it_is_here_for_by_the_names_that_labels_use() -> None:
    foods = records.foods(pepper="{same_as: pepper-red, here_for: [vitamin_c, crude_protein]}")
    food = records.linked(records.small(more_foods=foods)).foods["pepper"]
    assert food.here_for == ("vitamin_c", "protein")


def test_every_name_that_may_be_written_is_a_nutrient() -> None:
    shape = records.foods(pepper="{same_as: pepper-red, here_for: [nonsense]}")
    (problem,) = check_file("f.yaml", shape.encode()).problems
    assert "nonsense" in problem.message


@pytest.mark.parametrize(("more", "expected"), [("", None), (", instead_of: kale", "kale")])
def test_a_line_may_stand_in_for_a_food(more: str, expected: str | None) -> None:
    line = f"{{food: carrot, amount: 600 g per animal{more}}}"
    files = records.small(sheet=records.sheet({"roots": [line]}))
    (sheet,) = records.linked(files).sheets["tapir"]
    assert sheet.meals["roots"].lines[0].instead_of == expected
