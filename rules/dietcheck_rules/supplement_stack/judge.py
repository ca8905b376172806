"""Sets the sums against their limits, animal by animal, and gathers what no label says."""

from collections.abc import Iterator

from msgspec import Struct, field

from dietcheck.contract import (
    Alike,
    Animal,
    Applied,
    Check,
    Diet,
    Figure,
    Food,
    Interval,
    Limit,
    Limits,
    Ration,
    Severity,
    Verdict,
    hold,
)
from dietcheck_rules.shared.levels.spans import OVER, Span, spans
from dietcheck_rules.supplement_stack import reports
from dietcheck_rules.supplement_stack.products import D3, GAUGES, SOURCES, Summed, d3_sources


class Silence(Struct):
    """What nobody states: the foods by nutrient, the limits it leaves open, the animals."""

    foods: dict[str, dict[Food, None]] = field(default_factory=dict)
    limits: list[tuple[str, Limit]] = field(default_factory=list)
    animals: dict[str, Animal] = field(default_factory=dict)
    severity: Severity = Severity.LOW


class Judge:
    """One group's products."""

    def __init__(self, diet: Diet, limits: Limits) -> None:
        self._diet = diet
        self._limits = limits
        self._silence = Silence()
        self.has_limits = False

    def judge(self, stage: str | None, animals: list[Animal]) -> Iterator[Check]:
        """Every limit for the animals of one stage of life."""
        for gauge in (*GAUGES, D3):
            for applied in self._limits.each(self._diet.group, gauge.quantity, stage=stage):
                if not applied.limit.standing.is_absence:
                    self.has_limits = True
                    yield from self._each(gauge, applied, animals)

    def _each(self, gauge: Summed, applied: Applied, animals: list[Animal]) -> Iterator[Check]:
        if _can_judge(gauge, applied.limit):
            yield from self._against(gauge, applied, animals)
        else:
            yield reports.unreadable(self._diet, applied.limit)

    def silence(self) -> Iterator[Check]:
        """One question for all labels that do not state what a limit is about."""
        if self._silence.foods:
            yield reports.silence(self._diet, self._silence)

    def _against(self, gauge: Summed, applied: Applied, animals: list[Animal]) -> Iterator[Check]:
        limit = applied.limit
        unweighed = [a for a in animals if self._needs_mass(limit) and not self._diet.mass_of(a)]
        if unweighed and any(self._stacked(gauge, a, limit) for a in unweighed):
            yield reports.no_mass(self._diet, gauge, limit, unweighed)
        found: dict[int, tuple[Figure, Span]] = {}
        for animal in animals:
            if animal in unweighed:
                continue
            for figure, span in self._worst(gauge, animal, limit):
                found[id(figure)] = (figure, span)
        for alike in hold((figure for figure, _ in found.values()), limit):
            worst = found[id(alike.worst)][1]
            silent = gauge.all_silent(worst.ration)
            if alike.verdict is Verdict.CANNOT_TELL and silent:
                self._note(gauge, limit, alike, silent)
            else:
                yield reports.report(self._diet, gauge, applied, alike, worst.ration)

    def _worst(self, gauge: Summed, animal: Animal, limit: Limit) -> list[tuple[Figure, Span]]:
        """The animal's spans past the limit; else those across it; else the one with the most."""
        standing: dict[str, list[tuple[Figure, Span]]] = {}
        for span in self._stacked(gauge, animal, limit):
            value = self._value(gauge, span.ration, limit, animal)
            figure = Figure(animal, value, span.occasions())
            standing.setdefault(limit.stands(value), []).append((figure, span))
        if trouble := standing.get("past") or standing.get("across"):
            return trouble
        kept = standing.get("inside")
        return [max(kept, key=lambda one: one[0].value.high)] if kept else []

    def _stacked(self, gauge: Summed, animal: Animal, limit: Limit) -> list[Span]:
        """The spans in which enough products bring the nutrient, or may."""
        least = 2 if gauge.several else 1
        return [
            span
            for span in spans(self._diet, animal, limit.over)
            if len(gauge.bringing(span.ration)) >= least
        ]

    def _value(self, gauge: Summed, ration: Ration, limit: Limit, animal: Animal) -> Interval:
        if limit.quantity == SOURCES:
            return d3_sources(ration)
        return gauge.value(ration, limit, self._diet.mass_of(animal))

    def _note(self, gauge: Summed, limit: Limit, alike: Alike, silent: list[Food]) -> None:
        """Keep what nobody states for the one question."""
        note = self._silence
        note.foods.setdefault(gauge.title, {}).update(dict.fromkeys(silent))
        note.limits.append((gauge.title, limit))
        note.animals.update({figure.animal.id: figure.animal for figure in alike.figures})
        best = alike.worst.value.best
        looks_wrong = best is not None and limit.stands(Interval(best, best)) == "past"
        product = any(part.food_class == "compound feed" for part in silent)
        if looks_wrong or (limit.severity == "high" and product):
            note.severity = Severity.MEDIUM

    @staticmethod
    def _needs_mass(limit: Limit) -> bool:
        return limit.basis in ("body mass", "metabolic body mass")


def _can_judge(gauge: Summed, limit: Limit) -> bool:
    known = limit.basis == "count" if limit.quantity == SOURCES else gauge.can_judge(limit)
    return known and limit.over in OVER
