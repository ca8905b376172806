"""What is taken from the store: foods in raw weight, what to thaw ahead, what to order.

Portions are weighed prepared. What is drawn is that divided by the part that is left of a food
once it is peeled, boned or trimmed (1 − waste), rounded up. Mixes are drawn as their ingredients.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta

from msgspec import Struct, field

from dietcheck.collection.animals import Group
from dietcheck.collection.foods import Food
from dietcheck.nutrition.kitchen import Bar, Dish, GroupDay, Kitchen, rounded_up
from dietcheck.quantities import ZERO, Dimension, Interval, exact


class Waste(Struct, frozen=True):
    """The share of a food that preparation throws away, and whether the site says so itself."""

    share: Interval
    is_own: bool


class Draw(Struct, frozen=True, eq=False):
    """One food to take from the store for a day.

    `prepared` is exactly the sum of the printed portions of it, `raw` what that takes before
    preparation, `drawn` the same rounded up. `counts` holds what lines ask for in pieces, ml or
    IU; `mixes` how much of `prepared` goes into which mix; `gaps` why grams are not all known.
    """

    food: Food
    prepared: Interval
    waste: Waste | None
    raw: Interval
    counts: Mapping[Dimension, Interval]
    mixes: Mapping[Food, Interval]
    dishes: tuple[Dish, ...]

    @property
    def drawn(self) -> Interval:
        """Grams to take from the store."""
        return rounded_up(self.raw)

    @property
    def gaps(self) -> tuple[str, ...]:
        """Why the grams of some portions cannot be known."""
        return tuple(dict.fromkeys(gap for dish in self.dishes for gap in dish.gaps))

    @property
    def ad_lib(self) -> bool:
        """Whether some of it is always there and the figure is what is expected to be taken."""
        return any(dish.line.amount.ad_lib for dish in self.dishes)

    @property
    def groups(self) -> tuple[Group, ...]:
        """Whose food it is."""
        return tuple({dish.group.id: dish.group for dish in self.dishes}.values())


class KitchenDay(Struct, frozen=True, eq=False):
    """The kitchen's whole day: the groups, what to draw, and what to thaw for the day after.

    `thaw_unknown` are groups whose next day is not planned. `bars` are those of the groups that
    are not printed.
    """

    on: date
    groups: tuple[GroupDay, ...]
    draws: tuple[Draw, ...]
    thaw: tuple[Draw, ...]
    thaw_unknown: tuple[Group, ...]
    bars: tuple[Bar, ...] = ()


class Wanted(Struct, frozen=True, eq=False):
    """One food of an order: the sum of what the days draw, and when it is first needed."""

    food: Food
    drawn: Interval
    first: date
    days: int
    counts: Mapping[Dimension, Interval]
    ad_lib: bool
    gaps: tuple[str, ...]


def kitchen_day(
    kitchen: Kitchen, groups: Sequence[Group], on: date, held: Iterable[Group] = ()
) -> KitchenDay:
    """What the kitchen does for some groups on a day; of the `held` only what must not go there."""
    today = tuple(kitchen.day(group, on) for group in groups)
    after = [kitchen.day(group, on + timedelta(days=1)) for group in groups]
    return KitchenDay(
        on=on,
        groups=today,
        draws=draws(today),
        thaw=tuple(draw for draw in draws(after) if is_frozen(draw.food)),
        thaw_unknown=tuple(day.group for day in after if day.present and day.plan.holes),
        bars=tuple(bar for group in held for bar in kitchen.bars(group, on)),
    )


def is_frozen(food: Food) -> bool:
    """Whether it comes out of the freezer: `frozen-thawed`, `thawed`."""
    form = (food.form or "").casefold()
    return "frozen" in form or "thaw" in form


def is_growing(food: Food) -> bool:
    """Whether it is eaten where it stands (`form: growing`), so that nobody fetches it."""
    return (food.form or "").casefold() == "growing"


class _Heap(Struct):
    prepared: Interval = ZERO
    counts: dict[Dimension, Interval] = field(default_factory=dict)
    mixes: dict[Food, Interval] = field(default_factory=dict)
    dishes: dict[Dish, None] = field(default_factory=dict)


def draws(days: Iterable[GroupDay]) -> tuple[Draw, ...]:
    """What some groups' dishes take from the store, by class of food and name."""
    heaps: dict[Food, _Heap] = {}
    for dish in (dish for day in days for dish in day.dishes if dish.bowls):
        for food, amount, mix in ingredients(dish.food, dish.total):
            if is_growing(food):
                continue
            heap = heaps.setdefault(food, _Heap())
            heap.prepared = heap.prepared + amount
            heap.dishes[dish] = None
            if mix is not None:
                heap.mixes[mix] = heap.mixes.get(mix, ZERO) + amount
            elif dish.count is not None:
                unit = dish.line.amount.dimension
                heap.counts[unit] = heap.counts.get(unit, ZERO) + dish.count
    found = (_draw(food, heap) for food, heap in heaps.items())
    return tuple(sorted(found, key=lambda one: _shelf(one.food)))


def _shelf(food: Food) -> tuple[str, str, str]:
    return food.food_class, food.name.casefold(), food.id


def _draw(food: Food, heap: _Heap) -> Draw:
    raw = before_waste(food, heap.prepared)
    return Draw(
        food, heap.prepared, waste_of(food), raw, heap.counts, heap.mixes, tuple(heap.dishes)
    )


def ingredients(
    food: Food, prepared: Interval, mix: Food | None = None
) -> Iterator[tuple[Food, Interval, Food | None]]:
    """What an amount of a food is put together from: ingredient, grams, and the mix it goes into.

    A food that is no mix is its own ingredient. A mix that is itself trimmed takes more of all.
    """
    if not food.mix:
        yield food, prepared, mix
        return
    made = before_waste(food, prepared)
    for part, share in food.mix:
        yield from ingredients(part, made * share, food)


def waste_of(food: Food) -> Waste | None:
    """The share thrown away in preparation: the site's own figure, else the bundled table's."""
    if food.waste is not None:
        return Waste(food.waste, True)
    if food.row is not None and food.row.waste:
        return Waste(exact(food.row.waste), False)
    return None


def before_waste(food: Food, prepared: Interval) -> Interval:
    """Raw grams that leave so many prepared; nobody knows how many where nothing is left."""
    waste = waste_of(food)
    if waste is None or prepared.high == 0:
        return prepared
    return prepared / (exact(1) - waste.share)


def order(days: Iterable[KitchenDay]) -> tuple[Wanted, ...]:
    """What some days draw together, by class of food and name."""
    heaps: dict[Food, list[tuple[date, Draw]]] = {}
    for day in days:
        for draw in day.draws:
            heaps.setdefault(draw.food, []).append((day.on, draw))
    found = (_wanted(food, needs) for food, needs in heaps.items())
    return tuple(sorted(found, key=lambda one: _shelf(one.food)))


def _wanted(food: Food, needs: list[tuple[date, Draw]]) -> Wanted:
    drawn = ZERO
    counts: dict[Dimension, Interval] = {}
    for _, draw in needs:
        drawn = drawn + draw.drawn
        for unit, count in draw.counts.items():
            counts[unit] = counts.get(unit, ZERO) + count
    return Wanted(
        food=food,
        drawn=drawn,
        first=min(on for on, _ in needs),
        days=len({on for on, _ in needs}),
        counts=counts,
        ad_lib=any(draw.ad_lib for _, draw in needs),
        gaps=tuple(dict.fromkeys(gap for _, draw in needs for gap in draw.gaps)),
    )
