"""What is measured: fish, and the thiamin and vitamin E that come with it on the same day."""

from collections.abc import Iterator
from decimal import Decimal
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from dietcheck.contract import (
    UNKNOWN,
    ZERO,
    Animal,
    Diet,
    Food,
    Interval,
    Profiles,
    Ration,
    class_share,
)
from dietcheck_rules.shared.levels.spans import Span, spans

FISH = "fish"
# A supplement whose label is silent may hold the vitamin; a mineral or a medicine is counted only
# for what it states.
MAY_HOLD = frozenset({"supplement"})
ADDED = frozenset({"supplement", "mineral", "medicine"})
# IU in 1 mg of vitamin E: 1 for the synthetic acetate, up to 1.49 for the natural alcohol. From
# memory; the fact files only say that the two units are nearly equal for the acetate.
IU_PER_MG = Interval(1, Decimal("1.49"))


class Vitamin(Struct, frozen=True):
    """One of the two, as limits and people call it."""

    key: str
    title: str
    unit: str
    per_fish: str  # the limit's quantity for a kg of fish
    dose: str  # the limit's quantity for an animal and day


THIAMIN = Vitamin("thiamin", "thiamin", "mg", "thiamin-per-fish", "thiamin-dose")
VITAMIN_E = Vitamin("vitamin_e_iu", "vitamin E", "IU", "vitamin-e-per-fish", "vitamin-e-dose")
VITAMINS = (THIAMIN, VITAMIN_E)


class Given(Struct, frozen=True, eq=False):
    """One vitamin on one kind of day with fish: added on purpose, in other feeds, in how much fish.

    `fish` in kg as fed; `added` and `other` in the vitamin's unit. The fish's own is in neither.
    """

    animal: Animal
    span: Span
    vitamin: Vitamin
    fish: Interval
    added: Interval
    other: Interval
    carriers: tuple[Food, ...]  # supplements that hold it, or may

    @property
    def in_all(self) -> Interval:
        """From what is added alone to all that the day's other feeds may bring on top."""
        return Interval(self.added.low, (self.added + self.other).high)

    @property
    def per_kg_fish(self) -> Interval:
        """`in_all` for each kg of fish."""
        return self.in_all / self.fish


class Fished:
    """One animal's days with fish."""

    def __init__(self, diet: Diet, animal: Animal) -> None:
        self.diet = diet
        self.animal = animal

    @cached_property
    def days(self) -> tuple[Span, ...]:
        """Every kind of day on which the animal is offered fish."""
        found = spans(self.diet, self.animal, "day")
        return tuple(span for span in found if fish_in(span.ration).high)

    @cached_property
    def share(self) -> Interval:
        """The share of fish in all food as fed, 0 to 1, over the rota where it is highest."""
        shares = [
            class_share(span.ration, FISH, of=None)
            for span in spans(self.diet, self.animal, "rota")
        ]
        return max(shares, key=lambda share: share.high, default=ZERO)

    def given(self, vitamin: Vitamin, known: dict[int, Given]) -> Iterator[Given]:
        """The vitamin on each kind of day; `known` keeps those that other animals share."""
        for span in self.days:
            if id(span) not in known:
                known[id(span)] = _given(self.animal, span, vitamin)
            yield replace(known[id(span)], animal=self.animal)


def maybe_fish(food: Food) -> bool:
    """Whether a food is fish, or a mix with fish in it."""
    return any(part.food_class == FISH for part, _ in food.all_parts())


def unclassed(food: Food) -> bool:
    """Whether a food is on the list but nobody says what it is."""
    return any(
        part.known and not part.mix and part.row is None and "class" not in part.record
        for part, _ in food.all_parts()
    )


def fish_in(ration: Ration) -> Interval:
    """The fish in a ration, in kg as fed."""
    kilograms = ZERO
    for food, grams in ration.grams_of.items():
        for part, share in _leaves(food):
            if part.food_class == FISH:
                kilograms = kilograms + grams / 1000 * share
    return kilograms


def content(food: Food, vitamin: Vitamin, profiles: Profiles) -> Interval:
    """The vitamin in 100 g as fed; vitamin E in IU, from mg where the label prints only those."""
    profile = profiles[food]
    if vitamin is VITAMIN_E and not profile.states("vitamin_e_iu"):
        return profile.per_100g("vitamin_e") * IU_PER_MG if profile.states("vitamin_e") else UNKNOWN
    return profile.per_100g(vitamin.key)


def states(food: Food, vitamin: Vitamin, profiles: Profiles) -> bool:
    """Whether the label, the analysis or the table gives the vitamin."""
    profile = profiles[food]
    return profile.states(vitamin.key) or (vitamin is VITAMIN_E and profile.states("vitamin_e"))


def _given(animal: Animal, span: Span, vitamin: Vitamin) -> Given:
    ration = span.ration
    added, other = ZERO, ZERO
    carriers: list[Food] = []
    for food, grams in ration.grams_of.items():
        for part, share in _leaves(food):
            if part.food_class == FISH:
                continue
            amount = grams / 100 * share * content(part, vitamin, ration.profiles)
            if part.food_class not in ADDED:
                other = other + amount
            elif part.food_class in MAY_HOLD or states(part, vitamin, ration.profiles):
                added = added + amount
                carriers.extend([food] if amount.high else [])
    return Given(animal, span, vitamin, fish_in(ration), added, other, tuple(carriers))


def _leaves(food: Food) -> Iterator[tuple[Food, Interval]]:
    return ((part, share) for part, share in food.all_parts() if not part.mix)
