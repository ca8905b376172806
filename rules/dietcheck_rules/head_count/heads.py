"""How many animals a group's amounts were worked out for, and how many are there."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from dietcheck.contract import ZERO, Diet, DietSheet, Group, Interval, PlannedDay, exact, in_force


class Written(Struct, frozen=True):
    """The heads that amounts for the group were worked out for, and how that is known."""

    heads: Interval
    why: str


def counted(group: Group, on: date) -> Interval:
    """The heads of a group on a day; a range where a colony's number is an estimate."""
    heads = ZERO
    for animal in group.present(on):
        heads = heads + animal.count
    return heads


def there(diet: Diet, day: PlannedDay) -> Interval:
    """The heads that share the food of a day."""
    return counted(diet.group, day.on)


def written_for(diet: Diet) -> Written | None:
    """What the sheet says; else the heads of the earlier version under the same sheet; else those
    of the day from which the sheet is in force. None without a sheet."""
    sheet = _sheet(diet)
    if sheet is None:
        return None
    if isinstance(heads := sheet.record.get("heads"), int):
        return Written(exact(heads), "as the sheet says")
    past = diet.past
    if past is not None and (before := _sheet(past)) is not None and before.start == sheet.start:
        was, now = counted(past.group, diet.on), counted(diet.group, diet.on)
        if was != now:
            return Written(was, f"in the register of {diet.earlier.described}")
    return Written(
        counted(diet.group, sheet.start), f"when the sheet came into force, {sheet.start}"
    )


def _sheet(diet: Diet) -> DietSheet | None:
    return in_force(diet.collection.sheets.get(diet.group.id, ()), diet.on)
