"""What is summed: one nutrient in the products of a ration, or in everything of it."""

from collections.abc import Iterator

from dietcheck.contract import ZERO, Food, Interval, Profiles, Ration
from dietcheck_rules.shared.levels.gauge import Gauge

# A feed or supplement whose label is silent may hold any nutrient, a mineral any mineral. An oil or
# a medicine is counted only for what it states.
FEEDS = frozenset({"compound feed", "supplement"})
PRODUCTS = FEEDS | {"mineral", "medicine", "oil"}


class Summed(Gauge, frozen=True):
    """A nutrient in the products; with `everything`, in all other food too.

    `several` asks for two products at least: a range for the diet is no matter of a single one.
    """

    is_mineral: bool = False
    everything: bool = False
    several: bool = False

    def content(self, food: Food, profiles: Profiles) -> Interval:
        """The amount in 100 g as fed that counts, in the nutrient's own unit."""
        found = ZERO
        for part, share in food.all_parts():
            if not part.mix and self._counts(part, profiles):
                found = found + profiles[part].per_100g(self.key) * share
        return found

    def silent(self, food: Food, profiles: Profiles) -> Iterator[Food]:
        """The foods in it that count and do not state the nutrient."""
        for part, _ in food.all_parts():
            if not part.mix and self._counts(part, profiles) and not self.states(part, profiles):
                yield part

    def all_silent(self, ration: Ration) -> list[Food]:
        """The foods of a whole ration that count and do not state the nutrient."""
        return [part for food in ration.grams_of for part in self.silent(food, ration.profiles)]

    def bringing(self, ration: Ration) -> list[Food]:
        """The products of a ration that bring some, or may."""
        return [
            food
            for food in ration.grams_of
            if any(part.food_class in PRODUCTS for part, _ in food.all_parts())
            and self.content(food, ration.profiles).high
        ]

    def _counts(self, part: Food, profiles: Profiles) -> bool:
        if part.food_class not in PRODUCTS:
            return self.everything
        may_hold = part.food_class in FEEDS or (self.is_mineral and part.food_class == "mineral")
        return may_hold or self.states(part, profiles)


GAUGES = (
    Summed("stacked-vitamin-a", "vitamin_a", "vitamin A", several=True),
    Summed("stacked-vitamin-d3", "vitamin_d", "vitamin D3", several=True),
    Summed("stacked-copper", "copper", "copper", is_mineral=True, several=True),
    Summed("stacked-iodine", "iodine", "iodine", is_mineral=True, several=True),
    Summed("stacked-iron", "iron", "iron", is_mineral=True, several=True),
    Summed("stacked-selenium", "selenium", "selenium", is_mineral=True, several=True),
    Summed("copper-of-feed", "copper", "copper", is_mineral=True, everything=True),
    Summed("vitamin-a-dose", "vitamin_a", "vitamin A"),
    Summed("vitamin-d3-dose", "vitamin_d", "vitamin D3"),
)
SOURCES = "vitamin-d3-sources"
D3 = Summed(SOURCES, "vitamin_d", "vitamin D3")


def d3_sources(ration: Ration) -> Interval:
    """How many things give vitamin D3: each supplement, oil or mineral, and all feeds as one."""
    sure, open_ = 0, 0
    feed, feed_open = False, False
    for food in ration.grams_of:
        for part, _ in food.all_parts():
            held = ZERO if part.mix else D3.content(part, ration.profiles)
            if part.food_class == "compound feed":
                feed, feed_open = feed or held.low > 0, feed_open or held.high > 0
            else:
                sure, open_ = sure + (held.low > 0), open_ + (held.high > 0)
    return Interval(sure + feed, open_ + feed_open)
