"""Figures made of several nutrients: calcium to phosphorus, vitamins for the fish, vitamin A.

Each is reckoned from a whole ration and is a range. Nothing here compares with a limit.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from functools import lru_cache

from msgspec import Struct

from dietcheck.collection.foods import Food
from dietcheck.nutrition.bundled import bundled
from dietcheck.nutrition.composition import Profile
from dietcheck.nutrition.rations import Ration
from dietcheck.nutrition.shares import ADDED, FISH, is_of_known_class, leaves
from dietcheck.quantities import ZERO, Interval, exact, ratio, total
from dietcheck.tables.nutrients import nutrients
from dietcheck.tables.taxa import Taxon

_0 = Decimal(0)
ONE = exact(1)
# µg of retinol in one IU of vitamin A: NRC2003 p.113, and column per_iu of the nutrient table.
_PER_IU = nutrients()["retinol"].per_iu
assert _PER_IU is not None
RETINOL_PER_IU: Decimal = _PER_IU
# µg of the least active carotenoids in 1 µg of activity by the convention for people, by which the
# food table was checked when it was made; beta-carotene takes 12.
CAROTENOID_PER_RAE = 24
CAROTENOIDS = ("beta_carotene", "alpha_carotene", "beta_cryptoxanthin")


def calcium_to_phosphorus(ration: Ration) -> Interval:
    """Calcium divided by phosphorus, by mass, each food's amount the same above and below."""
    return ration.density("calcium", of="phosphorus")


def stated_share(ration: Ration, key: str, of: str | None = "dry_matter") -> Interval:
    """The share of a ration, 0 to 1, whose label, analysis or table gives a nutrient at all.

    For NDF and ADF, which the food table does not hold, it says how much of the diet is known.
    """
    known = [(food, ONE) for food in ration.grams_of if ration.profiles[food].states(key)]
    found = ration.share(known, of)
    return Interval(found.low, min(found.high, Decimal(1)))


def per_kg_fish(ration: Ration, key: str) -> Interval:
    """A nutrient of the whole ration per kg of fish offered as fed, in the nutrient's own unit.

    For thiamin, vitamin_e and vitamin_e_iu. Without any fish there is no such figure: UNKNOWN.
    A food of no known class may be fish.
    """
    return _per_kg_fish(ration, key, added_only=False)


def added_per_kg_fish(ration: Ration, key: str) -> Interval:
    """As `per_kg_fish`, counting only what supplements, minerals and medicines bring.

    Advice on fish tablets means this: what the fish itself holds is partly lost in the freezer,
    and nobody knows how much.
    """
    return _per_kg_fish(ration, key, added_only=True)


class VitaminA(Struct, frozen=True):
    """Vitamin A activity in µg of retinol and in IU, and by which convention carotenoids count."""

    micrograms: Interval
    convention: str
    source: str

    @property
    def iu(self) -> Interval:
        """The same in IU: 1 IU is 0.3 µg of retinol."""
        return self.micrograms / RETINOL_PER_IU


HUMAN = "human convention: carotenoids by the factors for people, as the table prints"


def vitamin_a_of(ration: Ration, taxon: Taxon | None = None) -> VitaminA:
    """Vitamin A activity of a whole ration for a taxon.

    How much vitamin A an animal makes of carotenoids differs between taxa. Where a source gives a
    factor (vitamin_a.csv) it is used; everywhere else the activity is the one for people, named so.
    """
    factor, source = _carotene_factor(taxon) if taxon is not None else (None, "")
    found = ration.total_of(("vitamin A", factor), lambda profile: _activity(profile, factor) / 100)
    if factor is None:
        return VitaminA(found, HUMAN, "SR28")
    return VitaminA(found, f"{source.split(' ')[0]}: retinol and beta-carotene", source)


def _activity(profile: Profile, factor: Interval | None) -> Interval:
    """µg of retinol activity in 100 g; a label's IU count as printed."""
    if profile.food.mix:
        return total(_activity(part, factor) * share for part, share in profile.parts())
    if factor is not None and all(map(profile.states, ("retinol", *CAROTENOIDS))):
        first, *others = map(profile.per_100g, CAROTENOIDS)
        # What the source does not name is worth from nothing to as much as beta-carotene.
        rest = total(Interval(_0, other.high) for other in others) * factor
        return profile.per_100g("retinol") + first * factor + Interval(_0, rest.high)
    if profile.states("vitamin_a_rae"):
        activity = profile.per_100g("vitamin_a_rae")
        if factor is None:
            return activity
        return Interval(_0, (activity * factor * CAROTENOID_PER_RAE).high)
    if profile.states("vitamin_a"):
        return profile.per_100g("vitamin_a") * RETINOL_PER_IU
    return profile.per_100g("vitamin_a_rae")


@lru_cache(256)
def _carotene_factor(taxon: Taxon) -> tuple[Interval | None, str]:
    table = bundled("vitamin_a")
    found = [row for name in table.names() if taxon.is_in(name) for row in table.rows(name)]
    if not found:
        return None, ""
    row = min(found, key=lambda row: taxon.rank_distance(row["taxon"]))
    factor = exact(row["retinol"]) / exact(row["beta_carotene"])
    return factor, f"{row['source']} {row['locator']}"


def _per_kg_fish(ration: Ration, key: str, *, added_only: bool) -> Interval:
    return ratio(
        [
            (grams, _brought(ration, food, key, added_only), _fish(food))
            for food, grams in ration.grams_of.items()
        ]
    )


def _brought(ration: Ration, food: Food, key: str, added_only: bool) -> Interval:
    """The nutrient in one gram of a food; only its added part if wanted."""
    if not added_only:
        return ration.profiles[food].per_100g(key) / 100
    return total(
        _maybe(part, ADDED) * share * ration.profiles[part].per_100g(key) / 100
        for part, share in leaves(food)
    )


def _fish(food: Food) -> Interval:
    """The kg of fish in one gram of a food."""
    return total(_maybe(part, FISH) * share for part, share in leaves(food)) / 1000


def _maybe(food: Food, classes: Iterable[str]) -> Interval:
    """Whether a food is of some classes: one, nothing, or either where nobody gave a class."""
    if not is_of_known_class(food):
        return Interval(_0, Decimal(1))
    return ONE if food.food_class in classes else ZERO
