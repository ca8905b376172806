"""What is said of a case: the message, the arithmetic, the lines to look at."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from msgspec.structs import replace

from dietcheck.contract import (
    Animal,
    Applied,
    Check,
    Diet,
    Food,
    Interval,
    Limit,
    Measure,
    Pointer,
    Severity,
    Verdict,
    exact,
    excess,
    format_interval,
    nutrients,
)
from dietcheck_rules.shared.levels.cases import Case
from dietcheck_rules.shared.levels.gauge import Gauge
from dietcheck_rules.shared.levels.words import (
    bound_words,
    figure_words,
    food_words,
    limit_words,
    listed,
    standing_words,
    unit_words,
    who_words,
)
from dietcheck_rules.shared.wording import span_words

MOST_FOODS = 6  # foods of a ration that the working lists one by one
MOST_PLACES = 6
MOST_LIMITS = 3
LAST = "Feed the last approved sheet, or ask the vet before this one is fed."


def about(gauge: Gauge, limit: Limit) -> str:
    """What was tested: stable, without figures."""
    if limit.standing.is_absence:
        return f"{gauge.title} {span_words(limit)}"
    side = "floor" if limit.at_least is not None else "ceiling"
    basis = "dry matter (basis not stated)" if limit.basis == "unstated" else limit.basis
    return f"{gauge.title} {side} on {basis} {span_words(limit)}"


def kept(diet: Diet, case: Case) -> Check:
    """The limit is kept by all of these animals."""
    return _check(
        case,
        f"{_who(diet, case)}: {case.gauge.title} {_value(case)}, within {bound_words(case.limit)}.",
    )


def breach(diet: Diet, case: Case) -> Check:
    """The whole range lies past the limit."""
    cause = _cause(case)
    check = _check(
        case,
        f"{_who(diet, case)}: {case.gauge.title} {_value(case)}; "
        f"the limit is {bound_words(case.limit)}.",
    )
    return replace(
        _shown(diet, check, case, [cause] if cause else _telling(case)),
        advice=_advice(case, cause),
        food=cause.id if cause else None,
    )


def excused(diet: Diet, case: Case, excuse: str) -> Check:
    """Less than the floor, where something that no record shows may make up for it."""
    check = _check(
        case,
        f"{_who(diet, case)}: {case.gauge.title} {_value(case)}, below {bound_words(case.limit)}. "
        f"Whether {excuse} makes up for it cannot be told: no record holds it.",
    )
    return replace(
        _shown(diet, check, case, _telling(case)),
        verdict=Verdict.CANNOT_TELL,
        severity=Severity.LOW,
        advice=f"Make sure of {excuse}, or ask the vet about the diet.",
        settles=f"the vet's note on {excuse}",
    )


def untold(diet: Diet, case: Case, excuse: str) -> Check:
    """All foods state a figure, but a range too wide to tell."""
    check = _check(
        case,
        f"{_who(diet, case)}: {case.gauge.title} {_value(case)}; whether that keeps "
        f"{bound_words(case.limit)} cannot be told.",
    )
    return replace(
        _shown(diet, check, case, _telling(case)),
        severity=Severity.LOW if excuse else case.alike.severity,
        advice="Get the figure named below, or ask the vet whether the sheet may be fed meanwhile.",
        settles=_settles(case),
    )


def unsaid(diet: Diet, cases: Sequence[Case], grade: Severity, excuse: str) -> Check:
    """Everything that stays open because nobody states it, in one."""
    first = min(cases, key=lambda case: Severity(case.limit.severity).rank)
    foods = list(dict.fromkeys(food for case in cases for food in case.silent))
    keys = list(dict.fromkeys(key for case in cases for key in case.gauge.keys))
    named = listed([nutrients()[key].title for key in keys])
    animals = [figure.animal for case in cases for figure in case.alike.figures]
    also = f" or {excuse}" if excuse else ""
    until = " Feed the last approved sheet until then." if grade is not Severity.LOW else ""
    brought = f" The other foods bring {_figure(first)}." if _told(first).low else ""
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about="figures that nobody states",
        message=f"{who_words(diet, animals)}: nobody states the {named} of {food_words(foods)}, so "
        f"whether the diet keeps {_named_limits(cases)} cannot be told.{brought}",
        severity=grade,
        advice=f"Copy the {named} from the label or the maker's data sheet into the food records, "
        f"or have the food analysed.{until}",
        animals=tuple(dict.fromkeys(animal.id for animal in animals)),
        settles=f"{', '.join(keys)} of {food_words(foods)}{also}",
        measured=_measure(first),
        limit=first.limit,
        others=first.applied.others,
        working=tuple(dict.fromkeys(_open(cases))),
        weak=tuple(dict.fromkeys(line for case in cases for line in _weak(case))),
        places=_places(diet, first, foods, records=True),
    )


def unweighed(diet: Diet, gauge: Gauge, applied: Applied, animals: Sequence[Animal]) -> Check:
    """A dose per body mass without a body mass; low where every limit is."""
    limit = applied.limit
    low = all(row.severity == "low" for row in (limit, *applied.others))
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=f"{gauge.title} without a body mass",
        message=f"{who_words(diet, animals)}: no current weighing, so {gauge.title} cannot be held "
        f"against {bound_words(limit)}.",
        severity=Severity.LOW if low else Severity.MEDIUM,
        advice="Weigh the animal.",
        animals=tuple(animal.id for animal in animals),
        limit=limit,
        others=applied.others,
        settles="a weighing that still counts as current",
        places=tuple(animal.place for animal in animals),
    )


def unreckoned(diet: Diet, gauge: Gauge, limit: Limit) -> Check:
    """A limit of the site in a unit or over a span that this nutrient is not reckoned in."""
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=about(gauge, limit),
        message=f"{diet.group.called}: {gauge.title} cannot be reckoned against "
        f"{bound_words(limit)} {span_words(limit)}.",
        severity=Severity.MEDIUM,
        advice="Write the limit per kg dry matter, as fed, per kg body mass or per animal, over "
        "day, 7 days or rota.",
        limit=limit,
        settles="a limit in a unit that the nutrient is reckoned in",
        places=(limit.place,) if limit.place else (),
    )


def _check(case: Case, message: str) -> Check:
    return Check(
        verdict=case.alike.verdict,
        about=about(case.gauge, case.limit),
        message=message,
        severity=case.alike.severity,
        animals=case.alike.animals,
        measured=_measure(case),
        limit=case.limit,
        others=case.applied.others,
    )


def _shown(diet: Diet, check: Check, case: Case, foods: Sequence[Food]) -> Check:
    """With all that a finding shows: the days, the arithmetic, the weak inputs, the lines."""
    return replace(
        check,
        occasions=case.alike.occasions,
        weak=_weak(case),
        working=tuple(_working(case)),
        places=_places(diet, case, foods),
    )


def _measure(case: Case) -> Measure:
    limit = case.limit
    basis = f"{limit.basis}, {span_words(limit)}"
    return Measure(_told(case), limit.unit, basis)


def _who(diet: Diet, case: Case) -> str:
    return who_words(diet, [figure.animal for figure in case.alike.figures])


def _value(case: Case) -> str:
    return f"{_figure(case)} {span_words(case.limit)}"


def _figure(case: Case) -> str:
    return figure_words(_told(case), case.limit)


def _told(case: Case) -> Interval:
    """The worst figure; where a food states nothing, at least what the others bring."""
    value = case.alike.worst.value
    return Interval(value.low, Decimal("Infinity")) if case.silent else value


def _named_limits(cases: Sequence[Case]) -> str:
    """The first few limits, those of one nutrient together."""
    rows: dict[str, list[Limit]] = {}
    for case in cases:
        rows.setdefault(case.gauge.title, []).append(case.limit)
    said = []
    for title, limits in list(rows.items())[:MOST_LIMITS]:
        bounds = listed(list(dict.fromkeys(limit_words(limit) for limit in limits)))
        said.append(f"{title} {bounds} ({standing_words(limits[0])})")
    return "; ".join(said)


def _cause(case: Case) -> Food | None:
    """The one food that brings more than half of what is too much."""
    if case.is_floor or case.gauge.below:
        return None
    ration = case.span.ration
    (food, part), *_ = case.gauge.parts(ration)
    return food if (part * 2).low >= case.gauge.total(ration).high else None


def _advice(case: Case, cause: Food | None) -> str:
    if cause:
        return f"Most of it comes from {cause.name}. {_next(case)}"
    if case.is_floor:
        return f"Look for a food or supplement that was left out or swapped. {_next(case)}"
    return _next(case)


def _next(case: Case) -> str:
    weak = case.alike.severity is Severity.LOW
    return "Show it to the vet or the nutrition lead." if weak else LAST


def _telling(case: Case) -> list[Food]:
    """The foods to look at: what brings most of it; for a floor the bulk of the diet."""
    ration = case.span.ration
    if case.is_floor:
        heavy = sorted(ration.grams_of, key=lambda food: (-ration.grams_of[food].high, food.id))
        return heavy[:3]
    return [food for food, _ in case.gauge.parts(ration)[:3]]


def _weak(case: Case) -> tuple[str, ...]:
    ration = case.span.ration
    foods = [food for food, part in case.gauge.parts(ration) if part.high]
    return case.gauge.weak(foods, ration.profiles)


def _working(case: Case) -> Iterator[str]:
    ration, limit = case.span.ration, case.limit
    days = f" over {ration.days} days" if ration.days > 1 else ""
    for key in case.gauge.keys:
        yield from _sum(case, key, days)
    dry = format_interval(ration.total("dry_matter"), "g")
    if limit.basis == "body mass":
        yield f"÷ {ration.days} days ÷ body mass = {_figure(case)}"
    elif not case.gauge.below:
        below = dry if limit.basis != "as fed" else format_interval(ration.grams(), "g")
        what = "as fed" if limit.basis == "as fed" else "dry matter"
        yield f"÷ {below} {what}{days} = {_figure(case)}"
    else:
        yield f"one divided by the other = {_figure(case)}"
    yield f"limit: {bound_words(limit)} {span_words(limit)}"
    over = excess(case.alike.worst.value, limit)
    if over.is_finite() and not case.silent:
        said = "past it by up to" if over > 0 else "left to it"
        yield f"{said}: {format_interval(exact(abs(over)), unit_words(limit))}".rstrip()


def _sum(case: Case, key: str, days: str) -> Iterator[str]:
    ration, nutrient = case.span.ration, nutrients()[key]
    gauge = Gauge(key, key, nutrient.title) if len(case.gauge.keys) > 1 else case.gauge
    parts = gauge.parts(ration)
    for food, part in parts[:MOST_FOODS]:
        grams = format_interval(ration.grams_of[food], "g")
        content = format_interval(gauge.content(food, ration.profiles), nutrient.unit)
        yield f"{food.name}: {grams} × {content} per 100 g = {format_interval(part, nutrient.unit)}"
    if (left := len(parts) - MOST_FOODS) > 0:
        yield f"and {left} more foods with less each"
    yield f"{nutrient.title} together: {format_interval(gauge.total(ration), nutrient.unit)}{days}"


def _open(cases: Sequence[Case]) -> Iterator[str]:
    for case in cases:
        yield (
            f"{case.gauge.title} of all foods: {_value(case)}; limit {limit_words(case.limit)}; "
            f"not stated for {food_words(case.silent)}"
        )
        for food, part in case.gauge.parts(case.span.ration)[:MOST_FOODS]:
            if case.gauge.states(food, case.span.ration.profiles):
                unit = nutrients()[case.gauge.key].unit
                yield f"stated: {food.name} brings {format_interval(part, unit)}"


def _settles(case: Case) -> str:
    """The input behind most of the uncertainty."""
    ration = case.span.ration
    profiles = ration.profiles
    parts = dict(case.gauge.parts(ration))
    widest = max(parts, key=lambda food: (parts[food].high - parts[food].low, food.id))
    if not case.gauge.content(widest, profiles).is_exact:
        return f"the {case.gauge.title} of {widest.name} ({widest.id}), from its maker or analysis"
    if not ration.grams_of[widest].is_exact:
        return f"how much {widest.name} ({widest.id}) each animal is really offered"
    return f"the water content of {widest.name} ({widest.id}), from its maker or analysis"


def _places(
    diet: Diet, case: Case, foods: Sequence[Food], *, records: bool = False
) -> tuple[Pointer, ...]:
    """The lines that give these foods; for figures nobody states the food records first."""
    found: dict[Pointer, None] = {}
    if records:
        found.update(dict.fromkeys(food.place for food in foods))
    animals = set(case.alike.animals)
    for food in foods:
        for offer in diet.given():
            line = offer.line
            if line.food is food and (not line.for_animals or animals & set(line.for_animals)):
                found[line.place.at("amount")] = None
    if case.limit.place:
        found[case.limit.place] = None
    return tuple(found)[:MOST_PLACES]
