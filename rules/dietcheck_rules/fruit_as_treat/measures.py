"""Fruit as each quantity of the limit table counts it, for one animal."""

from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from dietcheck.contract import (
    UNKNOWN,
    ZERO,
    Animal,
    Diet,
    Figure,
    Food,
    Interval,
    Limit,
    Line,
    PlannedDay,
    Ration,
    When,
    exact,
    excess,
    format_interval,
    fruit_share,
)
from dietcheck_rules.fruit_as_treat.feed_order import FeedMark
from dietcheck_rules.fruit_as_treat.fruits import vegetable_share
from dietcheck_rules.fruit_as_treat.schedule import Schedule

_ALL = Decimal(1)
SPANS = {"day": 1, "7 days": 7}  # days in a window; `rota` has as many as the settings say


class Reading(Struct, frozen=True, eq=False):
    """A figure, the foods on the lines that make it, and the arithmetic."""

    figure: Figure
    foods: tuple[Food, ...]
    working: tuple[str, ...] = ()


class Fruit(Struct, frozen=True, eq=False):
    """One animal with its feeds, asked for one quantity after the other."""

    diet: Diet
    animal: Animal
    schedule: Schedule

    def span(self, limit: Limit) -> int:
        """How many days the limit looks at together."""
        return SPANS.get(limit.over, self.diet.settings.rota_days)


def outside_treats(fruit: Fruit, limit: Limit) -> Iterator[Reading]:
    """Grams of each fruit food a day that no line flags as a treat; each food for itself."""
    days = list(_days(fruit, lambda line: line.treat is None))
    if not days and fruit.schedule.has_fruit:
        yield Reading(Figure(fruit.animal, ZERO), ())
    for occasions, grams in days:
        for food, amount in grams.items():
            value = _per(fruit, limit, amount)
            yield _reading(fruit, value, occasions, {food: amount})


def amount(fruit: Fruit, limit: Limit) -> Iterator[Reading]:
    """Grams of fruit a day, of all fruits together, for the animal or per kg of its mass."""
    for occasions, grams in _days(fruit, lambda _: True):
        total = ZERO
        for part in grams.values():
            total = total + part
        yield _reading(fruit, _per(fruit, limit, total), occasions, grams)


def share(fruit: Fruit, limit: Limit) -> Iterator[Reading]:
    """Fruit in per cent of the whole ration, as fed or on dry matter."""
    for ration, occasions, _ in _rations(fruit, limit):
        yield _share_reading(fruit, limit, ration, occasions, _fruit_in(ration))


def with_treats(fruit: Fruit, limit: Limit) -> Iterator[Reading]:
    """Fruit and everything else that is flagged as a treat, in per cent of the whole ration."""
    for ration, occasions, days in _rations(fruit, limit):
        counted = _fruit_in(ration)
        for food, grams in _treats(fruit, days).items():
            treat = grams / ration.grams_of[food]
            part = counted.get(food, ZERO)
            # Of a food that is partly fruit and partly given as a treat the two may overlap.
            low = max(part.low, min(treat.low, _ALL))
            counted[food] = Interval(low, max(low, min(part.high + treat.high, _ALL)))
        yield _share_reading(fruit, limit, ration, occasions, counted)


def of_produce(fruit: Fruit, limit: Limit) -> Iterator[Reading]:
    """Fruit in per cent of fruit and vegetables together."""
    for ration, occasions, _ in _rations(fruit, limit):
        produce: dict[Food, Interval] = {}
        for food, grams in ration.grams_of.items():
            part = fruit_share(food) + vegetable_share(food)
            if part.high:
                produce[food] = grams * part
        counted = {food: _fruit_of_produce(food) for food in produce}
        only = Ration(produce, ration.days, fruit.diet.profiles)
        yield _share_reading(fruit, limit, only, occasions, counted)


def running(fruit: Fruit, _: Limit) -> Iterator[Reading]:
    """The longest row of feeds with fruit, one after the other, across every join."""
    for value, marks in fruit.schedule.longest:
        yield _marked(fruit, value, marks)


def frequency(fruit: Fruit, limit: Limit) -> Iterator[Reading]:
    """Feeds with fruit, or days with fruit where the limit counts days, where they are most."""
    count, marks = fruit.schedule.busiest(fruit.span(limit), limit.unit == "days")
    if marks:
        yield _marked(fruit, exact(count), marks)


MEASURES: Mapping[str, Callable[[Fruit, Limit], Iterator[Reading]]] = {
    "fruit-outside-treats": outside_treats,
    "fruit-amount": amount,
    "fruit-share": share,
    "fruit-and-treat-share": with_treats,
    "fruit-of-produce": of_produce,
    "fruit-feeds-running": running,
    "fruit-frequency": frequency,
}
UNITS: Mapping[str, frozenset[tuple[str, str]]] = {
    "fruit-outside-treats": frozenset({("g/animal", "animal"), ("g/kg", "body mass")}),
    "fruit-amount": frozenset({("g/animal", "animal"), ("g/kg", "body mass")}),
    "fruit-share": frozenset({("%", "unstated"), ("%", "as fed"), ("%", "dry matter")}),
    "fruit-and-treat-share": frozenset({("%", "unstated"), ("%", "as fed"), ("%", "dry matter")}),
    "fruit-of-produce": frozenset({("%", "unstated"), ("%", "as fed"), ("%", "dry matter")}),
    "fruit-feeds-running": frozenset({("feeds", "count"), ("meals", "count")}),
    "fruit-frequency": frozenset({("feeds", "count"), ("meals", "count"), ("days", "count")}),
}
WINDOWS: Mapping[str, frozenset[str]] = {
    "fruit-outside-treats": frozenset({"day"}),
    "fruit-amount": frozenset({"day"}),
    "fruit-feeds-running": frozenset({"two feeds"}),
}
ANY_WINDOW = frozenset({"day", "7 days", "rota"})


