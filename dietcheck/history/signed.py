"""Whether what a signature was put under is still what stands in the records."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from dietcheck.collection.collection import Collection
from dietcheck.collection.settings import Signer, SignOff
from dietcheck.history.digest import content_digest


def unchanged(collection: Collection, sign_off: SignOff, group: str) -> bool:
    """Whether the group's diet is the one that was signed.

    The present records are read as at the day of signing, so that time alone changes nothing. A
    sign-off that holds no digest of the group is bound to nothing and counts as unchanged.
    """
    signed = sign_off.content.get(group)
    if signed is None or group not in collection.groups:
        return True
    return content_digest(collection, group, sign_off.on) == signed


def last_signed(collection: Collection, group: str, on: date) -> SignOff | None:
    """The last sign-off of a group by that day whose signer was allowed to sign; None: none."""
    signers = collection.settings.signers
    good = [
        s for s in collection.sign_offs
        if group in s.groups and s.on <= on and allowed(s, signers)
    ]  # fmt: skip
    return max(
        good, key=lambda s: (s.on, _covers(collection, s, group), s.place.file), default=None
    )


def _covers(collection: Collection, sign_off: SignOff, group: str) -> bool:
    """Of two sign-offs of one day the one that holds the present diet is the later one."""
    return group in sign_off.content and unchanged(collection, sign_off, group)


def allowed(sign_off: SignOff, signers: Iterable[Signer]) -> bool:
    """Whether who signed was allowed to, in that role, on the day of the signature."""
    return any(
        (signer.name, signer.role) == (sign_off.by, sign_off.role)
        and signer.start <= sign_off.on
        and (signer.until is None or sign_off.on <= signer.until)
        for signer in signers
    )
