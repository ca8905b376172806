"""Condition and weight stand where they should, or a plan says what is done about it.

The limits on score, trend and pace have no source; the vet sets them.
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
from dietcheck_rules.condition_plan import plans, state
from dietcheck_rules.shared.odd_limits import without_odd


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="condition-plan",
        title="Condition off target has a plan, and the plan is whole",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Scores and trends without a plan; plans without what a plan needs."""
    called = diet.group.called
    animals = [animal for animal in diet.animals if animal.is_here(diet.on)]
    if diet.group.is_colony or not animals:
        yield not_applicable("condition", f"{called}: nobody here is scored one by one.")
        return
    limits, questions = without_odd(diet, limits)
    found = [
        check
        for animal in animals
        for check in (*state.judge(diet, limits, animal), *plans.judge(diet, limits, animal))
    ]
    found += [*questions, *state.unscored(diet, animals)]
    yield from found
    if not found:
        yield Check(
            verdict=Verdict.KEPT,
            about="condition",
            severity=Severity.LOW,
            message=f"{called}: scores and weights are on target, or a plan is running.",
        )
