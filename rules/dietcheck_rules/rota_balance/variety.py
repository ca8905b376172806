"""How often one item comes round, how many kinds there are, and how the food is given."""

from collections.abc import Callable, Iterator
from decimal import Decimal

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    Figure,
    Food,
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
from dietcheck_rules.rota_balance.days import NO_FOOD, alike, lines_for, rota_lines, whens
from dietcheck_rules.shared.levels.words import who_words
from dietcheck_rules.shared.wording import bound_words, figure_words
from dietcheck_rules.toxic_item.words import any_holds, tokens

ITEM, ITEM_RUN = "same-item", "same-item-in-a-row"
FOODS, MEALS, PRESENTATION = "different-foods", "different-meals", "same-presentation-in-a-row"
UNITS = {
    ITEM: ("days", "feeds"), ITEM_RUN: ("days",), FOODS: ("foods",), MEALS: ("meals",),
    PRESENTATION: ("days",),
}  # fmt: skip
Run = tuple[PlannedDay, ...]


def judge(diet: Diet, limits: Limits) -> Iterator[Check]:
    """Each limit on variety that stands for the group's animals."""
    for animals in alike(diet):
        yield from _of_alike(diet, limits, animals)


def _of_alike(diet: Diet, limits: Limits, animals: list[Animal]) -> Iterator[Check]:
    stage = animals[0].stage
    on_foods = [
        row for q in (ITEM, ITEM_RUN) for row in limits.on_foods(diet.group, q, stage=stage)
    ]
    general = [
        applied.limit
        for quantity in UNITS
        for applied in limits.each(diet.group, quantity, stage=stage)
    ]
    if not on_foods and not general:
        return
    reach = max(_length(diet, limit) for limit in (*on_foods, *general))
    days = tuple(
        d for d in diet.lived(reach, reach) if d.rota is not None and animals[0].is_here(d.on)
    )
    for limit in (*general, *on_foods):
        if limit.unit not in UNITS[limit.quantity]:
            yield _unreadable(diet, limit)
        else:
            yield from _judge(diet, animals, days, limit)


def _length(diet: Diet, limit: Limit) -> int:
    if limit.quantity.endswith("in-a-row") and limit.at_most is not None:
        return int(limit.at_most) + diet.settings.rota_days
    return int(limit.over.split()[0]) if limit.over.endswith("days") else diet.settings.rota_days


def _judge(diet: Diet, animals: list[Animal], days: Run, limit: Limit) -> Iterator[Check]:
    animal = animals[0]
    if limit.quantity in (FOODS, MEALS):
        count = _foods if limit.quantity == FOODS else _meals
        runs = list(_windows(diet, days, limit))
        if runs:
            fewest = min(runs, key=lambda run: len(count(animal, run)))
            yield from _report(diet, animals, limit, len(count(animal, fewest)), fewest, None)
        return
    if limit.quantity == PRESENTATION:
        run = _longest(diet, days, lambda day: _ways(animal, day))
        if run:
            goes_on = _goes_on(run, days, limit)
            yield from _report(diet, animals, limit, len(run), run, None, goes_on=goes_on)
        return
    for food in _wanted(animal, days, limit):
        if limit.quantity == ITEM_RUN:
            run = _longest(diet, days, lambda day, f=food: _has(animal, day, f))  # type: ignore[misc]
            goes_on = bool(run) and _goes_on(run, days, limit)
            yield from _report(diet, animals, limit, len(run), run, food, goes_on=goes_on)
        else:
            runs = list(_windows(diet, days, limit))
            if runs:
                most = max(runs, key=lambda run: _times(animal, run, food, limit))
                times = _times(animal, most, food, limit)
                given = tuple(d for d in most if _has(animal, d, food))
                yield from _report(diet, animals, limit, times, given, food)


def _goes_on(run: Run, days: Run, limit: Limit) -> bool:
    """Whether a run is past its limit already and ends only where the days looked at do."""
    return run[-1] is days[-1] and limit.at_most is not None and len(run) > limit.at_most


def _windows(diet: Diet, days: Run, limit: Limit) -> Iterator[Run]:
    """Every run of the limit's length that is not over before the judged day."""
    length = _length(diet, limit)
    for run in zip(*(days[start:] for start in range(length)), strict=False):
        if run[-1].on >= diet.on and (run[-1].on - run[0].on).days == length - 1:
            yield run


