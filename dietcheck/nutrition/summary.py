"""The ration of each animal of a group, summed up for people: figures, spread, parts, weak inputs.

Everything is worked out from the same `Diet` that rules judge, with the same functions. Animals
that are fed alike are summed up once. Nothing here compares with a limit.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Literal

from msgspec import Struct

from dietcheck.collection.animals import Animal, Weighing
from dietcheck.collection.foods import Food
from dietcheck.nutrition.diet import Diet, Window
from dietcheck.nutrition.energy_need import EnergyNeed, Measure, energy_needs, need_span
from dietcheck.nutrition.gauges import ONLY_IF_STATED, USUAL, Gauge, gauges
from dietcheck.nutrition.plan import PlannedDay
from dietcheck.nutrition.rations import Ration
from dietcheck.nutrition.shares import class_share, is_of_known_class, leaves
from dietcheck.quantities import UNKNOWN, Interval

WEEK = 7
NO_CLASS = "class not given"
MEASURES: tuple[Measure, ...] = ("basal", "maintenance", "intake", "field")


class Occurrence(Struct, frozen=True):
    """A daily figure with the days over which it was reckoned."""

    value: Interval
    days: tuple[PlannedDay, ...]


class Row(Struct, frozen=True):
    """One quantity in the ration: a day of the period shown, and how it spreads over the days.

    `density` is reckoned on dry matter. `known` is the share, 0 to 1, of the dry matter whose foods
    state the quantity; `is_open` says that its upper end is then no more than the dry matter.
    """

    gauge: Gauge
    value: Interval
    density: Interval | None
    known: Interval
    is_open: bool
    lowest_day: Occurrence
    highest_day: Occurrence
    lowest_week: Occurrence
    highest_week: Occurrence


class Part(Struct, frozen=True):
    """One food of the period shown: grams a day, and for each gauge its amount and its share."""

    food: Food
    grams: Interval
    amounts: Mapping[str, Interval]
    shares: Mapping[str, Interval]
    states: Mapping[str, bool]  # whether the food states the quantity at all


class ClassShare(Struct, frozen=True):
    """What the foods of one class make of the ration, 0 to 1."""

    food_class: str
    of_dry_matter: Interval
    as_fed: Interval


class Body(Struct, frozen=True):
    """One animal with what is reckoned by its body mass, in grams; UNKNOWN without a current one.

    `needs` are the published formulas that fit, `spans` what they come to, in kcal a day.
    """

    animal: Animal
    weighing: Weighing | None
    days_old: int | None
    mass: Interval | None
    as_fed_share: Interval
    dry_matter_share: Interval
    dry_matter_per_metabolic: Interval  # g per kg^0.75
    sugars_per_kg: Interval  # g per kg
    needs: tuple[EnergyNeed, ...]
    spans: Mapping[Measure, Interval]


class Weak(Struct, frozen=True):
    """One weak input: of a food (then with the gauges it weakens), a line, an animal or a plan."""

    kind: Literal["figure", "amount", "weight", "plan"]
    about: str
    why: str
    gauges: tuple[Gauge, ...] = ()


class Summary(Struct, frozen=True):
    """The ration of some animals that are fed alike, over the period that is shown.

    `period` are its days: a whole rota, or days that are fed the same. `days` are all days that
    are laid out, those fed alike together.
    """

    diet: Diet
    animals: tuple[Animal, ...]
    whole_rota: bool
    period: tuple[PlannedDay, ...]
    ration: Ration
    rows: tuple[Row, ...]
    days: tuple[tuple[tuple[PlannedDay, ...], Ration], ...]
    parts: tuple[Part, ...]
    classes: tuple[ClassShare, ...]
    bodies: tuple[Body, ...]
    weak: tuple[Weak, ...]

    @property
    def is_same_daily(self) -> bool:
        """Whether every day is fed the same."""
        return len(self.days) == 1


def summarise(
    diet: Diet,
    animals: Sequence[Animal] = (),
    keys: Sequence[str] = USUAL,
    day: int | Literal["worst"] | None = None,
) -> tuple[Summary, ...]:
    """Sum up the ration of some animals, or of all of the group; one summary for those fed alike.

    The figures are those of the rota that is running, or of each differently fed day of that
    number, or of the day with the most of the first key that was asked for (sugars, where nothing
    was). Empty when nothing is planned for the animals.
    """
    measured = gauges(keys, diet.group.taxon)
    alike: dict[Hashable, list[Animal]] = {}
    for animal in animals or diet.animals:
        alike.setdefault(_fed(diet, animal), []).append(animal)
    leading = gauges([keys[0] if tuple(keys) != USUAL else "sugars"], diet.group.taxon)[0]
    return tuple(
        summary
        for same in alike.values()
        for summary in _Summing(diet, tuple(same), measured).summaries(day, leading)
    )


class _Summing:
    """Works out the summaries of animals that are fed alike."""

    def __init__(self, diet: Diet, animals: tuple[Animal, ...], measured: tuple[Gauge, ...]):
        self._diet = diet
        self._animals = animals
        self._first = animals[0]
        self._gauges = measured
        self._days = _days_fed(diet, self._first)
        self._weeks = _windows(diet, self._first, WEEK)

    def summaries(self, day: int | Literal["worst"] | None, leading: Gauge) -> Iterator[Summary]:
        if not self._days:
            return
        if day is None:
            window = _windows(self._diet, self._first, self._diet.settings.rota_days)[0]
            yield self._summary(window.days, window.ration, True)
            return
        if day == "worst":
            found = [max(self._days, key=lambda one: _high(leading.a_day(one[1])))]
        else:
            found = [one for one in self._days if any(d.number == day for d in one[0])]
        for days, ration in found:
            if day != "worst":
                days = tuple(d for d in days if d.number == day)
            yield self._summary(days, ration, False)

    def _summary(self, days: tuple[PlannedDay, ...], ration: Ration, whole_rota: bool) -> Summary:
        measured = tuple(
            gauge
            for gauge in self._gauges
            if gauge.key not in ONLY_IF_STATED or len(self._gauges) == 1 or gauge.known(ration).high
        )
        return Summary(
            diet=self._diet,
            animals=self._animals,
            whole_rota=whole_rota,
            period=days,
            ration=ration,
            rows=tuple(self._row(gauge, ration) for gauge in measured),
            days=self._days,
            parts=_parts(ration, measured),
            classes=tuple(_classes(ration)),
            bodies=tuple(_body(self._diet, animal, ration) for animal in self._animals),
            weak=tuple(self._weak(ration, measured)),
        )

    def _row(self, gauge: Gauge, ration: Ration) -> Row:
        days = [Occurrence(gauge.a_day(ration_of), days) for days, ration_of in self._days]
        weeks = [Occurrence(gauge.a_day(week.ration), week.days) for week in self._weeks] or days
        value = gauge.a_day(ration)
        is_wide = value.high >= 2 * value.low
        return Row(
            gauge=gauge,
            value=value,
            density=gauge.density(ration) if gauge.density else None,
            known=gauge.known(ration),
            is_open=is_wide and not gauge.is_bounded and not gauge.is_stated(ration),
            lowest_day=min(days, key=_low_of),
            highest_day=max(days, key=_high_of),
            lowest_week=min(weeks, key=_low_of),
            highest_week=max(weeks, key=_high_of),
        )

    def _weak(self, ration: Ration, measured: Iterable[Gauge]) -> Iterator[Weak]:
        yield from _weak_plan(self._diet, self._first)
        for animal in self._animals:
            if (why := _weak_weight(self._diet, animal)) is not None:
                yield Weak("weight", animal.called, why)
        yield from _weak_amounts(self._diet, self._first)
        by_reason: dict[tuple[Food, str], list[Gauge]] = {}
        for gauge in measured:
            for food in ration.grams_of:
                if (why := gauge.weakness(ration.profiles[food])) is not None:
                    by_reason.setdefault((food, why), []).append(gauge)
        order = {part.food: number for number, part in enumerate(_parts(ration, ()))}
        for (food, why), weak in sorted(
            by_reason.items(), key=lambda one: (order[one[0][0]], one[0][1])
        ):
            yield Weak("figure", food.id, why, tuple(weak))


def _fed(diet: Diet, animal: Animal) -> Hashable:
    """What makes two animals fed alike: the same food on the same days."""
    return tuple(
        (day.on, frozenset(diet.day_ration(animal, day).grams_of.items()))
        for day in diet.days
        if animal.is_here(day.on)
    )


def _days_fed(diet: Diet, animal: Animal) -> tuple[tuple[tuple[PlannedDay, ...], Ration], ...]:
    """The days on which the animal is here, those fed the same together, with their ration."""
    days: dict[Hashable, list[PlannedDay]] = {}
    for day in diet.days:
        if animal.is_here(day.on):
            key = (day.key, tuple(sharer.id for sharer in diet.present(day.on)))
            days.setdefault(key, []).append(day)
    return tuple((tuple(same), diet.day_ration(animal, same[0])) for same in days.values())


def _windows(diet: Diet, animal: Animal, days: int) -> list[Window]:
    """The runs of days in all of which the animal is here; if there is none, its days together."""
    found = [
        window
        for window in diet.windows(animal, days)
        if all(animal.is_here(day.on) for day in window.days)
    ]
    if found:
        return found
    here = tuple(day for day in diet.days if animal.is_here(day.on))[:days]
    return [Window(here, Ration.joined((diet.day_ration(animal, d) for d in here), diet.profiles))]


def _parts(ration: Ration, measured: Sequence[Gauge]) -> tuple[Part, ...]:
    amounts: dict[Food, dict[str, Interval]] = {food: {} for food in ration.grams_of}
    shares: dict[Food, dict[str, Interval]] = {food: {} for food in ration.grams_of}
    for gauge in measured:
        if gauge.additive:
            for food, amount, share in gauge.parts(ration):
                amounts[food][gauge.key] = amount
                shares[food][gauge.key] = share
    by_weight = sorted(ration.grams_of.items(), key=lambda one: (-one[1].high, one[0].id))
    return tuple(
        Part(
            food,
            ration.per_day(grams),
            amounts[food],
            shares[food],
            {gauge.key: gauge.states(ration.profiles[food]) for gauge in measured},
        )
        for food, grams in by_weight
    )


def _classes(ration: Ration) -> Iterator[ClassShare]:
    """Each class of the foods fed, mixes by their ingredients; the most of the dry matter first."""
    classes = {
        part.food_class if is_of_known_class(part) else NO_CLASS
        for food in ration.grams_of
        for part, _ in leaves(food)
    }
    found = [
        ClassShare(name, class_share(ration, {name}), class_share(ration, {name}, None))
        for name in classes - {NO_CLASS}
    ]
    yield from sorted(found, key=lambda one: (-one.of_dry_matter.high, one.food_class))
    if NO_CLASS in classes:
        unclassed = [
            (food, share)
            for food in ration.grams_of
            for part, share in leaves(food)
            if not is_of_known_class(part)
        ]
        yield ClassShare(
            NO_CLASS, ration.share(unclassed, "dry_matter"), ration.share(unclassed, None)
        )


def _body(diet: Diet, animal: Animal, ration: Ration) -> Body:
    weighing = animal.weighed(diet.on)
    mass = diet.mass_of(animal)
    needs = () if mass is None else tuple(energy_needs(diet.group.taxon, animal.stage, mass))
    spans = {measure: span for measure in MEASURES if (span := need_span(needs, measure))}
    grams, dry, sugars = (
        ration.per_day(figure)
        for figure in (ration.grams(), ration.total("dry_matter"), ration.total("sugars"))
    )
    return Body(
        animal=animal,
        weighing=weighing,
        days_old=(diet.on - weighing.on).days if weighing else None,
        mass=mass,
        as_fed_share=UNKNOWN if mass is None else grams / mass,
        dry_matter_share=UNKNOWN if mass is None else dry / mass,
        dry_matter_per_metabolic=UNKNOWN if mass is None else dry / (mass / 1000).power34(),
        sugars_per_kg=UNKNOWN if mass is None else sugars / (mass / 1000),
        needs=needs,
        spans=spans,
    )


def _weak_weight(diet: Diet, animal: Animal) -> str | None:
    weighing = animal.weighed(diet.on)
    if weighing is None:
        return "no weighing"
    if diet.mass_of(animal) is not None:
        return None
    period = diet.settings.weigh_within(diet.group.taxon)
    days = (diet.on - weighing.on).days
    return f"weighed {days} days ago; dietcheck.yaml asks for one every {period}"


def _weak_amounts(diet: Diet, animal: Animal) -> Iterator[Weak]:
    """Amounts that cannot be turned into grams, are only expected, or may not come at all."""
    said = dict.fromkeys(
        (portion.food.id, portion.gap or "ad lib: what is expected, not what is measured out")
        for day in diet.days
        for _, portions in diet.feeds(animal, day)
        for portion in portions
        if portion.gap or portion.line.amount.ad_lib
    )
    for line in (line for day in diet.days for line in day.received):
        said[line.food.id, f"{line.amount.text}: anything from nothing to its share"] = None
    for about, why in said:
        yield Weak("amount", about, why)


def _weak_plan(diet: Diet, animal: Animal) -> Iterator[Weak]:
    """Feeds for which nobody wrote what is fed: they are not in the figures."""
    holes = [(day.on, hole) for day in diet.days if animal.is_here(day.on) for hole in day.holes]
    if holes:
        on: date = holes[0][0]
        more = f" and {len(holes) - 1} more" if len(holes) > 1 else ""
        what = holes[0][1]
        where = f" ({what.slot})" if what.slot else ""
        yield Weak(
            "plan", f"{on.isoformat()}{where}{more}", f"{what.kind}: what is fed is not counted"
        )


def _high(figure: Interval) -> tuple[object, object]:
    return figure.high, figure.low


def _high_of(one: Occurrence) -> tuple[object, object]:
    return one.value.high, one.value.low


def _low_of(one: Occurrence) -> tuple[object, object]:
    return one.value.low, one.value.high
