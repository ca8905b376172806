"""Which nutrients matter to which animals, and which foods leave them open."""

from collections import defaultdict
from collections.abc import Mapping
from decimal import Decimal
from functools import cache

from msgspec import Struct

from dietcheck.contract import ZERO, Diet, Food, Interval, files, format_interval, read_trusted

# What `weakness` says of a figure → the cause it is reported under. A label's minimum or maximum
# is a fair statement and no cause.
CAUSES: Mapping[str, str] = {
    "not stated": "not stated",
    "borrowed from a similar food": "borrowed",
    "imputed": "imputed",
    "memory": "from memory",
}


class Need(Struct, frozen=True):
    """A nutrient that rules ask for, for animals of some taxa, and what for.

    Of a `trace` nutrient the rest of the food says next to nothing: where it is not stated, the
    food's mass stands for what it may bring.
    """

    nutrient: str
    title: str
    taxa: tuple[str, ...]
    why: str
    trace: bool


class Weak(Struct, frozen=True):
    """One weak figure of one food."""

    title: str
    why: str
    working: str


@cache
def needs() -> tuple[Need, ...]:
    """The rows of needs.yaml."""
    data = read_trusted((files(__package__) / "needs.yaml").read_bytes())
    return tuple(
        Need(row["nutrient"], row["title"], tuple(row["taxa"]), row["why"], bool(row.get("trace")))
        for row in data["needs"]
    )


def weak_figures(diet: Diet, part: Decimal) -> dict[tuple[Food, str], list[Weak]]:
    """Weak figures, by food and cause, of foods that may bring at least `part` of a nutrient."""
    amounts = _amounts(diet)
    found: dict[tuple[Food, str], list[Weak]] = defaultdict(list)
    masses = _parts({food: grams.high for food, grams in amounts.items()})
    for need in needs():
        if not any(diet.group.taxon.is_in(name) for name in need.taxa):
            continue
        shares = _shares(diet, amounts, need.nutrient)
        for food in amounts:
            cause = CAUSES.get(diet.profiles[food].weakness(need.nutrient) or "")
            by_mass = need.trace and cause == "not stated"
            share = masses[food] if by_mass else shares[food]
            if cause and share >= part:
                found[food, cause].append(
                    Weak(need.title, need.why, _working(need, share, by_mass))
                )
    return found


def _working(need: Need, share: Decimal, by_mass: bool) -> str:
    figure = format_interval(Interval(share, share) * 100, "%", 2)
    said = f"makes {figure} of the food" if by_mass else f"may bring up to {figure} of the total"
    return f"{need.title}: {said} ({need.why})"


def _amounts(diet: Diet) -> dict[Food, Interval]:
    """Grams of each single food in the judged days, ingredients of mixes counted apart."""
    amounts: dict[Food, Interval] = defaultdict(lambda: ZERO)
    for offer in diet.given():
        for food, share in offer.line.food.all_parts():
            if not food.mix and food.known:
                amounts[food] = amounts[food] + offer.whole * share * len(offer.occasions)
    return amounts


def _shares(diet: Diet, amounts: Mapping[Food, Interval], nutrient: str) -> dict[Food, Decimal]:
    """The most that each food may bring of a nutrient, as a share of the most of all together."""
    tops = {
        food: (grams * diet.profiles[food].per_100g(nutrient)).high
        for food, grams in amounts.items()
    }
    return _parts(tops)


def _parts(figures: Mapping[Food, Decimal]) -> dict[Food, Decimal]:
    """Each figure as a share of all; one without an end may be the whole."""
    whole = sum((figure for figure in figures.values() if figure.is_finite()), Decimal(0))
    return {
        food: (figure / whole if whole else Decimal(0)) if figure.is_finite() else Decimal(1)
        for food, figure in figures.items()
    }
