"""What a rule may import, and all it may import. The smallest public surface of the project.

Everything here is described where it is defined; `dietcheck.screening.hookspecs` is the manual.
"""

from dietcheck.collection.animals import Animal, CarePlan, Group, Weighing
from dietcheck.collection.collection import Collection, in_force
from dietcheck.collection.feeding import DietSheet, Line, Medicine, Rota, RotaDay, TreatGift
from dietcheck.collection.foods import Food
from dietcheck.collection.places import Pointer
from dietcheck.collection.settings import (
    Acceptance,
    DoNotFeed,
    RuleSetting,
    Season,
    Settings,
    SignOff,
    SiteLimit,
)
from dietcheck.collection.slots import SlotOrder, slot_order
from dietcheck.history.covered import moved
from dietcheck.history.difference import differences, signed_version
from dietcheck.history.digest import content_digest, fed_content
from dietcheck.history.guards import guards_signed
from dietcheck.history.later import KINDS as LATER_KINDS
from dietcheck.history.later import Later, later_entries
from dietcheck.history.log import Commit, same_person
from dietcheck.history.lookback import Lookback
from dietcheck.history.signed import allowed, last_signed, unchanged
from dietcheck.nutrition.composition import Profile, Profiles
from dietcheck.nutrition.derived import (
    VitaminA,
    added_per_kg_fish,
    calcium_to_phosphorus,
    per_kg_fish,
    stated_share,
    vitamin_a_of,
)
from dietcheck.nutrition.diet import Diet, Serving, Window
from dietcheck.nutrition.energy import (
    EnergyMethod,
    energy_density,
    energy_method,
    energy_methods,
    energy_of,
    energy_per_100g,
    energy_weakness,
)
from dietcheck.nutrition.energy_need import EnergyFormula, EnergyNeed, energy_needs, need_span
from dietcheck.nutrition.fruit import FRUIT, fruit_share, is_fruit
from dietcheck.nutrition.leftovers import Leaving
from dietcheck.nutrition.offers import Occasion, Offer
from dietcheck.nutrition.plan import Feed, Hole, PlannedDay
from dietcheck.nutrition.portions import Portion, grams
from dietcheck.nutrition.rations import Ration
from dietcheck.nutrition.shares import CLASS_GROUPS, class_share, share_of
from dietcheck.nutrition.treats import TreatLedger, Treats, is_treat, purpose
from dietcheck.outside.packages import files
from dietcheck.quantities import (
    UNKNOWN,
    ZERO,
    Bound,
    Interval,
    QuantityError,
    exact,
    format_bound,
    format_interval,
    format_mass,
    ratio,
    read_born,
)
from dietcheck.reading import read_trusted
from dietcheck.screening.checks import (
    Check,
    Measure,
    Severity,
    Verdict,
    When,
    not_applicable,
)
from dietcheck.screening.hookspecs import CONTRACT, Knowledge, Pack, Rule, Topic, hookimpl
from dietcheck.screening.judging import Alike, Figure, excess, hold
from dietcheck.screening.limits import Applied, Limit, Limits, SourceRef, Standing
from dietcheck.screening.world import World
from dietcheck.tables.foods import FoodRow, find_foods
from dietcheck.tables.nutrients import nutrients
from dietcheck.tables.taxa import Taxon, find_taxon, known_taxon_name, near_taxa, order_of

__all__ = [
    "CLASS_GROUPS",
    "CONTRACT",
    "FRUIT",
    "LATER_KINDS",
    "UNKNOWN",
    "ZERO",
    "Acceptance",
    "Alike",
    "Animal",
    "Applied",
    "Bound",
    "CarePlan",
    "Check",
    "Collection",
    "Commit",
    "Diet",
    "DietSheet",
    "DoNotFeed",
    "EnergyFormula",
    "EnergyMethod",
    "EnergyNeed",
    "Feed",
    "Figure",
    "Food",
    "FoodRow",
    "Group",
    "Hole",
    "Interval",
    "Knowledge",
    "Later",
    "Leaving",
    "Limit",
    "Limits",
    "Line",
    "Lookback",
    "Measure",
    "Medicine",
    "Occasion",
    "Offer",
    "Pack",
    "PlannedDay",
    "Pointer",
    "Portion",
    "Profile",
    "Profiles",
    "QuantityError",
    "Ration",
    "Rota",
    "RotaDay",
    "Rule",
    "RuleSetting",
    "Season",
    "Serving",
    "Settings",
    "Severity",
    "SignOff",
    "SiteLimit",
    "SlotOrder",
    "SourceRef",
    "Standing",
    "Taxon",
    "Topic",
    "TreatGift",
    "TreatLedger",
    "Treats",
    "Verdict",
    "VitaminA",
    "Weighing",
    "When",
    "Window",
    "World",
    "added_per_kg_fish",
    "allowed",
    "calcium_to_phosphorus",
    "class_share",
    "content_digest",
    "differences",
    "energy_density",
    "energy_method",
    "energy_methods",
    "energy_needs",
    "energy_of",
    "energy_per_100g",
    "energy_weakness",
    "exact",
    "excess",
    "fed_content",
    "files",
    "find_foods",
    "find_taxon",
    "format_bound",
    "format_interval",
    "format_mass",
    "fruit_share",
    "grams",
    "guards_signed",
    "hold",
    "hookimpl",
    "in_force",
    "is_fruit",
    "is_treat",
    "known_taxon_name",
    "last_signed",
    "later_entries",
    "moved",
    "near_taxa",
    "need_span",
    "not_applicable",
    "nutrients",
    "order_of",
    "per_kg_fish",
    "purpose",
    "ratio",
    "read_born",
    "read_trusted",
    "same_person",
    "share_of",
    "signed_version",
    "slot_order",
    "stated_share",
    "unchanged",
    "vitamin_a_of",
]
