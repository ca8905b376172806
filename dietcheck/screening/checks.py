"""What a rule says: a check, with its verdict, its figures and where they come from."""

from __future__ import annotations

from datetime import date
from enum import StrEnum

from msgspec import Struct

from dietcheck.collection.places import Pointer
from dietcheck.quantities import Interval
from dietcheck.screening.limits import Limit, SourceRef


class Verdict(StrEnum):
    """How a check came out. Only `KEPT` and `NOT_APPLICABLE` let a diet through in silence."""

    BREACH = "breach"
    CANNOT_TELL = "cannot-tell"
    KEPT = "kept"
    NOT_APPLICABLE = "not-applicable"


class Severity(StrEnum):
    """How grave a finding is.

    high: do not feed until resolved. medium: a vet or the nutrition lead decides. low: the keeper
    looks.
    """

    HIGH = "high"
    MEDIUM = "medium"
    LOW = "low"

    @property
    def rank(self) -> int:
        """0 for the gravest."""
        return ("high", "medium", "low").index(self.value)

    def one_lower(self) -> Severity:
        """The next milder one; low stays low."""
        return {Severity.HIGH: Severity.MEDIUM}.get(self, Severity.LOW)


class Measure(Struct, frozen=True):
    """A measured figure with its unit and what it is reckoned on, in the words of `Bound`."""

    value: Interval
    unit: str
    basis: str = ""

    @classmethod
    def against(cls, value: Interval, limit: Limit) -> Measure:
        """A figure measured in the limit's own unit and on its basis."""
        return cls(value, limit.unit, limit.basis)


class When(Struct, frozen=True, order=True):
    """One occasion in a check: the date, the rota day number and, where it matters, the feed."""

    on: date
    number: int
    slot: str = ""
    meal: str = ""


class Check(Struct, frozen=True, kw_only=True):
    """One thing tested for one group.

    `about` names what was tested, stably and without figures: checks of one rule and group with
    the same `about` and `food` are one cause and become one finding. `message` puts the animal
    first, then the number; `advice` says what to do now. `working` is the arithmetic, a step a
    line. `settles` names the input that would turn a cannot-tell into a verdict. `places` are the
    lines to look at, the most telling first. What is `never_accepted` no signature releases and no
    setting grades anew. `group` puts a check of the whole collection to the one group that it is
    about, so that it stands with that group and its vet can accept it.
    """

    verdict: Verdict
    about: str
    message: str
    severity: Severity = Severity.MEDIUM
    advice: str = ""
    animals: tuple[str, ...] = ()
    occasions: tuple[When, ...] = ()
    food: str | None = None
    measured: Measure | None = None
    limit: Limit | None = None
    others: tuple[Limit, ...] = ()  # limits of other sources, shown beside the one applied
    working: tuple[str, ...] = ()
    settles: str = ""
    weak: tuple[str, ...] = ()
    places: tuple[Pointer, ...] = ()
    sources: tuple[SourceRef, ...] = ()
    never_accepted: bool = False
    group: str | None = None


def not_applicable(about: str, why: str) -> Check:
    """A check that says a rule looked and has nothing to judge, and why."""
    return Check(verdict=Verdict.NOT_APPLICABLE, about=about, message=why, severity=Severity.LOW)
