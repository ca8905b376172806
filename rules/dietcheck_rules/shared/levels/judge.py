"""Holds one nutrient of a group's diet against its limits, and gathers what nobody states.

A breach or a kept limit is one check for each limit. Where a figure crosses its limit because a
food states nothing, the case is put aside, and all such cases of a group become one check.
"""

from collections.abc import Callable, Iterator, Sequence

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
    Severity,
    Verdict,
    exact,
    excess,
    hold,
    not_applicable,
)
from dietcheck_rules.shared.levels import report
from dietcheck_rules.shared.levels.cases import Case
from dietcheck_rules.shared.levels.gauge import Gauge
from dietcheck_rules.shared.levels.sides import applying, gravest_broken, sides
from dietcheck_rules.shared.levels.spans import OVER, Span, by_stage, spans

_NEED_MASS = ("body mass", "metabolic body mass")


class Judge:
    """Judges one group for one rule.

    `grave` says whether a figure nobody states is grave whatever the rest brings.
    `silence_is_nothing` takes what nobody states as nothing when the grade is chosen, otherwise
    as what the other foods hold on average. `excuse` names what may make up for a shortage
    without any record showing it: a floor that is not reached is then a low cannot-tell.
    """

    def __init__(
        self,
        diet: Diet,
        *,
        grave: Callable[[Case], bool] = lambda _: False,
        silence_is_nothing: bool = False,
        excuse: str = "",
    ) -> None:
        self.diet = diet
        self._grave = grave
        self._silence_is_nothing = silence_is_nothing
        self._excuse = excuse
        self._unsaid: list[Case] = []
        self._values: dict[tuple[object, ...], Interval] = {}
        self._silent: dict[tuple[Gauge, int], tuple[Food, ...]] = {}

    def whole(self, limits: Limits, gauges: Sequence[Gauge]) -> Iterator[Check]:
        """Every floor and ceiling, then what nobody states. A row that only says that no figure
        is known counts as a floor."""
        for side in sides(limits, "floor"):
            yield from self.against(side, gauges)
        yield from self.unsaid()

    def against(self, side: Limits, gauges: Sequence[Gauge]) -> Iterator[Check]:
        """The floors, or the ceilings, of all animals at their stage of life."""
        for stage, animals in by_stage(self.diet).items():
            for gauge in gauges:
                for applied in applying(side, self.diet, gauge.quantity, stage):
                    yield from self.judge(gauge, applied, animals)

    def judge(self, gauge: Gauge, applied: Applied, animals: Sequence[Animal]) -> Iterator[Check]:
        """The checks of one limit for some animals."""
        limit = applied.limit
        about = report.about(gauge, limit)
        if limit.standing.is_absence:
            yield not_applicable(about, _absence(self.diet, limit))
            return
        if not gauge.can_judge(limit) or limit.over not in OVER:
            yield report.unreckoned(self.diet, gauge, limit)
            return
        weighed = [a for a in animals if self._mass(a, limit) is not None or _no_mass(limit)]
        if unweighed := [animal for animal in animals if animal not in weighed]:
            yield report.unweighed(self.diet, gauge, applied, unweighed)
        found = {id(f): (f, span) for a in weighed for f, span in self._worst(gauge, limit, a)}
        if not found and not unweighed:
            yield not_applicable(about, f"{self.diet.group.called}: nothing is planned to be fed.")
        for alike in hold((figure for figure, _ in found.values()), limit):
            case = self._case(gauge, applied, alike, found[id(alike.worst)][1])
            yield from self._said(case, {key: span for key, (_, span) in found.items()})

    def unsaid(self) -> Iterator[Check]:
        """One check for everything that could not be told because nobody states a figure."""
        if self._unsaid:
            yield report.unsaid(self.diet, self._unsaid, self._grade(self._unsaid), self._excuse)

    def value(
        self, gauge: Gauge, limit: Limit, animal: Animal, span: Span, *, stated: bool = False
    ) -> Interval:
        """The figure of one span; with `stated`, of the foods alone that state theirs."""
        mass = self._mass(animal, limit)
        key = (gauge, id(span), limit.unit, limit.basis, mass, stated)
        if key not in self._values:
            profiles = self.diet.profiles
            only = (lambda food: gauge.states(food, profiles)) if stated else None
            self._values[key] = gauge.value(span.ration, limit, mass, only)
        return self._values[key]

    def _mass(self, animal: Animal, limit: Limit) -> Interval | None:
        return None if _no_mass(limit) else self.diet.mass_of(animal)

    def _worst(self, gauge: Gauge, limit: Limit, animal: Animal) -> list[tuple[Figure, Span]]:
        """The animal's figures past the limit; else those across it; else the nearest to it."""
        standing: dict[str, list[tuple[Figure, Span]]] = {}
        for span in spans(self.diet, animal, limit.over):
            value = self.value(gauge, limit, animal, span)
            figure = Figure(animal, value, span.occasions())
            standing.setdefault(limit.stands(value), []).append((figure, span))
        if trouble := standing.get("past") or standing.get("across"):
            return trouble
        kept = standing.get("inside", [])
        return sorted(kept, key=lambda one: excess(one[0].value, limit))[-1:]

    def _said(self, case: Case, span_of: dict[int, Span]) -> Iterator[Check]:
        alike = case.alike
        match alike.verdict:
            case Verdict.KEPT:
                yield report.kept(self.diet, case)
            case Verdict.BREACH if case.is_floor and self._excuse:
                yield report.excused(self.diet, case, self._excuse)
            case Verdict.BREACH:
                yield report.breach(self.diet, self._gravest(case))
            case _:
                yield from self._untold(case, span_of)

    def _gravest(self, case: Case) -> Case:
        """The case held against the gravest of the limits that its worst figure breaks."""
        applied = case.applied
        broken = [
            limit
            for limit in applied.others
            if not limit.standing.is_absence
            and (limit.unit, limit.basis) == (case.limit.unit, case.limit.basis)
            and limit.stands(case.alike.worst.value) == "past"
        ]
        gravest = gravest_broken(applied, broken)
        if gravest is applied.limit:
            return case
        others = tuple(limit for limit in (applied.limit, *applied.others) if limit is not gravest)
        alike = Alike(Verdict.BREACH, Severity(gravest.severity), case.alike.figures)
        return self._case(case.gauge, Applied(gravest, others), alike, case.span)

    def _untold(self, case: Case, span_of: dict[int, Span]) -> Iterator[Check]:
        """Apart: the figures that some food's silence leaves open, and those that are just wide."""
        figures: dict[bool, list[Figure]] = {}
        for figure in case.alike.figures:
            silent = bool(self._silent_in(case.gauge, span_of[id(figure)]))
            figures.setdefault(silent, []).append(figure)
        for silent, some in figures.items():
            alike = Alike(case.alike.verdict, case.alike.severity, tuple(some))
            part = self._case(case.gauge, case.applied, alike, span_of[id(some[0])])
            if silent:
                self._unsaid.append(part)
            else:
                yield report.untold(self.diet, part, self._excuse if case.is_floor else "")

    def _case(self, gauge: Gauge, applied: Applied, alike: Alike, span: Span) -> Case:
        return Case(gauge, applied, alike, span, self._silent_in(gauge, span))

    def _silent_in(self, gauge: Gauge, span: Span) -> tuple[Food, ...]:
        """The foods of a span that do not state what is measured."""
        key = (gauge, id(span))
        if key not in self._silent:
            self._silent[key] = tuple(
                food
                for food, grams in span.ration.grams_of.items()
                if grams.high and not gauge.states(food, self.diet.profiles)
            )
        return self._silent[key]

    def _grade(self, cases: Sequence[Case]) -> Severity:
        if any(self._grave(case) or self._looks_wrong(case) for case in cases):
            return Severity.MEDIUM
        return Severity.LOW

    def _looks_wrong(self, case: Case) -> bool:
        """Whether what is stated, or a best estimate, is already past a limit that is not low."""
        rows = [row for row in (case.limit, *case.applied.others) if not row.standing.is_absence]
        weighty = [row for row in rows if row.severity != "low"]
        if not weighty or (case.is_floor and self._excuse):
            return False
        worst = case.alike.worst
        if case.is_floor and (self._silence_is_nothing or not _no_mass(case.limit)):
            likely = exact(worst.value.low)
        else:
            likely = self.value(case.gauge, case.limit, worst.animal, case.span, stated=True)
        best = worst.value.best
        return any(
            row.stands(likely) == "past" or (best is not None and row.stands(exact(best)) == "past")
            for row in weighty
            if (row.unit, row.basis) == (case.limit.unit, case.limit.basis)
        )


def _no_mass(limit: Limit) -> bool:
    return limit.basis not in _NEED_MASS


def _absence(diet: Diet, limit: Limit) -> str:
    why = f": {limit.note}" if limit.note else ""
    return f"{diet.group.called}: {limit.standing.value}{why}."
