"""The rota over time: what comes too often, too few kinds, and fast days in rule and out of rule.

Days are taken as they are lived, by date: across the join of the last rota day to the first, and
from the end of the rota before into this one.
"""

from collections.abc import Iterable

from dietcheck.contract import Check, Diet, Limits, Rule, files, hookimpl, not_applicable
from dietcheck_rules.rota_balance import fasts, variety
from dietcheck_rules.shared.odd_limits import without_odd


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="rota-balance",
        title="The rota is varied, and fast days are in rule",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Fasts of each animal, then variety; not applicable without animals or a rota."""
    called = diet.group.called
    if not diet.animals or not diet.days:
        yield not_applicable("balance", f"{called}: nobody lives here, or no rota is written.")
        return
    limits, questions = without_odd(diet, limits, (fasts.INTERVAL, fasts.FASTS))
    found = [*questions, *fasts.judge(diet, limits), *variety.judge(diet, limits)]
    yield from found
    if not found:
        yield not_applicable("balance", f"{called}: no limit on how often or how varied is set.")
