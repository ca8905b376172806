"""Treats as each quantity of the limit table counts them, for one animal."""

from collections.abc import Callable, Hashable, Iterator, Mapping
from decimal import Decimal

from msgspec import Struct, field

from dietcheck.contract import (
    UNKNOWN,
    Animal,
    Diet,
    EnergyMethod,
    Figure,
    Interval,
    Limit,
    PlannedDay,
    Ration,
    TreatLedger,
    Treats,
    When,
    energy_method,
    energy_of,
    exact,
    excess,
    share_of,
)

LONGEST = 14  # days of the longest run, apart from a whole rota
SPANS = {"day": 1, "7 days": 7, "14 days": LONGEST}
PUBLIC = frozenset({"public feed"})
PURPOSES: Mapping[str, frozenset[str] | None] = {
    "treat-share": None,
    "treat-amount": None,
    "treat-sugars": None,
    "treat-sugar-share": None,
    "fruit-treats": None,
    "public-feed-share": PUBLIC,
    "public-feed-amount": PUBLIC,
}
"""The quantities that are judged, each with the purposes it counts; None: all."""
QUANTITIES = tuple(PURPOSES)

_SHARES = {"energy", "as fed", "dry matter", "unstated"}
_PER = {("g/animal", "animal"), ("g/kg", "body mass")}
_TIMES = {("feeds", "count"), ("times", "count"), ("days", "count")}
UNITS: Mapping[str, frozenset[tuple[str, str]]] = {
    "treat-share": frozenset(("%", basis) for basis in _SHARES),
    "public-feed-share": frozenset(("%", basis) for basis in _SHARES),
    "treat-sugar-share": frozenset({("%", "unstated")}),
    "treat-amount": frozenset(_PER),
    "public-feed-amount": frozenset(_PER),
    "treat-sugars": frozenset(_PER),
    "fruit-treats": frozenset(_TIMES),
}


class Reading(Struct, frozen=True, eq=False):
    """A figure with the treats it was worked out from."""

    figure: Figure
    treats: Treats


class _Parted(Struct, eq=False):
    """The days of animals that are fed alike, parted into treats and the rest, each run once."""

    diet: Diet
    first: Animal
    _ledgers: dict[frozenset[str] | None, TreatLedger] = field(default_factory=dict)
    _runs: dict[tuple[frozenset[str] | None, str], list[tuple[tuple[PlannedDay, ...], Treats]]] = (
        field(default_factory=dict)
    )

    def runs(self, limit: Limit) -> list[tuple[tuple[PlannedDay, ...], Treats]]:
        """Every run of days of the limit's length, with its treats; without treats only one."""
        purposes = PURPOSES[limit.quantity]
        key = purposes, limit.over
        if key not in self._runs:
            ledger = self._ledgers.setdefault(
                purposes, TreatLedger(self.diet, self.first, purposes)
            )
            days = list(self._days(SPANS.get(limit.over, self.diet.settings.rota_days)))
            # Of runs of the same days in another order one is enough: the latest.
            differing = {ledger.bag(run): run for run in days if ledger.has_any(run)}
            given = list(differing.values()) or days[:1]
            self._runs[key] = [(run, ledger.over(run)) for run in given]
        return self._runs[key]

    def _days(self, span: int) -> Iterator[tuple[PlannedDay, ...]]:
        if span > 1:
            for window in self.diet.windows(self.first, span, past=True):
                yield window.days
            return
        for day in self.diet.days:
            if self.first.is_here(day.on):
                yield (day,)


