"""Foods that an animal's own record keeps from it, and whether a line's food gets to an animal."""

from collections.abc import Callable, Iterator

from dietcheck.contract import Animal, Diet, Food, Interval, Line, exact
from dietcheck_rules.toxic_item.words import any_holds, tokens

Wanted = Callable[[Food], bool]


def is_kept_from(animal: Animal, food: Food) -> bool:
    """Whether the animal must never have the food: by its id, or by a name in whole words."""
    return food.id in animal.never or any_holds(map(tokens, food.names()), animal.never)


def is_own(line: Line, animal: Animal) -> bool:
    """Whether the line is meant for the animal."""
    return not line.for_animals or animal.id in line.for_animals


def gets_at(diet: Diet, line: Line, animal: Animal) -> bool:
    """Whether the animal can eat of the line: its own, or others' where they do not eat apart."""
    return is_own(line, animal) or diet.group.fed != "singly"


def wanted_parts(food: Food, wanted: Wanted) -> Iterator[tuple[Food, Interval]]:
    """The food, or else the ingredients at any depth, that are wanted, each with its share."""
    return _walk(food, exact(1), wanted)


def _walk(food: Food, share: Interval, wanted: Wanted) -> Iterator[tuple[Food, Interval]]:
    if wanted(food):
        yield food, share
        return
    for part, of_mix in food.mix:
        yield from _walk(part, share * of_mix, wanted)
