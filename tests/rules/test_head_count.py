"""Amounts for the group against the heads that are there. All records are invented."""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import head_count
from tests import records
from tests.rules.past_records import said as past_said

BREACH, KEPT = Verdict.BREACH, Verdict.KEPT


def herd(count: int, gone: int = 0, until: str = "2026-11-18") -> tuple[str, ...]:
    """So many animals, some of which were here until a day."""
    stay = f", here_until: {until}"
    return tuple(
        f"{{id: T{n}, weighings: [{{on: 2026-11-18, mass: 200 kg}}]{stay if n < gone else ''}}}"
        for n in range(count)
    )


def said(
    animals: tuple[str, ...], amount: str = "9 kg per group", heads: int | None = None
) -> tuple[Check, ...]:
    sheet = records.sheet({"roots": [f"{{food: carrot, amount: {amount}}}"]})
    if heads is not None:
        sheet += f"heads: {heads}\n"
    files = records.small(group=records.group(animals=animals), sheet=sheet)
    outcome = outcome_of(head_count, files, records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def test_all_that_were_there_are_there() -> None:
    (check,) = said(herd(9))
    assert (check.verdict, check.severity) == (KEPT, Severity.LOW)


def test_two_of_nine_have_left_since_the_sheet() -> None:
    """9 / 7 is 29 % more for each of the others."""
    (check,) = said(herd(9, gone=2))
    assert (check.verdict, check.severity) == (BREACH, Severity.LOW)
    assert check.measured is not None
    assert 28 < check.measured.value.low < 29


@pytest.mark.parametrize(
    ("heads", "there", "expected"),
    [
        (10, 10, KEPT),
        (11, 10, KEPT),  # each gets 11 / 10 of what was meant, the bound itself
        (10, 9, BREACH),  # 10 / 9
        (10, 12, BREACH),  # 10 / 12
    ],
)
def test_heads_on_the_sheet_count_before_the_register(
    heads: int, there: int, expected: Verdict
) -> None:
    (check,) = said(herd(there), heads=heads)
    assert check.verdict is expected


def test_amounts_for_each_animal_need_no_heads() -> None:
    (check,) = said(herd(9, gone=2), amount="1 kg per animal")
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_a_leaving_to_come_is_told_before_it_happens() -> None:
    (check,) = said(herd(9, gone=3, until=str(records.ON)))
    assert check.verdict is BREACH


def test_the_register_of_the_earlier_version_tells_for_how_many_it_was_written() -> None:
    """The sheet stands as it was; one animal more has since been written into the register."""
    before, after = (
        records.small(
            group=records.group(animals=herd(count)),
            sheet=records.sheet({"roots": ["{food: carrot, amount: 9 kg per group}"]}),
        )
        for count in (4, 5)
    )
    (check,) = past_said(head_count, before, after)
    assert check.verdict is BREACH
    assert check.measured is not None
    assert check.measured.value.high == 20  # 4 ÷ 5 is a fifth less for each
    (check,) = past_said(head_count, after, after)
    assert check.verdict is KEPT
