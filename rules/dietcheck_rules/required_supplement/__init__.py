"""Foods that need something beside them: muscle meat needs bone or calcium, insects need powder.

Whether it is there at all is asked here; how much calcium the whole diet holds is judged by the
rule on calcium, and the vitamins for fish have a rule of their own.
"""

from collections.abc import Iterable

from dietcheck.contract import Check, Diet, Limits, Rule, files, hookimpl, not_applicable
from dietcheck_rules.required_supplement.insects import judge_insects
from dietcheck_rules.required_supplement.meat import judge_meat
from dietcheck_rules.shared.levels.spans import by_stage


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="required-supplement",
        title="Meat has bone or calcium with it, insects have calcium",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Meat, then insects; not applicable where neither is fed or nobody knows a need."""
    said = False
    for stage, animals in by_stage(diet).items():
        for judge in (judge_meat, judge_insects):
            for check in judge(diet, limits, stage, animals):
                said = True
                yield check
    if not said:
        yield not_applicable(
            "required supplements",
            f"{diet.group.called}: no food is fed that is known to need a supplement here. Fish is "
            "judged by its own rule.",
        )
