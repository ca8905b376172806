"""Muscle meat without bone: feeds running on it, and rotas without any source of calcium."""

from collections.abc import Callable, Iterable, Iterator

from msgspec import Struct

from dietcheck.contract import (
    ZERO,
    Animal,
    Applied,
    Check,
    Diet,
    DietSheet,
    Figure,
    Food,
    Interval,
    Limits,
    PlannedDay,
    Portion,
    Profiles,
    Verdict,
    When,
    hold,
)
from dietcheck_rules.required_supplement import reports
from dietcheck_rules.shared.levels.spans import who

ALONE = "meat-without-calcium"
RUN = "bone-free-run"
MEAT = frozenset({"meat", "offal"})
# Their own calcium counts where the label states any; a silent label leaves it open.
BALANCED = frozenset({"compound feed", "supplement", "mineral"})
NO_BONE = ("no bone", "boneless", "without bone", "bone-free", "off the bone", "boned")


class Bite(Struct, frozen=True, eq=False):
    """One feed of an animal: the bone-free meat that is its main part, and the calcium in it.

    `calcium` is None where nobody says; `silent` are the foods behind that.
    """

    when: When
    meat: tuple[Food, ...]
    calcium: bool | None
    silent: tuple[Food, ...]
    sheet: DietSheet | None


class Counted(Struct, frozen=True, eq=False):
    """Feeds or days, between what is certain and what silent labels leave possible."""

    value: Interval
    bites: tuple[Bite, ...]


Feeding = tuple[tuple[Food, ...], bool | None, tuple[Food, ...]]  # as in Bite
Eaten = tuple[Animal, tuple[tuple[Bite, ...], ...]]


def judge_meat(
    diet: Diet, limits: Limits, stage: str | None, animals: list[Animal]
) -> Iterator[Check]:
    """Meat alone in the whole rota where a source speaks of it, else meals running."""
    alone = limits.applying(diet.group, ALONE, stage=stage)
    run = limits.applying(diet.group, RUN, stage=stage)
    foods = {offer.line.food for offer in diet.offers()}
    if not (alone or run) or not any(bone_free(food, diet.profiles).high for food in foods):
        return
    eaten = list(_eaten(diet, animals))
    told: set[str] = set()
    if alone:
        for check in _checks(diet, alone, eaten, _never):
            told.update(check.animals if check.verdict is not Verdict.KEPT else ())
            yield check
    if run:
        left = [one for one in eaten if one[0].id not in told]
        yield from _checks(diet, run, left, _longest)


def bone_free(food: Food, profiles: Profiles) -> Interval:
    """The share of a food, 0 to 1, that is meat or offal without bone."""
    found = ZERO
    for part, share in food.all_parts():
        if not part.mix and part.food_class in MEAT and not _calcium(part, profiles):
            found = found + share
    return found


def _eaten(diet: Diet, animals: list[Animal]) -> Iterator[Eaten]:
    """The animals that get a feed of bone-free meat, with all their feeds."""
    known: dict[object, tuple[tuple[Bite, ...], ...]] = {}
    for animal in animals:
        key = who(diet, animal)
        if key not in known:
            # Days that are fed the same hold the same feeds: each is looked at once.
            alike: dict[object, tuple[tuple[str, Feeding], ...]] = {}
            runs = diet.runs(diet.settings.rota_days)
            known[key] = tuple(tuple(_bites(diet, animal, run, alike)) for run in runs)
        if any(bite.meat for bites in known[key] for bite in bites):
            yield animal, known[key]


def _checks(
    diet: Diet,
    applied: Applied,
    eaten: Iterable[Eaten],
    count: Callable[[tuple[tuple[Bite, ...], ...]], Counted],
) -> Iterator[Check]:
    found: dict[int, tuple[Figure, Counted]] = {}
    for animal, bites in eaten:
        counted = count(bites)
        whens = tuple(dict.fromkeys(bite.when for bite in counted.bites))
        figure = Figure(animal, counted.value, whens)
        found[id(figure)] = (figure, counted)
    for alike in hold((figure for figure, _ in found.values()), applied.limit):
        yield reports.meat(diet, applied, alike, found[id(alike.worst)][1].bites)