def _longest(diet: Diet, days: Run, same: Callable[[PlannedDay], object]) -> Run:
    """The longest run of days that are alike and not over before the judged day."""
    best: Run = ()
    running: list[PlannedDay] = []
    for day in days:
        mark = same(day)
        if not mark:
            running = []
            continue
        running = [*running, day] if running and same(running[-1]) == mark else [day]
        if day.on >= diet.on and len(running) > len(best):
            best = tuple(running)
    return best


def _has(animal: Animal, day: PlannedDay, food: Food) -> bool:
    return any(part is food for line in lines_for(animal, day) for part, _ in line.food.all_parts())


def _times(animal: Animal, run: Run, food: Food, limit: Limit) -> int:
    if limit.unit == "days":
        return sum(_has(animal, day, food) for day in run)
    return sum(
        any(
            part is food
            for line in feed.lines
            if not line.for_animals or animal.id in line.for_animals
            for part, _ in line.food.all_parts()
        )
        for day in run
        for feed in day.feeds
    )


def _foods(animal: Animal, run: Run) -> set[str]:
    return {
        part.id
        for day in run
        for line in lines_for(animal, day)
        for part, _ in line.food.all_parts()
        if not part.mix and part.food_class not in NO_FOOD
    }


def _meals(animal: Animal, run: Run) -> set[str]:
    return {
        feed.meal
        for day in run
        for feed in day.feeds
        if any(not line.for_animals or animal.id in line.for_animals for line in feed.lines)
    }


def _ways(animal: Animal, day: PlannedDay) -> frozenset[tuple[str, str]]:
    return frozenset(
        (line.food.id, line.presentation) for line in lines_for(animal, day) if line.presentation
    )


def _wanted(animal: Animal, days: Run, limit: Limit) -> list[Food]:
    """The foods that the limit is on: all of them, one of that name, or those of a class."""
    foods = dict.fromkeys(
        part for day in days for line in lines_for(animal, day) for part, _ in line.food.all_parts()
    )
    if limit.food is None:
        return [food for food in foods if not food.mix]
    if limit.set_by:
        return [food for food in foods if limit.food in (food.id, food.food_class)]
    return [
        food
        for food in foods
        if limit.food in (food.id, food.food_class)
        or any_holds(map(tokens, food.names()), [limit.food])
    ]


def _report(
    diet: Diet,
    animals: list[Animal],
    limit: Limit,
    count: int,
    run: Run,
    food: Food | None,
    *,
    goes_on: bool = False,
) -> Iterator[Check]:
    value = Interval(Decimal(count), Decimal("Infinity")) if goes_on else exact(count)
    for same in hold([Figure(a, value, whens(run)) for a in animals], limit):
        kept = same.verdict is Verdict.KEPT
        what = {
            ITEM: f"{food.id} in" if food else "",
            ITEM_RUN: f"{food.id} for" if food else "",
            FOODS: "different foods: only",
            MEALS: "different meals: only",
            PRESENTATION: "food given the same way for",
        }[limit.quantity]
        figure = figure_words(value, limit)
        span = " in a row" if limit.quantity.endswith("in-a-row") else f" within {limit.over}"
        dates = f", {run[0].on} to {run[-1].on}" if run else ""
        lines = [
            line
            for line in (lines_for(animals[0], run[-1]) if run else [])
            if any(part is food for part, _ in line.food.all_parts())
            or (limit.quantity == PRESENTATION and line.presentation)
        ]
        yield Check(
            verdict=same.verdict,
            about=f"{limit.quantity} over {limit.over}",
            food=food.id if food else None,
            severity=Severity.LOW if kept else same.severity,
            message=f"{who_words(diet, animals)}: {what} {figure}{span}{dates}; "
            f"{bound_words(limit)}.",
            advice="" if kept else "Change about: take another meal or item on some of the days.",
            animals=same.animals,
            occasions=whens(run),
            measured=Measure.against(value, limit),
            limit=limit,
            places=(*(line.place for line in lines[:3]), *rota_lines(run)),
        )


def _unreadable(diet: Diet, limit: Limit) -> Check:
    wanted = " or ".join(UNITS[limit.quantity])
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=f"limit on {limit.quantity}",
        message=f"{diet.group.called}: the limit on {limit.quantity} counts "
        f"{limit.unit or 'nothing'}; this rule counts {wanted}.",
        advice=f"Write the limit in {wanted}.",
        settles=f"a limit in {wanted}",
        limit=limit,
        places=(limit.place,) if limit.place else (),
    )
