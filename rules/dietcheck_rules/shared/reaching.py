"""The foods of one kind that can reach a group, found without looking at all the others twice."""

from collections.abc import Callable

from dietcheck.contract import Diet, Food, Interval, format_interval
from dietcheck_rules.toxic_item.exposure import Exposure, exposures


def reaching(diet: Diet, wanted: Callable[[Food], bool]) -> tuple[Exposure, ...]:
    """The wanted foods that the group is fed, or can get at, at any depth of a mix."""
    asked: dict[Food, bool] = {}
    for offer in (*diet.offers(), *diet.reachable()):
        for part, _ in offer.line.food.all_parts():
            if part not in asked:
                asked[part] = part.known and wanted(part)
    if not any(asked.values()):
        return ()
    return tuple(exposure for exposure in exposures(diet) if asked[exposure.part])


def about(cause: str, exposure: Exposure) -> str:
    """A name for the cause that tells a neighbour's food from the group's own."""
    return cause if exposure.own else f"{cause}, {exposure.whence}"


def named(exposure: Exposure) -> str:
    """The food in words: in which mix it hides, and whose food it is."""
    words = f'"{exposure.part.id}"'
    if exposure.inside:
        words += f" in {', '.join(exposure.inside)}"
    return words if exposure.own else f"{words} ({exposure.laid_out})"


def most_words(diet: Diet, exposure: Exposure) -> str:
    """`up to 170 g a day for Wren (WA-02)`: the animal with the most; nothing if unknown."""
    eaten = [(exposure.worst_day(diet, animal), animal) for animal in exposure.animals(diet)]
    grams, animal = max(eaten, key=lambda one: one[0].high, default=(None, None))
    if grams is None or animal is None or not grams.is_bounded:
        return ""
    return (
        f"up to {format_interval(Interval(grams.high, grams.high), 'g')} a day for {animal.called}"
    )
