"""What energy a taxon is published to need, use or take in, in kcal a day, formula by formula.

The formulas disagree, and each comes with its own units: some take grams and give kilojoules, and
mixing them up is a fortyfold error. So nothing is averaged: every formula that fits is reckoned by
itself, says what it measures and where it stands, and `need_span` gives the range between those of
one kind for the most specific taxon.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from functools import cache, lru_cache
from typing import Literal, cast

from msgspec import Struct

from dietcheck.nutrition.bundled import bundled
from dietcheck.nutrition.composition import KJ_PER_KCAL
from dietcheck.quantities import Interval, between
from dietcheck.tables.taxa import Taxon

# basal: at rest; maintenance: kept animals; intake: what was eaten or is aimed at; field: used by
# free-living animals, an upper mark for what is plausible and never a ration.
Measure = Literal["basal", "maintenance", "intake", "field"]
# doubtful: printed, but not to be used (units that cannot be right)
Kind = Literal["formula", "range", "target", "observed", "doubtful"]

# An animal's stage → the stage of the formulas for it. Nothing is published here for old animals.
_STAGES = {"geriatric": "adult", None: "adult"}


class EnergyFormula(Struct, frozen=True):
    """One published formula: factor * coefficient * mass^exponent + intercept, in its own units."""

    id: str
    taxon: str
    not_in: str
    measure: Measure
    kind: Kind
    formula: str
    factor: Interval
    coefficient: Interval
    exponent: Decimal | None  # None: a figure per animal, whatever its mass
    intercept: Decimal
    mass_unit: str
    energy_unit: str
    stage: str
    condition: str
    masses: Interval | None  # in kg, where the formula is only for some
    source: str
    locator: str
    seen: str
    note: str

    def holds_for(self, mass: Interval) -> bool:
        """Whether the formula is meant for a body mass in grams."""
        if self.masses is None:
            return True
        return self.masses.low * 1000 <= mass.low and mass.high <= self.masses.high * 1000

    def per_day(self, mass: Interval) -> Interval:
        """Energy in kcal a day for a body mass in grams."""
        figure = self.factor * self.coefficient
        if self.exponent is not None:
            own = mass if self.mass_unit == "g" else mass / 1000
            figure = figure * own.power(self.exponent)
        figure = figure + self.intercept
        return figure / KJ_PER_KCAL if self.energy_unit == "kJ/d" else figure


class EnergyNeed(Struct, frozen=True):
    """What one formula says for one body mass: kcal a day, with everything to be said about it."""

    mass: Interval  # in grams
    row: EnergyFormula
    distance: int  # steps from the species up to the formula's taxon

    @property
    def per_day(self) -> Interval:
        """Energy in kcal a day; reckoned only when asked for, as powers cost time."""
        return self.row.per_day(self.mass)

    @property
    def measure(self) -> Measure:
        """What the figure is: basal, maintenance, intake or field."""
        return self.row.measure

    @property
    def kind(self) -> Kind:
        """What kind of figure the source gives."""
        return self.row.kind

    @property
    def described(self) -> str:
        """The formula in words, with its units, its condition and its source."""
        row = self.row
        words = [f"{row.taxon}, {row.measure}: {row.formula}"]
        if row.exponent is not None:
            kilojoules = "kJ/d" if row.energy_unit == "kJ/d" else "kcal/d"
            words.append(f"mass in {row.mass_unit}, result in {kilojoules}")
        if row.not_in:
            words.append(f"not for {row.not_in}")
        if row.masses is not None:
            words.append(f"for {row.masses.low:f} to {row.masses.high:f} kg")
        if row.condition:
            words.append(row.condition)
        place = f" {row.locator}" if row.locator else ""
        words.append(f"{row.source}{place}, seen: {row.seen}")
        return "; ".join(words)


@cache
def energy_formulas() -> tuple[EnergyFormula, ...]:
    """Every published formula that can be reckoned, and the doubtful ones, in the table's order."""
    return tuple(_formula(row) for row in bundled("energy_need").all_rows())


def energy_needs(taxon: Taxon, stage: str | None, mass: Interval) -> list[EnergyNeed]:
    """What each fitting formula says for a body mass in grams, the most specific taxon first.

    `stage` is the record's word for the animal; without one, or for an old animal, the formulas for
    adults answer. An empty list means that no formula is held here for that taxon and stage, not
    that none is published.
    """
    return [
        EnergyNeed(mass, row, distance)
        for distance, row in _fitting(taxon, _STAGES.get(stage, stage))
        if row.holds_for(mass)
    ]


def need_span(needs: Iterable[EnergyNeed], measure: Measure) -> Interval | None:
    """From the least to the most of one measure for the most specific taxon; None if there is none.

    Formulas with a condition (a body temperature, a litter, obese animals) count only where the
    taxon has no other.
    """
    of_measure = [need for need in needs if need.measure == measure]
    if not of_measure:
        return None
    nearest = min(need.distance for need in of_measure)
    near = [need for need in of_measure if need.distance == nearest]
    spans = [n.per_day for n in near if not n.row.condition] or [n.per_day for n in near]
    found = spans[0]
    for span in spans[1:]:
        found = found.hull(span)
    return found


@lru_cache(512)
def _fitting(taxon: Taxon, stage: str | None) -> tuple[tuple[int, EnergyFormula], ...]:
    found = [
        (taxon.rank_distance(row.taxon), row)
        for row in energy_formulas()
        if row.kind != "doubtful"
        and row.stage == stage
        and taxon.is_in(row.taxon)
        and not (row.not_in and taxon.is_in(row.not_in))
    ]
    return tuple(sorted(found, key=lambda one: one[0]))


def _formula(row: dict[str, str]) -> EnergyFormula:
    return EnergyFormula(
        id=row["id"],
        taxon=row["taxon"],
        not_in=row["not_in"],
        measure=cast(Measure, row["measure"]),
        kind=cast(Kind, row["kind"]),
        formula=row["formula"],
        factor=between(row["factor_low"], row["factor_high"]),
        coefficient=between(row["coefficient_low"], row["coefficient_high"]),
        exponent=Decimal(row["exponent"]) if row["exponent"] else None,
        intercept=Decimal(row["intercept"]),
        mass_unit=row["mass_unit"],
        energy_unit=row["energy_unit"],
        stage=row["stage"],
        condition=row["condition"],
        masses=between(row["least_kg"], row["most_kg"]) if row["most_kg"] else None,
        source=row["source"],
        locator=row["locator"],
        seen=row["seen"],
        note=row["note"],
    )
