"""What is said about a share of the diet: the message, the arithmetic, the lines to look at."""

from collections.abc import Iterator
from decimal import Decimal

from dietcheck.contract import (
    Alike,
    Applied,
    Check,
    Diet,
    Food,
    Limit,
    Measure,
    Pointer,
    Ration,
    Severity,
    Verdict,
    exact,
    excess,
    format_interval,
)
from dietcheck_rules.shared.class_shares.shares import Share, counted, of
from dietcheck_rules.shared.wording import figure_words, limit_words, span_words, standing_words

MOST_FOODS = 5  # foods that the working lists one by one


def about_of(share: Share, limit: Limit) -> str:
    """What was tested, without figures."""
    return f"{share.quantity} on {limit.basis} {span_words(limit)}"


def not_countable(diet: Diet, share: Share, limit: Limit) -> Check:
    """A limit, as a rule one of the house, in a unit that no share can be counted in."""
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=about_of(share, limit),
        severity=Severity.MEDIUM,
        message=f"{diet.group.called}: {share.quantity} cannot be counted against "
        f"{limit_words(limit)} {span_words(limit)} ({standing_words(limit)}).",
        advice="Write the limit in % of dry matter or % as fed, over day, 7 days or rota.",
        limit=limit,
        settles="a limit in a unit that a share can be counted in",
        places=(limit.place,) if limit.place else (),
    )


def report(diet: Diet, share: Share, applied: Applied, alike: Alike, ration: Ration) -> Check:
    """The check for figures that stand alike; the first of them is the one that is shown."""
    limit, worst = applied.limit, alike.worst
    kept = alike.verdict is Verdict.KEPT
    untold = alike.verdict is Verdict.CANNOT_TELL
    return Check(
        verdict=alike.verdict,
        about=about_of(share, limit),
        # A question is never graver than the limit it is about.
        severity=max(alike.severity, Severity(limit.severity), key=lambda grade: grade.rank),
        message=_message(diet, share, limit, alike),
        advice="" if kept else _advice(limit, alike),
        animals=alike.animals,
        occasions=() if kept else alike.occasions,
        measured=Measure.against(worst.value, limit),
        limit=limit,
        others=applied.others,
        working=() if kept else tuple(_working(share, applied, alike, ration)),
        settles=_settles(share, limit, ration) if untold else "",
        weak=() if kept else tuple(_weak(limit, ration)),
        places=() if kept else tuple(_places(diet, share, limit, alike, ration)),
    )


def _message(diet: Diet, share: Share, limit: Limit, alike: Alike) -> str:
    more = len(alike.animals) - 1
    who = f"{diet.group.called}, {alike.worst.animal.called}"
    who += f" (and {more} more)" if more else ""
    value = figure_words(alike.worst.value, limit)
    said = f"{who}: {share.title} {value} {span_words(limit)}"
    bound = f"{limit_words(limit)} ({standing_words(limit)})"
    if alike.verdict is Verdict.CANNOT_TELL:
        return f"{said}; whether that keeps {bound} cannot be told."
    joint = "within" if alike.verdict is Verdict.KEPT else "the limit is"
    return f"{said}; {joint} {bound}."


def _advice(limit: Limit, alike: Alike) -> str:
    if alike.verdict is Verdict.CANNOT_TELL:
        return "Get what is named below, or ask the nutrition lead."
    above = limit.at_most is not None and alike.worst.value.low > limit.at_most
    step = "less of it, or more of the rest" if above else "more of it, or less of the rest"
    return f"Ask the vet or the nutrition lead whether the sheet should hold {step}."


def _working(share: Share, applied: Applied, alike: Alike, ration: Ration) -> Iterator[str]:
    limit, worst = applied.limit, alike.worst
    dry = limit.basis == "dry matter"
    kind = "dry matter" if dry else "as fed"
    days = f" in {ration.days} days" if ration.days > 1 else ""
    foods = counted(ration, share, limit)
    for food, grams, part in foods[:MOST_FOODS]:
        amount = format_interval(ration.grams_of[food], "g")
        step = f"{food.name}: {amount}{days}"
        if dry:
            content = format_interval(ration.profiles[food].per_100g("dry_matter"), "%")
            step += f" × {content} dry matter = {format_interval(grams, 'g')}"
        if part != exact(1):
            step += f", of which {format_interval(part * 100, '%')} counts"
        yield step
    if (left := len(foods) - MOST_FOODS) > 0:
        yield f"and {left} more foods with less each"
    if not foods:
        yield f"none of the foods is {share.title.removesuffix(' make')}"
    whole = ration.total("dry_matter") if dry else ration.grams()
    value = figure_words(worst.value, limit)
    yield f"÷ all together {format_interval(whole, 'g')} {kind} = {value}"
    yield f"limit: {limit_words(limit)} {span_words(limit)}: {standing_words(limit)}"
    over = excess(worst.value, limit)
    if over.is_finite() and over > 0:
        yield f"past it by up to {format_interval(exact(over), '')} percentage points"
    for other in applied.others:
        yield f"also printed, not applied: {limit_words(other)} for {other.taxon}: " + (
            f"{standing_words(other)}{f'; {other.condition}' if other.condition else ''}"
        )


def _settles(share: Share, limit: Limit, ration: Ration) -> str:
    """The input behind most of the uncertainty."""
    for food, _, part in counted(ration, share, limit):
        if part != exact(1) and not food.mix:
            return f"what class of food {food.name} ({food.id}) is"
    widest = max(ration.grams_of, key=lambda food: _width(limit, ration, food))
    if not ration.grams_of[widest].is_exact:
        return f"how much {widest.name} ({widest.id}) each animal really takes"
    return f"the water content of {widest.name} ({widest.id}), from its maker or an analysis"


def _width(limit: Limit, ration: Ration, food: Food) -> tuple[Decimal, str]:
    grams = ration.grams_of[food]
    if of(limit):
        grams = grams / 100 * ration.profiles[food].per_100g("dry_matter")
    return grams.high - grams.low, food.id


def _weak(limit: Limit, ration: Ration) -> Iterator[str]:
    if of(limit):
        for food, why in ration.weak_inputs("dry_matter"):
            yield f"dry matter of {food.id}: {why}"


def _places(
    diet: Diet, share: Share, limit: Limit, alike: Alike, ration: Ration
) -> Iterator[Pointer]:
    """The lines that count, the biggest first; where none counts, the biggest lines there are."""
    foods = [food for food, _, _ in counted(ration, share, limit)[:3]]
    if not foods:
        foods = sorted(ration.grams_of, key=lambda food: -ration.grams_of[food].high)[:3]
    for food in foods:
        for offer in diet.given():
            line = offer.line
            if line.food is food and (
                not line.for_animals or alike.worst.animal.id in line.for_animals
            ):
                yield line.place.at("amount")
    if limit.place:
        yield limit.place
