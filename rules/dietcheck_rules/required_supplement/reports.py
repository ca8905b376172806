"""What is said about meat without bone and insects without calcium."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from dietcheck.contract import (
    Alike,
    Applied,
    Check,
    Diet,
    Food,
    Limit,
    Measure,
    Pointer,
    Severity,
    Verdict,
    format_interval,
)
from dietcheck_rules.shared.former import former_words
from dietcheck_rules.shared.levels.words import bound_words, food_words, who_words

if TYPE_CHECKING:
    from dietcheck_rules.required_supplement.insects import Dusted
    from dietcheck_rules.required_supplement.meat import Bite

MOST_LINES = 6


def meat(diet: Diet, applied: Applied, alike: Alike, bites: tuple[Bite, ...]) -> Check:
    """Meat without bone: too many feeds running, or never any calcium."""
    limit = applied.limit
    alone = limit.unit == "days"
    kept = alike.verdict is Verdict.KEPT
    cannot = alike.verdict is Verdict.CANNOT_TELL
    who = who_words(diet, [figure.animal for figure in alike.figures])
    foods = list(dict.fromkeys(food for bite in bites for food in bite.meat))
    silent = list(dict.fromkeys(food for bite in bites for food in bite.silent))
    feeds = format_interval(alike.worst.value, "feeds")
    if alone:
        said = (
            f"meat without bone ({food_words(foods)}); no bone, whole prey or calcium in the rota"
        )
        bound = bound_words(limit).replace("at most 0 days", "meat on its own needs a supplement")
    else:
        said = f"meat without bone in {feeds} running, with no bone, whole prey or calcium"
        bound = bound_words(limit)
    endings = {
        Verdict.BREACH: f"{said}; the rule is: {bound}.",
        Verdict.CANNOT_TELL: f"{said} as far as the labels say; whether that keeps the rule "
        f"({bound}) cannot be told.",
        Verdict.KEPT: f"meat without bone has bone, whole prey or calcium with it; kept: {bound}.",
    }
    sheet = bites[0].sheet if bites else None
    return Check(
        verdict=alike.verdict,
        about="meat and nothing with calcium" if alone else "meat without bone running",
        severity=alike.severity,
        message=f"{who}: {endings[alike.verdict]}",
        advice=""
        if kept
        else "Give bone, whole prey or a calcium supplement with the meat; the "
        f"vet sets how much.{former_words(diet, sheet)}",
        animals=alike.animals,
        occasions=() if kept else alike.occasions,
        measured=Measure(alike.worst.value, limit.unit, "running" if not alone else "in the rota"),
        limit=limit,
        others=applied.others,
        working=tuple(_running(bites)),
        settles=f"the calcium on the label of {food_words(silent)}" if cannot and silent else "",
        places=() if kept else tuple(_lines(diet, [*foods, *silent])),
    )


def insects(diet: Diet, applied: Applied, verdict: Verdict, found: list[Dusted]) -> Check:
    """Insects without enough calcium on them, the worst day shown."""
    limit, worst = applied.limit, found[0]
    kept = verdict is Verdict.KEPT
    animals = list({one.animal.id: one.animal for one in found}.values())
    value = format_interval(worst.value, "", against=[limit.at_least or worst.value.low])
    bare = not worst.powders
    given = "no calcium powder with them" if bare else f"with {food_words(worst.powders)}"
    said = f"{food_words(worst.insects)}, {given}: calcium to phosphorus {value}"
    bound = bound_words(limit)
    endings = {
        Verdict.BREACH: f"and the day's other food does not make up for it; the rule is {bound}.",
        Verdict.CANNOT_TELL: f"whether that keeps {bound} cannot be told.",
        Verdict.KEPT: f"enough with the day's other food, by {bound}.",
    }
    severity = Severity(limit.severity)
    if verdict is Verdict.CANNOT_TELL and not bare:
        severity = Severity.LOW
    return Check(
        verdict=verdict,
        about="calcium for feeder insects",
        severity=severity,
        message=f"{who_words(diet, animals)}: {said}; {endings[verdict]}",
        advice=""
        if kept
        else "Dust the insects with calcium and write it on the sheet; the vet sets how much."
        + former_words(diet, worst.span.days[0].sheet),
        animals=tuple(animal.id for animal in animals),
        occasions=()
        if kept
        else tuple(sorted({when for one in found for when in one.span.occasions()})),
        measured=Measure(worst.value, "", "calcium divided by phosphorus, insects and powders"),
        limit=limit,
        others=applied.others,
        working=tuple(_dusting(worst)),
        settles=_settles(worst) if verdict is Verdict.CANNOT_TELL else "",
        places=() if kept else tuple(_lines(diet, [*worst.insects, *worst.powders])),
    )


def unreadable(diet: Diet, limit: Limit) -> Check:
    """A limit, mostly the site's own, in a form that this rule cannot reckon in."""
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=f"{limit.quantity} in an unknown form",
        severity=Severity.MEDIUM,
        message=f"{diet.group.called}: nothing can be reckoned against the limit on "
        f"{limit.quantity} as it is written.",
        advice="Write calcium to phosphorus as one figure, such as 1.5, over day.",
        limit=limit,
        settles="a limit in a form that can be reckoned in",
        places=(limit.place,) if limit.place else (),
    )


def _running(bites: tuple[Bite, ...]) -> Iterator[str]:
    for bite in bites[:MOST_LINES]:
        held = {True: "calcium", False: "no calcium", None: "calcium not stated"}[bite.calcium]
        meat = food_words(bite.meat) if bite.meat else "no meat"
        yield f"day {bite.when.number}, {bite.when.slot}: {meat}; {held}"
    if (left := len(bites) - MOST_LINES) > 0:
        yield f"and {left} more feeds"


def _dusting(worst: Dusted) -> Iterator[str]:
    ration = worst.span.ration
    for food in dict.fromkeys((*worst.insects, *worst.powders)):
        profile = ration.profiles[food]
        grams = ration.grams_of[food]
        calcium = format_interval(grams / 100 * profile.per_100g("calcium"), "mg")
        phosphorus = format_interval(grams / 100 * profile.per_100g("phosphorus"), "mg")
        amount = format_interval(grams, "g")
        yield f"{food.name}, {amount}: calcium {calcium}, phosphorus {phosphorus}"
    yield f"insects and powders: {format_interval(worst.value, '')} to 1"
    yield f"all food of the day: {format_interval(worst.whole, '')} to 1"


def _settles(worst: Dusted) -> str:
    ration = worst.span.ration
    keys = ("calcium", "phosphorus")
    foods = dict.fromkeys((*worst.insects, *worst.powders, *ration.grams_of))
    silent = [f for f in foods if not all(ration.profiles[f].states(key) for key in keys)]
    if silent:
        return f"calcium and phosphorus of {food_words(silent)}"
    return f"narrower figures for calcium and phosphorus of {food_words(worst.insects)}"


def _lines(diet: Diet, foods: Iterable[Food]) -> Iterator[Pointer]:
    wanted = set(foods)
    for offer in diet.given():
        parts = {part for part, _ in offer.line.food.all_parts()}
        if wanted & parts:
            yield offer.line.place.at("food")
