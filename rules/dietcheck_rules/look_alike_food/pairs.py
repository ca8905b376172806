"""Which foods of a list have names that are mixed up, and why."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import cache
from itertools import combinations

from msgspec import Struct

from dietcheck.contract import Food, files, read_trusted
from dietcheck_rules.toxic_item.ambiguity import traps
from dietcheck_rules.toxic_item.register import scientific_name
from dietcheck_rules.toxic_item.words import Tokens, holds, tokens

SHORT = 4  # letters of the longer name, under which one letter more or less is no slip
CROWD = 12  # foods under one name or one word, beyond which pairs say nothing
LONGEST = 60  # letters of a name that are compared


class Pair(Struct, frozen=True):
    """Two foods and why they are mixed up."""

    one: Food
    other: Food
    why: str


def pairs(foods: tuple[Food, ...]) -> tuple[Pair, ...]:
    """Every pair, once, with the most telling reason."""
    place = {food: at for at, food in enumerate(foods)}
    found: dict[tuple[int, int], Pair] = {}
    for kind in (_same_name, _same_letters, _one_letter, _several_meanings, _longer_name):
        for one, other, why in kind(foods):
            first, second = sorted((one, other), key=place.__getitem__)
            found.setdefault((place[first], place[second]), Pair(first, second, why))
    return tuple(found[key] for key in sorted(found))


Found = Iterator[tuple[Food, Food, str]]


def _own_names(food: Food) -> tuple[str, ...]:
    """The names this collection gives it; those of the bundled row are nobody's label."""
    return tuple(dict.fromkeys((food.id, food.name, *food.also_called)))


def _compared(food: Food) -> dict[Tokens, str]:
    """Its names as compared, each with one way in which it is written."""
    return {tokens(name): name for name in reversed(_own_names(food)) if tokens(name)}


def _same_name(foods: tuple[Food, ...]) -> Found:
    """Names that are the same but for capitals, hyphens, plural or spelling."""
    by_name: dict[Tokens, dict[Food, str]] = defaultdict(dict)
    for food in foods:
        for words, written in _compared(food).items():
            by_name[words][food] = written
    for called in by_name.values():
        for one, other in _combined(called):
            yield one, other, _both(called[one], called[other])


def _both(one: str, other: str) -> str:
    if one == other:
        return f'both go by "{one}"'
    return f'"{one}" and "{other}" differ only by capitals, hyphens, plural or spelling'


def _same_letters(foods: tuple[Food, ...]) -> Found:
    """Names that differ only by where words end."""
    by_letters: dict[str, dict[Food, str]] = defaultdict(dict)
    for food in foods:
        for words, written in _compared(food).items():
            by_letters["".join(words)][food] = written
    for called in by_letters.values():
        for one, other in _combined(called):
            yield one, other, _both(called[one], called[other])


def _one_letter(foods: tuple[Food, ...]) -> Found:
    """Names that one letter more, less, other or changed about makes the same."""
    near: dict[str, dict[Food, str]] = defaultdict(dict)
    for food in foods:
        for words in _compared(food):
            name = " ".join(words)[:LONGEST]
            for shorter in dict.fromkeys((name, *_without_a_letter(name))):
                near[shorter].setdefault(food, name)
    for called in near.values():
        for one, other in _combined(called):
            a, b = called[one], called[other]
            if max(len(a), len(b)) >= SHORT and a != b and _is_one_slip(a, b):
                yield one, other, f'"{a}" and "{b}" differ by one letter'


def _without_a_letter(name: str) -> Iterator[str]:
    return (name[:at] + name[at + 1 :] for at in range(len(name)))


def _without_digits(name: str) -> str:
    return "".join(letter for letter in name if not letter.isdigit())


def _is_one_slip(a: str, b: str) -> bool:
    """Whether one letter added, dropped or replaced, or two neighbours swapped, leads across.

    Numbers are told apart on purpose ("mix 1", "mix 2"), so a digit is no slip.
    """
    if _without_digits(a) == _without_digits(b):
        return False
    if len(a) > len(b):
        a, b = b, a
    if len(a) != len(b):
        return len(b) - len(a) == 1 and a in set(_without_a_letter(b))
    differing = [at for at in range(len(a)) if a[at] != b[at]]
    if len(differing) == 1:
        return True
    if len(differing) != 2 or differing[1] - differing[0] != 1:
        return False
    at = differing[0]
    return a[at] == b[at + 1] and a[at + 1] == b[at]


def _several_meanings(foods: tuple[Food, ...]) -> Found:
    """Different plants or animals whose names share a word with several meanings."""
    for word, note in _words().items():
        called = {
            food: ""
            for food in foods
            if any(holds(name, w) for name in _compared(food) for w in word)
        }
        crossed = len(word) > 1
        for one, other in _combined(called):
            if _differ(one, other, species=crossed):
                yield one, other, note


@cache
def _words() -> dict[tuple[Tokens, ...], str]:
    """Words that stand for several things, or that countries use the other way round."""
    found: dict[tuple[Tokens, ...], str] = {
        (word,): f'"{" ".join(word)}" may mean '
        + " or ".join(dict.fromkeys(one.name for one in meanings))
        for word, meanings in traps().items()
    }
    crossed = read_trusted(files(__package__).joinpath("crossed.yaml").read_bytes())
    for row in crossed["crossed"]:
        found[tuple(tokens(term) for term in row["terms"])] = row["note"]
    return found


def _longer_name(foods: tuple[Food, ...]) -> Found:
    """A name that ends in, or begins with, the whole name of a different plant or animal."""
    by_name: dict[Tokens, list[Food]] = defaultdict(list)
    for food in foods:
        for words in _compared(food):
            by_name[words].append(food)
    for food in foods:
        for words, written in _compared(food).items():
            for size in range(1, len(words)):
                for inner in dict.fromkeys((words[size:], words[:-size])):
                    for other in by_name.get(inner, ())[:CROWD]:
                        if other is not food and _differ(food, other):
                            yield food, other, f'"{written}" is not "{" ".join(inner)}"'


def _combined(called: Iterable[Food]) -> Iterator[tuple[Food, Food]]:
    several = list(called)
    return combinations(several, 2) if 1 < len(several) <= CROWD else iter(())


def _differ(one: Food, other: Food, *, species: bool = False) -> bool:
    """Whether both say what they are, and it is not of one genus, or not one species."""
    a, b = scientific_name(one.organism).split(), scientific_name(other.organism).split()
    return bool(a and b) and (a[:2] != b[:2] if species else a[0] != b[0])
