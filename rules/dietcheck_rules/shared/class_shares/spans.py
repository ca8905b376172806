"""The runs of days a limit speaks of, with what an animal is offered in them."""

from collections.abc import Iterator

from msgspec import Struct

from dietcheck.contract import Animal, Diet, PlannedDay, Ration, When

_DAYS = {"7 days": 7}
OVER = ("day", "7 days", "rota")


class Span(Struct, frozen=True, eq=False):
    """Days in a row, or days that are fed alike, and one animal's ration of them."""

    ration: Ration
    occasions: tuple[When, ...]


def spans(diet: Diet, animals: list[Animal], over: str) -> Iterator[tuple[Animal, Span]]:
    """Each animal with each of its spans that holds any food.

    Animals whose food no line tells apart share one span, so that a share is worked out once.
    """
    even = all(offer.line.is_even for offer in diet.offers())
    known: dict[tuple[object, ...], tuple[Span, ...]] = {}
    for animal in animals:
        who = (animal.here_from, animal.here_until) if even else (animal.id,)
        if who not in known:
            found = _days(diet, animal) if over == "day" else _runs(diet, animal, over)
            known[who] = tuple(span for span in found if span.ration.grams_of)
        for span in known[who]:
            yield animal, span


def _runs(diet: Diet, animal: Animal, over: str) -> Iterator[Span]:
    """Runs without a hole; a hole is reported as one, and nobody knows what is fed in it."""
    for window in diet.windows(animal, _DAYS.get(over, diet.settings.rota_days)):
        if not any(day.holes for day in window.days) and animal.is_here(window.days[-1].on):
            yield Span(window.ration, tuple(When(day.on, day.number) for day in window.days))


def _days(diet: Diet, animal: Animal) -> Iterator[Span]:
    alike: dict[tuple[object, ...], tuple[PlannedDay, list[When]]] = {}
    for day in diet.days:
        if not day.holes and animal.is_here(day.on):
            key = (day.key, *(sharer.id for sharer in diet.present(day.on)))
            alike.setdefault(key, (day, []))[1].append(When(day.on, day.number))
    for day, occasions in alike.values():
        yield Span(diet.day_ration(animal, day), tuple(occasions))
