"""A medicine on a line of a sheet or of a treat record. People, drugs and dates are invented."""

from __future__ import annotations

from datetime import date

import pytest

from dietcheck.collection.feeding import Medicine
from dietcheck.reading import check_file
from tests import records

ORDER = "drug: worming paste, by: Dr Vale, from: 2026-11-16, until: 2026-11-20"
LINE = "{{food: carrot, amount: 20 g per animal, medicine: {{{}}}}}"
TREATS = """
record: treats
treats:
  - {{on: 2026-11-18, group: tapir, purpose: medicine vehicle, items: [{}]}}
"""


@pytest.mark.parametrize("dose", [None, "5 ml once a day"])
def test_an_order_is_read_wherever_a_line_stands(dose: str | None) -> None:
    line = LINE.format(ORDER + (f", dose: {dose}" if dose else ""))
    collection = records.linked(
        records.small(sheet=records.sheet({"roots": [line]}), treats=TREATS.format(line))
    )
    (sheet,), (gift,) = collection.sheets["tapir"], collection.treats["tapir"]
    ordered = Medicine("worming paste", "Dr Vale", date(2026, 11, 16), date(2026, 11, 20), dose)
    assert sheet.meals["roots"].lines[0].medicine == ordered
    assert gift.lines[0].medicine == ordered


def test_a_line_without_one_has_none() -> None:
    (sheet,) = records.linked(records.small()).sheets["tapir"]
    assert sheet.meals["roots"].lines[0].medicine is None


@pytest.mark.parametrize(
    "order",
    [
        ORDER.replace(", until: 2026-11-20", ""),
        ORDER.replace("by: Dr Vale, ", ""),
        ORDER.replace("2026-11-20", "the end"),
        ORDER + ", vet: Dr Vale",
    ],
)
def test_an_order_without_its_parts_or_with_a_strange_one_is_refused(order: str) -> None:
    text = records.sheet({"roots": [LINE.format(order)]})
    (problem,) = check_file("sheet.yaml", text.encode()).problems
    assert "medicine" in map(str, problem.path)
    assert problem.remedy
