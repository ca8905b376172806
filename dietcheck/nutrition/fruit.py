"""What counts as cultivated fruit, and how much of a food it makes up, mixes opened to any depth.

Fruit is what the food list or the bundled table classes as fruit, dried fruit or fruit juice and
the list does not mark as wild; jam counts too, being fruit. Honey, syrup and sugar are sweet but
no fruit. Carrots and other roots carry sugar and are no fruit either.
"""

from __future__ import annotations

from dietcheck.collection.foods import Food
from dietcheck.quantities import ZERO, Interval, exact

FRUIT = frozenset({"fruit", "dried fruit", "fruit juice"})
PRESERVE = ("sweetener", "preserve")  # class and form of jam in the bundled table


def is_fruit(food: Food) -> bool:
    """Whether the food as a whole is cultivated fruit in any form."""
    # A food borrowed from a fruit's row stays a fruit, whatever class the list gives it.
    classes = {food.food_class, food.row.food_class if food.row else ""}
    of_class = not FRUIT.isdisjoint(classes) or (food.food_class, food.form) == PRESERVE
    return of_class and not food.wild


def fruit_share(food: Food) -> Interval:
    """The part of a food, 0 to 1 by mass, that is cultivated fruit."""
    if is_fruit(food):
        return exact(1)
    total = ZERO
    for part, of_mix in food.mix:
        share = fruit_share(part)
        if share.high:
            total = total + share * of_mix
    return total
