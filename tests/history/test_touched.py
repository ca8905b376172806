"""Passing over versions that bear on other groups alone never passes over one that matters."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from dietcheck.history.touched import may_touch
from tests import records
from tests.checkout import commit_all
from tests.commands.console import write

OTHER = records.group("malay", "Tapirus indicus", ("{id: M1}",), enclosure="Marsh")
MEAL = {"roots": ["{food: carrot, amount: 9 g per animal}"]}


@pytest.mark.parametrize(
    ("files", "may"),
    [
        ({"malay.yaml": OTHER + "notes: moved the trough\n"}, False),
        ({"fed.yaml": records.sheet(MEAL, group="malay")}, False),
        ({"notes.txt": "no record"}, False),
        ({"malay.yaml": OTHER.replace("M1", "T1")}, True),
        ({"malay.yaml": "record: group\nid: ["}, True),
        ({"fed.yaml": records.sheet(MEAL, start="2026-11-01")}, True),
        ({"foods.yaml": records.foods(carrot="{same_as: carrot}", kale="{same_as: kale}")}, True),
        ({"dietcheck.yaml": records.settings(more="extra: 1")}, True),
        ({f"many-{n}.yaml": OTHER.replace("malay", f"m{n}") for n in range(30)}, True),
    ],
)
def test_only_other_groups_are_passed_over(
    tmp_path: Path, files: Mapping[str, str], may: bool
) -> None:
    park = write(tmp_path / "park", {"malay.yaml": OTHER})
    before = commit_all(park)
    for name, text in files.items():
        (park / name).write_text(text)
    after = commit_all(park)
    assert may_touch(park, before, after, "tapir", "T1") is may


def test_what_git_cannot_compare_may_matter(tmp_path: Path) -> None:
    park = write(tmp_path / "park")
    assert may_touch(park, commit_all(park), "0" * 40, "tapir", "T1")
