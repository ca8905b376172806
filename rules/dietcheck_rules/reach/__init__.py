"""In a shared enclosure the neighbours' food is food too: what can be reached, and by whom.

That nothing harmful can be reached is judged by toxic-item and feed-for-its-species. This rule says
what those two cannot: food kept from one animal that it can still get at, and food that the sums of
sugar, energy and minerals leave out.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    ZERO,
    Animal,
    Check,
    Diet,
    Food,
    Group,
    Interval,
    Offer,
    Rule,
    Severity,
    Verdict,
    When,
    files,
    format_interval,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.toxic_item.words import any_holds, tokens

Offers = tuple[Offer, ...]


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="reach",
        title="What neighbours can get at is looked at too",
        folder=files(__name__),
    )


@hookimpl
def judge_group(diet: Diet) -> Iterable[Check]:
    """One check for each neighbour, and one for each food an animal must not have."""
    reachable = diet.reachable()
    if all(offer.leftover for offer in reachable):
        yield not_applicable(
            "food within reach", f"{diet.group.called}: no other group's food is within reach."
        )
    yield from _kept_from_one(diet, reachable)
    by_group: dict[Group, list[Offer]] = defaultdict(list)
    for offer in reachable:
        if not offer.leftover:
            by_group[offer.group].append(offer)
    for group, offers in by_group.items():
        yield _uncounted(diet, group, tuple(offers))


# -- food that one animal must not have ------------------------------------------------------------


def _kept_from_one(diet: Diet, reachable: Offers) -> Iterator[Check]:
    """A breach for each food within reach that stands on an animal's own list."""
    found: dict[Food, dict[Offer, None]] = defaultdict(dict)
    for offer in reachable:
        for part, _ in offer.line.food.all_parts():
            found[part][offer] = None
    for food, offers in found.items():
        animals = tuple(animal for animal in diet.animals if _is_kept_from(animal, food))
        if animals:
            yield _breach(animals, food, tuple(offers))


def _is_kept_from(animal: Animal, food: Food) -> bool:
    return food.id in animal.never or any_holds(map(tokens, food.names()), animal.never)


def _breach(animals: tuple[Animal, ...], food: Food, offers: Offers) -> Check:
    whose = " and ".join(dict.fromkeys(offer.group.called for offer in offers))
    left = all(offer.leftover for offer in offers)
    way = "gets it in what is left over by" if left else "can get at it in the food of"
    return Check(
        verdict=Verdict.BREACH,
        about="within reach of an animal that must not have it",
        food=food.id,
        severity=Severity.HIGH,
        message=f'{", ".join(animal.called for animal in animals)}: must never have "{food.id}" '
        f"by the group record, and {way} {whose}.",
        advice="Do not pass it on to them."
        if left
        else "Feed the neighbours where this animal cannot follow, or leave the food out.",
        animals=tuple(animal.id for animal in animals),
        occasions=_occasions(offers),
        places=(*(o.line.place.at("food") for o in offers), *(a.place for a in animals)),
    )


# -- food that is not on the group's own sheet -----------------------------------------------------


def _uncounted(diet: Diet, group: Group, offers: Offers) -> Check:
    """Says which foods of a neighbour the group's own sums leave out."""
    own = {part for offer in diet.offers() for part, _ in offer.line.food.all_parts()}
    strange = tuple(offer for offer in offers if offer.line.food not in own)
    about = f"food of {group.id} within reach"
    if not strange:
        return Check(
            verdict=Verdict.KEPT,
            about=about,
            severity=Severity.LOW,
            message=f"{diet.group.called}: the food of {group.called} within reach is all on their "
            "own sheet as well.",
        )
    names = dict.fromkeys(offer.line.food.id for offer in strange)
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=about,
        severity=Severity.LOW,
        message=f"{diet.group.called}: {', '.join(names)} of {group.called} within reach "
        f"{'is' if len(names) == 1 else 'are'} not on their own sheet. How much they eat of it is "
        "not known, so their sums of sugar, energy and minerals leave it out.",
        advice="Feed apart, or watch who eats what and write it into both sheets.",
        animals=tuple(animal.id for animal in diet.animals),
        occasions=_occasions(strange),
        settles=f"what {diet.group.called} eat of the food of {group.called}",
        working=tuple(_laid_out(strange)),
        places=tuple(offer.line.place.at("food") for offer in strange),
    )


def _laid_out(offers: Offers) -> Iterator[str]:
    """How much of each food lies there at most in one giving."""
    most: dict[str, Interval] = {}
    for offer in offers:
        known = most.get(offer.line.food.id, ZERO)
        most[offer.line.food.id] = max(known, offer.whole, key=lambda grams: grams.high)
    for name, grams in most.items():
        shown = format_interval(grams, "g") if grams.is_bounded else "an amount not known in grams"
        yield f"{name}: {shown} laid out in one giving"


def _occasions(offers: Offers) -> tuple[When, ...]:
    found = {When(o.on, o.number, o.slot, o.meal) for one in offers for o in one.occasions}
    return tuple(sorted(found))
