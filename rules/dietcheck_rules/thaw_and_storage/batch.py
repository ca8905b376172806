"""One frozen food of one group: what its record says of thawing, time and age."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from dietcheck.contract import (
    Check,
    Diet,
    Food,
    Limit,
    Limits,
    Measure,
    Offer,
    Severity,
    Verdict,
    exact,
)
from dietcheck_rules.shared.references import refs
from dietcheck_rules.shared.wording import standing_words

HELD, STORED = "thawed-hold-time", "storage-age"
COLD = frozenset({"chilled", "on ice"})
FISH = frozenset({"fish", "shellfish"})
THAW_COLD = "thawed in the chiller or on ice, never at room temperature (CrisseySlifka2000)"


class Fed(Struct, frozen=True):
    """A frozen food and the lines of one group that bring it."""

    diet: Diet
    food: Food
    offers: tuple[Offer, ...]

    def said(self, field: str) -> str:
        """What the food's record says, or nothing."""
        told = self.food.record.get(field)
        return "" if told is None else str(told)

    @property
    def called(self) -> str:
        """The group and the food, for the start of a message."""
        return f'{self.diet.group.called}: "{self.food.id}"'

    def day(self, field: str) -> date | None:
        """A date of the record; the reader has seen that it is one."""
        told = self.said(field)
        return date.fromisoformat(told) if told else None

    def check(
        self,
        verdict: Verdict,
        about: str,
        message: str,
        field: str,
        advice: str,
        settles: str = "",
        limit: Limit | None = None,
        measured: int | None = None,
        sources: tuple[str, ...] = (),
    ) -> Check:
        """A finding on this food; its field first, then the lines."""
        return Check(
            verdict=verdict,
            about=about,
            severity=Severity.LOW,
            message=f"{self.called} {message}",
            advice=advice,
            settles=settles,
            food=self.food.id,
            sources=refs(sources),
            limit=limit,
            measured=Measure.against(exact(measured), limit)
            if limit is not None and measured is not None
            else None,
            places=(
                self.food.place.at(field) if field in self.food.record else self.food.place,
                *(offer.line.place for offer in self.offers),
            ),
        )

    def kept(self) -> Check:
        """Nothing is wrong with what is written."""
        return Check(
            verdict=Verdict.KEPT,
            about="frozen food",
            severity=Severity.LOW,
            message=f"{self.called} is thawed {self.said('thawed')} and fed in time, as written.",
            food=self.food.id,
        )


def thawing(fed: Fed) -> Check | None:
    """Warm thawing, or nothing written of it."""
    how = fed.said("thawed")
    if how in COLD:
        return None
    known = how not in {"", "unknown"}
    return fed.check(
        Verdict.BREACH if known else Verdict.CANNOT_TELL,
        "thawing",
        f"is thawed {how}; it should be {THAW_COLD}."
        if known
        else f"is fed thawed, and nobody writes how; it should be {THAW_COLD}.",
        "thawed",
        "Throw away what lay out, and thaw the next lot in the chiller from the day before."
        if known
        else "Write how it is thawed.",
        "" if known else "in the food record: thawed (chilled, on ice, …)",
        sources=("CrisseySlifka2000",),
    )


def used(fed: Fed, limits: Limits) -> Check | None:
    """Fed later after thawing than a limit allows, or nothing written of it."""
    applied = limits.applying(fed.diet.group, HELD)
    assert applied is not None  # a default for every animal
    assert applied.limit.at_most is not None
    limit, most, told = applied.limit, applied.limit.at_most, fed.said("fed_within_hours")
    bound = f"{most} hours ({standing_words(limit)})"
    if not told:
        return fed.check(
            Verdict.CANNOT_TELL,
            "time after thawing",
            f"is fed thawed, and nobody writes within how many hours; the limit is {bound}.",
            "fed_within_hours",
            "Write within how many hours it is fed.",
            "in the food record: fed_within_hours",
            limit,
        )
    if int(told) <= most:
        return None
    return fed.check(
        Verdict.BREACH,
        "time after thawing",
        f"is fed up to {told} hours after thawing; the limit is {bound}.",
        "fed_within_hours",
        "Thaw what one day needs, and throw away what is left.",
        limit=limit,
        measured=int(told),
    )


def last_day(fed: Fed) -> Check | None:
    """Past the use-by date of the batch."""
    until = fed.day("use_by")
    if until is None or fed.diet.on <= until:
        return None
    return fed.check(
        Verdict.BREACH,
        "use-by date",
        f"was to be used by {until}, {(fed.diet.on - until).days} days ago.",
        "use_by",
        "Do not feed this batch. Enter the new batch, or correct the date.",
    )


def age(fed: Fed, limits: Limits) -> Check | None:
    """Fish that lay in the freezer too long, or nobody writes since when."""
    if fed.food.food_class not in FISH:
        return None
    applied = limits.applying(fed.diet.group, STORED)
    assert applied is not None  # a default for every animal
    assert applied.limit.at_most is not None
    limit, most, since = applied.limit, applied.limit.at_most, fed.day("frozen_on")
    bound = f"{most} days ({standing_words(limit)})"
    if since is None:
        return fed.check(
            Verdict.CANNOT_TELL,
            "storage age",
            f"is frozen fish, and nobody writes since when; the limit is {bound}.",
            "frozen_on",
            "Write the day on which the batch was frozen; the box or the supplier tells.",
            "in the food record: frozen_on",
            limit,
        )
    days = (fed.diet.on - since).days
    if days <= most:
        return None
    return fed.check(
        Verdict.BREACH,
        "storage age",
        f"was frozen on {since}, {days} days ago; the limit is {bound}. Fish loses vitamin E in "
        "the freezer.",
        "frozen_on",
        "Use a newer batch, and ask the vet about vitamin E while this one is fed.",
        limit=limit,
        measured=days,
    )
