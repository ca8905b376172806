"""The diet measured against a demand: the worst of the rota-long runs of days, animal by animal."""

from decimal import Decimal

from msgspec import Struct

from dietcheck.contract import (
    UNKNOWN,
    ZERO,
    Alike,
    Animal,
    Diet,
    Food,
    Interval,
    Ration,
    energy_method,
    energy_per_100g,
    exact,
    ratio,
)
from dietcheck_rules.nutrient_range.demands import Demand
from dietcheck_rules.nutrient_range.measures import HUNDRED, content, rest_of_energy
from dietcheck_rules.shared.levels.spans import Span, spans

# A source that leaves the basis open prints a table for dry feed: compared on dry matter.
DRY = ("dry matter", "unstated")
OF_BODY = ("animal", "body mass", "metabolic body mass")


class Reading(Struct, frozen=True, eq=False):
    """A figure with the days it was reckoned over."""

    value: Interval
    span: Span


class Case(Struct, frozen=True, eq=False):
    """The animals that stand alike against a demand, with their readings, the worst first."""

    demand: Demand
    alike: Alike
    readings: tuple[Reading, ...]

    @property
    def ration(self) -> Ration:
        """What the worst figure was reckoned from."""
        return self.readings[0].span.ration


def worst(demand: Demand, diet: Diet, animal: Animal) -> Reading | None:
    """The reading nearest to breaking the demand, or furthest past it; None without food."""
    readings = [
        Reading(measure(demand, span.ration, diet, animal), span)
        for span in spans(diet, animal, demand.limit.over)
    ]
    if not readings:
        return None
    return max(readings, key=lambda one: _badness(demand, one.value))


def _badness(demand: Demand, value: Interval) -> tuple[int, Decimal, Decimal]:
    standing = ("inside", "across", "past").index(demand.limit.stands(value))
    if demand.is_ceiling:
        return standing, value.low, value.high
    return standing, -value.high, -value.low


def measure(demand: Demand, ration: Ration, diet: Diet, animal: Animal) -> Interval:
    """A ration's figure in the demand's own unit; UNKNOWN without a weighing that is needed."""
    gauge = demand.gauge
    assert gauge is not None
    basis, taxon, profiles = demand.limit.basis, diet.group.taxon, ration.profiles
    ceiling = demand.is_ceiling
    held = [
        (grams, content(food, gauge, profiles, taxon, ceiling=ceiling), food)
        for food, grams in ration.grams_of.items()
    ]
    if gauge.is_energy_share:
        rest = [(g, c, rest_of_energy(food, gauge, profiles, taxon)) for g, c, food in held]
        return _share(ratio(rest)) * demand.times
    if basis in DRY:
        dry = [(g, c, profiles[food].per_100g("dry_matter")) for g, c, food in held]
        return ratio(dry) * demand.times
    if basis not in OF_BODY:
        return ratio([(g, c, _below(food, basis, diet)) for g, c, food in held]) * demand.times
    total = sum((grams / 100 * held_in for grams, held_in, _ in held), ZERO)
    daily = ration.per_day(total) * demand.times
    if basis == "animal":
        return daily
    mass = diet.mass_of(animal)
    if mass is None:
        return UNKNOWN
    kilograms = mass / 1000
    return daily / (kilograms.power34() if basis == "metabolic body mass" else kilograms)


def _below(food: Food, basis: str, diet: Diet) -> Interval:
    """What 100 g of a food bring of the thing that a density is reckoned on."""
    if basis == "as fed":
        return HUNDRED
    return energy_per_100g(diet.profiles[food], energy_method(diet.group.taxon))


def _share(quotient: Interval) -> Interval:
    """A part of a whole from the part over the rest."""
    low, high = _of_whole(quotient.low).low, _of_whole(quotient.high).high
    best = None if quotient.best is None else _of_whole(quotient.best).best
    return Interval(low, high, None if best is None else min(max(best, low), high))


def _of_whole(quotient: Decimal) -> Interval:
    if not quotient.is_finite():
        return exact(1)
    return exact(quotient) / (exact(quotient) + 1)
