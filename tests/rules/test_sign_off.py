"""A diet is signed as it stands, by somebody who may, and not by its writer. Invented records."""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.history.digest import content_digest
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import sign_off
from tests import records

CARROT = {"roots": ["{food: carrot, amount: 600 g per animal}"]}
SHEET = records.sheet(CARROT)
DIGEST = content_digest(records.linked(records.small(sheet=SHEET)), "tapir", records.ON)


def signature(by: str = "Dr Vale", on: str = "2026-11-25", more: str = "") -> str:
    """A sign-off of the tapirs by a vet."""
    return f"record: sign-off\nby: {by}\nrole: vet\non: {on}\ngroups: [tapir]\n{more}\n"


def said(
    *sign_offs: str, sheet: str = SHEET, start: str = "2026-11-16", **changes: str
) -> tuple[Check, ...]:
    """What the rule says of the tapirs under some signatures."""
    files = {f"signed-{number}.yaml": text for number, text in enumerate(sign_offs)}
    rota = records.rota(["{morning: roots, afternoon: roots}"] * 2, start=start)
    park = records.small(sheet=sheet, rota=rota, **changes)
    outcome = outcome_of(sign_off, {**park, **files}, records.ON)
    return checks_of(outcome, "tapir")


BOUND = f"content: {{tapir: '{DIGEST}'}}"


def test_a_diet_signed_as_it_stands_is_kept() -> None:
    (check,) = said(signature(more=BOUND))
    assert (check.verdict, check.weak) == (Verdict.KEPT, ())


def test_a_collection_that_has_signed_nothing_yet_is_not_stopped() -> None:
    (check,) = said()
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)


@pytest.mark.parametrize(
    ("start", "within", "severity"),
    [  # a rota of 18 November has been in force for seven days on the 25th
        ("2026-11-18", "", Severity.MEDIUM),
        ("2026-11-17", "", Severity.HIGH),
        ("2026-11-17", "sign_within: 8 days", Severity.MEDIUM),
        ("2026-11-16", "sign_within: 8 days", Severity.HIGH),
        ("2026-11-16", "sign_within: 1 month", Severity.MEDIUM),
    ],
)
def test_a_diet_that_nobody_signed_may_wait_so_long_and_no_longer(
    start: str, within: str, severity: Severity
) -> None:
    tomorrow = signature(on="2026-11-26")
    (check,) = said(tomorrow, dietcheck=records.settings(more=within), start=start)
    assert (check.verdict, check.severity) == (Verdict.BREACH, severity)


@pytest.mark.parametrize(
    "sign_off",
    [signature(by="Dr Nobody"), signature(on="2023-12-31")],  # the day before Dr Vale might sign
)
def test_a_signature_of_somebody_who_may_not_sign_stops_the_commit(sign_off: str) -> None:
    (check,) = said(sign_off)
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.HIGH)


def test_a_collection_that_names_no_signers_yet_is_not_asked_for_signatures() -> None:
    nobody = records.settings().replace("may_sign:", "x-may-sign:")
    files = {**records.small(sheet=SHEET), "dietcheck.yaml": nobody}
    (check,) = checks_of(outcome_of(sign_off, files, records.ON), "tapir")
    assert check.verdict is Verdict.NOT_APPLICABLE
    signed = {**files, "signed.yaml": signature()}
    (check,) = checks_of(outcome_of(sign_off, signed, records.ON), "tapir")
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.HIGH)


def test_a_diet_changed_after_the_signature() -> None:
    changed = records.sheet({"roots": ["{food: carrot, amount: 601 g per animal}"]})
    (check,) = said(signature(more=BOUND), sheet=changed)
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert check.about == "changed after the signature"


def test_another_who_may_not_sign_does_not_cover_a_good_signature() -> None:
    (check,) = said(signature(more=BOUND), signature(by="Dr Nobody"))
    assert check.verdict is Verdict.KEPT


@pytest.mark.parametrize(("day", "overdue"), [("2026-11-25", False), ("2026-11-24", True)])
def test_a_review_is_overdue_the_day_after(day: str, overdue: bool) -> None:
    (check,) = said(signature(more=f"{BOUND}\nnext_review: {day}"))
    assert (check.about == "review overdue") is overdue


@pytest.mark.parametrize("writer", ["Dr Vale", "dr vale"])
def test_writer_and_signer_are_two_people(writer: str) -> None:
    """B22 of the invented park's scenario: who writes a diet does not approve it."""
    sheet = records.sheet(CARROT, more=f"written_by: {writer}")
    checks = said(signature(), sheet=sheet)
    (own,) = [c for c in checks if c.severity is Severity.HIGH]
    assert own.verdict is Verdict.BREACH
    assert own.never_accepted


ACCEPTS = """
accepts:
  - {rule: body-mass-known, group: tapir, reason: under treatment, until: 2026-11-04}
"""


def test_an_acceptance_that_ended_and_a_diet_edited_since_are_both_told() -> None:
    """B23 of the invented park's scenario: ended three weeks ago, the sheet edited since."""
    changed = records.sheet({"roots": ["{food: carrot, amount: 601 g per animal}"]})
    old = signature(on="2026-10-01", more=BOUND + ACCEPTS)
    found = {(c.about, c.severity) for c in said(old, sheet=changed)}
    assert found == {
        ("changed after the signature", Severity.HIGH),  # the rota began after it, 9 days ago
        ("acceptance void: body-mass-known", Severity.MEDIUM),
    }


def test_a_later_signature_settles_an_acceptance_that_ended() -> None:
    old = signature(on="2026-10-01", more=ACCEPTS)
    (check,) = said(old, signature(more=BOUND))
    assert check.verdict is Verdict.KEPT


def test_without_a_digest_a_sheet_or_rota_that_starts_later_is_news() -> None:
    """Old signatures hold no digest; then the dates tell that something else is fed now."""
    (check,) = said(signature(on="2026-11-20"), sheet=SHEET.replace("2026-01-01", "2026-11-23"))
    assert (check.verdict, check.about) == (Verdict.BREACH, "changed after the signature")
    assert "2026-11-23" in check.message
    (check,) = said(signature(on="2026-11-10"))
    assert (check.verdict, check.about) == (Verdict.BREACH, "changed after the signature")
    assert "2026-11-16" in check.message
