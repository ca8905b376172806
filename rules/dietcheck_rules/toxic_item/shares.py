"""Items that harm only in quantity: their share of the greens, or of the diet, against a limit."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence

from dietcheck.contract import (
    ZERO,
    Applied,
    Check,
    Diet,
    Figure,
    Food,
    Interval,
    Limits,
    Measure,
    Ration,
    Standing,
    Verdict,
    When,
    Window,
    exact,
    format_interval,
    hold,
)
from dietcheck_rules.toxic_item.assess import Risk
from dietcheck_rules.toxic_item.exposure import Exposure
from dietcheck_rules.toxic_item.items import Item, refs

GREENS = frozenset({"leafy green", "herb", "vegetable", "sprout", "browse"})
WEEK = 7


def share_checks(
    diet: Diet, limits: Limits, found: Sequence[tuple[Risk, Exposure]]
) -> Iterator[Check]:
    """One check, or one for each verdict, for each item that a share decides on."""
    by_item: dict[str, list[tuple[Risk, Exposure]]] = defaultdict(list)
    for risk, exposure in found:
        by_item[risk.item.id].append((risk, exposure))
    for pairs in by_item.values():
        for applied in _limits(diet, limits, pairs[0][0].item):
            yield from _check(diet, applied, pairs)


def _limits(diet: Diet, limits: Limits, toxic: Item) -> Iterator[Applied]:
    """The limit for the item itself, and the general one for how it is judged."""
    own = limits.applying(diet.group, f"share of {toxic.share_of} from {toxic.id}")
    general = limits.applying(diet.group, f"share of {toxic.share_of}")
    if own is not None:
        yield own
    if general is not None and (own is None or toxic.share_of == "greens"):
        yield general


def _check(diet: Diet, applied: Applied, pairs: Sequence[tuple[Risk, Exposure]]) -> Iterator[Check]:
    limit = applied.limit
    toxic = pairs[0][0].item
    foods = {exposure.part for _, exposure in pairs}
    figures = list(_figures(diet, toxic, foods, WEEK if limit.over == "7 days" else None))
    if not figures or limit.standing.is_absence:
        return
    for alike in hold(figures, limit):
        worst = alike.worst
        names = ", ".join(sorted(food.id for food in foods))
        of = "greens" if toxic.share_of == "greens" else "diet as fed"
        shown = format_interval(worst.value, "%", against=(limit.at_most or exact(0).low,))
        standing = (
            "common practice, no source; the vet sets this"
            if limit.standing is Standing.COMMON_PRACTICE
            else limit.standing.value
        )
        yield Check(
            verdict=alike.verdict,
            about=f"{toxic.name}: {limit.quantity} over {limit.over}",
            food=sorted(food.id for food in foods)[0] if len(foods) == 1 else None,
            severity=alike.severity,
            message=f"{worst.animal.called}: {names} ({toxic.name.lower()}) is {shown} of the {of} "
            f"over {limit.over}; at most {limit.at_most} % ({standing}). "
            f"In quantity: {toxic.effect}.",
            advice="Swap part of it for other foods and rotate; ask the vet before feeding more."
            if alike.verdict is not Verdict.KEPT
            else "",
            animals=alike.animals,
            occasions=alike.occasions if alike.verdict is not Verdict.KEPT else (),
            measured=Measure(worst.value, "%", "as fed"),
            limit=limit,
            others=applied.others,
            working=(
                f"{names} ÷ all {of}, over {limit.over} = {shown}",
                f"limit {limit.at_most} %: {limit.note}",
            ),
            settles="amounts as a narrower range" if alike.verdict is Verdict.CANNOT_TELL else "",
            places=tuple(
                exposure.offers[0].line.place.at("food") for _, exposure in pairs if exposure.offers
            ),
            sources=refs(key for risk, _ in pairs for key in risk.row.sources),
        )


def _figures(diet: Diet, toxic: Item, foods: Iterable[Food], days: int | None) -> Iterator[Figure]:
    wanted = {food: exact(1) for food in foods}
    for animal in diet.animals:
        windows = diet.rotas(animal) if days is None else diet.windows(animal, days)
        for window in windows:
            parts = _simple_parts(window.ration)
            if toxic.share_of == "greens":
                parts = {
                    food: grams
                    for food, grams in parts.items()
                    if food.food_class in GREENS or food in wanted
                }
            held = {food: grams for food, grams in parts.items() if food in wanted}
            if not held:
                continue
            share = Ration(parts, window.ration.days, diet.profiles).share(wanted.items(), None)
            yield Figure(animal, share.scale(exact(100).low), tuple(_occasions(window, held)))


def _simple_parts(ration: Ration) -> Mapping[Food, Interval]:
    """The grams of each food that is no mix, mixes taken apart."""
    grams_of: dict[Food, Interval] = {}
    for food, grams in ration.grams_of.items():
        for part, share in food.all_parts():
            if not part.mix:
                grams_of[part] = grams_of.get(part, ZERO) + grams * share
    return grams_of


def _occasions(window: Window, held: Mapping[Food, Interval]) -> Iterator[When]:
    for day in window.days:
        for feed in day.feeds:
            if any(part in held for line in feed.lines for part, _ in line.food.all_parts()):
                yield When(day.on, day.number, feed.slot, feed.meal)
