"""Treats of every kind against what is allowed of them, in a day and over any fortnight.

Training rewards, enrichment, public feeds, the food that carries a medicine and treats by date are
one ledger: each alone is little, together they are not. Past days count as far as they are known.
"""

from collections.abc import Iterable, Iterator
from decimal import Decimal

from msgspec.structs import replace

from dietcheck.contract import (
    Alike,
    Animal,
    Applied,
    Check,
    Diet,
    Figure,
    Limit,
    Limits,
    Rule,
    Severity,
    Standing,
    Verdict,
    files,
    hold,
    hookimpl,
    is_treat,
    not_applicable,
)
from dietcheck_rules.treat_allowance.accounting import judge_accounting
from dietcheck_rules.treat_allowance.beside_sheet import not_on_the_sheet
from dietcheck_rules.treat_allowance.ledger import (
    LONGEST,
    QUANTITIES,
    Ledger,
    can_judge,
    worst_readings,
)
from dietcheck_rules.treat_allowance.reports import about_of, none_given, not_countable, report

TWICE = Decimal(2)  # a breach of more than twice a default is for the vet to decide


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="treat-allowance",
        title="Treats stay a small part of the diet",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """One check for each limit, verdict and food; kept where nothing is given as a treat."""
    stages: dict[str | None, list[Animal]] = {}
    for animal in diet.animals:
        stages.setdefault(animal.stage, []).append(animal)
    yield from not_on_the_sheet(diet)
    rows = {stage: list(_rows(diet, limits, stage)) for stage in stages}
    if not any(rows.values()):
        yield not_applicable(
            "treats",
            f"{diet.group.called}: limit not yet sourced. The bundled rules hold no limit on "
            "treats for this species; the vet can set one in a limits record.",
        )
        return
    if not _has_treats(diet):
        yield none_given(diet)
        return
    ledgers = Ledger.of_group(diet)
    for stage, animals in stages.items():
        of_stage = [ledgers[animal] for animal in animals]
        for applied in rows[stage]:
            yield from _judge(diet, applied, of_stage)
        yield from judge_accounting(diet, limits, stage, animals)


def _rows(diet: Diet, limits: Limits, stage: str | None) -> Iterator[Applied]:
    for quantity in QUANTITIES:
        yield from limits.each(diet.group, quantity, stage=stage)


def _has_treats(diet: Diet) -> bool:
    before = (line for day in diet.days_before(LONGEST - 1) for f in day.feeds for line in f.lines)
    return any(is_treat(offer.line) for offer in diet.offers()) or any(map(is_treat, before))


def _judge(diet: Diet, applied: Applied, ledgers: list[Ledger]) -> Iterator[Check]:
    limit = applied.limit
    if limit.standing.is_absence:
        yield not_applicable(
            about_of(limit), f"{diet.group.called}: {limit.standing.value}. {limit.note}"
        )
        return
    if not can_judge(limit):
        yield not_countable(diet, limit)
        return
    found = [reading for ledger in ledgers for reading in worst_readings(ledger, limit)]
    if not found:
        yield not_applicable(
            about_of(limit), f"{diet.group.called}: no so many days in a row are known."
        )
        return
    readings = {id(reading.figure): reading for reading in found}
    for alike in hold((reading.figure for reading in found), limit):
        for part in _graded(alike, limit):
            yield from report(diet, applied, part, readings)


def _graded(alike: Alike, limit: Limit) -> Iterator[Alike]:
    """Breaches of a default, those of more than twice the cap apart and graver."""
    cap = limit.at_most
    if limit.standing is Standing.SITE_RULE or alike.verdict is not Verdict.BREACH or cap is None:
        yield alike
        return
    far: list[Figure] = [one for one in alike.figures if one.value.low > cap * TWICE]
    near = [one for one in alike.figures if one.value.low <= cap * TWICE]
    if far:
        yield replace(alike, severity=Severity.MEDIUM, figures=tuple(far))
    if near:
        yield replace(alike, figures=tuple(near))
