"""Which findings a signature releases: named risks, for named animals, up to an amount and a date.

An acceptance counts only if its signer was allowed to sign on that day, and a high finding only
if the signer was a vet. It is void once its date has passed, and for a food once an animal is
offered more of it in a day than was accepted. Without such an amount it is bound to the diet that
was signed, where the sign-off holds its digest: once that diet is changed it is void.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from dietcheck.collection.settings import Acceptance, Signer, SignOff
from dietcheck.history.signed import allowed
from dietcheck.nutrition.diet import Diet
from dietcheck.screening.checks import Check, Severity

VET = "vet"


@dataclass(frozen=True, slots=True)
class Accepted:
    """The acceptance that releases a finding, and who signed it."""

    acceptance: Acceptance
    by: str
    role: str
    signed: date


class Acceptances:
    """The acceptances in force on a day."""

    def __init__(
        self,
        sign_offs: Iterable[SignOff],
        signers: Iterable[Signer],
        on: date,
        diets: Mapping[str, Diet],
        unchanged: Callable[[SignOff, str], bool] = lambda *_: True,
    ) -> None:
        may_sign = tuple(signers)
        self._diets = diets
        self._live = tuple(
            Accepted(acceptance, sign_off.by, sign_off.role, sign_off.on)
            for sign_off in sign_offs
            for acceptance in sign_off.accepts
            if sign_off.on <= on <= acceptance.until
            and allowed(sign_off, may_sign)
            and (acceptance.up_to is not None or unchanged(sign_off, acceptance.group))
        )

    def covering(self, rule: str, group: str | None, check: Check) -> Accepted | None:
        """The acceptance that names just this finding, or None."""
        return next((a for a in self._live if self._covers(a, rule, group, check)), None)

    def _covers(self, accepted: Accepted, rule: str, group: str | None, check: Check) -> bool:
        acceptance = accepted.acceptance
        return (
            (acceptance.rule, acceptance.group) == (rule, group)
            and (acceptance.food is None or acceptance.food == check.food)
            and (not acceptance.animals or set(check.animals) <= set(acceptance.animals))
            and (check.severity is not Severity.HIGH or accepted.role == VET)
            and self._within(acceptance, check)
        )

    def _within(self, acceptance: Acceptance, check: Check) -> bool:
        """Whether no animal of the finding is offered more of the food than was accepted."""
        if acceptance.up_to is None or acceptance.food is None:
            return True
        diet = self._diets[acceptance.group]
        animals = [a for a in diet.animals if not check.animals or a.id in check.animals]
        return all(
            diet.most_in_a_day(animal, acceptance.food).high <= acceptance.up_to.low
            for animal in animals
        )


NONE = Acceptances((), (), date.min, {})
