"""A share of the diet by food class, measured the way a limit counts it."""

from collections.abc import Iterable, Iterator

from msgspec import Struct

from dietcheck.contract import (
    Animal,
    Diet,
    Figure,
    Food,
    Interval,
    Limit,
    Ration,
    class_share,
    excess,
)
from dietcheck_rules.shared.class_shares.spans import OVER, spans

_BASES = ("dry matter", "as fed", "unstated")


class Share(Struct, frozen=True):
    """A quantity of the limit table: its name, the foods in words, and their classes."""

    quantity: str
    title: str
    classes: tuple[str, ...]


class Reading(Struct, frozen=True, eq=False):
    """A figure with the ration it was worked out from."""

    figure: Figure
    ration: Ration


def can_judge(limit: Limit) -> bool:
    """Whether the limit is a share of the diet by mass, over days."""
    return limit.unit == "%" and limit.basis in _BASES and limit.over in OVER


def of(limit: Limit) -> str | None:
    """What the share is a share of: dry matter, or None for food as fed."""
    return "dry_matter" if limit.basis == "dry matter" else None


def worst_readings(
    diet: Diet, animals: list[Animal], share: Share, limit: Limit
) -> Iterator[Reading]:
    """Of each animal the readings past the limit; else those across it; else the nearest to it."""
    known: dict[int, Interval] = {}
    of_animal: dict[str, list[Reading]] = {}
    for animal, span in spans(diet, animals, limit.over):
        if id(span) not in known:
            known[id(span)] = measure(span.ration, share.classes, limit)
        figure = Figure(animal, known[id(span)], span.occasions)
        of_animal.setdefault(animal.id, []).append(Reading(figure, span.ration))
    for readings in of_animal.values():
        yield from _worst(readings, limit)


def measure(ration: Ration, classes: Iterable[str], limit: Limit) -> Interval:
    """The share of some classes in a ration, in per cent of what the limit counts."""
    return class_share(ration, classes, of(limit)) * 100


def counted(ration: Ration, share: Share, limit: Limit) -> list[tuple[Food, Interval, Interval]]:
    """Each food that may count, with its grams of dry matter (or as fed) and the part counting.

    The largest first.
    """
    found = []
    for food, grams in ration.grams_of.items():
        part = class_share(Ration({food: grams}, ration.days, ration.profiles), share.classes, None)
        if part.high:
            counting = grams if of(limit) is None else grams * _dry(ration, food)
            found.append((food, counting, part))
    return sorted(found, key=lambda one: (-one[1].high, one[0].id))


def _dry(ration: Ration, food: Food) -> Interval:
    return ration.profiles[food].per_100g("dry_matter") / 100


def _worst(readings: list[Reading], limit: Limit) -> list[Reading]:
    standing: dict[str, list[Reading]] = {}
    for reading in readings:
        standing.setdefault(limit.stands(reading.figure.value), []).append(reading)
    if trouble := standing.get("past") or standing.get("across"):
        return trouble
    inside = standing.get("inside")
    return [max(inside, key=lambda reading: excess(reading.figure.value, limit))] if inside else []
