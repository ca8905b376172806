"""Which days of a rota are judged: the present cycle, and every change that is already written.

A rota repeats until a later one starts, so one whole cycle stands for all of it. A treat with a
date, a sheet that starts next week or a rota that ends breaks the repetition; around each such
change the days are laid out by date. All days are real dates; leap days and time zones play no
part, because only whole calendar days are counted.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from msgspec import Struct

from dietcheck.collection.collection import Collection
from dietcheck.collection.feeding import DietSheet, Rota

HORIZON_DAYS = 366  # what is written for later than this is not judged yet, and the report says so


class Stretch(Struct, frozen=True):
    """Days in a row from `first`. If `cycle` is set, its last `cycle` days repeat for ever."""

    first: date
    length: int
    cycle: int | None

    def dates(self) -> Iterator[date]:
        """Every date of the stretch."""
        return (self.first + timedelta(days=n) for n in range(self.length))

    def windows(self, days: int) -> Iterator[tuple[int, ...]]:
        """Every run of that many days, as positions in the stretch, across the join where it
        repeats. Runs that hold the same days as one already given are left out."""
        if self.cycle is None:
            yield from (tuple(range(s, s + days)) for s in range(self.length - days + 1))
            return
        steady_from = self.length - self.cycle
        whole_cycles = days % self.cycle == 0
        for start in range(self.length):
            yield tuple(self._position(start + step) for step in range(days))
            if whole_cycles and start >= steady_from:
                return

    def run(self, beyond: int) -> Iterator[int]:
        """Every position in order, then `beyond` further days where the stretch repeats."""
        return map(self._position, range(self.length + (beyond if self.cycle else 0)))

    def _position(self, index: int) -> int:
        if self.cycle is None or index < self.length:
            return index
        return self.length - self.cycle + (index - self.length) % self.cycle


def present_cycle(rotas: tuple[Rota, ...], current: Rota | None, on: date) -> date | None:
    """The first date of the cycle that is running on that day, or of the first one to come."""
    if current is not None:
        return on - timedelta(days=(on - current.start).days % len(current.days))
    return next((rota.start for rota in rotas if rota.start > on), None)


def plan_changes(collection: Collection, group: str) -> Iterator[date]:
    """The dates from which a group's sheet, rota or animals differ from the day before."""
    dated_records: tuple[DietSheet | Rota, ...] = (
        *collection.sheets.get(group, ()),
        *collection.rotas.get(group, ()),
    )
    for dated in dated_records:
        yield dated.start
        if dated.until is not None:
            yield dated.until + timedelta(days=1)
    for animal in collection.groups[group].animals:
        if animal.here_from is not None:
            yield animal.here_from
        if animal.here_until is not None:
            yield animal.here_until + timedelta(days=1)


def treat_changes(collection: Collection, group: str) -> Iterator[date]:
    """The dates of treats, and the days after them, on which the plan goes on as before."""
    for gift in collection.treats.get(group, ()):
        yield gift.on
        yield gift.on + timedelta(days=1)


def stretches(
    first: date, cycle: int, changes: Iterable[date], reach: int = 1
) -> tuple[Stretch, ...]:
    """The days to judge: one cycle from `first`, and a cycle either side of each later change.

    As many more days are laid out as it takes for every run of `reach` days, from every day of the
    cycle, to lie in one of the stretches.
    """
    around = cycle + reach - 1
    latest = first + timedelta(days=HORIZON_DAYS)
    spans = [(first, first + timedelta(days=around))]
    for change in sorted({c for c in changes if first < c <= latest}):
        start = max(first, change - timedelta(days=around))
        end = change + timedelta(days=around)
        last_start, last_end = spans[-1]
        if start <= last_end:
            spans[-1] = (last_start, end)
        else:
            spans.append((start, end))
    last = len(spans) - 1
    return tuple(
        Stretch(start, (end - start).days, cycle if number == last else None)
        for number, (start, end) in enumerate(spans)
    )
