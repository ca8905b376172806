"""Every food on a sheet, in a treat or in a mix must stand in the collection's food list.

A name that stands on no list clears nothing: not its sugar, not its toxicity. Only the exact id
counts; a partial match never passes, and the nearest names are offered instead.
"""

from collections import defaultdict
from collections.abc import Iterable
from difflib import get_close_matches

from dietcheck.contract import (
    Check,
    Diet,
    Food,
    Offer,
    Rule,
    Severity,
    Verdict,
    When,
    files,
    find_foods,
    hookimpl,
)


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="unknown-food",
        title="Every food is on the food list",
        folder=files(__name__),
        always_on=True,
    )


@hookimpl
def judge_group(diet: Diet) -> Iterable[Check]:
    """One finding for each name that leads nowhere; one kept check when all are known."""
    strangers = _strangers(diet)
    for food, offers in strangers.items():
        yield _unknown(diet, food, offers)
    if not strangers:
        count = len({offer.line.food for offer in diet.offers()})
        yield Check(
            verdict=Verdict.KEPT,
            about="foods known",
            message=f"{diet.group.called}: all {count} foods are on the food list.",
        )


def _strangers(diet: Diet) -> dict[Food, list[Offer]]:
    """Foods on no list, with the lines that bring them, at any depth of a mix."""
    found: dict[Food, list[Offer]] = defaultdict(list)
    for offer in diet.offers():
        for food, _ in offer.line.food.all_parts():
            if not food.known and food.id not in diet.collection.unread.foods:
                found[food].append(offer)
    return found


def _unknown(diet: Diet, food: Food, offers: list[Offer]) -> Check:
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about="food on no list",
        food=food.id,
        severity=Severity.HIGH,
        message=f'{diet.group.called}, "{food.id}": this food is not on the food list, so nothing '
        "about it can be checked. It is not cleared to feed.",
        advice=_advice(diet, food.id),
        animals=tuple(animal.id for animal in diet.animals),
        occasions=tuple(
            When(o.on, o.number, o.slot, o.meal) for offer in offers for o in offer.occasions
        ),
        settles=f'a food record for "{food.id}"',
        places=tuple(offer.line.place.at("food") for offer in offers),
    )


def _advice(diet: Diet, name: str) -> str:
    near = get_close_matches(name, diet.collection.foods, n=3, cutoff=0.6)
    listed = f"Nearest on the list: {', '.join(near)}. " if near else ""
    rows = [row.id for row in find_foods(name)][:2]
    bundled = f"The bundled table has {', '.join(rows)}. " if rows else ""
    return (
        f"{listed}{bundled}Correct the name, or ask the nutrition lead to add the food. "
        "Until then leave it out."
    )
