"""What is said of one nutrient: the message, the arithmetic, the lines to look at."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from msgspec.structs import replace

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    Food,
    Interval,
    Measure,
    Pointer,
    Verdict,
    When,
    exact,
    excess,
    format_interval,
)
from dietcheck_rules.nutrient_range.demands import Demand
from dietcheck_rules.nutrient_range.figures import OF_BODY, Case
from dietcheck_rules.nutrient_range.measures import content
from dietcheck_rules.shared.levels.words import figure_words, unit_words, who_words
from dietcheck_rules.shared.wording import span_words

MOST_FOODS = 5  # foods that the working lists one by one


def judged(diet: Diet, case: Case) -> Check:
    """A breach, a kept demand, or one that the amounts leave open although every food is known."""
    demand, alike = case.demand, case.alike
    limit = demand.limit
    check = Check(
        verdict=alike.verdict,
        about=f"too {'much' if demand.is_ceiling else 'little'} {demand.title} on {limit.basis}",
        severity=alike.severity,
        message=_message(diet, case),
        animals=alike.animals,
        measured=Measure.against(alike.worst.value, limit),
        limit=limit,
        others=demand.others,
    )
    if alike.verdict is Verdict.KEPT:
        return check
    foods = [food for food, _ in _ranked(diet, case)]
    return replace(
        check,
        advice=_advice(diet, case),
        occasions=_occasions(case),
        working=tuple(_working(diet, case)),
        settles=settles(diet, case) if alike.verdict is Verdict.CANNOT_TELL else "",
        weak=tuple(_weak(diet, case)),
        places=tuple(_places(diet, alike.worst.animal, foods)),
    )


def settles(diet: Diet, case: Case) -> str:
    """The input behind most of what is open."""
    demand, ration = case.demand, case.ration
    if _lacks_mass(diet, case):
        return f"a weighing of {case.alike.worst.animal.called} that still counts as current"
    unsure = [food for food, grams in ration.contributions("dry_matter") if not grams.is_exact]
    for food in unsure:
        if not ration.grams_of[food].is_exact:
            return f"how much {food.name} ({food.id}) each animal is really offered"
    food = unsure[0] if unsure else _ranked(diet, case)[0][0]
    return f"{demand.title} and water of {food.name} ({food.id}), from its maker or an analysis"


def at_least(value: Interval) -> Interval:
    """What is known of a figure when nobody knows how much more there is."""
    return Interval(value.low, Decimal("Infinity"))


def _message(diet: Diet, case: Case) -> str:
    demand, alike = case.demand, case.alike
    who = who_words(diet, [figure.animal for figure in alike.figures])
    if alike.verdict is Verdict.KEPT:
        return f"{who}: {demand.title} within {demand.bound}."
    if _lacks_mass(diet, case):
        return f"{who}: no current weighing, so {demand.title} cannot be held to {demand.bound}."
    value = f"{demand.title} {figure_words(_shown(case), demand.limit)} {span_words(demand.limit)}"
    if alike.verdict is Verdict.BREACH:
        return f"{who}: {value}; the table gives {demand.bound}."
    return f"{who}: {value}; whether that keeps {demand.bound} cannot be told."


def _lacks_mass(diet: Diet, case: Case) -> bool:
    basis = case.demand.limit.basis
    return basis in OF_BODY[1:] and diet.mass_of(case.alike.worst.animal) is None


def _shown(case: Case) -> Interval:
    """The figure as it is printed: past a ceiling only what is known of it counts."""
    value = case.alike.worst.value
    if case.demand.is_ceiling and case.alike.verdict is Verdict.BREACH and value.best is None:
        return at_least(value)
    return value


def _occasions(case: Case) -> tuple[When, ...]:
    spans = {id(reading.span): reading.span for reading in case.readings}
    return tuple(sorted({when for span in spans.values() for when in span.occasions()}))


def _advice(diet: Diet, case: Case) -> str:
    if case.alike.verdict is Verdict.CANNOT_TELL:
        return "Get the figure named below, or ask the vet whether the sheet may be fed meanwhile."
    if not case.demand.is_ceiling:
        return "Ask the vet or the nutrition lead what to add or to change in the sheet."
    food, _ = _ranked(diet, case)[0]
    return f"The largest part comes from {food.name}. Ask the vet or the nutrition lead."


def _ranked(diet: Diet, case: Case) -> list[tuple[Food, str]]:
    """The foods that surely bring most of the quantity, each with its line of the working."""
    gauge, ration = case.demand.gauge, case.ration
    assert gauge is not None
    unit = "kcal" if gauge.is_energy_share else gauge.unit
    found: list[tuple[tuple[Decimal, Decimal, str], Food, str]] = []
    for food, grams in ration.grams_of.items():
        per_100 = content(
            food, gauge, diet.profiles, diet.group.taxon, ceiling=case.demand.is_ceiling
        )
        brought = grams / 100 * per_100
        line = (
            f"{food.name}: {format_interval(grams, 'g')} × {format_interval(per_100, unit)} per "
            f"100 g = {format_interval(brought, unit)}"
        )
        found.append(((-brought.low, -brought.high, food.id), food, line))
    found.sort(key=lambda one: one[0])
    return [(food, line) for _, food, line in found[:MOST_FOODS]]


def _working(diet: Diet, case: Case) -> Iterator[str]:
    demand, ration = case.demand, case.ration
    yield from (line for _, line in _ranked(diet, case))
    if (left := len(ration.grams_of) - MOST_FOODS) > 0:
        yield f"and {left} more foods with less each"
    days = f" in {ration.days} days" if ration.days > 1 else ""
    yield f"dry matter together: {format_interval(ration.total('dry_matter'), 'g')}{days}"
    yield f"{demand.title}: {figure_words(_shown(case), demand.limit)}"
    yield f"limit: {demand.bound} {span_words(demand.limit)}"
    over = excess(_shown(case), demand.limit)
    if over.is_finite():
        margin = format_interval(exact(abs(over)), unit_words(demand.limit))
        yield f"{'past it by up to' if over > 0 else 'left to it'}: {margin}"
    if demand.limit.note:
        yield f"note: {demand.limit.note}"


def _weak(diet: Diet, case: Case) -> Iterator[str]:
    gauge = case.demand.gauge
    assert gauge is not None
    for food in case.ration.grams_of:
        if why := diet.profiles[food].weakness(gauge.nutrient):
            yield f"{food.id}: {why}"


def _places(diet: Diet, animal: Animal, foods: Sequence[Food]) -> Iterator[Pointer]:
    for food in foods[:3]:
        for offer in diet.given():
            line = offer.line
            if line.food is food and (not line.for_animals or animal.id in line.for_animals):
                yield line.place.at("amount")


def wanted(demand: Demand, figure: str) -> str:
    """A figure beside what the table asks for, as one line of a working."""
    return f"{demand.title}: {figure}; wanted {demand.bound}"
