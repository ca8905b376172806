"""How long a diet has been fed without the signature that it needs, as records and git tell."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from itertools import islice

from msgspec import Struct

from dietcheck.contract import (
    Collection,
    Diet,
    DietSheet,
    Rota,
    Severity,
    SignOff,
    fed_content,
    signed_version,
)
from dietcheck_rules.sign_off.git_says import files_of

VERSIONS = 20  # that are looked through for the change
DAY = timedelta(days=1)

Standing = Sequence[DietSheet | Rota]


class Waiting(Struct, frozen=True):
    """How grave it is that the diet waits for its signature, and why, in words."""

    severity: Severity
    words: str


def unsigned(diet: Diet, standing: Standing) -> Waiting:
    """A diet that nobody ever signed: it waits since its sheet and rota came into force.

    A collection without any signature has only begun to use them, so that there it stays medium.
    """
    since = max((one.start for one in standing), default=None)
    waiting = _waiting(diet, since)
    if not diet.collection.signed:
        return Waiting(Severity.MEDIUM, waiting.words)
    return waiting


def changed(diet: Diet, last: SignOff, standing: Standing) -> Waiting:
    """A diet that was changed after its last signature."""
    signed = _signed(diet, last)
    if signed is None:
        begun = [one.start for one in standing if last.on < one.start <= diet.on]
        return _waiting(diet, min(begun, default=None))
    since = _fed_since(diet, signed)
    if since is None:
        return Waiting(Severity.MEDIUM, "before any of it is fed")
    return _waiting(diet, max(since, last.on))


def _waiting(diet: Diet, since: date | None) -> Waiting:
    if since is None:
        return Waiting(Severity.MEDIUM, "since when, nothing here tells")
    within = diet.settings.sign_within
    days = (diet.on - since).days
    if within.after(since) >= diet.on:
        return Waiting(Severity.MEDIUM, "")
    return Waiting(
        Severity.HIGH,
        f"fed without a signature for {days} days; the most is {within} (sign_within)",
    )


def _signed(diet: Diet, last: SignOff) -> Collection | None:
    """The records as they were signed: as they lay beside the signature, or at a change."""
    group, log = diet.group.id, diet.earlier.log
    digest = last.content.get(group)
    if digest is None or log is None:
        return None
    for files in ([last.place.file], files_of(diet)):
        found = signed_version(log, files, group, last.on, digest)
        if found is not None:
            return found
    return None


def _fed_since(diet: Diet, signed: Collection) -> date | None:
    """The day since which something is fed that is not what was signed; None if nothing is yet.

    What is written ahead, and begins later, is not fed before it begins. What is not committed is
    of today.
    """
    log = diet.earlier.log
    assert log is not None  # it told what was signed
    if not _differs(diet, diet.collection, signed, diet.on):
        return None
    since = diet.on
    files = set(files_of(diet))
    changes = (commit for commit in log.main_line if commit.files & files)
    for commit in islice(changes, VERSIONS):
        records = log.at(commit.id)
        for day in _turns(diet, records, min(commit.on, since), since):
            if not _differs(diet, records, signed, day):
                return since
            since = day
    return since


def _differs(diet: Diet, records: Collection | None, signed: Collection, on: date) -> bool:
    group = diet.group.id
    if records is None or group not in records.groups:
        return True
    return fed_content(records, group, on) != fed_content(signed, group, on)


def _turns(diet: Diet, records: Collection | None, first: date, last: date) -> Iterator[date]:
    """The days from first to last on which another sheet or rota takes over, the latest first."""
    found = {first}
    for name in (diet.group.id, *diet.collection.givers.get(diet.group.id, ())):
        if records is not None:
            dated: list[DietSheet | Rota] = [*records.sheets.get(name, ())]
            dated += records.rotas.get(name, ())
            for one in dated:
                found.add(one.start)
                if one.until is not None:
                    found.add(one.until + DAY)
    yield from sorted((day for day in found if first <= day <= last), reverse=True)
