"""Finds in git the version of a group's diet that was signed, where it is no longer what stands."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path

from msgspec import Struct

from dietcheck.collection.collection import Collection
from dietcheck.collection.settings import SignOff
from dietcheck.errors import JobError
from dietcheck.history.lookback import Lookback
from dietcheck.history.signed import allowed, unchanged
from dietcheck.history.versions import Version, last_change, versions_of
from dietcheck.reading import Revision

MOST = 60
"""Versions that are looked through, the latest."""


class Signed(Struct, frozen=True, eq=False):
    """The last signature under a group's diet, and the records as they were signed.

    `records` is None where the diet still is what was signed, or where that version is not found:
    `is_same` tells which. `changed` is the commit that last changed the sheet.
    """

    sign_off: SignOff
    is_same: bool
    records: Collection | None = None
    changed: Version | None = None


def last_signed(collection: Collection, group: str, on: date) -> SignOff | None:
    """The latest signature under a group's diet by somebody who might sign."""
    named = [
        one
        for one in collection.sign_offs
        if group in one.groups and one.on <= on and allowed(one, collection.settings.signers)
    ]
    return max(named, key=lambda one: (one.on, one.place.file), default=None)


def signed_versions(root: Path, collection: Collection, on: date) -> Mapping[str, Signed]:
    """For every group that somebody has signed, what was signed."""
    found: dict[str, Signed] = {}
    wanted: dict[str, SignOff] = {}
    for group in collection.groups:
        signed = last_signed(collection, group, on)
        if signed is not None:
            same = unchanged(collection, signed, group)
            found[group] = Signed(signed, same)
            if not same:
                wanted[group] = signed
    if not wanted:
        return found
    try:
        versions = versions_of(root).all
    except JobError:
        return found
    for version in versions[: -MOST - 1 : -1]:
        past = Lookback(Revision(root, version.commit)).collection
        if past is None:
            continue
        for group, signed in list(wanted.items()):
            if group in past.groups and unchanged(past, signed, group):
                changed = _changed(root, versions[-1], collection, group, on)
                found[group] = Signed(signed, False, past, changed)
                del wanted[group]
        if not wanted:
            break
    return found


def _changed(
    root: Path, newest: Version, collection: Collection, group: str, on: date
) -> Version | None:
    sheet = collection.sheet_on(group, on)
    return last_change(root, newest.commit, sheet.place.file) if sheet else None
