"""The ration as JSON against its published schema."""

from __future__ import annotations

import json
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from referencing import Registry

from dietcheck.nutrition.gauges import gauge_keys
from dietcheck.reporting import ration_json
from dietcheck.reporting.ration import RationReport
from tests import records
from tests.hostile.test_output import NASTY
from tests.reporting.rations import TWO_DAYS, carrots, hostile, report_of

SCHEMA = ration_json.schema()
VALIDATOR = Draft202012Validator(SCHEMA, registry=Registry())


def written(report: RationReport) -> Any:
    """The ration as another program reads it, checked against the schema."""
    text = ration_json.render(report)
    assert text.isascii()
    document = json.loads(text)
    VALIDATOR.validate(document)
    return document


def quantity(document: Any, key: str) -> Any:
    """The row of a quantity in the first ration."""
    return next(row for row in document["rations"][0]["quantities"] if row["key"] == key)


def test_the_schema_is_a_schema_and_leaves_no_field_unsaid() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    shapes = [SCHEMA, *SCHEMA["$defs"].values()]
    assert all(s.get("additionalProperties") is False for s in shapes if s.get("type") == "object")


def test_figures() -> None:
    document = written(carrots())
    sugars = quantity(document, "sugars")  # 12 × 4.74 g: SR28, 11124
    assert sugars["a_day"] == {"low": 56.88, "high": 56.88, "best": 56.88}
    assert (sugars["unit"], sugars["in_dry_matter_unit"]) == ("g", "%")
    (food,) = document["rations"][0]["foods"]
    assert food["grams_a_day"]["low"] == 1200
    (animal,) = document["rations"][0]["animals"]
    assert (animal["weighed_on"], animal["weighed_days_ago"]) == ("2026-11-20", 5)


def test_days_and_spread() -> None:
    document = written(carrots(**TWO_DAYS))
    as_fed = quantity(document, "as_fed")
    assert (as_fed["lowest_day"]["low"], as_fed["highest_day"]["high"]) == (1200, 1600)
    assert [day["day"] for day in as_fed["highest_day"]["days"]] == [2]
    assert len(document["rations"][0]["days"]) == 2


def test_what_has_no_upper_end_or_is_not_known_is_null() -> None:
    sheet = records.sheet({"roots": ["{food: leaf-mix, amount: 3 pieces per animal}"]})
    document = written(carrots(sheet=sheet, group=records.group(animals=["{id: T1}"])))
    assert quantity(document, "as_fed")["a_day"] == {"low": 0, "high": None, "best": None}
    assert document["rations"][0]["animals"][0]["weight_g"] is None


@pytest.mark.parametrize("day", [None, 2, "worst"])
def test_every_sort_of_ration_fits_the_schema(day: Any) -> None:
    diet = records.diet(records.small(**TWO_DAYS))
    document = written(report_of(diet, gauge_keys(), day, unread=("a.yaml:1:1: no",)))
    assert document["rations"][0]["mean_of_rota"] is (day is None)
    assert document["unread"] == ["a.yaml:1:1: no"]


@pytest.mark.parametrize("text", NASTY.values(), ids=NASTY)
def test_hostile_names(text: str) -> None:
    document = written(hostile(text))
    assert document["group"].encode("utf-8", "backslashreplace").decode() == document["group"]
