"""Figures and limits in words, with what a limit stands on said beside it."""

from collections.abc import Sequence

from dietcheck.contract import (
    Animal,
    Diet,
    Food,
    Interval,
    Limit,
    Standing,
    format_bound,
    format_interval,
)
from dietcheck_rules.shared import wording

_SEEN = {
    "memory": "from memory, check before use",
    "reprint": "seen as a reprint",
    "abstract": "seen as an abstract",
}


def figure_words(value: Interval, limit: Limit) -> str:
    """A figure in the limit's unit, never rounded across the limit."""
    against = [bound for bound in (limit.at_least, limit.at_most) if bound is not None]
    return format_interval(value, unit_words(limit), against=against)


def unit_words(limit: Limit) -> str:
    """The unit with its basis; a basis that the source leaves open is compared on dry matter."""
    if limit.basis != "unstated":
        return wording.unit_words(limit)
    top, _, below = limit.unit.partition("/")
    return f"{top} per {below} dry matter" if below else f"{top} of dry matter"


def limit_words(limit: Limit) -> str:
    """The limit itself: `at least 600 mg per kg dry matter`."""
    said = [("at least", limit.at_least), ("at most", limit.at_most)]
    bounds = [f"{word} {format_bound(bound)}" for word, bound in said if bound is not None]
    return f"{' and '.join(bounds)} {unit_words(limit)}".rstrip()


def standing_words(limit: Limit) -> str:
    """What kind of figure the limit is and how well its source was seen."""
    if limit.standing is not Standing.PUBLISHED:
        return wording.standing_words(limit)
    cited = ", ".join(source.key for source in limit.sources)
    said = [f"published, {cited}"]
    if limit.seen in _SEEN:
        said.append(_SEEN[limit.seen])
    if limit.basis == "unstated":
        said.append("basis not stated, compared on dry matter")
    return "; ".join(said)


def bound_words(limit: Limit) -> str:
    """The limit with what it stands on."""
    return f"{limit_words(limit)} ({standing_words(limit)})"


def who_words(diet: Diet, animals: Sequence[Animal]) -> str:
    """The group, the worst animal by name, and how many more."""
    first = animals[0]
    more = len({animal.id for animal in animals}) - 1
    return f"{diet.group.called}, {first.called}{f' (and {more} more)' if more else ''}"


def food_words(foods: Sequence[Food], most: int = 5) -> str:
    """Food ids in a row, the first few by name."""
    said = ", ".join(food.id for food in foods[:most])
    left = len(foods) - most
    return f"{said} and {left} more" if left > 0 else said


def listed(words: Sequence[str]) -> str:
    """`calcium, iron and zinc`."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
