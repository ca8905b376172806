"""Which floors and ceilings a requirement table puts on a group, each a limit with one side."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from functools import lru_cache
from weakref import WeakKeyDictionary

from msgspec import Struct
from msgspec.structs import replace

from dietcheck.contract import Bound, Diet, Limit, Limits, QuantityError, Severity, Standing
from dietcheck_rules.nutrient_range.measures import Gauge, gauge_for, gauges
from dietcheck_rules.shared.levels.words import bound_words, limit_words, standing_words

ABSENCE = "nutrient-requirements"  # a source that says there is nothing for a taxon
SPANS = ("rota", "7 days", "day")
BASES = ("dry matter", "unstated", "as fed", "energy", "body mass", "metabolic body mass", "animal")
# Where the tables have nothing for a stage, the stage whose floors still hold as the least.
AT_LEAST_AS = {
    "geriatric": "adult",
    "pregnant": "adult",
    "lactating": "adult",
    "growing": "adult",
    "juvenile": "adult",
}
# Groups of one species are held to the same rows.
_known: WeakKeyDictionary[Limits, dict[tuple[str, str, str | None], tuple[Demand, ...]]]
_known = WeakKeyDictionary()


class Demand(Struct, frozen=True):
    """A limit cut to its floor or its ceiling. `gauge` None: it cannot be counted."""

    limit: Limit
    gauge: Gauge | None
    times: Decimal  # from the gauge's unit per g, kcal, kg or animal to the limit's own unit
    others: tuple[Limit, ...] = ()
    bound: str = ""  # the limit in words, with what it stands on

    @property
    def title(self) -> str:
        """The quantity in words."""
        return self.gauge.title if self.gauge else self.limit.quantity

    @property
    def is_ceiling(self) -> bool:
        """Whether it is the upper end."""
        return self.limit.at_most is not None


def demands(diet: Diet, limits: Limits, stage: str | None) -> tuple[Demand, ...]:
    """Every floor and ceiling for the group at a life stage, in the order of the measures."""
    known = _known.setdefault(limits, {})
    own = diet.group.id if diet.group.id in _groups(limits) else ""
    key = (diet.group.taxon.scientific_name, own, stage)
    if key not in known:
        known[key] = tuple(_demands(diet, limits, stage))
    return known[key]


@lru_cache(8)
def _groups(limits: Limits) -> frozenset[str | None]:
    """The groups that the site has set a limit for."""
    return frozenset(row.group for row in limits.rows)


def _demands(diet: Diet, limits: Limits, stage: str | None) -> list[Demand]:
    found: list[Demand] = []
    for quantity in gauges():
        own = [*_of_quantity(diet, limits, quantity, stage)]
        if not own and stage in AT_LEAST_AS:
            adult = _of_quantity(diet, limits, quantity, AT_LEAST_AS[stage])
            own = [one for one in adult if stage == "geriatric" or not one.is_ceiling]
        found += own
    if stage == "infant":  # the tables are for weaned animals; a site may say otherwise
        return [one for one in found if one.limit.standing is Standing.SITE_RULE]
    return found


def absence(diet: Diet, limits: Limits) -> Limit | None:
    """The row that says a source was looked at and holds nothing for the group."""
    found = [
        applied.limit
        for quantity in (ABSENCE, "vitamin-levels", "fibre")
        if (applied := limits.applying(diet.group, quantity)) and applied.limit.standing.is_absence
    ]
    return found[0] if found else None


def _of_quantity(diet: Diet, limits: Limits, quantity: str, stage: str | None) -> Iterator[Demand]:
    for rows in _side_by_side(diet, limits, quantity, stage):
        yield from _both_ends(diet, limits, rows)


def _side_by_side(
    diet: Diet, limits: Limits, quantity: str, stage: str | None
) -> Iterator[list[Limit]]:
    """The rows of the most specific taxon, those of one unit, basis and span together."""
    found: dict[tuple[str, str, str], list[Limit]] = {}
    for applied in limits.each(diet.group, quantity, stage=stage):
        rows = found.setdefault((applied.limit.unit, applied.limit.basis, applied.limit.over), [])
        rows += [row for row in (applied.limit, *applied.others) if row not in rows]
    yield from found.values()


def _both_ends(diet: Diet, limits: Limits, rows: list[Limit]) -> Iterator[Demand]:
    floors = [(row.at_least, row) for row in rows if row.at_least is not None]
    ceilings = [(row.at_most, row) for row in rows if row.at_most is not None]
    if floors:
        _, row = max(floors, key=lambda one: one[0])
        yield _demand(diet, limits, replace(row, at_most=None), row, rows)
    if ceilings:
        _, row = min(ceilings, key=lambda one: one[0])
        # The upper end of a printed range ends what is recommended; harm begins somewhere above.
        milder = row.at_least is not None and row.standing is Standing.PUBLISHED
        severity = Severity.LOW.value if milder else row.severity
        yield _demand(diet, limits, replace(row, at_least=None, severity=severity), row, rows)


def _demand(diet: Diet, limits: Limits, side: Limit, whole: Limit, rows: list[Limit]) -> Demand:
    gauge = gauge_for(side.quantity, side.unit)
    times = _times(side, gauge) if gauge else None
    if side.over not in SPANS or side.basis not in BASES or times is None:
        return Demand(side, None, Decimal("0"), bound=bound_words(side))
    analogy = _is_analogy(diet, limits, whole)
    if analogy:
        side = replace(side, severity=Severity.LOW.value)
    others = tuple(row for row in rows if row is not whole)
    said = standing_words(side) + ("; an analogy, nothing is known of this family" * analogy)
    return Demand(side, gauge, times, others, f"{limit_words(side)} ({said})")


def _is_analogy(diet: Diet, limits: Limits, row: Limit) -> bool:
    """Whether a source says of a narrower taxon that it has no usable figures for it."""
    none = limits.applying(diet.group, ABSENCE)
    if none is None or not none.limit.standing.is_absence:
        return False
    if row.standing is not Standing.PUBLISHED:
        return False
    taxon = diet.group.taxon
    return taxon.rank_distance(none.limit.taxon) < taxon.rank_distance(row.taxon)


def _times(limit: Limit, gauge: Gauge) -> Decimal | None:
    """From the gauge's unit to the limit's; None where the two cannot meet."""
    if gauge.is_energy_share:
        return Decimal(100) if (limit.unit, limit.basis) == ("%", "energy") else None
    if limit.unit == "%" and limit.basis == "energy":
        return None
    try:
        return 1 / Bound(Decimal(1), limit.unit, limit.basis).amount(gauge.unit)  # type: ignore[arg-type]
    except (QuantityError, KeyError):
        return None
