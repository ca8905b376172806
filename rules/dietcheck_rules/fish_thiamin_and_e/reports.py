"""What is said: the message, the arithmetic, what to do, the lines to look at."""

from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Alike,
    Applied,
    Check,
    Diet,
    Food,
    Interval,
    Limit,
    Measure,
    Pointer,
    Ration,
    Severity,
    Verdict,
    exact,
    format_interval,
)
from dietcheck_rules.fish_thiamin_and_e.fish import FISH, Given, Vitamin, content, states
from dietcheck_rules.shared.former import former_words
from dietcheck_rules.shared.wording import figure_words, limit_words, standing_words

MISSING = "nothing added to the fish"


def no_class(diet: Diet, foods: Iterable[Food]) -> Check:
    """Foods that may be fish, as nobody gave them a class."""
    named = sorted(foods, key=lambda food: food.id)
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about="fish or not",
        severity=Severity.LOW,
        message=f"{diet.group.called}: nobody says what {_listed(food.id for food in named)} is, "
        "so whether fish is fed cannot be told.",
        advice="Write the class of the food in the food list.",
        settles="the class of the food",
        places=tuple(food.place for food in named),
    )


def missing(diet: Diet, applied: Applied, lack: tuple[str, ...], days: list[Given]) -> Check:
    """Fish on days on which nothing is added."""
    worst = max(days, key=lambda given: given.fish.low)
    dates = sorted({when for given in days for when in given.span.occasions()})
    animals = tuple(dict.fromkeys(given.animal.id for given in days))
    what = " and ".join(lack)
    limit = applied.limit
    return Check(
        verdict=Verdict.BREACH,
        about=MISSING,
        severity=Severity(limit.severity),
        message=f"{_who(diet, worst, animals)}: {_grams(worst.fish)} of fish a day "
        f"and no {' or '.join(lack)} given with it, on {_days(len(dates))}. "
        f"Fish-eaters need it on every day with fish ({standing_words(limit)}).",
        advice=f"Put a supplement with {what} on the sheet for every day with fish; the vet sets "
        f"the tablet.{former_words(diet, worst.span.days[0].sheet)}",
        animals=animals,
        occasions=tuple(dates),
        measured=Measure(exact(len(dates)), "days", "with fish and nothing added"),
        limit=limit,
        others=applied.others,
        working=tuple(_working(worst, None)),
        places=tuple(_fish_lines(diet, worst)),
        sources=limit.sources,
    )


def amount(diet: Diet, applied: Applied, vitamin: Vitamin, alike: Alike, given: Given) -> Check:
    """Too little, or enough."""
    limit = applied.limit
    kept = alike.verdict is Verdict.KEPT
    said = _said(vitamin, alike, limit)
    return Check(
        verdict=alike.verdict,
        about=f"{vitamin.title} {_for(limit)}",
        severity=alike.severity,
        message=f"{_who(diet, given, alike.animals)}: {said}; "
        + (f"enough by {_bound(limit)}." if kept else f"the advice is {_bound(limit)}."),
        advice="" if kept else f"Give more {vitamin.title} with the fish; the vet sets how much.",
        animals=alike.animals,
        occasions=() if kept else alike.occasions,
        measured=Measure(alike.worst.value, limit.unit, _for(limit)),
        limit=limit,
        others=applied.others,
        working=tuple(_working(given, limit)),
        weak=_weak(given),
        places=() if kept else (*_lines(diet, given.carriers), *_fish_lines(diet, given)),
    )


def open_question(
    diet: Diet, applied: Applied, vitamin: Vitamin, alike: Alike, given: Given
) -> Check:
    """Nobody can say whether it is enough."""
    limit = applied.limit
    question, foods = _question(given)
    return Check(
        verdict=Verdict.CANNOT_TELL,
        about=f"{vitamin.title} {_for(limit)}",
        severity=alike.severity if given.carriers else Severity(limit.severity),
        message=f"{_who(diet, given, alike.animals)}: {_said(vitamin, alike, limit)}; whether that "
        f"meets {_bound(limit)} cannot be told.",
        advice="Get the figure named below. Until then ask the vet whether the supplement is "
        "enough.",
        animals=alike.animals,
        occasions=alike.occasions,
        measured=Measure(alike.worst.value, limit.unit, _for(limit)),
        limit=limit,
        others=applied.others,
        working=tuple(_working(given, limit)),
        settles=question,
        weak=_weak(given),
        places=(*(food.place for food in foods), *_lines(diet, given.carriers)),
    )


