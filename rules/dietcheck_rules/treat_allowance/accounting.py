"""Whether treats come out of the ration, as a source asks for some animals, or on top of it.

A day with treats is compared with the days without any: line by line, what is given on both cancels
out, so that an amount that is not known well makes no difference here.
"""

from collections.abc import Iterator

from msgspec import Struct

from dietcheck.contract import (
    ZERO,
    Animal,
    Applied,
    Check,
    Diet,
    Figure,
    Interval,
    Limit,
    Limits,
    Line,
    Measure,
    PlannedDay,
    Portion,
    Severity,
    Verdict,
    When,
    energy_method,
    energy_per_100g,
    format_interval,
    hold,
    is_treat,
    not_applicable,
)
from dietcheck_rules.shared.wording import figure_words, limit_words, standing_words

QUANTITY = "treats-on-top"
ABOUT = "treats on top of the ration"
UNIT = ("kcal/animal", "animal", "day")


class _Day(Struct, frozen=True, eq=False):
    when: When
    portions: tuple[Portion, ...]

    @property
    def treats(self) -> tuple[Portion, ...]:
        return tuple(one for one in self.portions if is_treat(one.line))


class _Added(Struct, frozen=True, eq=False):
    figure: Figure
    day: _Day
    plain: _Day


def judge_accounting(
    diet: Diet, limits: Limits, stage: str | None, animals: list[Animal]
) -> Iterator[Check]:
    """One check for each verdict; nothing where no source asks for it."""
    for applied in limits.each(diet.group, QUANTITY, stage=stage):
        limit = applied.limit
        if (limit.unit, limit.basis, limit.over) == UNIT:
            yield from _judge(diet, applied, animals)
        else:
            yield _unreadable(diet, limit)


def _unreadable(diet: Diet, limit: Limit) -> Check:
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=ABOUT,
        severity=Severity.MEDIUM,
        message=f"{diet.group.called}: treats on top of the ration are reckoned in kcal a day, so "
        f"{limit_words(limit)} ({standing_words(limit)}) cannot be judged.",
        advice="Write the limit in kcal per animal, over day.",
        limit=limit,
        settles="a limit in kcal per animal, over day",
        places=(limit.place,) if limit.place else (),
    )


def _judge(diet: Diet, applied: Applied, animals: list[Animal]) -> Iterator[Check]:
    found = [one for animal in animals for one in _added(diet, animal)]
    if not found:
        yield not_applicable(
            ABOUT,
            f"{diet.group.called}: treats are given on every day that is planned or on none, so "
            "they are part of the written ration.",
        )
        return
    days = {id(one.figure): one for one in found}
    for alike in hold((one.figure for one in found), applied.limit):
        worst = days[id(alike.worst)]
        kept = alike.verdict is Verdict.KEPT
        more = len(alike.animals) - 1
        who = f"{diet.group.called}, {worst.figure.animal.called}" + (
            f" (and {more} more)" if more else ""
        )
        yield Check(
            verdict=alike.verdict,
            about=ABOUT,
            severity=alike.severity,
            message=_message(who, alike.verdict, worst.figure.value, applied.limit),
            advice="" if kept else "Take as much out of the food of that day, or ask the vet.",
            animals=alike.animals,
            occasions=() if kept else alike.occasions,
            measured=Measure.against(worst.figure.value, applied.limit),
            limit=applied.limit,
            others=applied.others,
            working=tuple(_working(diet, worst)),
            settles="the energy in the treats, and in what is left out for them"
            if alike.verdict is Verdict.CANNOT_TELL
            else "",
            places=()
            if kept
            else tuple(p.line.place.at("food") for p in _but(worst.day, worst.plain)),
        )


def _message(who: str, verdict: Verdict, value: Interval, limit: Limit) -> str:
    said = f"{who}: a day with treats holds {figure_words(value, limit)}"
    standing = standing_words(limit)
    match verdict:
        case Verdict.BREACH:
            return (
                f"{said} more than a day without. Treats come out of the ration, not on top "
                f"({standing})."
            )
        case Verdict.CANNOT_TELL:
            return f"{said} more than a day without, so whether it is more cannot be told."
        case _:
            return f"{who}: a day with treats holds no more than a day without ({standing})."


def _working(diet: Diet, worst: _Added) -> Iterator[str]:
    for title, portions in (
        ("more on the day with treats", _but(worst.day, worst.plain)),
        ("more on the day without", _but(worst.plain, worst.day)),
    ):
        for portion in portions:
            kcal = kcal_of(diet, [portion])
            yield (
                f"{title}: {portion.food.name} {format_interval(portion.grams, 'g')} = "
                f"{format_interval(kcal, 'kcal')}"
            )
    method = energy_method(diet.group.taxon)
    yield f"compared with {worst.plain.when.on}; energy: {method.described}"


def _added(diet: Diet, animal: Animal) -> Iterator[_Added]:
    """For each day with treats, by how much it is more than the plain day nearest to it."""
    alike: dict[object, _Day] = {}
    for planned in diet.days:
        if animal.is_here(planned.on):
            key = planned.key, *(sharer.id for sharer in diet.present(planned.on))
            if key not in alike:
                alike[key] = _day(diet, animal, planned)
    plain = [day for day in alike.values() if not day.treats and day.portions]
    for day in alike.values():
        if day.treats and plain:
            each = [(_more(diet, day, other), other) for other in plain]
            value, other = min(each, key=lambda one: one[0].high)
            yield _Added(Figure(animal, value.clamp_low(), (day.when,)), day, other)


def _day(diet: Diet, animal: Animal, day: PlannedDay) -> _Day:
    portions = [portion for _, of_feed in diet.feeds(animal, day) for portion in of_feed]
    return _Day(When(day.on, day.number), tuple(portions))


def _more(diet: Diet, day: _Day, plain: _Day) -> Interval:
    """Energy by which a day is more than another, in kcal; below zero: less."""
    return kcal_of(diet, _but(day, plain)) - kcal_of(diet, _but(plain, day))


def kcal_of(diet: Diet, portions: list[Portion]) -> Interval:
    """The energy of some portions together."""
    method = energy_method(diet.group.taxon)
    each = (p.grams / 100 * energy_per_100g(diet.profiles[p.food], method) for p in portions)
    return sum(each, ZERO)


def _but(day: _Day, other: _Day) -> list[Portion]:
    """The portions of a day that the other day has not as well."""
    left: dict[Line, int] = {}
    for portion in other.portions:
        left[portion.line] = left.get(portion.line, 0) + 1
    found = []
    for portion in day.portions:
        if left.get(portion.line, 0):
            left[portion.line] -= 1
        else:
            found.append(portion)
    return found
