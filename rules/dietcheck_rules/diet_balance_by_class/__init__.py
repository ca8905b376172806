"""The balance of the diet by food class, and how many feeds a day it comes in.

Published shares of pellet, greens and browse and numbers of feeds, by taxon. Fruit and
treats have rules of their own, and so have roughage and the ceilings on concentrate.
"""

from collections.abc import Iterable

from dietcheck.contract import (
    CLASS_GROUPS,
    Check,
    Diet,
    Limits,
    Rule,
    files,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.diet_balance_by_class.feeds import judge_feeds
from dietcheck_rules.shared.class_shares import Share, judge_shares

GREENS = tuple(sorted(CLASS_GROUPS["greens"]))
SHARES = (
    Share("pellet-share", "pellet makes", ("compound feed",)),
    Share("produce-share", "fruit and vegetables make", tuple(sorted(CLASS_GROUPS["produce"]))),
    Share(
        "vegetable-share",
        "vegetables and greens make",
        (*GREENS, *sorted(CLASS_GROUPS["vegetables"])),
    ),
    Share("greens-share", "leafy greens make", GREENS),
    Share("browse-share", "browse makes", ("browse",)),
    Share("greens-and-browse-share", "leafy greens and browse make", (*GREENS, "browse")),
)


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="diet-balance-by-class",
        title="The parts of the diet stand in balance",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """One check for each limit and verdict; not applicable where no limit stands."""
    said = False
    for judge in (_shares, judge_feeds):
        for check in judge(diet, limits):
            said = True
            yield check
    if not said:
        yield not_applicable(
            "balance",
            f"{diet.group.called}: limit not yet sourced. The bundled rules hold no share of "
            "pellet, greens or browse and no number of feeds for this species; the vet "
            "can set one in a limits record.",
        )


def _shares(diet: Diet, limits: Limits) -> Iterable[Check]:
    return judge_shares(diet, limits, SHARES)
