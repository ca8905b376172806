"""What a laboratory found in a batch keeps the limits for feed: mould toxins, metals, seeds.

Only a figure in the food record (`contaminants`) can be judged. A substance without a limit here is
said and never passes in silence; a feed that has killed in a bad batch is asked for its result.
"""

from collections.abc import Iterable

from dietcheck.contract import (
    Check,
    Diet,
    Food,
    Limits,
    Rule,
    files,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.batch_limit.batches import batch_checks
from dietcheck_rules.batch_limit.certificates import asked_of, certificate_checks
from dietcheck_rules.shared.reaching import reaching


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="batch-limit",
        title="What was found in a batch keeps the limits for feed",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """A check for each figure of a batch, and for each result that is missing."""

    def wanted(food: Food) -> bool:
        return bool(food.contaminants) or bool(asked_of(food, diet.group.taxon))

    exposed = reaching(diet, wanted)
    said = [
        check
        for exposure in exposed
        for check in (
            *batch_checks(diet, exposure, limits),
            *certificate_checks(diet, exposure),
        )
    ]
    yield from said
    if not said:
        yield not_applicable(
            "batches", f"{diet.group.called}: no batch of their food holds a laboratory's figure."
        )
