"""Meat, prey and kitchen food come from a source that is known and fit to feed.

Drugs for putting animals down, lead, poison and influenza reach animals in meat that looks like
any other. Only what is written of its origin can show it.
"""

from collections.abc import Iterable

from dietcheck.contract import (
    Check,
    Diet,
    Food,
    Rule,
    Severity,
    Verdict,
    files,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.feed_origin.carcass import carcass_checks, hinted, is_fallen
from dietcheck_rules.feed_origin.poultry import is_bird_meat, poultry_checks
from dietcheck_rules.feed_origin.prey import (
    is_animal_protein,
    is_live_prey,
    live_checks,
    protein_checks,
)
from dietcheck_rules.feed_origin.tables import MEATS
from dietcheck_rules.shared.reaching import reaching
from dietcheck_rules.toxic_item.exposure import Exposure


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="feed-origin",
        title="Meat and prey come from a known and sound source",
        folder=files(__name__),
    )


@hookimpl
def judge_group(diet: Diet) -> Iterable[Check]:
    """What is wrong or open about the origin of each food; one kept check when nothing is."""
    exposed = reaching(diet, _concerned)
    if not exposed:
        yield not_applicable("origin", f"{diet.group.called}: no meat or prey reaches them.")
        return
    said = [check for exposure in exposed for check in _checks(diet, exposure)]
    yield from said
    if not said:
        count = len({exposure.part for exposure in exposed})
        yield Check(
            verdict=Verdict.KEPT,
            about="origin",
            severity=Severity.LOW,
            message=f"{diet.group.called}: nothing stands against the origin of any of {count} "
            "foods of animals.",
        )


def _concerned(food: Food) -> bool:
    return (
        food.food_class in MEATS
        or is_live_prey(food)
        or is_bird_meat(food)
        or is_animal_protein(food)
        or bool(hinted(food))
        or bool(is_fallen(food))
    )


def _checks(diet: Diet, exposure: Exposure) -> Iterable[Check]:
    food = exposure.part
    yield from carcass_checks(diet, exposure)
    if is_bird_meat(food):
        yield from poultry_checks(diet, exposure)
    if is_live_prey(food):
        yield from live_checks(diet, exposure)
    if is_animal_protein(food):
        yield from protein_checks(diet, exposure)