def _never(runs: tuple[tuple[Bite, ...], ...]) -> Counted:
    """Days with meat as the main food, where no feed at all brings calcium; else none."""
    bites = [bite for run in runs for bite in run]
    meat = tuple(bite for bite in bites if bite.meat)
    days = len({bite.when.on for bite in meat})
    if any(bite.calcium for bite in bites):
        return Counted(ZERO, meat)
    open_ = tuple(bite for bite in bites if bite.calcium is None)
    return Counted(Interval(0 if open_ else days, days), (*meat, *open_))


def _longest(runs: tuple[tuple[Bite, ...], ...]) -> Counted:
    """The longest run of feeds of bone-free meat with no calcium in between."""
    sure = 0
    worst: tuple[Bite, ...] = ()
    for run in runs:
        certain, possible = 0, list[Bite]()
        for bite in run:
            if bite.calcium:
                certain, possible = 0, []
                continue
            certain = 0 if bite.calcium is None else certain + bool(bite.meat)
            if bite.meat:
                possible.append(bite)
            sure = max(sure, certain)
            if len(possible) > len(worst):
                worst = tuple(possible)
    return Counted(Interval(sure, len(worst)), worst)


def _bites(
    diet: Diet,
    animal: Animal,
    days: Iterable[PlannedDay],
    alike: dict[object, tuple[tuple[str, Feeding], ...]],
) -> Iterator[Bite]:
    for day in days:
        key = (day.key, tuple(one.id for one in diet.present(day.on)))
        if key not in alike:
            slots: dict[str, list[Portion]] = {}
            for feed, portions in diet.feeds(animal, day):
                slots.setdefault(feed.slot, []).extend(portions)
            alike[key] = tuple((s, _feeding(some, diet.profiles)) for s, some in slots.items())
        for slot, feeding in alike[key]:
            yield Bite(When(day.on, day.number, slot), *feeding, day.sheet)


def _feeding(portions: list[Portion], profiles: Profiles) -> Feeding:
    meat, rest = ZERO, ZERO
    foods: dict[Food, None] = {}
    answers: list[tuple[Food, bool | None]] = []
    for portion in portions:
        parts = (part for part, _ in portion.food.all_parts() if not part.mix)
        answers.extend((part, _calcium(part, profiles)) for part in parts)
        share = bone_free(portion.food, profiles)
        if share.high:
            foods[portion.food] = None
            meat = meat + portion.grams * share
        rest = rest + portion.grams * (1 - share)
    main = meat.high >= rest.low
    silent = tuple(part for part, answer in answers if answer is None)
    calcium = True if any(answer for _, answer in answers) else None if silent else False
    return tuple(foods) if main else (), calcium, silent


def _calcium(part: Food, profiles: Profiles) -> bool | None:
    """Whether a food brings the calcium that meat lacks; None where nobody says."""
    if not part.known:
        return None
    profile = profiles[part]
    match part.food_class:
        case "whole prey":
            return True
        case "fish":
            return "whole" in (part.part or "")
        case "meat" | "offal":
            words = f"{part.part or ''} {part.name}".lower()
            if "bone" in words and not any(no in words for no in NO_BONE):
                return True
            # Minced with its bones: such meat holds as much calcium as phosphorus or more.
            stated = profile.states("calcium") and profile.states("phosphorus")
            calcium, phosphorus = profile.per_100g("calcium"), profile.per_100g("phosphorus")
            return stated and calcium.low >= phosphorus.high
        case group if group in BALANCED:
            return profile.per_100g("calcium").low > 0 if profile.states("calcium") else None
        case _:
            return False
