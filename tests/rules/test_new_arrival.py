"""New animals and what they ate. 30 days are common practice, no source; the rest is invented."""

from __future__ import annotations

import pytest

from dietcheck.contract import Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import new_arrival
from tests import records


def said(animal: str, **more: str) -> list[tuple[Verdict, Severity]]:
    """The findings about one tapir."""
    files = records.small(group=records.group(animals=[f"{{id: T1{animal}}}"]), **more)
    checks = checks_of(outcome_of(new_arrival, files, records.ON), "tapir")
    return [(c.verdict, c.severity) for c in checks if c.verdict is not Verdict.NOT_APPLICABLE]


BREACH, KEPT = [(Verdict.BREACH, Severity.MEDIUM)], [(Verdict.KEPT, Severity.LOW)]


@pytest.mark.parametrize(
    ("animal", "expected"),
    [
        ("", []),
        (", here_from: 2026-11-20", BREACH),
        (", here_from: 2026-10-26", BREACH),  # 30 days
        (", here_from: 2026-10-25", []),
        (", here_from: 2026-12-01", BREACH),  # to come
        (", here_from: 2026-11-20, diet_before: hay and browse; a week of both", KEPT),
        (", here_from: 2026-11-20, born: 2026-11-20", []),
        (", here_from: 2026-11-20, born: 2026", []),
        (", here_from: 2026-11-20, born: 2026-11-19", BREACH),
    ],
)
def test_a_new_animal_comes_with_its_former_diet(
    animal: str, expected: list[tuple[Verdict, Severity]]
) -> None:
    assert said(animal) == expected


def test_an_animal_that_moves_within_the_collection_has_its_sheet_there() -> None:
    former = records.group("other", animals=["{id: T1, here_until: 2026-11-19}"])
    assert said(", here_from: 2026-11-20", former=former) == KEPT


def test_a_time_that_is_not_set_in_days_is_asked_about() -> None:
    house = (
        "record: limits\nlimits:\n  - {group: tapir, quantity: new-arrival-days, at_most: 5 %, "
        "over: day, why: x, set_by: Dr Vale, on: 2026-01-01, source: site rule}\n"
    )
    assert said(", here_from: 2026-11-20", limits=house)[0][0] is Verdict.CANNOT_TELL


@pytest.mark.parametrize(
    ("came", "words", "days"),
    [("2026-11-20", "came 5 days ago", 5), ("2026-11-24", "came 1 days ago", 1),
     ("2026-11-25", "T1 comes, on", 0), ("2026-12-01", "T1 comes, on", 0)],
)  # fmt: skip
def test_how_long_ago_it_came_is_told(came: str, words: str, days: int) -> None:
    files = records.small(group=records.group(animals=[f"{{id: T1, here_from: {came}}}"]))
    (check,) = checks_of(outcome_of(new_arrival, files, records.ON), "tapir")
    assert words in check.message
    assert check.measured is not None
    assert check.measured.value.low == days


@pytest.mark.parametrize(
    ("former", "known"),
    [
        ("{id: T1, here_until: 2026-11-20}", True),  # on the day that it came
        ("{id: T1, here_until: 2026-11-21}", False),
        ("{id: T1}", False),
        ("{id: T9, here_until: 2026-11-19}", False),
    ],
)
def test_only_an_animal_that_left_another_group_before_has_its_sheet_there(
    former: str, known: bool
) -> None:
    other = records.group("other", animals=["{id: X}", former, "{id: Y}"])
    assert said(", here_from: 2026-11-20", former=other) == (KEPT if known else BREACH)
