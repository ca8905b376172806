"""Holds each animal against the formulas for its taxon, stage and own body mass."""

from collections.abc import Iterator

from msgspec import Struct

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    Limits,
    Severity,
    Verdict,
    energy_needs,
    exact,
)
from dietcheck_rules.energy_for_maintenance import reports
from dietcheck_rules.energy_for_maintenance.offer import Offered, offered
from dietcheck_rules.energy_for_maintenance.yardsticks import Yardstick, yardstick

# A mass with which to ask whether any formula fits a taxon at all.
_ANY_MASS = exact(1000)


class Case(Struct, frozen=True, eq=False):
    """One animal's offer beside its own yardstick."""

    offer: Offered
    yardstick: Yardstick


def judge_formulas(diet: Diet, limits: Limits) -> Iterator[Check]:
    """One check for each side, grade and kind of yardstick; nothing where no formula fits."""
    cases: dict[tuple[str, str], list[Case]] = {}
    unweighed: dict[str, Animal] = {}
    for offer in offered(diet):
        animal = offer.animal
        mass = diet.mass_of(animal)
        if mass is None:
            if energy_needs(diet.group.taxon, animal.stage, _ANY_MASS):
                unweighed[animal.id] = animal
            continue
        found = yardstick(limits, diet.group.taxon, animal.stage, mass)
        if found is not None:
            key = (found.kind, _standing(offer, found))
            cases.setdefault(key, []).append(Case(offer, found))
    done: set[str] = set()
    for standing in ("far above", "far below", "above", "below", "across", "inside"):
        for (_, of_case), these in cases.items():
            left = [case for case in these if case.offer.animal.id not in done]
            if of_case == standing and left:
                done.update(case.offer.animal.id for case in left)
                yield _report(diet, standing, left)
    if unweighed:
        yield reports.no_mass(diet, list(unweighed.values()))


def _standing(offer: Offered, found: Yardstick) -> str:
    kcal = offer.kcal
    match found.stands(kcal):
        case "inside":
            return "inside"
        case "across":
            return "across"
    above = found.most is not None and kcal.low > found.most
    far = found.far_above if above else found.far_below
    side = {"at_most": far} if above else {"at_least": far}
    is_far = far is not None and kcal.stands(**side) == "past"
    return f"{'far ' if is_far else ''}{'above' if above else 'below'}"


def _report(diet: Diet, standing: str, cases: list[Case]) -> Check:
    cases = sorted(cases, key=lambda case: _how_far(case, standing), reverse=True)
    worst = cases[0]
    animals = tuple(dict.fromkeys(case.offer.animal.id for case in cases))
    verdict = {"across": Verdict.CANNOT_TELL, "inside": Verdict.KEPT}.get(standing, Verdict.BREACH)
    far = standing.startswith("far")
    severity = Severity.LOW
    if far and worst.yardstick.far is not None:
        severity = Severity(worst.yardstick.far.severity)
    check = reports.Said(diet, worst.offer, worst.yardstick, standing, len(animals) - 1)
    return check.check(
        verdict, severity, animals, tuple(sorted({w for c in cases for w in c.offer.occasions}))
    )


def _how_far(case: Case, standing: str) -> float:
    """How many times past the yardstick: only to put the worst animal first."""
    found, kcal = case.yardstick, case.offer.kcal
    if standing.endswith("below"):
        return float((found.least or 0) / kcal.high) if kcal.high else float("inf")
    if kcal.high.is_finite() and found.most:
        return float(kcal.high / found.most)
    return float("inf")
