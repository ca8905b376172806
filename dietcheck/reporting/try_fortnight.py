"""What is left of a fortnight's allowance of treats once a draft is given."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import ROUND_FLOOR, Context, Decimal

from msgspec import Struct

from dietcheck.collection.animals import Animal
from dietcheck.collection.foods import Food
from dietcheck.nutrition.diet import Diet
from dietcheck.nutrition.energy import energy_method, energy_of, energy_per_100g
from dietcheck.nutrition.plan import PlannedDay
from dietcheck.nutrition.shares import share_of
from dietcheck.nutrition.treats import TreatLedger
from dietcheck.quantities import Interval, exact
from dietcheck.screening.limits import Limit, Limits
from dietcheck.screening.report import Report

DAYS = 14
QUANTITY, BASIS, OVER = "treat-share", "energy", "14 days"
_ROUGH = Context(prec=2, rounding=ROUND_FLOOR)


class Fortnight(Struct, frozen=True):
    """The fortnight around a day in which treats are most: their share of the energy, in per cent.

    `left` is what may still be given in it within the limit, in kcal, by the worst figures; below
    zero: how much too much it is; None: cannot be told. `fruit_feeds` bring fruit as a treat.
    `food` is the draft's own food and `grams` what `left` is of it.
    """

    first: date
    last: date
    before: Interval | None
    after: Interval
    limit: Limit
    left: Decimal | None
    fruit_feeds: int
    food: Food | None = None
    grams: Decimal | None = None


def fortnight_of(
    report: Report, was: Diet | None, diet: Diet, animal: Animal, day: date, food: Food | None
) -> Fortnight | None:
    """The fortnight of an animal; None where no limit on treats speaks of one."""
    limit = _limit(report, diet, animal)
    if limit is None or limit.at_most is None:
        return None
    ledger = TreatLedger(diet, animal)
    runs = [run for run in _runs(diet, animal) if any(one.on == day for one in run)]
    if not runs:
        return None
    run = max(runs, key=lambda one: _share(diet, ledger, one).high)
    after = _share(diet, ledger, run)
    left = _left(diet, ledger, run, limit.at_most)
    return Fortnight(
        first=run[0].on,
        last=run[-1].on,
        before=_before(was, animal, run),
        after=after,
        limit=limit,
        left=left,
        fruit_feeds=len({(occasion.on, occasion.slot) for occasion, _ in ledger.over(run).fruit}),
        food=food,
        grams=_grams(diet, food, left),
    )


def _limit(report: Report, diet: Diet, animal: Animal) -> Limit | None:
    limits = Limits(row for rows in report.limits.values() for row in rows)
    for applied in limits.each(diet.group, QUANTITY, stage=animal.stage):
        if (applied.limit.basis, applied.limit.over) == (BASIS, OVER):
            return applied.limit
    return None


def _runs(diet: Diet, animal: Animal) -> Iterator[tuple[PlannedDay, ...]]:
    return (window.days for window in diet.windows(animal, DAYS, past=True))


def _share(diet: Diet, ledger: TreatLedger, run: tuple[PlannedDay, ...]) -> Interval:
    given, rest = _energies(diet, ledger, run)
    return share_of(given, rest) * exact(100)


def _energies(
    diet: Diet, ledger: TreatLedger, run: tuple[PlannedDay, ...]
) -> tuple[Interval, Interval]:
    method = energy_method(diet.group.taxon)
    treats = ledger.over(run)
    return energy_of(treats.given, method), energy_of(treats.rest, method)


def _before(was: Diet | None, animal: Animal, run: tuple[PlannedDay, ...]) -> Interval | None:
    """The same dates without the draft."""
    known = next((a for a in was.animals if a.id == animal.id), None) if was else None
    if was is None or known is None:
        return None
    return _share(was, TreatLedger(was, known), tuple(was.day(day.on) for day in run))


def _left(
    diet: Diet, ledger: TreatLedger, run: tuple[PlannedDay, ...], at_most: Decimal
) -> Decimal | None:
    """What may be added before the share is reached, if all of it comes on top: in kcal."""
    given, rest = _energies(diet, ledger, run)
    if at_most >= 100 or not given.high.is_finite():
        return None
    return at_most / (100 - at_most) * rest.low - given.high


def _grams(diet: Diet, food: Food | None, left: Decimal | None) -> Decimal | None:
    if food is None or left is None or left <= 0:
        return None
    densest = energy_per_100g(diet.profiles[food], energy_method(diet.group.taxon)).high
    if not densest.is_finite() or not densest:
        return None
    return _ROUGH.divide(left * 100, densest)
