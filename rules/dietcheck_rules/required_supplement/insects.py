"""Feeder insects hold far more phosphorus than calcium: the calcium that is put on them."""

from collections.abc import Iterable, Iterator

from msgspec import Struct
from msgspec.structs import replace

from dietcheck.contract import (
    ZERO,
    Animal,
    Check,
    Diet,
    Food,
    Interval,
    Limit,
    Limits,
    Ration,
    Verdict,
    calcium_to_phosphorus,
    ratio,
)
from dietcheck_rules.required_supplement import reports
from dietcheck_rules.shared.levels.spans import Span, spans

QUANTITY = "insect-calcium"
INSECT = "insect"
POWDERS = frozenset({"supplement", "mineral"})


class Dusted(Struct, frozen=True, eq=False):
    """One kind of day with insects: their ratio with the powders, and that of all food."""

    animal: Animal
    span: Span
    value: Interval
    insects: tuple[Food, ...]
    powders: tuple[Food, ...]  # those that state some calcium, or state nothing of it

    @property
    def whole(self) -> Interval:
        """Calcium to phosphorus of all food of the day."""
        return calcium_to_phosphorus(self.span.ration)


def judge_insects(
    diet: Diet, limits: Limits, stage: str | None, animals: list[Animal]
) -> Iterator[Check]:
    """Each day's insects with each day's powders; the rest of the food may make up for them."""
    applied = limits.applying(diet.group, QUANTITY, stage=stage)
    if applied is None or not any(has_insects(offer.line.food) for offer in diet.given()):
        return
    if applied.limit.basis != "ratio" or applied.limit.over != "day":
        yield reports.unreadable(diet, applied.limit)
        return
    by_verdict: dict[Verdict, list[Dusted]] = {}
    for span, eaters in _eaters(diet, animals):
        if (first := _dusted(eaters[0], span)) is not None:
            found = by_verdict.setdefault(_verdict(first, applied.limit), [])
            found.extend(replace(first, animal=animal) for animal in eaters)
    for verdict, dusted in by_verdict.items():
        dusted.sort(key=lambda one: (bool(one.powders), one.value.low))
        yield reports.insects(diet, applied, verdict, dusted)


def has_insects(food: Food) -> bool:
    """Whether a food is insects, or a mix with some."""
    return any(part.food_class == INSECT for part, _ in food.all_parts())


def _eaters(diet: Diet, animals: list[Animal]) -> Iterable[tuple[Span, list[Animal]]]:
    """Each kind of day once, with the animals that are fed so."""
    found: dict[int, tuple[Span, list[Animal]]] = {}
    for animal in animals:
        for span in spans(diet, animal, "day"):
            found.setdefault(id(span), (span, []))[1].append(animal)
    return found.values()


def _verdict(dusted: Dusted, limit: Limit) -> Verdict:
    own = limit.stands(dusted.value)
    if own == "inside" or (whole := limit.stands(dusted.whole)) == "inside":
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
    return Dusted(animal, span, _ratio_of(ration), insects, powders)


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
