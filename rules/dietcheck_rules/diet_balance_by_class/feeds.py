"""How many feeds a day an animal gets, on the day with the fewest and on that with the most."""

from collections.abc import Iterator, Sequence

from dietcheck.contract import (
    Alike,
    Animal,
    Applied,
    Check,
    Diet,
    Figure,
    Limit,
    Limits,
    Measure,
    PlannedDay,
    Pointer,
    Verdict,
    When,
    exact,
    hold,
    not_applicable,
)
from dietcheck_rules.shared.class_shares import by_stage
from dietcheck_rules.shared.wording import figure_words, limit_words, standing_words

QUANTITY = "meals-per-day"


def judge_feeds(diet: Diet, limits: Limits) -> Iterator[Check]:
    """One check for each limit on the number of feeds and verdict."""
    for stage, animals in by_stage(diet).items():
        for applied in limits.each(diet.group, QUANTITY, stage=stage):
            yield from _judge(diet, applied, animals)


def slots(diet: Diet, animal: Animal, day: PlannedDay) -> tuple[str, ...]:
    """The feeds of a day in which the animal gets anything; several meals in one feed are one.

    A treat that no feed is named for is no feed.
    """
    regular = set(diet.settings.feeds) | set(diet.settings.extra_feeds)
    fed = (
        feed.slot
        for feed, portions in diet.feeds(animal, day)
        if feed.slot in regular and any(portion.grams.high > 0 for portion in portions)
    )
    return tuple(dict.fromkeys(fed))


def _judge(diet: Diet, applied: Applied, animals: Sequence[Animal]) -> Iterator[Check]:
    limit = applied.limit
    about = "feeds a day"
    if limit.basis != "count" or limit.unit not in ("feeds", "meals") or limit.over != "day":
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about=about,
            message=f"{diet.group.called}: feeds a day cannot be counted against the limit as it "
            f"is written ({standing_words(limit)}).",
            advice="Write the limit in feeds, over: day.",
            limit=limit,
            settles="a limit in feeds a day",
            places=(limit.place,) if limit.place else (),
        )
        return
    figures = [figure for animal in animals for figure in _counts(diet, animal)]
    if not figures:
        yield not_applicable(about, f"{diet.group.called}: no day with food is planned.")
    for alike in hold(figures, limit):
        yield _report(diet, applied, about, alike)


def _counts(diet: Diet, animal: Animal) -> Iterator[Figure]:
    """The number of feeds of each day that is no planned fast and has no hole."""
    by_count: dict[int, list[When]] = {}
    known: dict[tuple[int, ...], int] = {}
    for day in diet.days:
        if day.fast or day.holes or not animal.is_here(day.on):
            continue
        if day.key not in known:
            known[day.key] = len(slots(diet, animal, day))
        by_count.setdefault(known[day.key], []).append(When(day.on, day.number))
    for count, occasions in by_count.items():
        yield Figure(animal, exact(count), tuple(occasions))


def _report(diet: Diet, applied: Applied, about: str, alike: Alike) -> Check:
    limit, worst = applied.limit, alike.worst
    kept = alike.verdict is Verdict.KEPT
    more = len(alike.animals) - 1
    who = f"{diet.group.called}, {worst.animal.called}{f' (and {more} more)' if more else ''}"
    count = figure_words(worst.value, limit)
    first = worst.occasions[0]
    when = f"rota day {first.number}" if first.number else str(first.on)
    few = limit.at_least is not None and worst.value.low < limit.at_least
    return Check(
        verdict=alike.verdict,
        about=about,
        severity=alike.severity,
        message=f"{who}: {count} a day{'' if kept else f' on {when}'}"
        f"{', within' if kept else '; the limit is'} {limit_words(limit)} "
        f"({standing_words(limit)}).",
        advice=""
        if kept
        else f"Spread the same food over {'more' if few else 'fewer'} feeds, or ask the vet.",
        animals=alike.animals,
        occasions=() if kept else alike.occasions,
        measured=Measure(worst.value, limit.unit, "a day"),
        limit=limit,
        others=applied.others,
        working=() if kept else _working(diet, limit, alike),
        places=() if kept else tuple(_places(diet, alike)),
    )


def _working(diet: Diet, limit: Limit, alike: Alike) -> tuple[str, ...]:
    on = alike.worst.occasions[0].on
    day = next(day for day in diet.days if day.on == on)
    fed = slots(diet, alike.worst.animal, day)
    return (
        f"feeds with food on {on}: {', '.join(fed) or 'none'}",
        f"days like that: {len(alike.worst.occasions)} of {len(diet.days)}",
        f"limit: {limit_words(limit)} a day: {standing_words(limit)}"
        f"{f'; {limit.note}' if limit.note else ''}",
    )


def _places(diet: Diet, alike: Alike) -> Iterator[Pointer]:
    on = alike.worst.occasions[0].on
    day = next(day for day in diet.days if day.on == on)
    assert day.rota is not None  # only days of a rota are counted
    yield day.rota.days[day.number - 1].place
