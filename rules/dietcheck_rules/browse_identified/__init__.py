"""Browse says which plant it is, who identified it, where it was cut and whether it was sprayed.

Animals have died of a hedge that nobody had named. What is named is looked up in a table of
plants usually accepted, and of plants refused on published lists.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator

from dietcheck.contract import Check, Diet, Food, Offer, Rule, files, hookimpl, not_applicable
from dietcheck_rules.browse_identified.complete import (
    counted,
    identification,
    sprayed_too,
    spraying,
)
from dietcheck_rules.browse_identified.lines import Fed
from dietcheck_rules.browse_identified.plants import plant_check


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="browse-identified",
        title="Browse is identified, and from where it may be cut",
        folder=files(__name__),
    )


@hookimpl
def judge_group(diet: Diet) -> Iterable[Check]:
    """What each browse lacks, and what is known of its plant."""
    fed = tuple(_fed(diet, counted))
    others = tuple(_fed(diet, _sprayed_parts))
    if not fed and not others:
        yield not_applicable("browse", f"{diet.group.called}: no browse is fed.")
    for one in fed:
        lacking = identification(one)
        if lacking is not None:
            yield lacking
        if one.food.organism:
            yield plant_check(one, complete=lacking is None)
    yield from filter(None, map(spraying, others))


def _sprayed_parts(food: Food) -> tuple[Food, ...]:
    return sprayed_too(part for part, _ in food.all_parts())


def _fed(diet: Diet, wanted: Callable[[Food], Iterable[Food]]) -> Iterator[Fed]:
    """Each wanted food with the lines that bring it, at any depth of a mix."""
    found: dict[Food, dict[Offer, None]] = defaultdict(dict)
    for offer in diet.offers():
        for part in wanted(offer.line.food):
            found[part][offer] = None
    for food, offers in found.items():
        yield Fed(diet, food, tuple(offers))
