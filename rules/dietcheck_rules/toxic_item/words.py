"""Names as they are compared: whole words, without case, plural, hyphen, accent or spelling."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from typing import Any

from dietcheck.contract import files, read_trusted

Tokens = tuple[str, ...]
_FOLDER = files("dietcheck_rules.toxic_item")
_LONGEST = 200  # letters of a name worth reading


@cache
def table(name: str) -> Any:
    """One of the rule's own tables, read once a process."""
    return read_trusted(_FOLDER.joinpath(name).read_bytes())


@lru_cache(maxsize=8192)
def tokens(text: str) -> Tokens:
    """The words of a name in the form in which names are compared."""
    flat = unicodedata.normalize("NFKD", text[:_LONGEST]).casefold()
    flat = "".join(c for c in flat if not unicodedata.combining(c))
    flat = flat.replace("'", "").replace("\u2019", "")
    words = re.findall(r"[^\W_]+", flat)
    same: Mapping[str, str] = table("vocabulary.yaml")["same_words"]
    return tuple(same.get(one, one) for one in map(_singular, words))


@cache
def empty_words() -> frozenset[str]:
    """Words that say nothing about what a thing is."""
    return frozenset(
        word for text in table("vocabulary.yaml")["empty_words"] for word in tokens(text)
    )


def bare(name: Tokens) -> Tokens:
    """A name without its empty words; the name itself where nothing else is left."""
    return tuple(word for word in name if word not in empty_words()) or name


def holds(name: Tokens, phrase: Tokens) -> bool:
    """Whether a phrase stands in a name, word for word."""
    size = len(phrase)
    return any(name[at : at + size] == phrase for at in range(len(name) - size + 1))


def any_holds(names: Iterable[Tokens], phrases: Iterable[str]) -> bool:
    """Whether one of the phrases stands in one of the names."""
    wanted = [tokens(phrase) for phrase in phrases]
    return any(holds(name, phrase) for name in names for phrase in wanted)


def _singular(word: str) -> str:
    if len(word) < 4 or word.endswith(("ss", "us", "is")):
        return word if word != "pips" else "pip"
    if word in ("leaves", "halves", "calves", "loaves"):
        return {"leaves": "leaf", "halves": "half", "calves": "calf", "loaves": "loaf"}[word]
    if word.endswith("ies"):
        return word[:-3] + ("y" if len(word) > 4 else "ie")
    if word.endswith(("sses", "shes", "ches", "xes", "oes")):
        return word[:-2]
    if word.endswith("ised"):
        return word[:-4] + "ized"
    return word.removesuffix("s")
