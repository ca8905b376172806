"""The nutrient list: every column of the tables has one nutrient, every name means one thing."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest

from dietcheck.tables.csv_table import table
from dietcheck.tables.nutrients import find_nutrient, nutrients

UNIT_OF_ENDING = {
    "g": "g",
    "mg": "mg",
    "ug": "µg",
    "kcal": "kcal",
    "kj": "kJ",
    "iu": "IU",
}


def test_every_column_of_figures_belongs_to_exactly_one_nutrient() -> None:
    columns = [*table("foods").columns, *table("feeds").columns]
    figures = {c for c in columns if re.search(r"_(g|mg|ug|kcal|kj|iu)$", c)}
    claimed = [n.column for n in nutrients().values() if n.column]
    assert sorted(claimed) == sorted(figures)


def test_the_unit_is_the_one_in_the_column_name() -> None:
    for nutrient in nutrients().values():
        assert nutrient.unit in UNIT_OF_ENDING.values()
        if nutrient.column:
            assert nutrient.unit == UNIT_OF_ENDING[nutrient.column.rpartition("_")[2]]


def test_no_two_nutrients_share_a_name() -> None:
    names = [name for n in nutrients().values() for name in (n.key, *n.labels)]
    assert len(names) == len(set(names))
    assert all(re.fullmatch(r"[a-z][a-z0-9_]*", name) for name in names)


@pytest.mark.parametrize(
    ("label", "key"),
    [
        ("crude_protein", "protein"),
        ("crude_fat", "fat"),
        ("moisture", "water"),
        ("crude_ash", "ash"),
        ("vitamin_d3", "vitamin_d"),
        ("protein", "protein"),
    ],
)
def test_label_names_lead_to_the_nutrient(label: str, key: str) -> None:
    found = find_nutrient(label)
    assert found is not None
    assert found.key == key


def test_kinds_of_fibre_stay_apart() -> None:
    """Crude fibre reads lower than NDF or dietary fibre, so none may stand for another."""
    keys = {getattr(find_nutrient(name), "key", None) for name in ("fibre", "crude_fibre", "ndf")}
    assert keys == {"fibre", "crude_fibre", "ndf"}


def test_an_unknown_name_is_unknown() -> None:
    assert find_nutrient("vitamin_q") is None


def test_iu_are_defined_only_where_one_definition_holds() -> None:
    """1 IU = 0.3 µg retinol and 0.025 µg cholecalciferol; vitamin E has no single one."""
    defined = {n.key: n.per_iu for n in nutrients().values() if n.per_iu is not None}
    assert defined == {"retinol": Decimal("0.3"), "vitamin_d": Decimal("0.025")}
