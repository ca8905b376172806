"""Each animal of a group gets a place at the food and its piece of what is counted.

What is enough for all by the sheet is not enough for each where the strong eat first, or where
three heads of lettuce are laid out for eight.
"""

from collections.abc import Iterable

from dietcheck.contract import Check, Diet, Limits, Rule, files, hookimpl, not_applicable
from dietcheck_rules.shared.odd_limits import without_odd
from dietcheck_rules.shares_and_stations.pieces import judge_pieces
from dietcheck_rules.shares_and_stations.stations import judge_stations


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="shares-and-stations",
        title="Each animal has a place at the food and gets its piece",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """The stations, and each food that is counted out for the group."""
    group, who = diet.group, diet.group.called
    heads = len(diet.present(diet.on))
    if group.fed == "singly" or group.is_colony or heads < 2:
        why = (
            "each is fed on its own"
            if group.fed == "singly"
            else "the animals are not told apart"
            if group.is_colony
            else "no two animals share the food"
        )
        yield not_applicable("stations and pieces", f"{who}: {why}.")
        return
    limits, questions = without_odd(diet, limits)
    yield from questions
    if group.fed == "together":
        yield from judge_stations(diet, limits, heads)
    else:
        yield not_applicable("stations", f"{who}: the food is scattered, so there are no stations.")
    yield from judge_pieces(diet)
