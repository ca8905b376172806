"""Whether everyone is covered: animals by a diet, diets by animals, feeds by meals in use."""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import TypeVar

from dietcheck.contract import (
    Check,
    Diet,
    DietSheet,
    PlannedDay,
    Pointer,
    Rota,
    Severity,
    Verdict,
    When,
    not_applicable,
)

Dated = TypeVar("Dated", DietSheet, Rota)


def without_animals(diet: Diet) -> Iterable[Check]:
    """A group that nobody lives in any more: a diet that is still written is worth a look."""
    live = [rota.place for rota in in_force(diet, _rotas(diet))]
    live += [sheet.place for sheet in in_force(diet, _sheets(diet))]
    if not live:
        yield not_applicable("animals", f"{diet.group.called}: no animal lives in this group.")
        return
    yield Check(
        verdict=Verdict.BREACH,
        about="diet without animals",
        severity=Severity.LOW,
        message=f"{diet.group.called}: no animal lives in this group, but its diet is still in "
        "force.",
        advice="End the sheet and the rota with an until, or add the animals.",
        places=(diet.group.place, *live),
    )


def uncovered(diet: Diet) -> Iterator[Check]:
    """Animals that are here now, or will be, on a day for which no diet is in force yet."""
    first = max(diet.on, min(animal.here_from or diet.on for animal in diet.animals))
    if diet.collection.rota_on(diet.group.id, first) is not None:
        return  # a day without a sheet, or after the end of the rota, is a hole of that day
    later = [rota.start for rota in _rotas(diet) if rota.start > first]
    if not later and diet.days:
        return
    sheets = _sheets(diet)
    missing = "a rota" if sheets else "a diet sheet and a rota"
    then = f" The first rota starts on {min(later)}." if later else ""
    yield Check(
        verdict=Verdict.BREACH,
        about="animals without a diet",
        severity=Severity.HIGH,
        message=f"{diet.group.called}: no diet is in force on {first}; {missing} "
        f"{'is' if sheets else 'are'} missing.{then}",
        advice="Write what is missing, or feed by the last approved sheet until it is written.",
        animals=tuple(animal.id for animal in diet.animals),
        occasions=(When(first, 0),),
        places=(diet.group.place,),
    )


def unfed_animals(diet: Diet) -> Iterator[Check]:
    """Animals that no line of a day is for, though others of the group are fed."""
    if not any(offer.line.for_animals for offer in diet.offers()):
        return
    for animal in diet.animals:
        hungry = [day for day in diet.days if _goes_without(diet, day, animal.id)]
        if hungry:
            yield Check(
                verdict=Verdict.BREACH,
                about=f"animal without food: {animal.id}",
                severity=Severity.HIGH,
                message=f"{animal.called}: no line of the sheet is for this animal on "
                f"{len(hungry)} of {len(diet.days)} days, the first on {hungry[0].on}, and no "
                "fast is planned.",
                advice="Add a line for the animal, or take its name into the lines of the others.",
                animals=(animal.id,),
                occasions=tuple(When(day.on, day.number) for day in hungry),
                places=(animal.place, *_lines_of(hungry[0])),
            )


def _goes_without(diet: Diet, day: PlannedDay, animal: str) -> bool:
    lines = [line for feed in day.feeds for line in feed.lines]
    if day.fast or day.holes or not lines:
        return False
    if any(not line.for_animals or animal in line.for_animals for line in lines):
        return False
    return any(one.id == animal for one in diet.present(day.on))


def _lines_of(day: PlannedDay) -> tuple[Pointer, ...]:
    return tuple(line.place for feed in day.feeds for line in feed.lines)


def wrong_length(diet: Diet) -> Iterator[Check]:
    """Rotas that do not come round with those of the other groups."""
    wanted = diet.settings.rota_days
    for rota in in_force(diet, _rotas(diet)):
        if len(rota.days) != wanted:
            yield Check(
                verdict=Verdict.BREACH,
                about=f"length of the rota from {rota.start}",
                severity=Severity.MEDIUM,
                message=f"{diet.group.called}: the rota from {rota.start} has {len(rota.days)} "
                f"days; this collection's rotas have {wanted}. Its days fall out of step with "
                "everyone else's.",
                advice=f"Write {wanted} days, or change rota_days in dietcheck.yaml for all.",
                places=(rota.place.at("days"),),
            )


def unused_meals(diet: Diet) -> Iterator[Check]:
    """Meals of a sheet that no rota gives: forgotten, or misspelt in the rota."""
    for sheet in in_force(diet, _sheets(diet)):
        used = {
            meal
            for day in diet.days
            if day.sheet is sheet and day.rota is not None
            for of_rota in day.rota.days
            for meals in of_rota.feeds.values()
            for meal in meals
        }
        for meal in sheet.meals.values():
            if used and meal.name not in used:
                yield Check(
                    verdict=Verdict.BREACH,
                    about=f"meal never fed: {meal.name}",
                    severity=Severity.LOW,
                    message=f'{diet.group.called}: no rota gives "{meal.name}", a meal of the '
                    f"sheet from {sheet.start}.",
                    advice="Put it into the rota, or take it out of the sheet.",
                    places=(meal.place,),
                )


def _rotas(diet: Diet) -> tuple[Rota, ...]:
    return diet.collection.rotas.get(diet.group.id, ())


def _sheets(diet: Diet) -> tuple[DietSheet, ...]:
    return diet.collection.sheets.get(diet.group.id, ())


def in_force(diet: Diet, dated: tuple[Dated, ...]) -> tuple[Dated, ...]:
    """Those in force on the judged day or later: not ended, not replaced by a later one."""
    return tuple(
        one
        for number, one in enumerate(dated)
        if (one.until is None or one.until >= diet.on)
        and not _replaced(dated[number + 1 :], one.until, diet.on)
    )


def _replaced(later: Iterable[DietSheet | Rota], until: date | None, on: date) -> bool:
    """Whether one that starts later has taken over for good, or for as long as this one runs."""
    return any(
        other.start <= on and (other.until is None or (until is not None and other.until >= until))
        for other in later
    )
