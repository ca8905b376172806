"""What is said about sums of products: the message, each product's part, the labels to read."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from dietcheck.contract import (
    Alike,
    Animal,
    Applied,
    Check,
    Diet,
    Food,
    Limit,
    Measure,
    Pointer,
    Ration,
    Severity,
    Verdict,
    exact,
    excess,
    format_interval,
    nutrients,
)
from dietcheck_rules.shared.levels.words import (
    bound_words,
    figure_words,
    food_words,
    listed,
    unit_words,
    who_words,
)
from dietcheck_rules.shared.wording import span_words
from dietcheck_rules.supplement_stack.products import PRODUCTS, SOURCES, Summed

if TYPE_CHECKING:
    from dietcheck_rules.supplement_stack.judge import Silence

MOST_FOODS = 6  # foods that the working lists one by one


def report(diet: Diet, gauge: Summed, applied: Applied, alike: Alike, ration: Ration) -> Check:
    """The check for animals that stand alike."""
    limit = applied.limit
    kept = alike.verdict is Verdict.KEPT
    return Check(
        verdict=alike.verdict,
        about=_about(limit, gauge),
        severity=alike.severity,
        message=_message(diet, gauge, limit, alike),
        advice="" if kept else _advice(alike.verdict, gauge, ration),
        animals=alike.animals,
        occasions=() if kept else alike.occasions,
        measured=Measure.against(alike.worst.value, limit),
        limit=limit,
        others=applied.others,
        working=tuple(_working(diet, gauge, limit, alike, ration)),
        settles=_open_amount(ration) if alike.verdict is Verdict.CANNOT_TELL else "",
        weak=gauge.weak(gauge.bringing(ration), ration.profiles),
        places=() if kept else tuple(_places(diet, gauge.bringing(ration))),
    )


def silence(diet: Diet, silent: Silence) -> Check:
    """One question for everything that the labels leave out."""
    asked = [f"{title}: {food_words(tuple(foods))}" for title, foods in silent.foods.items()]
    foods = tuple(dict.fromkeys(food for found in silent.foods.values() for food in found))
    who = who_words(diet, tuple(silent.animals.values()))
    titled = {limit.id: (title, limit) for title, limit in silent.limits}
    limits = tuple(limit for _, limit in titled.values())
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about="labels that do not say",
        severity=silent.severity,
        message=f"{who}: several products may bring {listed(tuple(silent.foods))}, and not every "
        "label says how much. Whether the sum keeps the upper limits cannot be told.",
        advice="Copy the label lines named below into the food list, or ask the maker.",
        animals=tuple(silent.animals),
        limit=limits[0],
        others=limits[1:],
        working=(
            *(f"not stated: {line}" for line in asked),
            *(f"{title}: {bound_words(row)} {span_words(row)}" for title, row in titled.values()),
        ),
        settles="; ".join(asked),
        places=tuple(food.place for food in foods),
    )


def no_mass(diet: Diet, gauge: Summed, limit: Limit, animals: list[Animal]) -> Check:
    """A dose per body mass without a body mass."""
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=f"{_about(limit, gauge)} without a body mass",
        severity=Severity.LOW,
        message=f"{who_words(diet, animals)}: no current weighing, so {gauge.title} cannot be held "
        f"against {bound_words(limit)}.",
        advice="Weigh the animal and look again.",
        animals=tuple(animal.id for animal in animals),
        limit=limit,
        settles="a weighing that still counts as current",
        places=tuple(animal.place for animal in animals),
    )


def unreadable(diet: Diet, limit: Limit) -> Check:
    """A limit, mostly the site's own, in a form that this rule cannot reckon in."""
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=f"{limit.quantity} in an unknown form",
        severity=Severity.MEDIUM,
        message=f"{diet.group.called}: nothing can be summed against the limit on "
        f"{limit.quantity} as it is written.",
        advice="Write it per kg dry matter, per kg body mass or per animal, over day, 7 days or "
        "rota.",
        limit=limit,
        settles="a limit in a unit that can be reckoned in",
        places=(limit.place,) if limit.place else (),
    )


def _about(limit: Limit, gauge: Summed) -> str:
    if limit.quantity == SOURCES:
        return "sources of vitamin D3"
    return f"{gauge.title} {'of the feed' if gauge.everything else 'from products'} {limit.basis}"


