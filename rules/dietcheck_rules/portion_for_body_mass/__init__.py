"""What an animal is offered must suit its size; a tenfold slip of the pen must not get through.

Dry matter and food as fed are set against body mass or metabolic body mass: the mean of the rota
against the published ranges, the fullest day against twice the range and against ceilings that no
plausible diet passes. Those ceilings are common practice; the ranges are what was published.
"""

from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    Limits,
    Rule,
    Severity,
    Verdict,
    files,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.portion_for_body_mass.intake import Intakes
from dietcheck_rules.portion_for_body_mass.verdicts import Judge

RANGES = ("dry-matter-intake", "food-intake")
CEILINGS = ("plausible-dry-matter", "plausible-food")


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="portion-for-body-mass",
        title="The portion suits the body mass",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Every range and ceiling that covers the species, animal by animal."""
    called = diet.group.called
    if not diet.animals or not diet.days:
        what = "no animal lives in this group" if not diet.animals else "there is no rota"
        yield not_applicable("portion", f"{called}: {what}.")
        return
    intakes = Intakes(diet)
    unweighed = [animal for animal in diet.animals if animal.weighed(diet.on) is None]
    said = False
    for stage in dict.fromkeys(animal.stage for animal in diet.animals):
        animals = [a for a in diet.animals if a.stage == stage and a not in unweighed]
        for check in _of_stage(diet, limits, intakes, stage, animals):
            said = True
            yield check
    if unweighed and any(row.group or diet.group.taxon.is_in(row.taxon) for row in limits.rows):
        said = True
        yield _no_mass(unweighed)
    if not said:
        yield not_applicable(
            "portion",
            f"{called}: no published portion range covers this species; feeding by a percentage "
            "of body mass is common practice only.",
        )


def _of_stage(
    diet: Diet, limits: Limits, intakes: Intakes, stage: str | None, animals: list[Animal]
) -> Iterator[Check]:
    if not animals:
        return
    factor = limits.applying(diet.group, "times-the-range")
    judge = Judge(diet, intakes, animals, factor.limit if factor else None)
    for quantity in RANGES:
        for applied in limits.each(diet.group, quantity, stage=stage):
            yield from judge.against_range(applied)
    for quantity in CEILINGS:
        for applied in limits.each(diet.group, quantity, stage=stage):
            yield from judge.against_ceiling(applied)


def _no_mass(animals: list[Animal]) -> Check:
    names = ", ".join(animal.called for animal in animals)
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about="portion without a body mass",
        severity=Severity.MEDIUM,
        message=f"{names}: no weighing, so nobody can tell whether the portion suits the animal.",
        advice="Weigh the animal, or enter an estimate as a range.",
        animals=tuple(animal.id for animal in animals),
        settles="a weighing",
        places=tuple(animal.place for animal in animals),
    )
