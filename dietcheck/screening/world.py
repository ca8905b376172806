"""The whole collection as a collection-wide rule sees it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from msgspec import Struct

from dietcheck.collection.collection import Collection
from dietcheck.history.lookback import Lookback
from dietcheck.nutrition.diet import Diet
from dietcheck.screening.limits import Limit


class World(Struct, frozen=True, eq=False):
    """The collection, the diet of every group, and every limit in force, by rule.

    `sources` holds, by rule, the keys of the bibliography that the rule's limits may cite.
    `earlier` is the version before this one, or the reason why it cannot be seen.
    """

    collection: Collection
    on: date
    diets: Mapping[str, Diet]
    limits: Mapping[str, tuple[Limit, ...]]
    sources: Mapping[str, frozenset[str]]
    earlier: Lookback