def _message(diet: Diet, gauge: Summed, limit: Limit, alike: Alike) -> str:
    who = who_words(diet, tuple(figure.animal for figure in alike.figures))
    bound = bound_words(limit)
    if limit.quantity == SOURCES:
        said = f"{format_interval(alike.worst.value, '')} sources of vitamin D3 in one diet"
    else:
        origin = "in the whole diet" if gauge.everything else "from all products together"
        said = f"{gauge.title} {figure_words(alike.worst.value, limit)} {origin}"
    match alike.verdict:
        case Verdict.BREACH:
            return f"{who}: {said} {span_words(limit)}; the limit is {bound}."
        case Verdict.CANNOT_TELL:
            return f"{who}: {said} {span_words(limit)}; whether that keeps {bound} cannot be told."
        case _:
            return f"{who}: {said} {span_words(limit)}, within {bound}."


def _advice(verdict: Verdict, gauge: Summed, ration: Ration) -> str:
    if verdict is Verdict.CANNOT_TELL:
        return "Settle what is named below, or ask the vet whether the products may go together."
    largest = next((food for food, _ in gauge.parts(ration)), None)
    of = f" The largest part comes from {largest.name}." if largest else ""
    return f"Ask the vet which product to leave out.{of}"


def _working(
    diet: Diet, gauge: Summed, limit: Limit, alike: Alike, ration: Ration
) -> Iterator[str]:
    unit = nutrients()[gauge.key].unit
    parts = [(food, part) for food, part in gauge.parts(ration) if part.high]
    for food, part in parts[:MOST_FOODS]:
        content = format_interval(gauge.content(food, ration.profiles), unit)
        grams = format_interval(ration.grams_of[food], "g")
        kind = "" if food.food_class in PRODUCTS or food.mix else ", no product"
        yield f"{food.name}{kind}: {grams} × {content} per 100 g = {format_interval(part, unit)}"
    if (left := len(parts) - MOST_FOODS) > 0:
        yield f"and {left} more foods with less each"
    days = f" in {ration.days} days" if ration.days > 1 else ""
    yield f"{gauge.title} together: {format_interval(gauge.total(ration), unit)}{days}"
    yield from _divided(diet, limit, alike, ration)
    yield f"limit: {bound_words(limit)} {span_words(limit)}"
    if limit.note:
        yield f"note to the limit: {limit.note}"
    over = excess(alike.worst.value, limit)
    if over.is_finite():
        margin = format_interval(exact(abs(over)), unit_words(limit))
        yield f"{'past it by up to' if over > 0 else 'left to it'}: {margin}"


def _divided(diet: Diet, limit: Limit, alike: Alike, ration: Ration) -> Iterator[str]:
    value = figure_words(alike.worst.value, limit)
    if limit.basis in ("dry matter", "unstated"):
        dry = format_interval(ration.total("dry_matter"), "g")
        yield f"÷ {dry} dry matter of the whole diet = {value}"
    elif limit.basis == "as fed":
        yield f"÷ {format_interval(ration.grams(), 'g')} as fed = {value}"
    elif limit.basis in ("body mass", "metabolic body mass"):
        mass = diet.mass_of(alike.worst.animal)
        assert mass is not None  # without one the animal is asked about
        yield f"÷ {format_interval(mass / 1000, 'kg')} body mass = {value}"


def _open_amount(ration: Ration) -> str:
    open_ = [food for food, grams in ration.grams_of.items() if not grams.is_exact]
    wet = [food for food in ration.grams_of if not ration.profiles[food].states("water")]
    if wet:
        return f"the water content of {food_words(wet)}"
    if open_:
        return f"how much of {food_words(open_)} each animal is offered"
    return f"exact figures for {food_words(list(ration.grams_of))}"


def _places(diet: Diet, foods: list[Food]) -> Iterator[Pointer]:
    """The lines of the products, supplements before feeds: those were put on top."""
    wanted = sorted(foods, key=lambda food: food.food_class == "compound feed")
    for food in wanted:
        for offer in diet.given():
            if offer.line.food is food:
                yield offer.line.place.at("food")
