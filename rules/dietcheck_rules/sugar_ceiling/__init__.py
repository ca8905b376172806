"""Sugar per kg of body mass, as a share of dry matter and in a single meal, against the limits.

A share alone hides a large helping and an amount alone hides a poor diet, so each basis that has a
limit is judged for itself. No figure here is published: see about.md.
"""

from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Animal,
    Applied,
    Check,
    Diet,
    Limits,
    Rule,
    Severity,
    Verdict,
    files,
    hold,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.shared.wording import limit_words, span_words, standing_words
from dietcheck_rules.sugar_ceiling.gauges import can_judge, worst_readings
from dietcheck_rules.sugar_ceiling.reports import report


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="sugar-ceiling",
        title="Sugar stays under the ceiling, as a share and as an amount",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """One check for each limit and verdict; not applicable where no limit stands."""
    judged = False
    for stage, animals in _by_stage(diet).items():
        for applied in limits.each(diet.group, "sugars", stage=stage):
            judged = True
            yield from _judge(diet, applied, animals)
    if not judged:
        yield not_applicable(
            "sugar",
            f"{diet.group.called}: limit not yet sourced. The bundled rules hold no sugar limit "
            "for this species; the vet can set one in a limits record.",
        )


def _by_stage(diet: Diet) -> dict[str | None, list[Animal]]:
    stages: dict[str | None, list[Animal]] = {}
    for animal in diet.animals:
        stages.setdefault(animal.stage, []).append(animal)
    return stages


def _judge(diet: Diet, applied: Applied, animals: list[Animal]) -> Iterator[Check]:
    limit = applied.limit
    about = f"sugar on {limit.basis} {span_words(limit)}"
    if limit.standing.is_absence:
        yield not_applicable(about, f"{diet.group.called}: {limit.standing.value}. {limit.note}")
        return
    if not can_judge(limit):
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about=about,
            severity=Severity.MEDIUM,
            message=f"{diet.group.called}: sugar cannot be counted against {limit_words(limit)} "
            f"{span_words(limit)} ({standing_words(limit)}).",
            advice="Write the limit in g per kg body mass, % of dry matter, % as fed or g per "
            "animal, over meal, day, 7 days or rota.",
            limit=limit,
            settles="a limit in a unit that sugar can be counted in",
            places=(limit.place,) if limit.place else (),
        )
        return
    found = [reading for animal in animals for reading in worst_readings(diet, animal, limit)]
    if not found:
        yield not_applicable(about, f"{diet.group.called}: nothing is planned to be fed.")
        return
    rations = {id(reading.figure): reading.ration for reading in found}
    for alike in hold((reading.figure for reading in found), limit):
        yield from report(diet, applied, about, alike, rations)
