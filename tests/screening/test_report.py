"""What a report says of itself: whether it blocks, how many checks came out how. Invented."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from dietcheck.contract import Severity, Verdict
from dietcheck.history.lookback import Lookback
from dietcheck.screening.report import RECORDS_RULE, RECORDS_TITLE
from dietcheck.screening.said import Failure
from dietcheck.screening.screen import screen
from dietcheck.testing import Memory
from tests import records
from tests.reporting.reports import ACCEPTED, breach, cannot_tell, kept, report

FOUND = report(breach(), cannot_tell(), kept(), kept(about="also kept"))


@pytest.mark.parametrize(
    ("verdict", "count"),
    [
        (Verdict.BREACH, 1),
        (Verdict.CANNOT_TELL, 1),
        (Verdict.KEPT, 3),  # and one that says that all records can be read
        (Verdict.NOT_APPLICABLE, 0),
    ],
)
def test_checks_are_counted_by_how_they_came_out(verdict: Verdict, count: int) -> None:
    assert FOUND.count(verdict) == count


def test_what_is_high_blocks_where_high_blocks_and_what_is_accepted_does_not() -> None:
    assert [f.check.about for f in FOUND.blocking(Severity.HIGH)] == ["too much carrot"]
    assert len(FOUND.blocking(Severity.MEDIUM)) == 2
    assert FOUND.status(Severity.HIGH) == 1
    mild = report(cannot_tell())
    assert (mild.status(Severity.HIGH), mild.status(Severity.MEDIUM)) == (0, 1)
    assert report(breach(), signoff=ACCEPTED).status(Severity.LOW) == 0


def test_a_rule_that_failed_or_settings_that_cannot_be_read_leave_the_job_undone() -> None:
    assert (
        replace(FOUND, failures=(Failure("toy-rule", None, "fell over"),)).status(Severity.HIGH)
        == 2
    )
    assert replace(FOUND, collection=None).status(Severity.HIGH) == 2


def test_groups_and_rules_are_called_by_their_names() -> None:
    assert FOUND.group_called(None) == "Test Park"
    assert FOUND.group_called("tapir") == "Brazilian tapir"
    assert FOUND.group_called("unicorn") == "unicorn"
    assert replace(FOUND, collection=None).group_called("tapir") == "tapir"
    assert FOUND.title("toy-rule") == "Not too many carrots"
    assert FOUND.title(RECORDS_RULE) == RECORDS_TITLE


def test_why_nothing_could_be_compared_is_said() -> None:
    earlier = Lookback(None, "no git here")
    found = screen(Memory(records.small()), records.ON, load=lambda _: (), earlier=earlier)
    assert found.not_compared == "no git here"
    assert replace(found, diets=None).not_compared == ""
    assert FOUND.not_compared == ""
