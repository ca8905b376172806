"""Frozen food is thawed cold, fed in time, and not kept past its day.

What went wrong in a freezer does not show in the bowl. The record of the batch is all that a
checker can read; the thermometer stays with the keeper.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from dietcheck.contract import (
    Check,
    Diet,
    Food,
    Limits,
    Offer,
    Rule,
    files,
    hookimpl,
    not_applicable,
)
from dietcheck_rules.shared.odd_limits import without_odd
from dietcheck_rules.thaw_and_storage.batch import Fed, age, last_day, thawing, used

SPOILS = frozenset({"fish", "shellfish", "meat", "offal", "whole prey", "insect", "egg"})


@hookimpl
def describe() -> Rule:
    """What this rule is."""
    return Rule(
        id="thaw-and-storage",
        title="Frozen food is thawed cold, fed in time and not too old",
        folder=files(__name__),
        has_limits=True,
    )


@hookimpl
def judge_group(diet: Diet, limits: Limits) -> Iterable[Check]:
    """What each frozen food lacks or breaks; kept where nothing is."""
    fed = tuple(_frozen(diet))
    if not fed:
        yield not_applicable("frozen food", f"{diet.group.called}: nothing frozen is fed.")
    limits, questions = without_odd(diet, limits) if fed else (limits, ())
    yield from questions
    for one in fed:
        found = [
            check
            for judged in (thawing(one), used(one, limits), last_day(one), age(one, limits))
            if (check := judged) is not None
        ]
        yield from found or [one.kept()]


def _frozen(diet: Diet) -> Iterator[Fed]:
    """Each food from the freezer with the lines that bring it, at any depth of a mix."""
    found: dict[Food, dict[Offer, None]] = defaultdict(dict)
    for offer in diet.offers():
        for part, _ in offer.line.food.all_parts():
            if part.food_class in SPOILS and "frozen" in (part.form or ""):
                found[part][offer] = None
    for food, offers in found.items():
        yield Fed(diet, food, tuple(offers))
