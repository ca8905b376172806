"""A diet is signed as it stands, by somebody who may, and not by its writer. Invented records."""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.history.digest import content_digest
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import sign_off
from dietcheck_rules.sign_off import waiting
from tests import records
from tests.rules import past_records

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


def test_neither_sheet_nor_rota_is_nothing_to_sign_and_one_alone_is() -> None:
    files = records.small(sheet=SHEET)
    del files["rota.yaml"]
    (check,) = checks_of(outcome_of(sign_off, files, records.ON), "tapir")
    assert check.verdict is Verdict.BREACH
    assert [place.file for place in check.places] == ["sheet.yaml"]
    del files["sheet.yaml"]
    (check,) = checks_of(outcome_of(sign_off, files, records.ON), "tapir")
    assert check.verdict is Verdict.NOT_APPLICABLE


@pytest.mark.parametrize(
    ("sign_offs", "told"),
    [
        ((signature(by="Dr Nobody"),), "Dr Nobody signed as vet on 2026-11-25"),
        ((signature(by="Dr Nobody", on="2026-11-26"),), ""),  # to come
        ((signature(by="Dr Nobody").replace("[tapir]", "[goats]"),), ""),
        (
            (signature(by="Dr Nobody", on="2026-11-20"), signature(by="Mr X", on="2026-11-22")),
            "Mr X signed as vet on 2026-11-22",
        ),
    ],
)
def test_who_signed_without_being_allowed_is_named_the_last_of_them(
    sign_offs: tuple[str, ...], told: str
) -> None:
    (check,) = said(*sign_offs)
    assert ("may_sign" in check.message) is bool(told)
    assert told in check.message
    signed = [place for place in check.places if place.file.startswith("signed")]
    assert len(signed) == (len(sign_offs) if told else 0)


def test_a_sheet_of_the_day_of_the_signature_is_signed_and_a_later_one_is_named() -> None:
    assert said(signature(on="2026-11-16"))[0].verdict is Verdict.KEPT
    (sheet,) = said(signature(on="2026-11-20"), sheet=SHEET.replace("2026-01-01", "2026-11-23"))
    assert "its sheet of 2026-11-23" in sheet.message
    assert "It waits" not in sheet.message  # within the week nothing need be said
    assert [place.file for place in sheet.places] == ["sheet.yaml", "signed-0.yaml"]
    (rota,) = said(signature(on="2026-11-10"))
    assert "its rota of 2026-11-16" in rota.message


@pytest.mark.parametrize(("changes", "more"), [(2, ""), (3, ""), (4, "and 1 more")])
def test_three_changes_are_named_and_the_others_counted(changes: int, more: str) -> None:
    def sheet(grams: int) -> str:
        return records.sheet(
            {f"meal-{n}": [f"{{food: carrot, amount: {grams} g per animal}}"]
             for n in range(changes)}
        )  # fmt: skip

    rota = records.rota([f"{{morning: [{', '.join(f'meal-{n}' for n in range(changes))}], "
                         "afternoon: no feed}"] * 2)  # fmt: skip
    before = records.small(sheet=sheet(600), rota=rota)
    digest = content_digest(records.linked(before), "tapir", records.ON)
    before["signed.yaml"] = signature(more=f"content: {{tapir: '{digest}'}}")
    after = {**before, "sheet.yaml": sheet(610)}
    (check,) = past_records.findings(past_records.said(sign_off, before, after))
    assert len(check.working) == changes
    assert ("and 1 more" in check.message) is bool(more)
    assert "and 0 more" not in check.message
    assert check.message.count("610") == min(changes, 3)


def test_a_change_waits_for_its_signature_and_then_has_been_fed_without_one() -> None:
    changed = records.sheet({"roots": ["{food: carrot, amount: 601 g per animal}"]})
    (waiting,) = said(signature(more=BOUND), sheet=changed)
    assert "It has been" not in waiting.message
    assert "It waits" in waiting.message  # nothing here tells since when
    old = said(signature(on="2026-10-01", more=BOUND), sheet=changed)
    (late,) = [check for check in old if check.about == "changed after the signature"]
    assert "It has been fed without a signature for 9 days" in late.message
    assert late.severity is Severity.HIGH
    assert late.advice != waiting.advice


@pytest.mark.parametrize(
    ("sign_off", "settings", "told"),
    [
        (signature(on="2026-11-01", more="next_review: 2026-11-20"), "", "2026-11-20, 5 days"),
        (signature(on="2026-11-01"), "review_every: 20 days", "2026-11-21, 4 days"),
        (signature(on="2026-11-01", more="next_review: 2026-11-24"), "review_every: 20 days",
         "2026-11-21, 4 days"),
        (signature(on="2026-11-01"), "review_every: 24 days", ""),
    ],
)  # fmt: skip
def test_the_earlier_of_two_reviews_counts(sign_off: str, settings: str, told: str) -> None:
    checks = said(sign_off, dietcheck=records.settings(more=settings), start="2026-10-20")
    due = [check for check in checks if check.about == "review overdue"]
    assert len(due) == bool(told)
    assert all(told in check.message for check in due)


@pytest.mark.parametrize(
    ("accepting", "void"),
    [
        (signature(on="2026-10-01", more=ACCEPTS), True),
        (signature(on="2026-10-01", more=ACCEPTS.replace("11-04", "11-25")), False),  # the last day
        (signature(on="2026-10-01", more=ACCEPTS.replace("11-04", "11-24")), True),
        (signature(by="Dr Nobody", on="2026-10-01", more=ACCEPTS), False),
        (signature(on="2026-11-26", more=ACCEPTS), False),  # to come
        (
            signature(on="2026-10-01", more=ACCEPTS.replace("group: tapir", "group: goats"))
            .replace("[tapir]", "[tapir, goats]"),
            False,
        ),
    ],
)  # fmt: skip
def test_an_acceptance_of_a_proper_signer_ends_the_day_after(accepting: str, void: bool) -> None:
    goats = {
        "group2": records.group(id="goats", species="Capra hircus", animals=["{id: G1}"]),
    }
    plain = signature(on="2026-10-02", more=BOUND)
    checks = said(plain, accepting, start="2026-09-01", **goats)
    found = [check for check in checks if check.about.startswith("acceptance void")]
    assert bool(found) is void
    for check in found:
        assert check.places[0].path[0] == "accepts"


@pytest.mark.parametrize(
    ("signed", "sheet", "words"),
    [
        ("2026-11-20", "2026-11-25", ""),  # from today on
        ("2026-11-10", "2026-11-10", "for 9 days"),  # the rota of the 16th, the sheet was signed
        ("2026-11-10", "2026-11-14", "for 11 days"),  # the sheet came first
    ],
)
def test_without_git_a_diet_waits_since_the_first_of_what_began_after_the_signature(
    signed: str, sheet: str, words: str
) -> None:
    (check,) = said(signature(on=signed), sheet=SHEET.replace("2026-01-01", sheet))
    assert words in check.message
    assert ("It " in check.message) is bool(words)


def test_records_that_cannot_be_read_any_more_are_never_the_signed_ones() -> None:
    diet = records.diet(records.small())
    assert waiting._differs(diet, None, diet.collection, records.ON)
    assert not waiting._differs(diet, diet.collection, diet.collection, records.ON)
    assert list(waiting._turns(diet, None, records.ON, records.ON)) == [records.ON]
