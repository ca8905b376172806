"""Concentrate or starch in one meal, per kg of body mass: a great meal overruns the gut."""

from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal

from msgspec import Struct

from dietcheck.contract import (
    UNKNOWN,
    ZERO,
    Alike,
    Animal,
    Applied,
    Check,
    Diet,
    Figure,
    Food,
    Interval,
    Limit,
    Limits,
    Measure,
    PlannedDay,
    Pointer,
    Ration,
    Verdict,
    When,
    class_share,
    excess,
    format_interval,
    hold,
    not_applicable,
)
from dietcheck_rules.concentrate_ceiling.words import CONCENTRATE, backing, not_countable, who
from dietcheck_rules.shared.class_shares import by_stage
from dietcheck_rules.shared.wording import figure_words, limit_words

Part = tuple[Food, Interval]


def concentrate(ration: Ration) -> list[Part]:
    """Grams as fed of concentrate that each food of a meal brings, the most first."""
    found = [
        (food, grams * class_share(Ration({food: grams}, 1, ration.profiles), _CLASSES, None))
        for food, grams in ration.grams_of.items()
    ]
    return sorted((one for one in found if one[1].high), key=lambda one: (-one[1].high, one[0].id))


def starch(ration: Ration) -> list[Part]:
    """Grams of starch that each food of a meal brings, the most first."""
    return [part for part in ration.contributions("starch") if part[1].high]


_CLASSES = CONCENTRATE.classes
MEASURES: Mapping[str, tuple[str, Callable[[Ration], list[Part]]]] = {
    "concentrate-per-meal": ("concentrate", concentrate),
    "starch-per-meal": ("starch", starch),
}


class Reading(Struct, frozen=True, eq=False):
    """A figure for one meal, with what brings it."""

    figure: Figure
    parts: list[Part]


def judge_meals(diet: Diet, limits: Limits) -> Iterator[Check]:
    """One check for each limit on a meal and verdict."""
    for stage, animals in by_stage(diet).items():
        for quantity in MEASURES:
            for applied in limits.each(diet.group, quantity, stage=stage):
                yield from _judge(diet, applied, animals)


def can_judge(limit: Limit) -> bool:
    """Whether the limit is in grams per kg of body mass, in one meal."""
    return (limit.unit, limit.basis, limit.over) == ("g/kg", "body mass", "meal")


def worst_meals(
    diet: Diet, limit: Limit, animals: list[Animal], times: int = 1
) -> Iterator[Reading]:
    """Of each animal the meals past the limit; else those across it; else the biggest one.

    `times` multiplies what the animal gets, for the case that it takes the shares of others.
    """
    measure = MEASURES[limit.quantity][1]
    even = all(offer.line.is_even for offer in diet.offers())
    known: dict[tuple[object, ...], list[tuple[list[Part], tuple[When, ...]]]] = {}
    for animal in animals:
        mass = diet.mass_of(animal)
        # Animals whose food no line tells apart have the same meals: reckoned once.
        key = (animal.here_from, animal.here_until) if even else (animal.id,)
        if key not in known:
            known[key] = [(measure(ration), on) for ration, on in _meals(diet, animal)]
        standing: dict[str, list[Reading]] = {}
        for planned, occasions in known[key]:
            parts = [(food, grams * times) for food, grams in planned]
            value = _per_kg(sum((grams for _, grams in parts), ZERO), mass)
            reading = Reading(Figure(animal, value, occasions), parts)
            standing.setdefault(limit.stands(value), []).append(reading)
        inside = sorted(standing.get("inside", []), key=lambda one: excess(one.figure.value, limit))
        yield from standing.get("past") or standing.get("across") or inside[-1:]


def _per_kg(grams: Interval, mass: Interval | None) -> Interval:
    if not grams.high:
        return ZERO
    return UNKNOWN if mass is None else grams / (mass / 1000)


def _meals(diet: Diet, animal: Animal) -> Iterator[tuple[Ration, tuple[When, ...]]]:
    """Each meal with all its occasions; days that are fed alike are taken together."""
    alike: dict[tuple[object, ...], tuple[PlannedDay, list[PlannedDay]]] = {}
    for day in diet.days:
        if animal.is_here(day.on):
            key = (day.key, *(sharer.id for sharer in diet.present(day.on)))
            alike.setdefault(key, (day, []))[1].append(day)
    for first, days in alike.values():
        for slot, ration in diet.meal_rations(animal, first):
            yield ration, tuple(When(day.on, day.number, slot) for day in days)


