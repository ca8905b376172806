"""What is measured of a ration for people to read: mass, energy, nutrients, ratios, each by name.

Every gauge uses the same functions that rules use, so a figure shown is the figure judged.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from decimal import Decimal
from functools import partial

from msgspec import Struct

from dietcheck.collection.foods import Food
from dietcheck.nutrition.composition import IN_UNIT, WITHIN_CARBOHYDRATE, Profile, Profiles
from dietcheck.nutrition.derived import calcium_to_phosphorus, vitamin_a_of
from dietcheck.nutrition.energy import (
    EnergyMethod,
    energy_density,
    energy_method,
    energy_of,
    energy_weakness,
)
from dietcheck.nutrition.rations import Ration
from dietcheck.nutrition.shares import share_of
from dietcheck.quantities import Interval, exact, ratio, total
from dietcheck.tables.nutrients import nutrients
from dietcheck.tables.taxa import Taxon

AS_FED = "as_fed"
ENERGY = "energy"
CALCIUM_TO_PHOSPHORUS = "calcium_to_phosphorus"
VITAMIN_A = "vitamin_a_activity"
SPECIAL = {
    AS_FED: "food as fed",
    CALCIUM_TO_PHOSPHORUS: "calcium to phosphorus",
    VITAMIN_A: "vitamin A activity",
}
"""What is no single nutrient of the table, with its title."""

USUAL = (
    AS_FED, "dry_matter", ENERGY, "protein", "fat", "sugars", "starch", "fibre", "crude_fibre",
    "ndf", "calcium", "phosphorus", CALCIUM_TO_PHOSPHORUS, "iron", VITAMIN_A, "vitamin_c",
    "vitamin_d", "vitamin_e", "thiamin",
)  # fmt: skip
"""What is shown unless something else is asked for."""
ONLY_IF_STATED = frozenset({"ndf"})  # no food of the table has it: shown where a label has

# Of these what nobody states is bounded by what is stated of the rest of the food. Of all others
# it is bounded by the dry matter alone, which is true and says nothing.
_BOUNDED = WITHIN_CARBOHYDRATE | {"water", "dry_matter", "carbohydrate", "nfe"}
_VITAMIN_A_KEYS = ("vitamin_a_rae", "vitamin_a", "retinol")
_FUELS = ("protein", "fat", "carbohydrate")
_HUNDRED = Decimal(100)


class Gauge(Struct, frozen=True, eq=False):
    """One quantity of a ration.

    `total` gives it in `unit` for a whole ration. A gauge that is not `additive` is a ratio: it has
    no daily mean and no food has a share in it. `density` gives it in `density_unit`, reckoned on
    dry matter. `is_bounded`: a food that does not state it still bounds it usefully.
    """

    key: str
    title: str
    unit: str
    total: Callable[[Ration], Interval]
    states: Callable[[Profile], bool]
    weakness: Callable[[Profile], str | None]
    density: Callable[[Ration], Interval] | None = None
    density_unit: str = ""
    additive: bool = True
    is_bounded: bool = False
    note: str = ""

    def a_day(self, ration: Ration) -> Interval:
        """The daily mean of a ration; for a ratio the ratio of the whole."""
        figure = self.total(ration)
        return ration.per_day(figure) if self.additive else figure

    def known(self, ration: Ration) -> Interval:
        """The share, 0 to 1, of the ration's dry matter whose foods state the quantity."""
        dry = {
            food: grams * ration.profiles[food].per_100g("dry_matter")
            for food, grams in ration.grams_of.items()
        }
        stating = {food for food in dry if self.states(ration.profiles[food])}
        if len(stating) == len(dry):  # even if the dry matter itself is not known
            return exact(1)
        return share_of(
            total(grams for food, grams in dry.items() if food in stating),
            total(grams for food, grams in dry.items() if food not in stating),
        )

    def is_stated(self, ration: Ration) -> bool:
        """Whether every food that may be in the ration states the quantity."""
        fed = (food for food, grams in ration.grams_of.items() if grams.high)
        return all(self.states(ration.profiles[food]) for food in fed)

    def parts(self, ration: Ration) -> list[tuple[Food, Interval, Interval]]:
        """Each food's amount a day and its share, 0 to 1, of the whole; the most first."""
        amounts = {
            food: grams * self._content(food, ration) for food, grams in ration.grams_of.items()
        }
        found = []
        for food, amount in amounts.items():
            rest = total(other for others, other in amounts.items() if others is not food)
            found.append((food, ration.per_day(amount), share_of(amount, rest)))
        return sorted(found, key=lambda part: (-part[1].high, -part[1].low, part[0].id))

    def _content(self, food: Food, ration: Ration) -> Interval:
        """The quantity in one gram of a food."""
        return self.total(Ration({food: exact(100)}, ration.days, ration.profiles)) / 100


