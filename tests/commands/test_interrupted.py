"""Ctrl-C while a command writes: what is left was there before, or is a whole file."""

from __future__ import annotations

import json
import subprocess
import sys
from typing import Any

import pytest

from tests import records
from tests.checkout import CHECKOUT, commit_all
from tests.commands import interrupted
from tests.commands.console import write

ON = records.ON.isoformat()
TREAT = f"""
record: treats
treats:
  - {{on: {ON}, group: tapir, purpose: training, items: [{{food: carrot, amount: 9 g per animal}}]}}
"""
JOBS = {
    "start": ["start", "{top}/new", "--country", "GB"],
    "start in an empty folder": ["start", "{top}/empty", "--country", "GB"],
    "sign": ["sign", "{top}/park", "--by", "Dr Vale", "--role", "vet", "--on", ON],
    "schema": ["schema", "rota", "{top}/park", "--write", "{top}/old.json"],
    "schema --all": ["schema", "{top}/park", "--all", "{top}/editor"],
    "screen": [
        "screen", "{top}/park", "--on", ON, "--write", "json:{top}/old.json",
        "--write", "csv:{top}/new.csv",
    ],
    "try": ["try", "{top}/park", "{top}/treat.yaml", "--on", ON, "--write", "json:{top}/old.json"],
    "change": ["change", "{top}/park", "--since", "HEAD", "--write", "json:{top}/old.json"],
    "ration": ["ration", "{top}/park", "tapir", "--on", ON, "--write", "html:{top}/new.html"],
    "prep": ["prep", "{top}/park", "--on", ON, "--write", "html:{top}/new.html"],
    "order": ["order", "{top}/park", "--on", ON, "--write", "csv:{top}/new.csv"],
    "foods": ["foods", "carrot", "--write", "json:{top}/old.json"],
    "limits": ["limits", "--rule", "sugar-ceiling", "--write", "json:{top}/old.json"],
}  # fmt: skip


@pytest.fixture(scope="module")
def runs(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """What every command left, undisturbed and stopped at several moments."""
    folder = tmp_path_factory.mktemp("stopped")
    source = folder / "source"
    source.mkdir()
    park = write(source / "park")
    commit_all(park)
    (source / "treat.yaml").write_text(TREAT)
    (source / "old.json").write_text("what was there before")
    (source / "empty").mkdir()
    done = subprocess.run(
        [sys.executable, interrupted.__file__, str(source), str(folder / "copy")],
        input=json.dumps(list(JOBS.items())),
        cwd=CHECKOUT,
        capture_output=True,
        encoding="utf-8",
        check=True,
        timeout=120,
    )
    return json.loads(done.stdout), interrupted.left_in(source)


@pytest.mark.parametrize("name", JOBS)
def test_nothing_is_left_half_written(name: str, runs: Any) -> None:
    every, before = runs
    whole, *stopped = every[name]
    assert whole["status"] in (0, 1)
    assert whole["left"] != before
    assert len(stopped) >= 2
    for run in stopped:
        assert run["status"] == 2
        for file, digest in run["left"].items():
            assert digest in (before.get(file), whole["left"].get(file)), file
        assert before.keys() <= run["left"].keys()


@pytest.mark.parametrize("name", ["start", "start in an empty folder"])
def test_a_start_is_there_whole_or_not_at_all(name: str, runs: Any) -> None:
    every, before = runs
    whole, *stopped = every[name]
    assert all(run["left"] in (before, whole["left"]) for run in stopped)
