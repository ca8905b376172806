"""Words, arithmetic and places of the checks about portions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from dietcheck.contract import (
    Diet,
    Interval,
    Limit,
    Line,
    PlannedDay,
    Pointer,
    Portion,
    format_interval,
)
from dietcheck_rules.portion_for_body_mass.intake import biggest, in_unit, metabolic, without
from dietcheck_rules.shared.wording import figure_words, limit_words, standing_words, unit_words

if TYPE_CHECKING:
    from dietcheck_rules.portion_for_body_mass.verdicts import Case

MOST_LINES = 8


def nutrient_of(limit: Limit) -> str | None:
    """What the limit counts: dry matter, or the food as fed."""
    return "dry_matter" if "dry-matter" in limit.quantity else None


def what(limit: Limit) -> str:
    """What is counted, in words."""
    return "dry matter" if nutrient_of(limit) else "food as fed"


def name(limit: Limit) -> str:
    """The limit's name in words."""
    if limit.quantity.startswith("plausible"):
        return f"the ceiling for {what(limit)}"
    return f"the range for {what(limit)}"


def bound(limit: Limit) -> str:
    """The bound with its standing: `3 to 4 % of body mass (published, GeoffMarm)`."""
    if limit.at_least is not None and limit.at_most is not None:
        span = format_interval(Interval(limit.at_least, limit.at_most), unit_words(limit))
        return f"of {span} ({standing_words(limit)})"
    return f"of {limit_words(limit)} ({standing_words(limit)})"


def slip(case: Case, limit: Limit) -> str:
    """Far too much: what was found, and how many times the limit it is."""
    times = ""
    if limit.at_most:
        least = case.figure.value.low / limit.at_most
        times = f", {least:.1f} times the top" if least < 100 else ", far past the top"
    return (
        f"{case.animal.called}, {_day(case)}: {figure_words(case.figure.value, limit)} of "
        f"{what(limit)}{times} {bound(limit)}. This looks like a slip of unit or decimal."
    )


def tenth(diet: Diet, case: Case, limit: Limit) -> str:
    """Which line to look at first, and what a tenth of it would give."""
    nutrient = nutrient_of(limit)
    food, grams = biggest(case.intake, nutrient)
    texts = " and ".join(
        dict.fromkeys(f'"{line.amount.text}"' for line in _lines(diet, case, limit))
    )
    then = ""
    if grams.is_bounded:
        less = in_unit(without(case.intake, food, nutrient) + grams / 10, case.mass, limit)
        assert less is not None  # the whole could be told in that unit
        then = f"; a tenth of it would bring the total to {figure_words(less, limit)}"
    return (
        f"Check {food.id} first: {texts} is the biggest part{then}. Check the weight as well "
        f"({_kg(case.mass)}). Until then feed the last approved sheet."
    )


def _lines(diet: Diet, case: Case, limit: Limit) -> list[Line]:
    """The lines that bring the biggest food to this animal on these days."""
    food, _ = biggest(case.intake, nutrient_of(limit))
    return list(
        dict.fromkeys(
            portion.line
            for day in case.intake.days
            for _, portions in diet.feeds(case.animal, day)
            for portion in portions
            if portion.food is food
        )
    )


def outside(case: Case, limit: Limit, *, low: bool, far: bool) -> str:
    """Outside the range on the mean of the rota."""
    side = "less than half the bottom" if far else "below the bottom" if low else "above the top"
    mean = "" if limit.over == "day" else " a day on the mean of the rota"
    return (
        f"{case.animal.called}: {figure_words(case.figure.value, limit)} of {what(limit)} offered"
        f"{mean}, {side} {bound(limit)}."
    )


def less_or_more(*, low: bool) -> str:
    """What to do about a portion outside its range."""
    if low:
        return (
            "Ask the vet or the nutrition lead. Food that the records leave out, such as grazing, "
            "belongs on the sheet as ad lib."
        )
    return "Ask the vet or the nutrition lead. The range is what is eaten; weigh what is left over."


def across(case: Case, limit: Limit) -> str:
    """Nobody can tell on which side of the limit it lies."""
    return (
        f"{case.animal.called}: {figure_words(case.figure.value, limit)} of {what(limit)} offered, "
        f"and {name(limit)} {bound(limit)} lies within that. Nobody can tell."
    )


def stale(case: Case, limit: Limit) -> str:
    """Inside, but on a weight that is out of date."""
    return (
        f"{case.animal.called}: {figure_words(case.figure.value, limit)} of {what(limit)} by a "
        "weight that is out of date."
    )


def inside(case: Case, limit: Limit) -> str:
    """Inside; what kind of limit it is."""
    return (
        f"{case.animal.called}: {figure_words(case.figure.value, limit)} of {what(limit)}, inside "
        f"{name(limit)} {bound(limit)}."
    )


def full_day(case: Case, limit: Limit) -> str:
    """One day above the range, the mean inside."""
    return (
        f"{case.animal.called}, {_day(case)}: {figure_words(case.figure.value, limit)} of "
        f"{what(limit)}, above the range {bound(limit)}. The mean of the rota is not."
    )


