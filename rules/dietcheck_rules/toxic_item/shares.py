"""Items that harm only in quantity: their share of the greens, or of the diet, against a limit."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from msgspec import Struct

from dietcheck.contract import (
    ZERO,
    Alike,
    Animal,
    Applied,
    Check,
    Diet,
    Figure,
    Food,
    Interval,
    Limit,
    Limits,
    Measure,
    Ration,
    Verdict,
    When,
    Window,
    exact,
    hold,
    share_of,
)
from dietcheck_rules.shared.references import refs
from dietcheck_rules.shared.wording import figure_words, limit_words, span_words, standing_words
from dietcheck_rules.toxic_item.assess import Risk
from dietcheck_rules.toxic_item.exposure import Exposure, different_days

GREENS = frozenset({"leafy green", "herb", "vegetable", "sprout", "browse"})
WEEK = 7
WHOLE = exact(1)
Pair = tuple[Risk, Exposure]


def share_checks(diet: Diet, limits: Limits, found: Sequence[Pair]) -> Iterator[Check]:
    """One check, or one for each verdict, for each item that a share decides on."""
    by_item: dict[str, list[Pair]] = defaultdict(list)
    for risk, exposure in found:
        by_item[risk.item.id].append((risk, exposure))
    alike = _fed_alike(diet) if by_item else ()
    for pairs in by_item.values():
        toxic = pairs[0][0].item
        own = limits.applying(diet.group, f"share of {toxic.share_of} from {toxic.id}")
        of_greens = limits.applying(diet.group, "share of greens")
        of_diet = limits.applying(diet.group, "share of diet")
        if own is not None:
            yield from _check(diet, alike, own, pairs, toxic.share_of)
        if toxic.share_of == "diet" and own is None and of_diet is not None:
            yield from _check(diet, alike, of_diet, pairs, "diet")
        if toxic.share_of == "greens" and of_greens is not None:
            # Most of the greens is no staple where greens are a trifle beside hay and grass.
            trifle = of_diet and _on_the_worst_day(alike, of_diet, pairs, "diet")
            yield from [trifle] if trifle else _check(diet, alike, of_greens, pairs, "greens")


class _FedAlike(Struct, frozen=True):
    """Animals that get the same every day, with their rations of the different days."""

    animals: tuple[Animal, ...]
    rations: tuple[Ration, ...]


def _fed_alike(diet: Diet) -> tuple[_FedAlike, ...]:
    """The animals of a group, sorted by what they get, so that it is reckoned once."""
    days = different_days(diet)
    found: dict[tuple[Ration, ...], list[Animal]] = defaultdict(list)
    for animal in diet.animals:
        found[tuple(diet.day_ration(animal, day) for day in days)].append(animal)
    return tuple(_FedAlike(tuple(animals), rations) for rations, animals in found.items())


def _check(
    diet: Diet, alike: Sequence[_FedAlike], applied: Applied, pairs: Sequence[Pair], of: str
) -> Iterator[Check]:
    limit = applied.limit
    if kept := _on_the_worst_day(alike, applied, pairs, of):
        yield kept
        return
    foods = _foods(pairs)
    windows = {
        id(figure): (window, figure)
        for one in alike
        for window, figure in _figures(diet, one, of, foods, limit)
    }
    for held in hold((figure for _, figure in windows.values()), limit):
        inside = (windows[id(figure)][0] for figure in held.figures)
        occasions = () if held.verdict is Verdict.KEPT else _occasions(inside, foods)
        yield _said(applied, pairs, held, (of, span_words(limit)), tuple(occasions))


def _on_the_worst_day(
    alike: Sequence[_FedAlike], applied: Applied, pairs: Sequence[Pair], of: str
) -> Check | None:
    """A kept check when no single day is past the limit: then no days together are."""
    limit, foods = applied.limit, _foods(pairs)
    days = [figure for one in alike for figure in _days(one, of, foods)]
    if not days or any(limit.stands(figure.value) != "inside" for figure in days):
        return None
    return _said(applied, pairs, next(hold(days, limit)), (of, "on the worst day"), ())


def _foods(pairs: Iterable[Pair]) -> frozenset[Food]:
    return frozenset(exposure.part for _, exposure in pairs)


def _said(
    applied: Applied,
    pairs: Sequence[Pair],
    alike: Alike,
    of_and_span: tuple[str, str],
    occasions: tuple[When, ...],
) -> Check:
    limit, worst, toxic = applied.limit, alike.worst, pairs[0][0].item
    foods = sorted({exposure.part.id for _, exposure in pairs})
    names = ", ".join(foods)
    of, span = of_and_span
    shown = figure_words(worst.value, limit)
    kept = alike.verdict is Verdict.KEPT
    asked = " ".join(dict.fromkeys(q for risk, _ in pairs for q in risk.open_questions))
    doubtful = bool(asked) and not kept
    verdict = Verdict.CANNOT_TELL if doubtful else alike.verdict
    return Check(
        verdict=verdict,
        about=f"{toxic.name}: {limit.quantity} {span_words(limit)}",
        food=foods[0] if len(foods) == 1 else None,
        severity=alike.severity.one_lower() if doubtful else alike.severity,
        message=f'{worst.animal.called}: {names} ("{toxic.name}") is {shown} of the {of} {span}; '
        f"{limit_words(limit)} ({standing_words(limit)}). In quantity: {toxic.effect}.",
        advice=""
        if kept
        else "Swap part of it for other foods and rotate; ask the vet before feeding more.",
        animals=alike.animals,
        occasions=occasions,
        measured=Measure(worst.value, "%", "as fed"),
        limit=limit,
        others=applied.others,
        working=(f"{names} ÷ all {of}, {span} = {shown}", f"{limit_words(limit)}: {limit.note}"),
        settles=(asked or "amounts in a narrower range") if verdict is Verdict.CANNOT_TELL else "",
        places=tuple(exposure.offers[0].line.place.at("food") for _, exposure in pairs),
        sources=refs(key for risk, _ in pairs for key in risk.row.sources),
    )


def _days(alike: _FedAlike, of: str, foods: Collection[Food]) -> Iterator[Figure]:
    """The share on each different day that has any, enclosed: item most and the rest least."""
    for ration in dict.fromkeys(alike.rations):
        parts = _counted(ration, of, foods)
        held = sum((parts[food] for food in foods if food in parts), ZERO)
        rest = sum((grams for food, grams in parts.items() if food not in foods), ZERO)
        if held.high > 0:
            share = _enclosed(held, rest)
            yield from (Figure(animal, share) for animal in alike.animals)


def _enclosed(held: Interval, rest: Interval) -> Interval:
    # Rounded to nearest, the ends of a range no wider than a last digit could cross.
    share = share_of(held, rest)
    return Interval(share.low, share.high) * 100


def _windows(diet: Diet, animal: Animal, limit: Limit) -> Iterable[Window]:
    return diet.windows(animal, WEEK) if limit.over == "7 days" else diet.rotas(animal)


def _figures(
    diet: Diet, alike: _FedAlike, of: str, foods: Iterable[Food], limit: Limit
) -> Iterator[tuple[Window, Figure]]:
    wanted = dict.fromkeys(foods, WHOLE)
    for window in _windows(diet, alike.animals[0], limit):
        parts = _counted(window.ration, of, wanted)
        if wanted.keys().isdisjoint(parts):
            continue
        share = Ration(parts, window.ration.days, diet.profiles).share(wanted.items(), None)
        for animal in alike.animals:
            yield window, Figure(animal, share * 100)


def _counted(ration: Ration, of: str, foods: Collection[Food]) -> Mapping[Food, Interval]:
    """The grams of each food that the share is reckoned on, mixes taken apart."""
    parts = _simple_parts(ration)
    if of != "greens":
        return parts
    return {f: grams for f, grams in parts.items() if f.food_class in GREENS or f in foods}


def _simple_parts(ration: Ration) -> Mapping[Food, Interval]:
    grams_of: dict[Food, Interval] = {}
    for food, grams in ration.grams_of.items():
        if not food.mix:
            grams_of[food] = grams_of.get(food, ZERO) + grams
            continue
        for part, share in food.all_parts():
            if not part.mix:
                grams_of[part] = grams_of.get(part, ZERO) + grams * share
    return grams_of


def _occasions(windows: Iterable[Window], foods: Collection[Food]) -> Iterator[When]:
    days = {day.on: day for window in windows for day in window.days}
    for day in days.values():
        for feed in day.feeds:
            if any(part in foods for line in feed.lines for part, _ in line.food.all_parts()):
                yield When(day.on, day.number, feed.slot, feed.meal)
