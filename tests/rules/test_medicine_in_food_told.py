"""What is told of medicine in food: how many, of whom, at which line. All is invented."""

from __future__ import annotations

from datetime import date

import pytest

from dietcheck.contract import Verdict
from tests.rules import test_medicine_in_food as medicine
from tests.rules.told import figures, places

BREACH, UNSURE, KEPT = Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT


@pytest.mark.parametrize(
    ("order", "words", "at"),
    [
        ({"until": "2026-11-24"}, "ended on 2026-11-24, 1 day ago", "until"),
        ({"until": "2026-11-22"}, "ended on 2026-11-22, 3 days ago", "until"),
        ({"start": "2026-11-26"}, "begins on 2026-11-26", "from"),
        ({"by": "Mina Okoro"}, "Mina Okoro, who is no vet under may_sign on 2026-11-16", "by"),
    ],
)
def test_an_order_that_does_not_hold_says_why(order: dict[str, str], words: str, at: str) -> None:
    found = [one for one in medicine.said(**order) if words in one.message]
    (check,) = found
    assert check.message.startswith("T1: ")
    assert places(check) == [f"sheet 0 medicine {at}", "sheet roots 0 food"]
    assert (check.animals, check.food) == (("T1",), "carrot")
    assert check.occasions


def test_a_course_that_ends_within_the_rota_names_the_day_after() -> None:
    ordered = medicine.ordered(until="2026-11-24")
    (check,) = [
        one
        for one in medicine.judged(f"for: [T1], {ordered}", on=date(2026, 11, 24))
        if one.verdict is BREACH
    ]
    assert figures(check.message) == "1 2026 11 24 2026 11 25"
    assert places(check)[0] == "sheet 0 medicine until"


def test_who_can_eat_it_too_is_named_and_the_order_told_where_all_is_well() -> None:
    (check,) = medicine.said(fed="together")
    assert places(check)[0] == "sheet 0 medicine drug"
    both = medicine.said(fed="together", enclosure="Paddock")[0]
    assert both.message.startswith("T2, ")
    (kept,) = medicine.said()
    assert (kept.verdict, kept.food, kept.animals) == (KEPT, "carrot", ("T1",))
    assert figures(kept.message) == "1 2026 12 31"
    (dose,) = medicine.said(dose="")
    assert (dose.about, places(dose), dose.animals) == ("dose", ["sheet meals roots 0"], ("T1",))
    (patient,) = medicine.said(whom="")
    assert (patient.about, patient.animals) == ("patient", ("T1", "T2"))
    (bare,) = medicine.judged("for: [T1]")
    assert bare.message.startswith("T1: ")
