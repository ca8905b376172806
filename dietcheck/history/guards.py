"""What guards the animals besides the rules that come with the tool, and its digest.

The limits of the house, the do-not-feed list, what is kept from single animals, rules that are off
or graded anew, the packs that are asked, what is left out of the check, and who may sign. A change
of these is signed by itself, never along with a diet.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from datetime import date

from dietcheck.collection.collection import Collection
from dietcheck.collection.settings import SignOff
from dietcheck.history.signed import allowed


def guards_digest(collection: Collection) -> str:
    """The digest of everything that guards: `sha256:` and 64 signs. Order plays no part."""
    text = "\n".join(sorted(_guards(collection)))
    return f"sha256:{hashlib.sha256(text.encode()).hexdigest()}"


def _guards(collection: Collection) -> Iterator[str]:
    settings = collection.settings
    for limit in collection.limits:
        bounds = [b and (format(b.value.normalize(), "f"), b.unit, b.basis)
                  for b in (limit.at_least, limit.at_most)]  # fmt: skip
        yield ascii(("limit", limit.taxon, limit.group, limit.food, limit.quantity, bounds,
                     limit.over, limit.stage, limit.severity))  # fmt: skip
    for one in settings.do_not_feed:
        yield ascii(("never", one.name, sorted(one.also_called), one.organism, one.part, one.form,
                     sorted(one.taxa_or_groups), one.severity))  # fmt: skip
    for rule in settings.rules:
        yield ascii(("rule", rule.rule, rule.to))
    for pack in settings.packs:
        yield ascii(("pack", pack))
    for name in settings.leave_out:
        yield ascii(("left out", name.rstrip("/")))
    for signer in settings.signers:
        yield ascii(("signer", signer.name, signer.role, str(signer.start), str(signer.until)))
    for group in collection.groups.values():
        for animal in group.animals:
            for food in animal.never:
                yield ascii(("kept from", group.id, animal.id, food))


def guards_signed(collection: Collection, on: date) -> SignOff | None:
    """The sign-off, given by that day by somebody who might, of the limits as they stand."""
    digest = guards_digest(collection)
    good = [
        s
        for s in collection.sign_offs
        if s.limits == digest and s.on <= on and allowed(s, collection.settings.signers)
    ]
    return max(good, key=lambda s: (s.on, s.place.file), default=None)
