"""Every limit says what it stands on, and no limit of the house guards nothing in silence.

A limit that no rule reads, or that is set for a name that no animal bears, looks like protection
and is none. A published figure whose work is in no bibliography cannot be looked up.
"""

from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Check,
    Limit,
    Rule,
    Severity,
    SourceRef,
    Standing,
    Verdict,
    World,
    files,
    hookimpl,
)
from dietcheck_rules.limit_has_evidence import house
from dietcheck_rules.shared.wording import limit_words


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="limit-has-evidence",
        title="Every limit says what it stands on",
        folder=files(__name__),
        always_on=True,
    )


@hookimpl
def judge_collection(world: World) -> Iterable[Check]:
    """Citations that lead nowhere, limits of the house that guard nothing, and the count of all."""
    yield from _without_work(world)
    for limit in world.collection.limits:
        yield from house.judge(world, limit)
    yield _counted(world)


def _without_work(world: World) -> Iterator[Check]:
    for rule, rows in world.limits.items():
        for row in rows:
            missing = _missing(row, world.sources.get(rule, frozenset()))
            if missing:
                yield Check(
                    verdict=Verdict.BREACH,
                    about=f"limit without its work: {rule} {row.id}",
                    severity=Severity.MEDIUM,
                    message=f"The limit {row.id} of the rule {rule} ({row.taxon}, {row.quantity}) "
                    f"calls itself published, but {missing}.",
                    advice="Do not rely on it. Tell the authors of the rule.",
                    limit=row,
                    sources=row.sources,
                )


def _missing(row: Limit, known: frozenset[str]) -> str:
    """What a published limit lacks, in words."""
    if row.standing is not Standing.PUBLISHED:
        return ""
    if not row.sources:
        return "it names no work"
    if strange := [ref.key for ref in row.sources if ref.key not in known]:
        return f"{', '.join(strange)} is in no bibliography"
    lacking = [
        word
        for word, there in (
            ("the place in the work", any(ref.locator for ref in row.sources)),
            ("the kind of work", row.evidence),
            ("whether the work was read", row.seen),
        )
        if not there
    ]
    return f"{' and '.join(lacking)} is not said" if lacking else ""


def _counted(world: World) -> Check:
    """How many limits stand on what, and the list of those that stand on habit."""
    rows = {
        (rule, row.id): row
        for rule, rows in world.limits.items()
        for row in rows
        if row.standing is not Standing.SITE_RULE
    }
    counts = [
        f"{sum(row.standing is standing for row in rows.values())} {standing.value}"
        for standing in Standing
        if standing is not Standing.SITE_RULE
    ]
    counts.append(f"{len(world.collection.limits)} site rules")
    habit = [
        f"{rule}: {row.taxon}, {row.quantity}, {limit_words(row)}"
        for (rule, _), row in sorted(rows.items())
        if row.standing is Standing.COMMON_PRACTICE
    ]
    return Check(
        verdict=Verdict.KEPT,
        about="limits counted",
        severity=Severity.LOW,
        message=f"Limits in force: {', '.join(counts)}.",
        working=("common practice, no source:", *habit) if habit else (),
        sources=tuple(dict.fromkeys(_cited(rows.values()))),
    )


def _cited(rows: Iterable[Limit]) -> Iterator[SourceRef]:
    return (ref for row in rows for ref in row.sources)
