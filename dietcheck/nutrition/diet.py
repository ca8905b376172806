"""The diet of one group as rules see it: the days, the portions, the rations, who else can eat."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping
from datetime import date
from typing import Any, TypeVar

from msgspec import Struct

from dietcheck.collection.animals import Animal, Group
from dietcheck.collection.collection import Collection
from dietcheck.collection.feeding import Line
from dietcheck.collection.settings import Settings
from dietcheck.history.lookback import NO_LOOKBACK, Lookback
from dietcheck.nutrition.composition import Profiles
from dietcheck.nutrition.days import JudgedDays, LaidOut
from dietcheck.nutrition.leftovers import Leaving, leaving_of
from dietcheck.nutrition.offers import Occasion, Offer
from dietcheck.nutrition.plan import Feed, PlannedDay
from dietcheck.nutrition.portions import Portion, Portioner
from dietcheck.nutrition.rations import Ration
from dietcheck.quantities import ZERO, Interval

T = TypeVar("T")
Portions = tuple[tuple[Feed, tuple[Portion, ...]], ...]  # what one animal gets in a day's feeds
DayKey = tuple[tuple[int, ...], tuple[str, ...]]  # what is fed, and who shares it


class Serving(Struct, frozen=True, eq=False):
    """The central fact: this animal is offered this portion, on this occasion."""

    animal: Animal
    portion: Portion
    occasion: Occasion


class Window(Struct, frozen=True, eq=False):
    """Days in a row, with what one animal is offered in them."""

    days: tuple[PlannedDay, ...]
    ration: Ration


class Diet:
    """Everything a rule may ask about one group's food. Nothing in it changes."""

    def __init__(
        self,
        collection: Collection,
        group: Group,
        on: date,
        profiles: Profiles,
        diets: Mapping[str, Diet],
        before: Callable[[], Mapping[str, Diet]] = dict,
        earlier: Lookback = NO_LOOKBACK,
    ) -> None:
        self._diets = diets
        self._before = before
        self.earlier = earlier
        self.collection = collection
        self.group = group
        self.on = on
        self.profiles = profiles
        self._animals = tuple(
            a for a in group.animals if a.here_until is None or a.here_until >= on
        )
        self.forget()

    def forget(self) -> None:
        """Let go of all that was worked out, which takes far more room than what is written."""
        self._days = JudgedDays(self.collection, self.group.id, self.on)
        self._portioner = Portioner(self.collection.settings, self.on)
        self._keys: dict[PlannedDay, tuple[frozenset[str], bool, DayKey]] = {}
        self._fed: dict[tuple[str, DayKey], Portions] = {}
        self._rations: dict[tuple[str, DayKey], Ration] = {}
        self._runs: dict[tuple[tuple[str, DayKey], ...], Ration] = {}
        self._masses: dict[Animal, Interval | None] = {}
        self._windows: dict[tuple[tuple[str, ...], int, bool], tuple[Window, ...]] = {}
        self._offers: tuple[Offer, ...] | None = None
        self._leavings: tuple[Leaving, ...] | None = None
        self._present: dict[date, tuple[Animal, ...]] = {}
        self._derived: dict[Hashable, Any] = {}

    def once(self, name: Hashable, work_out: Callable[[], T]) -> T:
        """What a rule works out of the diet, kept for the rules that ask the same after it."""
        if name not in self._derived:
            self._derived[name] = work_out()
        found: T = self._derived[name]
        return found

    @property
    def past(self) -> Diet | None:
        """The group's diet at the earlier version, judged as at the same day; None if there is
        no earlier version, or the group is not in it."""
        return self._before().get(self.group.id)

    @property
    def settings(self) -> Settings:
        """The collection's settings."""
        return self.collection.settings

    @property
    def animals(self) -> tuple[Animal, ...]:
        """The animals that live in the group on the judged day or arrive later."""
        return self._animals

    @property
    def days(self) -> tuple[PlannedDay, ...]:
        """Every judged day, oldest first. Empty when the group has no rota at all."""
        return self._days.all

    def day(self, on: date) -> PlannedDay:
        """The plan of any date, whether it is judged or not."""
        return self._days.day(on)

    def days_before(self, count: int) -> tuple[PlannedDay, ...]:
        """The last `count` real days before the judged ones; see `JudgedDays`."""
        return self._days.days_before(count)

    def lived(self, back: int, beyond: int) -> tuple[PlannedDay, ...]:
        """Days in a row by date, without gaps; see `JudgedDays`."""
        return self._days.lived(back, beyond)

    def runs(self, beyond: int) -> Iterator[tuple[PlannedDay, ...]]:
        """The judged days as they follow each other, gaps apart; see `JudgedDays`."""
        return self._days.runs(beyond)

    def mass_of(self, animal: Animal) -> Interval | None:
        """The body mass in grams; None when there is no weighing, or none the settings still
        count as current (`weigh_every`)."""
        if animal not in self._masses:
            self._masses[animal] = self._mass_of(animal)
        return self._masses[animal]

    def _mass_of(self, animal: Animal) -> Interval | None:
        weighing = animal.weighed(self.on)
        if weighing is None:
            return None
        period = self.settings.weigh_within(self.group.taxon)
        return None if period and period.after(weighing.on) < self.on else weighing.mass

    def present(self, on: date) -> tuple[Animal, ...]:
        """The animals that share the food on a day."""
        if on not in self._present:
            self._present[on] = self.group.present(on)
        return self._present[on]

    def feeds(self, animal: Animal, day: PlannedDay) -> Portions:
        """Each feed of a day with the animal's portions in it."""
        key = self._ration_key(animal, day)
        if key not in self._fed:
            self._fed[key] = tuple(self._portions(animal, day))
        return self._fed[key]

    def _portions(
        self, animal: Animal, day: PlannedDay
    ) -> Iterator[tuple[Feed, tuple[Portion, ...]]]:
        present = self.present(day.on)
        if animal not in present:
            return
        for feed in day.feeds:
            portions = (self._portioner.portion(line, animal, present) for line in feed.lines)
            yield feed, tuple(p for p in portions if p is not None)

    def servings(self, animal: Animal) -> Iterator[Serving]:
        """Every serving of an animal in the judged days."""
        for day in self.days:
            for feed, portions in self.feeds(animal, day):
                occasion = Occasion(day.on, day.number, feed.slot, feed.meal)
                for portion in portions:
                    yield Serving(animal, portion, occasion)

    def received(self, animal: Animal, day: PlannedDay) -> tuple[Portion, ...]:
        """The animal's share of what other groups may leave on a day: from nothing up to it."""
        present = self.present(day.on)
        if animal not in present:
            return ()
        portions = (self._portioner.portion(line, animal, present) for line in day.received)
        return tuple(portion for portion in portions if portion is not None)

    def day_ration(self, animal: Animal, day: PlannedDay) -> Ration:
        """What the animal is offered on one day, and what others may leave to it."""
        key = self._ration_key(animal, day)
        if key not in self._rations:
            own = (p for _, portions in self.feeds(animal, day) for p in portions)
            portions = (*own, *self.received(animal, day))
            self._rations[key] = Ration.of_portions(portions, 1, self.profiles)
        return self._rations[key]

    def _ration_key(self, animal: Animal, day: PlannedDay) -> tuple[str, DayKey]:
        """What a day's ration hangs on: where every animal gets the same, one serves them all."""
        if day not in self._keys:
            ids = tuple(a.id for a in self.present(day.on))
            even = all(feed.is_even for feed in day.feeds)
            self._keys[day] = frozenset(ids), even, (day.key, ids)
        present, even, key = self._keys[day]
        return "" if even and animal.id in present else animal.id, key

    def most_in_a_day(self, animal: Animal, food: str) -> Interval:
        """The most of a food that the animal is offered in one judged day, mixes included."""
        worst = ZERO
        for day in self.days:
            grams = ZERO
            for offered, amount in self.day_ration(animal, day).grams_of.items():
                for part, share in offered.all_parts():
                    if part.id == food:
                        grams = grams + amount * share
            worst = max(worst, grams, key=lambda found: found.high)
        return worst

    def meal_rations(self, animal: Animal, day: PlannedDay) -> Iterator[tuple[str, Ration]]:
        """What the animal is offered in each slot of a day, all feeds of the slot together."""
        by_slot: dict[str, list[Portion]] = {}
        for feed, portions in self.feeds(animal, day):
            by_slot.setdefault(feed.slot, []).extend(portions)
        if left := self.received(animal, day):
            by_slot["left over by others"] = list(left)
        for slot, portions_of in by_slot.items():
            yield slot, Ration.of_portions(portions_of, 1, self.profiles)

    def windows(self, animal: Animal, days: int, *, past: bool = False) -> tuple[Window, ...]:
        """Every run of that many days, across the join of the last rota day to the first.

        With `past` also every run that began before the judged days and is not over on the day as
        at which they are judged: the rota and sheet of then, and the treats that were given.
        """
        laid_out = self._days.reaching(days, past)
        fed_as = tuple(self._ration_key(animal, day)[0] for _, run in laid_out for day in run)
        key = fed_as, days, past
        if key not in self._windows:
            self._windows[key] = tuple(self._find_windows(animal, days, laid_out))
        return self._windows[key]

    def _find_windows(self, animal: Animal, days: int, laid_out: LaidOut) -> Iterator[Window]:
        for stretch, planned in laid_out:
            for positions in stretch.windows(days):
                run = tuple(planned[position] for position in positions)
                key = tuple(self._ration_key(animal, day) for day in run)
                if key not in self._runs:
                    rations = (self.day_ration(animal, day) for day in run)
                    self._runs[key] = Ration.joined(rations, self.profiles)
                yield Window(run, self._runs[key])

    def rotas(self, animal: Animal) -> tuple[Window, ...]:
        """The rota-long windows: one for a rota that simply repeats, more around changes."""
        return self.windows(animal, self.settings.rota_days)

    def offers(self) -> tuple[Offer, ...]:
        """The group's own lines, each once, with all its givings."""
        if self._offers is None:
            self._offers = tuple(self._collect_offers())
        return self._offers

    def given(self) -> tuple[Offer, ...]:
        """All that comes to the group: its own lines, and then what others leave to it."""
        left = (offer for leaving in self.leavings() for offer in leaving.offers)
        return (*self.offers(), *left)

    def reachable(self) -> tuple[Offer, ...]:
        """The lines of other groups' food that this group's animals can get at.

        That is what lies within reach, and what others leave to them or to those within reach.
        """
        others = [self._diets[other.id] for other in self.collection.reaching(self.group)]
        within = (offer for other in others for offer in other.offers())
        left = (
            offer
            for diet in (self, *others)
            for leaving in diet.leavings()
            if leaving.giver is not self.group
            for offer in leaving.offers
        )
        return (*within, *left)

    def leavings(self) -> tuple[Leaving, ...]:
        """What other groups' sheets leave to this group in their judged days."""
        if self._leavings is None:
            names = self.collection.givers.get(self.group.id, ())
            givers = [self._diets[name] for name in names if name in self._diets]
            self._leavings = tuple(
                leaving_of(giver.group, sheet, leftover, giver.offers(), giver.days)
                for giver in givers
                for sheet in dict.fromkeys(day.sheet for day in giver.days)
                if sheet is not None
                for leftover in sheet.leftovers
                if leftover.to == self.group.id
            )
        return self._leavings

    def _collect_offers(self) -> Iterator[Offer]:
        givings: dict[Feed, list[Occasion]] = {}
        for day in self.days:
            for feed in day.feeds:
                occasion = Occasion(day.on, day.number, feed.slot, feed.meal)
                givings.setdefault(feed, []).append(occasion)
        by_line: dict[Line, tuple[Occasion, ...]] = {}
        for feed, occasions in givings.items():
            these = tuple(occasions)
            for line in feed.lines:
                by_line[line] = (*by_line[line], *these) if line in by_line else these
        for line, these in by_line.items():
            yield Offer(line, self.group, these, self._whole)

    def _whole(self, line: Line, on: date) -> Interval:
        return self._portioner.whole(line, self.present(on))


def diets_of(
    collection: Collection,
    on: date,
    before: Callable[[], Mapping[str, Diet]] = dict,
    earlier: Lookback = NO_LOOKBACK,
) -> dict[str, Diet]:
    """The diet of every group, judged as at a day.

    `before` gives the diets of the earlier version; it is asked only when a rule looks back.
    `earlier` is that version itself, or the reason why it cannot be seen.
    """
    profiles = Profiles()
    diets: dict[str, Diet] = {}
    for group in collection.groups.values():
        diets[group.id] = Diet(collection, group, on, profiles, diets, before, earlier)
    return diets
