"""Holds the shares of a diet against the limits of a rule."""

from collections.abc import Iterator, Sequence

from dietcheck.contract import (
    Animal,
    Applied,
    Check,
    Diet,
    Limit,
    Limits,
    Standing,
    hold,
    not_applicable,
)
from dietcheck_rules.shared.class_shares.reports import about_of, not_countable, report
from dietcheck_rules.shared.class_shares.shares import Share, can_judge, worst_readings


def judge_shares(diet: Diet, limits: Limits, shares: Sequence[Share]) -> Iterator[Check]:
    """One check for each limit and verdict; nothing at all where no limit stands."""
    for stage, animals in by_stage(diet).items():
        for share in shares:
            for applied in limits.each(diet.group, share.quantity, stage=stage):
                yield from _judge(diet, limits, share, applied, animals)


def by_stage(diet: Diet) -> dict[str | None, list[Animal]]:
    """The animals of the group by their stage of life."""
    stages: dict[str | None, list[Animal]] = {}
    for animal in diet.animals:
        stages.setdefault(animal.stage, []).append(animal)
    return stages


def _judge(
    diet: Diet, limits: Limits, share: Share, applied: Applied, animals: list[Animal]
) -> Iterator[Check]:
    limit = applied.limit
    about = about_of(share, limit)
    if limit.standing.is_absence:
        yield not_applicable(about, f"{diet.group.called}: {limit.standing.value}. {limit.note}")
        return
    if not can_judge(limit):
        yield not_countable(diet, share, limit)
        return
    readings = list(worst_readings(diet, animals, share, limit))
    if not readings:
        yield not_applicable(
            about,
            f"{diet.group.called}: no days with food in them and without a hole are planned.",
        )
        return
    shown = Applied(limit, (*applied.others, *_wider(diet, limits, applied)))
    rations = {id(reading.figure): reading.ration for reading in readings}
    for alike in hold((reading.figure for reading in readings), limit):
        yield report(diet, share, shown, alike, rations[id(alike.worst)])


def _wider(diet: Diet, limits: Limits, applied: Applied) -> Iterator[Limit]:
    """Published figures for a wider taxon or an older edition: shown, never applied."""
    known = (applied.limit, *applied.others)
    for row in limits.rows:
        if (
            row.quantity == applied.limit.quantity
            and row.standing is Standing.PUBLISHED
            and row.group is None
            and row not in known
            and diet.group.taxon.is_in(row.taxon)
        ):
            yield row