class Ledger(Struct, frozen=True, eq=False):
    """The treats of one animal, asked for one quantity after the other."""

    diet: Diet
    animal: Animal
    method: EnergyMethod
    _parted: _Parted

    @classmethod
    def of_group(cls, diet: Diet) -> Mapping[Animal, "Ledger"]:
        """The ledger of every animal; those fed alike share what is reckoned."""
        method = energy_method(diet.group.taxon)
        alike: dict[Hashable, _Parted] = {}
        days = (*diet.days_before(LONGEST - 1), *diet.days)
        found = {}
        for animal in diet.animals:
            # Animals that are fed alike have the very same rations.
            key = tuple(id(diet.day_ration(animal, day)) for day in days)
            parted = alike.setdefault(key, _Parted(diet, animal))
            found[animal] = cls(diet, animal, method, parted)
        return found

    def readings(self, limit: Limit) -> Iterator[Reading]:
        """The figure of each run of days, and when the treats in it are given."""
        for days, treats in self._parted.runs(limit):
            value = MEASURES[limit.quantity](self, treats, limit)
            whens = tuple(
                dict.fromkeys(When(o.on, o.number, o.slot, o.meal) for o, _ in treats.givings)
            )
            yield Reading(
                Figure(self.animal, value, whens or (When(days[0].on, days[0].number),)), treats
            )

    def mass(self) -> Interval | None:
        """The current body mass in kg."""
        mass = self.diet.mass_of(self.animal)
        return None if mass is None else mass / 1000


def _share(ledger: Ledger, treats: Treats, limit: Limit) -> Interval:
    """Treats in per cent of all that is offered."""
    size = size_of(limit.basis, ledger.method)
    return share_of(size(treats.given), size(treats.rest)) * 100


def size_of(basis: str, method: EnergyMethod) -> Callable[[Ration], Interval]:
    """How a ration is measured on a basis: kcal, or grams."""
    if basis == "energy":
        return lambda ration: energy_of(ration, method)
    if basis == "dry matter":
        return lambda ration: ration.total("dry_matter")
    return Ration.grams


def _sugar_share(_: Ledger, treats: Treats, __: Limit) -> Interval:
    """The sugar of treats in per cent of all sugar that is offered."""
    return share_of(treats.given.total("sugars"), treats.rest.total("sugars")) * 100


def _amount(ledger: Ledger, treats: Treats, limit: Limit) -> Interval:
    """Grams of treats a day as fed, for the animal or per kg of its mass."""
    return _per(ledger, limit, treats.given.per_day(treats.given.grams()))


def _sugars(ledger: Ledger, treats: Treats, limit: Limit) -> Interval:
    """Grams of sugar from treats a day, for the animal or per kg of its mass."""
    return _per(ledger, limit, treats.given.per_day(treats.given.total("sugars")))


def _fruit(_: Ledger, treats: Treats, limit: Limit) -> Interval:
    """How many feeds, or days, bring fruit as a treat."""
    feeds = {(occasion.on, occasion.slot) for occasion, _ in treats.fruit}
    return exact(Decimal(len({on for on, _ in feeds}) if limit.unit == "days" else len(feeds)))


def _per(ledger: Ledger, limit: Limit, grams: Interval) -> Interval:
    if limit.basis == "animal":
        return grams
    mass = ledger.mass()
    if mass is None:
        return UNKNOWN if grams.high else grams
    return grams / mass


MEASURES: Mapping[str, Callable[[Ledger, Treats, Limit], Interval]] = {
    "treat-share": _share,
    "public-feed-share": _share,
    "treat-sugar-share": _sugar_share,
    "treat-amount": _amount,
    "public-feed-amount": _amount,
    "treat-sugars": _sugars,
    "fruit-treats": _fruit,
}


def can_judge(limit: Limit) -> bool:
    """Whether treats can be counted in the limit's unit and over its span."""
    known = (limit.unit, limit.basis) in UNITS[limit.quantity]
    return known and limit.over in (*SPANS, "rota")


def worst_readings(ledger: Ledger, limit: Limit) -> list[Reading]:
    """The animal's readings past the limit; else those across it; else the one nearest to it."""
    standing: dict[str, list[Reading]] = {}
    for reading in ledger.readings(limit):
        standing.setdefault(limit.stands(reading.figure.value), []).append(reading)
    if trouble := standing.get("past") or standing.get("across"):
        return trouble
    kept = standing.get("inside")
    return [max(kept, key=lambda reading: excess(reading.figure.value, limit))] if kept else []
