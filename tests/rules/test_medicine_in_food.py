"""Lines that carry a medicine. Animals, drugs, people and dates are invented."""

from __future__ import annotations

from datetime import date

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import medicine_in_food
from tests import records

ORDER = {
    "drug": "worming paste",
    "by": "Dr Vale",
    "dose": "5 ml once a day",
    "from": "2026-11-16",
    "until": "2026-12-31",
}
TWO = (
    "{id: T1, weighings: [{on: 2026-11-20, mass: 200 kg}]}",
    "{id: T2, weighings: [{on: 2026-11-20, mass: 180 kg}]}",
)


def said(
    fed: str = "singly", whom: str = "for: [T1], ", enclosure: str = "Hill", **order: str
) -> tuple[Check, ...]:
    """Two tapirs, one with a medicine in its carrot, and goats elsewhere; `dose=""` leaves it out.

    `order` replaces parts of the order; write `start` for its first day.
    """
    if "start" in order:
        order["from"] = order.pop("start")
    written = {key: text for key, text in {**ORDER, **order}.items() if text}
    medicine = ", ".join(f"{key}: {text}" for key, text in written.items())
    return judged(f"{whom}medicine: {{{medicine}}}", fed, enclosure)


def judged(
    rest: str,
    fed: str = "singly",
    enclosure: str = "Hill",
    on: date = records.ON,
    animals: tuple[str, ...] = TWO,
    **changes: str,
) -> tuple[Check, ...]:
    line = f"{{food: carrot, amount: 20 g per animal, treat: medicine vehicle, {rest}}}"
    goats = records.group(
        id="goats", species="Capra hircus", enclosure=enclosure,
        animals=("{id: G1, weighings: [{on: 2026-11-20, mass: 40 kg}]}",),
    )  # fmt: skip
    files = records.small(
        group=records.group(animals=animals).replace("fed: together", f"fed: {fed}"),
        goats=goats,
        sheet=records.sheet({"roots": [line]}),
        **changes,
    )
    outcome = outcome_of(medicine_in_food, files, on)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def test_no_medicine_is_not_applicable() -> None:
    outcome = outcome_of(medicine_in_food, records.small(), records.ON)
    assert [c.verdict for c in checks_of(outcome)] == [Verdict.NOT_APPLICABLE]


@pytest.mark.parametrize("until", ["2026-12-31", "2026-11-25"])
def test_a_running_order_is_kept_and_ends_with_its_last_day(until: str) -> None:
    """The judged days of the two-day rota end on 25 November, the judged day itself."""
    (check,) = said(until=until)
    assert check.verdict is Verdict.KEPT


def test_the_day_after_the_last_is_high() -> None:
    (check,) = said(until="2026-11-24")
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.HIGH)
    assert check.animals == ("T1",)
    assert check.places[0].path[-2:] == ("medicine", "until")


def test_a_course_that_has_not_begun_is_high() -> None:
    (check,) = said(start="2026-11-26")
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.HIGH)


@pytest.mark.parametrize("order", [{"by": "Mina Okoro"}, {"start": "2023-12-31"}])
def test_only_a_vet_who_may_sign_on_the_first_day_can_order(order: dict[str, str]) -> None:
    """Dr Vale may sign from 2024 on."""
    (check,) = said(**order)
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.HIGH)


@pytest.mark.parametrize("open_", [{"dose": ""}, {"whom": ""}])
def test_a_missing_dose_or_patient_is_asked_for(open_: dict[str, str]) -> None:
    (check,) = said(**open_)
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert check.settles


@pytest.mark.parametrize("way", [{"fed": "together"}, {"fed": "scattered"}])
def test_companions_that_eat_with_the_patient_can_eat_it(way: dict[str, str]) -> None:
    (check,) = said(**way)
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert check.message.startswith("T2: ")
    assert check.message.endswith("for T1.")


def test_neighbours_in_the_enclosure_can_eat_it() -> None:
    (check,) = said(enclosure="Paddock")
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert "goat" in check.message.casefold()


def test_a_vehicle_without_its_order_cannot_be_judged() -> None:
    (check,) = judged("for: [T1]")
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert check.settles


def test_a_course_that_ends_within_the_rota_is_told_in_time() -> None:
    """The rota of two days began again on 24 November, the last day of the course."""
    order = ", ".join(f"{k}: {v}" for k, v in {**ORDER, "until": "2026-11-24"}.items())

    def found(on: date) -> dict[str, Severity]:
        checks = judged(f"for: [T1], medicine: {{{order}}}", on=on)
        return {c.about: c.severity for c in checks if c.verdict is Verdict.BREACH}

    assert found(date(2026, 11, 24)) == {"course ends within the rota": Severity.LOW}
    assert found(date(2026, 11, 25))["course has ended"] is Severity.HIGH


def ordered(**order: str) -> str:
    """The order as it stands in a line."""
    written = {**ORDER, **order}
    return f"medicine: {{{', '.join(f'{key}: {text}' for key, text in written.items())}}}"


def test_a_course_may_begin_on_the_judged_day() -> None:
    """The rota's giving on the day before is past and no longer of interest."""
    begun = ordered().replace("from: 2026-11-16", "from: 2026-11-25")
    (check,) = judged(f"for: [T1], {begun}")
    assert check.verdict is Verdict.KEPT


def test_an_only_animal_needs_no_naming() -> None:
    (check,) = judged(ordered(), animals=TWO[:1])
    assert check.verdict is Verdict.KEPT
    assert check.animals == ("T1",)


@pytest.mark.parametrize(
    ("until", "verdict"),
    [("2026-11-16", Verdict.KEPT), ("2026-11-15", Verdict.BREACH)],  # ordered on 16 November
)
def test_a_vet_who_has_left_orders_nothing_and_others_do_not_matter(
    until: str, verdict: Verdict
) -> None:
    signer = "{name: Dr Vale, role: vet, from: 2024-01-01"
    settings = records.settings().replace(
        signer, f"{signer}, until: {until}}}, {{name: Mina Okoro, role: keeper, from: 2024-01-01"
    )
    (check,) = judged(f"for: [T1], {ordered()}", dietcheck=settings)
    assert check.verdict is verdict


def test_the_givings_stand_in_the_order_of_the_days() -> None:
    (check,) = said(until="2026-11-23")
    assert list(check.occasions) == sorted(check.occasions)
    assert len(check.occasions) > 1
