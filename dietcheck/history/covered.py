"""What a signature rests on, and whether that is still so: the diet, the heads, the weights.

An acceptance may hold what it was given for: a digest of the diet (or of the lines of one food),
how many animals there were, and between which weights each animal was to stay. What it holds is
compared with the records as they are; what a record made by hand leaves out cannot be, and is said.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from dietcheck.collection.animals import Animal, Group
from dietcheck.collection.collection import Collection
from dietcheck.collection.settings import Acceptance, SignOff
from dietcheck.history.digest import content_digest, food_content
from dietcheck.quantities import Interval, format_interval

BAND = Decimal("0.1")
"""How far a weight may move from the one that was signed: a tenth. Common practice, no source; the
record holds the bounds themselves, so that the vet can set others."""


def accepted_digest(collection: Collection, group: str, food: str | None, on: date) -> str:
    """The digest of what an acceptance covers: the group's diet, or what it has of one food."""
    if food is None:
        return content_digest(collection, group, on)
    content = food_content(collection, group, food, on)
    text = json.dumps(content, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    return f"sha256:{hashlib.sha256(text.encode()).hexdigest()}"


def covered_animals(group: Group, names: tuple[str, ...], on: date) -> tuple[Animal, ...]:
    """The animals of the group on that day that an acceptance is for; no names means all."""
    return tuple(
        a for a in group.present(on) if not names or a.id in names or (a.name or a.id) in names
    )


def weight_bands(group: Group, names: tuple[str, ...], on: date) -> dict[str, Interval]:
    """Between which weights each covered animal is to stay, in grams; who has none is left out."""
    weighed = ((animal, animal.weighed(on)) for animal in covered_animals(group, names, on))
    return {
        animal.id: Interval(
            w.mass.low * (1 - BAND), w.mass.high * (1 + BAND), None
        )
        for animal, w in weighed
        if w is not None and not group.is_colony
    }  # fmt: skip


def moved(
    collection: Collection, sign_off: SignOff, acceptance: Acceptance, on: date
) -> Iterator[str]:
    """What is no longer as it was when the risk was accepted, a phrase each; nothing if all is."""
    group = collection.groups.get(acceptance.group)
    if group is None:
        yield "the group is no longer there"
        return
    if not _same_content(collection, sign_off, acceptance):
        yield (
            f"what is written of {acceptance.food} has changed since"
            if acceptance.food
            else "the diet has changed since"
        )
    heads = group.head_count(on)
    was = acceptance.heads
    if was is not None and (was.low, was.high) != (heads.low, heads.high):
        yield f"there were {format_interval(was, '')} animals and are {format_interval(heads, '')}"
    here = {animal.id: animal for animal in group.present(on)}
    for name, band in acceptance.weights:
        if name in here:
            yield from _left(here[name], band, on)


def _same_content(collection: Collection, sign_off: SignOff, acceptance: Acceptance) -> bool:
    """Read as at the day of signing, so that time alone changes nothing."""
    group, on = acceptance.group, sign_off.on
    if acceptance.content is not None:
        return accepted_digest(collection, group, acceptance.food, on) == acceptance.content
    signed = sign_off.content.get(group)
    if signed is None or acceptance.up_to is not None:
        return True  # nothing to compare with, or bound to an amount that is held on its own
    return content_digest(collection, group, on) == signed


def _left(animal: Animal, band: Interval, on: date) -> Iterator[str]:
    weighed = animal.weighed(on)
    between = format_interval(band, "g", 4)
    if weighed is None:
        yield f"{animal.called} has no weight any more (accepted for {between})"
    elif weighed.mass.low < band.low or weighed.mass.high > band.high:
        mass = format_interval(weighed.mass, "g", 4)
        yield f"{animal.called} weighs {mass}, accepted for {between}"


def not_held(sign_off: SignOff, acceptance: Acceptance) -> tuple[str, ...]:
    """What the record does not hold, so that a change of it goes unseen: words for a report."""
    bound = acceptance.content or acceptance.up_to or sign_off.content.get(acceptance.group)
    missing = (
        ("the diet", bound is None),
        ("the number of animals", acceptance.heads is None),
        ("the weights", not acceptance.weights),
    )
    return tuple(word for word, is_missing in missing if is_missing)
