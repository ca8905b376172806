"""What changed in the sheets, rotas and treats of a group, compared by meaning."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from itertools import groupby
from typing import Any, TypeVar

from msgspec import Struct

from dietcheck.collection.collection import Collection, in_force
from dietcheck.collection.feeding import DietSheet, Line, Medicine, Rota, RotaDay, TreatGift
from dietcheck.quantities import format_interval
from dietcheck.reporting import words
from dietcheck.reporting.change_words import About, Change

Dated = TypeVar("Dated", DietSheet, Rota)
NO_FEED = "no feed"


def of_plan(before: Collection, after: Collection, group: str, on: date) -> Iterator[Change]:
    """Every change to what a group is fed when, as at a day."""
    yield from _of_sheets(_pairs(before.sheets, after.sheets, group, on), on)
    yield from _of_rotas(_pairs(before.rotas, after.rotas, group, on), after, on)
    yield from _of_treats(before.treats.get(group, ()), after.treats.get(group, ()))
    yield from _received(before, after, group, on)


class _Pair(Struct, frozen=True):
    """A record that is in force or to come, with the one it follows in the other version.

    `besides`: the one it follows still stands, for other days.
    """

    before: Any
    after: Any
    besides: bool = False


def _pairs(
    before: Mapping[str, tuple[Dated, ...]],
    after: Mapping[str, tuple[Dated, ...]],
    group: str,
    on: date,
) -> list[_Pair]:
    """Each sheet or rota with its counterpart: the one from the same day, else the one in force."""
    olds, news = before.get(group, ()), after.get(group, ())
    starts = {new.start for new in news}
    pairs, used = [], set()
    for new in standing(news, on):
        same = next((old for old in olds if old.start == new.start), None)
        old = same or in_force(olds, max(new.start, on))
        pairs.append(_Pair(old, new, same is None and old is not None and old.start in starts))
        used.add(id(old))
    gone = [old for old in standing(olds, on) if id(old) not in used]
    return pairs + [_Pair(old, None) for old in gone]


def standing(dated: tuple[Dated, ...], on: date) -> list[Dated]:
    """Those in force on the day or later, oldest first."""
    present = in_force(dated, on)
    return [one for one in dated if one is present or one.start > on]


def _dates(pair: _Pair, what: About, called: str) -> Iterator[Change]:
    """Whether a sheet or rota came, went, or stands over other days."""
    old, new = pair.before, pair.after
    if new is None:
        yield Change(what, called, _span(old), None)
    elif old is None or pair.besides:
        yield Change(what, called, None, _span(new))
    elif (old.start, old.until) != (new.start, new.until):
        yield Change(what, called, _span(old), _span(new))


def _span(dated: DietSheet | Rota) -> str:
    until = f" to {words.day(dated.until)}" if dated.until else ""
    return f"from {words.day(dated.start)}{until}"


def _of_sheets(pairs: Iterable[_Pair], on: date) -> Iterator[Change]:
    for pair in pairs:
        yield from _dates(pair, "sheet", "diet sheet")
        if not pair.before or not pair.after:
            continue  # a whole sheet came or went: its foods are in the figures
        old, new = pair.before.meals, pair.after.meals
        later = (f"from {words.day(pair.after.start)}",) if pair.after.start > on else ()
        renamed = dict(_renamed(old, new))
        for before, after in renamed.items():
            yield Change("sheet", "meal", before, after, later)
        for name in dict.fromkeys((*old, *new)):
            if name not in renamed and name not in renamed.values():
                was, now = (meals[name].lines if name in meals else () for meals in (old, new))
                yield from _of_lines(was, now, (name, *later))
        yield from _left_over(pair.before, pair.after, later)


def _left_over(old: DietSheet, new: DietSheet, later: tuple[str, ...]) -> Iterator[Change]:
    """What goes to another group once these animals are done with it."""
    was, now = _by_receiver(old), _by_receiver(new)
    for group in dict.fromkeys((*was, *now)):
        if was.get(group) != now.get(group):
            yield Change("sheet", f"left over for {group}", was.get(group), now.get(group), later)


def _received(before: Collection, after: Collection, group: str, on: date) -> Iterator[Change]:
    """What others leave to this group, giver by giver."""
    sides = (before, after)
    for giver in dict.fromkeys(name for side in sides for name in side.givers.get(group, ())):
        was, now = (
            "; ".join(
                dict.fromkeys(
                    said
                    for sheet in standing(side.sheets.get(giver, ()), on)
                    if (said := _by_receiver(sheet).get(group))
                )
            )
            for side in sides
        )
        if was != now:
            yield Change("sheet", f"left over by {giver}", was or None, now or None)


def _by_receiver(sheet: DietSheet) -> dict[str, str]:
    said: dict[str, list[str]] = {}
    for one in sheet.leftovers:
        share = "share not written" if one.share is None else format_interval(one.share * 100, "%")
        names = ", ".join(food.id for food in one.foods)
        said.setdefault(one.to, []).append(f"{names} ({share})")
    return {group: "; ".join(entries) for group, entries in said.items()}


def _renamed(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Meals that only have another name now."""
    came = [name for name in new if name not in old]
    for was in (name for name in old if name not in new):
        lines = sorted(map(_line_text, old[was].lines))
        for name in came:
            if sorted(map(_line_text, new[name].lines)) == lines:
                came.remove(name)
                yield was, name
                break


