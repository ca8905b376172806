"""Holds one swap against what makes it one: nutrient, energy and sugar, kind, meal, end."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal

from msgspec import Struct

from dietcheck.contract import (
    ZERO,
    Animal,
    Check,
    Diet,
    DietSheet,
    Interval,
    Profile,
    Verdict,
    allowed,
    energy_method,
    energy_per_100g,
    unchanged,
)
from dietcheck_rules.shared.pairing import MealLine, SheetPair
from dietcheck_rules.shared.sheet_ration import rota_of, share_of, sheet_ration
from dietcheck_rules.swap_equivalence import reports
from dietcheck_rules.swap_equivalence.asked import Asked
from dietcheck_rules.swap_equivalence.exchange import Exchange

Content = Callable[[Profile], Interval]  # of one food, per 100 g as fed


class Held(Struct, frozen=True, eq=False):
    """One figure before and after, for the animal that it is worst for."""

    animal: Animal
    key: str
    before: Interval
    after: Interval
    verdict: Verdict


def judge(pair: SheetPair, exchange: Exchange, asked: Asked) -> Iterator[Check]:
    """Everything that is the matter with one swap; kept where it is one in every respect."""
    if exchange.missing:
        yield reports.not_there(pair, exchange)
        return
    said = list(_key_nutrients(pair, exchange, asked))
    unequal = bool(said)
    said += _rises(pair, exchange, asked)
    if not exchange.key_nutrients:
        said.append(reports.nobody_said(pair.now, [exchange]))
    if not unequal and (kind := _other_kind(exchange)) is not None:
        said.append(reports.other_kind(pair, exchange, *kind))
    if exchange.said:
        said += _meal_and_end(pair, exchange, asked)
    yield from said or [reports.kept(pair, exchange, asked)]


def _key_nutrients(pair: SheetPair, exchange: Exchange, asked: Asked) -> Iterator[Check]:
    """Each key nutrient of what is gone, against what came in its place."""
    for key in exchange.key_nutrients:
        held = _worst(pair, exchange, key, asked)
        if held is not None and held.verdict is not Verdict.KEPT:
            yield reports.key_nutrient(pair, exchange, held.animal, key,
                                       held.before, held.after, held.verdict, asked)  # fmt: skip


def _worst(pair: SheetPair, exchange: Exchange, key: str, asked: Asked) -> Held | None:
    def content(profile: Profile) -> Interval:
        return profile.per_100g(key)

    found = []
    for animal in pair.now.animals:
        before = _sum(pair.then, exchange.outs, animal, content)
        after = _sum(pair.now, exchange.ins, animal, content)
        if before.high > 0:
            found.append(Held(animal, key, before, after, _within(before, after, asked)))
    order = (Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT)
    return min(found, key=lambda held: (order.index(held.verdict), held.after.low), default=None)


def _within(before: Interval, after: Interval, asked: Asked) -> Verdict:
    """Whether enough and not too much of what is gone came, whatever the true values are."""
    least, most = asked.key_least, asked.key_most
    if after.high < least * before.low or after.low > most * before.high:
        return Verdict.BREACH
    if after.low >= least * before.high and after.high <= most * before.low:
        return Verdict.KEPT
    return Verdict.CANNOT_TELL


def _rises(pair: SheetPair, exchange: Exchange, asked: Asked) -> Iterator[Check]:
    """Energy and sugars of the whole day, which may go up a little only."""
    method = energy_method(pair.now.group.taxon)
    contents: dict[str, Content] = {
        "energy": lambda profile: energy_per_100g(profile, method),
        "sugars": lambda profile: profile.per_100g("sugars"),
    }
    for key, content in contents.items():
        found = [
            (rise, animal)
            for animal in pair.now.animals
            if (rise := _rise(pair, exchange, animal, content)) is not None
        ]
        worst = max(found, key=lambda one: (one[0].low, one[0].high), default=None)
        if worst is not None and worst[0].high > asked.up_by:
            sure = worst[0].low > asked.up_by
            yield reports.rise(pair, exchange, worst[1], key, worst[0], sure, asked)


def _rise(pair: SheetPair, exchange: Exchange, animal: Animal, content: Content) -> Interval | None:
    """By what part of the day before the exchange adds; None where it certainly adds nothing."""
    ration = sheet_ration(pair.then, pair.before, animal)
    if ration is None:
        return None
    before = _sum_of_day(pair.then, pair.before, exchange.outs, animal, content)
    after = _sum_of_day(pair.now, pair.after, exchange.ins, animal, content)
    more = after.high - before.low
    if more <= 0:
        return None
    whole = ZERO
    for food, grams in ration.grams_of.items():
        whole = whole + ration.per_day(grams) / 100 * content(ration.profiles[food])
    if whole.low <= 0:
        return Interval(Decimal(0), Decimal("Infinity"))
    least = max(after.low - before.high, Decimal(0))
    low = least / whole.high if whole.is_bounded else Decimal(0)
    return Interval(low, more / whole.low)


def _sum(diet: Diet, lines: tuple[MealLine, ...], animal: Animal, content: Content) -> Interval:
    """The nutrient in one giving of some lines, for one animal."""
    total = ZERO
    for given in lines:
        share = share_of(diet, given.line, animal)
        if share is not None:
            total = total + share / 100 * content(diet.profiles[given.line.food])
    return total


def _sum_of_day(
    diet: Diet, sheet: DietSheet, lines: tuple[MealLine, ...], animal: Animal, content: Content
) -> Interval:
    """The same in the day of the rota on which the lines' meals are served most often."""
    total = ZERO
    for given in lines:
        total = total + _sum(diet, (given,), animal, content) * _times(diet, sheet, given.meal)
    return total


def _times(diet: Diet, sheet: DietSheet, meal: str) -> int:
    """How often a meal is served on the day that has most of it; once where no day has it."""
    rota = rota_of(diet, sheet)
    days = () if rota is None else rota.days
    return max((sum(m.count(meal) for m in day.feeds.values()) for day in days), default=1) or 1


def _other_kind(exchange: Exchange) -> tuple[str, str] | None:
    """A class of food that came and that none of the gone had, with one of theirs."""
    had = [given.line.food.food_class for given in exchange.outs]
    for given in exchange.ins:
        if given.line.food.known and given.line.food.food_class not in had:
            return had[0], given.line.food.food_class
    return None


def _meal_and_end(pair: SheetPair, exchange: Exchange, asked: Asked) -> Iterator[Check]:
    """A swap is fed in the same meal, and ends soon unless it was approved."""
    meals = {given.meal for given in exchange.outs}
    moved = [given for given in exchange.ins if given.meal not in meals]
    if moved:
        yield reports.other_meal(pair, exchange, moved[0])
    until = pair.after.until
    days = None if until is None else (until - pair.after.start).days
    if (days is None or days > asked.days_off) and not approved(pair.now):
        yield reports.end(pair, exchange, days, asked)


def approved(diet: Diet) -> bool:
    """Whether someone who may sign has signed the group's diet as it stands."""
    collection, group = diet.collection, diet.group.id
    return any(
        group in sign_off.content
        and allowed(sign_off, diet.settings.signers)
        and unchanged(collection, sign_off, group)
        for sign_off in collection.sign_offs
    )
