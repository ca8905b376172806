"""Which foods leave a nutrient open because nobody states it, and how grave that is."""

from collections.abc import Iterator
from decimal import Decimal

from msgspec import Struct

from dietcheck.contract import Diet, Food, Ration, Severity, exact
from dietcheck_rules.nutrient_range.figures import Case
from dietcheck_rules.nutrient_range.measures import Gauge, states

WITH_LABEL = frozenset({"compound feed", "supplement", "mineral", "medicine"})
# Silent foods that together make less of the dry matter than this can hardly fill a gap; our own
# choice. Feeds and powders made to bring the nutrient are never reckoned so.
HARDLY = Decimal("0.1")


class Silence(Struct, frozen=True):
    """One nutrient that cannot be told, with the foods that do not state it, largest first."""

    case: Case
    foods: tuple[Food, ...]
    severity: Severity

    @property
    def labelled(self) -> tuple[Food, ...]:
        """Those of the foods that come with a label."""
        return tuple(food for food in self.foods if food.food_class in WITH_LABEL)


def silence_of(diet: Diet, case: Case) -> Silence | None:
    """The foods that keep quiet about the nutrient of a cannot-tell; None where none does."""
    gauge = case.demand.gauge
    assert gauge is not None  # what cannot be counted is told before
    ration = case.ration
    foods = tuple(dict.fromkeys(_silent(diet, ration, gauge)))
    if not foods:
        return None
    return Silence(case, foods, _severity(case, foods))


def _silent(diet: Diet, ration: Ration, gauge: Gauge) -> Iterator[Food]:
    """The foods, or parts of mixes, that state nothing; the largest amount first."""
    profiles = diet.profiles
    silent = [
        (food, grams)
        for food, grams in ration.grams_of.items()
        if not profiles[food].per_100g(gauge.nutrient).is_exact  # the cheap question first
    ]
    for food, _ in sorted(silent, key=lambda one: (-one[1].high, one[0].id)):
        leaves = (part for part, _ in food.all_parts() if not part.mix)
        yield from (part for part in leaves if not states(part, gauge, profiles))


def _severity(case: Case, foods: tuple[Food, ...]) -> Severity:
    """Low, unless what is stated falls short and the silent foods are too little to help."""
    worst, limit = case.alike.worst, case.demand.limit
    if worst.value.best is not None and limit.stands(exact(worst.value.best)) == "past":
        return Severity(limit.severity)
    if case.demand.is_ceiling or any(food.food_class in WITH_LABEL for food in foods):
        return Severity.LOW
    ration = case.ration
    silent = [
        (food, share)
        for food in ration.grams_of
        for part, share in food.all_parts()
        if part in foods
    ]
    if ration.share(silent, of="dry_matter").high < HARDLY:
        return max(Severity.MEDIUM, Severity(limit.severity), key=lambda one: one.rank)
    return Severity.LOW
