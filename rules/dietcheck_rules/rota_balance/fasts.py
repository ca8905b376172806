"""How long an animal goes without food, and whether it may fast at all."""

from collections.abc import Iterator
from decimal import Decimal

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    Figure,
    Interval,
    Limit,
    Limits,
    Measure,
    PlannedDay,
    Severity,
    Verdict,
    exact,
    hold,
)
from dietcheck_rules.rota_balance.days import alike, lines_for, rota_lines, whens
from dietcheck_rules.shared.levels.words import who_words
from dietcheck_rules.shared.wording import bound_words, figure_words
from dietcheck_rules.toxic_item.words import any_holds, tokens

INTERVAL, FASTS = "days-between-feeds", "fast-days"
INSULIN = ("diabetes", "diabetic", "insulin")  # a fast may bring the blood sugar down too far
FURTHEST = 60  # days looked back for the last food
Gap = tuple[Figure, tuple[PlannedDay, ...], PlannedDay | None]


def judge(diet: Diet, limits: Limits) -> Iterator[Check]:
    """The longest wait between two days with food, the animals that must not fast, and a proper
    fast that is missing."""
    lived: tuple[PlannedDay, ...] = ()
    kinds = {(day.key, bool(day.holes), day.fast): day for day in diet.days}.values()
    for animals in alike(diet):
        animal = animals[0]
        fast = limits.applying(diet.group, FASTS, over="7 days", stage=animal.stage)
        if (
            fast is None
            and (animal.here_from, animal.here_until) == (None, None)
            and not any(_is_empty(animal, day) for day in kinds)
        ):
            yield from _every_day(diet, limits, animals)  # nothing to walk the calendar for
            continue
        lived = lived or diet.lived(FURTHEST, 2 * diet.settings.rota_days)
        empty = [day for day in lived if _is_empty(animal, day) and day.on >= diet.on]
        yield from _intervals(diet, limits, animals, lived)
        for one in animals:
            yield from _must_not(diet, one, empty)
        yield from _missing(diet, limits, animals, lived)


def _every_day(diet: Diet, limits: Limits, animals: list[Animal]) -> Iterator[Check]:
    applied = limits.applying(diet.group, INTERVAL, stage=animals[0].stage)
    assert applied is not None  # a default for every animal
    figures = [Figure(animal, exact(1)) for animal in animals]
    for same in hold(figures, applied.limit):
        gap: Gap = (figures[0], (), None)
        yield _interval_check(diet, applied.limit, same.verdict, same.severity, figures, gap)


def _is_empty(animal: Animal, day: PlannedDay) -> bool:
    """Whether a day is without food for an animal that is there. A treat alone breaks no fast.

    A hole in the rota is no fast: another rule tells of it.
    """
    if not animal.is_here(day.on) or day.rota is None or (day.holes and not day.fast):
        return False
    return not lines_for(animal, day, treats=False)


def _intervals(
    diet: Diet, limits: Limits, animals: list[Animal], days: tuple[PlannedDay, ...]
) -> Iterator[Check]:
    applied = limits.applying(diet.group, INTERVAL, stage=animals[0].stage)
    assert applied is not None  # a default for every animal
    limit = applied.limit
    gaps = list(_gaps(diet, animals[0], days))
    if not gaps:
        return
    worst = max(gaps, key=lambda gap: (gap[0].value.low, gap[0].value.high))
    figures = [Figure(animal, worst[0].value, whens(worst[1])) for animal in animals]
    for same in hold(figures, limit):
        yield _interval_check(diet, limit, same.verdict, same.severity, figures, worst)


def _gaps(diet: Diet, animal: Animal, days: tuple[PlannedDay, ...]) -> Iterator[Gap]:
    """Each wait that is not over before the judged day, with its empty days and its end.

    A wait whose beginning nobody wrote down is at least as long as what is written.
    """
    here = [day for day in days if animal.is_here(day.on)]
    waiting: list[PlannedDay] = []
    known = False
    for day in here:
        if _is_empty(animal, day):
            waiting.append(day)
            continue
        if day.on > diet.on:  # what was over by the judged day is history
            least = Decimal(len(waiting) + 1)
            settled = known or not waiting or (animal.here_from == here[0].on)
            value = exact(least) if settled else Interval(least, Decimal("Infinity"))
            yield Figure(animal, value), tuple(waiting), day
        waiting, known = [], True
    if len(waiting) >= diet.settings.rota_days:
        yield (
            Figure(animal, Interval(Decimal(len(waiting)), Decimal("Infinity"))),
            (*waiting,),
            None,
        )


