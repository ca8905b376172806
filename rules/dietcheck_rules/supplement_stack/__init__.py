"""Vitamins and minerals that come from several products at once: pellet, premix, tablet, dust.

Each product keeps its own label; together they can pass what is safe. The sum of all products is
set against published ends of ranges, ceilings for feed and toxic doses, with each product's part.
"""

from collections.abc import Iterable

from dietcheck.contract import Check, Diet, Limits, Rule, files, hookimpl, not_applicable
from dietcheck_rules.shared.levels.spans import by_stage
from dietcheck_rules.supplement_stack.judge import Judge


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="supplement-stack",
        title="Supplements and feeds together stay under the upper limits",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Sums past or within their limits; one question for all labels that are silent."""
    judge = Judge(diet, limits)
    found = [
        check for stage, animals in by_stage(diet).items() for check in judge.judge(stage, animals)
    ]
    found.extend(judge.silence())
    yield from found
    if not found:
        called = diet.group.called
        yield not_applicable(
            "stack of supplements",
            f"{called}: no two products bring the same vitamin or mineral."
            if judge.has_limits
            else f"{called}: limit not yet sourced. The bundled rules hold no upper limit for "
            "vitamin A, vitamin D3, copper, iodine, iron or selenium in this species.",
        )
