"""The feeds of one animal in the order of the day, and how many with fruit follow each other.

The feeds that every day fills stand in the order of the settings. An extra feed or a dated treat is
set among them where its name tells the time of day; one that does not could lie anywhere in its
day, so it may or may not come next to another feed with fruit. It never parts two feeds.
"""

from collections.abc import Sequence

from msgspec import Struct

from dietcheck.contract import (
    Animal,
    Food,
    Interval,
    PlannedDay,
    SlotOrder,
    When,
    exact,
    fruit_share,
)


class FeedMark(Struct, frozen=True):
    """One feed of an animal: when, and the foods in it that hold fruit."""

    when: When
    place: tuple[int, int] | None
    fruit: tuple[Food, ...]


Run = Sequence[Sequence[FeedMark]]  # days in a row, the feeds of each in order


def marks_of(animal: Animal, day: PlannedDay, order: SlotOrder) -> tuple[FeedMark, ...]:
    """The animal's feeds on a day, those of no known place first, the others in order."""
    by_slot: dict[str, dict[Food, None]] = {}
    for feed in day.feeds:
        for line in feed.lines:
            if line.for_animals and animal.id not in line.for_animals:
                continue
            fruit = by_slot.setdefault(feed.slot, {})
            if fruit_share(line.food).high:
                fruit[line.food] = None
    marks = [
        FeedMark(When(day.on, day.number, slot), order.get(slot), tuple(fruit))
        for slot, fruit in by_slot.items()
    ]
    return tuple(sorted(marks, key=lambda mark: mark.place or ()))


def longest_running(days: Run) -> tuple[Interval, tuple[FeedMark, ...]]:
    """How many feeds with fruit follow each other at most, as a range, and which they may be."""
    sure = _longest([[mark for mark in day if mark.place is not None] for day in days])
    possible = _longest(days)
    certain = max(len(sure), min(len(possible), 1))
    return exact(certain).hull(exact(len(possible))), possible


def _longest(days: Run) -> tuple[FeedMark, ...]:
    """The longest row; what has no place in its day stands wherever it makes the row longest."""
    best: list[FeedMark] = []
    running: list[FeedMark] = []
    for day in days:
        loose = [mark for mark in day if mark.place is None and mark.fruit]
        running = [*running, *loose]
        best = max(best, running, key=len)
        for mark in day:
            if mark.place is not None:
                running = [*running, mark] if mark.fruit else loose
                best = max(best, running, key=len)
    return tuple(best)
