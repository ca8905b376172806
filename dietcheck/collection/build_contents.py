"""Reads the figures of a label or an analysis into amounts per 100 g, in each nutrient's unit."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any

from dietcheck.collection.collection import Trouble
from dietcheck.collection.places import Pointer
from dietcheck.quantities import Content, Interval, QuantityError, read_content
from dietcheck.tables.nutrients import Nutrient, find_nutrient, nutrients

# What stands beside the figures of a label or an analysis and is no figure itself.
NOT_FIGURES = frozenset({"basis", "source", "evidence", "method", "lab", "on", "batch"})


def read_figures(
    place: Pointer, figures: Mapping[str, Any], troubles: list[Trouble]
) -> dict[str, Interval]:
    """Nutrient key → range per 100 g on the basis as printed. What cannot be read is a trouble."""
    read: dict[str, Interval] = {}
    for name, text in figures.items():
        if name in NOT_FIGURES or name.startswith("x-"):
            continue
        at = place.at(name)
        if (nutrient := find_nutrient(name)) is None:
            near = ", ".join(get_close_matches(name, nutrients(), n=3)) or "none"
            troubles.append(
                Trouble(at, f'"{name}" is not a nutrient that is known here.', f"Nearest: {near}.")
            )
            continue
        if nutrient.key in read:
            troubles.append(
                Trouble(at, f"{nutrient.title} stands here twice.", "Keep one of the two.")
            )
            continue
        try:
            read[nutrient.key] = per_100g(nutrient, read_content(str(text)))
        except QuantityError as error:
            troubles.append(Trouble(at, f"{nutrient.title}: {error.message}.", error.remedy))
    return read


def per_100g(nutrient: Nutrient, content: Content) -> Interval:
    """A printed content per 100 g in the nutrient's unit, IU by the nutrient's own definition.

    Raises QuantityError where the two cannot meet: an IU of a vitamin that has no fixed mass.
    """
    if content.unit == "IU" and nutrient.unit != "IU" and nutrient.per_iu is not None:
        return content.per_100g("IU").scale(nutrient.per_iu)
    return content.per_100g(nutrient.unit)
