"""The pellet by itself: its own ceiling, and whether its iron rests on an analysis or a label."""

from collections.abc import Iterator

from dietcheck.contract import (
    Applied,
    Check,
    Diet,
    Food,
    Interval,
    Limits,
    Measure,
    Pointer,
    Severity,
    Verdict,
)
from dietcheck_rules.iron_ceiling.prone import Prone
from dietcheck_rules.shared.levels import applying
from dietcheck_rules.shared.levels.words import bound_words, figure_words

FEED = "compound feed"
VERDICTS = {"past": Verdict.BREACH, "across": Verdict.CANNOT_TELL, "inside": Verdict.KEPT}


def pellets(diet: Diet, limits: Limits, prone: Prone) -> Iterator[Check]:
    """What there is to say of each compound feed that is offered.

    A feed that does not state its iron is left to the judgement of the whole diet where that has
    a ceiling: one cause is told once.
    """
    whole = any(a.limit.at_most is not None for a in applying(limits, diet, "iron", None))
    for food in compound_feeds(diet):
        stated = diet.profiles[food].states("iron")
        applied = next(iter(applying(limits, diet, "iron-in-pellet", None)), None)
        if applied is not None and (stated or not whole):
            yield _against(diet, food, applied)
        if prone.batch and stated and "analysis" not in food.record:
            yield _label_only(diet, food, prone)


def compound_feeds(diet: Diet) -> tuple[Food, ...]:
    """The compound feeds on the sheet, those in a mix included."""
    foods = (part for offer in diet.given() for part, _ in offer.line.food.all_parts())
    return tuple(dict.fromkeys(food for food in foods if food.food_class == FEED))


def _against(diet: Diet, food: Food, applied: Applied) -> Check:
    limit = applied.limit
    value = _per_kg_dry(diet, food)
    verdict = VERDICTS[limit.stands(value)]
    blank = not diet.profiles[food].states("iron")
    says = {
        Verdict.KEPT: f"within {bound_words(limit)}",
        Verdict.BREACH: f"the limit for the pellet is {bound_words(limit)}",
        Verdict.CANNOT_TELL: f"whether that keeps {bound_words(limit)} cannot be told",
    }[verdict]
    held = "iron that nobody states" if blank else f"iron {figure_words(value, limit)}"
    return Check(
        verdict=verdict,
        about="iron of the pellet itself",
        food=food.id,
        severity=Severity.MEDIUM if blank else Severity(limit.severity),
        message=f"{diet.group.called}: {food.name} ({food.id}) holds {held}; {says}.",
        advice="" if verdict is Verdict.KEPT else "Feed the last approved pellet, or ask the vet.",
        measured=Measure(value, limit.unit, "dry matter of the pellet"),
        limit=limit,
        others=applied.others,
        settles=f"the iron of {food.id}, by an analysis of the batch"
        if verdict is Verdict.CANNOT_TELL
        else "",
        places=() if verdict is Verdict.KEPT else (food.place, *_lines(diet, food)),
    )


def _label_only(diet: Diet, food: Food, prone: Prone) -> Check:
    return Check(
        verdict=Verdict.BREACH,
        about="iron by the label only",
        food=food.id,
        severity=Severity.LOW,
        message=f"{diet.group.called}: the iron of {food.name} ({food.id}) rests on its label. "
        f"{prone.taxon} store iron, and feeds sold as low in iron are not always low.",
        advice="Have each batch analysed for iron and write the result under `analysis`.",
        sources=prone.sources,
        places=(food.place, *_lines(diet, food)),
    )


def _per_kg_dry(diet: Diet, food: Food) -> Interval:
    profile = diet.profiles[food]
    dry = profile.per_100g("dry_matter")
    return profile.per_100g("iron") / dry * 1000 if dry.low else Interval(0, 10**6)


def _lines(diet: Diet, food: Food) -> Iterator[Pointer]:
    for offer in diet.given():
        if any(part is food for part, _ in offer.line.food.all_parts()):
            yield offer.line.place.at("food")
