"""How much of a food's vitamin D is D3.

The food table gives D2 and D3 as one figure. Only a label or an analysis that prints D3 settles it:
what is in between counts as a range from nothing to all of it.
"""

from decimal import Decimal

from dietcheck.contract import ZERO, Food, Interval, Profiles
from dietcheck_rules.shared.levels import Gauge

_PRINTED = frozenset({"vitamin_d3", "cholecalciferol"})
_D2 = frozenset({"fungus", "yeast"})
_FIGURES = ("label", "analysis")


class D3Gauge(Gauge, frozen=True):
    """Vitamin D counted only as far as it is known to be D3."""

    def content(self, food: Food, profiles: Profiles) -> Interval:
        """µg of vitamin D3 in 100 g as fed."""
        if food.mix:
            found = ZERO
            for part, share in food.mix:
                found = found + self.content(part, profiles) * share
            return found
        whole = profiles[food].per_100g(self.key)
        if not whole.high or prints_d3(food) or not profiles[food].states(self.key):
            return whole
        # Fungi hold D2, animals D3 (from memory): an estimate, which never makes a verdict.
        best = Decimal(0) if food.food_class in _D2 else whole.best
        return Interval(Decimal(0), whole.high, best)


def prints_d3(food: Food) -> bool:
    """Whether the food's label or analysis gives vitamin D as D3."""
    return any(_PRINTED & food.record.get(name, {}).keys() for name in _FIGURES)
