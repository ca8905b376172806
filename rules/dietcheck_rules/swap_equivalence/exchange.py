"""Which foods took the place of which, from one sheet to the next."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from dietcheck.contract import Food
from dietcheck_rules.shared.pairing import MealLine, SheetPair, meal_lines, pair_lines

ADDED = frozenset({"supplement", "mineral", "medicine"})  # judged by supplement-dropped


class Exchange(Struct, frozen=True, eq=False):
    """Lines that are gone, and the lines in their place. `said`: the new line says so itself."""

    outs: tuple[MealLine, ...]
    ins: tuple[MealLine, ...]
    said: bool
    missing: str = ""  # the food a line stands in for, where the sheet before had none of it

    @property
    def key_nutrients(self) -> tuple[str, ...]:
        """What the foods that are gone were in the diet for, each once."""
        return tuple(dict.fromkeys(key for out in self.outs for key in out.line.food.here_for))

    @property
    def named(self) -> str:
        """The foods, by id: `red-pepper → cucumber`."""
        return f"{_ids(self.outs) or self.missing} → {_ids(self.ins)}"

    @property
    def new_foods(self) -> list[Food]:
        """The foods that came, each once."""
        return list(dict.fromkeys(given.line.food for given in self.ins))


def exchanges(pair: SheetPair) -> Iterator[Exchange]:
    """The swaps that are said, then meal by meal what came where something else is gone."""
    paired = pair_lines(pair.before, pair.after)
    gone = [given for given in paired.gone if given.line.food.food_class not in ADDED]
    come = [given for given in paired.come if given.line.food.food_class not in ADDED]
    for name, ins in _said(pair).items():
        outs = [given for given in gone if given.line.food.id == name]
        former = outs or [g for g in meal_lines(pair.before) if g.line.food.id == name]
        yield Exchange(tuple(former), tuple(ins), True, "" if former else name)
        gone = [given for given in gone if given not in outs]
        come = [given for given in come if given.line.instead_of is None]
    yield from _silent(gone, come)


def _silent(gone: list[MealLine], come: list[MealLine]) -> Iterator[Exchange]:
    """What came where something is gone, meal by meal; the same foods in two meals are one swap."""
    swaps: dict[frozenset[str], tuple[list[MealLine], list[MealLine]]] = {}
    for meal in dict.fromkeys(given.meal for given in come):
        outs = [given for given in gone if given.meal == meal]
        if outs:
            foods = frozenset(given.line.food.id for given in outs)
            all_outs, all_ins = swaps.setdefault(foods, ([], []))
            all_outs += outs
            all_ins += [given for given in come if given.meal == meal]
    for all_outs, all_ins in swaps.values():
        yield Exchange(tuple(all_outs), tuple(all_ins), False)


def _said(pair: SheetPair) -> dict[str, list[MealLine]]:
    """The lines that stand in for a food, by that food."""
    found: dict[str, list[MealLine]] = {}
    for given in meal_lines(pair.after):
        if given.line.instead_of:
            found.setdefault(given.line.instead_of, []).append(given)
    return found


def _ids(lines: tuple[MealLine, ...]) -> str:
    return " + ".join(dict.fromkeys(given.line.food.id for given in lines))
