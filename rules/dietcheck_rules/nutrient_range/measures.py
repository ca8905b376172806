"""What 100 g of a food hold of each quantity that a requirement table speaks of.

Most quantities are one nutrient of the food tables. The others are made here: vitamin A by the
taxon's own convention, vitamin E in IU or mg, fibre of an unnamed measure, nitrogen, energy shares.
"""

from collections.abc import Callable, Hashable, Mapping
from decimal import Decimal
from functools import cache

from msgspec import Struct

from dietcheck.contract import (
    ZERO,
    Food,
    Interval,
    Profile,
    Profiles,
    Ration,
    Taxon,
    energy_method,
    energy_per_100g,
    exact,
    files,
    read_trusted,
    vitamin_a_of,
)

HUNDRED = exact(100)
NITROGEN_IN_PROTEIN = Decimal("6.25")  # protein is nitrogen times 6.25, as the facts print it
RETINOL_PER_IU = Decimal("0.3")  # µg; NRC2003 p.113
# IU in 1 mg of vitamin E: 1 for the synthetic acetate, 1.49 for natural alpha-tocopherol (USP
# units, from memory). Which of them a food holds is rarely printed, so a range.
IU_PER_MG_E = Interval(Decimal("1"), Decimal("1.49"))
MG_PER_IU_E = Interval(Decimal("0.67"), Decimal("1"))
# kcal a gram where a taxon has no factors of its own: modified Atwater, SACN5 p.1191.
FACTORS = {"protein": Decimal("3.5"), "fat": Decimal("8.5"), "carbohydrate": Decimal("3.5")}
STATED_BY: Mapping[str, tuple[str, ...]] = {
    "any fibre": ("crude_fibre", "fibre"),
    "vitamin A": ("vitamin_a_rae", "vitamin_a"),
    "vitamin E": ("vitamin_e", "vitamin_e_iu"),
    "energy": ("energy", "energy_kj", "protein"),
}


class Gauge(Struct, frozen=True):
    """How one quantity is counted: `unit` of `nutrient` in 100 g, or by the method `how`."""

    quantity: str
    title: str
    nutrient: str
    unit: str
    how: str = ""

    @property
    def is_energy_share(self) -> bool:
        """Whether it is a share of the energy and not an amount."""
        return self.how == "energy share"


@cache
def gauges() -> Mapping[str, tuple[Gauge, ...]]:
    """The gauges of every quantity, in the order of the table."""
    found: dict[str, tuple[Gauge, ...]] = {}
    data = read_trusted((files(__package__) / "measures.yaml").read_bytes())
    for row in data["measures"]:
        gauge = Gauge(**row)
        found[gauge.quantity] = (*found.get(gauge.quantity, ()), gauge)
    return found


def gauge_for(quantity: str, unit: str) -> Gauge | None:
    """The gauge whose unit can meet the limit's, such as `IU/kg`; None if there is none."""
    in_iu = unit.startswith("IU")
    for gauge in gauges().get(quantity, ()):
        if (gauge.unit == "IU") == in_iu:
            return gauge
    return None


def content(
    food: Food, gauge: Gauge, profiles: Profiles, taxon: Taxon, *, ceiling: bool
) -> Interval:
    """The amount in 100 g as fed, in the gauge's unit; of an energy share the kcal it brings.

    For a ceiling only ready-made vitamin A counts: carotenoids do no harm of that kind.
    """
    if not gauge.how:
        return profiles[food].per_100g(gauge.nutrient)
    profile = profiles[food]
    key: Hashable = ("nutrient-range", gauge, ceiling, taxon.scientific_name)
    if key not in profile.derived:
        profile.derived[key] = _made(profile, gauge, profiles, taxon, ceiling)
    return profile.derived[key]


def rest_of_energy(food: Food, gauge: Gauge, profiles: Profiles, taxon: Taxon) -> Interval:
    """The kcal in 100 g that come from anything else than the gauge's nutrient."""
    others = (g for name in FACTORS if name != gauge.nutrient for g in _share_gauges(name))
    return sum((content(food, g, profiles, taxon, ceiling=False) for g in others), ZERO)


