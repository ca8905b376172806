"""The feeds of one animal over all judged days, with what is counted on them.

Animals that get the same lines share one schedule, so a large group costs no more than one animal.
"""

from collections.abc import Iterator
from functools import cached_property

from dietcheck.contract import Animal, Diet, Interval, exact, slot_order
from dietcheck_rules.fruit_as_treat.feed_order import (
    FeedMark,
    longest_running,
    marks_of,
)

Day = tuple[FeedMark, ...]
LONGEST_SPAN = 7  # days of the widest window a limit can speak of, apart from a whole rota


class Schedule:
    """Every feed in order, run by run; a run is days in a row."""

    def __init__(self, runs: tuple[tuple[Day, ...], ...], rota_days: int) -> None:
        self.runs = runs
        self._rota_days = rota_days

    @cached_property
    def has_fruit(self) -> bool:
        """Whether any feed holds fruit."""
        return any(mark.fruit for run in self.runs for day in run for mark in day)

    @cached_property
    def longest(self) -> tuple[tuple[Interval, tuple[FeedMark, ...]], ...]:
        """For each run with fruit, the longest row of feeds with fruit one after the other.

        A row that never ends counts as the feeds of one rota.
        """
        most = max((len(_all(days)) for days in self._windows(self._rota_days)), default=0)
        rows = (longest_running(run) for run in self.runs)
        return tuple(
            (exact(most) if value.low > most else value, marks) for value, marks in rows if marks
        )

    def busiest(self, span: int, of_days: bool) -> tuple[int, tuple[FeedMark, ...]]:
        """The most feeds with fruit, or days with fruit, in so many days in a row; and which."""
        counted = (_count(days, of_days) for days in self._windows(span))
        return max(counted, key=lambda found: found[0], default=(0, ()))

    @cached_property
    def how_often(self) -> str:
        """The feeds and days with fruit in the rota that has most of them."""
        rotas = self._windows(self._rota_days)
        most = max(rotas, key=lambda days: _count(days, False)[0], default=())
        return (
            f"fruit in {_count(most, False)[0]} of the {len(_all(most))} feeds of a rota, "
            f"on {_count(most, True)[0]} of {self._rota_days} days"
        )

    def _windows(self, span: int) -> Iterator[tuple[Day, ...]]:
        for run in self.runs:
            for start in range(max(len(run) - span, 0) + 1):
                yield run[start : start + span]


def _all(days: tuple[Day, ...]) -> Day:
    return tuple(mark for day in days for mark in day)


def _count(days: tuple[Day, ...], of_days: bool) -> tuple[int, Day]:
    """How many feeds or days with fruit, and which; a rota's day counts each time it is fed."""
    given = tuple(mark for mark in _all(days) if mark.fruit)
    return sum(any(mark.fruit for mark in day) for day in days) if of_days else len(given), given


def schedules(diet: Diet) -> Iterator[tuple[Animal, Schedule]]:
    """Each animal of the group with its feeds."""
    days = diet.settings.rota_days
    order = slot_order(diet.settings.feeds, diet.settings.extra_feeds)
    runs = tuple(diet.runs(max(days, LONGEST_SPAN)))
    named = [offer.line.for_animals for offer in diet.offers() if offer.line.for_animals]
    known: dict[tuple[object, ...], Schedule] = {}
    for animal in diet.animals:
        mine = tuple(animal.id in names for names in named)
        key = (animal.here_from, animal.here_until, mine)
        if key not in known:
            marks = {
                id(day): marks_of(animal, day, order) if animal.is_here(day.on) else ()
                for run in runs
                for day in run
            }
            laid_out = tuple(tuple(marks[id(day)] for day in run) for run in runs)
            known[key] = Schedule(laid_out, days)
        yield animal, known[key]
