"""Metabolisable energy of foods and rations, in kcal, with the method always named.

The bundled food table holds energies reckoned with food-specific factors for people; for
fermenters and strict carnivores they are a relative measure only. For taxa where a source gives
general factors for protein, fat and carbohydrate (fuel_values.csv) those are used. No method is
better than its factors: compare energies of one method only.
"""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache

from msgspec import Struct

from dietcheck.nutrition.bundled import bundled
from dietcheck.nutrition.composition import Profile
from dietcheck.nutrition.rations import Ration
from dietcheck.quantities import Interval, exact, ratio, total
from dietcheck.tables.taxa import Taxon

_0 = Decimal(0)
HUNDRED = exact(100)
Factors = tuple[Decimal, Decimal, Decimal]  # kcal a gram of protein, fat, carbohydrate
PLAIN: Factors = (Decimal(4), Decimal(9), Decimal(4))
MODIFIED: Factors = (Decimal("3.5"), Decimal("8.5"), Decimal("3.5"))


class EnergyMethod(Struct, frozen=True):
    """How energy is reckoned: kcal per gram of protein, fat and carbohydrate, and whose they are.

    Without factors the food's own printed energy is taken. A `condition` (such as a way of feeding)
    means that the factors are not for the taxon as a whole.
    """

    name: str
    taxon: str = ""
    factors: Factors | None = None
    fermented_fibre: Decimal = _0
    condition: str = ""
    source: str = ""
    locator: str = ""
    seen: str = ""
    note: str = ""

    def __hash__(self) -> int:
        return hash((self.name, self.taxon))  # not of every word of it

    @property
    def described(self) -> str:
        """The method in words, for the working shown beside a figure."""
        if self.factors is None:
            return f"{self.name} ({self.note})"
        figures = "/".join(f"{factor:f}" for factor in self.factors)
        return f"{self.name}, {figures} kcal a gram of protein/fat/carbohydrate ({self.source})"


FOOD_SPECIFIC = EnergyMethod(
    name="food-specific factors",
    source="SR28",
    seen="original",
    note="energy as printed for the food; the bundled table reckons it for people",
)
ATWATER = EnergyMethod(
    name="Atwater",
    factors=PLAIN,
    source="NRC2003",
    locator="as reprinted in Abee2012 p.279",
    seen="reprint",
)
MODIFIED_ATWATER = EnergyMethod(
    name="modified Atwater",
    factors=MODIFIED,
    source="AAFCO2008",
    locator="table note as reprinted",
    seen="reprint",
)


@lru_cache(1024)
def energy_methods(taxon: Taxon) -> tuple[EnergyMethod, ...]:
    """Every method a source gives for a taxon, the most specific first, food-specific last."""
    table = bundled("fuel_values")
    found = [row for name in table.names() if taxon.is_in(name) for row in table.rows(name)]
    found.sort(key=lambda row: taxon.rank_distance(row["taxon"]))
    return (*map(_method, found), FOOD_SPECIFIC)


def energy_method(taxon: Taxon) -> EnergyMethod:
    """The method for a taxon: the most specific one that has no condition."""
    return next(method for method in energy_methods(taxon) if not method.condition)


def energy_per_100g(profile: Profile, method: EnergyMethod = FOOD_SPECIFIC) -> Interval:
    """Metabolisable energy of 100 g as fed, in kcal.

    A label's own figure always counts. Otherwise the factors are used where protein, fat and
    carbohydrate are stated, then an energy the table prints, then the range that the bounds of the
    three allow (by both general sets of factors, where the method has none of its own).
    """
    if method not in profile.derived:
        profile.derived[method] = _work_out(profile, method)
    return profile.derived[method]


def energy_per_gram(profile: Profile, method: EnergyMethod) -> Interval:
    """Metabolisable energy of one gram as fed, in kcal."""
    key = "per gram", method
    if key not in profile.derived:
        profile.derived[key] = energy_per_100g(profile, method) / 100
    return profile.derived[key]


def energy_weakness(profile: Profile, method: EnergyMethod = FOOD_SPECIFIC) -> str | None:
    """Why a food's energy is weak, or None when it is firm."""
    food = profile.food
    if food.mix:
        weak = [part.food.id for part, _ in profile.parts() if energy_weakness(part, method)]
        return f"weak in {', '.join(weak)}" if weak else None
    if not food.known or _takes_printed(profile, method):
        return profile.weakness("energy")
    if method.factors is None or not _is_known(profile):
        return "no energy stated: a range from what is stated of protein, fat and carbohydrate"
    weaknesses = (profile.weakness(part) for part in ("protein", "fat"))
    return next(filter(None, weaknesses), None)


