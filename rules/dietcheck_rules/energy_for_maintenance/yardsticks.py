"""What an animal of a taxon, stage and mass is held against, in kcal a day."""

from decimal import Decimal
from functools import lru_cache

from msgspec import Struct

from dietcheck.contract import (
    EnergyNeed,
    Interval,
    Limit,
    Limits,
    SourceRef,
    Standing,
    Taxon,
    energy_needs,
    need_span,
)

SPAN = "energy"  # formulas of the taxon's own family or nearer, printed as ranges
AROUND = "energy-around"  # one figure for a whole order or a stage: only far from it is a finding
FAR = "energy-far-outside"
PLAUSIBLE = "energy-plausible"


class Yardstick(Struct, frozen=True):
    """From `least` to `most` kcal a day, by the formulas in `needs`; None: open on that side.

    `far_below` and `far_above` are where an offer looks like a slip, where there is such a step.
    """

    kind: str
    least: Decimal | None
    most: Decimal | None
    needs: tuple[EnergyNeed, ...]
    limit: Limit
    rows: tuple[Limit, ...]
    far: Limit | None = None
    far_below: Decimal | None = None
    far_above: Decimal | None = None

    def stands(self, kcal: Interval) -> str:
        """Whether an offer is `inside`, `past` or `across` the yardstick."""
        return kcal.stands(at_least=self.least, at_most=self.most)


@lru_cache(512)
def yardstick(limits: Limits, taxon: Taxon, stage: str | None, mass: Interval) -> Yardstick | None:
    """The yardstick of a body mass in grams; None where no formula fits."""
    needs = [
        need
        for need in energy_needs(taxon, stage, mass)
        if not need.row.condition and need.kind != "doubtful"
    ]
    for kind in (SPAN, AROUND):
        rows = {row.id.split("-")[0]: row for row in limits.rows if row.quantity == kind}
        fitting = tuple(need for need in needs if need.row.id.lower() in rows)
        if fitting:
            return _published(limits, kind, fitting, tuple(_of(rows, need) for need in fitting))
    return _plausible(limits, needs)


def _of(rows: dict[str, Limit], need: EnergyNeed) -> Limit:
    return rows[need.row.id.lower()]


def _published(
    limits: Limits, kind: str, needs: tuple[EnergyNeed, ...], rows: tuple[Limit, ...]
) -> Yardstick:
    figures = [need.per_day for need in needs]
    least, most = min(one.low for one in figures), max(one.high for one in figures)
    far = row_of(limits, FAR)
    below = _times(least, far.at_least) if far else None
    above = _times(most, far.at_most) if far else None
    if kind == AROUND:
        limit = _limit(kind, rows, below, above)
        return Yardstick(kind, below, above, needs, limit, rows)
    limit = _limit(kind, rows, least, most)
    return Yardstick(kind, least, most, needs, limit, rows, far, below, above)


def _plausible(limits: Limits, needs: list[EnergyNeed]) -> Yardstick | None:
    row = row_of(limits, PLAUSIBLE)
    basal, field = need_span(needs, "basal"), need_span(needs, "field")
    least = _times(basal.low, row.at_least) if row and basal else None
    most = _times(field.high, row.at_most) if row and field else None
    if row is None or (least, most) == (None, None):
        return None
    if least is not None and most is not None and least > most:
        # The two curves cross at a mass that only a slip of the pen gives.
        least, most = most, least
    of_kind = tuple(need for need in needs if need.measure in ("basal", "field"))
    return Yardstick(
        PLAUSIBLE, least, most, of_kind, _limit(PLAUSIBLE, (row,), least, most), (row,)
    )


def row_of(limits: Limits, quantity: str) -> Limit | None:
    """The row of the rule's table that holds for all taxa."""
    return next((row for row in limits.rows if row.quantity == quantity), None)


def _times(kcal: Decimal, factor: Decimal | None) -> Decimal | None:
    return None if factor is None else kcal * factor


def _limit(
    kind: str, rows: tuple[Limit, ...], least: Decimal | None, most: Decimal | None
) -> Limit:
    """The span of several rows as one limit for one animal, with all their sources.

    It goes by the id of the most specific row, the one that a list of limits shows as applying.
    """
    first = rows[0]
    sources: dict[SourceRef, None] = {}
    for row in rows:
        sources.update(dict.fromkeys(row.sources))
    order = ("searched", "memory", "reprint", "abstract", "original", "")
    published = kind == SPAN
    return Limit(
        id=first.id,
        quantity=kind,
        taxon=first.taxon,
        unit="kcal/animal",
        basis="animal",
        over="rota",
        severity="low",
        standing=Standing.PUBLISHED if published else Standing.COMMON_PRACTICE,
        at_least=least,
        at_most=most,
        stage=first.stage,
        evidence=first.evidence,
        seen=min((row.seen for row in rows), key=order.index),
        sources=tuple(sources),
        note="; ".join(row.note for row in rows if row.note),
    )
