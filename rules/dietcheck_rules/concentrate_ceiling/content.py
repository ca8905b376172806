"""Sugars and starch together (non-structural carbohydrate) as a share of dry matter."""

from collections.abc import Iterator
from decimal import Decimal

from dietcheck.contract import (
    Alike,
    Animal,
    Applied,
    Check,
    Diet,
    Figure,
    Interval,
    Limit,
    Limits,
    Measure,
    Ration,
    Verdict,
    format_interval,
    hold,
    not_applicable,
)
from dietcheck_rules.concentrate_ceiling.words import backing, not_countable, who
from dietcheck_rules.shared.class_shares import OVER, by_stage, spans
from dietcheck_rules.shared.wording import figure_words, limit_words, span_words

KEYS = ("sugars", "starch")
WHAT = "sugars and starch"


def judge_contents(diet: Diet, limits: Limits) -> Iterator[Check]:
    """One check for each limit on sugars and starch together and verdict."""
    for stage, animals in by_stage(diet).items():
        for applied in limits.each(diet.group, "nsc", stage=stage):
            yield from _judge(diet, applied, animals)


def measure(ration: Ration) -> Interval:
    """Sugars and starch in % of dry matter; never more than all of it."""
    both = (ration.density("sugars") + ration.density("starch")) * 100
    whole = Decimal(100)
    return both if both.high <= whole else Interval(min(both.low, whole), whole)


def _judge(diet: Diet, applied: Applied, animals: list[Animal]) -> Iterator[Check]:
    limit = applied.limit
    if limit.standing.is_absence:
        yield not_applicable("nsc", f"{diet.group.called}: {limit.standing.value}. {limit.note}")
        return
    if (limit.unit, limit.basis) != ("%", "dry matter") or limit.over not in OVER:
        remedy = "Write the limit in % of dry matter, over: day, 7 days or rota."
        yield not_countable(diet, limit, WHAT, remedy)
        return
    found = list(spans(diet, animals, limit.over))
    values = {id(span): measure(span.ration) for span in {id(s): s for _, s in found}.values()}
    figures = [Figure(animal, values[id(span)], span.occasions) for animal, span in found]
    rations = {id(f): span.ration for f, (_, span) in zip(figures, found, strict=True)}
    if not figures:
        yield not_applicable("nsc", f"{diet.group.called}: nothing is planned to be fed.")
    for alike in hold(figures, limit):
        yield _report(diet, applied, alike, rations[id(alike.worst)])


def _report(diet: Diet, applied: Applied, alike: Alike, ration: Ration) -> Check:
    limit = applied.limit
    kept = alike.verdict is Verdict.KEPT
    untold = alike.verdict is Verdict.CANNOT_TELL
    value = figure_words(alike.worst.value, limit)
    bound = f"{limit_words(limit)} ({backing(limit)})"
    said = f"{who(diet, alike)}: {WHAT} {value} {span_words(limit)}"
    joint = "; whether that keeps" if untold else ", within" if kept else "; the limit is"
    return Check(
        verdict=alike.verdict,
        about=f"{WHAT} {span_words(limit)}",
        severity=alike.severity,
        message=f"{said}{joint} {bound}{' cannot be told' if untold else ''}.",
        advice="" if kept else "Ask the vet before the sheet is fed.",
        animals=alike.animals,
        occasions=() if kept else alike.occasions,
        measured=Measure.against(alike.worst.value, limit),
        limit=limit,
        others=applied.others,
        working=() if kept else tuple(_working(limit, ration, value)),
        settles=_settles(ration) if untold else "",
        weak=tuple(f"{f.id}: {why}" for key in KEYS for f, why in ration.weak_inputs(key))[:5],
        places=() if limit.place is None or kept else (limit.place,),
    )


def _working(limit: Limit, ration: Ration, value: str) -> Iterator[str]:
    for key in KEYS:
        for food, grams in ration.contributions(key)[:3]:
            yield f"{food.name}: {format_interval(grams, 'g')} {key}"
        yield f"{key} together: {format_interval(ration.total(key), 'g')}"
    yield f"÷ {format_interval(ration.total('dry_matter'), 'g')} dry matter = {value}"
    yield f"limit: {limit_words(limit)} {span_words(limit)}: {backing(limit)}"


def _settles(ration: Ration) -> str:
    silent = [
        (grams.high - grams.low, key, food)
        for key in KEYS
        for food, grams in ration.contributions(key)
    ]
    _, key, food = max(silent, key=lambda one: (one[0], one[2].id))
    return f"the {key} of {food.name} ({food.id}), from its maker or an analysis"
