"""The figures behind a group's pictures: sugar, energy, fruit and treats of one animal, by day."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import ROUND_CEILING, ROUND_FLOOR, Context

from dietcheck.nutrition.diet import Diet
from dietcheck.nutrition.energy import energy_method
from dietcheck.nutrition.energy_need import energy_needs, need_span
from dietcheck.nutrition.gauges import AS_FED, ENERGY, gauge_keys, gauges
from dietcheck.nutrition.plan import PlannedDay
from dietcheck.nutrition.rations import Ration
from dietcheck.nutrition.shares import class_share, share_of
from dietcheck.nutrition.treats import TreatLedger
from dietcheck.quantities import ZERO, Interval, format_interval
from dietcheck.reporting import words
from dietcheck.reporting.html.pictures.calendar import Strip
from dietcheck.screening.findings import Finding
from dietcheck.screening.limits import Limit, Limits, Standing
from dietcheck.screening.report import Report

Known = dict[str, Limits]
_DOWN, _UP = (Context(prec=3, rounding=way) for way in (ROUND_FLOOR, ROUND_CEILING))
_DRY, _ENERGY, _AS_FED = "dry matter", "energy", "as fed"
_SHARE_OF = {_DRY: "% of dry matter", _ENERGY: "% of energy", _AS_FED: "% as fed"}
_FRUIT = frozenset({"fruit", "dried fruit", "fruit juice"})  # cultivated; wild fruit is browse


class Fortnight:
    """The days that are shown of a group, as one animal is fed on them."""

    def __init__(self, diet: Diet, findings: Sequence[Finding], limits: Limits) -> None:
        self.diet = diet
        self._limits = limits
        named = [name for finding in findings for name in finding.check.animals]
        by_name = {animal.id: animal for animal in diet.animals}
        told = next((by_name[name] for name in named if name in by_name), None)
        self.animal = told or next(iter(diet.animals), None)
        self.days = tuple(self._days(findings))

    def sugar(self) -> Strip:
        """Sugars a day: on the basis of the limit, for each kg of body mass, or in grams."""
        mass = self.diet.mass_of(self.animal) if self.animal else None
        limit = self._limit("sugars", "body mass", ("day",))
        share = self._limit("sugars", "dry matter", ("day", "7 days", "rota"))
        if share is not None and (limit is None or mass is None):
            shares = [r.density("sugars") * 100 if r.grams_of else ZERO for r in self._rations()]
            return self._strip("Sugar", "% of dry matter", shares, share)
        figures = [ration.total("sugars") for ration in self._rations()]
        if mass is None:
            return self._strip("Sugar", "g a day", figures, None)
        kilos = mass / 1000
        per_kg = [figure / kilos for figure in figures]
        return self._strip("Sugar", "g per kg body mass", per_kg, limit)

    def energy(self) -> Strip:
        """Energy a day with the published span for keeping the animal as it is."""
        gauge = gauges([ENERGY], self.diet.group.taxon)[0]
        figures = [gauge.a_day(ration) for ration in self._rations()]
        mass = self.diet.mass_of(self.animal) if self.animal else None
        strip = self._strip("Energy", "kcal a day", figures, None, "no published need fits")
        if self.animal is None or mass is None:
            return strip
        needs = list(energy_needs(self.diet.group.taxon, self.animal.stage, mass))
        span = need_span(needs, "maintenance")
        if span is None:
            return strip
        return Strip(
            strip.title,
            strip.unit,
            strip.numbers,
            strip.figures,
            _DOWN.plus(span.low),
            _UP.plus(span.high),
            f"published for maintenance: {format_interval(span, 'kcal a day')}",
        )

    def fruit(self) -> Strip:
        """Cultivated fruit as a share of the day's food: on the basis of the limit, or as fed."""
        limit = self._limit("fruit-share", None, ("day", "rota"))
        of = limit.basis if limit is not None and limit.basis in (_DRY, _ENERGY) else _AS_FED
        method = energy_method(self.diet.group.taxon)
        key = "dry_matter" if of == _DRY else method if of == _ENERGY else None
        figures = [
            class_share(ration, _FRUIT, key) * 100 if ration.grams_of else ZERO
            for ration in self._rations()
        ]
        return self._strip("Fruit", _SHARE_OF[of], figures, limit)

    def treats(self) -> Strip:
        """What is flagged as a treat, a share of the day's food on the basis of the limit."""
        limit = self._limit("treat-share", None, ("day", "rota"))
        of = limit.basis if limit is not None and limit.basis in (_DRY, _ENERGY) else _AS_FED
        key = {_DRY: "dry_matter", _ENERGY: ENERGY, _AS_FED: AS_FED}[of]
        gauge = gauges([key], self.diet.group.taxon)[0]
        figures: list[Interval] = []
        if self.animal is not None:
            ledger = TreatLedger(self.diet, self.animal)
            parted = [ledger.over([day]) for day in self.days]
            figures = [
                share_of(gauge.total(one.given), gauge.total(one.rest)) * 100 for one in parted
            ]
        return self._strip("Treats", _SHARE_OF[of], figures, limit)

    def parts(self, finding: Finding | None) -> tuple[str, str, list[tuple[str, Interval]]] | None:
        """What the foods bring on the worst day of a finding's figure: title, unit, amounts."""
        limit = finding.check.limit if finding else None
        key = limit.quantity if limit and limit.quantity in gauge_keys() else "sugars"
        gauge = gauges([key], self.diet.group.taxon)[0]
        if self.animal is None or not self.days or not gauge.additive:
            return None
        worst, ration = max(
            zip(self.days, self._rations(), strict=True), key=lambda one: gauge.a_day(one[1]).high
        )
        found = [(food.name or food.id, amount) for food, amount, _ in gauge.parts(ration)]
        shown = [(name, amount) for name, amount in found if amount.high]
        title = f"{gauge.title[:1].upper()}{gauge.title[1:]} on day {worst.number}, by food"
        return (title, gauge.unit, shown) if shown else None

    def changes(self) -> list[date]:
        """The days from which a diet sheet has been in force."""
        return [s.start for s in self.diet.collection.sheets.get(self.diet.group.id, ())]

    def _days(self, findings: Sequence[Finding]) -> Iterator[PlannedDay]:
        """One rota's days; the one in which the worst finding first occurs, if it is about days."""
        days = self.diet.days
        if self.animal is not None:
            days = tuple(day for day in days if self.animal.is_here(day.on))
        told = {when.on for f in findings[:1] for when in f.check.occasions}
        start = 0
        for index, day in enumerate(days):
            if day.number == 1:
                start = index
            if not told or day.on in told:
                break
        yield from days[start : start + self.diet.settings.rota_days]

    def _rations(self) -> list[Ration]:
        animal = self.animal
        return [self.diet.day_ration(animal, day) for day in self.days] if animal else []

    def _limit(self, quantity: str, basis: str | None, spans: tuple[str, ...]) -> Limit | None:
        stage = self.animal.stage if self.animal else None
        ceilings = [
            found.limit
            for found in self._limits.each(self.diet.group, quantity, stage=stage)
            if found.limit.at_most is not None
            and not found.limit.standing.is_absence
            and basis in (None, found.limit.basis)
        ]
        fitting = [limit for span in spans for limit in ceilings if limit.over == span]
        return next(iter(fitting), None)

    def _strip(
        self,
        title: str,
        unit: str,
        figures: Sequence[Interval],
        limit: Limit | None,
        without: str = "no limit is set",
    ) -> Strip:
        numbers = [day.number for day in self.days]
        if limit is None:
            return Strip(title, unit, numbers, figures, limit_said=without)
        standing = "site rule" if limit.standing is Standing.SITE_RULE else limit.standing.value
        said = f"limit {words.bounds(limit)}, {standing}"
        daily = limit.over in ("day", "meal")
        return Strip(title, unit, numbers, figures, None, limit.at_most, said, daily)


def shown_limits(report: Report) -> Limits:
    """The limits that the pictures draw, of whatever rule holds them."""
    wanted = {"sugars", "fruit-share", "treat-share"}
    rows = {
        id(row): row for rows in report.limits.values() for row in rows if row.quantity in wanted
    }
    return Limits(rows.values())
