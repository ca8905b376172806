"""Vitamin C for animals that cannot make it, per kg of dry matter and per kg of body mass a day.

For birds that store iron the same vitamin has a ceiling, as it raises the uptake of iron.
"""

from collections.abc import Iterable

from dietcheck.contract import Check, Diet, Limits, Rule, files, hookimpl, not_applicable
from dietcheck_rules.shared.levels import Gauge, Judge

GAUGES = (
    Gauge("vitamin-c", "vitamin_c", "vitamin C"),
    Gauge("vitamin-c-dose", "vitamin_c", "vitamin C a day"),
)


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="vitamin-c-floor",
        title="Vitamin C reaches its floor where the animal cannot make it",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Floors and ceilings; what no food states counts as nothing when the grade is chosen."""
    judge = Judge(diet, silence_is_nothing=True)
    said = list(judge.whole(limits, GAUGES))
    yield from said
    if not said:
        yield not_applicable(
            "vitamin C",
            f"{diet.group.called}: no source that was read says that this species cannot make "
            "vitamin C, or sets a ceiling for it.",
        )
