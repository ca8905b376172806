"""What stood before: each sheet, and each of its lines, with the one it takes the place of.

Rules that look back ask here, so that all of them compare the same two things: a sheet with the
one of the same start in the earlier version, else with the one that was in force when it starts.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from msgspec import Struct

from dietcheck.contract import (
    Check,
    Collection,
    Diet,
    DietSheet,
    Line,
    in_force,
    not_applicable,
)


class SheetPair(Struct, frozen=True, eq=False):
    """A sheet that is in force or to come, and the sheet it follows.

    `then` is the diet that `before` belongs to: the one of the earlier version, or the present
    one where the step before is itself a sheet of the present version. `edited` tells that a
    sheet that had already started was written over in place.
    """

    before: DietSheet
    then: Diet
    after: DietSheet
    now: Diet
    edited: bool


class MealLine(Struct, frozen=True):
    """A line with the name of its meal."""

    meal: str
    line: Line


class LinePairs(Struct, frozen=True):
    """Lines that go on, lines that are gone and lines that are new, in the order written."""

    kept: tuple[tuple[MealLine, MealLine], ...]
    gone: tuple[MealLine, ...]
    come: tuple[MealLine, ...]


def no_comparison(diet: Diet, about: str) -> Check | None:
    """Why nothing can be compared, as a check; None when the earlier version has the group."""
    called = diet.group.called
    if why := diet.earlier.why_not:
        return not_applicable(about, f"{called}: could not be compared: {why}.")
    earlier = diet.earlier.collection
    assert earlier is not None  # or there would be a reason
    if diet.group.id not in earlier.groups:
        return not_applicable(
            about, f"{called}: the group is new since {diet.earlier.described}; nothing to compare."
        )
    return None


def is_unchanged(diet: Diet) -> bool:
    """Whether the group's sheets, rotas and their foods stand as in the earlier version."""
    earlier = diet.earlier.collection
    if earlier is None:
        return False
    now = diet.collection
    return _written(now, diet.group.id) == _written(earlier, diet.group.id)


def _written(collection: Collection, group: str) -> tuple[object, ...]:
    sheets = collection.sheets.get(group, ())
    foods = {
        part.id: part.record
        for sheet in sheets
        for meal in sheet.meals.values()
        for line in meal.lines
        for part, _ in line.food.all_parts()
    }
    rotas = collection.rotas.get(group, ())
    return [sheet.record for sheet in sheets], [rota.record for rota in rotas], foods


def sheet_pairs(diet: Diet) -> Iterator[SheetPair]:
    """Every sheet in force or to come, with what stood before it in the earlier version."""
    past = diet.past
    if past is None:
        return
    olds = past.collection.sheets.get(diet.group.id, ())
    for sheet in standing(diet):
        before = in_force(olds, max(sheet.start, diet.on)) or _last_before(olds, sheet.start)
        if before is not None:
            edited = before.start == sheet.start <= diet.on
            yield SheetPair(before, past, sheet, diet, edited)


def steps(diet: Diet) -> Iterator[SheetPair]:
    """Every new or changed sheet, with the one that is fed just before it.

    That is the next older sheet of the present version; where a sheet that has started is written
    over, what it said until now.
    """
    for pair in sheet_pairs(diet):
        if pair.before.start == pair.after.start and same_words(pair.before, pair.after):
            continue
        yield pair if pair.edited else own_step(diet, pair.after) or pair


def own_step(diet: Diet, sheet: DietSheet) -> SheetPair | None:
    """A sheet with the one that is fed on the day before it starts, both of one version."""
    eve = sheet.start - timedelta(days=1)
    before = in_force(diet.collection.sheets[diet.group.id], eve)
    return None if before is None else SheetPair(before, diet, sheet, diet, edited=False)


def standing(diet: Diet) -> list[DietSheet]:
    """The sheets of the group that are in force on the judged day or later."""
    sheets = diet.collection.sheets.get(diet.group.id, ())
    present = in_force(sheets, diet.on)
    return [sheet for sheet in sheets if sheet is present or sheet.start > diet.on]


def same_words(one: DietSheet, other: DietSheet) -> bool:
    """Whether two sheets say the same, whatever file they stand in."""
    return one.record == other.record


def _last_before(sheets: Sequence[DietSheet], on: date) -> DietSheet | None:
    return next((sheet for sheet in reversed(sheets) if sheet.start <= on), None)


def pair_lines(before: DietSheet, after: DietSheet) -> LinePairs:
    """Match lines: first food, animals and meal; then food and meal; then food and animals; then
    the food alone, wherever it went. A line of another food `instead_of` one stays unmatched."""
    olds, news = list(meal_lines(before)), list(meal_lines(after))
    kept: list[tuple[MealLine, MealLine]] = []
    for keys in (("food", "animals", "meal"), ("food", "meal"), ("food", "animals"), ("food",)):
        for new in list(news):
            old = next((o for o in olds if _key(o, keys) == _key(new, keys)), None)
            if old is not None:
                olds.remove(old)
                news.remove(new)
                kept.append((old, new))
    return LinePairs(tuple(kept), tuple(olds), tuple(news))


def meal_lines(sheet: DietSheet) -> Iterator[MealLine]:
    """Every line of a sheet with its meal. A supplement stands once for each meal it goes with."""
    return (MealLine(name, line) for name, meal in sheet.meals.items() for line in meal.lines)


def _key(given: MealLine, keys: Sequence[str]) -> tuple[object, ...]:
    whole = {
        "food": given.line.food.id,
        "animals": frozenset(given.line.for_animals),
        "meal": given.meal,
    }
    return tuple(whole[key] for key in keys)
