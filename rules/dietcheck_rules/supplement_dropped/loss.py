"""Finds the supplements of one sheet that the next one leaves out, and what goes with them."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from msgspec import Struct

from dietcheck.contract import (
    Diet,
    DietSheet,
    Food,
    Pointer,
    Ration,
    format_interval,
    nutrients,
)
from dietcheck_rules.shared.pairing import MealLine, SheetPair, meal_lines
from dietcheck_rules.shared.sheet_ration import rota_of, sheet_ration

ADDED = frozenset({"supplement", "mineral"})
# What every food has of itself: no reason to give a supplement.
BULK = frozenset(
    {"water", "dry_matter", "energy", "energy_kj", "ash", "sugars", "starch", "carbohydrate",
     "fibre", "crude_fibre", "nfe", "nsc", "ndf", "adf", "fat", "sucrose", "glucose", "fructose",
     "lactose", "maltose"}
)  # fmt: skip


class Loss(Struct, frozen=True, eq=False):
    """A supplement that is gone, the foods it was for that are left, and the nutrients now short.

    `compared` is False where the supplement states nothing that could be added up.
    """

    supplement: Food
    left: tuple[Food, ...]
    amount: str
    short: tuple[str, ...]
    compared: bool
    working: tuple[str, ...]
    places: tuple[Pointer, ...]


def losses(pair: SheetPair, still_there: Decimal) -> Iterator[Loss]:
    """Each supplement that was fed, is no longer, and whose foods are still there."""
    before, after = _fed(pair.then, pair.before), _fed(pair.now, pair.after)
    if before is None or after is None:
        return  # without a rota nothing is fed: told by rota-complete
    still = {part.id for given in after for part in _added(given.line.food)}
    for gone in dict.fromkeys(part for given in before for part in _added(given.line.food)):
        if gone.id not in still:
            loss = _loss(pair, gone, before, after, still_there)
            if loss is not None:
                yield loss


def _loss(
    pair: SheetPair,
    gone: Food,
    before: list[MealLine],
    after: list[MealLine],
    still_there: Decimal,
) -> Loss | None:
    lines = [given for given in before if gone in _added(given.line.food)]
    meals = {given.meal for given in lines}
    beside = {
        given.line.food.id
        for given in before
        if given.meal in meals and given.line.food.food_class not in ADDED
    }
    left = [given for given in after if given.line.food.id in beside]
    if not left:
        return None
    profile = pair.then.profiles[gone]
    keys = [
        key
        for key in nutrients()
        if key not in BULK and profile.states(key) and profile.per_100g(key).low > 0
    ]
    short, working = _short(pair, keys, still_there)
    return Loss(
        supplement=gone,
        left=tuple(dict.fromkeys(given.line.food for given in left)),
        amount=f"{lines[0].line.amount.text} in {', '.join(sorted(meals))}",
        short=short,
        compared=bool(keys),
        working=working,
        places=tuple(given.line.place for given in left),
    )


def _short(
    pair: SheetPair, keys: list[str], still: Decimal
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The nutrients of which the whole day may hold less than that part, with the figures."""
    short: dict[str, None] = {}
    working: dict[str, str] = {}
    for animal in pair.now.animals:
        was = sheet_ration(pair.then, pair.before, animal)
        now = sheet_ration(pair.now, pair.after, animal)
        assert was is not None  # or nothing would be fed
        assert now is not None
        for key in keys:
            if key not in short and _is_short(was, now, key, still):
                short[key] = None
                working[key] = f"{animal.called}, {_words(was, key)} before, {_words(now, key)} now"
    return tuple(short), tuple(working.values())


def _is_short(was: Ration, now: Ration, key: str, still: Decimal) -> bool:
    return now.per_day(now.total(key)).low < still * was.per_day(was.total(key)).low


def _words(ration: Ration, key: str) -> str:
    nutrient = nutrients()[key]
    figure = format_interval(ration.per_day(ration.total(key)), nutrient.unit)
    return f"{nutrient.title} a day {figure}"


def _added(food: Food) -> tuple[Food, ...]:
    """The supplements in a food: itself, or parts of it at any depth of a mix."""
    return tuple(part for part, _ in food.all_parts() if part.food_class in ADDED)


def _fed(diet: Diet, sheet: DietSheet) -> list[MealLine] | None:
    """The lines of the meals that the rota calls for."""
    rota = rota_of(diet, sheet)
    if rota is None:
        return None
    meals = {meal for day in rota.days for given in day.feeds.values() for meal in given}
    return [given for given in meal_lines(sheet) if given.meal in meals]
