"""When a count of instructions is a slow-down. The counts are invented."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.benchmark.counts import cases, judged, kept

ROW = {"python": "3.11", "case": "x", "instructions": "1000000", "measured with": "3.11.7, GCC"}


@pytest.mark.parametrize(
    ("found", "version", "slow"),
    [
        (1_030_000, "3.11.7", False),
        (1_031_000, "3.11.7", True),
        (900_000, "3.11.7", False),
        (1_060_000, "3.11.12", False),  # another patch level: built otherwise
        (1_061_000, "3.11.12", True),
    ],
)
def test_more_than_the_tolerance_is_a_slow_down(found: int, version: str, slow: bool) -> None:
    assert judged(ROW, found, version)[1] is slow


def test_each_case_has_a_count_where_a_python_has_any(tmp_path: Path) -> None:
    for version in {row["python"] for row in kept()}:
        rows = [row["case"] for row in kept() if row["python"] == version]
        assert rows == list(cases(tmp_path))
