"""What a food is made of, per 100 g as fed, every figure a range and every weak figure marked.

The food is the one in the bowl, in the state its record names: nothing is taken off for waste, and
no loss in cooking, thawing or storage is guessed.

Figures come from a row of the bundled table, from a label or an analysis as printed, or from the
ingredients of a mix. A nutrient that nobody states is bounded by what is stated (sugars lie
between nothing and the carbohydrate that is not fibre; nothing weighs more than the dry matter)
and is otherwise unknown, never zero.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from decimal import Decimal

from dietcheck.collection.foods import Food
from dietcheck.quantities import UNKNOWN, ZERO, Interval, exact
from dietcheck.tables.nutrients import nutrients

HUNDRED = exact(100)
# Proximate parts: water, these and carbohydrate make up the whole food.
PROXIMATES = ("protein", "fat", "ash")
SINGLE_SUGARS = ("sucrose", "glucose", "fructose", "lactose", "maltose")
WITHIN_CARBOHYDRATE = frozenset(
    {"sugars", "starch", "nsc", "fibre", "crude_fibre"} | set(SINGLE_SUGARS)
)
KJ_PER_KCAL = Decimal("4.184")  # the thermochemical calorie
IN_UNIT = {"g": 1, "mg": 1000, "µg": 1_000_000}


class Profile:
    """The composition of one food. Each nutrient is worked out once, when first asked for."""

    def __init__(self, food: Food, profiles: Profiles) -> None:
        self._food = food
        self._profiles = profiles
        self._figures: dict[str, Interval] = {}
        self._per_gram: dict[str, Interval] = {}
        self._weak: dict[str, str | None] = {}
        # What others derive from the figures, kept here so that each food is reckoned once.
        self.derived: dict[Hashable, Interval] = {}

    @property
    def food(self) -> Food:
        """The food this is the composition of."""
        return self._food

    def parts(self) -> Iterator[tuple[Profile, Interval]]:
        """What a mix is made of, with the shares (0 to 1); nothing for any other food."""
        return ((self._profiles[part], share) for part, share in self._food.mix)

    def states(self, key: str) -> bool:
        """Whether the label, the analysis or the table gives the nutrient, be it as a range.

        A mix states what all its parts state.
        """
        if self._food.mix:
            return all(part.states(key) for part, _ in self.parts())
        if key == "dry_matter":
            return self.states("water")
        return self._stated(key) is not None

    def per_100g(self, key: str) -> Interval:
        """The amount of a nutrient in 100 g as fed, in the nutrient's own unit."""
        if key not in self._figures:
            self._figures[key] = self._estimated(key, self._work_out(key))
        return self._figures[key]

    def per_gram(self, key: str) -> Interval:
        """The amount of a nutrient in one gram as fed, in the nutrient's own unit."""
        if key not in self._per_gram:
            self._per_gram[key] = self.per_100g(key) / 100
        return self._per_gram[key]

    def weakness(self, key: str) -> str | None:
        """Why the figure is weak (unknown, imputed, borrowed, a range), or None when it is firm."""
        if key not in self._weak:
            self._weak[key] = self._find_weakness(key)
        return self._weak[key]

    def _work_out(self, key: str) -> Interval:
        if key == "dry_matter":
            return (HUNDRED - self.per_100g("water")).clamp_low(Decimal(0))
        if self._food.mix:
            return self._of_mix(key)
        stated = self._stated(key)
        return self._bounded(key) if stated is None else stated

    def _of_mix(self, key: str) -> Interval:
        total = ZERO
        for part, share in self._food.mix:
            total = total + self._profiles[part].per_100g(key) * share
        return total

    def _stated(self, key: str) -> Interval | None:
        food = self._food
        if key in food.declared:
            return self._as_fed(key, food.declared[key])
        if (converted := self._converted(key)) is not None:
            return converted
        if food.row is None:
            return None
        if (value := food.row.value(key)) is not None:
            found = exact(value)
        elif (span := food.row.range_of(key)) is not None:
            found = Interval(*span)
        else:
            return None
        if food.row.basis == "dry matter" and key != "water":
            return found * self.per_100g("dry_matter") / 100
        return found

    def _converted(self, key: str) -> Interval | None:
        """A figure declared under another name: dry matter for water, kJ for kcal, NFE and fibre
        for the carbohydrate."""
        declared = self._food.declared
        if key == "water" and "dry_matter" in declared:
            return HUNDRED - declared["dry_matter"]
        if key == "energy" and "energy_kj" in declared:
            return self._as_fed(key, declared["energy_kj"] / KJ_PER_KCAL)
        if key == "energy_kj" and "energy" in declared:
            return self._as_fed(key, declared["energy"] * KJ_PER_KCAL)
        if key == "carbohydrate" and {"nfe", "crude_fibre"} <= declared.keys():
            return self._as_fed(key, declared["nfe"] + declared["crude_fibre"])
        return None

    def _as_fed(self, key: str, figure: Interval) -> Interval:
        """A declared figure on the as-fed basis; a bound past what the rest leaves is cut."""
        if self._food.basis == "dry matter" and key != "water":
            figure = figure * self.per_100g("dry_matter") / 100
        if nutrients()[key].unit == "g" and not figure.is_exact and figure.high >= 100:
            high = max(figure.low, self._room(key))
            best = figure.best
            return Interval(figure.low, high, best if best is not None and best <= high else None)
        return figure

    def _room(self, key: str) -> Decimal:
        """The most that can be left for one proximate part after the least of the others."""
        others = (part for part in ("water", *PROXIMATES) if part != key)
        return Decimal(100) - sum(
            (self._food.declared[part].low for part in others if part in self._food.declared),
            Decimal(0),
        )

    def _bounded(self, key: str) -> Interval:
        """The range of a nutrient nobody states, from what is stated of the others."""
        if key == "carbohydrate":
            rest = HUNDRED - self.per_100g("water")
            for part in PROXIMATES:
                rest = rest - self.per_100g(part)
            return rest.clamp_low(Decimal(0))
        if key == "water":
            return Interval(Decimal(0), Decimal(100))
        if key in WITHIN_CARBOHYDRATE:
            high = self._carbohydrate_room(key)
            return Interval(min(self._least(key), high), high)
        if key == "nfe":
            rest = self.per_100g("carbohydrate") - self.per_100g("crude_fibre")
            return rest.clamp_low(Decimal(0))
        if (factor := IN_UNIT.get(nutrients()[key].unit)) is not None:
            return Interval(Decimal(0), self.per_100g("dry_matter").high * factor)
        return UNKNOWN

    def _least(self, key: str) -> Decimal:
        """The least of a carbohydrate nobody states, from the parts of it that are stated."""
        parts = {"sugars": SINGLE_SUGARS, "nsc": ("sugars", "starch")}.get(key, ())
        stated = (self._stated(part) for part in parts)
        return sum((figure.low for figure in stated if figure), Decimal(0))

    def _carbohydrate_room(self, key: str) -> Decimal:
        room = self.per_100g("carbohydrate").high
        if key in SINGLE_SUGARS and (sugars := self._stated("sugars")) is not None:
            return min(room, sugars.high)
        if key in ("fibre", "crude_fibre"):
            return room
        fibre = self._stated("fibre") or self._stated("crude_fibre") or ZERO
        return max(room - fibre.low, Decimal(0))

    def _estimated(self, key: str, figure: Interval) -> Interval:
        """The range with the record's best estimate, where it gives one that lies inside."""
        estimate = self._food.estimates.get(key)
        if estimate is None or figure.is_exact:
            return figure
        best = self._as_fed(key, estimate).best
        if best is None or not figure.low <= best <= figure.high:
            return figure
        return Interval(figure.low, figure.high, best)

    def _find_weakness(self, key: str) -> str | None:
        food = self._food
        if food.mix:
            weak = [part.id for part, _ in food.mix if self._profiles[part].weakness(key)]
            return f"weak in {', '.join(weak)}" if weak else None
        if not food.known:
            return "the food is on no list"
        if key == "dry_matter":
            return self.weakness("water")
        if key in food.declared or self._converted(key) is not None:
            return None if self.per_100g(key).is_exact else "printed as a minimum or a maximum"
        if food.row is None or (food.row.value(key) is None and food.row.range_of(key) is None):
            return "not stated"
        if food.stands_in:
            return "borrowed from a similar food"
        mark = food.row.marks(key)
        return mark if mark in ("imputed", "mixed or label", "from memory") else None


class Profiles:
    """The composition of every food that is asked for, each worked out once."""

    def __init__(self) -> None:
        self._profiles: dict[Food, Profile] = {}

    def __getitem__(self, food: Food) -> Profile:
        if food not in self._profiles:
            self._profiles[food] = Profile(food, self)
        return self._profiles[food]
