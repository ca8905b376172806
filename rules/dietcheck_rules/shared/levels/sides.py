"""Floors and ceilings apart: each has its own most specific rows and its own strictest one."""

from collections.abc import Iterable
from functools import lru_cache
from typing import Literal

from msgspec.structs import replace

from dietcheck.contract import Applied, Diet, Limit, Limits, Standing

Side = Literal["floor", "ceiling"]
# Where a source has nothing for a stage, the stage whose figures still hold as the least.
_ALSO = {
    "geriatric": "adult",
    "pregnant": "adult",
    "lactating": "adult",
    "juvenile": "growing",
}


@lru_cache(maxsize=32)
def sides(limits: Limits, unsourced: Side) -> tuple[Limits, Limits]:
    """The floors and the ceilings of some limits. A row that only says that no figure is known
    stands with `unsourced`."""
    floors = [replace(row, at_most=None) for row in limits.rows if row.at_least is not None]
    ceilings = [replace(row, at_least=None) for row in limits.rows if row.at_most is not None]
    absent = [row for row in limits.rows if row.standing.is_absence]
    (floors if unsourced == "floor" else ceilings).extend(absent)
    return Limits(floors), Limits(ceilings)


def applying(limits: Limits, diet: Diet, quantity: str, stage: str | None) -> list[Applied]:
    """The limits that apply at a stage of life, side by side for each basis and span.

    A row without a stage is for weaned animals: an infant is held only against rows for infants
    or for all stages, and against the site's own.
    """
    found = [a for a in limits.each(diet.group, quantity, stage=stage) if _fits(a.limit, stage)]
    if not found and stage in _ALSO:
        found = list(limits.each(diet.group, quantity, stage=_ALSO[stage]))
    return found


def gravest_broken(applied: Applied, broken: Iterable[Limit]) -> Limit:
    """Of the limits a figure is past, the gravest; the one applied where it is as grave as any."""
    order = ("high", "medium", "low")
    return min((applied.limit, *broken), key=lambda limit: order.index(limit.severity))


def _fits(limit: Limit, stage: str | None) -> bool:
    if stage != "infant" or limit.standing is Standing.SITE_RULE:
        return True
    return limit.stage in ("infant", "all")