def gauges(keys: Iterable[str], taxon: Taxon) -> tuple[Gauge, ...]:
    """The gauges of these keys for a taxon. Raises KeyError for a key that is none."""
    return tuple(_gauge(key, taxon) for key in keys)


def gauge_keys() -> tuple[str, ...]:
    """Every key there is: the usual ones first, then all other nutrients of the table."""
    return tuple(dict.fromkeys((*USUAL, *nutrients())))


def _gauge(key: str, taxon: Taxon) -> Gauge:
    if key == AS_FED:
        return Gauge(key, SPECIAL[key], "g", Ration.grams, lambda _: True, lambda _: None)
    if key == ENERGY:
        return _energy(energy_method(taxon))
    if key == CALCIUM_TO_PHOSPHORUS:
        return Gauge(
            key,
            SPECIAL[key],
            "to 1",
            calcium_to_phosphorus,
            lambda profile: profile.states("calcium") and profile.states("phosphorus"),
            lambda profile: profile.weakness("calcium") or profile.weakness("phosphorus"),
            additive=False,
        )
    return _vitamin_a(taxon) if key == VITAMIN_A else _nutrient(key)


def _energy(method: EnergyMethod) -> Gauge:
    return Gauge(
        ENERGY,
        "energy",
        "kcal",
        partial(energy_of, method=method),
        lambda profile: profile.states(ENERGY) or all(map(profile.states, _FUELS)),
        partial(energy_weakness, method=method),
        partial(energy_density, method=method),
        "kcal/g",
        is_bounded=True,
        note=method.described,
    )


def _vitamin_a(taxon: Taxon) -> Gauge:
    def micrograms(ration: Ration) -> Interval:
        return vitamin_a_of(ration, taxon).micrograms

    def density(ration: Ration) -> Interval:
        parts = [
            (
                grams,
                micrograms(Ration({food: exact(1000)}, ration.days, ration.profiles)),
                ration.profiles[food].per_100g("dry_matter") / 100,
            )
            for food, grams in ration.grams_of.items()
        ]
        return ratio(parts)

    def states(profile: Profile) -> bool:
        return any(profile.states(key) for key in _VITAMIN_A_KEYS)

    def weakness(profile: Profile) -> str | None:
        stated = [key for key in _VITAMIN_A_KEYS if profile.states(key)]
        return profile.weakness(stated[0]) if stated else "not stated"

    convention = vitamin_a_of(Ration.joined((), Profiles()), taxon).convention
    return Gauge(
        VITAMIN_A, SPECIAL[VITAMIN_A], "µg", micrograms, states, weakness, density, "µg/kg",
        note=f"{convention}; 1 IU is 0.3 µg of retinol",
    )  # fmt: skip


def _nutrient(key: str) -> Gauge:
    nutrient = nutrients()[key]

    def amount(ration: Ration) -> Interval:
        return ration.total(key)

    def density(ration: Ration) -> Interval:
        return ration.density(key) * factor

    if nutrient.unit == "g":
        factor, unit = _HUNDRED, "%"
    elif nutrient.unit in IN_UNIT:
        factor, unit = Decimal(1000) * IN_UNIT[nutrient.unit], f"{nutrient.unit}/kg"
    else:
        factor, unit = Decimal(1000), f"{nutrient.unit}/kg"
    return Gauge(
        key,
        nutrient.title,
        nutrient.unit,
        amount,
        lambda profile: profile.states(key),
        lambda profile: profile.weakness(key),
        None if key in ("dry_matter", "water") else density,
        unit,
        is_bounded=key in _BOUNDED,
        note=nutrient.note,
    )
