"""Grazers, browsers, hindgut fermenters and tortoises get enough hay, grass and browse.

No source that was read prints a floor for the share of roughage that holds for a taxon as a whole,
so every floor here is common practice and at most medium: see about.md.
"""

from collections.abc import Iterable

from dietcheck.contract import Check, Diet, Limits, Rule, files, hookimpl, not_applicable
from dietcheck_rules.shared.class_shares import Share, judge_shares

ROUGHAGE = ("hay", "grass", "browse")
SHARES = (
    Share("roughage-share", "hay, grass and browse make", ROUGHAGE),
    Share(
        "roughage-and-greens-share",
        "hay, grass, browse and leafy greens make",
        (*ROUGHAGE, "leafy green", "herb", "sprout"),
    ),
)


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="roughage-floor",
        title="Enough hay, grass and browse",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """One check for each floor and verdict; not applicable where no floor stands."""
    said = False
    for check in judge_shares(diet, limits, SHARES):
        said = True
        yield check
    if not said:
        yield not_applicable(
            "roughage",
            f"{diet.group.called}: the bundled rules hold no floor for roughage for this species; "
            "the vet can set one in a limits record.",
        )