def _of_lines(old: Sequence[Line], new: Sequence[Line], where: tuple[str, ...]) -> Iterator[Change]:
    """The lines of a meal: matched by food, and by animals where a food stands twice."""
    left = list(new)
    for line in old:
        same = _same(line, left)
        if same is None:
            yield Change("line", line.food.id, _details(line), None, where)
            continue
        left.remove(same)
        was, now = _details(line), _details(same)
        if was != now:
            yield Change("line", line.food.id, was, now, where)
    for line in left:
        yield Change("line", line.food.id, None, _details(line), where)


def _same(line: Line, others: Sequence[Line]) -> Line | None:
    """The line that a line has become: one just like it, else of its animals, else of its food."""
    of_food = [other for other in others if other.food.id == line.food.id]
    of_animals = [other for other in of_food if other.for_animals == line.for_animals]
    alike = [other for other in of_animals if _details(other) == _details(line)]
    return next(iter((*alike, *of_animals, *of_food)), None)


def _line_text(line: Line) -> tuple[str, str]:
    return line.food.id, _details(line)


def _details(line: Line) -> str:
    """The amount of a line with all that is written beside it."""
    more = [
        f"{what}: {value}" if what else value
        for what, value in (
            ("cut", line.cut),
            ("", line.presentation),
            ("treat", line.treat),
            ("only for", ", ".join(line.for_animals)),
            ("instead of", line.instead_of),
            ("carries", _medicine(line.medicine)),
        )
        if value
    ]
    return ", ".join([line.amount.text, *more])


def _medicine(one: Medicine | None) -> str:
    if one is None:
        return ""
    dose = f" {one.dose}" if one.dose else ""
    days = f"{words.day(one.start)} to {words.day(one.until)}"
    return f"{one.drug}{dose}, ordered by {one.by}, {days}"


def _swaps(rota: Rota) -> str | None:
    said = (
        f"{one.meal} instead of {one.instead_of}"
        f"{f' until {words.day(one.until)}' if one.until else ', with no end'}"
        for one in rota.swaps
    )
    return "; ".join(said) or None


def _of_rotas(pairs: Iterable[_Pair], after: Collection, on: date) -> Iterator[Change]:
    order = after.settings.slots
    for pair in pairs:
        yield from _dates(pair, "rota", "rota")
        if not pair.before or not pair.after:
            continue
        old, new = pair.before.days, pair.after.days
        later = (f"from {words.day(pair.after.start)}",) if pair.after.start > on else ()
        if len(old) != len(new):
            yield Change(
                "rota", "length of the rota", f"{len(old)} days", f"{len(new)} days", later
            )
        was, now = (_swaps(rota) for rota in (pair.before, pair.after))
        if was != now:
            yield Change("rota", "meals in the place of others", was, now, later)
        differing = [
            (number, slot, was, now)
            for number, days in enumerate(zip(old, new, strict=False), 1)
            for slot, was, now in _of_day(*days, order)
        ]
        differing.sort(key=lambda one: one[1:])
        for (slot, was, now), same in groupby(differing, lambda one: one[1:]):
            days = _runs([number for number, *_ in same])
            yield Change("rota", f"{days} {slot}".strip(), was, now, later)


def _of_day(old: RotaDay, new: RotaDay, order: Sequence[str]) -> Iterator[tuple[str, str, str]]:
    if old.fast != new.fast:
        yield "", "fast day" if old.fast else "fed", "fast day" if new.fast else "fed"
    slots = [*order, *(slot for day in (old, new) for slot in day.feeds if slot not in order)]
    for slot in dict.fromkeys(slots):
        was, now = _meals(old, slot), _meals(new, slot)
        if was != now:
            yield slot, was, now


def _meals(day: RotaDay, slot: str) -> str:
    if slot not in day.feeds:
        return "nothing written"
    return " and ".join(day.feeds[slot]) or NO_FEED


def _runs(numbers: Sequence[int]) -> str:
    """Rota days, those in a row together: `days 2 to 5, 9`."""
    runs = []
    for _, run in groupby(enumerate(numbers), lambda one: one[1] - one[0]):
        days = [number for _, number in run]
        runs.append(str(days[0]) if len(days) == 1 else f"{days[0]} to {days[-1]}")
    return f"{'day' if len(numbers) == 1 else 'days'} {', '.join(runs)}"


def _of_treats(old: Sequence[TreatGift], new: Sequence[TreatGift]) -> Iterator[Change]:
    was, now = list(_gifts(old)), list(_gifts(new))
    for gift in list(was):
        if gift in now:
            was.remove(gift)
            now.remove(gift)
    for food, text, on in was:
        yield Change("treat", food, text, None, (on,))
    for food, text, on in now:
        yield Change("treat", food, None, text, (on,))


def _gifts(treats: Iterable[TreatGift]) -> Iterator[tuple[str, str, str]]:
    for gift in sorted(treats, key=lambda gift: (gift.on, gift.slot or "")):
        for line in gift.lines:
            slot = f" {gift.slot}" if gift.slot else ""
            yield line.food.id, _details(line), words.day(gift.on) + slot
