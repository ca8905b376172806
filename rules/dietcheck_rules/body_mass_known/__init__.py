"""Every animal has a body mass that still counts; per-kilogram rules and amounts stand on it.

How old a weighing may be is the collection's own decision (`weigh_every`, the most specific name
wins). Where it names no such taxon the rule's defaults apply, which have no source.
"""

from collections.abc import Iterable, Iterator
from datetime import date

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    Limit,
    Limits,
    Measure,
    Rule,
    Severity,
    Verdict,
    exact,
    files,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.body_mass_known.jump import jumps

QUANTITY = "weighing-interval"
TREATED = "weighing-interval-under-treatment"


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="body-mass-known",
        title="Every body mass is known and current",
        folder=files(__name__),
        has_limits=True,
        always_on=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Animals never weighed, weighed long ago or on a day to come, or far from the last weight."""
    if not diet.animals:
        yield not_applicable("body mass", f"{diet.group.called}: no animal lives in this group.")
        return
    unweighed = [animal for animal in diet.animals if animal.weighed(diet.on) is None]
    if unweighed:
        yield _missing(unweighed)
    yield from _old(diet, limits, [a for a in diet.animals if a not in unweighed])
    yield from jumps(diet, limits)
    yield from _to_come(diet)


def _missing(animals: list[Animal]) -> Check:
    names = ", ".join(animal.called for animal in animals)
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about="no body mass",
        severity=Severity.MEDIUM,
        message=f"{names}: no weighing, so no amount or limit per kilogram can be worked out.",
        advice="Weigh the animal. Where that cannot be done, enter an estimate as a range "
        "(mass: 14 to 18 kg) and say under scale how it was estimated.",
        animals=tuple(animal.id for animal in animals),
        settles="a weighing, or an estimate as a range",
        places=tuple(animal.place for animal in animals),
    )


def _old(diet: Diet, limits: Limits, animals: list[Animal]) -> Iterator[Check]:
    """One check for the animals whose weight something hangs on, one for the others."""
    by_need: dict[str, list[tuple[Animal, int, str, Limit | None]]] = {}
    current = 0
    for animal in animals:
        found = _overdue(diet, limits, animal)
        if found is None:
            current += 1
        else:
            by_need.setdefault(_need(diet, animal), []).append((animal, *found))
    for need, stale in by_need.items():
        yield _stale(diet, need, sorted(stale, key=lambda one: -one[1]))
    if current and not by_need:
        yield Check(
            verdict=Verdict.KEPT,
            about="body mass",
            severity=Severity.LOW,
            message=f"{diet.group.called}: {current} of {len(diet.animals)} have a current weight.",
        )


def _overdue(diet: Diet, limits: Limits, animal: Animal) -> tuple[int, str, Limit | None] | None:
    """The age of the last weighing in days, the interval in words and its limit, when overdue."""
    weighing = animal.weighed(diet.on)
    assert weighing is not None
    age = (diet.on - weighing.on).days
    own = diet.settings.weigh_within(diet.group.taxon)
    if own is not None:
        return (age, f"every {own}", None) if own.after(weighing.on) < diet.on else None
    treated = _on_plan(animal, diet.on, "medical")
    applied = limits.applying(diet.group, TREATED if treated else QUANTITY, stage=animal.stage)
    if applied is None or applied.limit.at_most is None or age <= applied.limit.at_most:
        return None
    limit = applied.limit
    practice = "" if limit.set_by else " (common practice, no source; the vet sets this)"
    return age, f"every {limit.at_most} days{practice}", limit


def _need(diet: Diet, animal: Animal) -> str:
    """What hangs on this animal's weight, in words; nothing when it is only for the book."""
    if animal.plan is not None and _on_plan(animal, diet.on, animal.plan.kind):
        return f"a {animal.plan.kind} plan is running"
    for offer in diet.offers():
        line = offer.line
        if line.amount.per == "kg body mass" and (
            not line.for_animals or animal.id in line.for_animals
        ):
            return "amounts on the sheet are written per kg body mass"
    return ""


def _on_plan(animal: Animal, on: date, kind: str) -> bool:
    plan = animal.plan
    return (
        plan is not None
        and plan.kind == kind
        and plan.start <= on
        and (plan.until is None or on <= plan.until)
    )


def _stale(diet: Diet, need: str, stale: list[tuple[Animal, int, str, Limit | None]]) -> Check:
    worst, age, every, limit = stale[0]
    weighing = worst.weighed(diet.on)
    assert weighing is not None
    why = f", and {need}" if need else ""
    return Check(
        verdict=Verdict.BREACH,
        about="weight out of date" + (f": {need}" if need else ""),
        severity=Severity.MEDIUM if need else Severity.LOW,
        message=f"{worst.called}: last weighed {age} days ago, on {weighing.on}{why}. "
        f"To be weighed {every}.",
        advice="Weigh now"
        + (", and check the amounts against the new weight." if need else " and enter it."),
        animals=tuple(animal.id for animal, *_ in stale),
        measured=Measure(exact(age), "days"),
        limit=limit,
        working=tuple(
            f"{animal.id}: {diet.on} less {days} days; to be weighed {interval}"
            for animal, days, interval, _ in stale
        ),
        places=tuple(w.place for animal, *_ in stale if (w := animal.weighed(diet.on)) is not None),
    )


def _to_come(diet: Diet) -> Iterator[Check]:
    """Weighings dated after the judged day: a slip of the pen, and not counted until then."""
    late = [(a, w) for a in diet.animals for w in a.weighings if w.on > diet.on]
    if late:
        animal, weighing = late[0]
        yield Check(
            verdict=Verdict.BREACH,
            about="weighing dated in the future",
            severity=Severity.LOW,
            message=f"{animal.called}: a weighing is dated {weighing.on}, after the day that is "
            f"judged ({diet.on}). It does not count yet.",
            advice="Correct the date.",
            animals=tuple(dict.fromkeys(animal.id for animal, _ in late)),
            places=tuple(weighing.place for _, weighing in late),
        )
