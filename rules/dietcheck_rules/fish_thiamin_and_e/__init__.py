"""Thiamin and vitamin E for animals that are fed fish, by the kg of fish and on the same day.

Fish in the freezer loses both, and many fish destroy thiamin. The advice is an amount to add for
each kg of fish; what the fish itself still holds is not counted, as nobody knows how much that is.
"""

from collections.abc import Iterable, Iterator

from dietcheck.contract import Check, Diet, Limits, Rule, files, hookimpl, not_applicable
from dietcheck_rules.fish_thiamin_and_e.fish import Fished, maybe_fish, unclassed
from dietcheck_rules.fish_thiamin_and_e.judge import judge
from dietcheck_rules.fish_thiamin_and_e.reports import no_class
from dietcheck_rules.shared.odd_limits import without_odd


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="fish-thiamin-and-e",
        title="Thiamin and vitamin E go with the fish",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Missing, too little, cannot tell or kept, for each nutrient; nothing without fish."""
    foods = {offer.line.food for offer in diet.given()}
    if any(maybe_fish(food) for food in foods):
        found = list(_of_fish(diet, limits))
        if found:
            yield from found
            return
    elif open_foods := [food for food in foods if unclassed(food)]:
        yield no_class(diet, open_foods)
        return
    yield not_applicable("vitamins for the fish", f"{diet.group.called}: no fish is fed.")


def _of_fish(diet: Diet, limits: Limits) -> Iterator[Check]:
    limits, questions = without_odd(diet, limits)
    yield from questions
    for stage in dict.fromkeys(animal.stage for animal in diet.animals):
        animals = [animal for animal in diet.animals if animal.stage == stage]
        yield from judge(diet, limits, stage, [Fished(diet, animal) for animal in animals])
