"""Rations to write about: the small tapir park, changed as a test needs it. All invented."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

from msgspec.structs import force_setattr, replace

from dietcheck.nutrition.diet import Diet
from dietcheck.nutrition.gauges import USUAL
from dietcheck.nutrition.summary import summarise
from dietcheck.reporting.ration import RationReport
from tests import records


def report_of(
    diet: Diet, keys: Sequence[str] = USUAL, day: int | Literal["worst"] | None = None, **more: Any
) -> RationReport:
    """The report on a diet."""
    facts: dict[str, Any] = {
        "collection": "Test Park",
        "diet": diet,
        "read_from": "records in memory",
        "drafts": (),
        "unread": (),
        "summaries": summarise(diet, (), keys, day),
    }
    return RationReport(**(facts | more))


def carrots(**changes: str) -> RationReport:
    """The report on the park with 600 g of carrot morning and afternoon, changed by file."""
    return report_of(records.diet(records.small(**changes)))


TWO_DAYS = {
    "foods": records.foods(
        carrot="{same_as: carrot}",
        pellet="{class: compound feed, medicines: none, label: {basis: as fed, crude_protein: 15 %,"
        ' moisture: "<= 12 %", calcium: 1 %}, source: invented}',
    ),
    "sheet": records.sheet(
        {
            "roots": ["{food: carrot, amount: 600 g per animal}"],
            "pellets": ["{food: pellet, amount: 1 kg per animal}"],
        }
    ),
    "rota": records.rota(
        ["{morning: roots, afternoon: roots}", "{morning: roots, afternoon: pellets}"]
    ),
}
"""The same park with pellets on every second afternoon."""


def hostile(text: str) -> RationReport:
    """A report in which every name that somebody may choose is that text."""
    diet = records.diet(records.small(**TWO_DAYS))
    assert diet.days  # laid out under the group's right name
    for food in diet.collection.foods.values():
        force_setattr(food, "id", text)
        force_setattr(food, "name", text)
        force_setattr(food, "food_class", text)
    for meal in diet.collection.sheets["tapir"][0].meals.values():
        force_setattr(meal, "name", text)
    animals = tuple(replace(animal, id=text, name=text) for animal in diet.group.animals)
    diet.group = replace(diet.group, id=text, name=text, animals=animals)
    return report_of(diet, collection=text, read_from=text, drafts=(text,), unread=(text,))