def dry_matter(diet: Diet, applied: Applied, alike: Alike, ration: Ration) -> Check:
    """Thiamin in the whole diet of a reptile that eats much fish."""
    limit, worst = applied.limit, alike.worst
    open_ = [food for food in ration.grams_of if not ration.profiles[food].states("thiamin")]
    value = figure_words(worst.value, limit)
    more = _more(alike.animals)
    kept = alike.verdict is Verdict.KEPT
    cannot = alike.verdict is Verdict.CANNOT_TELL
    bound = f"{limit_words(limit)} ({standing_words(limit)})"
    ends = {
        Verdict.BREACH: f"with so much fish the advice is {bound}.",
        Verdict.CANNOT_TELL: f"whether that meets {bound} cannot be told.",
        Verdict.KEPT: f"within {bound}.",
    }
    return Check(
        verdict=alike.verdict,
        about="thiamin of the diet with much fish",
        severity=alike.severity,
        message=f"{diet.group.called}, {worst.animal.called}{more}: thiamin {value} over the rota; "
        f"{ends[alike.verdict]}",
        advice="" if kept else "Ask the vet for a thiamin supplement with known figures.",
        animals=alike.animals,
        occasions=() if kept else alike.occasions,
        measured=Measure.against(worst.value, limit),
        limit=limit,
        others=applied.others,
        settles=_open(open_) if cannot else "",
        places=() if kept else tuple(_lines(diet, ration.grams_of)),
    )


def _open(foods: list[Food]) -> str:
    if foods:
        return f"the thiamin in {_listed(food.id for food in foods)}"
    return "how much of each food the animal is offered"


def _said(vitamin: Vitamin, alike: Alike, limit: Limit) -> str:
    against = [limit.at_least] if limit.at_least is not None else []
    value = format_interval(alike.worst.value, vitamin.unit, against=against)
    return f"{value} of {vitamin.title} {_for(limit)}"


def _for(limit: Limit) -> str:
    return "an animal a day" if limit.basis == "animal" else "for each kg of fish"


def _bound(limit: Limit) -> str:
    top = limit.unit.partition("/")[0]
    return f"at least {limit.at_least:f} {top} {_for(limit)} ({standing_words(limit)})"


def _working(given: Given, limit: Limit | None) -> Iterator[str]:
    vitamin, ration = given.vitamin, given.span.ration
    for food, grams in ration.grams_of.items():
        if food in given.carriers:
            held = format_interval(content(food, vitamin, ration.profiles), vitamin.unit)
            yield f"{food.name}: {format_interval(grams, 'g')} × {held} per 100 g"
    yield f"added to the fish: {format_interval(given.added, vitamin.unit)} of {vitamin.title}"
    if given.other.high:
        yield (
            f"in the day's other feeds: {format_interval(given.other, vitamin.unit)}; the source "
            "does not say whether they count"
        )
    yield f"fish that day: {format_interval(given.fish, 'kg')} as fed"
    if limit is not None:
        value = given.in_all if limit.basis == "animal" else given.per_kg_fish
        yield f"together: {format_interval(value, vitamin.unit)} {_for(limit)}"
        yield f"limit: {_bound(limit)}"


def _question(given: Given) -> tuple[str, tuple[Food, ...]]:
    """The input behind most of the uncertainty, and the foods it is about."""
    profiles, vitamin = given.span.ration.profiles, given.vitamin
    silent = tuple(food for food in given.carriers if not states(food, vitamin, profiles))
    if silent:
        named = _listed(food.id for food in silent)
        return f"the {vitamin.title} on the label of {named}", silent
    others = tuple(
        food
        for food in given.span.ration.grams_of
        if food.food_class != FISH
        and food not in given.carriers
        and content(food, vitamin, profiles).high > 0
        and not states(food, vitamin, profiles)
    )
    if others:
        named = _listed(food.id for food in others)
        return f"the {vitamin.title} in {named}, and the vet's word whether it counts", others
    if not given.fish.is_exact or not given.added.is_exact:
        return "how much fish and how much of the supplement each animal is offered", ()
    return f"the vet's word whether the {vitamin.title} of other feeds counts", ()


def _weak(given: Given) -> tuple[str, ...]:
    profiles = given.span.ration.profiles
    keys = ("vitamin_e_iu", "vitamin_e") if given.vitamin.key == "vitamin_e_iu" else ("thiamin",)
    found = []
    for food in given.carriers:
        key = next((key for key in keys if profiles[food].states(key)), keys[0])
        if key == "vitamin_e":
            found.append(f"{food.id}: vitamin E in mg only; 1 mg counts as 1 to 1.49 IU")
        elif why := profiles[food].weakness(key):
            found.append(f"{food.id}: {given.vitamin.title} {why}")
    return tuple(found)


def _who(diet: Diet, given: Given, animals: tuple[str, ...]) -> str:
    return f"{diet.group.called}, {given.animal.called}{_more(animals)}"


def _more(animals: tuple[str, ...]) -> str:
    return f" (and {len(animals) - 1} more)" if len(animals) > 1 else ""


def _grams(kilograms: Interval) -> str:
    return format_interval(kilograms * 1000, "g")


def _days(count: int) -> str:
    return "one of the judged days" if count == 1 else f"{count} of the judged days"


def _fish_lines(diet: Diet, given: Given) -> Iterator[Pointer]:
    foods = [food for food in given.span.ration.grams_of if food.food_class == FISH or food.mix]
    return _lines(diet, foods)


def _lines(diet: Diet, foods: Iterable[Food]) -> Iterator[Pointer]:
    wanted = set(foods)
    return (offer.line.place.at("food") for offer in diet.given() if offer.line.food in wanted)


def _listed(names: Iterable[str]) -> str:
    return ", ".join(names)
