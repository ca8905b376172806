"""What a record says of where a food comes from, word by word, denials understood."""

from __future__ import annotations

import re
from functools import lru_cache

from dietcheck.contract import Food
from dietcheck_rules.toxic_item.words import Tokens, tokens

_DENIALS = frozenset({"no", "not", "never", "non", "without", "nor", "unfit"})
_REACH = 2  # words that may stand between a denial and what it denies
Clauses = tuple[Tokens, ...]


def origin_of(food: Food) -> str:
    """What the record says of the food's origin; nothing if it says nothing."""
    said = food.record.get("meat_origin")
    return said if isinstance(said, str) else ""


def clauses_of(food: Food) -> Clauses:
    """The parts of the origin and of every name, each as compared words."""
    return tuple(
        clause for text in (origin_of(food), *food.names()) for clause in split_clauses(text)
    )


def statement_of(food: Food) -> Clauses:
    """The parts of the origin alone: a name of the bundled table vouches for nothing."""
    return split_clauses(origin_of(food))


def state_of(food: Food) -> Clauses:
    """The parts of the form and of every name."""
    return tuple(
        clause for text in (food.form or "", *food.names()) for clause in split_clauses(text)
    )


@lru_cache(maxsize=4096)
def split_clauses(text: str) -> Clauses:
    """A text at its commas and the like, so that a denial reaches no further than its clause."""
    parts = re.split(r"[,;:.()/]| but | and then ", text)
    return tuple(found for part in parts if (found := tokens(part)))


@lru_cache(maxsize=16384)
def says(clauses: Clauses, phrases: tuple[str, ...]) -> str:
    """The first of the phrases that is said and not denied; nothing when none is."""
    for phrase in phrases:
        wanted = tokens(phrase)
        if any(_asserts(clause, wanted) for clause in clauses):
            return phrase
    return ""


def _asserts(clause: Tokens, wanted: Tokens) -> bool:
    size = len(wanted)
    for at in range(len(clause) - size + 1):
        if clause[at : at + size] != wanted:
            continue
        before = clause[max(0, at - _REACH - 1) : at]
        after = clause[at + size : at + size + 1]
        if not _DENIALS & set(before) and after != ("free",):
            return True
    return False
