"""Whole prey and egg: in how many feeds, and how much of the dry matter."""

from collections.abc import Iterator

from msgspec import Struct

from dietcheck.contract import Animal, Diet, Food, Interval, Limit, PlannedDay, class_share
from dietcheck_rules.shared.levels.spans import Span, spans

FEEDS = "whole-prey-feeds"
SHARE = "whole-prey-share"
# Day-old chicks stand under whole prey.
CLASSES = frozenset({"whole prey", "egg"})


class Measured(Struct, frozen=True, eq=False):
    """A figure of one animal in one span of days: feeds, or % of dry matter."""

    animal: Animal
    span: Span
    value: Interval


def worst(diet: Diet, animal: Animal, limit: Limit) -> list[Measured]:
    """The animal's spans past the limit; else those across it; else the one with the most."""
    standing: dict[str, list[Measured]] = {}
    for one in measured(diet, animal, limit):
        standing.setdefault(limit.stands(one.value), []).append(one)
    if trouble := standing.get("past") or standing.get("across"):
        return trouble
    return sorted(standing.get("inside", []), key=lambda one: one.value.high)[-1:]


def measured(diet: Diet, animal: Animal, limit: Limit) -> Iterator[Measured]:
    """The figure in every span that the limit speaks of."""
    for span in spans(diet, animal, limit.over):
        if limit.quantity == FEEDS:
            # Days that are fed alike stand in one span: each is counted for itself.
            days = span.days[:1] if limit.over == "day" else span.days
            yield Measured(animal, span, _feeds(diet, animal, days))
        else:
            yield Measured(animal, span, class_share(span.ration, CLASSES) * 100)


def is_prey(food: Food) -> bool:
    """Whether a food is whole prey or egg, or a mix that holds some."""
    return any(part.food_class in CLASSES for part, _ in food.all_parts())


def may_be_prey(food: Food) -> bool:
    """Whether nobody said what a food is."""
    return any(
        not part.mix and part.row is None and "class" not in part.record
        for part, _ in food.all_parts()
    )


def slots_with(diet: Diet, animal: Animal, day: PlannedDay) -> Interval:
    """In how many slots of a day the animal is offered prey or egg, and in how many it may be."""
    sure: set[str] = set()
    open_: set[str] = set()
    for feed, portions in diet.feeds(animal, day):
        foods = [portion.food for portion in portions if portion.grams.high]
        if any(is_prey(food) for food in foods):
            sure.add(feed.slot)
        if any(may_be_prey(food) for food in foods):
            open_.add(feed.slot)
    left = [portion.food for portion in diet.received(animal, day)]
    if any(is_prey(food) or may_be_prey(food) for food in left):
        open_.add("left over by others")  # a feed of its own, if it comes at all
    return Interval(len(sure), len(sure | open_))


def _feeds(diet: Diet, animal: Animal, days: tuple[PlannedDay, ...]) -> Interval:
    counts: dict[tuple[int, ...], Interval] = {}
    total = Interval(0, 0)
    for day in days:
        if day.key not in counts:
            counts[day.key] = slots_with(diet, animal, day)
        total = total + counts[day.key]
    return total
