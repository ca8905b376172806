"""What is said about sugar figures that stand alike: the message, the arithmetic, the lines."""

from collections.abc import Iterator, Mapping
from decimal import Decimal

from dietcheck.contract import (
    Alike,
    Animal,
    Applied,
    Check,
    Diet,
    Figure,
    Food,
    Limit,
    Measure,
    Pointer,
    Ration,
    Standing,
    Verdict,
    exact,
    excess,
    format_interval,
)
from dietcheck_rules.shared.wording import (
    figure_words,
    limit_words,
    span_words,
    standing_words,
    unit_words,
)
from dietcheck_rules.sugar_ceiling.gauges import measure, without

MOST_FOODS = 5  # foods of a ration that the working lists one by one
Rations = Mapping[int, Ration]  # by the id of the figure worked out from it


def report(
    diet: Diet, applied: Applied, about: str, alike: Alike, rations: Rations
) -> Iterator[Check]:
    """The checks for figures that stand alike; breaches apart by the food that causes them."""
    causes: dict[Food | None, list[Figure]] = {}
    for figure in alike.figures:
        ration = rations[id(figure)]
        past = alike.verdict is Verdict.BREACH
        cause = _cause(diet, applied.limit, figure, ration) if past else None
        causes.setdefault(cause, []).append(figure)
    for cause, figures in causes.items():
        part = Alike(alike.verdict, alike.severity, tuple(figures))
        yield _check(diet, applied, about, part, rations[id(part.worst)], cause)


def _cause(diet: Diet, limit: Limit, figure: Figure, ration: Ration) -> Food | None:
    """The one food without which the limit would be kept; None where there is no such single one.

    Only a food that outweighs every other source of sugar is called the cause.
    """
    food, sugar = ration.contributions("sugars")[0]
    if (sugar * 2).low <= ration.total("sugars").high:
        return None
    rest = measure(without(ration, food, diet), limit, diet.mass_of(figure.animal))
    return food if limit.stands(rest) == "inside" else None


def _check(
    diet: Diet, applied: Applied, about: str, alike: Alike, ration: Ration, cause: Food | None
) -> Check:
    limit, worst = applied.limit, alike.worst
    cannot_tell = alike.verdict is Verdict.CANNOT_TELL
    kept = alike.verdict is Verdict.KEPT
    return Check(
        verdict=alike.verdict,
        about=about,
        severity=alike.severity,
        message=_message(diet, limit, alike),
        advice="" if kept else _advice(alike, ration, cause),
        animals=alike.animals,
        occasions=() if kept else alike.occasions,
        food=cause.id if cause else None,
        measured=Measure.against(worst.value, limit),
        limit=limit,
        others=applied.others,
        working=tuple(_working(diet, limit, worst, ration)),
        settles=_settles(diet, worst.animal, limit, ration) if cannot_tell else "",
        weak=tuple(f"{food.id}: {why}" for food, why in ration.weak_inputs("sugars")),
        places=() if kept else tuple(_places(diet, worst.animal, limit, ration, cause)),
    )


def _message(diet: Diet, limit: Limit, alike: Alike) -> str:
    who = f"{diet.group.called}, {alike.worst.animal.called}"
    more = len(alike.animals) - 1
    others = f" (and {more} more)" if more else ""
    bound = f"{limit_words(limit)} ({_standing(limit)})"
    if _needs_mass(limit) and diet.mass_of(alike.worst.animal) is None:
        return (
            f"{who}{others}: no current weighing, so sugar {span_words(limit)} cannot be held "
            f"against {bound}."
        )
    value = figure_words(alike.worst.value, limit)
    match alike.verdict:
        case Verdict.BREACH:
            return f"{who}{others}: sugar {value} {span_words(limit)}; the limit is {bound}."
        case Verdict.CANNOT_TELL:
            return (
                f"{who}{others}: sugar {value} {span_words(limit)}; whether that keeps {bound} "
                "cannot be told."
            )
        case _:
            return f"{who}{others}: sugar {value} {span_words(limit)}, within {bound}."


def _needs_mass(limit: Limit) -> bool:
    return limit.basis in ("body mass", "metabolic body mass")


def _standing(limit: Limit) -> str:
    """A default must never read as if somebody had published it."""
    unsourced = limit.standing is Standing.COMMON_PRACTICE
    return f"{'limit not yet sourced: ' if unsourced else ''}{standing_words(limit)}"


