"""The runs of days a limit speaks of, with what an animal is offered in them; each summed once."""

from collections.abc import Iterator

from msgspec import Struct

from dietcheck.contract import Animal, Diet, PlannedDay, Ration, When

_DAYS = {"7 days": 7}
OVER = ("day", "7 days", "rota")
Who = tuple[object, ...]


class Span(Struct, frozen=True, eq=False):
    """Days in a row, or days fed alike, and one animal's ration of them."""

    days: tuple[PlannedDay, ...]
    ration: Ration

    def occasions(self) -> tuple[When, ...]:
        """The days, as a check names them."""
        return tuple(When(day.on, day.number) for day in self.days)


def spans(diet: Diet, animal: Animal, over: str) -> tuple[Span, ...]:
    """The spans of one animal: every run of a rota or of seven days, or every kind of day.

    Days with a hole in the rota are left out, as nobody knows what is fed on them. Spans without
    any food hold no concentration and are left out too.
    """

    def found() -> tuple[Span, ...]:
        spans = _single(diet, animal) if over == "day" else _runs(diet, animal, over)
        return tuple(span for span in spans if span.ration.grams_of)

    return diet.once(("spans", over, who(diet, animal)), found)


def who(diet: Diet, animal: Animal) -> Who:
    """What tells an animal's food from that of the others of its group."""
    even = diet.once("even", lambda: all(offer.line.is_even for offer in diet.offers()))
    return (animal.here_from, animal.here_until) if even else (animal.id,)


def by_stage(diet: Diet) -> dict[str | None, list[Animal]]:
    """The animals of the group by their stage of life."""
    stages: dict[str | None, list[Animal]] = {}
    for animal in diet.animals:
        stages.setdefault(animal.stage, []).append(animal)
    return stages


def _runs(diet: Diet, animal: Animal, over: str) -> Iterator[Span]:
    """Each run once. Runs that an arrival or a leaving cuts short count only without whole ones."""
    length = _DAYS.get(over, diet.settings.rota_days)
    whole: dict[tuple[object, ...], Span] = {}
    cut: dict[tuple[object, ...], Span] = {}
    for window in diet.windows(animal, length):
        here = tuple(day for day in window.days if animal.is_here(day.on))
        days = tuple(day for day in here if not day.holes)
        if not days:
            continue
        same = tuple(sorted((day.key, _sharers(diet, day)) for day in days))
        kept = whole if len(here) == length else cut
        if same not in kept:
            kept[same] = Span(days, _ration(diet, animal, window.ration, days, length))
    yield from (whole or cut).values()


def _ration(
    diet: Diet, animal: Animal, full: Ration, days: tuple[PlannedDay, ...], length: int
) -> Ration:
    if len(days) == length:
        return full
    return Ration.joined((diet.day_ration(animal, day) for day in days), diet.profiles)


def _single(diet: Diet, animal: Animal) -> Iterator[Span]:
    alike: dict[tuple[object, ...], list[PlannedDay]] = {}
    for day in diet.days:
        if animal.is_here(day.on) and not day.holes:
            alike.setdefault((day.key, _sharers(diet, day)), []).append(day)
    for days in alike.values():
        yield Span(tuple(days), diet.day_ration(animal, days[0]))


def _sharers(diet: Diet, day: PlannedDay) -> tuple[str, ...]:
    return tuple(animal.id for animal in diet.present(day.on))
