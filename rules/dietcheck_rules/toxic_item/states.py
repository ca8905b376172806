"""Which part of a plant or animal a food is and how it is prepared, against what an item covers."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache, lru_cache
from typing import Literal

from msgspec import Struct

from dietcheck.contract import Food
from dietcheck_rules.toxic_item.words import Tokens, table, tokens

Fit = Literal["yes", "no", "unknown"]
Simple = frozenset[str]
EVERYTHING = "*"


class State(Struct, frozen=True):
    """The parts and forms of a food as simple parts and states; None where they are not known.

    `names` are its names as compared, for conditions that hang on a word.
    """

    parts: Simple | None
    forms: Simple | None
    names: tuple[Tokens, ...]
    part_said: str = ""
    form_said: str = ""


def state_of(food: Food) -> State:
    """What is known of a food's part and form, from its record and then from its names."""
    return _state(food.part, food.form, food.names())


@lru_cache(maxsize=16384)
def _state(part: str | None, form: str | None, names: tuple[str, ...]) -> State:
    compared = tuple(dict.fromkeys(map(tokens, names)))
    parts = simple(part, "parts") if part else _part_in(compared)
    forms = simple(form, "forms") if form else None
    named = _form_in(compared)
    if named:
        forms = named | (forms or frozenset())
    return State(parts or None, forms or None, compared, part or "", form or "")


def fits(own: Simple | None, listed: Iterable[str], kind: str) -> Fit:
    """Whether a food's parts (or forms) are among those listed."""
    covered = _covered(tuple(listed), kind)
    if EVERYTHING in covered:
        return "yes"
    if own is None:
        return "unknown"
    return "yes" if EVERYTHING in own or own & covered else "no"


@lru_cache(maxsize=1024)
def simple(text: str, kind: str) -> Simple | None:
    """The simple parts or states that a phrase stands for; None if no word of it is known."""
    known = _vocabulary(kind)
    whole = tokens(text)
    if whole in known:
        return known[whole]
    found: set[str] = set()
    for piece in re.split(r",|/|&|\band\b|\bor\b|\bwith\b|;", text):
        words = tokens(piece)
        for size in range(len(words), 0, -1):  # "young oak leaf" ends in a word that is known
            if (last := words[len(words) - size :]) in known:
                found |= known[last]
                break
        else:
            if words and words[0] in {key[0] for key in known if len(key) == 1}:
                found |= known[(words[0],)]
    return frozenset(found) or None


@cache
def _vocabulary(kind: str) -> Mapping[Tokens, Simple]:
    return {tokens(word): frozenset(made) for word, made in table("vocabulary.yaml")[kind].items()}


@cache
def _covered(listed: tuple[str, ...], kind: str) -> Simple:
    return frozenset(one for word in listed for one in (simple(word, kind) or frozenset({word})))


def _part_in(names: tuple[Tokens, ...]) -> Simple | None:
    telling = {word for text in table("vocabulary.yaml")["parts_in_names"] for word in tokens(text)}
    known = _vocabulary("parts")
    return frozenset(
        one
        for name in names
        for word in name
        if word in telling
        for one in known.get((word,), frozenset({word}))
    )


def _form_in(names: tuple[Tokens, ...]) -> Simple | None:
    known = _vocabulary("forms")
    return frozenset(one for name in names for word in _known_in(name) for one in known[word])


def _known_in(name: Tokens) -> Iterator[Tokens]:
    """The form words of a name; "slow cooked" is read before "cooked"."""
    known = _vocabulary("forms")
    at = 0
    while at < len(name):
        pair = name[at : at + 2]
        if len(pair) == 2 and pair in known:
            yield pair
            at += 2
            continue
        if (name[at],) in known:
            yield (name[at],)
        at += 1
