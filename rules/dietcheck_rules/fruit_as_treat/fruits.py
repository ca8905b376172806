"""What lies beside cultivated fruit in a diet: vegetables, wild fruit, and what may be fruit."""

import re
from collections.abc import Iterator
from functools import lru_cache

from dietcheck.contract import FRUIT, ZERO, Food, Interval, exact, find_foods, is_fruit

VEGETABLE = frozenset(
    {"vegetable", "leafy green", "root vegetable", "gourd", "herb", "sprout", "fungus"}
)


def vegetable_share(food: Food) -> Interval:
    """The part of a food, 0 to 1 by mass, that is vegetable of any kind."""
    if food.food_class in VEGETABLE:
        return exact(1)
    total = ZERO
    for part, of_mix in food.mix:
        share = vegetable_share(part)
        if share.high:
            total = total + share * of_mix
    return total


def suspects(food: Food) -> Iterator[Food]:
    """Foods in it, at any depth, of no known class whose name is that of a fruit."""
    for part, _ in food.all_parts():
        unclassed = not part.known or (part.food_class == "other" and not is_fruit(part))
        if unclassed and any(_names_fruit(name) for name in (part.id, part.name)):
            yield part


def wild_fruit(food: Food) -> Iterator[Food]:
    """Wild and browse fruit in it, which is not counted but listed apart."""
    for part, _ in food.all_parts():
        if part.wild and (part.food_class in FRUIT or part.food_class == "wild fruit"):
            yield part


@lru_cache(4096)
def _names_fruit(name: str) -> bool:
    """Whether the name, or a word in it, is the whole name of a fruit in the bundled table."""
    words = [word for word in re.split(r"[^\w]+", name.casefold()) if len(word) > 2]
    wanted = {form for word in (*words, " ".join(words)) for form in _forms(word)}
    return any(
        row.food_class in FRUIT and wanted & {n.casefold() for n in (row.id, *_plain(row.name))}
        for word in wanted
        for row in find_foods(word)
    )


def _forms(word: str) -> tuple[str, ...]:
    """The word, and what it may be the plural of: berries → berry, peaches → peach, figs → fig."""
    forms = [word, word.removesuffix("s"), word.removesuffix("es")]
    if word.endswith("ies"):
        forms.append(word.removesuffix("ies") + "y")
    return tuple(dict.fromkeys(forms))


def _plain(name: str) -> tuple[str, ...]:
    """A table name whole and without what stands behind its comma: `Apple, with skin`."""
    return name, name.partition(",")[0]
