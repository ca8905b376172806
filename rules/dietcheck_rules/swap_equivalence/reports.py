"""What is said of a swap."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    Interval,
    Measure,
    Pointer,
    Severity,
    Verdict,
    exact,
    format_interval,
    nutrients,
)
from dietcheck_rules.shared.pairing import MealLine, SheetPair
from dietcheck_rules.swap_equivalence.asked import Asked, habit
from dietcheck_rules.swap_equivalence.exchange import Exchange

HABIT = "common practice, no source; the vet sets this"
INSTEAD = "Feed the sheet before, or ask the vet for a swap that brings it."


def key_nutrient(
    pair: SheetPair,
    exchange: Exchange,
    animal: Animal,
    key: str,
    before: Interval,
    after: Interval,
    verdict: Verdict,
    asked: Asked,
) -> Check:
    """What the food was in the diet for does not come back, or nobody can tell."""
    nutrient = nutrients()[key]
    was, now = (format_interval(figure, nutrient.unit) for figure in (before, after))
    cannot = verdict is Verdict.CANNOT_TELL
    end = "" if pair.after.until else " The sheet has no end date."
    change = f"{now} where it was {was}; {asked.key_words} ({habit(asked.key)}).{end}"
    if cannot:
        said = f"nobody can tell how much {nutrient.title} comes back, {change}"
    elif after.low > before.high:
        said = f"{nutrient.title} is more than before, {change}"
    else:
        said = f"{nutrient.title} does not come back, {change}"
    return Check(
        verdict=verdict,
        about=f"{nutrient.title} of {exchange.named}",
        food=exchange.new_foods[0].id,
        severity=Severity.MEDIUM,
        message=f"{_who(pair.now, animal)}, {exchange.named}: {said}",
        advice=INSTEAD,
        animals=_animals(pair.now, exchange),
        measured=Measure(after, nutrient.unit),
        working=(
            *_amounts("before", exchange.outs),
            f"{nutrient.title} in them: {was}",
            *_amounts("now", exchange.ins),
            f"{nutrient.title} in them: {now}",
            f"a swap keeps what the food is here for: {asked.key_words}",
        ),
        weak=_weak(pair.now, exchange, key),
        settles=f"{nutrient.title} of {', '.join(f.id for f in exchange.new_foods)} in one figure"
        if cannot
        else "",
        places=_places(exchange),
    )


def rise(
    pair: SheetPair,
    exchange: Exchange,
    animal: Animal,
    key: str,
    part: Interval,
    sure: bool,
    asked: Asked,
) -> Check:
    """Energy or sugars of the day go up by more than is asked, or may."""
    title = nutrients()[key].title
    up = format_interval(part * 100, "%", against=[asked.up_by * 100])
    return Check(
        verdict=Verdict.BREACH if sure else Verdict.CANNOT_TELL,
        about=f"{title} after {exchange.named}",
        food=exchange.new_foods[0].id,
        severity=Severity.LOW,
        message=f"{_who(pair.now, animal)}, {exchange.named}: {title} of the day "
        f"{'goes' if sure else 'may go'} up by {up}; {asked.up_words} ({habit(asked.rise)}).",
        advice="Give less of it, or choose another swap.",
        animals=_animals(pair.now, exchange),
        measured=Measure(part * 100, "%"),
        working=(*_amounts("before", exchange.outs), *_amounts("now", exchange.ins)),
        weak=_weak(pair.now, exchange, key),
        settles="" if sure else f"{title} of all foods of the day",
        places=_places(exchange),
    )


def other_kind(pair: SheetPair, exchange: Exchange, had: str, has: str) -> Check:
    """What came is another class of food."""
    return Check(
        verdict=Verdict.BREACH,
        about=f"kind of {exchange.named}",
        food=exchange.new_foods[0].id,
        severity=Severity.LOW,
        message=f"{pair.now.group.called}, {exchange.named}: {has} in place of {had} is a change "
        f"of diet and no swap ({HABIT}).",
        advice="Have it approved as a change of diet, or choose a food of the same class.",
        animals=_animals(pair.now, exchange),
        places=_places(exchange),
    )


def other_meal(pair: SheetPair, exchange: Exchange, moved: MealLine) -> Check:
    """What came is fed in another meal."""
    return Check(
        verdict=Verdict.BREACH,
        about=f"meal of {exchange.named}",
        food=moved.line.food.id,
        severity=Severity.LOW,
        message=f'{pair.now.group.called}, {exchange.named}: it is fed in "{moved.meal}", where '
        f"{_ids(exchange.outs)} was not ({HABIT}).",
        advice="Put it into the meal of the food that it stands in for.",
        animals=_animals(pair.now, exchange),
        places=(moved.line.place.at("food"),),
    )


def end(pair: SheetPair, exchange: Exchange, days: int | None, asked: Asked) -> Check:
    """The swap has no end, or a late one, and nobody approved that."""
    said = "has no end date" if days is None else f"runs until {_day(pair.after.until)}, {days} " \
        "days after it starts"  # fmt: skip
    return Check(
        verdict=Verdict.BREACH,
        about=f"end of {exchange.named}",
        food=exchange.new_foods[0].id,
        severity=Severity.LOW,
        message=f"{pair.now.group.called}, {exchange.named}: the swap {said}; at most "
        f"{_plain(asked.days_off)} days unless the vet approves it ({habit(asked.days)}).",
        advice="Write until: into the sheet, or have the vet sign it.",
        animals=_animals(pair.now, exchange),
        places=(pair.after.place.at("until" if days is not None else "from"), *_places(exchange)),
    )


def not_there(pair: SheetPair, exchange: Exchange) -> Check:
    """The line stands in for a food that was not fed."""
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=f"swap for {exchange.missing}",
        food=exchange.new_foods[0].id,
        severity=Severity.LOW,
        message=f"{pair.now.group.called}: {_ids(exchange.ins)} stands in for "
        f'"{exchange.missing}", and the sheet of {pair.before.start} has none of it.',
        advice="Correct the name under instead_of, or take it out.",
        animals=_animals(pair.now, exchange),
        settles="the food that it stands in for",
        places=tuple(given.line.place.at("instead_of") for given in exchange.ins),
    )


def nobody_said(diet: Diet, found: Sequence[Exchange]) -> Check:
    """No record says what the gone foods were in the diet for."""
    outs = [given for exchange in found for given in exchange.outs]
    names = " and ".join(dict.fromkeys(given.line.food.id for given in outs))
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about="what a food is here for",
        severity=Severity.LOW,
        message=f"{diet.group.called}: {'; '.join(one.named for one in found)}. The food list "
        f"does not say what {names} is here for, so nobody can tell whether the swap is equal.",
        advice="Ask the nutrition lead to write here_for: into the food's record.",
        animals=tuple(animal.id for animal in diet.animals),
        settles=f"here_for: of {names}",
        places=tuple(given.line.place.at("food") for one in found for given in one.ins),
    )


def kept(pair: SheetPair, exchange: Exchange, asked: Asked) -> Check:
    """A swap in every respect."""
    titles = [nutrients()[key].title for key in exchange.key_nutrients]
    return Check(
        verdict=Verdict.KEPT,
        about=f"swap {exchange.named}",
        food=exchange.new_foods[0].id,
        severity=Severity.LOW,
        message=f"{pair.now.group.called}, {exchange.named}: {', '.join(titles)}: "
        f"{asked.key_words}; energy and sugars up by {asked.up_words}.",
        animals=_animals(pair.now, exchange),
        places=_places(exchange),
    )


def _plain(value: Decimal) -> str:
    return format_interval(exact(value), "")


def _who(diet: Diet, animal: Animal) -> str:
    return f"{diet.group.called}, {animal.called}"


def _animals(diet: Diet, exchange: Exchange) -> tuple[str, ...]:
    named = [given.line.for_animals for given in exchange.ins]
    if all(named):
        return tuple(dict.fromkeys(one for ids in named for one in ids))
    return tuple(animal.id for animal in diet.animals)


def _amounts(when: str, lines: tuple[MealLine, ...]) -> list[str]:
    return [f"{when}: {g.line.food.id} {g.line.amount.text} ({g.meal})" for g in lines]


def _weak(diet: Diet, exchange: Exchange, key: str) -> tuple[str, ...]:
    found = ((food.id, diet.profiles[food].weakness(key)) for food in exchange.new_foods)
    return tuple(f"{name}: {why}" for name, why in found if why)


def _places(exchange: Exchange) -> tuple[Pointer, ...]:
    return tuple(given.line.place.at("food") for given in exchange.ins)


def _ids(lines: tuple[MealLine, ...]) -> str:
    return " + ".join(dict.fromkeys(given.line.food.id for given in lines))


def _day(on: date | None) -> str:
    return on.isoformat() if on else ""
