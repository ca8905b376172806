"""The benchmark's collection is sound, and each slip planted in it is found at its line."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from typing import Any

import pytest

from dietcheck.reporting import Asked, render
from dietcheck.screening.screen import screen
from dietcheck.testing import Memory
from tests.benchmark import defects, parks


@cache
def findings(*, broken: bool) -> list[Mapping[str, Any]]:
    """What is said of 30 groups, with a slip of each kind or as they are."""
    files = parks.park(30, distinct=True)
    if broken:
        files, _ = defects.plant(files, 1)
    report = screen(Memory(files), parks.ON)
    found: list[Mapping[str, Any]] = json.loads(render("json", report, Asked()))["findings"]
    return found


def planted() -> list[defects.Planted]:
    return defects.plant(parks.park(30, distinct=True), 1)[1]


def test_the_collection_as_it_is_leaves_nothing_to_decide() -> None:
    assert [one for one in findings(broken=False) if one["severity"] != "low"] == []


@pytest.mark.parametrize("one", planted(), ids=lambda one: one.kind.name)
def test_a_slip_is_found_at_its_line(one: defects.Planted) -> None:
    assert not [told for told in defects.compare([one], findings(broken=True)) if "missed" in told]
    (missed, *_) = defects.compare([one], findings(broken=False))
    assert missed == f"missed: {one.kind.name} at {one.file}:{one.line}"


def test_nothing_else_is_new_at_high() -> None:
    assert defects.compare(planted(), findings(broken=True)) == []
    assert any("new" in told for told in defects.compare(planted()[1:], findings(broken=True)))


@pytest.mark.parametrize("groups", [1, 10, 15, 31])
def test_a_collection_may_be_of_any_size(groups: int) -> None:
    names = parks.park(groups)
    assert sum(name.startswith("groups/") for name in names) == groups
    assert screen(Memory(names), parks.ON).failures == ()
