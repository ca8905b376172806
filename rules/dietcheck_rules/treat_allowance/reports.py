"""What is said about treats: the message, what to do, the arithmetic and the lines to look at."""

from collections.abc import Iterator, Mapping

from dietcheck.contract import (
    Alike,
    Applied,
    Check,
    Diet,
    Figure,
    Food,
    Limit,
    Measure,
    Offer,
    Pointer,
    Severity,
    Standing,
    Verdict,
    When,
    energy_method,
    energy_of,
    energy_weakness,
    exact,
    excess,
    format_interval,
    is_treat,
    purpose,
    share_of,
)
from dietcheck_rules.shared.wording import (
    figure_words,
    limit_words,
    span_words,
    standing_words,
    unit_words,
)
from dietcheck_rules.treat_allowance.accounting import kcal_of
from dietcheck_rules.treat_allowance.ledger import UNITS, Reading

SUBJECTS = {
    "treat-share": "treats",
    "treat-amount": "treats",
    "treat-sugars": "sugar from treats",
    "treat-sugar-share": "sugar from treats",
    "fruit-treats": "fruit given as a treat",
    "public-feed-share": "public feeds",
    "public-feed-amount": "public feeds",
}
_MOST_LINES = 6
_ASK = "Feed the last approved sheet, or ask the vet before this one is fed."


def about_of(limit: Limit) -> str:
    """What was tested, without figures."""
    return f"{limit.quantity} ({limit.basis}) {span_words(limit)}"


def none_given(diet: Diet) -> Check:
    """Nothing that is written is a treat."""
    return Check(
        verdict=Verdict.KEPT,
        about="treats",
        severity=Severity.LOW,
        message=f"{diet.group.called}: nothing is given as a treat.",
    )


def report(
    diet: Diet, applied: Applied, alike: Alike, readings: Mapping[int, Reading]
) -> Iterator[Check]:
    """The checks for figures that stand alike, apart by the one food that is given as a treat."""
    causes: dict[Food | None, list[Figure]] = {}
    for figure in alike.figures:
        foods = _foods(readings[id(figure)])
        cause = foods[0] if len(foods) == 1 and alike.verdict is not Verdict.KEPT else None
        causes.setdefault(cause, []).append(figure)
    for cause, figures in causes.items():
        part = Alike(alike.verdict, alike.severity, tuple(figures))
        yield _check(diet, applied, part, readings[id(part.worst)], cause)


def _check(
    diet: Diet, applied: Applied, alike: Alike, reading: Reading, cause: Food | None
) -> Check:
    limit = applied.limit
    kept = alike.verdict is Verdict.KEPT
    return Check(
        verdict=alike.verdict,
        about=about_of(limit),
        severity=alike.severity,
        message=_message(diet, limit, alike, reading),
        advice="" if kept else _advice(alike, limit, reading),
        animals=alike.animals,
        occasions=() if kept else alike.occasions,
        food=cause.id if cause else None,
        measured=Measure.against(alike.worst.value, limit),
        limit=limit,
        others=applied.others,
        working=tuple(_working(diet, limit, alike.worst, reading)),
        settles=_settles(diet, limit, alike.worst, reading)
        if alike.verdict is Verdict.CANNOT_TELL
        else "",
        weak=tuple(_weak(diet, reading)),
        places=() if kept else tuple(_places(limit, reading)),
    )


def _message(diet: Diet, limit: Limit, alike: Alike, reading: Reading) -> str:
    more = len(alike.animals) - 1
    who = f"{diet.group.called}, {alike.worst.animal.called}" + (
        f" (and {more} more)" if more else ""
    )
    bound = f"{limit_words(limit)} ({standing_words(limit)})"
    said = f"{who}: {SUBJECTS[limit.quantity]}{_named(reading)}"
    said += f" {figure_words(alike.worst.value, limit)} {span_words(limit)}"
    match alike.verdict:
        case Verdict.BREACH:
            return f"{said}; the limit is {bound}."
        case Verdict.CANNOT_TELL:
            return f"{said}; whether that keeps {bound} cannot be told."
        case _:
            return f"{said}, within {bound}."


def _named(reading: Reading) -> str:
    foods = _foods(reading)
    if not foods:
        return ""
    more = f" and {len(foods) - 3} more" if len(foods) > 3 else ""
    return f" ({', '.join(food.name for food in foods[:3])}{more})"


def _foods(reading: Reading) -> list[Food]:
    return list(dict.fromkeys(portion.food for _, portion in reading.treats.givings))


def _advice(alike: Alike, limit: Limit, reading: Reading) -> str:
    if alike.verdict is Verdict.CANNOT_TELL:
        return "Get the figure named below, or ask the vet whether it may be given meanwhile."
    if limit.at_least is not None and alike.worst.value.high < limit.at_least:
        return "Give more, or ask whoever set this limit whether it is still wanted."
    sizes = {portion.food: portion.grams.high for _, portion in reading.treats.givings}
    largest = max(sizes, key=lambda food: (sizes[food], food.id))
    if alike.severity is Severity.LOW and limit.standing is not Standing.SITE_RULE:
        return f"Give less, first of {largest.name}, or ask the vet whether it may stay."
    return f"Give less, first of {largest.name}. {_ASK}"


