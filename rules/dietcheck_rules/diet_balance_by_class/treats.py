"""The share of the day's energy, or of its food, that lines flagged as treats bring."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from dietcheck.contract import (
    ZERO,
    Alike,
    Animal,
    Applied,
    Check,
    Diet,
    EnergyMethod,
    Figure,
    Food,
    Interval,
    Limit,
    Limits,
    Measure,
    PlannedDay,
    Pointer,
    Ration,
    Severity,
    Verdict,
    When,
    energy_method,
    energy_per_100g,
    exact,
    format_interval,
    hold,
    not_applicable,
    ratio,
)
from dietcheck_rules.shared.class_shares import by_stage
from dietcheck_rules.shared.wording import figure_words, limit_words, standing_words

QUANTITY = "treat-share"
_BASES = ("energy", "dry matter", "as fed", "unstated")
_OF = {"energy": "energy", "dry matter": "dry matter", "as fed": "food", "unstated": "food"}


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """The share of one day, with the grams of treats in it and the whole of its food."""

    figure: Figure
    treats: dict[Food, Interval]
    ration: Ration


def judge_treats(diet: Diet, limits: Limits) -> Iterator[Check]:
    """One check for each limit on treats and verdict."""
    for stage, animals in by_stage(diet).items():
        for applied in limits.each(diet.group, QUANTITY, stage=stage):
            yield from _judge(diet, applied, animals)


def _judge(diet: Diet, applied: Applied, animals: list[Animal]) -> Iterator[Check]:
    limit = applied.limit
    if limit.standing.is_absence:
        yield not_applicable("treats", f"{diet.group.called}: {limit.standing.value}. {limit.note}")
        return
    if limit.unit != "%" or limit.basis not in _BASES or limit.over != "day":
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about="treats",
            message=f"{diet.group.called}: treats cannot be counted against the limit as it is "
            f"written ({standing_words(limit)}).",
            advice="Write the limit in % of energy, % of dry matter or % as fed, over: day.",
            limit=limit,
            settles="a limit that treats can be counted against",
            places=(limit.place,) if limit.place else (),
        )
        return
    method = energy_method(diet.group.taxon)
    readings = [one for animal in animals for one in _readings(diet, animal, limit, method)]
    if not readings:
        yield not_applicable("treats", f"{diet.group.called}: nothing is planned to be fed.")
    by_figure = {id(reading.figure): reading for reading in readings}
    for alike in hold((reading.figure for reading in readings), limit):
        yield _report(diet, applied, alike, by_figure[id(alike.worst)], method)


def _readings(diet: Diet, animal: Animal, limit: Limit, method: EnergyMethod) -> Iterator[Reading]:
    alike: dict[tuple[object, ...], tuple[PlannedDay, list[When]]] = {}
    for day in diet.days:
        if animal.is_here(day.on):
            key = (day.key, *(sharer.id for sharer in diet.present(day.on)))
            alike.setdefault(key, (day, []))[1].append(When(day.on, day.number))
    for day, occasions in alike.values():
        treats: dict[Food, Interval] = {}
        for _, portions in diet.feeds(animal, day):
            for portion in portions:
                if portion.line.treat is not None:
                    treats[portion.food] = treats.get(portion.food, ZERO) + portion.grams
        ration = diet.day_ration(animal, day)
        if ration.grams_of:
            share = _share(treats, ration, limit, method)
            yield Reading(Figure(animal, share, tuple(occasions)), treats, ration)


def _share(
    treats: dict[Food, Interval], ration: Ration, limit: Limit, method: EnergyMethod
) -> Interval:
    if not treats:
        return ZERO
    parts = []
    for food, grams in ration.grams_of.items():
        content = _content(food, ration, limit, method)
        treat = treats.get(food)
        if treat is None:
            parts.append((grams, ZERO, content))
        elif treat == grams:
            parts.append((grams, content, content))
        else:
            # Partly a treat and partly not: two amounts, each free in its own range.
            parts.append((treat, content, content))
            parts.append(((grams - treat).clamp_low(0), ZERO, content))
    found = ratio(parts) * 100
    return Interval(min(found.low, Decimal(100)), min(found.high, Decimal(100)))


def _content(food: Food, ration: Ration, limit: Limit, method: EnergyMethod) -> Interval:
    if limit.basis == "energy":
        return energy_per_100g(ration.profiles[food], method)
    if limit.basis == "dry matter":
        return ration.profiles[food].per_100g("dry_matter")
    return exact(100)


def _report(
    diet: Diet, applied: Applied, alike: Alike, reading: Reading, method: EnergyMethod
) -> Check:
    limit, worst = applied.limit, alike.worst
    kept = alike.verdict is Verdict.KEPT
    untold = alike.verdict is Verdict.CANNOT_TELL
    more = len(alike.animals) - 1
    who = f"{diet.group.called}, {worst.animal.called}{f' (and {more} more)' if more else ''}"
    bound = f"{limit_words(limit)} ({standing_words(limit)})"
    joint = "; whether that keeps" if untold else ", within" if kept else "; the limit is"
    return Check(
        verdict=alike.verdict,
        about=f"treats in the day's {_OF[limit.basis]}",
        severity=max(alike.severity, Severity(limit.severity), key=lambda grade: grade.rank),
        message=f"{who}: treats {figure_words(worst.value, limit)} in a day{joint} {bound}"
        f"{' cannot be told' if untold else ''}.",
        advice=""
        if kept
        else "Take the treats out of the day's ration, or give less of them; ask the vet.",
        animals=alike.animals,
        occasions=() if kept else alike.occasions,
        measured=Measure.against(worst.value, limit),
        limit=limit,
        others=applied.others,
        working=() if kept else tuple(_working(limit, reading, method)),
        settles=_settles(reading) if untold else "",
        places=() if kept else tuple(_places(diet, reading)),
    )


def _working(limit: Limit, reading: Reading, method: EnergyMethod) -> Iterator[str]:
    unit = "kcal" if limit.basis == "energy" else "g"
    whole = ZERO
    for food, grams in reading.ration.grams_of.items():
        whole = whole + grams / 100 * _content(food, reading.ration, limit, method)
    for food, grams in reading.treats.items():
        content = _content(food, reading.ration, limit, method)
        yield (
            f"{food.name}: {format_interval(grams, 'g')} × {format_interval(content, unit)} per "
            f"100 g = {format_interval(grams / 100 * content, unit)}"
        )
    yield f"all food of the day: {format_interval(whole, unit)}"
    if limit.basis == "energy":
        yield f"energy by {method.described}"
    yield f"limit: {limit_words(limit)} in a day: {standing_words(limit)}"


def _settles(reading: Reading) -> str:
    names = ", ".join(food.id for food in reading.treats) or "each food"
    return f"the energy and the amount of {names}"


def _places(diet: Diet, reading: Reading) -> Iterator[Pointer]:
    for offer in diet.offers():
        if offer.line.treat is not None and offer.line.food in reading.treats:
            yield offer.line.place.at("amount")
