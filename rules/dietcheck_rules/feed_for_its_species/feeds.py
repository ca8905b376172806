"""What a feed says of itself: for whom it is made, and which medicines are in it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from enum import Enum, auto
from functools import lru_cache

from msgspec import Struct

from dietcheck.contract import Food, Taxon, known_taxon_name
from dietcheck_rules.feed_for_its_species.substances import (
    IONOPHORES,
    UREA,
    Substance,
    found_in,
    is_medicine_word,
    words,
)
from dietcheck_rules.toxic_item.words import any_holds, tokens

_STRENGTH = re.compile(r"(.+?),? (\d{1,9}(?:\.\d{1,9})?) ?(mg|g)/kg")


class MadeFor(Enum):
    """How an animal stands to the species on a feed's label."""

    THIS_ANIMAL = auto()
    OTHERS = auto()
    NOT_STATED = auto()
    UNCLEAR = auto()  # a name on the label is no scientific name that is known here


class Medicine(Struct, frozen=True):
    """A medicine or coccidiostat in a feed; `strength` in mg per kg of feed where it is given."""

    name: str
    substance: Substance | None
    strength: Decimal | None


def is_compound(food: Food) -> bool:
    """Whether it is a manufactured feed, by its class or by a name that only such feeds bear."""
    return food.food_class == "compound feed" or _is_feed_by_name(food.names())


def says_something(food: Food) -> bool:
    """Whether there is anything about the food that this rule judges."""
    if food.mix or food.food_class == "medicine":
        return False
    stated = food.record.keys() & {"meant_for", "medicines", "additives"}
    return is_compound(food) or bool(stated)


def meant_for(food: Food) -> tuple[str, ...]:
    """The taxa on the label."""
    return tuple(food.record.get("meant_for", ()))


def made_for(food: Food, taxon: Taxon) -> MadeFor:
    """Whether the label names the animal."""
    names = meant_for(food)
    if not names:
        return MadeFor.NOT_STATED
    if any(taxon.is_in(name) for name in names):
        return MadeFor.THIS_ANIMAL
    if not all(known_taxon_name(name) for name in names):
        return MadeFor.UNCLEAR
    return MadeFor.OTHERS


def medicines_said(food: Food) -> str:
    """What the record says of medicines: none, unknown, named or not stated."""
    said = food.record.get("medicines")
    if medicines_in(food):
        return "named"
    return said if said in ("none", "unknown") else "not stated"


def medicines_in(food: Food) -> tuple[Medicine, ...]:
    """Every medicine and coccidiostat that the record names, among the additives too."""
    return tuple(_medicines(food))


def additives_with(food: Food, substance: str) -> tuple[str, ...]:
    """The additives that are a substance of the table."""
    named = (*food.record.get("additives", ()), *_listed(food))
    return tuple(one for one in named if (found := found_in(one)) and found.id == substance)


def _medicines(food: Food) -> Iterator[Medicine]:
    for name, substance in _named_after(food.names()):
        yield Medicine(name, substance, None)
    for text in _listed(food):
        name, strength = _strength(text)
        yield Medicine(name, found_in(name), strength)
    for text in food.record.get("additives", ()):
        name, strength = _strength(text)
        additive = found_in(name, additive=True)
        if additive is not None and additive.id == UREA:
            continue
        if additive is not None or is_medicine_word(name):
            yield Medicine(name, additive, strength)


@lru_cache(maxsize=4096)
def _is_feed_by_name(names: tuple[str, ...]) -> bool:
    return bool(_named_after(names)) or any_holds(map(tokens, names), words("vehicles"))


@lru_cache(maxsize=4096)
def _named_after(names: tuple[str, ...]) -> tuple[tuple[str, Substance], ...]:
    """The coccidiostats that stand in a feed's own names; "monensin-free" is none."""
    found: dict[str, Substance] = {}
    for name in names:
        substance = found_in(name)
        if substance is not None and substance.id == IONOPHORES and not _denied(name):
            found.setdefault(name, substance)
    return tuple(found.items())


def _denied(name: str) -> bool:
    return any_holds((tokens(name),), ("free", "without", "no"))


def _listed(food: Food) -> tuple[str, ...]:
    said = food.record.get("medicines")
    return tuple(said) if isinstance(said, list) else ()


def _strength(text: str) -> tuple[str, Decimal | None]:
    """A name with a strength taken apart: `monensin 125 mg/kg`."""
    found = _STRENGTH.fullmatch(text)
    if found is None:
        return text, None
    return found[1], Decimal(found[2]) * (1000 if found[3] == "g" else 1)
