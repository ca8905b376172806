"""Calcium against phosphorus, and the amount of each, in the whole diet with its supplements.

A ratio can be right while calcium is ten times too high, so ratio and amounts are judged together.
"""

from collections.abc import Iterable

from dietcheck.contract import Check, Diet, Limits, Rule, files, hookimpl, not_applicable
from dietcheck_rules.calcium_to_phosphorus.days import RATIO, wrong_days
from dietcheck_rules.shared.levels import Gauge, Judge

GAUGES = (
    RATIO,
    Gauge("calcium", "calcium", "calcium"),
    Gauge("phosphorus", "phosphorus", "phosphorus"),
)


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="calcium-to-phosphorus",
        title="Calcium and phosphorus are in proportion, and enough of each",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Ratio and amounts over the rota, then single days on which the ratio is the wrong way."""
    judge = Judge(diet)
    said = [*judge.whole(limits, GAUGES), *wrong_days(judge, limits)]
    yield from said
    if not said:
        yield not_applicable(
            "calcium and phosphorus",
            f"{diet.group.called}: limit not yet sourced. The bundled rules hold no figure for "
            "calcium or phosphorus in this species.",
        )
