"""What an animal is offered under one sheet, the rota's mean day, whenever that sheet is fed."""

from __future__ import annotations

from dietcheck.contract import (
    UNKNOWN,
    Animal,
    Diet,
    DietSheet,
    Food,
    Interval,
    Line,
    Ration,
    Rota,
    grams,
    in_force,
)


def sheet_ration(diet: Diet, sheet: DietSheet, animal: Animal) -> Ration | None:
    """One round of the rota on this sheet, without dated treats; None where no rota is in force.

    Meals that the rota does not call for are not fed, and not counted.
    """
    rota = rota_of(diet, sheet)
    if rota is None:
        return None
    offered: dict[Food, Interval] = {}
    for day in rota.days:
        for meals in day.feeds.values():
            for meal in meals:
                for line in sheet.meals[meal].lines if meal in sheet.meals else ():
                    share = share_of(diet, line, animal)
                    if share is not None:
                        known = offered.get(line.food)
                        offered[line.food] = share if known is None else known + share
    return Ration(offered, len(rota.days), diet.profiles)


def rota_of(diet: Diet, sheet: DietSheet) -> Rota | None:
    """The rota that the sheet is fed by."""
    rotas = diet.collection.rotas.get(diet.group.id, ())
    return in_force(rotas, max(sheet.start, diet.on)) or in_force(rotas, diet.on)


def share_of(diet: Diet, line: Line, animal: Animal) -> Interval | None:
    """Grams of one giving of a line for an animal; None when the line is not for it."""
    if line.for_animals and animal.id not in line.for_animals:
        return None
    amount, gap = grams(line, diet.settings)
    if gap is not None:
        return UNKNOWN
    if line.amount.per == "group":
        sharers = [a for a in diet.animals if not line.for_animals or a.id in line.for_animals]
        heads = sum((one.count for one in sharers[1:]), sharers[0].count)
        return amount / heads
    if line.amount.per == "kg body mass":
        weighing = animal.weighed(diet.on)
        return UNKNOWN if weighing is None else amount * weighing.mass / 1000
    return amount
