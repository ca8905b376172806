"""What a rule may import, and all it may import. The smallest public surface of the project.

Everything here is described where it is defined; `dietcheck.screening.hookspecs` is the manual.
"""

from dietcheck.collection.animals import Animal, Group, Weighing
from dietcheck.collection.collection import Collection
from dietcheck.collection.feeding import DietSheet, Line, Rota, RotaDay, TreatGift
from dietcheck.collection.foods import Food
from dietcheck.collection.places import Pointer
from dietcheck.collection.settings import DoNotFeed, Settings, SiteLimit
from dietcheck.nutrition.composition import Profiles
from dietcheck.nutrition.diet import Diet, Occasion, Offer, Serving, Window
from dietcheck.nutrition.plan import Feed, Hole, PlannedDay
from dietcheck.nutrition.portions import Portion
from dietcheck.nutrition.rations import Ration
from dietcheck.quantities import UNKNOWN, ZERO, Interval, QuantityError, exact, format_interval
from dietcheck.reading import read_trusted
from dietcheck.screening.checks import (
    Check,
    Measure,
    Severity,
    Verdict,
    When,
    not_applicable,
)
from dietcheck.screening.hookspecs import CONTRACT, Pack, Rule, hookimpl
from dietcheck.screening.judging import Alike, Figure, excess, hold
from dietcheck.screening.limits import Applied, Limit, Limits, SourceRef, Standing
from dietcheck.screening.world import World
from dietcheck.tables.foods import FoodRow, find_foods
from dietcheck.tables.taxa import Taxon, find_taxon, known_taxon_name, near_taxa

__all__ = [
    "CONTRACT",
    "UNKNOWN",
    "ZERO",
    "Alike",
    "Animal",
    "Applied",
    "Check",
    "Collection",
    "Diet",
    "DietSheet",
    "DoNotFeed",
    "Feed",
    "Figure",
    "Food",
    "FoodRow",
    "Group",
    "Hole",
    "Interval",
    "Limit",
    "Limits",
    "Line",
    "Measure",
    "Occasion",
    "Offer",
    "Pack",
    "PlannedDay",
    "Pointer",
    "Portion",
    "Profiles",
    "QuantityError",
    "Ration",
    "Rota",
    "RotaDay",
    "Rule",
    "Serving",
    "Settings",
    "Severity",
    "SiteLimit",
    "SourceRef",
    "Standing",
    "Taxon",
    "TreatGift",
    "Verdict",
    "Weighing",
    "When",
    "Window",
    "World",
    "exact",
    "excess",
    "find_foods",
    "find_taxon",
    "format_interval",
    "hold",
    "hookimpl",
    "known_taxon_name",
    "near_taxa",
    "not_applicable",
    "read_trusted",
]
