"""Prey that is swallowed whole, against the body mass of the animal that swallows it."""

from __future__ import annotations

from collections.abc import Iterator

from dietcheck.contract import (
    Check,
    Diet,
    Figure,
    Limit,
    Limits,
    Measure,
    Offer,
    Severity,
    Verdict,
    format_interval,
    format_mass,
    hold,
)
from dietcheck_rules.shared.wording import standing_words

QUANTITY = "prey-mass"
SWALLOWED = frozenset({"whole prey"})


def swallowed(diet: Diet, limits: Limits) -> Iterator[Check]:
    """Each whole prey that is heavy for an animal of a taxon with a limit, or that has no mass."""
    applied = limits.applying(diet.group, QUANTITY)
    if applied is None:
        return
    for offer in diet.given():
        if offer.line.food.food_class in SWALLOWED:
            yield from _judged(diet, offer, applied.limit)


def _judged(diet: Diet, offer: Offer, limit: Limit) -> Iterator[Check]:
    food = offer.line.food
    eaters = [
        a for a in diet.animals if not offer.line.for_animals or a.id in offer.line.for_animals
    ]
    masses = {animal: mass for animal in eaters if (mass := diet.mass_of(animal)) is not None}
    if food.piece is None:
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about=f"prey size: {food.id}",
            severity=Severity.LOW,
            message=f"{diet.group.called}: nobody writes what one {food.id} weighs, so whether it "
            "is too big to swallow cannot be told.",
            advice="Write the mass of a piece into the food record.",
            food=food.id,
            limit=limit,
            settles="in the food record: piece (such as 16 to 20 g)",
            places=(food.place, offer.line.place),
        )
        return
    figures = [Figure(animal, food.piece / mass * 100) for animal, mass in masses.items()]
    for alike in hold(figures, limit):
        if alike.verdict is Verdict.KEPT:
            continue
        worst = alike.worst
        body = format_mass(masses[worst.animal])
        yield Check(
            verdict=alike.verdict,
            about=f"prey size: {food.id}",
            severity=Severity.LOW,
            message=f"{worst.animal.called}: one {food.id} is {format_interval(worst.value, '%')} "
            f"of its body mass ({format_interval(food.piece, 'g')} for {body}); the limit is "
            f"{limit.at_most} % ({standing_words(limit)}).",
            advice="Offer smaller prey, and ask the vet.",
            food=food.id,
            animals=alike.animals,
            measured=Measure.against(worst.value, limit),
            limit=limit,
            settles="" if alike.verdict is Verdict.BREACH else "the mass of a piece as one figure",
            places=(offer.line.place, food.place),
        )
