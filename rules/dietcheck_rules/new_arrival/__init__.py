"""A new animal comes with what it ate before, so that its diet can be changed in steps."""

from collections.abc import Iterable

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    Limit,
    Limits,
    Measure,
    Rule,
    Severity,
    Verdict,
    exact,
    files,
    hookimpl,
    not_applicable,
    read_born,
)
from dietcheck_rules.shared.odd_limits import without_odd
from dietcheck_rules.shared.wording import standing_words

DAYS = "new-arrival-days"


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="new-arrival",
        title="A new animal's former diet is known",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """Animals that have just come, or will, without a word on what they ate."""
    limits, questions = without_odd(diet, limits)
    yield from questions
    applied = limits.applying(diet.group, DAYS)
    assert applied is not None  # a default for every animal
    limit = applied.limit
    new = [a for a in diet.animals if _is_new(diet, limit, a)]
    unknown = [a for a in new if a.diet_before is None and not _was_here(diet, a)]
    for animal in unknown:
        assert animal.here_from is not None
        days = (diet.on - animal.here_from).days
        when = f"came {days} days ago" if days > 0 else "comes"
        yield Check(
            verdict=Verdict.BREACH,
            about=f"former diet not known: {animal.id}",
            severity=Severity.MEDIUM,
            message=f"{animal.called} {when}, on {animal.here_from}; nothing is written on what "
            "it ate before or how it is led over to the diet here. An animal counts as new for "
            f"{limit.at_most} days ({standing_words(limit)}).",
            advice="Ask the sender for its diet sheet, write it under diet_before, and change over "
            "in steps.",
            animals=(animal.id,),
            measured=Measure.against(exact(max(days, 0)), limit),
            limit=limit,
            places=(animal.place.at("here_from"),),
        )
    if not unknown:
        yield (
            Check(
                verdict=Verdict.KEPT,
                about="arrival",
                severity=Severity.LOW,
                message=f"{diet.group.called}: what the new animals ate before is written.",
            )
            if new
            else not_applicable("arrival", f"{diet.group.called}: nobody is new.")
        )


def _is_new(diet: Diet, limit: Limit, animal: Animal) -> bool:
    """Whether it came within the time; one that may have been born here on that day did not."""
    came = animal.here_from
    if came is None or limit.at_most is None or (diet.on - came).days > limit.at_most:
        return False
    return animal.born is None or read_born(animal.born)[1] < came


def _was_here(diet: Diet, animal: Animal) -> bool:
    """Whether another group of this collection held it before: then its sheet is there."""
    came = animal.here_from
    return came is not None and any(
        home.group != diet.group.id and home.until is not None and home.until <= came
        for home in diet.collection.homes[animal.id]
    )
