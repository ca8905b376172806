"""The order in which files are met plays no part in any kind of report: property-tested."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dietcheck.collection.build_settings import BUNDLED_PACK
from dietcheck.reporting import KINDS, Asked, render, terminal
from dietcheck.screening.packs import load_packs
from dietcheck.screening.screen import screen
from dietcheck.testing import Memory
from tests import records

FILES: Mapping[str, str] = {
    **records.small(),
    "rhea.yaml": records.group(
        "rhea", "Rhea americana", animals=["{id: R1}", "{id: R2}"], enclosure="Meadow"
    ),
    "more-foods.yaml": records.foods(leek="{same_as: leek}", leaf="{same_as: lettuce-cos}"),
    "rhea-sheet.yaml": records.sheet(
        {"greens": [f"{{food: {food}, amount: 5 pieces per group}}" for food in ("leek", "x")]},
        "rhea",
    ),
    "rhea-rota.yaml": records.rota(["{morning: greens, afternoon: gone}"], "rhea"),
    "broken.yaml": "record: [\n",
    "broken-too.yaml": "record: group\n",
}
RULES = load_packs([BUNDLED_PACK])


class InOrder(Memory):
    """Records in memory that are named in an order of their own."""

    def __init__(self, order: Sequence[str]) -> None:
        super().__init__(FILES)
        self._order = list(order)

    def names(self) -> list[str]:
        """The names in that order."""
        return self._order


def written(order: Sequence[str]) -> dict[str, str]:
    """Every kind of report on the files in an order."""
    found = screen(InOrder(order), records.ON, load=lambda _: RULES)
    files = {kind: render(kind, found, Asked()) for kind in KINDS}
    return files | {"terminal": terminal.render(found, Asked())}


SORTED = written(sorted(FILES))


@pytest.mark.parametrize("kind", [*KINDS, "terminal"])
def test_the_reports_are_about_something(kind: str) -> None:
    assert "leek" in SORTED[kind]


@settings(max_examples=8, deadline=None)
@given(st.permutations(sorted(FILES)))
def test_the_same_files_in_any_order_give_the_same_bytes(order: Sequence[str]) -> None:
    for kind, text in written(order).items():
        assert text == SORTED[kind], kind
