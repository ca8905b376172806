"""Lines of food with all their givings, and what of them is left over for another group."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from dietcheck.collection.animals import Group
from dietcheck.collection.feeding import DietSheet, Leftover, Line
from dietcheck.collection.foods import Food
from dietcheck.nutrition.plan import PlannedDay
from dietcheck.quantities import UNKNOWN, Amount, Interval, exact


class Occasion(Struct, frozen=True):
    """One giving: the date, the rota day number, the slot and the meal it comes from."""

    on: date
    number: int
    slot: str
    meal: str


class Offer(Struct, frozen=True, eq=False):
    """One line with every giving of it in the judged days."""

    line: Line
    group: Group
    occasions: tuple[Occasion, ...]
    _whole: Callable[[Line, date], Interval]
    leftover: bool = False  # goes to the judged group once `group` is done with it

    @property
    def whole(self) -> Interval:
        """Grams for the whole group together, in one giving."""
        return self._whole(self.line, self.occasions[0].on)


class Leaving(Struct, frozen=True, eq=False):
    """What one entry of another group's sheet leaves to this one, as offers of 0 to its share.

    A food that the sheet does not feed stands in `strays`, and among the offers all the same, in
    an amount that nobody knows.
    """

    giver: Group
    leftover: Leftover
    offers: tuple[Offer, ...]
    strays: tuple[Food, ...]


def leaving_of(
    giver: Group,
    sheet: DietSheet,
    leftover: Leftover,
    offers: Iterable[Offer],
    days: Iterable[PlannedDay],
) -> Leaving:
    """What an entry of a giver's sheet comes to, line by line of that sheet."""
    most = leftover.share or exact(1)
    lines = {line for meal in sheet.meals.values() for line in meal.lines}
    fed = [offer for offer in offers if offer.line in lines]
    found: list[Offer] = []
    strays: list[Food] = []
    for number, food in enumerate(leftover.foods):
        place = leftover.place.at("foods", number)
        before = len(found)
        for offer in fed:
            for part, share in offer.line.food.all_parts():
                if part is food:
                    line = replace(offer.line, food=food, place=place, for_animals=())
                    grams = _left(offer, share * most)
                    found.append(Offer(line, giver, offer.occasions, grams, leftover=True))
        if len(found) == before:
            strays.append(food)
            line = Line(food, Amount(UNKNOWN, "mass", "group", ad_lib=False, text="?"), place)
            own = (day for day in days if day.sheet is sheet)
            when = tuple(Occasion(day.on, day.number, "", "") for day in own)
            found.append(Offer(line, giver, when, lambda _, __: UNKNOWN, leftover=True))
    return Leaving(giver, leftover, tuple(found), tuple(strays))


def _left(offer: Offer, most: Interval) -> Callable[[Line, date], Interval]:
    def grams(_: Line, __: date) -> Interval:
        return Interval(Decimal(0), (offer.whole * most).high)

    return grams
