"""The ceilings once more, as if one animal took the shares of others.

Where a group feeds together at fewer stations than it has animals, the strong ones eat first. How
much more one animal can take is not known; the factor stands in limits.yaml. What may be is never
more than low.
"""

from collections.abc import Iterator
from decimal import Decimal

from msgspec.structs import replace

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
    Severity,
    Verdict,
    class_share,
    exact,
    hold,
)
from dietcheck_rules.concentrate_ceiling.meals import MEASURES, can_judge, report, worst_meals
from dietcheck_rules.concentrate_ceiling.words import CONCENTRATE, backing, who
from dietcheck_rules.shared.class_shares import OVER, by_stage, spans
from dietcheck_rules.shared.wording import figure_words, limit_words, span_words

FACTOR = "shares-taken"


def judge_worst_case(diet: Diet, limits: Limits) -> Iterator[Check]:
    """One check for each ceiling that the sheet itself keeps, for each verdict."""
    shares = _shares_taken(diet, limits)
    if shares is None:
        return
    for stage, animals in by_stage(diet).items():
        for applied in limits.each(diet.group, CONCENTRATE.quantity, stage=stage):
            if _is_share(applied.limit):
                yield from _of_share(diet, applied, animals, shares)
        for quantity in MEASURES:
            for applied in limits.each(diet.group, quantity, stage=stage):
                if can_judge(applied.limit):
                    yield from _of_meals(diet, applied, animals, shares)


def crowded(diet: Diet) -> str:
    """Why one animal may take more than its share, in words; empty where none can."""
    group, heads = diet.group, len(diet.present(diet.on))
    if group.fed == "singly" or heads < 2:
        return ""
    if group.stations is None:
        return f"{heads} animals feed {group.fed} and nobody says at how many stations"
    if group.stations < heads:
        return f"{heads} animals feed {group.fed} at {group.stations} stations"
    return ""


def _shares_taken(diet: Diet, limits: Limits) -> int | None:
    factor = limits.applying(diet.group, FACTOR)
    if factor is None or factor.limit.at_most is None or not crowded(diet):
        return None
    return min(int(factor.limit.at_most), len(diet.present(diet.on)))


def _is_share(limit: Limit) -> bool:
    bound = limit.at_most is not None and not limit.standing.is_absence
    return bound and (limit.unit, limit.basis) == ("%", "dry matter") and limit.over in OVER


def taken(share: Interval, times: int) -> Interval:
    """The share of concentrate, 0 to 1, of an animal that gets `times` as much of it as planned
    and of everything else what is planned."""

    def of(one: Decimal) -> Interval:
        return exact(one) * times / (exact(one) * (times - 1) + 1)

    low, high = of(share.low).low, of(share.high).high
    return Interval(low, min(high, Decimal(1)))


def _of_share(diet: Diet, applied: Applied, animals: list[Animal], times: int) -> Iterator[Check]:
    limit = replace(applied.limit, severity="low", at_least=None)
    known: dict[int, tuple[Interval, Interval]] = {}
    figures, plain = [], {}
    for animal, span in spans(diet, animals, limit.over):
        if id(span) not in known:
            own = class_share(span.ration, CONCENTRATE.classes)
            known[id(span)] = own * 100, taken(own, times) * 100
        share, more = known[id(span)]
        if limit.stands(share) == "inside":
            figures.append(Figure(animal, more, span.occasions))
            plain[id(figures[-1])] = share
    for alike in hold(figures, limit):
        yield _share_report(
            diet, Applied(limit, applied.others), alike, plain[id(alike.worst)], times
        )


def _share_report(diet: Diet, applied: Applied, alike: Alike, share: Interval, times: int) -> Check:
    limit = applied.limit
    kept = alike.verdict is Verdict.KEPT
    untold = alike.verdict is Verdict.CANNOT_TELL
    value = figure_words(alike.worst.value, limit)
    bound = f"{limit_words(limit)} ({backing(limit)})"
    joint = "; whether that keeps" if untold else ", within" if kept else "; the limit is"
    times_more = f"{times - 1} more shares" if times > 2 else "another's share"
    return Check(
        verdict=alike.verdict,
        about=f"one animal takes others' concentrate, share {span_words(limit)}",
        severity=Severity.LOW,
        message=f"{who(diet, alike)}: concentrate {value} if one animal takes {times_more} of it"
        f"{joint} {bound}{' cannot be told' if untold else ''}.",
        advice="" if kept else _advice(diet),
        animals=alike.animals,
        occasions=() if kept else alike.occasions,
        measured=Measure.against(alike.worst.value, limit),
        limit=limit,
        others=applied.others,
        working=()
        if kept
        else (
            f"{crowded(diet)}: {times} shares for one, common practice, no source",
            f"concentrate as planned: {figure_words(share, limit)}",
            f"{times} times as much of it, the rest as planned: {value}",
            f"limit: {limit_words(limit)} {span_words(limit)}: {backing(limit)}",
        ),
        settles="how much each animal really eats of it" if untold else "",
        places=() if kept else (diet.group.place,),
    )


def _of_meals(diet: Diet, applied: Applied, animals: list[Animal], times: int) -> Iterator[Check]:
    limit = replace(applied.limit, severity="low", at_least=None)
    planned = {
        reading.figure.animal.id: limit.stands(reading.figure.value)
        for reading in worst_meals(diet, limit, animals)
    }
    fine = [animal for animal in animals if planned.get(animal.id) == "inside"]
    readings = list(worst_meals(diet, limit, fine, times))
    parts = {id(reading.figure): reading.parts for reading in readings}
    what = f"{MEASURES[limit.quantity][0]} in one meal, if one animal takes {times} shares,"
    note = f"{crowded(diet)}: {times} shares for one, common practice, no source"
    for alike in hold((reading.figure for reading in readings), limit):
        shown = Applied(limit, applied.others)
        check = report(diet, shown, alike, parts[id(alike.worst)], what, note)
        about = f"one animal takes others' share, {limit.quantity}"
        advice = check.advice and _advice(diet)
        yield replace(check, about=about, advice=advice, severity=Severity.LOW)


def _advice(diet: Diet) -> str:
    return (
        f"Feed at as many stations as there are animals ({len(diet.present(diet.on))}), apart, "
        "and watch who eats."
    )
