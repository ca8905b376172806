"""What is said about fruit: the message, what to do, the counts and the lines to look at."""

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
    exact,
    excess,
    format_interval,
    fruit_share,
)
from dietcheck_rules.fruit_as_treat.fruits import wild_fruit
from dietcheck_rules.fruit_as_treat.measures import UNITS, Reading
from dietcheck_rules.shared.wording import (
    figure_words,
    limit_words,
    span_words,
    standing_words,
    unit_words,
)

SUBJECTS = {
    "fruit-outside-treats": "cultivated fruit that is not flagged as a treat",
    "fruit-amount": "cultivated fruit",
    "fruit-share": "share of cultivated fruit",
    "fruit-and-treat-share": "share of fruit and treats",
    "fruit-of-produce": "share of fruit among fruit and vegetables",
    "fruit-feeds-running": "feeds with fruit one after the other",
    "fruit-frequency": "how often fruit is given",
}
ADVICE = {
    "fruit-outside-treats": "Give a vegetable instead, or flag the line with its purpose, as in "
    "`treat: training`.",
    "fruit-feeds-running": "Move the fruit so that a feed without any lies between.",
    "fruit-frequency": "Give it more seldom.",
    "fruit-of-produce": "Give less fruit or more vegetables.",
}
ASK = "Feed the last approved sheet, or ask the vet before this one is fed."


def about_of(limit: Limit) -> str:
    """What was tested, without figures."""
    basis = f" ({limit.basis})" if limit.basis in ("dry matter", "body mass") else ""
    return f"{SUBJECTS[limit.quantity]}{basis} {span_words(limit)}"


def report(
    diet: Diet,
    applied: Applied,
    alike: Alike,
    readings: Mapping[int, Reading],
    superseded: tuple[Limit, ...],
) -> Iterator[Check]:
    """The checks for figures that stand alike, apart by the one food that makes them."""
    causes: dict[Food | None, list[Figure]] = {}
    for figure in alike.figures:
        foods = readings[id(figure)].foods
        cause = foods[0] if len(foods) == 1 and alike.verdict is not Verdict.KEPT else None
        causes.setdefault(cause, []).append(figure)
    for cause, figures in causes.items():
        part = Alike(alike.verdict, alike.severity, tuple(figures))
        yield _check(diet, applied, part, readings[id(part.worst)], cause, superseded)


def _check(
    diet: Diet,
    applied: Applied,
    alike: Alike,
    reading: Reading,
    cause: Food | None,
    superseded: tuple[Limit, ...],
) -> Check:
    limit, worst = applied.limit, alike.worst
    kept = alike.verdict is Verdict.KEPT
    cannot_tell = alike.verdict is Verdict.CANNOT_TELL
    advice = f"{ADVICE.get(limit.quantity, 'Give less of it.')} {ASK}"
    return Check(
        verdict=alike.verdict,
        about=about_of(limit),
        severity=alike.severity,
        message=_message(diet, limit, alike, reading),
        advice="" if kept else advice,
        animals=alike.animals,
        occasions=() if kept else alike.occasions,
        food=cause.id if cause else None,
        measured=Measure.against(worst.value, limit),
        limit=limit,
        others=tuple(dict.fromkeys((*applied.others, *superseded))),
        working=tuple(_working(diet, limit, worst, reading)),
        settles=_settles(diet, limit, worst, reading) if cannot_tell else "",
        places=() if kept else tuple(_places(diet, worst, limit, reading)),
    )


def _message(diet: Diet, limit: Limit, alike: Alike, reading: Reading) -> str:
    more = len(alike.animals) - 1
    who = f"{diet.group.called}, {alike.worst.animal.called}" + (
        f" (and {more} more)" if more else ""
    )
    names = ", ".join(food.name for food in reading.foods[:3])
    more_foods = " and more" if len(reading.foods) > 3 else ""
    which = f" ({names}{more_foods})" if names else ""
    value = figure_words(alike.worst.value, limit)
    bound = f"{limit_words(limit)} ({standing_words(limit)})"
    said = f"{who}: {SUBJECTS[limit.quantity]}{which} {value} {span_words(limit)}"
    match alike.verdict:
        case Verdict.BREACH:
            return f"{said}; the limit is {bound}."
        case Verdict.CANNOT_TELL:
            return f"{said}; whether that keeps {bound} cannot be told."
        case _:
            return f"{said}, within {bound}."


