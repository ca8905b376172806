"""Feeder insects hold far more phosphorus than calcium: the calcium that is put on them."""

from collections.abc import Iterator
from dataclasses import dataclass

from dietcheck.contract import (
    ZERO,
    Animal,
    Check,
    Diet,
    Food,
    Interval,
    Limits,
    Ration,
    Verdict,
    calcium_to_phosphorus,
    ratio,
)
from dietcheck_rules.levels.spans import Span, spans
from dietcheck_rules.required_supplement import reports

QUANTITY = "insect-calcium"
INSECT = "insect"
POWDERS = frozenset({"supplement", "mineral"})


@dataclass(frozen=True, slots=True, eq=False)
class Dusted:
    """One kind of day with insects: their ratio with the powders, and that of all food."""

    animal: Animal
    span: Span
    value: Interval
    whole: Interval
    insects: tuple[Food, ...]
    powders: tuple[Food, ...]  # those that state some calcium, or state nothing of it


def judge_insects(
    diet: Diet, limits: Limits, stage: str | None, animals: list[Animal]
) -> Iterator[Check]:
    """Each day's insects with each day's powders; the rest of the food may make up for them."""
    applied = limits.applying(diet.group, QUANTITY, stage=stage)
    if applied is None or not any(has_insects(offer.line.food) for offer in diet.offers()):
        return
    if applied.limit.basis != "ratio" or applied.limit.over != "day":
        yield reports.unreadable(diet, applied.limit)
        return
    by_verdict: dict[Verdict, list[Dusted]] = {}
    for animal in animals:
        for span in spans(diet, animal, "day"):
            if (dusted := _dusted(animal, span)) is not None:
                own, whole = map(applied.limit.stands, (dusted.value, dusted.whole))
                by_verdict.setdefault(_verdict(own, whole), []).append(dusted)
    for verdict, found in by_verdict.items():
        found.sort(key=lambda one: (bool(one.powders), one.value.low))
        yield reports.insects(diet, applied, verdict, found)


def has_insects(food: Food) -> bool:
    """Whether a food is insects, or a mix with some."""
    return any(part.food_class == INSECT for part, _ in food.all_parts())


def _verdict(own: str, whole: str) -> Verdict:
    if "inside" in (own, whole):
        return Verdict.KEPT
    return Verdict.BREACH if own == whole == "past" else Verdict.CANNOT_TELL


def _dusted(animal: Animal, span: Span) -> Dusted | None:
    ration = span.ration
    insects = tuple(food for food in ration.grams_of if has_insects(food))
    if not insects:
        return None
    powders = tuple(
        food
        for food in ration.grams_of
        if any(part.food_class in POWDERS for part, _ in food.all_parts())
        and (
            not ration.profiles[food].states("calcium")
            or ration.profiles[food].per_100g("calcium").low > 0
        )
    )
    value = _ratio_of(ration)
    return Dusted(animal, span, value, calcium_to_phosphorus(ration), insects, powders)


def _ratio_of(ration: Ration) -> Interval:
    """Calcium to phosphorus, by mass, of the insects and the powders alone."""
    parts = []
    for food, grams in ration.grams_of.items():
        calcium, phosphorus = ZERO, ZERO
        for part, share in food.all_parts():
            if not part.mix and (part.food_class == INSECT or part.food_class in POWDERS):
                profile = ration.profiles[part]
                calcium = calcium + profile.per_100g("calcium") * share
                phosphorus = phosphorus + profile.per_100g("phosphorus") * share
        parts.append((grams, calcium, phosphorus))
    return ratio(parts)
