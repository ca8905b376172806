"""Treats by date whose food the sheet of that day does not hold: nobody weighed them for the diet.

A sheet allows what it lists, as a meal or as a treat, or inside a mix of it.
"""

from collections.abc import Iterator

from dietcheck.contract import (
    Check,
    Diet,
    Food,
    Line,
    Severity,
    Verdict,
    When,
    purpose,
)


def not_on_the_sheet(diet: Diet) -> Iterator[Check]:
    """One check for each such food."""
    found: dict[Food, list[tuple[When, Line]]] = {}
    listed: dict[int, frozenset[str]] = {}
    for gift in diet.collection.treats.get(diet.group.id, ()):
        if gift.on < diet.on:
            continue  # given; nothing can be done about it
        sheet = diet.collection.sheet_on(diet.group.id, gift.on)
        if sheet is None:
            continue  # told by rota-complete
        if id(sheet) not in listed:
            lines = (line for meal in sheet.meals.values() for line in meal.lines)
            parts = (part.id for line in lines for part, _ in line.food.all_parts())
            listed[id(sheet)] = frozenset(parts)
        number = diet.day(gift.on).number
        for line in gift.lines:
            if line.food.known and line.food.id not in listed[id(sheet)]:
                when = When(gift.on, number, gift.slot or "")
                found.setdefault(line.food, []).append((when, line))
    for food, given in found.items():
        yield _said(diet, food, given)


def _said(diet: Diet, food: Food, given: list[tuple[When, Line]]) -> Check:
    first, line = given[0]
    days = len({when.on for when, _ in given})
    more = f" and on {days - 1} more {'day' if days == 2 else 'days'}" if days > 1 else ""
    animals = dict.fromkeys(animal for _, one in given for animal in one.for_animals)
    return Check(
        verdict=Verdict.BREACH,
        about="treat that is not on the sheet",
        food=food.id,
        severity=Severity.LOW,
        message=f"{diet.group.called}: {food.name} ({line.amount.text}, {purpose(line)}) on "
        f"{first.on}{more} is a treat that the diet sheet does not hold.",
        advice="Choose a treat from the sheet, or ask the nutrition lead to put it on the sheet.",
        animals=tuple(animals) or tuple(animal.id for animal in diet.animals),
        occasions=tuple(dict.fromkeys(when for when, _ in given)),
        places=tuple(dict.fromkeys(one.place.at("food") for _, one in given)),
    )