def _working(diet: Diet, limit: Limit, worst: Figure, reading: Reading) -> Iterator[str]:
    yield from _lines(diet, reading)
    yield from _parts(diet, reading)
    feeds = len({(occasion.on, occasion.slot) for occasion, _ in reading.treats.fruit})
    days = reading.treats.given.days
    yield f"fruit as a treat: {feeds} {'time' if feeds == 1 else 'times'} in {_days(days)}"
    if limit.basis == "body mass" and (mass := diet.mass_of(worst.animal)) is not None:
        yield f"÷ {format_interval(mass / 1000, 'kg')} body mass"
    yield f"= {figure_words(worst.value, limit)} {span_words(limit)}"
    yield f"limit: {limit_words(limit)} {span_words(limit)}: {standing_words(limit)}"
    over = excess(worst.value, limit)
    if over.is_finite():
        margin = format_interval(exact(abs(over)), "")
        yield f"{'past it by up to' if over > 0 else 'left to it'}: {margin} {unit_words(limit)}"


def _lines(diet: Diet, reading: Reading) -> Iterator[str]:
    """The treats, those that are alike as one: `pear (training): 15 g = 8.6 kcal, 10 times`."""
    times: dict[str, int] = {}
    for _, portion in reading.treats.givings:
        kcal = kcal_of(diet, [portion])
        said = (
            f"{portion.food.name} ({purpose(portion.line)}): "
            f"{format_interval(portion.grams, 'g')} = {format_interval(kcal, 'kcal')}"
        )
        times[said] = times.get(said, 0) + 1
    for said, count in list(times.items())[:_MOST_LINES]:
        yield f"{said}, {count} {'time' if count == 1 else 'times'}"
    if (left := len(times) - _MOST_LINES) > 0:
        yield f"and {left} more"


def _parts(diet: Diet, reading: Reading) -> Iterator[str]:
    """Treats beside the whole, by energy, by mass and by sugar."""
    method = energy_method(diet.group.taxon)
    given, rest = reading.treats.given, reading.treats.rest
    for title, unit, part, left in (
        ("energy", "kcal", energy_of(given, method), energy_of(rest, method)),
        ("as fed", "g", given.grams(), rest.grams()),
        ("sugar", "g", given.total("sugars"), rest.total("sugars")),
    ):
        yield (
            f"{title}: {format_interval(part, unit)} of treats, {format_interval(left, unit)} of "
            f"other food in {_days(given.days)}: "
            f"{format_interval(share_of(part, left) * 100, '%')}"
        )
    yield f"energy by {method.described}"


def _days(count: int) -> str:
    return "the day" if count == 1 else f"{count} days"


def _settles(diet: Diet, limit: Limit, worst: Figure, reading: Reading) -> str:
    """The input behind most of the uncertainty."""
    if limit.basis == "body mass" and diet.mass_of(worst.animal) is None:
        return f"a weighing of {worst.animal.called} that still counts as current"
    given, rest = reading.treats.given, reading.treats.rest
    gaps = [portion.gap for _, portion in reading.treats.givings if portion.gap]
    if gaps:
        return gaps[0]
    vague = [food for part in (given, rest) for food, g in part.grams_of.items() if not g.is_exact]
    names = ", ".join(f"{food.name} ({food.id})" for food in dict.fromkeys(vague))
    if names:
        return f"how much each animal is really offered of {names}"
    foods = ", ".join(f"{food.name} ({food.id})" for food in (*given.grams_of, *rest.grams_of))
    return f"what is in the foods that are given, first of {foods}"


def _weak(diet: Diet, reading: Reading) -> Iterator[str]:
    method = energy_method(diet.group.taxon)
    for food in _foods(reading):
        if (why := energy_weakness(diet.profiles[food], method)) is not None:
            yield f"{food.id}: {why}"


def _places(limit: Limit, reading: Reading) -> Iterator[Pointer]:
    largest_first = sorted(
        reading.treats.givings, key=lambda one: (-one[1].grams.high, -one[0].on.toordinal())
    )
    yield from dict.fromkeys(portion.line.place.at("food") for _, portion in largest_first)
    if limit.place:
        yield limit.place


def not_countable(diet: Diet, limit: Limit) -> Check:
    """A limit in a unit or over a span in which treats are not counted: never passed over."""
    units = ", ".join(
        sorted({f"% {basis}" if unit == "%" else unit for unit, basis in UNITS[limit.quantity]})
    )
    offers: list[Offer] = [offer for offer in diet.offers() if is_treat(offer.line)]
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=about_of(limit),
        severity=Severity.MEDIUM,
        message=f"{diet.group.called}: treats cannot be counted against {limit_words(limit)} "
        f"{span_words(limit)} ({standing_words(limit)}).",
        advice=f"Write the limit in {units}, over day, 7 days, 14 days or rota.",
        occasions=tuple(When(o.on, o.number, o.slot, o.meal) for f in offers for o in f.occasions),
        limit=limit,
        settles="a limit in a unit that treats can be counted in",
        places=(limit.place,) if limit.place else (),
    )
