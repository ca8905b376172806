"""Who had approved an animal's diet on a day, on which weights, and which risks were accepted."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date

from dietcheck.collection.animals import Animal
from dietcheck.collection.collection import Collection
from dietcheck.collection.settings import SignOff
from dietcheck.history.signed import allowed, unchanged
from dietcheck.history.versions import Version
from dietcheck.nutrition.diet import Diet
from dietcheck.quantities import format_interval
from dietcheck.reading import Repository
from dietcheck.reporting import words
from dietcheck.reporting.layout import shown
from dietcheck.reporting.trail import FileUsed, Risk, Signature
from dietcheck.screening.report import Report

SIGNATURES = 5  # the latest


def signed(collection: Collection, group: str, on: date) -> list[SignOff]:
    """The signatures that stood on the day, the latest first."""
    named = [one for one in collection.sign_offs if group in one.groups and one.on <= on]
    return sorted(named, key=lambda one: (one.on, one.place.file), reverse=True)[:SIGNATURES]


def signature(
    diet: Diet,
    animal: Animal,
    one: SignOff,
    repository: Repository,
    changed: Callable[[str], Version | None],
    files: Iterable[FileUsed],
) -> Signature:
    """A signature with what it covers and rests on."""
    group = diet.group.id
    written = changed(one.place.file)
    weighing, condition = animal.weighed(one.on), animal.condition
    if group not in one.content:
        covers = "it is bound to no version of the diet, so nobody can tell whether this is it"
    elif unchanged(diet.collection, one, group):
        covers = "it was put under the diet that was fed on this day"
    else:
        covers = "the diet fed on this day is not the one it was put under"
    data = next((f.data for f in repository.files if f.file == one.place.file), None) or {}
    return Signature(
        by=shown(one.by, 60),
        role=shown(one.role, 40),
        on=one.on,
        covers=covers,
        weight=""
        if weighing is None
        else f"{format_interval(weighing.mass / 1000, 'kg', 4)} on {words.day(weighing.on)}"
        f"{_before((one.on - weighing.on).days)}",
        condition=""
        if condition is None or condition.on > one.on
        else f"{condition.score.normalize():f} of {condition.of} on {words.day(condition.on)}",
        next_review=one.next_review,
        conditions=tuple(shown(text, 240) for text in data.get("conditions", ())),
        doubts=tuple(_doubts(diet, one, written, files)),
        file=shown(one.place.file, 200),
        written=written,
    )


def _before(days: int) -> str:
    return ", the same day" if not days else f", {days} {'day' if days == 1 else 'days'} before"


def _doubts(
    diet: Diet, one: SignOff, written: Version | None, files: Iterable[FileUsed]
) -> Iterator[str]:
    if not allowed(one, diet.settings.signers):
        yield "dietcheck.yaml did not allow this person to sign in this role on that day"
    if one.next_review is not None and one.next_review < diet.on:
        yield f"the review was due on {words.day(one.next_review)}"
    if written is not None and written.dated > one.on:
        days = (written.dated - one.on).days
        yield f"it was committed {days} {'day' if days == 1 else 'days'} after the day it bears"
    hands = {used.changed.by for used in files if used.changed and used.what == "the diet sheet"}
    sheet = diet.collection.sheet_on(diet.group.id, diet.on)
    if one.by in hands or (sheet is not None and sheet.written_by == one.by):
        yield "the same person wrote the diet sheet"


def risks(report: Report, diet: Diet, animal: Animal) -> Iterator[Risk]:
    """The risks accepted for an animal or its group that have not ended by the day."""
    used = {id(f.accepted.acceptance): f for f in report.findings if f.accepted}
    for sign_off in diet.collection.sign_offs:
        for one in sign_off.accepts:
            named = not one.animals or animal.id in one.animals
            if one.group != diet.group.id or not named:
                continue
            if sign_off.on <= diet.on <= one.until:
                finding = used.get(id(one))
                yield Risk(
                    rule=shown(one.rule, 80),
                    title=shown(report.title(one.rule), 90),
                    food=shown(one.food or "", 60),
                    reason=shown(one.reason, 240),
                    by=shown(sign_off.by, 60),
                    role=shown(sign_off.role, 40),
                    signed=sign_off.on,
                    until=one.until,
                    left=(one.until - diet.on).days,
                    releases=shown(finding.check.message, 300) if finding else "",
                )
