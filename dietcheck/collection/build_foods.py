"""Builds the site's foods, the ingredients of mixes linked at any depth, circles refused."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from typing import Any

from dietcheck.collection.build_checks import impossible_figures, other_form
from dietcheck.collection.build_contents import iu_in_a_gram, read_contaminants, read_figures
from dietcheck.collection.collection import Trouble
from dietcheck.collection.foods import NOTHING, Food
from dietcheck.collection.places import Pointer
from dietcheck.quantities import Interval, exact, read_density, read_mass, read_share
from dietcheck.tables.foods import FoodRow, find_foods, food_ids, food_row
from dietcheck.tables.nutrients import find_nutrient

Entry = tuple[Pointer, Mapping[str, Any]]
MAX_DEPTH = 12  # mixes in mixes; a kitchen stays under three


def build_foods(
    records: Iterable[tuple[Pointer, Mapping[str, Any]]], troubles: list[Trouble]
) -> dict[str, Food]:
    """Every food of the foods records by id. What cannot be linked is unknown and noted."""
    entries = {
        food_id: (place.at("foods", food_id), entry)
        for place, data in records
        for food_id, entry in data["foods"].items()
    }
    builder = _Builder(entries, troubles)
    for food_id in entries:
        builder.food(food_id)
    return builder.done


class _Builder:
    def __init__(self, entries: Mapping[str, Entry], troubles: list[Trouble]) -> None:
        self._entries = entries
        self._troubles = troubles
        self._open: list[str] = []
        self.done: dict[str, Food] = {}

    def food(self, food_id: str) -> Food:
        if food_id not in self.done:
            place, entry = self._entries[food_id]
            self._open.append(food_id)
            mix = tuple(self._ingredients(place, entry.get("mix", NOTHING)))
            self._open.pop()
            self.done[food_id] = self._finish(food_id, place, entry, mix)
        return self.done[food_id]

    def _ingredients(
        self, place: Pointer, mix: Mapping[str, str]
    ) -> Iterable[tuple[Food, Interval]]:
        for part, share in mix.items():
            at = place.at("mix", part)
            yield self._ingredient(part, at), read_share(share)
        self._check_sum(place, mix)

    def _ingredient(self, part: str, at: Pointer) -> Food:
        if part in self._open or len(self._open) > MAX_DEPTH:
            circle = " → ".join([*self._open[-4:], part])
            self._trouble(
                at,
                f'The mix "{self._open[-1]}" contains itself, or is nested too deep: {circle}.',
                "Write what goes into the mixer, not the mix itself.",
            )
            return Food(id=part, name=part, place=at, known=False)
        if part not in self._entries:
            return Food(id=part, name=part, place=at, known=False)
        return self.food(part)

    def _check_sum(self, place: Pointer, mix: Mapping[str, str]) -> None:
        if not mix:
            return
        total = exact(0)
        for share in mix.values():
            total = total + read_share(share)
        if not total.low <= 1 <= total.high:
            self._trouble(
                place.at("mix"),
                f"The shares of this mix add up to {total.low * 100:g} %, not 100 %.",
                "Correct the shares; water that is added is an ingredient too.",
            )

    def _row(self, place: Pointer, entry: Mapping[str, Any]) -> FoodRow | None:
        if (wanted := entry.get("same_as")) is None:
            return None
        if (row := food_row(wanted)) is None:
            alike = [row.id for row in find_foods(wanted)] or get_close_matches(wanted, food_ids())
            near = ", ".join(alike[:3])
            self._trouble(
                place.at("same_as"),
                f'The bundled food table has no row "{wanted}".',
                f"Nearest: {near}. Choose one, or give the food's own label or analysis."
                if near
                else "Give the food's own label or analysis, or look it up with `dietcheck foods`.",
            )
        return row

    def _trouble(self, place: Pointer, message: str, remedy: str) -> None:
        self._troubles.append(Trouble(place, message, remedy))

    def _finish(
        self,
        food_id: str,
        place: Pointer,
        entry: Mapping[str, Any],
        mix: tuple[tuple[Food, Interval], ...],
    ) -> Food:
        row = self._row(place, entry)
        origin = "label" if "label" in entry else "analysis"
        figures = entry.get(origin, NOTHING)
        declared = read_figures(place.at(origin), figures, self._troubles)
        basis = figures.get("basis", "as fed")
        self._troubles.extend(impossible_figures(place.at(origin), declared, basis))
        if not entry.get("stands_in"):
            analysed = row.form if row else figures.get("form")
            of = f'the row "{row.id}"' if row else f"the {origin}"
            self._troubles.extend(other_form(place, entry.get("form"), analysed, of, row))
        contaminants = entry.get("contaminants", NOTHING)
        food_class = entry.get("class") or _class(row, mix)
        return Food(
            id=food_id,
            name=entry.get("name") or (row.name if row else food_id.replace("-", " ")),
            place=place,
            food_class=food_class,
            also_called=tuple(entry.get("also_called", ())),
            stages=tuple(entry.get("stages", ())),
            here_for=tuple(
                nutrient.key
                for name in entry.get("here_for", ())
                if (nutrient := find_nutrient(name)) is not None
            ),
            organism=entry.get("organism") or (row and row.scientific_name) or None,
            family=entry.get("family") or (row and row.family) or None,
            part=entry.get("part") or (row and row.part) or None,
            form=entry.get("form") or figures.get("form") or (row and row.form) or None,
            wild=entry.get("wild") == "yes" or food_class == "wild fruit",
            row=row,
            declared=declared,
            basis=basis,
            estimates=read_figures(
                place.at("estimate"), entry.get("estimate", NOTHING), self._troubles
            ),
            contaminants=read_contaminants(place.at("contaminants"), contaminants, self._troubles),
            contaminants_basis=contaminants.get("basis", "as fed"),
            mix=mix,
            piece=_maybe(read_mass, entry.get("piece")),
            waste=_maybe(read_share, entry.get("waste")),
            density=_maybe(read_density, entry.get("density")),
            iu=iu_in_a_gram(figures, declared, basis),
            stands_in=entry.get("why") if entry.get("stands_in") else None,
            unknown_composition=entry.get("unknown_composition"),
            record=entry,
        )


def _class(row: FoodRow | None, mix: tuple[tuple[Food, Interval], ...]) -> str:
    if row is not None:
        return row.food_class
    return "mix" if mix else "other"


def _maybe(read: Any, text: str | None) -> Any:
    return None if text is None else read(text)
