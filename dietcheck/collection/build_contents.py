"""Reads the figures of a label or an analysis into amounts per 100 g, in each nutrient's unit."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any

from dietcheck.collection.collection import Trouble
from dietcheck.collection.places import Pointer
from dietcheck.quantities import ZERO, Content, Interval, QuantityError, read_content
from dietcheck.tables.nutrients import Nutrient, find_nutrient, nutrients

# What stands beside the figures of a label or an analysis and is no figure itself.
NOT_FIGURES = frozenset({"basis", "source", "evidence", "method", "lab", "on", "batch", "form"})


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


def read_contaminants(
    place: Pointer, figures: Mapping[str, Any], troubles: list[Trouble]
) -> dict[str, Interval]:
    """Undesirable substance → range in mg per kg, on the basis as reported."""
    read: dict[str, Interval] = {}
    for name, text in figures.items():
        if name in NOT_FIGURES or name.startswith("x-"):
            continue
        try:
            read[name] = read_content(str(text)).per_100g("mg") * 10
        except QuantityError as error:
            title = name.replace("_", " ")
            troubles.append(Trouble(place.at(name), f"{title}: {error.message}.", error.remedy))
    if "aflatoxins" in read and read.get("aflatoxin_b1", ZERO).low > read["aflatoxins"].high:
        troubles.append(
            Trouble(
                place.at("aflatoxin_b1"),
                "There is more aflatoxin B1 here than aflatoxins together.",
                "Look at the report again: B1 is a part of the sum.",
            )
        )
    return read


def per_100g(nutrient: Nutrient, content: Content) -> Interval:
    """A printed content per 100 g in the nutrient's unit, IU by the nutrient's own definition.

    Raises QuantityError where the two cannot meet: an IU of a vitamin that has no fixed mass.
    """
    if content.unit == "IU" and nutrient.unit != "IU":
        if nutrient.per_iu is not None:
            return content.per_100g("IU").scale(nutrient.per_iu)
        if (in_iu := find_nutrient(f"{nutrient.key}_iu")) is not None:
            raise QuantityError(
                f"an IU of {nutrient.title} has no one mass", f"write it under {in_iu.key}"
            )
        raise QuantityError(
            f"no IU of {nutrient.title} is defined here",
            f"write it in {nutrient.unit}/100 g or {nutrient.unit}/kg",
        )
    if nutrient.key == "vitamin_a" and content.unit != "IU":
        raise QuantityError(
            "vitamin A by mass may be retinol or activity from carotenoids",
            "write it under retinol or vitamin_a_rae, or in IU here",
        )
    return content.per_100g(nutrient.unit)


def iu_in_a_gram(
    figures: Mapping[str, Any], declared: Mapping[str, Interval], basis: str
) -> Interval | None:
    """IU in one gram as fed of what declares exactly one nutrient in IU; None where that is open.

    So `2000 IU per animal` of a supplement is a mass of it, if only one thing can be meant.
    """
    found: list[Interval] = []
    for name, text in figures.items():
        if name in NOT_FIGURES or name.startswith("x-") or find_nutrient(name) is None:
            continue
        try:
            content = read_content(str(text))
        except QuantityError:
            continue
        if content.unit == "IU":
            found.append(content.per_100g("IU") / 100)
    if len(found) != 1 or not found[0].high:
        return None
    if basis == "as fed":
        return found[0]
    if "dry_matter" in declared:
        return found[0] * declared["dry_matter"] / 100
    return found[0] * (100 - declared["water"]).clamp_low(0) / 100 if "water" in declared else None
