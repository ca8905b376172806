"""Holds the intakes of some animals against one range or ceiling, and says what comes out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct
from msgspec.structs import replace

from dietcheck.contract import (
    Animal,
    Applied,
    Check,
    Diet,
    Figure,
    Interval,
    Limit,
    Measure,
    Pointer,
    Severity,
    Verdict,
    hold,
)
from dietcheck_rules.portion_for_body_mass import words
from dietcheck_rules.portion_for_body_mass.intake import Intake, Intakes, in_unit

TOO_MUCH = "too much food"
TOO_LITTLE = "too little food"
UNTOLD = "portion cannot be told"


class Case(Struct, frozen=True, eq=False):
    """One animal's intake in the limit's unit."""

    animal: Animal
    intake: Intake
    mass: Interval
    weighed: Pointer  # where the mass stands
    figure: Figure


class Judge:
    """The animals of one life stage of a group. Remembers who has been found far outside."""

    def __init__(
        self, diet: Diet, intakes: Intakes, animals: list[Animal], factor: Limit | None
    ) -> None:
        self._diet = diet
        self._intakes = intakes
        self._animals = animals
        self._factor = factor
        self._done: set[str] = set()

    def against_range(self, applied: Applied) -> Iterator[Check]:
        """A range for the mean of the rota: far above, outside, across, inside."""
        limit = applied.limit
        daily = limit.over == "day"
        cases = list(self._cases(limit, fullest=daily))
        if limit.over not in ("day", "rota") or not cases:
            yield self._unreadable(applied)
            return
        if limit.at_most is not None and self._factor and self._factor.at_most is not None:
            far = replace(
                limit,
                at_most=limit.at_most * self._factor.at_most,
                at_least=None,
                severity=self._factor.severity,
                over="day",
            )
            yield from self._far_above(applied, far)
        left = [case for case in cases if case.animal.id not in self._done]
        above = replace(limit, at_least=None)
        below = replace(limit, at_most=None)
        outside: set[str] = set()
        for side, bound in ((TOO_MUCH, above), (TOO_LITTLE, below)):
            if (bound.at_most, bound.at_least) != (None, None):
                past = [case for case in left if bound.stands(case.figure.value) == "past"]
                outside.update(case.animal.id for case in past)
                yield from self._outside(applied, bound, past, side)
        left = [case for case in left if case.animal.id not in outside]
        yield from self._others(applied, limit, left)
        yield from self._one_full_day(applied, outside | self._done)

    def against_ceiling(self, applied: Applied) -> Iterator[Check]:
        """A ceiling that no plausible diet passes."""
        limit = applied.limit
        cases = list(self._cases(limit, fullest=limit.over != "rota"))
        left = [case for case in cases if case.animal.id not in self._done]
        past = [case for case in left if limit.stands(case.figure.value) == "past"]
        if past:
            yield self._slip(applied, limit, past)
        self._done.update(case.animal.id for case in past)
        yield from self._others(applied, limit, [case for case in left if case not in past])

    def _cases(self, limit: Limit, *, fullest: bool) -> Iterator[Case]:
        nutrient = words.nutrient_of(limit)
        for animal in self._animals:
            weighing = animal.weighed(self._diet.on)
            assert weighing is not None
            find = self._intakes.fullest if fullest else self._intakes.means
            for intake in find(animal, nutrient):
                value = in_unit(intake.grams, weighing.mass, limit)
                if value is not None:
                    figure = Figure(animal, value, intake.occasions())
                    yield Case(animal, intake, weighing.mass, weighing.place, figure)

    def _far_above(self, applied: Applied, far: Limit) -> Iterator[Check]:
        past = [
            case
            for case in self._cases(far, fullest=True)
            if far.stands(case.figure.value) == "past"
        ]
        if past:
            self._done.update(case.animal.id for case in past)
            yield self._slip(applied, far, past)

    def _slip(self, applied: Applied, limit: Limit, past: list[Case]) -> Check:
        worst = max(past, key=lambda case: case.figure.value.low)
        return self._check(
            Verdict.BREACH, TOO_MUCH, Severity(limit.severity), applied, [worst, *past]
        )(
            message=words.slip(worst, applied.limit),
            advice=words.tenth(self._diet, worst, applied.limit),
            places=words.slip_places(self._diet, worst, applied.limit),
        )

    def _outside(
        self, applied: Applied, bound: Limit, past: list[Case], side: str
    ) -> Iterator[Check]:
        if not past:
            return
        low = side == TOO_LITTLE
        worst = (min if low else max)(past, key=lambda case: case.figure.value.low)
        severity = Severity(applied.limit.severity)
        half = self._factor.at_least if self._factor else None
        far = False
        if low and half is not None and bound.at_least is not None:
            far = worst.figure.value.stands(at_least=bound.at_least * half) == "past"
            if far:
                severity = min(severity, Severity.MEDIUM, key=lambda grade: grade.rank)
        yield self._check(Verdict.BREACH, side, severity, applied, [worst, *past])(
            message=words.outside(worst, applied.limit, low=low, far=far),
            advice=words.less_or_more(low=low),
            places=words.largest_places(self._diet, worst, applied.limit),
        )

    def _others(self, applied: Applied, limit: Limit, cases: list[Case]) -> Iterator[Check]:
        """Those across the limit, and those inside: kept, unless the weight is out of date."""
        by_figure = {id(case.figure): case for case in cases}
        for alike in hold((case.figure for case in cases), limit):
            found = [by_figure[id(figure)] for figure in alike.figures]
            if alike.verdict is Verdict.CANNOT_TELL:
                untold = self._check(alike.verdict, UNTOLD, alike.severity, applied, found)
                question, places = words.question(self._diet, found[0])
                yield untold(
                    message=words.across(found[0], limit),
                    advice="Settle what is missing, or ask the vet.",
                    settles=question,
                    places=places,
                )
                continue
            stale = [case for case in found if self._diet.mass_of(case.animal) is None]
            fresh = [case for case in found if case not in stale]
            if stale:
                yield self._check(Verdict.CANNOT_TELL, "old weight", Severity.LOW, applied, stale)(
                    message=words.stale(stale[0], limit),
                    advice="Weigh the animal and look again.",
                    settles="a current weighing",
                    places=words.weighing_places(stale),
                )
            if fresh:
                yield self._check(Verdict.KEPT, "portion", Severity.LOW, applied, fresh)(
                    message=words.inside(fresh[0], limit)
                )

    def _one_full_day(self, applied: Applied, known: set[str]) -> Iterator[Check]:
        """Days above the range of an animal whose mean is not: worth a look, no more."""
        above = replace(applied.limit, at_least=None, over="day")
        past = [
            case
            for case in self._cases(above, fullest=True)
            if case.animal.id not in known and above.stands(case.figure.value) == "past"
        ]
        if past:
            worst = max(past, key=lambda case: case.figure.value.low)
            yield self._check(Verdict.BREACH, "one full day", Severity.LOW, applied, past)(
                message=words.full_day(worst, applied.limit),
                advice="Nothing to do if the day is meant so; the mean of the rota decides.",
                places=words.largest_places(self._diet, worst, applied.limit),
            )

    def _unreadable(self, applied: Applied) -> Check:
        limit = applied.limit
        return Check(
            verdict=Verdict.CANNOT_TELL,
            about=UNTOLD,
            severity=Severity.MEDIUM,
            message=f"{self._diet.group.called}: {words.name(limit)} {words.bound(limit)} over "
            f"{limit.over} cannot be judged.",
            advice="Write the limit per kg body mass, per kg^0.75, per animal or as % of body "
            "mass, over day or rota.",
            limit=limit,
            settles="a limit that this rule can read",
            places=(limit.place,) if limit.place else (),
        )

    def _check(
        self,
        verdict: Verdict,
        about: str,
        severity: Severity,
        applied: Applied,
        cases: list[Case],
    ) -> Builder:
        return Builder(self._diet, verdict, about, severity, applied, cases)


class Builder(Struct, frozen=True, eq=False):
    """Fills in what every check of this rule carries; the first case is the one that is shown."""

    diet: Diet
    verdict: Verdict
    about: str
    severity: Severity
    applied: Applied
    cases: list[Case]

    def __call__(
        self, *, message: str, advice: str = "", settles: str = "", places: Iterable[Pointer] = ()
    ) -> Check:
        """The check."""
        limit, shown = self.applied.limit, self.cases[0]
        kept = self.verdict is Verdict.KEPT
        return Check(
            verdict=self.verdict,
            about=self.about,
            severity=self.severity,
            message=message,
            advice=advice,
            settles=settles,
            places=tuple(places),
            animals=tuple(dict.fromkeys(case.animal.id for case in self.cases)),
            occasions=()
            if kept
            else tuple(sorted({when for case in self.cases for when in case.figure.occasions})),
            measured=Measure.against(shown.figure.value, limit),
            limit=limit,
            others=self.applied.others,
            working=() if kept else words.working(self.diet, shown, limit),
            weak=() if kept else words.weak(self.diet, shown, limit),
        )
