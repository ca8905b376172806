"""What is told of records written later: how many, of whom, at which line. All is invented."""

from __future__ import annotations

import pytest

from dietcheck.contract import Verdict
from dietcheck_rules import (
    back_dated,
)
from tests import records
from tests.rules import test_back_dated as dated
from tests.rules.past_records import said as past_said
from tests.rules.told import places

BREACH, UNSURE, KEPT = Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT


@pytest.mark.parametrize(("changed", "more"), [(4, ""), (5, "and 1 more"), (6, "and 2 more")])
def test_of_many_entries_written_later_four_are_named(changed: int, more: str) -> None:
    def herd(mass: int) -> str:
        return records.group(
            animals=[
                f"{{id: T{n}, weighings: [{{on: 2026-11-20, mass: {mass} kg}}]}}"
                for n in range(changed)
            ]
        )

    (check,) = past_said(back_dated, dated.park(group=herd(190)), dated.park(group=herd(200)))
    assert check.message.count("200") == 4
    assert ("more" in check.message) is bool(more)
    assert more in check.message
    assert len(check.working) == changed
    assert check.animals == tuple(f"T{n}" for n in range(changed))
    assert places(check)[0] == "group 0 weighings 0"


def test_an_entry_that_is_gone_points_at_the_group() -> None:
    gone = dated.park(treats=dated.TREAT % ("2026-11-26", "10"))
    (check,) = past_said(back_dated, dated.park(), gone)
    assert places(check) == ["group"]
    assert check.animals == ()