def energy_of(ration: Ration, method: EnergyMethod = FOOD_SPECIFIC) -> Interval:
    """The energy of a whole ration, in kcal; `ration.per_day` gives the daily mean."""
    return ration.total_of(method, lambda profile: energy_per_gram(profile, method))


def energy_density(
    ration: Ration, method: EnergyMethod = FOOD_SPECIFIC, of: str | None = "dry_matter"
) -> Interval:
    """Energy in kcal per gram of dry matter, of another mass in grams, or as fed (`of=None`)."""
    return ratio(
        [
            (
                grams,
                energy_per_100g(ration.profiles[food], method),
                HUNDRED if of is None else ration.profiles[food].per_100g(of),
            )
            for food, grams in ration.grams_of.items()
        ]
    )


def _method(row: dict[str, str]) -> EnergyMethod:
    return EnergyMethod(
        name=row["method"],
        taxon=row["taxon"],
        factors=(Decimal(row["protein"]), Decimal(row["fat"]), Decimal(row["carbohydrate"])),
        fermented_fibre=Decimal(row["fermented_fibre"]),
        condition=row["condition"],
        source=row["source"],
        locator=row["locator"],
        seen=row["seen"],
        note=row["note"],
    )


def _work_out(profile: Profile, method: EnergyMethod) -> Interval:
    if profile.food.mix:
        return total(energy_per_100g(part, method) * share for part, share in profile.parts())
    if _takes_printed(profile, method):
        return profile.per_100g("energy")
    if method.factors is not None:
        return _by_factors(profile, method.factors, method.fermented_fibre)
    return _by_factors(profile, PLAIN).hull(_by_factors(profile, MODIFIED))


def _takes_printed(profile: Profile, method: EnergyMethod) -> bool:
    """Whether the energy printed for the food is the figure: a label's own, or all there is."""
    declared = profile.food.declared
    return profile.states("energy") and (
        method.factors is None
        or "energy" in declared
        or "energy_kj" in declared
        or not _is_known(profile)
    )


def _is_known(profile: Profile) -> bool:
    by_difference = profile.states("water") and profile.states("ash")
    return (
        profile.states("protein")
        and profile.states("fat")
        and (profile.states("carbohydrate") or by_difference)
    )


def _by_factors(profile: Profile, factors: Factors, fermented: Decimal = _0) -> Interval:
    """Energy from the ranges of the three; what is known by difference only is counted once."""
    of_protein, of_fat, of_carbohydrate = factors
    protein, fat = profile.per_100g("protein"), profile.per_100g("fat")
    least_fibre, most_fibre = _fibre(profile)
    whole = profile.per_100g("carbohydrate")
    carbohydrate = _less(whole, least_fibre, most_fibre)
    found = protein * of_protein + fat * of_fat + carbohydrate * of_carbohydrate
    if not profile.states("carbohydrate"):
        # More protein is less carbohydrate: what both share is counted once, the rest on top.
        left = profile.per_100g("dry_matter") - profile.per_100g("ash")
        shared = (left - Interval(least_fibre, most_fibre)) * of_carbohydrate
        other = shared + protein * (of_protein - of_carbohydrate) + fat * (of_fat - of_carbohydrate)
        found = narrowed(found, other.clamp_low())
    if fermented:
        # How much of the fibre is fermented is not known: nothing to all of it.
        found = found + Interval(_0, most_fibre) * fermented
    return found


def _fibre(profile: Profile) -> tuple[Decimal, Decimal]:
    """The least and the most fibre that is taken off the carbohydrate, in g per 100 g.

    The sources do not say whether fibre counts as carbohydrate. So dietary fibre is taken off at
    the low end and left in at the high one. Crude fibre is always taken off, as labels mean it
    (what is left is the nitrogen-free extract). Where nobody states a fibre it may be all.
    """
    crude, fibre = profile.per_100g("crude_fibre"), profile.per_100g("fibre")
    least = crude.low if profile.states("crude_fibre") else _0
    if profile.states("fibre"):
        return least, max(fibre.high, least)
    return least, crude.high


def _less(carbohydrate: Interval, least: Decimal, most: Decimal) -> Interval:
    low = max(carbohydrate.low - most, _0)
    high = max(carbohydrate.high - least, _0)
    best = carbohydrate.best
    return Interval(low, high, None if best is None else max(best - most, low))


def narrowed(one: Interval, other: Interval) -> Interval:
    """What two sound ranges of one figure leave; the first if rounding parts them."""
    low, high = max(one.low, other.low), min(one.high, other.high)
    if low > high:
        return one
    best = one.best if one.best is not None and low <= one.best <= high else None
    return Interval(low, high, best)
