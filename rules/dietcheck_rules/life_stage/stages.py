"""Which stages go together, and from what age an animal surely is grown."""

from collections.abc import Collection as Some
from decimal import Decimal

from dietcheck.contract import Animal, Diet, Limit, Limits, read_born

GROWN = "grown-age"
GROWING = frozenset({"juvenile", "growing"})  # two words for one thing, as far as feed goes


def fits(stage: str, written: Some[str]) -> bool:
    """Whether what is written for some stages is for an animal in this one."""
    return stage in written or (stage in GROWING and not GROWING.isdisjoint(written))


def age_span(diet: Diet, animal: Animal) -> tuple[int, int] | None:
    """The least and the most days the animal is old; None where no birth is written."""
    if animal.born is None:
        return None
    first, last = read_born(animal.born)
    return max((diet.on - last).days, 0), max((diet.on - first).days, 0)


def grown_limit(diet: Diet, limits: Limits, animal: Animal) -> tuple[Limit, Decimal]:
    """The limit on the age from which the species is grown, and that age in days."""
    applied = limits.applying(diet.group, GROWN, stage=animal.stage)
    assert applied is not None  # a default for every animal
    assert applied.limit.at_least is not None  # what is written otherwise was taken out
    return applied.limit, applied.limit.at_least


def is_grown(diet: Diet, limits: Limits, animal: Animal) -> bool:
    """Whether the animal surely is grown: by its birth, or by how long it is known here."""
    _, grown = grown_limit(diet, limits, animal)
    span = age_span(diet, animal)
    known = [w.on for w in animal.weighings]
    known += [animal.here_from] if animal.here_from else []
    least = span[0] if span else 0
    if known:
        least = max(least, (diet.on - min(known)).days)
    return least >= grown
