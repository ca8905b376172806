"""Citrus, or added vitamin C, in one feed together with an iron-rich feed: it raises the uptake.

The mechanism is sourced; how many hours apart they must be is not, so only one feed is looked at.
"""

from collections.abc import Iterator

from dietcheck.contract import Check, Diet, Food, Pointer, Severity, SourceRef, Verdict, When
from dietcheck_rules.iron_ceiling.prone import Prone

SOURCES = (SourceRef("Spelman1989", "abstract"), SourceRef("NRC2003", "p.99"))
_ADDED = frozenset({"supplement", "mineral", "medicine"})
# Iron of meat and of bought feed is what the vitamin C of the same feed helps in.
_RICH = frozenset({"compound feed", "meat", "offal", "whole prey", "fish", "insect", "egg"})


def citrus_meals(diet: Diet, prone: Prone) -> Iterator[Check]:
    """One finding a food, with every feed in which it meets an iron-rich one."""
    found: dict[Food, dict[When, Pointer]] = {}
    for day in diet.days:
        slots: dict[str, list[tuple[Food, Pointer]]] = {}
        for feed in day.feeds:
            slots.setdefault(feed.slot, []).extend((ln.food, ln.place) for ln in feed.lines)
        for slot, lines in slots.items():
            if not any(part.food_class in _RICH for food, _ in lines for part in _parts(food)):
                continue
            for food, place in lines:
                if any(_brings_vitamin_c(diet, part) for part in _parts(food)):
                    found.setdefault(food, {})[When(day.on, day.number, slot)] = place
    for food, meals in found.items():
        yield _finding(diet, prone, food, meals)


def _finding(diet: Diet, prone: Prone, food: Food, meals: dict[When, Pointer]) -> Check:
    kind = "citrus" if any(is_citrus(part) for part in _parts(food)) else "added vitamin C"
    return Check(
        verdict=Verdict.BREACH,
        about="citrus or vitamin C beside an iron-rich feed",
        food=food.id,
        severity=Severity.LOW,
        message=f"{diet.group.called}: {food.name} ({food.id}) is {kind}, given in one feed with "
        f"an iron-rich food. {prone.taxon} store iron, and vitamin C raises its uptake "
        "(published, Spelman1989, NRC2003).",
        advice="Leave it out or give it in another feed; how many hours apart is common practice, "
        "no source.",
        occasions=tuple(sorted(meals)),
        sources=(*SOURCES, *prone.sources),
        places=tuple(dict.fromkeys(place.at("food") for place in meals.values())),
    )


def _brings_vitamin_c(diet: Diet, food: Food) -> bool:
    if is_citrus(food):
        return True
    return food.food_class in _ADDED and diet.profiles[food].per_100g("vitamin_c").low > 0


def is_citrus(food: Food) -> bool:
    """Whether a food comes from the genus Citrus, by its record or the table."""
    organism = food.organism or (food.row.scientific_name if food.row else "")
    return organism.split(" ")[0] == "Citrus"


def _parts(food: Food) -> list[Food]:
    return [part for part, _ in food.all_parts()]
