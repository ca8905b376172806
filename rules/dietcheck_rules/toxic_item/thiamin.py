"""Fish that destroys thiamin: a note where no thiamin is given on the same day.

How much thiamin and vitamin E fish calls for is judged elsewhere, by amounts.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from msgspec.structs import replace

from dietcheck.contract import Check, Diet, Food, Severity, Verdict
from dietcheck_rules.toxic_item.assess import Risk
from dietcheck_rules.toxic_item.exposure import Exposure
from dietcheck_rules.toxic_item.reports import report

CARRIERS = frozenset({"supplement", "compound feed"})


def thiamin_checks(diet: Diet, risk: Risk, exposure: Exposure) -> Iterator[Check]:
    """A note for fish on days without thiamin; kept where each day has some."""
    if not exposure.own:
        return
    given = _days_with_thiamin(diet)
    bare = tuple(when for when in exposure.occasions() if when.on not in given)
    if bare:
        yield replace(
            report(diet, risk, exposure),
            severity=Severity.LOW,
            occasions=bare,
            about=f"{risk.item.name} without thiamin",
            message=f'{diet.group.called}: "{exposure.part.id}" destroys thiamin, and on '
            f"{len({when.on for when in bare})} of the judged days no thiamin is given with it.",
            advice="Give a thiamin supplement on each day with this fish; the vet sets how much.",
        )
        return
    yield Check(
        verdict=Verdict.KEPT,
        about=f"{risk.item.name} without thiamin",
        food=exposure.part.id,
        severity=Severity.LOW,
        message=f'{diet.group.called}: "{exposure.part.id}" is fed only on days with thiamin.',
    )


def _days_with_thiamin(diet: Diet) -> frozenset[date]:
    return frozenset(
        occasion.on
        for offer in diet.offers()
        if any(_carries(diet, part) for part, _ in offer.line.food.all_parts())
        for occasion in offer.occasions
    )


def _carries(diet: Diet, food: Food) -> bool:
    return food.food_class in CARRIERS and diet.profiles[food].per_100g("thiamin").low > 0
