"""What is said about whole prey and egg: the message, the arithmetic, the lines to look at."""

from collections.abc import Iterator

from dietcheck.contract import (
    Alike,
    Applied,
    Check,
    Diet,
    Measure,
    Pointer,
    Severity,
    SourceRef,
    Verdict,
    class_share,
    format_interval,
)
from dietcheck_rules.fat_and_whole_prey.prey import (
    CLASSES,
    FEEDS,
    Measured,
    is_prey,
    may_be_prey,
    slots_with,
)
from dietcheck_rules.shared.levels.spans import Span, spans
from dietcheck_rules.shared.wording import (
    figure_words,
    limit_words,
    span_words,
    standing_words,
    unit_words,
)

KNOWN = (
    "known: meerkats on mice had 19.1 mmol/l cholesterol in the blood, on dry cat food, insects "
    "and greens 11.6 (Strike2014, abstract); observed, no limit"
)
MOST_DAYS = 5  # rota lines that a finding points at


def report(diet: Diet, applied: Applied, alike: Alike, worst: Measured) -> Check:
    """The check for animals that stand alike."""
    limit = applied.limit
    feeds = limit.quantity == FEEDS
    kept = alike.verdict is Verdict.KEPT
    value = figure_words(alike.worst.value, limit)
    bound = f"{limit_words(limit)} ({standing_words(limit)})"
    who = f"{diet.group.called}, {worst.animal.called}"
    if len(alike.animals) > 1:
        who += f" (and {len(alike.animals) - 1} more)"
    what = f"whole prey or egg {'in' if feeds else 'makes'} {value} {span_words(limit)}"
    endings = {
        Verdict.BREACH: f"the cap is {bound}.",
        Verdict.CANNOT_TELL: f"whether that keeps {bound} cannot be told.",
        Verdict.KEPT: f"within {bound}.",
    }
    return Check(
        verdict=alike.verdict,
        about="whole prey too often" if feeds else "whole prey share",
        severity=Severity(alike.severity),
        message=f"{who}: {what}; {endings[alike.verdict]}",
        advice="" if kept else _advice(alike.verdict),
        animals=alike.animals,
        occasions=() if kept else alike.occasions,
        measured=Measure(alike.worst.value, unit_words(limit), span_words(limit)),
        limit=limit,
        others=applied.others,
        working=tuple(_working(diet, worst)),
        settles="" if alike.verdict is not Verdict.CANNOT_TELL else _settles(worst),
        places=() if kept else tuple(_places(diet, worst)),
        sources=(SourceRef("Strike2014", "abstract"),),
    )


def _advice(verdict: Verdict) -> str:
    if verdict is Verdict.CANNOT_TELL:
        return "Settle what is named below, or ask the vet."
    return "Feed the last approved rota, or ask the vet before so much prey is fed."


def _working(diet: Diet, worst: Measured) -> Iterator[str]:
    yield _days_with(diet, worst, worst.span)
    ration = worst.span.ration
    for food, grams in ration.grams_of.items():
        if is_prey(food):
            yield f"{food.name}: {format_interval(grams, 'g')} in {ration.days} days"
    rota = max(
        spans(diet, worst.animal, "rota"),
        key=lambda span: class_share(span.ration, CLASSES).high,
    )
    if len(rota.days) > len(worst.span.days):
        yield _days_with(diet, worst, rota)
    share = class_share(rota.ration, CLASSES) * 100
    fat = rota.ration.density("fat") * 100
    yield f"over the rota: {format_interval(share, '% of dry matter')} whole prey and egg"
    yield f"fat over the rota: {format_interval(fat, '% of dry matter')}; no cap on it is published"
    yield KNOWN


def _days_with(diet: Diet, worst: Measured, span: Span) -> str:
    days = [day for day in span.days if slots_with(diet, worst.animal, day).high]
    numbers = ", ".join(str(day.number) for day in days) or "none"
    return f"rota days with whole prey or egg: {numbers} ({len(days)} of {len(span.days)})"


def _settles(worst: Measured) -> str:
    foods = worst.span.ration.grams_of
    if open_ := [food.id for food in foods if may_be_prey(food)]:
        return f"what {', '.join(open_)} is: its class in the food list"
    wet = [food.id for food in foods if not worst.span.ration.profiles[food].states("water")]
    if wet:
        return f"the water content of {', '.join(wet)}"
    return "how much of each food each animal is offered"


def _places(diet: Diet, worst: Measured) -> Iterator[Pointer]:
    """The rota days with prey first: they say how often."""
    said = 0
    for day in worst.span.days:
        if said == MOST_DAYS:
            break
        if day.rota and slots_with(diet, worst.animal, day).high:
            said += 1
            yield day.rota.days[day.number - 1].place
    for offer in diet.given():
        if is_prey(offer.line.food) or may_be_prey(offer.line.food):
            yield offer.line.place.at("food")
