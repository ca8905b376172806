"""No feed is fed that was made for another animal, or with a medicine meant for another animal.

The label decides: for which taxa the feed is made, which medicines and coccidiostats are in it,
how much copper, whether urea. What is not known of a feed is said and never passes.
"""

from collections.abc import Iterable

from dietcheck.contract import (
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
from dietcheck_rules.feed_for_its_species.feeds import says_something
from dietcheck_rules.feed_for_its_species.label import label_check
from dietcheck_rules.feed_for_its_species.medicines import medicine_checks
from dietcheck_rules.feed_for_its_species.minerals import copper_checks, urea_checks
from dietcheck_rules.shared.reaching import reaching


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="feed-for-its-species",
        title="Compound feed is made for the animal and free of others' medicines",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """What is wrong or open about each feed; one kept check when nothing is."""
    exposed = reaching(diet, says_something)
    if not exposed:
        yield not_applicable("feeds", f"{diet.group.called}: no compound feed reaches them.")
        return
    said: list[Check] = []
    for exposure in exposed:
        said += label_check(diet, exposure)
        said += medicine_checks(diet, exposure)
        said += copper_checks(diet, exposure, limits)
        said += urea_checks(diet, exposure)
    yield from said
    if not any(check.verdict in (Verdict.BREACH, Verdict.CANNOT_TELL) for check in said):
        count = len({exposure.part for exposure in exposed})
        yield Check(
            verdict=Verdict.KEPT,
            about="feeds",
            severity=Severity.LOW,
            message=f"{diet.group.called}: nothing stands against any of {count} feeds on their "
            "labels.",
        )