def states(food: Food, gauge: Gauge, profiles: Profiles) -> bool:
    """Whether the label, the analysis or the table says anything of it; a mix if all parts do."""
    if food.mix:
        return all(states(part, gauge, profiles) for part, _ in food.mix)
    if gauge.is_energy_share:
        return all(profiles[food].states(key) for key in ("protein", "fat"))
    return any(map(profiles[food].states, STATED_BY.get(gauge.how, (gauge.nutrient,))))


def _share_gauges(nutrient: str) -> tuple[Gauge, ...]:
    return gauges()[f"energy-from-{nutrient}"]


def _made(
    profile: Profile, gauge: Gauge, profiles: Profiles, taxon: Taxon, ceiling: bool
) -> Interval:
    food = profile.food
    if food.mix:
        parts = (
            content(part, gauge, profiles, taxon, ceiling=ceiling) * share
            for part, share in food.mix
        )
        return sum(parts, ZERO)
    match gauge.how:
        case "vitamin A" if ceiling:
            made = _ready_made_vitamin_a(profile)
            return made / RETINOL_PER_IU if gauge.unit == "IU" else made
        case "vitamin A":
            activity = vitamin_a_of(Ration({food: HUNDRED}, 1, profiles), taxon)
            return activity.iu if gauge.unit == "IU" else activity.micrograms
        case "energy":
            return energy_per_100g(profile, energy_method(taxon))
        case "energy share":
            factor = (energy_method(taxon).factors or tuple(FACTORS.values()))[
                list(FACTORS).index(gauge.nutrient)
            ]
            grams = profile.per_100g(gauge.nutrient)
            return (_digestible(profile) if gauge.nutrient == "carbohydrate" else grams) * factor
        case how:
            return _OF_ONE_FOOD[how](profile, gauge)


def _ready_made_vitamin_a(profile: Profile) -> Interval:
    """µg of retinol in 100 g. What a label prints in IU was added, and counts whole."""
    if profile.states("retinol"):
        return profile.per_100g("retinol")
    if profile.states("vitamin_a"):
        return profile.per_100g("vitamin_a") * RETINOL_PER_IU
    if profile.states("vitamin_a_rae"):
        return Interval(Decimal(0), profile.per_100g("vitamin_a_rae").high)
    return profile.per_100g("retinol")


def _digestible(profile: Profile) -> Interval:
    """Carbohydrate without fibre at the low end and with it at the high end: no source says."""
    whole, fibre = profile.per_100g("carbohydrate"), ZERO
    for key in ("fibre", "crude_fibre"):
        if profile.states(key):
            fibre = profile.per_100g(key)
            break
    return Interval(max(whole.low - fibre.high, Decimal(0)), whole.high)


def _any_fibre(profile: Profile, _: Gauge) -> Interval:
    """From crude fibre, the lowest reading, to dietary fibre or NDF, the highest."""
    found = profile.per_100g("crude_fibre").hull(profile.per_100g("fibre"))
    return found.hull(profile.per_100g("ndf")) if profile.states("ndf") else found


def _vitamin_e(profile: Profile, gauge: Gauge) -> Interval:
    if profile.states(gauge.nutrient):
        return profile.per_100g(gauge.nutrient)
    if gauge.unit == "IU":
        return profile.per_100g("vitamin_e") * IU_PER_MG_E
    return profile.per_100g("vitamin_e_iu") * MG_PER_IU_E


def _at_least(profile: Profile, gauge: Gauge) -> Interval:
    """A nutrient of which the tables hold only one form: that much, or more."""
    return Interval(profile.per_100g(gauge.nutrient).low, Decimal("Infinity"))


def _unsaturated(profile: Profile, _: Gauge) -> Interval:
    return profile.per_100g("mufa") + profile.per_100g("pufa")


def _nitrogen(profile: Profile, gauge: Gauge) -> Interval:
    return profile.per_100g(gauge.nutrient) / NITROGEN_IN_PROTEIN


_OF_ONE_FOOD: Mapping[str, Callable[[Profile, Gauge], Interval]] = {
    "any fibre": _any_fibre,
    "vitamin E": _vitamin_e,
    "at least": _at_least,
    "unsaturated": _unsaturated,
    "nitrogen": _nitrogen,
}
