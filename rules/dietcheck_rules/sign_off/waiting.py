"""How long a diet has been fed without the signature that it needs, as records and git tell."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import islice

from msgspec import Struct

from dietcheck.contract import Collection, Diet, DietSheet, Rota, Severity, SignOff, content_digest
from dietcheck_rules.sign_off.git_says import files_of

VERSIONS = 20  # that are looked through for the change

Standing = Sequence[DietSheet | Rota]


class Waiting(Struct, frozen=True):
    """Since when a diet waits for its signature; `since` is None where nothing tells."""

    severity: Severity
    words: str


def unsigned(diet: Diet, standing: Standing) -> Waiting:
    """A diet that nobody ever signed: it waits since its sheet and rota came into force.

    A collection without any signature has only begun to use them, so that there it stays medium.
    """
    since = max((one.start for one in standing), default=None)
    waiting = _waiting(diet, since)
    if not diet.collection.sign_offs:
        return Waiting(Severity.MEDIUM, waiting.words)
    return waiting


def changed(diet: Diet, last: SignOff, standing: Standing) -> Waiting:
    """A diet that was changed after its last signature."""
    return _waiting(diet, _changed_on(diet, last, standing))


def _waiting(diet: Diet, since: date | None) -> Waiting:
    if since is None:
        return Waiting(Severity.MEDIUM, "since when, nothing here tells")
    within = diet.settings.sign_within
    days = (diet.on - since).days
    if within.after(since) >= diet.on:
        return Waiting(Severity.MEDIUM, "")
    return Waiting(
        Severity.HIGH, f"fed without a signature for {days} days, at most {within} (sign_within)"
    )


def _changed_on(diet: Diet, last: SignOff, standing: Standing) -> date | None:
    """The day of the change: today if it is not committed yet; None where nothing tells."""
    digest, log = last.content.get(diet.group.id), diet.earlier.log

    def is_signed(collection: Collection | None) -> bool:
        group = diet.group.id
        return (
            collection is not None
            and group in collection.groups
            and content_digest(collection, group, last.on) == digest
        )

    if digest is not None and log is not None:
        for commit in islice(log.touching(files_of(diet)), VERSIONS):
            if is_signed(log.at(commit.id)):
                return diet.on
            if is_signed(log.at(f"{commit.id}^")):
                return min(commit.on, diet.on)
    return min((one.start for one in standing if last.on < one.start <= diet.on), default=None)
