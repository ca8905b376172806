"""Lines of food with all their givings."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from msgspec import Struct

from dietcheck.collection.animals import Group
from dietcheck.collection.feeding import Line
from dietcheck.quantities import Interval


class Occasion(Struct, frozen=True):
    """One giving: the date, the rota day number, the slot and the meal it comes from."""

    on: date
    number: int
    slot: str
    meal: str


class Offer(Struct, frozen=True, eq=False):
    """One line with every giving of it in the judged days."""

    line: Line
    group: Group
    occasions: tuple[Occasion, ...]
    _whole: Callable[[Line, date], Interval]
    leftover: bool = False  # goes to the judged group once `group` is done with it

    @property
    def whole(self) -> Interval:
        """Grams for the whole group together, in one giving."""
        return self._whole(self.line, self.occasions[0].on)
