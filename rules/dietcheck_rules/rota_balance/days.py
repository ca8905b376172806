"""What an animal is offered on each day, as far as it is food."""

from collections.abc import Iterable, Sequence

from dietcheck.contract import Animal, Diet, Line, PlannedDay, Pointer, When

NO_FOOD = frozenset({"supplement", "mineral", "medicine", "water"})


def lines_for(animal: Animal, day: PlannedDay, *, treats: bool = True) -> list[Line]:
    """The lines of a day that are food for an animal that is here then; supplements, medicine and
    water are not."""
    return [
        line
        for feed in day.feeds
        for line in feed.lines
        if line.food.food_class not in NO_FOOD
        and (treats or line.treat is None)
        and (not line.for_animals or animal.id in line.for_animals)
    ]


def alike(diet: Diet) -> Iterable[list[Animal]]:
    """The animals in sets that are offered the same foods on the same days and are of one stage."""
    own = [offer.line for offer in diet.offers()]
    found: dict[tuple[object, ...], list[Animal]] = {}
    for animal in diet.animals:
        key = (
            animal.stage,
            animal.here_from,
            animal.here_until,
            tuple(animal.id in one.for_animals for one in own),
        )
        found.setdefault(key, []).append(animal)
    return found.values()


def whens(days: Iterable[PlannedDay]) -> tuple[When, ...]:
    """The days as a check names them."""
    return tuple(When(day.on, day.number) for day in days)


def rota_lines(days: Sequence[PlannedDay]) -> tuple[Pointer, ...]:
    """The rota lines of some days, each once."""
    return tuple(
        dict.fromkeys(day.rota.days[day.number - 1].place for day in days if day.rota is not None)
    )
