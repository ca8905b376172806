"""Concentrate stays a part of the diet, is not eaten in one great meal, and not by one animal.

The share of dry matter and the amount in one meal are judged for themselves, and again as if one
animal took the shares of others where a group feeds together at too few stations. What the limits
are worth stands in about.md: most of them are common practice.
"""

from collections.abc import Iterable

from dietcheck.contract import Check, Diet, Limits, Rule, files, hookimpl, not_applicable
from dietcheck_rules.concentrate_ceiling.content import judge_contents
from dietcheck_rules.concentrate_ceiling.meals import judge_meals
from dietcheck_rules.concentrate_ceiling.words import CONCENTRATE
from dietcheck_rules.concentrate_ceiling.worst_case import judge_worst_case
from dietcheck_rules.shared.class_shares import judge_shares


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="concentrate-ceiling",
        title="Not too much concentrate, in all or in one meal",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """One check for each limit and verdict; not applicable where no limit stands."""
    said = False
    for judge in (_shares, judge_meals, judge_contents, judge_worst_case):
        for check in judge(diet, limits):
            said = True
            yield check
    if not said:
        yield not_applicable(
            "concentrate",
            f"{diet.group.called}: the bundled rules hold no ceiling on concentrate or starch for "
            "this species; the vet can set one in a limits record.",
        )


def _shares(diet: Diet, limits: Limits) -> Iterable[Check]:
    return judge_shares(diet, limits, (CONCENTRATE,))
