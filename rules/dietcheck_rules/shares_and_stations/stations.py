"""Stations against animals, who comes last at too few, and what one animal may take there."""

from collections.abc import Iterator

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    Interval,
    Limit,
    Limits,
    Measure,
    Offer,
    Severity,
    Verdict,
    exact,
    format_interval,
    is_fruit,
    is_treat,
)
from dietcheck_rules.shared.wording import standing_words

ABOUT = "stations for the animals"
MOST_LINES = 8


def judge_stations(diet: Diet, limits: Limits, heads: int) -> Iterator[Check]:
    """Kept where there are places enough, low where not, cannot tell where nobody counted them."""
    applied = limits.applying(diet.group, "stations-per-animal")
    assert applied is not None  # a default for every animal
    assert applied.limit.at_least is not None
    group, limit = diet.group, applied.limit
    wanted = f"at least {limit.at_least:f} for each is wanted ({standing_words(limit)})"
    if group.stations is None:
        last = tuple(_last(diet, limits))
        yield Check(
            verdict=Verdict.CANNOT_TELL,
            about=ABOUT,
            severity=Severity.LOW,
            message=f"{group.called}: {heads} animals feed together, and nobody says at how many "
            f"stations; {wanted}.{_named(last)}",
            advice="Count the feeding places and write them into the group record.",
            animals=_ids(diet, last),
            limit=limit,
            others=applied.others,
            settles=f"the number of stations of {group.called}",
            working=_working(diet, limits, heads, last),
            places=(group.place.at("fed"),),
        )
        return
    ratio = exact(group.stations) / heads
    kept = limit.stands(ratio) == "inside"
    last = () if kept else tuple(_last(diet, limits))
    places = "1 station" if group.stations == 1 else f"{group.stations} stations"
    yield Check(
        verdict=Verdict.KEPT if kept else Verdict.BREACH,
        about=ABOUT,
        severity=Severity.LOW,
        message=f"{group.called}: {places} for {heads} animals that feed together; "
        f"{wanted}.{_named(last)}",
        advice=""
        if kept
        else "Lay the food out at more places, apart and out of each other's sight, or feed those "
        "that come last on their own.",
        animals=_ids(diet, last),
        measured=Measure.against(ratio, limit),
        limit=limit,
        others=applied.others,
        working=() if kept else _working(diet, limits, heads, last),
        places=() if kept else (group.place.at("stations"), *(a.place for a, _ in last)),
    )


def _ids(diet: Diet, last: tuple[tuple[Animal, str], ...]) -> tuple[str, ...]:
    return tuple(animal.id for animal, _ in last) or tuple(
        animal.id for animal in diet.present(diet.on)
    )


def _named(last: tuple[tuple[Animal, str], ...]) -> str:
    if not last:
        return ""
    said = ", ".join(f"{animal.called}: {why}" for animal, why in last)
    return f" Likely to come last there: {said}."


# -- who comes last --------------------------------------------------------------------------------


def _last(diet: Diet, limits: Limits) -> Iterator[tuple[Animal, str]]:
    """The animals that are easily kept from the food, each with all that says so."""
    mean = _mean(diet)
    applied = limits.applying(diet.group, "part-of-mean-mass")
    for animal in diet.present(diet.on):
        why = []
        if animal.rank == "subordinate":
            why.append("subordinate")
        if animal.stage == "geriatric":
            why.append("old")
        mass = diet.mass_of(animal)
        if mass and mean and applied and applied.limit.stands(mass / mean) == "past":
            why.append(f"{_kg(mass)}, the mean is {_kg(mean)}")
        if why:
            yield animal, " and ".join(why)


def _mean(diet: Diet) -> Interval | None:
    """The mean body mass of the animals with a current weighing; None when fewer than two have."""
    masses = [m for animal in diet.present(diet.on) if (m := diet.mass_of(animal)) is not None]
    if len(masses) < 2:
        return None
    total = masses[0]
    for mass in masses[1:]:
        total = total + mass
    mean = total / len(masses)
    return mean if mean.low > 0 else None


def _kg(mass: Interval) -> str:
    return format_interval(mass / 1000, "kg")


# -- what one animal may take ----------------------------------------------------------------------


def _working(
    diet: Diet, limits: Limits, heads: int, last: tuple[tuple[Animal, str], ...]
) -> tuple[str, ...]:
    """The count, the weak ones, and the wanted foods as one animal may take them."""
    stations = diet.group.stations
    lines = [f"{stations} stations ÷ {heads} animals"] if stations else []
    first = [a.called for a in diet.present(diet.on) if a.rank == "dominant"]
    lines += [f"{', '.join(first)}: dominant by the group record"] if first else []
    lines += [f"{animal.called}: {why}" for animal, why in last]
    applied = limits.applying(diet.group, "shares-at-few-stations")
    assert applied is not None  # a default for every animal
    assert applied.limit.at_most is not None
    lines += _taken(diet, applied.limit, heads, min(int(applied.limit.at_most), heads))
    return tuple(lines)


def _taken(diet: Diet, limit: Limit, heads: int, times: int) -> Iterator[str]:
    known: dict[str, tuple[Interval, Interval]] = {}
    for offer in diet.offers():
        food = offer.line.food
        if not _is_wanted(offer) or offer.line.for_animals or not offer.whole.is_bounded:
            continue
        each, most = offer.whole / heads, offer.whole / heads * times
        if food.id not in known or each.high > known[food.id][0].high:
            known[food.id] = each, most
    for name, (each, most) in list(known.items())[:MOST_LINES]:
        yield (
            f"{name}: {format_interval(each, 'g')} each in one giving, "
            f"{format_interval(most, 'g')} if one animal takes {times} shares "
            f"({standing_words(limit)})"
        )


def _is_wanted(offer: Offer) -> bool:
    """Whether animals push for it: pellet, fruit and treats."""
    food = offer.line.food
    return food.food_class == "compound feed" or is_fruit(food) or is_treat(offer.line)
