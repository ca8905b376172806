"""Finds foods by any name they go by: id, name, synonym or scientific name, whole words only.

Capitals, accents, hyphens, the plural and the order of the words do not matter. Nothing is
guessed: a word that nobody knows finds nothing, and the nearest names are only offered.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from functools import lru_cache

from msgspec import Struct

from dietcheck.collection.build_foods import build_foods
from dietcheck.collection.foods import Food
from dietcheck.collection.places import Pointer
from dietcheck.tables.foods import FoodRow, food_ids, food_row

LONGEST = 100
"""Characters of a name that is looked up; no food's name is longer."""

Words = tuple[str, ...]


class Hit(Struct, frozen=True):
    """A food that bears the word. `row` is a bundled food, `food` one of the collection's own.

    `whole` tells that one of its names is the word and nothing more.
    """

    id: str
    name: str
    whole: bool
    row: FoodRow | None = None
    food: Food | None = None

    @property
    def own(self) -> bool:
        """Whether it stands on the collection's own list."""
        return self.food is not None

    def opened(self) -> Food:
        """The food, ready to be reckoned with."""
        return self.food if self.food is not None else bundled(self.id)


def bundled(food_id: str) -> Food:
    """A bundled food as a collection that names its id gets it."""
    return build_foods([(Pointer(""), {"foods": {food_id: {"same_as": food_id}}})], [])[food_id]


def bare_word(word: str) -> Food:
    """A word that stands on no list, as a food of which nothing but the name is known."""
    return Food(id=word, name=word, place=Pointer(""), known=False)


def find(word: str, own: Mapping[str, Food]) -> list[Hit]:
    """Every food that bears the word: the collection's own first, whole names before others."""
    wanted = words_of(word)
    if not wanted:
        return []
    hits = [hit for food in own.values() if (hit := _own_hit(food, word, wanted))]
    hits += [hit for row in _rows() if (hit := _row_hit(row, word, wanted))]
    return sorted(hits, key=lambda hit: (not hit.whole, not hit.own, hit.id))


def choose(word: str, hits: Iterable[Hit]) -> Hit | None:
    """The one food that is meant: the one of that id, or else the only one of that name."""
    whole = [hit for hit in hits if hit.whole]
    exact = [hit for hit in whole if hit.id == word.casefold()]
    if exact:
        return exact[0]
    return whole[0] if len(whole) == 1 else None


def near_names(word: str, others: Iterable[str], most: int = 5) -> list[str]:
    """The known names most like a word, from the bundled foods and from `others`."""
    known: dict[str, str] = {}
    for name in (*others, *(name for row in _rows() for name in _names(row))):
        known.setdefault(" ".join(words_of(name)), name)
    close = get_close_matches(" ".join(words_of(word[:LONGEST])), known, n=most, cutoff=0.7)
    return [known[one] for one in close]


def _own_hit(food: Food, word: str, wanted: Words) -> Hit | None:
    names = (*food.names(), food.organism or "")
    if not (held := _holds(names, wanted)) and food.id != word:
        return None
    return Hit(food.id, food.name, held == "whole" or food.id == word, food=food)


def _row_hit(row: FoodRow, word: str, wanted: Words) -> Hit | None:
    if not (held := _holds(_names(row), wanted)) and row.id != word:
        return None
    return Hit(row.id, row.name, held == "whole" or row.id == word, row=row)


def _holds(names: Iterable[str], wanted: Words) -> str:
    """ "whole" if a name is the wanted words, "part" if it holds them in a row, or nothing."""
    held = ""
    asked = sorted(wanted)
    for name in map(words_of, names):
        if sorted(name) == asked:
            return "whole"
        if set(wanted) <= set(name):
            held = "part"
    return held


def _names(row: FoodRow) -> tuple[str, ...]:
    return tuple(filter(None, (row.id, row.name, *row.synonyms, row.scientific_name)))


def _rows() -> list[FoodRow]:
    return [row for row in map(food_row, food_ids()) if row is not None]


@lru_cache(maxsize=8192)
def words_of(text: str) -> Words:
    """The words of a name as they are compared."""
    flat = unicodedata.normalize("NFKD", text).casefold()
    flat = "".join(one for one in flat if not unicodedata.combining(one))
    return tuple(map(_singular, re.findall(r"[^\W_]+", flat.replace("'", "").replace("’", ""))))


def _singular(word: str) -> str:
    if len(word) < 4 or word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies"):
        return word[:-3] + ("y" if len(word) > 4 else "ie")
    if word.endswith(("sses", "shes", "ches", "xes", "oes")):
        return word[:-2]
    return "leaf" if word == "leaves" else word.removesuffix("s")