def _judge(diet: Diet, applied: Applied, animals: list[Animal]) -> Iterator[Check]:
    limit = applied.limit
    what = MEASURES[limit.quantity][0]
    if not can_judge(limit):
        remedy = "Write the limit in g per kg body mass, over: meal."
        yield not_countable(diet, limit, f"{what} in a meal", remedy)
        return
    readings = list(worst_meals(diet, limit, animals))
    if not readings:
        yield not_applicable(limit.quantity, f"{diet.group.called}: nothing is planned to be fed.")
    parts = {id(reading.figure): reading.parts for reading in readings}
    for alike in hold((reading.figure for reading in readings), limit):
        yield report(diet, applied, alike, parts[id(alike.worst)], f"{what} in one meal")


def report(
    diet: Diet, applied: Applied, alike: Alike, parts: list[Part], what: str, note: str = ""
) -> Check:
    """The check for meals that stand alike; `note` is a step of the working put before the rest."""
    limit, worst = applied.limit, alike.worst
    kept = alike.verdict is Verdict.KEPT
    mass = diet.mass_of(worst.animal)
    return Check(
        verdict=alike.verdict,
        about=what,
        severity=alike.severity,
        message=_message(diet, limit, alike, what, known=mass is not None),
        advice="" if kept else _advice(alike),
        animals=alike.animals,
        occasions=() if kept else alike.occasions,
        measured=Measure.against(worst.value, limit),
        limit=limit,
        others=applied.others,
        working=() if kept else (*filter(None, (note,)), *_working(limit, worst, parts, mass)),
        settles="" if alike.verdict is not Verdict.CANNOT_TELL else _settles(alike, parts, mass),
        places=() if kept else tuple(_places(diet, worst.animal, limit, parts)),
    )


def _message(diet: Diet, limit: Limit, alike: Alike, what: str, *, known: bool) -> str:
    bound = f"{limit_words(limit)} ({backing(limit)})"
    if not known and alike.verdict is Verdict.CANNOT_TELL:
        return f"{who(diet, alike)}: no current weighing, so {what} cannot be held against {bound}."
    said = f"{who(diet, alike)}: {what} {figure_words(alike.worst.value, limit)}"
    match alike.verdict:
        case Verdict.BREACH:
            return f"{said}; the limit is {bound}."
        case Verdict.CANNOT_TELL:
            return f"{said}; whether that keeps {bound} cannot be told."
        case _:
            return f"{said}, within {bound}."


def _advice(alike: Alike) -> str:
    if alike.verdict is Verdict.CANNOT_TELL:
        return "Get what is named below, or ask the nutrition lead."
    return "Split it over more feeds, or ask the vet before the sheet is fed."


def _working(limit: Limit, worst: Figure, parts: list[Part], mass: Interval | None) -> list[str]:
    steps = [f"{food.name}: {format_interval(grams, 'g')}" for food, grams in parts[:5]]
    together = format_interval(sum((grams for _, grams in parts), ZERO), "g")
    kilograms = format_interval(mass / 1000, "kg") if mass else "no current weighing"
    steps.append(f"{together} ÷ {kilograms} = {figure_words(worst.value, limit)}")
    steps.append(f"limit: {limit_words(limit)} in one meal: {backing(limit)}")
    over = excess(worst.value, limit)
    if over.is_finite() and over > 0:
        steps.append(f"past it by up to {format_interval(Interval(over, over), 'g per kg')}")
    return steps


def _settles(alike: Alike, parts: list[Part], mass: Interval | None) -> str:
    if mass is None:
        return f"a weighing of {alike.worst.animal.called} that still counts as current"
    widest = max(parts, key=lambda part: _width(part[1]))[0]
    return f"how much of it {widest.name} ({widest.id}) brings, from its maker or the scales"


def _width(grams: Interval) -> Decimal:
    return grams.high - grams.low


def _places(diet: Diet, animal: Animal, limit: Limit, parts: list[Part]) -> Iterator[Pointer]:
    for food, _ in parts[:3]:
        for offer in diet.given():
            line = offer.line
            if line.food is food and (not line.for_animals or animal.id in line.for_animals):
                yield line.place.at("amount")
    if limit.place:
        yield limit.place
