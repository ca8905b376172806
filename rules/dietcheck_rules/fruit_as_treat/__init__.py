"""Cultivated fruit only as a flagged treat, never in two feeds running, and within its share.

Fruit is found in every form and at any depth of a mix. What each taxon may have stands in
limits.yaml; most of it is common practice and says so.
"""

from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Applied,
    Check,
    Diet,
    Food,
    Limits,
    Offer,
    Rule,
    Severity,
    Verdict,
    files,
    fruit_share,
    hold,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.fruit_as_treat.fruits import suspects
from dietcheck_rules.fruit_as_treat.measures import (
    MEASURES,
    Fruit,
    can_judge,
    worst_readings,
)
from dietcheck_rules.fruit_as_treat.reports import about_of, not_countable, report, unclassed
from dietcheck_rules.fruit_as_treat.schedule import schedules

Rows = dict[str, list[Applied]]  # quantity → the limits that apply


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="fruit-as-treat",
        title="Cultivated fruit is a treat, seldom and little",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """One check for each limit, verdict and food; a food that may be fruit is asked about."""
    rows = {stage: _rows(diet, limits, stage) for stage in {a.stage for a in diet.animals}}
    if not any(rows.values()):
        yield not_applicable(
            "fruit",
            f"{diet.group.called}: limit not yet sourced. The bundled rules hold no rule on fruit "
            "for this species; the vet can set one in a limits record.",
        )
        return
    maybe = _suspects(diet)
    for food, offers in maybe.items():
        yield unclassed(diet, food, offers)
    fruit = [offer for offer in diet.given() if fruit_share(offer.line.food).high]
    counted = fruit or ("fruit-and-treat-share" in {q for found in rows.values() for q in found})
    if counted:
        eaters = [Fruit(diet, animal, schedule) for animal, schedule in schedules(diet)]
        for stage, found in rows.items():
            of_stage = [one for one in eaters if one.animal.stage == stage]
            for side_by_side in found.values():
                for applied in side_by_side:
                    yield from _judge(diet, applied, of_stage, limits)
    elif not maybe:
        yield Check(
            verdict=Verdict.KEPT,
            about="fruit",
            severity=Severity.LOW,
            message=f"{diet.group.called}: no cultivated fruit is offered.",
        )


def _rows(diet: Diet, limits: Limits, stage: str | None) -> Rows:
    found: Rows = {}
    for quantity in MEASURES:
        if applied := list(limits.each(diet.group, quantity, stage=stage)):
            found[quantity] = applied
    return found


def _suspects(diet: Diet) -> dict[Food, list[Offer]]:
    found: dict[Food, list[Offer]] = {}
    for offer in diet.given():
        for food in suspects(offer.line.food):
            found.setdefault(food, []).append(offer)
    return found


def _judge(diet: Diet, applied: Applied, eaters: list[Fruit], limits: Limits) -> Iterator[Check]:
    limit = applied.limit
    if limit.standing.is_absence:
        yield not_applicable(
            about_of(limit), f"{diet.group.called}: {limit.standing.value}. {limit.note}"
        )
        return
    if not can_judge(limit):
        yield not_countable(diet, limit)
        return
    found = [reading for one in eaters for reading in worst_readings(one, limit)]
    if not found:
        yield not_applicable(
            about_of(limit), f"{diet.group.called}: nothing of this kind is offered."
        )
        return
    readings = {id(reading.figure): reading for reading in found}
    superseded = tuple(
        row
        for row in limits.rows
        if row.condition == "superseded edition"
        and limit.quantity in ("fruit-share", row.quantity)
        and diet.group.taxon.is_in(row.taxon)
    )
    for alike in hold((reading.figure for reading in found), limit):
        yield from report(diet, applied, alike, readings, superseded)
