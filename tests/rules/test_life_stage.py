"""Stages of life. The ages are common practice, no source; the animals and feeds are invented."""

from __future__ import annotations

import pytest

from dietcheck.contract import Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import life_stage
from tests import records

LOW, MEDIUM = (Verdict.BREACH, Severity.LOW), (Verdict.BREACH, Severity.MEDIUM)
UNSURE = (Verdict.CANNOT_TELL, Severity.MEDIUM)
Said = dict[str, tuple[Verdict, Severity]]
LINE = "{food: carrot, amount: 600 g per animal}"


def said(animal: str, sheet: str = "", line: str = LINE, food: str = "{same_as: carrot}") -> Said:
    """The findings about one tapir, grown from three years on."""
    files = records.small(
        group=records.group(animals=[f"{{id: T1{animal}}}"]),
        sheet=records.sheet({"roots": [line]}, more=sheet),
        foods=records.foods(carrot=food),
    )
    checks = checks_of(outcome_of(life_stage, files, records.ON), "tapir")
    return {
        c.about.partition(":")[0]: (c.verdict, c.severity)
        for c in checks
        if c.verdict in (Verdict.BREACH, Verdict.CANNOT_TELL)
    }


SHEET = {"sheet for another stage": MEDIUM}


@pytest.mark.parametrize(
    ("stage", "stages", "expected"),
    [
        ("adult", "", {}),
        ("growing", "", SHEET),
        ("pregnant", "", SHEET),
        ("geriatric", "", SHEET),
        ("infant", "", SHEET),
        ("growing", "stages: [adult, growing]", {}),
        ("juvenile", "stages: [growing]", {}),
        ("infant", "stages: [growing]", SHEET),
        ("adult", "stages: [growing]", SHEET),
    ],
)
def test_a_sheet_is_for_the_stages_it_names_and_else_for_adults(
    stage: str, stages: str, expected: Said
) -> None:
    assert said(f", stage: {stage}", stages) == expected


def test_lines_of_its_own_make_it_low() -> None:
    line = "{food: carrot, amount: 600 g per animal, for: [T1]}"
    assert said(", stage: growing", line=line) == {"sheet for another stage": LOW}


def test_a_feed_is_for_the_stages_its_label_names() -> None:
    food = "{same_as: carrot, stages: [growing]}"
    assert said(", stage: adult", food=food) == {"feed for another stage": MEDIUM}
    assert said(", stage: juvenile", "stages: [juvenile]", food=food) == {}


@pytest.mark.parametrize(
    ("animal", "expected"),
    [
        (", born: 2023-11-26", {}),  # 1095 days
        (", born: 2023-11-27", {"stage not known": UNSURE}),
        (", born: 2022", {}),
        (", born: 2023", {"stage not known": UNSURE}),  # perhaps born on its last day
        ("", {"stage not known": UNSURE}),
        (", here_from: 2023-11-26", {}),
        (", weighings: [{on: 2023-01-01, mass: 150 kg}]", {}),
        (", weighings: [{on: 2026-01-01, mass: 150 kg}]", {"stage not known": UNSURE}),
    ],
)
def test_who_is_grown_shows_by_birth_or_by_how_long_it_is_known(
    animal: str, expected: Said
) -> None:
    assert said(animal) == expected


def test_a_stage_that_was_left_on_is_told() -> None:
    grown = "stages: [growing]"
    assert said(", stage: growing, born: 2020-11-26", grown) == {}
    assert said(", stage: growing, born: 2020-11-25", grown) == {"stage out of date": LOW}