def _advice(alike: Alike, ration: Ration, cause: Food | None) -> str:
    if alike.verdict is Verdict.CANNOT_TELL:
        return "Get the figure named below, or ask the vet whether the sheet may be fed meanwhile."
    sweetest = cause or ration.contributions("sugars")[0][0]
    return (
        f"{'Most' if cause else 'The largest part'} of it comes from "
        f"{sweetest.name}. Feed the last approved sheet, or ask the vet "
        "before this one is fed."
    )


def _working(diet: Diet, limit: Limit, worst: Figure, ration: Ration) -> Iterator[str]:
    contributions = ration.contributions("sugars")
    for food, sugar in contributions[:MOST_FOODS]:
        grams = format_interval(ration.grams_of[food], "g")
        content = format_interval(diet.profiles[food].per_100g("sugars"), "g")
        yield f"{food.name}: {grams} × {content} per 100 g = {format_interval(sugar, 'g')} sugar"
    if (left := len(contributions) - MOST_FOODS) > 0:
        yield f"and {left} more foods with less each"
    days = f" in {ration.days} days" if ration.days > 1 else ""
    yield f"sugar together: {format_interval(ration.total('sugars'), 'g')}{days}"
    yield from _divided(diet, limit, worst, ration)
    if limit.over == "day" and (peak := _peak(diet, worst)):
        yield peak
    yield f"limit: {limit_words(limit)} {span_words(limit)}: {_standing(limit)}"
    over = excess(worst.value, limit)
    if over.is_finite():
        margin = format_interval(exact(abs(over)), "")
        yield f"{'past it by up to' if over > 0 else 'left to it'}: {margin} {unit_words(limit)}"


def _divided(diet: Diet, limit: Limit, worst: Figure, ration: Ration) -> Iterator[str]:
    value = figure_words(worst.value, limit)
    if limit.basis == "dry matter":
        yield f"÷ {format_interval(ration.total('dry_matter'), 'g')} dry matter = {value}"
    elif limit.basis in ("as fed", "unstated"):
        yield f"÷ {format_interval(ration.grams(), 'g')} as fed = {value}"
    elif limit.basis == "animal":
        yield f"a day: {value}"
    elif (mass := diet.mass_of(worst.animal)) is not None:
        days = f" ÷ {ration.days} days" if ration.days > 1 else ""
        yield f"{days.strip()} ÷ {format_interval(mass / 1000, 'kg')} body mass = {value}".strip()
    else:
        yield "÷ body mass: no current weighing"


def _peak(diet: Diet, worst: Figure) -> str | None:
    """The sweetest single meal of the day: a mean over the day hides it."""
    on = {when.on for when in worst.occasions}
    day = next(day for day in diet.days if day.on in on)
    meals = {slot: r.total("sugars") for slot, r in diet.meal_rations(worst.animal, day)}
    slot = max(meals, key=lambda slot: meals[slot].high, default=None)
    if slot is None or len(meals) < 2:
        return None
    return f"of that in one meal ({slot}): {format_interval(meals[slot], 'g')}"


def _settles(diet: Diet, animal: Animal, limit: Limit, ration: Ration) -> str:
    """The input behind most of the uncertainty."""
    if _needs_mass(limit) and diet.mass_of(animal) is None:
        return f"a weighing of {animal.called} that still counts as current"
    profiles = diet.profiles
    widest = max(ration.grams_of, key=lambda food: _width(ration, food, diet))
    if not profiles[widest].per_100g("sugars").is_exact:
        return f"the sugar content of {widest.name} ({widest.id}), from its maker or an analysis"
    if not ration.grams_of[widest].is_exact:
        return f"how much {widest.name} ({widest.id}) each animal is really offered"
    return f"the water content of {widest.name} ({widest.id}), from its maker or an analysis"


def _width(ration: Ration, food: Food, diet: Diet) -> tuple[Decimal, Decimal, str]:
    sugar = ration.grams_of[food] / 100 * diet.profiles[food].per_100g("sugars")
    dry = ration.grams_of[food] / 100 * diet.profiles[food].per_100g("dry_matter")
    return sugar.high - sugar.low, dry.high - dry.low, food.id


def _places(
    diet: Diet, animal: Animal, limit: Limit, ration: Ration, cause: Food | None
) -> Iterator[Pointer]:
    ranked = [food for food, _ in ration.contributions("sugars")[:3]]
    foods = [cause] if cause else ranked
    for food in foods:
        for offer in diet.given():
            line = offer.line
            if line.food is food and (not line.for_animals or animal.id in line.for_animals):
                yield line.place.at("amount")
    if limit.place:
        yield limit.place
