"""Shares of a diet by food class: how much is roughage, produce, fruit, pellet, whole prey.

A mix counts by its ingredients at any depth. A food whose class nobody gave may belong to any
class: it widens the share both ways and never settles it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal

from dietcheck.collection.foods import Food
from dietcheck.nutrition.composition import Profiles
from dietcheck.nutrition.energy import EnergyMethod, energy_per_100g
from dietcheck.nutrition.rations import Ration
from dietcheck.quantities import ZERO, Interval, exact, ratio

# The words of the trade → the classes of food records.
CLASS_GROUPS: Mapping[str, frozenset[str]] = {
    name: frozenset(classes)
    for name, classes in {
        "roughage": ("hay", "grass", "browse"),
        "concentrate": ("compound feed",),
        "pellet": ("compound feed",),
        "all fruit": ("fruit", "dried fruit", "wild fruit", "fruit juice"),
        "greens": ("leafy green", "herb", "sprout"),
        "vegetables": ("vegetable", "root vegetable", "gourd", "fungus"),
        "produce": (
            "fruit", "dried fruit", "wild fruit", "fruit juice", "leafy green", "herb", "sprout",
            "vegetable", "root vegetable", "gourd", "fungus",
        ),
        "insects": ("insect",),
    }.items()
}  # fmt: skip
# Whole fish in the feed table stands under "fish" too; shellfish is a class of its own.
FISH = frozenset({"fish"})
# What is given for a nutrient and not as food.
ADDED = frozenset({"supplement", "mineral", "medicine"})
HUNDRED = exact(100)


def classes_meant(classes: str | Iterable[str]) -> frozenset[str]:
    """The food classes behind a trade word of CLASS_GROUPS, one class, or several classes."""
    if isinstance(classes, str):
        return CLASS_GROUPS.get(classes, frozenset({classes}))
    return frozenset(classes)


def class_share(
    ration: Ration, classes: str | Iterable[str], of: str | EnergyMethod | None = "dry_matter"
) -> Interval:
    """The share, 0 to 1, that foods of some classes make of a ration.

    `of` is a nutrient (`dry_matter`), an energy method, or None for the share as fed. `classes` is
    a trade word ("roughage"), a class of the food records ("browse"), or several classes. An empty
    ration gives the range 0 to 1.
    """
    wanted = classes_meant(classes)
    inside, outside, open_ = ZERO, ZERO, ZERO
    parts = []
    for food, grams in ration.grams_of.items():
        within, without, either = _split(food, wanted, of, ration.profiles)
        inside = inside + grams * within
        outside = outside + grams * without
        open_ = open_ + grams * either
        parts.append((grams, within, without, either))
    best = None if open_.high else _best(inside, outside)
    found = Interval(_least(inside, outside + open_), _most(inside + open_, outside))
    if any(_is_both(*split) for _, *split in parts):
        found = _narrowed(found, parts)
    if best is None or not found.low <= best <= found.high:
        return found
    return Interval(found.low, found.high, best)


def share_of(part: Interval, rest: Interval) -> Interval:
    """What a part makes of itself and the rest together, 0 to 1: the exact range.

    More of the part or less of the rest can only raise it, so the ends are at the ends. Where the
    part is nothing it has no share, even in nothing.
    """
    if not part.high:
        return ZERO
    low, high, best = _least(part, rest), _most(part, rest), _best(part, rest)
    return Interval(low, high, None if best is None else min(max(best, low), high))


def is_of_known_class(food: Food) -> bool:
    """Whether somebody said what class a food is: the table, the record, or a mix's ingredients."""
    return food.known and (food.row is not None or "class" in food.record)


def leaves(food: Food) -> Iterator[tuple[Food, Interval]]:
    """The ingredients at the bottom of a mix with their shares; any other food is its own."""
    return ((part, share) for part, share in food.all_parts() if not part.mix)


def _split(
    food: Food, wanted: frozenset[str], of: str | EnergyMethod | None, profiles: Profiles
) -> tuple[Interval, Interval, Interval]:
    """What 100 g of a food hold of the wanted classes, of others, and of nobody knows which."""
    sums = [ZERO, ZERO, ZERO]
    for part, share in leaves(food):
        place = (0 if part.food_class in wanted else 1) if is_of_known_class(part) else 2
        sums[place] = sums[place] + _content(part, of, profiles) * share
    return sums[0], sums[1], sums[2]


def _content(food: Food, of: str | EnergyMethod | None, profiles: Profiles) -> Interval:
    if of is None:
        return HUNDRED
    if isinstance(of, EnergyMethod):
        return energy_per_100g(profiles[food], of)
    return profiles[food].per_100g(of)


def _is_both(within: Interval, without: Interval, either: Interval) -> bool:
    """Whether a food is partly in and partly out, so that one amount moves both."""
    return len([one for one in (within, without, either) if one.high]) > 1


def _narrowed(
    found: Interval, parts: list[tuple[Interval, Interval, Interval, Interval]]
) -> Interval:
    """The range once each amount is the same above and below the line. Both ranges are sound."""
    least = ratio([(g, within, within + out + any_) for g, within, out, any_ in parts])
    most = ratio([(g, within + any_, within + out + any_) for g, within, out, any_ in parts])
    low, high = max(found.low, least.low), min(found.high, most.high)
    return Interval(low, high) if low <= high else found


def _least(part: Interval, rest: Interval) -> Decimal:
    if not part.low or not rest.high.is_finite():
        return Decimal(0)
    return (exact(part.low) / (exact(part.low) + rest.high)).low


def _most(part: Interval, rest: Interval) -> Decimal:
    if not part.high:
        # Nothing of it: zero, unless there is nothing else either and no share at all.
        return Decimal(0) if rest.high else Decimal(1)
    if not part.high.is_finite() or not rest.low:
        return Decimal(1)
    return (exact(part.high) / (exact(part.high) + rest.low)).high


def _best(part: Interval, rest: Interval) -> Decimal | None:
    if part.best is None or rest.best is None:
        return None
    return (exact(part.best) / (exact(part.best) + rest.best)).best
