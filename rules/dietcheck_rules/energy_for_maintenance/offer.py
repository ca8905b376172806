"""The energy each animal is offered a day, on the mean of each whole rota."""

from collections.abc import Iterator
from decimal import Decimal

from msgspec import Struct

from dietcheck.contract import (
    Animal,
    Diet,
    EnergyMethod,
    Food,
    Interval,
    Pointer,
    Ration,
    When,
    energy_method,
    energy_of,
    energy_per_100g,
    energy_weakness,
    format_interval,
)
from dietcheck_rules.shared.class_shares import spans

MOST_FOODS = 5  # foods that the working lists one by one


class Offered(Struct, frozen=True, eq=False):
    """One animal's metabolisable energy in kcal a day, with what it was reckoned from."""

    animal: Animal
    kcal: Interval
    ration: Ration
    days: int
    occasions: tuple[When, ...]
    method: EnergyMethod


def offered(diet: Diet) -> Iterator[Offered]:
    """Each animal with each whole rota. Days on which it is not here do not count."""
    method = energy_method(diet.group.taxon)
    totals: dict[int, Interval] = {}
    for animal, span in spans(diet, list(diet.animals), "rota"):
        if id(span) not in totals:
            totals[id(span)] = energy_of(span.ration, method)
        days = sum(animal.is_here(when.on) for when in span.occasions)
        kcal = totals[id(span)] / days
        yield Offered(animal, kcal, span.ration, days, span.occasions, method)


def steps(one: Offered) -> list[str]:
    """The arithmetic, from the foods to kcal a day."""
    lines = [
        f"{food.name}: {format_interval(one.ration.grams_of[food], 'g')} × "
        f"{format_interval(_content(one, food), 'kcal')} per 100 g = "
        f"{format_interval(kcal, 'kcal')}"
        for food, kcal in _parts(one)[:MOST_FOODS]
    ]
    if (left := len(one.ration.grams_of) - MOST_FOODS) > 0:
        lines.append(f"and {left} more foods with less each")
    lines.append(f"÷ {one.days} days = {format_interval(one.kcal, 'kcal')} a day")
    lines.append(
        f"metabolisable energy by {one.method.described}; a label's own figure counts first"
    )
    return lines


def weak(one: Offered) -> tuple[str, ...]:
    """Foods whose energy is a range, borrowed or not stated."""
    found = (
        (food, energy_weakness(one.ration.profiles[food], one.method)) for food, _ in _parts(one)
    )
    return tuple(f"energy of {food.id}: {why}" for food, why in found if why)


def settles(one: Offered) -> str:
    """The input behind most of the uncertainty."""
    food = max(one.ration.grams_of, key=lambda food: _width(one, food))
    if not _content(one, food).is_exact:
        return f"the energy of {food.name} ({food.id}), from its maker or an analysis"
    return f"how much {food.name} ({food.id}) the animal really takes"


def places(diet: Diet, one: Offered) -> tuple[Pointer, ...]:
    """The lines that bring the most energy, and the weight that was used."""
    lines = [
        offer.line.place.at("amount")
        for food, _ in _parts(one)[:3]
        for offer in diet.given()
        if offer.line.food is food
        and (not offer.line.for_animals or one.animal.id in offer.line.for_animals)
    ]
    weighing = one.animal.weighed(diet.on)
    return (*lines, *((weighing.place,) if weighing else ()))


def _parts(one: Offered) -> list[tuple[Food, Interval]]:
    parts = [
        (food, grams / 100 * _content(one, food)) for food, grams in one.ration.grams_of.items()
    ]
    return sorted(parts, key=lambda part: (-part[1].high, part[0].id))


def _content(one: Offered, food: Food) -> Interval:
    return energy_per_100g(one.ration.profiles[food], one.method)


def _width(one: Offered, food: Food) -> tuple[Decimal, str]:
    kcal = one.ration.grams_of[food] / 100 * _content(one, food)
    return kcal.high - kcal.low, food.id
