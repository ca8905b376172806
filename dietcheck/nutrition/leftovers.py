"""What other groups leave, or have trimmed off, for a group to eat: food by food and day by day.

Nobody knows what will be left, so an amount runs from nothing up to the share that the giver's
sheet names. What a group was itself given as leftovers is not passed on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from dietcheck.collection.animals import Group
from dietcheck.collection.collection import Collection
from dietcheck.collection.feeding import DietSheet, Leftover, Line
from dietcheck.collection.foods import Food
from dietcheck.collection.places import Pointer
from dietcheck.nutrition.offers import Occasion, Offer
from dietcheck.nutrition.plan import PlannedDay, Planner
from dietcheck.nutrition.portions import Portioner
from dietcheck.quantities import UNKNOWN, ZERO, Amount, Interval, exact


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


class Received:
    """The lines that others leave to one group on each day, for its sums.

    A food that the giver does not feed that day adds nothing: where its sheet never feeds it,
    nobody can tell how much there is, and the rule on leftovers says so.
    """

    def __init__(self, collection: Collection, group: str, on: date) -> None:
        self._group = group
        names = collection.givers.get(group, ())
        self._givers = tuple(
            _Giver(collection.groups[name], Planner(collection, name), collection, on)
            for name in names
            if name in collection.groups
        )

    def lines(self, on: date) -> tuple[Line, ...]:
        """What may come on a day, for the whole group; the same objects on days that are alike."""
        return tuple(line for giver in self._givers for line in giver.lines(self._group, on))


class _Giver:
    """A group that leaves food to others."""

    def __init__(self, group: Group, planner: Planner, collection: Collection, on: date) -> None:
        self._group = group
        self._planner = planner
        self._portioner = Portioner(collection.settings, on)
        self._done: dict[tuple[object, ...], tuple[Line, ...]] = {}
        self._lines: dict[tuple[Pointer, Decimal], Line] = {}

    def lines(self, to: str, on: date) -> tuple[Line, ...]:
        day = self._planner.day(on)
        entries = [left for left in day.sheet.leftovers if left.to == to] if day.sheet else []
        if not entries:
            return ()
        key = (id(day.sheet), day.key, tuple(animal.id for animal in self._group.present(on)))
        if key not in self._done:
            found = (line for left in entries for line in self._left(left, day))
            self._done[key] = tuple(found)
        return self._done[key]

    def _left(self, leftover: Leftover, day: PlannedDay) -> Iterator[Line]:
        for number, food in enumerate(leftover.foods):
            most = (self._laid_out(food, day) * (leftover.share or exact(1))).high
            if most > 0:
                yield self._line(food, most, leftover.place.at("foods", number))

    def _line(self, food: Food, most: Decimal, place: Pointer) -> Line:
        """One object for the days on which as much is left, whatever else the giver is fed."""
        if (place, most) not in self._lines:
            text = f"left over by {self._group.called}"
            amount = Amount(Interval(0, most), "mass", "group", ad_lib=False, text=text)
            self._lines[place, most] = Line(food, amount, place)
        return self._lines[place, most]

    def _laid_out(self, food: Food, day: PlannedDay) -> Interval:
        """Grams of a food in the meals of a day, for the whole giving group."""
        assert day.sheet is not None
        written = {line for meal in day.sheet.meals.values() for line in meal.lines}
        grams = ZERO
        for line in (line for feed in day.feeds for line in feed.lines if line in written):
            shares = [share for part, share in line.food.all_parts() if part is food]
            for share in shares:
                whole = self._portioner.whole(line, self._group.present(day.on))
                grams = grams + whole * share
        return grams
