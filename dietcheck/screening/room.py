"""What could be left out of a meal, or given less of, so that nothing new speaks against a change.

It is found by trying: the line is written smaller, and the rules judge the group again. So it holds
for whatever rules there are, and what is told has been judged. It informs; it prescribes nothing.
"""

from __future__ import annotations

from collections.abc import Collection as Sized
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from dietcheck.collection.collection import Collection
from dietcheck.collection.feeding import DietSheet, Line, TreatGift
from dietcheck.history.lookback import Lookback
from dietcheck.nutrition.diet import Diet
from dietcheck.nutrition.shares import ADDED, CLASS_GROUPS
from dietcheck.nutrition.treats import is_treat
from dietcheck.screening.checks import Severity
from dietcheck.screening.difference import is_worse
from dietcheck.screening.engine import run
from dietcheck.screening.findings import Finding
from dietcheck.screening.packs import LoadedRule
from dietcheck.screening.report import Report

STEPS = 40  # at most so many different amounts of a line are thought of
SPARED = CLASS_GROUPS["roughage"] | ADDED
_NICE = [Decimal(digit).scaleb(power) for power in range(-3, 5) for digit in (1, 2, 5)]


class Option(Struct, frozen=True):
    """A line of a day that could be made smaller, in every feed of the day that it stands in."""

    kind: Literal["leave out", "give less"]
    line: Line
    slots: tuple[str, ...]
    meal: str
    by: Decimal = Decimal(0)  # in one feed: in the line's own unit, for whom the line says

    @property
    def left(self) -> Decimal:
        """What is left of the amount, at most."""
        return self.line.amount.quantity.high - self.by


class Room(Struct, frozen=True, eq=False):
    """The group whose findings are to go, and the dates on which its lines may be smaller.

    `dates` are those of the treats in question; without any the sheet itself is written otherwise.
    `earlier` is the version that rules look back to. The `targets` are the findings.
    """

    before: Report
    after: Report
    rules: Sequence[LoadedRule]
    group: str
    dates: tuple[date, ...]
    earlier: Lookback
    targets: tuple[Finding, ...]

    def smallest(self, options: Iterable[Option]) -> Option | None:
        """The option whose smallest reduction clears the findings, and brings no grave ones."""
        concerned = {finding.rule for finding in self.targets}
        some = [loaded for loaded in self.rules if loaded.rule.id in concerned]
        found: list[tuple[Decimal, int, Option]] = []
        for number, option in enumerate(options):
            most = min((size for size, *_ in found), default=None)
            if (cleared := self._least(option, some, most)) is not None:
                found.append((self._size(cleared), number, cleared))
        for *_, option in sorted(found, key=lambda one: one[:2]):
            if self._clears(option, self.rules):
                return option
        return None

    def _least(
        self, option: Option, rules: Sequence[LoadedRule], most: Decimal | None
    ) -> Option | None:
        """The least reduction of one line that clears; None if none does, or none below `most`."""
        amounts = _amounts(option.line)
        if option.kind == "give less":
            amounts = amounts[:-1]  # to give none of it is no way of giving it
        if most is not None:
            amounts = [by for by in amounts if self._size(replace(option, by=by)) < most]
        if not amounts or not self._clears(replace(option, by=amounts[-1]), rules):
            return None
        low, high = 0, len(amounts) - 1
        while low < high:
            middle = (low + high) // 2
            if self._clears(replace(option, by=amounts[middle]), rules):
                high = middle
            else:
                low = middle + 1
        return replace(option, by=amounts[high])

    def _size(self, option: Option) -> Decimal:
        """The reduction as grams of the animal that gets most of the line."""
        diet = self._diet()
        day = diet.day(self.dates[0] if self.dates else diet.on)
        grams = [
            portion.grams.high
            for animal in diet.animals
            for _, portions in diet.feeds(animal, day)
            for portion in portions
            if portion.line is option.line
        ]
        return max(grams, default=Decimal(0)) * option.by / option.line.amount.quantity.high

    def _diet(self) -> Diet:
        assert self.after.diets is not None
        return self.after.diets[self.group]

    def _clears(self, option: Option, rules: Sequence[LoadedRule]) -> bool:
        """Whether nothing is new or worse for the group when the line is smaller."""
        collection = self.after.collection
        assert collection is not None
        smaller = written_smaller(collection, self.group, option, self.dates)
        alone = replace(smaller, groups={self.group: smaller.groups[self.group]}, neighbours={})
        past = {finding.id: finding for finding in self.before.findings}
        targets = {finding.id for finding in self.targets}
        of_group = [_of_group(loaded) for loaded in rules if loaded.judge_group is not None]
        outcome = run(alone, of_group, self.after.on, earlier=self.earlier)
        return not outcome.failures and not any(
            finding.accepted is None
            and (finding.id in targets or finding.severity is not Severity.LOW)
            and (finding.id not in past or is_worse(past[finding.id], finding))
            for finding in outcome.findings
        )


