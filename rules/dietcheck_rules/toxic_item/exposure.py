"""Every food that can reach a group's animals, at any depth of a mix, and how much of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date

from msgspec import Struct

from dietcheck.contract import ZERO, Animal, Diet, Food, Interval, Offer, PlannedDay, When
from dietcheck_rules.toxic_item.words import tokens

STONED = frozenset({"stoned", "destoned", "pitted", "without"})
SHARES = 3  # that a dominant animal may take of food given to several


class Exposure(Struct, frozen=True, eq=False):
    """One food, with the offers that hold it and its largest share of each.

    `own` is False for food laid out for another group that these animals can get at.
    """

    part: Food
    own: bool
    offers: tuple[Offer, ...]
    shares: tuple[Interval, ...]  # of each offer's food, in its order
    days: tuple[PlannedDay, ...]  # the different days of the judged group

    @property
    def inside(self) -> tuple[str, ...]:
        """The mixes in which the food is hidden."""
        ids = (offer.line.food.id for offer in self.offers if offer.line.food is not self.part)
        return tuple(dict.fromkeys(ids))

    @property
    def stones_in(self) -> bool:
        """Whether a line gives the food itself whole, so that a stone is not taken out."""
        cuts = (tokens(o.line.cut) for o in self.offers if o.line.cut and o.line.food is self.part)
        return any("whole" in cut and STONED.isdisjoint(cut) for cut in cuts)

    @property
    def groups(self) -> tuple[str, ...]:
        """The names of the groups that the food is laid out for."""
        return tuple(dict.fromkeys(offer.group.called for offer in self.offers))

    @property
    def whence(self) -> str:
        """How another group's food comes to these animals."""
        whose = " and ".join(self.groups)
        return f"left over by {whose}" if self.offers[0].leftover else f"within reach from {whose}"

    @property
    def laid_out(self) -> str:
        """The same, as it stands behind the food's name."""
        if self.offers[0].leftover:
            return self.whence
        return f"laid out for {' and '.join(self.groups)} within reach"

    def occasions(self) -> tuple[When, ...]:
        """Every giving."""
        return tuple(
            sorted({When(o.on, o.number, o.slot, o.meal) for f in self.offers for o in f.occasions})
        )

    def animals(self, diet: Diet) -> tuple[Animal, ...]:
        """The animals of the judged group that the food can reach."""
        present = diet.animals
        if not self.own:
            return present
        named = {animal for offer in self.offers for animal in offer.line.for_animals}
        if any(not offer.line.for_animals for offer in self.offers):
            return present
        return tuple(animal for animal in present if animal.id in named) or present

    def worst_day(self, diet: Diet, animal: Animal) -> Interval:
        """Grams of the food that one animal is offered, or can get at, on the day with the most.

        Another group's food counts whole: nobody knows who of them eats it.
        """
        days = self._own_days(diet, animal) if self.own else self._whole_days()
        return max(days.values(), key=lambda grams: (grams.high, grams.low), default=ZERO)

    def taking_three(self, diet: Diet, grams: Interval) -> Interval | None:
        """What an animal gets that takes three shares of food that is shared out on trust.

        Never more than is laid out for all. None where each is fed on its own, and for food of
        other groups, which counts whole already. The three is common practice, no source.
        """
        shared = len(diet.animals) > 1 or diet.group.is_colony
        if not self.own or not shared or diet.group.fed == "singly" or not grams.is_bounded:
            return None
        whole = max((one.high for one in self._whole_days().values()), default=grams.high)
        return Interval(grams.low, max(grams.high, min(grams.high * SHARES, whole)))

    def over_rota(self, diet: Diet, animal: Animal) -> Interval:
        """Grams over as many days as a rota has, where they bring the most."""
        span = diet.settings.rota_days
        by_date = dict(self._dated(diet, animal)) if self.own else self._whole_days()
        sums = [
            sum((by_date[on] for on in by_date if 0 <= (on - start).days < span), ZERO)
            for start in by_date
        ]
        return max(sums, key=lambda grams: (grams.high, grams.low), default=ZERO)

    def _dated(self, diet: Diet, animal: Animal) -> Iterator[tuple[date, Interval]]:
        by_key = self._own_days(diet, animal)
        return ((day.on, by_key[day.key]) for day in diet.days)

    def _own_days(self, diet: Diet, animal: Animal) -> dict[tuple[int, ...], Interval]:
        share_of = {offer.line.food: share for offer, share in self._pairs()}
        days: dict[tuple[int, ...], Interval] = {}
        for day in self.days:
            grams_of = diet.day_ration(animal, day).grams_of
            total = ZERO
            for food, share in share_of.items():
                if food in grams_of:
                    total = total + grams_of[food] * share
            days[day.key] = max(total, days.get(day.key, total), key=lambda grams: grams.high)
        return days

    def _whole_days(self) -> dict[date, Interval]:
        days: dict[date, Interval] = defaultdict(lambda: ZERO)
        for offer, share in self._pairs():
            for occasion in offer.occasions:
                days[occasion.on] = days[occasion.on] + offer.whole * share
        return days

    def _pairs(self) -> Iterator[tuple[Offer, Interval]]:
        return zip(self.offers, self.shares, strict=True)


def exposures(diet: Diet) -> tuple[Exposure, ...]:
    """Every food that can reach the group, own food first."""
    days = different_days(diet)
    own = _gathered(diet.offers(), days, own=True)
    reachable = diet.reachable()
    within = tuple(offer for offer in reachable if not offer.leftover)
    left = tuple(offer for offer in reachable if offer.leftover)
    return (
        *own,
        *_gathered(within, days, own=False),
        *_gathered(left, days, own=False),
    )


def different_days(diet: Diet) -> tuple[PlannedDay, ...]:
    """The judged days that differ in what is fed, or in who is there to share it."""
    moving = any(animal.here_from or animal.here_until for animal in diet.group.animals)
    found = {(day.key, day.on if moving else None): day for day in reversed(diet.days)}
    return tuple(reversed(found.values()))


def _gathered(
    offers: tuple[Offer, ...], days: tuple[PlannedDay, ...], *, own: bool
) -> Iterator[Exposure]:
    held: dict[Food, dict[Offer, Interval]] = defaultdict(dict)
    for offer in offers:
        for part, share in offer.line.food.all_parts():
            known = held[part].get(offer)
            held[part][offer] = share if known is None else known + share
    for part, by_offer in held.items():
        yield Exposure(part, own, tuple(by_offer), tuple(by_offer.values()), days)
