"""Sugar in a ration, measured the way a limit counts it."""

from collections.abc import Iterator
from decimal import Decimal

from msgspec import Struct

from dietcheck.contract import (
    UNKNOWN,
    Animal,
    Diet,
    Figure,
    Food,
    Interval,
    Limit,
    PlannedDay,
    Ration,
    When,
    excess,
)

_TOPS = {"kg": Decimal("0.001"), "g": Decimal(1), "mg": Decimal(1000), "µg": Decimal(1_000_000)}
_OF_FOOD = {"kg": Decimal(1000), "100 g": Decimal(100), "g": Decimal(1)}
_OF_FOOD_BASES = ("dry matter", "as fed", "unstated")
_OF_BODY = {"body mass": "kg", "metabolic body mass": "kg^0.75", "animal": "animal"}
_WINDOW_DAYS = {"7 days": 7}
_SPANS = ("meal", "day", "7 days", "rota")


class Reading(Struct, frozen=True, eq=False):
    """A figure with the ration it was worked out from."""

    figure: Figure
    ration: Ration


def can_judge(limit: Limit) -> bool:
    """Whether sugar can be counted on the limit's basis, in its unit and over its span."""
    return _factor(limit) is not None and limit.over in _SPANS


def readings(diet: Diet, animal: Animal, limit: Limit) -> Iterator[Reading]:
    """The animal's sugar in each meal, day or window that the limit speaks of."""
    mass = diet.mass_of(animal)
    for ration, occasions in _rations(diet, animal, limit):
        if ration.grams_of:
            value = measure(ration, limit, mass)
            yield Reading(Figure(animal, value, tuple(occasions)), ration)


def worst_readings(diet: Diet, animal: Animal, limit: Limit) -> list[Reading]:
    """The animal's readings past the limit; else those across it; else the one nearest to it."""
    standing: dict[str, list[Reading]] = {}
    for reading in readings(diet, animal, limit):
        standing.setdefault(limit.stands(reading.figure.value), []).append(reading)
    if trouble := standing.get("past") or standing.get("across"):
        return trouble
    kept = standing.get("inside")
    return [max(kept, key=lambda reading: excess(reading.figure.value, limit))] if kept else []


def measure(ration: Ration, limit: Limit, mass: Interval | None) -> Interval:
    """Sugar in the limit's unit; a mean a day over several days. `mass` in g, None: unknown."""
    factor = _factor(limit)
    if factor is None:
        return UNKNOWN
    if limit.basis == "dry matter":
        return ration.density("sugars") * factor
    if limit.basis in _OF_FOOD_BASES:
        return ration.total("sugars") / ration.grams() * factor
    sugar = ration.per_day(ration.total("sugars")) * factor
    if limit.basis == "animal":
        return sugar
    if mass is None:
        return UNKNOWN
    kilograms = mass / 1000
    return sugar / (kilograms.power34() if "^" in limit.unit else kilograms)


def without(ration: Ration, food: Food, diet: Diet) -> Ration:
    """The ration with one food left out."""
    left = {other: grams for other, grams in ration.grams_of.items() if other is not food}
    return Ration(left, ration.days, diet.profiles)


def _factor(limit: Limit) -> Decimal | None:
    """From g sugar per g of food (or per kg of body, per animal) to the limit's unit."""
    top, _, below = limit.unit.partition("/")
    if limit.unit == "%":
        shares = {"dry matter": Decimal(100), "as fed": Decimal(100), "unstated": Decimal(100)}
        return {**shares, "body mass": Decimal("0.1")}.get(limit.basis)
    if top not in _TOPS:
        return None
    if limit.basis in _OF_FOOD_BASES and below in _OF_FOOD:
        return _TOPS[top] * _OF_FOOD[below]
    return _TOPS[top] if _OF_BODY.get(limit.basis) == below else None


def _rations(diet: Diet, animal: Animal, limit: Limit) -> Iterator[tuple[Ration, list[When]]]:
    if limit.over in ("7 days", "rota"):
        days = _WINDOW_DAYS.get(limit.over, diet.settings.rota_days)
        for window in diet.windows(animal, days):
            yield window.ration, [When(day.on, day.number) for day in window.days]
        return
    # Days that are fed the same to the same animals are judged once, with all their dates.
    alike: dict[tuple[object, ...], tuple[PlannedDay, list[When]]] = {}
    for day in diet.days:
        key = (day.key, *(sharer.id for sharer in diet.present(day.on)))
        alike.setdefault(key, (day, []))[1].append(When(day.on, day.number))
    for day, occasions in alike.values():
        if limit.over == "day":
            yield diet.day_ration(animal, day), occasions
        else:
            for slot, meal in diet.meal_rations(animal, day):
                yield meal, [When(when.on, when.number, slot) for when in occasions]
