"""Records of past days that were touched later. What needs a commit's date is tested in git."""

from __future__ import annotations

import pytest

from dietcheck.contract import Severity, Verdict
from dietcheck_rules import back_dated
from tests import records
from tests.rules.past_records import findings, grades, said

WEIGHED = "{id: T1, weighings: [{on: 2026-10-20, mass: 190 kg}, {on: 2026-11-20, mass: %s}]}"
TREAT = (
    "record: treats\ntreats:\n  - {on: %s, group: tapir, purpose: training,"
    " items: [{food: carrot, amount: %s g per animal}]}\n"
)
SIGNED = (
    "record: sign-off\nby: Dr Vale\nrole: vet\non: 2026-11-10\ngroups: [tapir]\nnext_review: %s\n"
)
LOW = [(Verdict.BREACH, Severity.LOW)]
CARROT = "{food: carrot, amount: %s g per animal}"


def park(**changes: str) -> dict[str, str]:
    """The small park with a weighing, a treat and a signature of past days."""
    files = {
        "group": records.group(animals=[WEIGHED % "200 kg"]),
        "treats": TREAT % ("2026-11-20", "10"),
        "signed": SIGNED % "2027-11-10",
    }
    return records.small(**{**files, **changes})


def sheet(grams: int, start: str = "2026-01-01") -> str:
    """A sheet with so much carrot."""
    return records.sheet({"roots": [CARROT % grams]}, start=start)


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({"group": records.group(animals=[WEIGHED % "150 kg"])}, "150"),
        ({"group": records.group(animals=["{id: T1}"])}, "gone"),
        ({"treats": TREAT % ("2026-11-20", "99")}, "99 g"),
        ({"treats": TREAT % ("2026-11-21", "10")}, "gone"),
        ({"signed": SIGNED % "2028-11-10"}, "Dr Vale"),
        ({"sheet": sheet(700)}, "2026-01-01"),
        ({"rota": records.rota(["{morning: roots, afternoon: no feed}"] * 2)}, "2026-11-16"),
    ],
)
def test_an_entry_of_a_past_day_that_was_changed_is_shown(
    changes: dict[str, str], word: str
) -> None:
    checks = said(back_dated, park(), park(**changes))
    assert grades(checks) == LOW
    assert word in findings(checks)[0].message


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"treats": TREAT % ("2026-11-20", "10") + "  # a note\n"},
        {"sheet": sheet(600).replace("reason: test", "reason: another word")},
        {"later": sheet(700, "2026-11-25")},
        {"later": sheet(700, "2026-12-01")},
        {"later-rota": records.rota(["{morning: roots, afternoon: roots}"] * 2,
                                    start="2026-11-30")},
        {"more-treats": TREAT % ("2026-11-26", "10")},
    ],
)  # fmt: skip
def test_what_is_of_today_or_to_come_and_what_is_no_change(changes: dict[str, str]) -> None:
    checks = said(back_dated, park(), park(**changes))
    assert [check.verdict for check in checks] == [Verdict.KEPT]


def test_a_change_of_today_is_not_of_the_past() -> None:
    old = park(later=sheet(700, "2026-11-25"))
    assert grades(said(back_dated, old, park(later=sheet(800, "2026-11-25")))) == []


def test_each_kind_of_record_is_one_finding() -> None:
    new = park(
        group=records.group(animals=[WEIGHED % "150 kg"]),
        sheet=sheet(700),
        signed=SIGNED % "2028-11-10",
    )
    checks = said(back_dated, park(), new)
    assert grades(checks) == LOW * 3
    assert {check.about.split()[0] for check in findings(checks)} == {
        "weighings", "diet", "signatures",
    }  # fmt: skip


def test_a_rename_is_no_change() -> None:
    old = park()
    new = {("moved.yaml" if name == "sheet.yaml" else name): text for name, text in old.items()}
    assert grades(said(back_dated, old, new)) == []


def test_without_an_earlier_version_the_reason_is_given() -> None:
    (check,) = said(back_dated, None, park())
    assert check.verdict is Verdict.NOT_APPLICABLE
    assert "no earlier version" in check.message
