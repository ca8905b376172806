"""The site's foods: what each one is, where its figures come from, and what it is mixed of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from msgspec import Struct, field

from dietcheck.collection.places import Pointer
from dietcheck.quantities import Interval, exact
from dietcheck.tables.foods import FoodRow

NOTHING: Mapping[str, Any] = MappingProxyType({})


def nothing() -> Mapping[str, Any]:
    """An empty mapping, for fields that are not given."""
    return NOTHING


class Food(Struct, frozen=True, eq=False):
    """One entry of the site's food list. Compared by identity: one object a food and collection.

    A food that a line names but no list holds is a Food too, with `known` False: nothing about it
    may pass. Its figures come from exactly one of `row` (the bundled table), `declared` (a label
    or an analysis, values as printed, on `basis`) or `mix`; with none of them all is unknown.

    `form` is the state in which it is used: a sheet's amounts are what goes into the bowl, peeled
    and boned, raw or cooked as `form` says. `waste` is what preparation took off before that and is
    never taken off again; losses in cooking, thawing and storage are never guessed.
    """

    id: str
    name: str
    place: Pointer
    known: bool = True
    food_class: str = "other"
    also_called: tuple[str, ...] = ()
    organism: str | None = None
    family: str | None = None
    part: str | None = None
    form: str | None = None
    wild: bool = False
    row: FoodRow | None = None
    declared: Mapping[str, Interval] = field(
        default_factory=nothing
    )  # nutrient → per 100 g, in the nutrient's unit
    basis: str = "as fed"
    estimates: Mapping[str, Interval] = field(default_factory=nothing)
    contaminants: Mapping[str, Interval] = field(default_factory=nothing)  # → mg per kg
    contaminants_basis: str = "as fed"  # or dry matter, or 12 % moisture
    mix: tuple[tuple[Food, Interval], ...] = ()
    piece: Interval | None = None  # grams a piece
    waste: Interval | None = None  # share thrown away in preparation
    density: Interval | None = None  # g/ml
    iu: Interval | None = None  # IU in a gram as fed, where exactly one nutrient is given in IU
    stands_in: str | None = None  # why figures of a similar food are borrowed
    unknown_composition: str | None = None
    stages: tuple[str, ...] = ()  # the stages of life that the label names
    here_for: tuple[str, ...] = ()  # nutrients it is in the diet for
    record: Mapping[str, Any] = field(default_factory=nothing)  # the entry as written
    _parts: list[tuple[Food, Interval]] = field(default_factory=list)

    def all_parts(self) -> Sequence[tuple[Food, Interval]]:
        """The food itself and every ingredient at any depth, each with its share (0 to 1)."""
        if not self._parts:
            self._parts.extend(self._walk(exact(1)))
        return self._parts

    def _walk(self, share: Interval) -> Iterator[tuple[Food, Interval]]:
        yield self, share
        for part, of_mix in self.mix:
            yield from part._walk(share * of_mix)

    def names(self) -> tuple[str, ...]:
        """Every name the food goes by, its id included."""
        extra = (self.row.name, *self.row.synonyms) if self.row else ()
        return (self.id, self.name, *self.also_called, *extra)
