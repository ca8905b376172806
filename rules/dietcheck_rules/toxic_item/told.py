"""Items that hang on what the record says of a food, not on what the food is.

Bread gone mouldy, fish stored too long, straw tested for endophyte: the words stand in the name,
the part, the form, the medicines or the additives. Where meat comes from is judged by feed-origin.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any

from msgspec import Struct

from dietcheck.contract import Food
from dietcheck_rules.toxic_item.words import Tokens, table, tokens

FIELDS = ("medicines", "additives")  # beside names, part and form
DENIED_BEFORE = frozenset({"no", "not", "non", "never", "without", "free", "anti", "against"})
DENIED_AFTER = frozenset({"free", "negative", "inhibitor", "none"})
NEAR = 2  # words within which a "no" is taken to belong to what follows


class Telling(Struct, frozen=True):
    """What must be said of a food for an item to be in it, or not.

    `said` settles that it is, `cleared` that it is not; with neither, or with both, a food that
    goes by one of the item's names is asked about with `ask`. `classes`: no other foods count.
    """

    item: str
    said: tuple[Tokens, ...]
    cleared: tuple[Tokens, ...]
    ask: str
    classes: frozenset[str]

    def word_in(self, said: Iterable[str]) -> str:
        """The words that say so; nothing where they are absent or denied ("not mouldy")."""
        return next((" ".join(one) for one in _stated(said, self.said)), "")

    def clears(self, said: Iterable[str]) -> bool:
        """Whether something says that it is not."""
        return any(True for _ in _stated(said, self.cleared))


@cache
def tellings() -> tuple[Telling, ...]:
    """The items of that kind."""
    entries = table("names.yaml")["items"].items()
    return tuple(_telling(item, entry) for item, entry in entries if entry.keys() & _KEYS)


_KEYS = {"said", "cleared_by", "ask", "classes"}


def _telling(item: str, entry: dict[str, Any]) -> Telling:
    return Telling(
        item,
        tuple(map(tokens, entry.get("said", ()))),
        tuple(map(tokens, entry.get("cleared_by", ()))),
        entry.get("ask", ""),
        frozenset(entry.get("classes", ())),
    )


def said_of(food: Food) -> tuple[str, ...]:
    """Every text of a food's record that may tell its state."""
    told: list[str] = list(food.names())
    for key in FIELDS:
        value = food.record.get(key)
        told += value if isinstance(value, list | tuple) else [value] if value else []
    return tuple(dict.fromkeys([*told, *filter(None, (food.part, food.form))]))


def _stated(said: Iterable[str], phrases: tuple[Tokens, ...]) -> Iterator[Tokens]:
    for text in said:
        words = tokens(text)
        for phrase in phrases:
            for at in range(len(words) - len(phrase) + 1):
                end = at + len(phrase)
                if words[at:end] == phrase and not _denied(words, at, end):
                    yield phrase


def _denied(words: Tokens, at: int, end: int) -> bool:
    before = words[max(0, at - NEAR) : at]
    return bool(DENIED_BEFORE.intersection(before)) or words[end : end + 1] in {
        (word,) for word in DENIED_AFTER
    }
