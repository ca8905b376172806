"""The days for which a group's food is judged, and how they follow each other."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from msgspec.structs import replace

from dietcheck.collection.collection import Collection
from dietcheck.nutrition.calendar import (
    HORIZON_DAYS,
    Stretch,
    plan_changes,
    present_cycle,
    stretches,
    treat_changes,
)
from dietcheck.nutrition.leftovers import Received
from dietcheck.nutrition.plan import PlannedDay, Planner

LaidOut = tuple[tuple[Stretch, tuple[PlannedDay, ...]], ...]


class JudgedDays:
    """The planned days of one group, judged as at a day; laid out when somebody asks."""

    def __init__(self, collection: Collection, group: str, on: date) -> None:
        self._collection = collection
        self._group = group
        self._on = on
        self._rota_days = collection.settings.rota_days
        received = Received(collection, group, on)
        self._planner = Planner(collection, group, received.lines)
        self._laid: LaidOut | None = None
        self._all: tuple[PlannedDay, ...] | None = None
        self._wider: dict[tuple[int, bool], LaidOut] = {}

    @property
    def all(self) -> tuple[PlannedDay, ...]:
        """Every judged day, oldest first. Empty when the group has no rota at all."""
        if self._all is None:
            self._all = tuple(day for _, days in self._laid_out for day in days)
        return self._all

    @property
    def _laid_out(self) -> LaidOut:
        if self._laid is None:
            self._laid = self._lay_out()
        return self._laid

    def day(self, on: date) -> PlannedDay:
        """The plan of any date, whether it is judged or not."""
        return self._planner.day(on)

    def days_before(self, count: int) -> tuple[PlannedDay, ...]:
        """The last `count` real days before the judged ones, oldest first, as they were planned.

        They reach back no further than a rota was in force: what was fed before is not known.
        """
        found: list[PlannedDay] = []
        for stretch, _ in self._laid_out[:1]:
            for back in range(1, count + 1):
                day = self._planner.day(stretch.first - timedelta(days=back))
                if day.rota is None:
                    break
                found.append(day)
        return tuple(reversed(found))

    def lived(self, back: int, beyond: int) -> tuple[PlannedDay, ...]:
        """Days in a row by date: `back` days before the judged one, then on until all that is
        written has come round once and `beyond` days more.

        They begin no earlier than a rota was in force. Unlike `runs` they have no gaps, so a long
        wait between two feeds is seen whole, whatever changes on the way.
        """
        written = (
            *plan_changes(self._collection, self._group),
            *treat_changes(self._collection, self._group),
        )
        horizon = self._on + timedelta(days=HORIZON_DAYS)
        last_change = max((day for day in written if day <= horizon), default=self._on)
        steady = max(last_change, self._on)
        end = steady + timedelta(days=self._rota_days + beyond)
        found: list[PlannedDay] = []
        for offset in range(-back, (end - self._on).days):
            day = self._planner.day(self._on + timedelta(days=offset))
            if day.rota is None and day.on < self._on:
                found.clear()  # what was fed before is not known
            else:
                found.append(day)
        return tuple(found)

    def runs(self, beyond: int) -> Iterator[tuple[PlannedDay, ...]]:
        """The judged days as they follow each other, gaps between changes apart.

        Days that repeat for ever are followed by the first `beyond` days of their next rounds, so
        that what meets across the join is seen.
        """
        for stretch, planned in self._laid_out:
            yield tuple(planned[position] for position in stretch.run(beyond))

    def reaching(self, days: int, past: bool) -> LaidOut:
        """The judged days, laid out widely enough for runs of so many days."""
        if not past and days <= self._rota_days:
            return self._laid_out
        if (days, past) not in self._wider:
            laid_out = self._lay_out(days)
            if past and laid_out:
                laid_out = (self._with_past(*laid_out[0], days), *laid_out[1:])
            self._wider[days, past] = laid_out
        return self._wider[days, past]

    def _lay_out(self, reach: int = 1) -> LaidOut:
        collection, group = self._collection, self._group
        rotas = collection.rotas.get(group, ())
        first = present_cycle(rotas, collection.rota_on(group, self._on), self._on)
        if first is None:
            return ()
        # What others leave changes with them. A giver whose record cannot be used is told apart.
        givers = (name for name in collection.givers.get(group, ()) if name in collection.groups)
        fed_by = (group, *givers)
        changed = tuple(day for name in fed_by for day in plan_changes(collection, name))
        # Days before a change that has already happened are history and will not come again.
        first = max((first, *(day for day in changed if day <= self._on)))
        changes = (*changed, *treat_changes(collection, group))
        return tuple(
            (stretch, tuple(self._planner.day(day) for day in stretch.dates()))
            for stretch in stretches(first, collection.settings.rota_days, changes, reach)
        )

    def _with_past(
        self, stretch: Stretch, planned: tuple[PlannedDay, ...], days: int
    ) -> tuple[Stretch, tuple[PlannedDay, ...]]:
        before = self.days_before(days - 1 - (self._on - stretch.first).days)
        longer = replace(
            stretch,
            first=stretch.first - timedelta(days=len(before)),
            length=stretch.length + len(before),
        )
        return longer, (*before, *planned)
