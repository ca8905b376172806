"""Parks made by chance that are as sound as the example: the same diets for other animals.

Everything that is changed stays inside what a kitchen scale, a spoon and the growth of an animal
differ by, or takes an animal away with its share. So whatever is high in such a park, and not in
the example, is a false alarm.
"""

from __future__ import annotations

from functools import lru_cache
from random import Random
from typing import Any

from dietcheck.collection.build import build
from dietcheck.collection.places import Pointer
from dietcheck.history.digest import content_digest
from tests.seeded.amounts import WEIGHT
from tests.seeded.park import ON, Park, lines, sound

AS_THEY_ARE = "marmoset"  # a sick animal, a plan and an accepted risk hang on their exact figures


@lru_cache(maxsize=64)
def generated(seed: int) -> Park:
    """The park of a seed, signed as it stands."""
    park, dice = sound().copy(), Random(f"park {seed}")
    named = _named(park)
    for group, sheet in park.sheets().items():
        if group != AS_THEY_ARE:
            _other_animals(park.group(group), named, dice)
            for _, line in lines(sheet):
                _other_amount(line, dice)
    _sign(park)
    return park


def _named(park: Park) -> frozenset[str]:
    """The animals that a treat, a medicine or a sign-off names: they must stay."""
    return frozenset(word for data in park.files.values() for word in _words(data))


def _words(data: Any, key: str = "") -> list[str]:
    if isinstance(data, dict):
        return [word for name, held in data.items() for word in _words(held, name)]
    if isinstance(data, list):
        return [word for held in data for word in _words(held, key)]
    return [data] if key in ("animals", "for") else []


def _other_animals(group: dict[str, Any], named: frozenset[str], dice: Random) -> None:
    """One animal fewer where there are several, and each a little heavier or lighter."""
    animals = group.get("animals", [])
    spare = [one for one in animals if one["id"] not in named]
    if len(animals) > 3 and spare:
        animals.remove(dice.choice(spare))
    size = dice.uniform(0.99, 1.01)
    for animal in animals:
        own = size * dice.uniform(0.99, 1.01)
        for weighing in animal.get("weighings", ()):
            mass, unit = weighing["mass"].split()
            weighing["mass"] = f"{float(mass) * own:.4g} {unit}"


def _other_amount(line: dict[str, Any], dice: Random) -> None:
    told = WEIGHT.match(line["amount"])
    if told:
        line["amount"] = f"{float(told[1]) * dice.uniform(0.99, 1.01):.4g} {told[2]} per {told[3]}"


def _sign(park: Park) -> None:
    """The signatures with the digests of what they now approve."""
    collection = build((Pointer(name), data) for name, data in park.files.items())
    for signed in park.of("sign-off").values():
        for group in signed.get("content", {}):
            signed["content"][group] = content_digest(collection, group, ON)
