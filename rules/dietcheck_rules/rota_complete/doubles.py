"""Food that may be counted, and given, twice."""

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from dietcheck.contract import (
    Animal,
    Check,
    Diet,
    DietSheet,
    Group,
    Line,
    Rota,
    Severity,
    Verdict,
    When,
    World,
)


def overlaps(diet: Diet) -> Iterator[Check]:
    """Rotas or sheets that both claim the same days.

    A record without an end gives way to a later one, and one that ends within the other stands in
    for it; both are meant so. But a record with an end of its own that a later one overtakes says
    something else than what is fed.
    """
    group, collection = diet.group.id, diet.collection
    written: tuple[tuple[str, tuple[Rota | DietSheet, ...]], ...] = (
        ("rota", collection.rotas.get(group, ())),
        ("sheet", collection.sheets.get(group, ())),
    )
    for word, dated in written:
        for earlier, later in pairwise(dated):
            if _both_claim(diet, earlier, later):
                yield Check(
                    verdict=Verdict.BREACH,
                    about=f"two {word}s: {earlier.place.file} and {later.place.file}",
                    severity=Severity.LOW,
                    message=f"{diet.group.called}: the {word} from {earlier.start} runs until "
                    f"{earlier.until}, but the next one starts on {later.start}. The later one "
                    "counts; whoever reads the earlier one feeds something else.",
                    advice=f"End the earlier {word} on the day before {later.start}.",
                    places=(earlier.place.at("until"), later.place),
                )


def _both_claim(diet: Diet, earlier: Rota | DietSheet, later: Rota | DietSheet) -> bool:
    return (
        earlier.until is not None
        and earlier.until >= max(later.start, diet.on)
        and (later.until is None or later.until >= earlier.until)
    )


def written_twice(diet: Diet) -> Iterator[Check]:
    """One food on two lines of a meal for one animal, or one meal twice in a feed."""
    for day in diet.days:
        for feed in day.feeds:
            if sum(other.slot == feed.slot and other.meal == feed.meal for other in day.feeds) > 1:
                yield Check(
                    verdict=Verdict.BREACH,
                    about=f"meal twice in one feed: {feed.slot} / {feed.meal}",
                    severity=Severity.LOW,
                    message=f"{diet.group.called}, day {day.number}: the {feed.slot} feed gives "
                    f'"{feed.meal}" twice, and both are counted.',
                    advice="Leave one of them out, or write the double amount as a meal.",
                    occasions=(When(day.on, day.number, feed.slot, feed.meal),),
                    places=(day.rota.place,) if day.rota else (),
                )
    for (food, meal), lines in _doubled_lines(diet).items():
        yield Check(
            verdict=Verdict.BREACH,
            about=f"food twice in one meal: {meal}",
            food=food,
            severity=Severity.LOW,
            message=f'{diet.group.called}: "{meal}" has {food} on two lines for one animal, and '
            "both are counted in full.",
            advice="Keep one line, or say with for: which animals each line is meant for.",
            places=tuple(line.place for line in lines),
        )


def _doubled_lines(diet: Diet) -> dict[tuple[str, str], list[Line]]:
    """Lines of one food in one meal of one sheet that reach the same animal."""
    by_food: dict[tuple[str, str, str], list[Line]] = defaultdict(list)
    for offer in (one for one in diet.offers() if not one.line.treat):
        for meal in {occasion.meal for occasion in offer.occasions}:
            by_food[offer.line.food.id, meal, offer.line.place.file].append(offer.line)
    return {
        (food, meal): lines
        for (food, meal, _), lines in by_food.items()
        if len(lines) > 1 and _share_an_animal(lines)
    }


def _share_an_animal(lines: list[Line]) -> bool:
    """Whether two of some lines reach one animal; a line that names none reaches all."""
    named = [frozenset(line.for_animals) for line in lines]
    return not all(named) or sum(map(len, named)) > len(frozenset().union(*named))


def in_two_groups(world: World) -> Iterator[Check]:
    """Animals that stand in two groups on the judged day."""
    where: dict[str, list[tuple[Group, Animal]]] = defaultdict(list)
    for group in world.collection.groups.values():
        if not group.is_colony:
            for animal in group.present(world.on):
                where[animal.id].append((group, animal))
    for animal_id, found in where.items():
        if len(found) > 1:
            names = " and ".join(group.called for group, _ in found)
            yield Check(
                verdict=Verdict.BREACH,
                about=f"animal in two groups: {animal_id}",
                severity=Severity.LOW,
                message=f"{found[0][1].called} stands in {names} on {world.on}; both rotas feed "
                "it, and its share is counted in both.",
                advice="Give the animal a here_until in the group that it left.",
                animals=(animal_id,),
                places=tuple(animal.place for _, animal in found),
            )
