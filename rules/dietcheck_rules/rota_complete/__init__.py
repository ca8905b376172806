"""Every animal has food planned for every feed of every day, or a fast that is said on purpose.

A gap in a rota is not a fast: nobody decided it. So a feed that is left out, a meal name that the
sheet does not have, or a day without rota or sheet is a hole and graded high. Doubles (two rotas
for one day, one food written twice in a meal) are looked for as well, and graded low.
"""

from collections.abc import Iterable

from dietcheck.contract import (
    Check,
    Diet,
    Rule,
    Severity,
    Verdict,
    World,
    files,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.rota_complete import cover, doubles, holes


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="rota-complete",
        title="Every feed of every day is planned",
        folder=files(__name__),
        always_on=True,
    )


@hookimpl
def judge_group(diet: Diet) -> Iterable[Check]:
    """Holes, animals without food, rotas of the wrong length, meals never fed, doubles."""
    if not diet.animals:
        yield from cover.without_animals(diet)
        return
    if diet.group.id in diet.collection.unread.fed_groups:
        yield not_applicable(
            "rota",
            f"{diet.group.called}: a sheet or rota of theirs cannot be read; that is told there.",
        )
        return
    found = [
        *cover.uncovered(diet),
        *holes.holes(diet),
        *cover.unfed_animals(diet),
        *cover.wrong_length(diet),
        *cover.unused_meals(diet),
        *doubles.overlaps(diet),
        *doubles.written_twice(diet),
    ]
    yield from found
    if not found:
        yield Check(
            verdict=Verdict.KEPT,
            about="rota",
            severity=Severity.LOW,
            message=f"{diet.group.called}: all feeds of {len(diet.days)} days are planned.",
        )


@hookimpl
def judge_collection(world: World) -> Iterable[Check]:
    """Animals that stand in two groups at once, and are fed by the rotas of both."""
    found = list(doubles.in_two_groups(world))
    yield from found
    if not found:
        yield not_applicable("one group an animal", "No animal stands in two groups.")