def question(diet: Diet, case: Case) -> tuple[str, tuple[Pointer, ...]]:
    """The input that would settle it, with the lines to look at."""
    gaps = [
        (portion.gap, portion.line.place.at("amount"))
        for day in case.intake.days
        for _, portions in diet.feeds(case.animal, day)
        for portion in portions
        if portion.gap
    ]
    if gaps:
        return "; ".join(dict.fromkeys(gap for gap, _ in gaps)), tuple(
            dict.fromkeys(place for _, place in gaps)
        )
    loose = [
        portion.line
        for day in case.intake.days
        for _, portions in diet.feeds(case.animal, day)
        for portion in portions
        if not portion.grams.is_exact and portion.line.amount.ad_lib
    ]
    if loose:
        names = ", ".join(dict.fromkeys(line.food.id for line in loose))
        return f"how much {names} is really eaten", tuple(
            dict.fromkeys(line.place.at("amount") for line in loose)
        )
    foods = [food for food, _ in case.intake.ration.weak_inputs("dry_matter")]
    asked = ", ".join(food.id for food in foods[:3]) or "each food"
    return f"the dry matter of {asked}", tuple(food.place for food in foods[:3])


def slip_places(diet: Diet, case: Case, limit: Limit) -> tuple[Pointer, ...]:
    """The biggest line first, then the weight."""
    return (*largest_places(diet, case, limit), *weighing_places([case]))


def largest_places(diet: Diet, case: Case, limit: Limit) -> tuple[Pointer, ...]:
    """The amounts of the biggest food; where nothing is fed, the rota that says so."""
    if not case.intake.ration.grams_of:
        rotas = (day.rota for day in case.intake.days)
        return tuple(dict.fromkeys(rota.place for rota in rotas if rota is not None))
    return tuple(line.place.at("amount") for line in _lines(diet, case, limit))


def weighing_places(cases: Sequence[Case]) -> tuple[Pointer, ...]:
    """The weights that were used."""
    return tuple(case.weighed for case in cases)


def working(diet: Diet, case: Case, limit: Limit) -> tuple[str, ...]:
    """Amount by composition, food by food, to the figure that was held against the limit."""
    nutrient = nutrient_of(limit)
    steps = _by_line(diet, case, case.intake.first, nutrient)
    if len(case.intake.days) > 1:
        steps = _by_food(case, nutrient)
        steps.append(f"over {len(case.intake.days)} days, a day: {_g(case.intake.grams)}")
    else:
        steps.append(f"together: {_g(case.intake.grams)}")
    steps.append(f"body mass: {_kg(case.mass)}{_metabolic(case, limit)}")
    steps.append(f"= {figure_words(case.figure.value, limit)}; {name(limit)} {bound(limit)}")
    return tuple(steps)


def _by_line(diet: Diet, case: Case, day: PlannedDay, nutrient: str | None) -> list[str]:
    return _shortened(
        [
            f"{feed.slot}, {portion.food.id}: {_g(portion.grams)}"
            + _of_dry_matter(diet, portion, nutrient)
            for feed, portions in diet.feeds(case.animal, day)
            for portion in portions
        ]
    )


def _of_dry_matter(diet: Diet, portion: Portion, nutrient: str | None) -> str:
    if nutrient is None:
        return ""
    content = diet.profiles[portion.food].per_100g(nutrient)
    brought = portion.grams / 100 * content
    return f" × {format_interval(content, '%')} dry matter = {_g(brought)}"


def _by_food(case: Case, nutrient: str | None) -> list[str]:
    ration = case.intake.ration
    if nutrient is None:
        return _shortened([f"{food.id}: {_g(grams)}" for food, grams in ration.grams_of.items()])
    return _shortened(
        [
            f"{food.id}: {_g(ration.grams_of[food])}, dry matter {_g(grams)}"
            for food, grams in ration.contributions(nutrient)
        ]
    )


def _shortened(steps: list[str]) -> list[str]:
    if len(steps) <= MOST_LINES:
        return steps
    return [*steps[:MOST_LINES], f"and {len(steps) - MOST_LINES} more"]


def weak(diet: Diet, case: Case, limit: Limit) -> tuple[str, ...]:
    """Foods whose dry matter is a range or borrowed, and a weight out of date."""
    found = []
    if nutrient_of(limit):
        found = [
            f"dry matter of {food.id}: {why}"
            for food, why in case.intake.ration.weak_inputs("dry_matter")
        ]
    if diet.mass_of(case.animal) is None:
        found.append(f"the weight of {case.animal.called} is out of date")
    return tuple(found)


def _metabolic(case: Case, limit: Limit) -> str:
    if limit.basis != "metabolic body mass":
        return ""
    return f", to the power 0.75: {format_interval(metabolic(case.mass), '')}"


def _day(case: Case) -> str:
    day = case.intake.first
    if len(case.intake.days) > 1:
        return "on the mean of the rota"
    return f"day {day.number}" if day.number else f"{day.on}"


def _g(grams: Interval) -> str:
    return format_interval(grams, "g")


def _kg(mass: Interval) -> str:
    return format_interval(mass / 1000, "kg")
