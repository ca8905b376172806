"""Asks the rules what they know about a food, each behind a fence, as when they judge."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from dietcheck.collection.foods import Food
from dietcheck.screening.hookspecs import Knowledge
from dietcheck.screening.packs import LoadedRule
from dietcheck.screening.said import Failure
from dietcheck.screening.watch import FOREIGN, Allowance, described


class Told(Struct, frozen=True):
    """What the rules said of a food, and the rules that failed: of those nothing is known."""

    knowledge: tuple[Knowledge, ...]
    failures: tuple[Failure, ...]


def ask(food: Food, rules: Sequence[LoadedRule]) -> Told:
    """What every rule knows about a food, in the order in which it was said, each thing once."""
    said: dict[Knowledge, None] = {}
    failures = []
    for loaded in rules:
        if loaded.about_food is None:
            continue
        try:
            with Allowance(f"the rule {loaded.rule.id}"):
                for one in _flat(loaded.about_food(food=food)):
                    if not isinstance(one, Knowledge):
                        raise TypeError(f"it yielded {type(one).__name__} instead of knowledge")
                    said[one] = None
        except FOREIGN as error:  # a rule may raise anything
            failures.append(_failure(loaded, error))
    return Told(tuple(said), tuple(failures))


def names_known(rules: Sequence[LoadedRule]) -> tuple[str, ...]:
    """Every name of a food that a rule knows; a rule that fails here is only not asked."""
    names: dict[str, None] = {}
    for loaded in rules:
        if loaded.food_names is None:
            continue
        try:
            with Allowance(f"the rule {loaded.rule.id}"):
                names |= {str(name): None for name in _flat(loaded.food_names())}
        except FOREIGN:  # fewer suggestions for a slip of the pen; what is known is not touched
            continue
    return tuple(names)


def _flat(said: Iterable[Iterable[object]]) -> Iterable[object]:
    return (one for each in said for one in each)


def _failure(loaded: LoadedRule, error: BaseException) -> Failure:
    return Failure(loaded.rule.id, None, described(error))
