"""Holes in the plan, one finding for one cause, named by day and feed."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import timedelta
from difflib import get_close_matches

from dietcheck.contract import Check, Diet, Hole, PlannedDay, Severity, Verdict, When

Cause = tuple[str, str, str]  # kind of hole, feed, meal


def holes(diet: Diet) -> Iterable[Check]:
    """A check for each cause: the same meal misspelt on ten days is one."""
    by_cause: dict[Cause, list[tuple[PlannedDay, Hole]]] = defaultdict(list)
    for day in diet.days:
        if day.holes and matters(diet, day):
            for hole in day.holes:
                by_cause[hole.kind, hole.slot or "", hole.meal or ""].append((day, hole))
    for cause, found in by_cause.items():
        yield _check(diet, cause, found)


def matters(diet: Diet, day: PlannedDay) -> bool:
    """Whether somebody is there to be fed on that day, or on the day that repeats it.

    The cycle that is judged began before today. Its past days stand for the ones to come as long
    as the same rota and sheet will be in force then.
    """
    on = day.on
    if on < diet.on:
        cycle = len(day.rota.days) if day.rota else diet.settings.rota_days
        on += timedelta(days=cycle * -(-(diet.on - on).days // cycle))
        group, collection = diet.group.id, diet.collection
        if collection.rota_on(group, on) is not day.rota:
            return False
        if collection.sheet_on(group, on) is not day.sheet:
            return False
    return bool(diet.present(on))


def _check(diet: Diet, cause: Cause, found: list[tuple[PlannedDay, Hole]]) -> Check:
    kind, slot, meal = cause
    days = [day for day, _ in found]
    what, advice = _words(diet, days[0], kind, slot, meal)
    return Check(
        verdict=Verdict.BREACH,
        about=f"hole: {' / '.join(part for part in cause if part)}",
        severity=Severity.HIGH,
        message=f"{diet.group.called}, {_listed(days)}: {what}",
        advice=advice,
        animals=tuple(animal.id for animal in diet.present(max(days[0].on, diet.on))),
        occasions=tuple(When(day.on, day.number, slot, meal) for day in days),
        places=tuple(dict.fromkeys(hole.place for _, hole in found)),
    )


def _words(diet: Diet, day: PlannedDay, kind: str, slot: str, meal: str) -> tuple[str, str]:
    """What is missing, and what to do about it."""
    match kind:
        case "no rota":
            return (
                "no rota is in force, so nothing is planned.",
                "Write a rota that starts on that day, or take away the end of the one before. "
                "Until then feed by the last approved rota.",
            )
        case "no sheet":
            return (
                f'the rota gives "{meal}", but no diet sheet is in force.',
                "Write a sheet that is in force from that day. Until then feed the last approved "
                "sheet.",
            )
        case "empty feed":
            return (
                f"nothing is written for the {slot} feed. It is a hole, not a planned fast.",
                f'Write the meal, or "{slot}: no feed" where it is left out on purpose'
                f"{_meals(day)}.",
            )
        case "unknown feed":
            feeds = (*diet.settings.feeds, *diet.settings.extra_feeds)
            return (
                f'"{slot}" is no feed of this collection.',
                f"{_near(slot, feeds)}The feeds are {', '.join(feeds)}. Correct the word, or add "
                "it to extra_feeds in dietcheck.yaml.",
            )
        case _:
            names = tuple(day.sheet.meals) if day.sheet else ()
            return (
                f'the {slot} feed is "{meal}", a meal that the sheet does not have, so nothing is '
                "planned for it.",
                f"{_near(meal, names)}The sheet has: {'; '.join(names)}. Correct the name in the "
                "rota, or add the meal to the sheet.",
            )


def _meals(day: PlannedDay) -> str:
    return f". The sheet has: {'; '.join(day.sheet.meals)}" if day.sheet else ""


def _near(word: str, words: tuple[str, ...]) -> str:
    near = get_close_matches(word, words, n=3, cutoff=0.5)
    return f"Nearest: {'; '.join(near)}. " if near else ""


def _listed(days: list[PlannedDay]) -> str:
    """Rota days in words; days without a rota are named by their dates."""
    if not days[0].number:
        first, last = days[0].on, days[-1].on
        return f"{first}" if first == last else f"{first} to {last}"
    numbers = sorted({day.number for day in days})
    word = "day" if len(numbers) == 1 else "days"
    return f"{word} {', '.join(map(str, numbers))} of the rota"