def _working(diet: Diet, limit: Limit, worst: Figure, reading: Reading) -> Iterator[str]:
    yield from reading.working
    yield from _lines(diet, worst)
    wild = {f.name for o in _offers(diet, worst) for f in wild_fruit(o.line.food)}
    if wild:
        yield f"wild or browse fruit, not counted: {', '.join(sorted(wild))}"
    yield f"limit: {limit_words(limit)} {span_words(limit)}: {standing_words(limit)}"
    over = excess(worst.value, limit)
    if over.is_finite():
        margin = format_interval(exact(abs(over)), "")
        yield f"{'past it by up to' if over > 0 else 'left to it'}: {margin} {unit_words(limit)}"


def _lines(diet: Diet, worst: Figure) -> Iterator[str]:
    """The lines that bring fruit; lines that say the same, such as daily treats, as one."""
    times: dict[str, int] = {}
    for offer in _offers(diet, worst):
        line = offer.line
        if fruit_share(line.food).high:
            flag = f"treat: {line.treat}" if line.treat else "no treat"
            meals = ", ".join(dict.fromkeys(o.meal for o in offer.occasions))
            said = f"{line.food.name} ({flag}): {line.amount.text} in {meals}"
            times[said] = times.get(said, 0) + len(offer.occasions)
    for said, count in times.items():
        yield f"{said}, {count} {'time' if count == 1 else 'times'} in the judged days"


def _settles(diet: Diet, limit: Limit, worst: Figure, reading: Reading) -> str:
    if limit.basis == "body mass" and diet.mass_of(worst.animal) is None:
        return f"a weighing of {worst.animal.called} that still counts as current"
    if limit.basis == "count":
        return "the feed of the day in which each extra treat is given"
    vague = [o.line.food for o in _offers(diet, worst) if not o.line.amount.quantity.is_exact]
    names = ", ".join(dict.fromkeys(f"{food.name} ({food.id})" for food in vague))
    if names:
        return f"how much each animal is really offered of {names}"
    names = ", ".join(f"{food.name} ({food.id})" for food in reading.foods)
    return (
        f"the mass of one piece, or the water content, of the foods in the diet, first of {names}"
    )


def _offers(diet: Diet, figure: Figure) -> list[Offer]:
    animal = figure.animal.id
    return [
        offer
        for offer in diet.given()
        if not offer.line.for_animals or animal in offer.line.for_animals
    ]


def _places(diet: Diet, worst: Figure, limit: Limit, reading: Reading) -> Iterator[Pointer]:
    for offer in _offers(diet, worst):
        unflagged = limit.quantity == "fruit-outside-treats" and offer.line.treat is not None
        if offer.line.food in reading.foods and not unflagged:
            yield offer.line.place.at("food")
    if limit.place:
        yield limit.place


def unclassed(diet: Diet, food: Food, offers: list[Offer]) -> Check:
    """A food without a class whose name is that of a fruit: nobody can say whether it is one."""
    ids = dict.fromkeys(
        animal.id
        for offer in offers
        for animal in diet.animals
        if not offer.line.for_animals or animal.id in offer.line.for_animals
    )
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about="a food that may be fruit",
        food=food.id,
        severity=Severity.MEDIUM,
        message=f'{diet.group.called}: "{food.id}" has the name of a fruit but no class, so '
        "whether it counts as cultivated fruit cannot be told.",
        advice="Give the food a class on the food list; leave it out until then.",
        animals=tuple(ids),
        occasions=tuple(When(o.on, o.number, o.slot, o.meal) for f in offers for o in f.occasions),
        settles=f'the class of "{food.id}" on the food list, such as `class: dried fruit`',
        places=(*(offer.line.place.at("food") for offer in offers), food.place),
    )


def not_countable(diet: Diet, limit: Limit) -> Check:
    """A limit in a unit or over a span in which fruit is not counted: never passed over."""
    units = ", ".join(sorted({unit for unit, _ in UNITS[limit.quantity]}))
    own = limit.standing is Standing.SITE_RULE and limit.place
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=about_of(limit),
        severity=Severity.MEDIUM,
        message=f"{diet.group.called}: fruit cannot be counted against {limit_words(limit)} "
        f"{span_words(limit)} ({standing_words(limit)}).",
        advice=f"Write the limit in {units}, over a day or over another span that about.md names.",
        limit=limit,
        settles="a limit in a unit that fruit can be counted in",
        places=(limit.place,) if own and limit.place else (),
    )
