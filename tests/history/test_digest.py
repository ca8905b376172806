"""The same meaning, the same digest; any change of meaning, another. Records are invented."""

from __future__ import annotations

from datetime import date

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.history.digest import content_digest
from tests import records

ON = date(2026, 11, 25)
FOODS = records.foods(
    carrot="{same_as: carrot, piece: 60 g}",
    leaf="{same_as: lettuce-cos}",
    ball="{mix: {carrot: 50 %, leaf: 50 %}}",
    beet="{same_as: beetroot}",
)
SHEET = records.sheet(
    {
        "roots": ["{food: carrot, amount: 600 g per animal, cut: dice 1 cm}"],
        "balls": ["{food: ball, amount: 2.0 kg per group}"],
    }
)
ROTA = records.rota(["{morning: roots, afternoon: balls}"] * 2)


def digest(
    changes: dict[str, str] | None = None, *, on: date = ON, more: dict[str, str] | None = None
) -> str:
    """The digest of the tapirs' diet with files changed or added."""
    files = {"foods": FOODS, "sheet": SHEET, "rota": ROTA, **(changes or {})}
    return content_digest(records.linked({**records.small(**files), **(more or {})}), "tapir", on)


@pytest.mark.parametrize(
    "changes",
    [
        {"sheet": "# a note for people\n" + SHEET},
        {"sheet": SHEET.replace("reason: test", "reason: another word for it")},
        {"sheet": SHEET.replace("{food: carrot, amount: 600 g per animal, cut: dice 1 cm}",
                                "{cut: dice 1 cm, amount: 600 g per animal, food: carrot}")},
        {"rota": ROTA.replace("{morning: roots, afternoon: balls}",
                              "{afternoon: balls, morning: roots}")},
        {"foods": FOODS.replace("beetroot", "parsnip")},
        {"group": records.group(animals=["{id: T1}", "{id: T2}"])},
    ],
    ids=["comment", "reason", "order of keys", "order of feeds", "a food not fed", "weighings"],
)  # fmt: skip
def test_what_is_no_change_of_the_diet(changes: dict[str, str]) -> None:
    assert digest(changes) == digest()


@pytest.mark.parametrize(
    "changes",
    [
        {"sheet": SHEET.replace("600 g", "601 g")},
        {"sheet": SHEET.replace("dice 1 cm", "dice 2 cm")},
        {"sheet": SHEET.replace("2026-01-01", "2026-01-02")},
        {"rota": ROTA.replace("afternoon: balls", "afternoon: no feed")},
        {"foods": FOODS.replace("{same_as: lettuce-cos}", "{same_as: beetroot}")},
        {"foods": FOODS.replace("piece: 60 g", "piece: 61 g")},
        {"group": records.group(species="Tapirus indicus")},
    ],
    ids=["amount", "cut", "start", "rota", "ingredient", "piece", "species"],
)
def test_what_is_a_change_of_the_diet(changes: dict[str, str]) -> None:
    assert digest(changes) != digest()


def test_a_sheet_to_come_is_part_of_it_and_one_that_is_over_is_not() -> None:
    later = records.sheet({"roots": ["{food: leaf, amount: 1 g per animal}"]}, start="2026-12-24")
    over = records.sheet({"roots": ["{food: leaf, amount: 1 g per animal}"]}, start="2025-01-01")
    assert digest(more={"later.yaml": later}) != digest()
    assert digest(more={"over.yaml": over}) == digest()
    assert digest(on=date(2026, 12, 24), more={"later.yaml": later}) != digest(
        more={"later.yaml": later}
    )


@settings(max_examples=30, deadline=None)
@given(st.permutations(["dietcheck", "group", "foods", "sheet", "rota"]))
def test_the_order_and_names_of_files_play_no_part(order: list[str]) -> None:
    files = records.small(foods=FOODS, sheet=SHEET, rota=ROTA)
    renamed = {f"{n}-{stem}.yaml": files[f"{stem}.yaml"] for n, stem in enumerate(order)}
    assert content_digest(records.linked(renamed), "tapir", ON) == digest()


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 5000), st.integers(1, 5000))
def test_two_amounts_have_one_digest_only_if_they_are_one(first: int, second: int) -> None:
    def with_amount(grams: int) -> str:
        return digest({"sheet": SHEET.replace("600 g", f"{grams} g")})

    assert (with_amount(first) == with_amount(second)) is (first == second)
