"""The whole collection as a collection-wide rule sees it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from dietcheck.collection.collection import Collection
from dietcheck.nutrition.diet import Diet
from dietcheck.screening.limits import Limit


@dataclass(frozen=True, slots=True, eq=False)
class World:
    """The collection, the diet of every group, and every limit in force, by rule."""

    collection: Collection
    on: date
    diets: Mapping[str, Diet]
    limits: Mapping[str, tuple[Limit, ...]]
