"""How often and how much whole prey and egg, for species that grow fat on it.

No cap is published. What is known is that meerkats fed on mice had far more cholesterol in their
blood than meerkats on kibble, insects and greens. Fat as such is judged with the other nutrients;
here it is shown beside the count.
"""

from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Animal,
    Applied,
    Check,
    Diet,
    Figure,
    Limits,
    Rule,
    Severity,
    Verdict,
    files,
    hold,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.fat_and_whole_prey import reports
from dietcheck_rules.fat_and_whole_prey.prey import (
    FEEDS,
    SHARE,
    Measured,
    is_prey,
    may_be_prey,
    worst,
)
from dietcheck_rules.shared.levels.spans import OVER, by_stage
from dietcheck_rules.shared.speaking import or_open

UNITS = {FEEDS: ("feeds", "count"), SHARE: ("%", "dry matter")}


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="fat-and-whole-prey",
        title="Whole prey and egg stay a small part for species that grow fat on them",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """The number of feeds and the share; not applicable where nobody set a cap."""
    called = diet.group.called
    stages = by_stage(diet)
    capped = [
        (animals, [a for quantity in UNITS for a in limits.each(diet.group, quantity, stage=stage)])
        for stage, animals in stages.items()
    ]
    foods = {offer.line.food for offer in diet.given()}
    if not any(applied for _, applied in capped):
        yield not_applicable(
            "whole prey",
            f"{called}: limit not yet sourced. The bundled rules hold no cap on whole prey or egg "
            "for this species; the vet can set one in a limits record.",
        )
    elif not any(is_prey(food) or may_be_prey(food) for food in foods):
        yield not_applicable("whole prey", f"{called}: no whole prey or egg is fed.")
    else:
        found = (
            check for animals, applied in capped for check in _of_stage(diet, animals, applied)
        )
        yield from or_open(found, "whole prey", diet)


def _of_stage(diet: Diet, animals: list[Animal], capped: list[Applied]) -> Iterator[Check]:
    often = False
    for applied in capped:
        found = [m for animal in animals for m in worst(diet, animal, applied.limit)]
        for check in _judge(diet, applied, found):
            breach = check.verdict is Verdict.BREACH
            # Too often is one cause with too much: the share then stands in its working.
            if not (often and breach):
                yield check
            often = often or breach
    if not capped:
        named = ", ".join(animal.called for animal in animals)
        yield not_applicable("whole prey", f"{named}: no cap is set for this stage of life.")


def _judge(diet: Diet, applied: Applied, found: list[Measured]) -> Iterator[Check]:
    limit = applied.limit
    if (limit.unit, limit.basis) != UNITS[limit.quantity] or limit.over not in OVER:
        unit = "feeds" if limit.quantity == FEEDS else "% of dry matter"
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about=f"{limit.quantity} in an unknown form",
            severity=Severity.MEDIUM,
            message=f"{diet.group.called}: nothing can be counted against the limit on "
            f"{limit.quantity} as it is written.",
            advice=f"Write it in {unit}, over day, 7 days or rota.",
            limit=limit,
            settles="a limit in a unit that can be counted",
            places=(limit.place,) if limit.place else (),
        )
        return
    by_figure = {
        id(figure): (figure, one)
        for one in found
        for figure in (Figure(one.animal, one.value, one.span.occasions()),)
    }
    for alike in hold((figure for figure, _ in by_figure.values()), limit):
        yield reports.report(diet, applied, alike, by_figure[id(alike.worst)][1])
