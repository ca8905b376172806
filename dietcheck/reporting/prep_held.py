"""Which groups must not be printed, why, and which version of their diet was last approved.

A group is held back while a high finding about it is not accepted by a signature, and while a rule
that should have judged it failed. A high finding about the records as a whole holds back every
group: whatever could not be read may be anybody's food.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from dietcheck.collection.animals import Group
from dietcheck.collection.collection import Collection
from dietcheck.collection.feeding import DietSheet
from dietcheck.collection.settings import SignOff
from dietcheck.history.digest import content_digest
from dietcheck.history.lookback import Lookback
from dietcheck.history.signed import last_signed, unchanged
from dietcheck.reporting import words
from dietcheck.reporting.layout import shown
from dietcheck.screening.checks import Severity
from dietcheck.screening.report import Report


class Held(Struct, frozen=True, eq=False):
    """A group that is not printed: the reasons, and what is known of its last approved diet."""

    group: Group
    reasons: tuple[str, ...]
    approved: tuple[str, ...]


def held_back(report: Report, earlier: Lookback) -> dict[str, Held]:
    """The groups that must not be printed, by id."""
    collection = report.collection
    if collection is None:
        return {}
    found = {}
    for group in collection.groups.values():
        reasons = tuple(dict.fromkeys(_reasons(report, group)))
        if reasons:
            approved = tuple(_approved(report, collection, group, earlier))
            found[group.id] = Held(group, reasons, approved)
    return found


def left_open(report: Report, group: Group) -> int:
    """How many findings below high stand open for a group."""
    return sum(
        f.group == group.id and f.accepted is None and f.severity is not Severity.HIGH
        for f in report.findings
    )


def _reasons(report: Report, group: Group) -> Iterator[str]:
    for failure in report.failures:
        if failure.group in (group.id, None):
            yield f"The rule {shown(failure.rule, 80)} failed, so nothing is cleared by it."
    for finding in report.blocking(Severity.HIGH):
        if finding.group in (group.id, None):
            where = words.places(finding, report)[:1] if finding.group is None else []
            yield " ".join([*(f"{place}:" for place in where), shown(finding.check.message)])


def _approved(
    report: Report, collection: Collection, group: Group, earlier: Lookback
) -> Iterator[str]:
    signed = last_signed(collection, group.id, report.on)
    if signed is None:
        yield "No signature of anybody who may sign covers this group."
    else:
        who = f"{shown(signed.by, 60)} ({shown(signed.role, 40)})"
        yield f"Last approved: signed by {who} on {words.day(signed.on)}."
    if signed is not None and group.id in signed.content:
        yield _signed_version(collection, group, signed, earlier)
        return
    sheet = collection.sheet_on(group.id, report.on)
    before = collection.sheet_on(group.id, signed.on) if signed is not None else None
    if before is not None and before is not sheet:
        yield f"In force on that day: {_called(before)}. Ask the vet before it is fed again."
    else:
        yield _committed(report, collection, group, earlier)


def _signed_version(
    collection: Collection, group: Group, signed: SignOff, earlier: Lookback
) -> str:
    """Where the diet lies that a signature is bound to."""
    if unchanged(collection, signed, group.id):
        return "The diet is still the one that was signed: ask the vet what is to be fed."
    past = earlier.collection
    if past is not None and group.id in past.groups and unchanged(past, signed, group.id):
        sheet = past.sheet_on(group.id, signed.on)
        said = _called(sheet) if sheet else "the sheet of that day"
        return f"Feed what was signed: {said}, as it stands in {shown(earlier.described, 120)}."
    return "The diet was changed since; the version that was signed is further back in git."


def _committed(report: Report, collection: Collection, group: Group, earlier: Lookback) -> str:
    """What the last committed version says of a group that no signature points to a version of."""
    past = earlier.collection
    if past is None:
        return f"No last committed sheet can be named: {shown(earlier.why_not)}."
    sheet = past.sheet_on(group.id, report.on) if group.id in past.groups else None
    if sheet is None:
        return f"{_capital(earlier.described)} holds no sheet of this group for the day."
    digests = {content_digest(one, group.id, report.on) for one in (past, collection)}
    version = shown(earlier.described, 120)
    if len(digests) == 1:
        return (
            f"Sheet, rota and foods are as in {version} ({_called(sheet)}), so they give no way "
            "out: ask the vet what is to be fed."
        )
    return f"Last committed: {_called(sheet)}, as it stands in {version}."


def _called(sheet: DietSheet) -> str:
    return f"the sheet of {words.day(sheet.start)} ({shown(sheet.place.file, 120)})"


def _capital(text: str) -> str:
    said = shown(text, 120)
    return said[:1].upper() + said[1:]
