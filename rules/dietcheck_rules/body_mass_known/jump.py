"""A weight far from the ones before it: a decimal or a unit has slipped, or the animal is ill."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    Interval,
    Limit,
    Limits,
    Measure,
    Severity,
    Verdict,
    Weighing,
    exact,
    format_mass,
)

QUANTITY = "weight-against-last"
BEFORE = 2  # so many earlier weights are looked at: one slip among them makes no second finding


def jumps(diet: Diet, limits: Limits) -> Iterator[Check]:
    """A question for each animal whose latest weight is too many times the ones before it."""
    for animal in diet.animals:
        known = [weighing for weighing in animal.weighings if weighing.on <= diet.on]
        applied = limits.applying(diet.group, QUANTITY, stage=animal.stage)
        if len(known) < 2 or applied is None or applied.limit.at_most is None:
            continue
        latest, earlier = known[-1], known[-1 - BEFORE : -1]
        nearest = min(_apart(latest, one) for one in earlier)
        if nearest > applied.limit.at_most:
            yield _asked(animal, latest, earlier[-1], exact(nearest), applied.limit)


def _apart(one: Weighing, other: Weighing) -> Decimal:
    """How many times the heavier weight is the lighter one, at the least."""
    lighter, heavier = sorted((one.mass, other.mass), key=lambda weight: weight.low)
    return max(Decimal(1), heavier.low / lighter.high)


def _asked(
    animal: Animal, latest: Weighing, last: Weighing, apart: Interval, limit: Limit
) -> Check:
    practice = "" if limit.set_by else " (common practice, no source; the vet sets this)"
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=f"weight far from the last: {animal.id}",
        severity=Severity(limit.severity),
        message=f"{animal.called}: {format_mass(latest.mass)} on {latest.on}, but "
        f"{format_mass(last.mass)} on {last.on}. More than {limit.at_most} times apart"
        f"{practice} looks like a slip of unit or decimal, and every amount and limit per kilogram "
        "stands on it.",
        advice="Weigh again before anything is fed or dosed by this weight, and correct the "
        "figure. If it is true, call the vet.",
        animals=(animal.id,),
        measured=Measure.against(apart, limit),
        limit=limit,
        settles="a second weighing that agrees with one of the two",
        places=(latest.place, last.place),
    )
