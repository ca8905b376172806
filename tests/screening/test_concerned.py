"""Which groups a draft can matter to. The parks are invented."""

from __future__ import annotations

import pytest

from dietcheck.reading import read_repository
from dietcheck.screening.concerned import concerned
from dietcheck.testing import Memory
from tests import records

TREAT = (
    "record: treats\ntreats:\n  - {on: 2026-11-26, group: tapir, purpose: training,"
    " items: [{food: carrot, amount: 10 g per animal}]}\n"
)
FOODS = records.foods(carrot="{class: root vegetable}")


LEMUR = records.group(id="lemur", enclosure="Island")
OTTER = records.group(id="otter", enclosure="Stream")


def judged(draft: str, **changes: str) -> set[str]:
    """The groups that a draft matters to, of a park with tapirs, lemurs and otters."""
    files = records.small(**{"lemur": LEMUR, "otter": OTTER, **changes})
    repository = read_repository(Memory(files), [("draft.yaml", draft.encode())])
    return set(concerned(repository, records.linked(files)))


def test_treats_matter_to_their_own_group() -> None:
    assert judged(TREAT) == {"tapir"}


@pytest.mark.parametrize(
    "changes",
    [
        {"group": records.group(enclosure="Island")},
        {"group": records.group() + "also_reached_by: [lemur]\n"},
        {"lemur": LEMUR + "also_reached_by: [tapir]\n"},
    ],
)
def test_so_do_they_to_those_within_reach_either_way(changes: dict[str, str]) -> None:
    assert judged(TREAT, **changes) == {"tapir", "lemur"}


@pytest.mark.parametrize("draft", [FOODS, "record: treats\ntreats: [\n", "record: nothing\n"])
def test_anything_else_may_matter_to_everybody(draft: str) -> None:
    assert judged(draft) == {"tapir", "lemur", "otter"}


def test_a_group_that_a_sheet_names_is_judged_too() -> None:
    sheet = records.sheet({"roots": ["{food: carrot, amount: 10 g per animal, note: lemur}"]})
    assert judged(TREAT, sheet=sheet) == {"tapir", "lemur"}


def test_a_draft_of_a_sheet_matters_to_its_group_whatever_figures_it_holds() -> None:
    lines = {"roots": ["{food: carrot, amount: 10 g per animal}"]}
    assert judged(records.sheet(lines, more="heads: 3")) == {"tapir"}


def test_who_is_in_reach_of_a_neighbour_is_judged_too() -> None:
    """The tapirs' food is in the lemurs' reach, and the lemurs' in the otters'."""
    group = records.group() + "also_reached_by: [lemur]\n"
    lemur = LEMUR + "also_reached_by: [otter]\n"
    assert judged(TREAT, group=group, lemur=lemur) == {"tapir", "lemur", "otter"}
