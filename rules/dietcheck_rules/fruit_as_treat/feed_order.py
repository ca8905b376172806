"""The feeds of one animal in the order of the day, and how many with fruit follow each other.

The feeds that every day fills stand in the order of the settings. An extra feed or a dated treat is
set among them where its name tells the time of day; one that does not could lie anywhere in its
day, so it may or may not come next to another feed with fruit. It never parts two feeds.
"""

from collections.abc import Iterable, Sequence

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
    """The animal's feeds on a day, placed ones first and in order."""
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
    return tuple(sorted(marks, key=lambda mark: (mark.place is None, mark.place or (0, 0))))


def longest_running(days: Run) -> tuple[Interval, tuple[FeedMark, ...]]:
    """How many feeds with fruit follow each other at most, as a range, and which they are."""
    sure = _longest([mark for day in days for mark in day if mark.place is not None])
    loose = [mark for day in days for mark in day if mark.place is None and mark.fruit]
    if not loose:
        return exact(len(sure)), sure
    possible = _longest(_as_close_as_can_be(days))
    certain = max(len(sure), 1)
    most = max(certain, len(possible))
    return exact(certain).hull(exact(most)), max(sure, possible, key=len)


def _longest(marks: Iterable[FeedMark]) -> tuple[FeedMark, ...]:
    best: list[FeedMark] = []
    running: list[FeedMark] = []
    for mark in marks:
        running = [*running, mark] if mark.fruit else []
        if len(running) > len(best):
            best = running
    return tuple(best)


def _as_close_as_can_be(days: Run) -> list[FeedMark]:
    """The feeds with each unplaced one next to another feed with fruit, where there is one."""
    marks: list[FeedMark] = []
    for number, day in enumerate(days):
        placed = [mark for mark in day if mark.place is not None]
        loose = [mark for mark in day if mark.place is None and mark.fruit]
        beside = next((n for n, mark in enumerate(placed) if mark.fruit), None)
        if beside is None:
            after = next((later for later in days[number + 1 :] if later), ())
            beside = len(placed) if after and after[0].fruit else -1
        placed[beside + 1 : beside + 1] = loose
        marks.extend(placed)
    return marks
