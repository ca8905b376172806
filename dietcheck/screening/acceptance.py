"""Which findings a signature releases: named risks, for named animals, up to an amount and a date.

An acceptance counts only if its signer was allowed to sign on that day, and a high finding only
if the signer was a vet. It is void once its date has passed, once an animal is offered more of the
food in a day than was accepted, and once the diet, the number of animals or a weight is no longer
what it was given for, as far as the record holds that (see `history.covered`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date

from msgspec import Struct

from dietcheck.collection.collection import Collection
from dietcheck.collection.settings import Acceptance, Signer, SignOff
from dietcheck.history.covered import moved, not_held
from dietcheck.history.signed import allowed
from dietcheck.nutrition.diet import Diet
from dietcheck.quantities import Interval, format_interval
from dietcheck.screening.checks import Check, Severity

VET = "vet"


class Accepted(Struct, frozen=True):
    """The acceptance that releases a finding, and who signed it.

    `not_held`: what the record does not hold, so that a change of it voids nothing.
    """

    acceptance: Acceptance
    by: str
    role: str
    signed: date
    not_held: tuple[str, ...] = ()

    def days_left(self, on: date) -> int:
        """Days until it ends; 0 on its last day."""
        return (self.acceptance.until - on).days


class Acceptances:
    """The acceptances that were signed by a day, those that still count and those that do not."""

    def __init__(
        self,
        sign_offs: Iterable[SignOff],
        signers: Iterable[Signer],
        on: date,
        diets: Mapping[str, Diet],
        collection: Collection | None = None,
    ) -> None:
        self._signers = tuple(signers)
        self._diets = diets
        self._on = on
        self._collection = collection
        self._given = tuple(
            (sign_off, one) for sign_off in sign_offs for one in sign_off.accepts
            if sign_off.on <= on
        )  # fmt: skip

    def covering(self, rule: str, group: str | None, check: Check) -> Accepted | None:
        """The acceptance that names just this finding and still counts, or None."""
        for sign_off, one in self._given:
            if _names(one, rule, group, check) and not any(self._void(sign_off, one, check)):
                held = not_held(sign_off, one)
                return Accepted(one, sign_off.by, sign_off.role, sign_off.on, held)
        return None

    def refused(self, rule: str, group: str | None, check: Check, can: bool) -> str:
        """Why an acceptance that names this finding does not count, a sentence; else empty."""
        naming = [(s, one) for s, one in self._given if _names(one, rule, group, check)]
        if not naming:
            return ""
        sign_off, one = max(naming, key=lambda pair: (pair[1].until, pair[0].on))
        why = "; ".join(self._void(sign_off, one, check)) if can else "nobody can accept this"
        return f"The acceptance of {sign_off.by} of {sign_off.on} does not count: {why}."

    def _void(self, sign_off: SignOff, one: Acceptance, check: Check) -> Iterator[str]:
        """Why it does not release the check, a phrase each; nothing when it does."""
        if one.until < self._on:
            days = (self._on - one.until).days
            yield f"it ended on {one.until}, {days} {'day' if days == 1 else 'days'} ago"
        if not allowed(sign_off, self._signers):
            yield f"may_sign does not name {sign_off.by} as {sign_off.role} on that day"
        elif check.severity is Severity.HIGH and sign_off.role != VET:
            yield "only a vet can accept what is high"
        if self._collection is not None:
            yield from moved(self._collection, sign_off, one, self._on)
        if one.up_to is not None and not self._within(one, one.up_to, check):
            yield f"more of it is offered in a day than {format_interval(one.up_to, 'g')}"

    def _within(self, acceptance: Acceptance, most: Interval, check: Check) -> bool:
        """Whether no animal of the finding is offered more of the food than was accepted."""
        if acceptance.food is None:
            return True
        diet = self._diets[acceptance.group]
        animals = [a for a in diet.animals if not check.animals or a.id in check.animals]
        return all(
            diet.most_in_a_day(animal, acceptance.food).high <= most.low for animal in animals
        )


def _names(acceptance: Acceptance, rule: str, group: str | None, check: Check) -> bool:
    return (
        (acceptance.rule, acceptance.group) == (rule, group)
        and (acceptance.food is None or acceptance.food == check.food)
        and (not acceptance.animals or set(check.animals) <= set(acceptance.animals))
    )


NONE = Acceptances((), (), date.min, {})