def _interval_check(
    diet: Diet,
    limit: Limit,
    verdict: Verdict,
    severity: Severity,
    figures: list[Figure],
    gap: Gap,
) -> Check:
    figure, empty, end = gap
    who = who_words(diet, [f.animal for f in figures])
    said = f"{who}: {figure_words(figure.value, limit)} from one feed to the next"
    if empty:
        until = f"the next food is on {end.on}" if end else "no food is planned after"
        when = f"on {empty[0].on}"
        if len(empty) > 1:
            when = f"from {empty[0].on} to {empty[-1].on}"
        said += f"; no food {when}, {until}"
    kept = verdict is Verdict.KEPT
    last = empty[0].on if empty else diet.on
    return Check(
        verdict=verdict,
        about="fast too long",
        severity=Severity.LOW if kept else severity,
        message=f"{said}; {bound_words(limit)}.",
        advice="" if kept else "Plan food earlier, or ask the vet before the animal fasts so long.",
        animals=tuple(f.animal.id for f in figures),
        occasions=whens(empty),
        measured=Measure.against(figure.value, limit),
        limit=limit,
        working=(
            f"{len(empty)} days without food, the first on {last}; the day with food after them "
            f"is day {len(empty) + 1}",
        ),
        settles="the rota before this one, so that the last day with food is known"
        if verdict is Verdict.CANNOT_TELL
        else "",
        places=rota_lines([*reversed(empty), *([end] if end else [])])[:5],
    )


def _must_not(diet: Diet, animal: Animal, empty: list[PlannedDay]) -> Iterator[Check]:
    """Insulin-treated animals never fast; for others with a state of health the vet decides."""
    if not empty:
        return
    words = [*animal.health, *_drugs(diet, animal)]
    insulin = next((word for word in words if any_holds([tokens(word)], INSULIN)), None)
    if insulin is not None:
        said, verdict = (
            f'"{insulin}" stands in its records, and a fast is dangerous then',
            (Verdict.BREACH),
        )
    elif animal.stage in ("pregnant", "lactating", "infant"):
        said, verdict = f"it is {animal.stage}, and such an animal does not fast", Verdict.BREACH
    elif states := _states(diet, animal):
        said, verdict = (
            f"its record says {states}; whether it may fast is not written",
            (Verdict.CANNOT_TELL),
        )
    else:
        return
    yield Check(
        verdict=verdict,
        about=f"fast for an animal that may not: {animal.id}",
        severity=Severity.MEDIUM,
        message=f"{animal.called}: no food on {empty[0].on}; {said} (common practice, no source; "
        "the vet sets this).",
        advice="Feed it apart on that day, or ask the vet.",
        animals=(animal.id,),
        occasions=whens(empty),
        settles="the vet's word on fasting" if verdict is Verdict.CANNOT_TELL else "",
        places=(*rota_lines(empty), animal.place),
    )


def _drugs(diet: Diet, animal: Animal) -> list[str]:
    return [
        offer.line.medicine.drug
        for offer in diet.offers()
        if offer.line.medicine is not None
        and (not offer.line.for_animals or animal.id in offer.line.for_animals)
        and offer.line.medicine.start <= diet.on <= offer.line.medicine.until
    ]


def _states(diet: Diet, animal: Animal) -> str:
    plan = animal.plan
    running = (
        plan is not None and plan.start <= diet.on and (plan.until is None or plan.until >= diet.on)
    )
    medical = ["a medical plan"] if plan is not None and running and plan.kind == "medical" else []
    return ", ".join([*animal.health, *medical])


def _missing(
    diet: Diet, limits: Limits, animals: list[Animal], days: tuple[PlannedDay, ...]
) -> Iterator[Check]:
    applied = limits.applying(diet.group, FASTS, over="7 days", stage=animals[0].stage)
    if applied is None:
        return
    limit = applied.limit
    here = [d for d in days if animals[0].is_here(d.on) and d.rota is not None]
    runs = [here[n : n + 7] for n in range(len(here) - 6) if here[n + 6].on >= diet.on]
    if not runs:
        return
    least = min(runs, key=lambda run: sum(_is_empty(animals[0], d) for d in run))
    count = exact(sum(_is_empty(animals[0], d) for d in least))
    for same in hold([Figure(a, count, whens(least)) for a in animals], limit):
        kept = same.verdict is Verdict.KEPT
        yield Check(
            verdict=same.verdict,
            about="fast days",
            severity=same.severity if not kept else Severity.LOW,
            message=f"{who_words(diet, animals)}: {figure_words(count, limit)} without food in the "
            f"seven days from {least[0].on}; {bound_words(limit)}.",
            advice=""
            if kept
            else "Nothing is wrong today; ask the nutrition lead about fast days.",
            animals=same.animals,
            occasions=whens(least),
            measured=Measure.against(count, limit),
            limit=limit,
            places=rota_lines(least),
        )