def can_judge(limit: Limit) -> bool:
    """Whether fruit can be counted in the limit's unit and over its span."""
    spans = WINDOWS.get(limit.quantity, ANY_WINDOW)
    return (limit.unit, limit.basis) in UNITS[limit.quantity] and limit.over in spans


def worst_readings(fruit: Fruit, limit: Limit) -> list[Reading]:
    """The animal's readings past the limit; else those across it; else the one nearest to it."""
    standing: dict[str, list[Reading]] = {}
    for reading in MEASURES[limit.quantity](fruit, limit):
        standing.setdefault(limit.stands(reading.figure.value), []).append(reading)
    worst = standing.get("past") or standing.get("across") or standing.get("inside", [])
    if "past" not in standing and "across" not in standing:
        worst = sorted(worst, key=lambda reading: excess(reading.figure.value, limit))[-1:]
    return [replace(one, working=(*one.working, fruit.schedule.how_often)) for one in worst]


def _days(
    fruit: Fruit, counts: Callable[[Line], bool]
) -> Iterator[tuple[list[When], dict[Food, Interval]]]:
    """Days fed alike, taken together, with the grams of fruit from the lines that count."""
    alike: dict[tuple[object, ...], tuple[PlannedDay, list[When]]] = {}
    for day in fruit.diet.days:
        key = (day.key, *(animal.id for animal in fruit.diet.present(day.on)))
        alike.setdefault(key, (day, []))[1].append(When(day.on, day.number))
    for day, occasions in alike.values():
        grams: dict[Food, Interval] = {}
        fed = (p for _, portions in fruit.diet.feeds(fruit.animal, day) for p in portions)
        for portion in (*fed, *fruit.diet.received(fruit.animal, day)):
            part = fruit_share(portion.food)
            if part.high and counts(portion.line):
                grams[portion.food] = grams.get(portion.food, ZERO) + portion.grams * part
        if grams:
            yield occasions, grams


def _rations(
    fruit: Fruit, limit: Limit
) -> Iterator[tuple[Ration, list[When], tuple[PlannedDay, ...]]]:
    for window in fruit.diet.windows(fruit.animal, fruit.span(limit)):
        if window.ration.grams_of:
            whens = [When(day.on, day.number) for day in window.days]
            yield window.ration, whens, window.days


def _treats(fruit: Fruit, days: tuple[PlannedDay, ...]) -> dict[Food, Interval]:
    grams: dict[Food, Interval] = {}
    for day in days:
        for _, portions in fruit.diet.feeds(fruit.animal, day):
            for portion in portions:
                if portion.line.treat is not None:
                    grams[portion.food] = grams.get(portion.food, ZERO) + portion.grams
    return grams


def _fruit_in(ration: Ration) -> dict[Food, Interval]:
    return {food: part for food in ration.grams_of if (part := fruit_share(food)).high}


def _fruit_of_produce(food: Food) -> Interval:
    fruit, vegetable = fruit_share(food), vegetable_share(food)
    return fruit / (fruit + vegetable) if vegetable.high else exact(1)


def _per(fruit: Fruit, limit: Limit, grams: Interval) -> Interval:
    if limit.basis == "animal":
        return grams
    mass = fruit.diet.mass_of(fruit.animal)
    return UNKNOWN if mass is None else grams / (mass / 1000)


def _reading(
    fruit: Fruit, value: Interval, occasions: list[When], grams: Mapping[Food, Interval]
) -> Reading:
    working = [
        f"{food.name}: {format_interval(part, 'g')} fruit a day" for food, part in grams.items()
    ]
    return Reading(Figure(fruit.animal, value, tuple(occasions)), tuple(grams), tuple(working))


def _share_reading(
    fruit: Fruit, limit: Limit, ration: Ration, occasions: list[When], parts: dict[Food, Interval]
) -> Reading:
    of = "dry_matter" if limit.basis == "dry matter" else None
    value = ration.share(parts.items(), of) * 100 if parts else ZERO
    days = f" in {ration.days} days" if ration.days > 1 else ""
    working = [
        f"{food.name}: {format_interval(ration.grams_of[food], 'g')}{days}, of which "
        f"{format_interval(part * 100, '%')} counts"
        for food, part in parts.items()
        if part.high
    ]
    total = format_interval(ration.grams(), "g")
    working.append(f"all together: {total}{days} as fed; share {format_interval(value, '%')}")
    foods = tuple(food for food, part in parts.items() if part.high)
    return Reading(Figure(fruit.animal, value, tuple(occasions)), foods, tuple(working))


def _marked(fruit: Fruit, value: Interval, marks: tuple[FeedMark, ...]) -> Reading:
    foods = tuple(dict.fromkeys(food for mark in marks for food in mark.fruit))
    occasions = tuple(dict.fromkeys(mark.when for mark in marks))
    return Reading(Figure(fruit.animal, value, occasions), foods)
