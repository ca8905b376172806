"""Which toxic items a food may be: by organism first, by whole words of its names second."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from functools import cache, lru_cache
from typing import Any

from msgspec import Struct, field
from msgspec.structs import replace

from dietcheck.contract import Food
from dietcheck_rules.toxic_item.told import Telling, said_of, tellings
from dietcheck_rules.toxic_item.words import Tokens, bare, table, tokens

ANIMAL_CLASSES = frozenset(
    {"insect", "whole prey", "meat", "offal", "fish", "shellfish", "egg", "dairy"}
)
RANK_MARKS = frozenset({"x", "var.", "subsp.", "ssp.", "spp.", "sp.", "cf."})
JOINED = 6  # letters from which two words written as one are still recognised


class Hit(Struct, frozen=True):
    """An item that a food may be. `certain`: what it is needs no further question.

    `word` is the name or the organism that led there; `by_name` says which of the two. `told`: the
    record itself says so ("rancid"), whatever the food is. `ask` is the question that settles it.
    """

    item: str
    word: str
    by_name: bool
    certain: bool
    told: bool = False
    ask: str = ""


class Identity(Struct, frozen=True):
    """What a food says of itself, reduced to what matching looks at."""

    names: tuple[str, ...]
    organism: str | None = None
    family: str | None = None
    food_class: str = "other"
    said: tuple[str, ...] = ()

    @classmethod
    def of(cls, food: Food) -> Identity:
        """What this food says of itself."""
        return cls(food.names(), food.organism, food.family, food.food_class, said_of(food))


class Register(Struct):
    """Names and organisms of all items, ready to be looked up."""

    phrases: dict[str, list[tuple[Tokens, str, str]]] = field(
        default_factory=lambda: defaultdict(list)
    )  # first word → (phrase, the name as written, item)
    organisms: dict[str, list[tuple[str, str, str]]] = field(
        default_factory=lambda: defaultdict(list)
    )  # genus or family → (scientific name, family, item)
    excluded: dict[str, tuple[str, ...]] = field(default_factory=dict)
    kingdoms: dict[str, str] = field(default_factory=dict)  # item → a family of its organisms
    needs_name: set[str] = field(default_factory=set)
    nameless: set[str] = field(default_factory=set)  # items without an organism
    whole_only: frozenset[Tokens] = frozenset()
    ambiguous: frozenset[Tokens] = frozenset()


@cache
def register() -> Register:
    """The register of all items, built once a process."""
    built = Register()
    vocabulary = table("vocabulary.yaml")
    for text in vocabulary["harmless"]:
        words = tokens(text)
        built.phrases[words[0]].append((words, text, ""))
    built.whole_only = frozenset(tokens(text) for text in vocabulary["whole_name_only"])
    built.ambiguous = frozenset(
        tokens(trap["word"])
        for trap in table("ambiguous.yaml")["ambiguous"]
        if len({reading.get("item") for reading in trap["readings"]}) > 1
    )
    for item, entry in table("names.yaml")["items"].items():
        _add(built, item, entry)
    return built


def _add(built: Register, item: str, entry: Mapping[str, Any]) -> None:
    names: Iterable[str] = entry["names"]
    organisms: Mapping[str, str] = entry.get("organisms", {})
    for name in names:
        words = tokens(name)
        built.phrases[words[0]].append((words, name, item))
        if len(words) == 2:
            joined = "".join(words)
            built.phrases[joined].append(((joined,), name, item))
    for scientific, family in organisms.items():
        built.kingdoms[item] = family
        tidy = scientific_name(scientific)
        built.organisms[tidy.split()[0]].append((tidy, family, item))
    built.excluded[item] = tuple(map(scientific_name, entry.get("not_organisms", ())))
    if entry.get("needs_name"):
        built.needs_name.add(item)
    if not organisms:
        built.nameless.add(item)


def hits(food: Food) -> tuple[Hit, ...]:
    """The items a food may be, each once, the surest hit of each."""
    return hits_of(Identity.of(food))


@lru_cache(maxsize=16384)
def hits_of(identity: Identity) -> tuple[Hit, ...]:
    """The items that a thing of this identity may be. Depends on nothing else."""
    known = register()
    by_name = dict(_named(known, identity))
    found: dict[str, Hit] = {}
    if identity.organism:
        for item, word, certain in _organism(known, identity, by_name):
            if item not in known.needs_name or item in by_name:
                found.setdefault(item, Hit(item, word, by_name=False, certain=certain))
        for item, word in _in_name(known, tokens(identity.organism)):  # an older name of a genus
            if item in known.kingdoms and not _other_kingdom(identity, known.kingdoms[item]):
                found.setdefault(item, Hit(item, word, by_name=False, certain=False))
    for item, word in by_name.items():
        if item in known.nameless:
            found.setdefault(item, Hit(item, word, by_name=True, certain=True))
        elif not identity.organism:
            found.setdefault(item, Hit(item, word, by_name=True, certain=False))
    for telling in tellings():
        _hear(telling, identity, found)
    return tuple(found.values())


def _hear(telling: Telling, identity: Identity, found: dict[str, Hit]) -> None:
    """Add, question or drop an item by what is said of the food."""
    item = telling.item
    if telling.classes and identity.food_class not in telling.classes:
        found.pop(item, None)
        return
    word, cleared = telling.word_in(identity.said), telling.clears(identity.said)
    if word and not cleared:
        found[item] = Hit(item, word, by_name=False, certain=True, told=True)
    elif word:
        found[item] = Hit(item, word, by_name=True, certain=False, told=True, ask=telling.ask)
    elif cleared:
        found.pop(item, None)
    elif item in found and telling.ask:
        found[item] = replace(found[item], certain=False, ask=telling.ask)


def _organism(
    known: Register, identity: Identity, by_name: Mapping[str, str]
) -> Iterator[tuple[str, str, bool]]:
    """Items of the food's organism: the species, its genus or its family is listed.

    A species beside the listed one counts when its name is that of the item as well; a genus
    alone leaves the species open.
    """
    own = scientific_name(identity.organism)
    family = scientific_name(identity.family)
    genus = own.split()[0] if own else ""
    rows = [*known.organisms.get(genus, ()), *known.organisms.get(family, ())]
    for scientific, listed_family, item in rows:
        if own in known.excluded[item] or _other_kingdom(identity, listed_family):
            continue
        if own == scientific or own.startswith(scientific + " ") or scientific == family:
            yield item, own, True
        elif own == genus:
            yield item, own, False
        elif item in by_name and scientific.split()[0] == genus:
            yield item, own, True


def _other_kingdom(identity: Identity, listed_family: str) -> bool:
    """Whether one is an animal and the other is not: some names are both (Pieris, Prosopis)."""
    animal = listed_family.endswith("idae")
    if identity.family:
        return identity.family.endswith("idae") != animal
    if identity.food_class in ANIMAL_CLASSES:
        return not animal and identity.food_class in ("insect", "whole prey", "fish")
    return False


def _named(known: Register, identity: Identity) -> Iterator[tuple[str, str]]:
    for name in identity.names:
        yield from _in_name(known, tokens(name))


def _in_name(known: Register, name: Tokens) -> Iterator[tuple[str, str]]:
    """The items named in one name. A longer phrase, or a harmless one, hides those inside it."""
    claimed: list[tuple[int, int]] = []
    for at, words, text, item in sorted(_spans(known, name), key=lambda span: -len(span[1])):
        end = at + len(words)
        if any(a <= at and end <= b and (a, b) != (at, end) for a, b in claimed):
            continue
        if words in known.ambiguous and bare(name) == words:
            continue  # asked about on its own
        if words in known.whole_only and words not in (name, bare(name)):
            continue
        claimed.append((at, end))
        if item:
            yield item, text


def _spans(known: Register, name: Tokens) -> Iterator[tuple[int, Tokens, str, str]]:
    """Where phrases stand in a name: place, words, phrase as written, item ("" if harmless)."""
    for at, word in enumerate(name):
        for words, text, item in known.phrases.get(word, ()):
            if name[at : at + len(words)] == words:
                yield at, words, text, item
        pair = "".join(name[at : at + 2])
        if len(pair) >= JOINED and at + 1 < len(name):
            for words, text, item in known.phrases.get(pair, ()):
                if words == (pair,):
                    yield at, name[at : at + 2], text, item


def scientific_name(written: str | None) -> str:
    """A scientific name as compared: one capital, no hybrid sign, rank mark or bracket."""
    words = (written or "").replace("×", " x ").replace("(", " ").replace(")", " ").split()
    kept = (word for word in words if word.casefold() not in RANK_MARKS)
    return " ".join(kept).capitalize()
