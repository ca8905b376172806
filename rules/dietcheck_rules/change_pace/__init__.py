"""How much of a diet is new in one step, and how many days a whole change takes."""

from collections.abc import Iterable, Iterator
from decimal import Decimal

from msgspec import Struct

from dietcheck.contract import (
    Alike,
    Applied,
    Check,
    Diet,
    Figure,
    Interval,
    Limit,
    Limits,
    Measure,
    Rule,
    Severity,
    Standing,
    Verdict,
    exact,
    files,
    format_interval,
    hold,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.change_pace.newness import NewPart, new_part
from dietcheck_rules.shared.levels.words import bound_words, figure_words, who_words
from dietcheck_rules.shared.pairing import (
    SheetPair,
    is_unchanged,
    no_comparison,
    own_step,
    steps,
)
from dietcheck_rules.shared.set_figures import figure, unreadable

ABOUT = "pace of the change"
STEP, DAYS = "diet-change-step", "diet-change-days"
BETWEEN = "days-between-steps"


class Change(Struct, frozen=True, eq=False):
    """A last step, and the first sheet of the change that it belongs to."""

    step: SheetPair
    whole: SheetPair
    days: int  # from the first step to the last


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="change-pace",
        title="A diet changes in steps",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Each changed sheet against the one before it."""
    if (nothing := no_comparison(diet, ABOUT)) is not None:
        yield nothing
        return
    yield from unreadable(limits, diet, {BETWEEN: "14 days"})
    between = figure(limits, diet, BETWEEN).at_most
    changes = [] if is_unchanged(diet) else [_change(diet, one, between) for one in steps(diet)]
    if not changes:
        yield not_applicable(
            ABOUT, f"{diet.group.called}: no sheet has changed since the earlier version."
        )
        return
    for change in changes:
        yield from _judge(diet, limits, change)


def _change(diet: Diet, step: SheetPair, between: Decimal | None) -> Change:
    """The change that a step belongs to: the sheets before it that follow each other closely."""
    whole = step
    while not whole.edited and whole.then is diet:
        gap = (whole.after.start - whole.before.start).days
        earlier = own_step(diet, whole.before) if between is None or gap <= between else None
        if earlier is None:
            break
        whole = SheetPair(earlier.before, diet, whole.before, diet, edited=False)
    whole_change = SheetPair(whole.before, whole.then, step.after, diet, edited=step.edited)
    return Change(step, whole_change, (step.after.start - whole.after.start).days)


def _judge(diet: Diet, limits: Limits, change: Change) -> Iterator[Check]:
    found = {animal.id: new_part(change.step, animal) for animal in diet.animals}
    if not found or any(part is None for part in found.values()):
        yield not_applicable(ABOUT, f"{diet.group.called}: no rota is in force to feed by.")
        return
    parts = {animal: part for animal, part in found.items() if part is not None}
    step = limits.applying(diet.group, STEP)
    days = limits.applying(diet.group, DAYS)
    assert step is not None  # a default for every animal
    assert days is not None
    if step.limit.basis != "dry matter":
        yield _unreadable(diet, STEP, step.limit)
        return
    figures = [Figure(animal, parts[animal.id].share * 100) for animal in diet.animals]
    for alike in hold(figures, step.limit):
        yield _step_check(diet, change, step, alike, parts)
    yield from _days_checks(diet, change, step, days)


def _days_checks(diet: Diet, change: Change, step: Applied, days: Applied) -> Iterator[Check]:
    """The time of the whole change at this pace, once more than one step's worth is new."""
    if days.limit.basis != "count":
        yield _unreadable(diet, DAYS, days.limit)
        return
    published = days.limit.standing is not Standing.COMMON_PRACTICE
    if change.days == 0 and not published:
        return  # one step: already judged as a step
    parts = {animal.id: new_part(change.whole, animal) for animal in diet.animals}
    figures = [
        Figure(animal, pace)
        for animal in diet.animals
        if (part := parts[animal.id]) is not None
        and (pace := _whole_days(change.days, part.share, step.limit)) is not None
    ]
    for alike in hold(figures, days.limit):
        part = parts[alike.worst.animal.id]
        yield _days_check(diet, change, days, alike, part)


def _whole_days(days: int, new: Interval, step: Limit) -> Interval | None:
    """How many days the whole diet takes at this pace; None where a step's worth is new at most.

    The first step counts no days, so a change of all of the diet takes what it takes, and one of
    a part is drawn out to the whole.
    """
    at_once = (step.at_most or Decimal(0)) / 100
    if new.high <= at_once or at_once >= 1:
        return None
    rest = (1 - at_once) * days
    high = rest / (new.low - at_once) if new.low > at_once else Decimal("Infinity")
    return Interval(rest / (new.high - at_once), high)


def _days_check(
    diet: Diet, change: Change, days: Applied, alike: Alike, part: NewPart | None
) -> Check:
    limit = days.limit
    kept = alike.verdict is Verdict.KEPT
    who = who_words(diet, [figure.animal for figure in alike.figures])
    taken = "one step" if change.days == 0 else format_interval(exact(change.days), "days")
    whole = format_interval(alike.worst.value, "days", against=[limit.at_least or Decimal(0)])
    new = "" if part is None else f", {format_interval(part.share * 100, '%')} new"
    return Check(
        verdict=alike.verdict,
        about="days for the whole change",
        severity=Severity.LOW if kept else alike.severity,
        message=f"{who}: from the sheet of {change.whole.before.start} to that of "
        f"{change.step.after.start} in {taken}{new}; at that pace the whole diet changes in "
        f"{whole}; {bound_words(limit)}.",
        advice="" if kept else "Spread it over more days, a sheet for each step.",
        animals=alike.animals,
        measured=Measure.against(alike.worst.value, limit),
        limit=limit,
        others=days.others,
        working=() if part is None else part.working,
        settles="amounts and dry matter of the foods in one figure each"
        if alike.verdict is Verdict.CANNOT_TELL
        else "",
        places=(change.step.after.place.at("from"),),
        sources=limit.sources,
    )


def _step_check(
    diet: Diet, change: Change, applied: Applied, alike: Alike, parts: dict[str, NewPart]
) -> Check:
    limit, worst = applied.limit, parts[alike.worst.animal.id]
    after = change.step.after
    who = who_words(diet, [figure.animal for figure in alike.figures])
    kept = alike.verdict is Verdict.KEPT
    foods = ", ".join(food.id for food, _ in worst.foods[:3]) or "nothing"
    when = "at once" if change.step.edited else f"on {after.start}"
    amount = figure_words(alike.worst.value, limit)
    how_much = "how much nobody can tell" if amount == "unknown" else amount
    return Check(
        verdict=alike.verdict,
        about="new in one step",
        severity=Severity.LOW if kept else alike.severity,
        message=f"{who}: new {when}: {how_much} ({foods}); {bound_words(limit)}.",
        advice=""
        if kept
        else "Feed old and new side by side, a quarter more of the new at each step, or ask the "
        "vet.",
        animals=alike.animals,
        measured=Measure.against(alike.worst.value, limit),
        limit=limit,
        others=applied.others,
        working=worst.working,
        weak=worst.weak,
        settles=""
        if alike.verdict is not Verdict.CANNOT_TELL
        else "amounts and dry matter of the foods in one figure each: "
        + (", ".join(worst.loose) or "all"),
        places=(*(worst.places(after)), after.place.at("from")),
    )


def _unreadable(diet: Diet, quantity: str, limit: Limit) -> Check:
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=f"limit on {quantity}",
        severity=Severity.MEDIUM,
        message=f"{diet.group.called}: the limit on {quantity} is not written in a way that this "
        "rule reads.",
        advice="Write diet-change-step in % of dry matter and diet-change-days in days.",
        settles="a limit in those words",
        limit=limit,
        places=(limit.place,) if limit.place else (),
    )