def _of_group(loaded: LoadedRule) -> LoadedRule:
    """A rule that judges groups only; the bibliography is not read for it again and again."""
    return replace(loaded, judge_collection=None, pack=replace(loaded.pack, sources=None))


def leave_out(diet: Diet, day: date, slots: Sized[str]) -> Iterator[Option]:
    """Every line of the day's meals that is fed in these slots only, no treat and no roughage.

    Roughage and what is added for a nutrient are never proposed to be left out: our own choice.
    """
    for line, (meal, where) in _fed(diet, day).items():
        spared = is_treat(line) or line.food.food_class in SPARED
        if not spared and all(slot in slots for slot in where):
            yield Option("leave out", line, where, meal)


def give_less(diet: Diet, day: date, lines: Sized[Line]) -> Iterator[Option]:
    """These lines of the day."""
    for line, (meal, where) in _fed(diet, day).items():
        if line in lines:
            yield Option("give less", line, where, meal)


def _fed(diet: Diet, day: date) -> dict[Line, tuple[str, tuple[str, ...]]]:
    """Every line of a day with its meal and the slots that it is fed in."""
    found: dict[Line, tuple[str, tuple[str, ...]]] = {}
    for feed in diet.day(day).feeds:
        for line in feed.lines:
            _, slots = found.get(line, ("", ()))
            found[line] = feed.meal, (*slots, feed.slot)
    return found


def written_smaller(
    collection: Collection, group: str, option: Option, dates: tuple[date, ...]
) -> Collection:
    """The collection with a line of a group smaller: treats and sheets, on the dates only."""
    line, smaller = option.line, _smaller(option)
    gifts = tuple(
        replace(gift, lines=_put(gift.lines, line, smaller))
        for gift in collection.treats.get(group, ())
    )
    sheets = collection.sheets.get(group, ())
    if dates:
        of_days = ((on, collection.sheet_on(group, on)) for on in dates)
        one_day = [
            replace(_sheet(sheet, line, smaller), start=on, until=on)
            for on, sheet in of_days
            if sheet is not None and _holds(sheet, line)
        ]
        sheets = tuple(sorted((*sheets, *one_day), key=lambda sheet: sheet.start))
    else:
        sheets = tuple(_sheet(sheet, line, smaller) for sheet in sheets)
    return replace(
        collection,
        treats={**collection.treats, group: _not_empty(gifts)},
        sheets={**collection.sheets, group: sheets},
    )


def _not_empty(gifts: Iterable[TreatGift]) -> tuple[TreatGift, ...]:
    return tuple(gift for gift in gifts if gift.lines)


def _holds(sheet: DietSheet, line: Line) -> bool:
    return any(line in meal.lines for meal in sheet.meals.values())


def _sheet(sheet: DietSheet, line: Line, smaller: Line | None) -> DietSheet:
    if not _holds(sheet, line):
        return sheet
    meals = {
        name: replace(meal, lines=_put(meal.lines, line, smaller))
        for name, meal in sheet.meals.items()
    }
    return replace(sheet, meals=meals)


def _put(lines: tuple[Line, ...], line: Line, smaller: Line | None) -> tuple[Line, ...]:
    changed = (smaller if one is line else one for one in lines)
    return tuple(one for one in changed if one is not None)


def _smaller(option: Option) -> Line | None:
    amount = option.line.amount
    high = amount.quantity.high
    if option.by >= high:
        return None
    kept = amount.quantity * (high - option.by) / high
    return replace(option.line, amount=replace(amount, quantity=kept))


def _amounts(line: Line) -> list[Decimal]:
    """Reductions to think of, smallest first, in round figures; the last one is all of it."""
    whole = line.amount.quantity.high
    if not whole.is_finite() or not whole:
        return []
    if line.amount.dimension == "piece" and whole <= STEPS:
        steps = [Decimal(number) for number in range(1, int(whole) + 1)]
    else:
        step = next((nice for nice in _NICE if whole / nice <= STEPS), whole)
        steps = [step * number for number in range(1, int(whole / step) + 1)]
    return steps if steps and steps[-1] == whole else [*steps, whole]
