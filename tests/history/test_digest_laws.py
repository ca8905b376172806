"""Laws of the digest over every kind of record that it covers, on the example park."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from copy import deepcopy
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from dietcheck.collection.build import build
from dietcheck.collection.collection import Collection
from dietcheck.collection.places import Pointer
from dietcheck.history.digest import NOT_MEANING, content_digest
from dietcheck.history.guards import guards_digest
from dietcheck.reading import Folder, check_file, read_repository

PARK = Path(__file__).parents[2] / "example_repo"
ON = date(2026, 11, 25)
SEEDS = st.integers(0, 2**32 - 1)
Record = tuple[str, Any]  # file name, data


@cache
def records() -> tuple[Record, ...]:
    """Every record of the park."""
    files = read_repository(Folder(PARK)).files
    return tuple((f.file, f.data) for f in files if f.data is not None)


def linked(found: tuple[Record, ...]) -> Collection:
    """The collection of some records."""
    return build((Pointer(file), data) for file, data in found)


def digests(collection: Collection) -> dict[str, str]:
    """The digest of every group, and of what guards them."""
    found = {group: content_digest(collection, group, ON) for group in sorted(collection.groups)}
    return found | {"guards": guards_digest(collection)}


@cache
def park() -> Collection:
    """The park as it is."""
    return linked(records())


@cache
def as_it_is() -> Mapping[str, str]:
    """Its digests."""
    return digests(park())


def shuffled(value: Any, chance: random.Random) -> Any:
    """The value with the keys of every mapping in another order."""
    if isinstance(value, dict):
        keys = list(value)
        chance.shuffle(keys)
        return {key: shuffled(value[key], chance) for key in keys}
    if isinstance(value, list):
        return [shuffled(one, chance) for one in value]
    return value


def texts(value: Any) -> Any:
    """The value as a YAML writer takes it: figures that were read exactly as plain figures."""
    if isinstance(value, Mapping):
        return {key: texts(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [texts(one) for one in value]
    return float(value) if hasattr(value, "is_finite") else value


@settings(max_examples=5, deadline=None)
@given(SEEDS)
def test_order_of_keys_and_of_files_names_and_comments_play_no_part(seed: int) -> None:
    chance = random.Random(seed)
    found = []
    for number, (file, data) in enumerate(chance.sample(records(), len(records()))):
        name = file if file == "dietcheck.yaml" else f"{number}.yaml"
        body = yaml.safe_dump(texts(shuffled(data, chance)), sort_keys=False, allow_unicode=True)
        facts = check_file(name, f"# a remark\n{body}# and another\n".encode())
        assert not facts.problems, (file, facts.problems)
        found.append((name, facts.data))
    assert digests(linked(tuple(found))) == as_it_is()


def leaves(value: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to every value that is no mapping and no list."""
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from leaves(inner, (*way, key))
    elif isinstance(value, list | tuple):
        for number, inner in enumerate(value):
            yield from leaves(inner, (*way, number))
    else:
        yield way


def changed(record: Mapping[str, Any], way: tuple[Any, ...]) -> Mapping[str, Any]:
    """The record with another value at the end of a way."""
    copied = deepcopy(dict(record))
    box: Any = copied
    for step in way[:-1]:
        box = box[step]
    box[way[-1]] = f"other than {box[way[-1]]}"
    return copied


def is_words(way: tuple[Any, ...]) -> bool:
    """Whether the value is a remark."""
    return any(step in NOT_MEANING or str(step).startswith("x-") for step in way)


@pytest.mark.parametrize("group", sorted(as_it_is().keys() - {"guards"}))
def test_any_change_in_sheet_rota_or_food_is_another_digest_and_remarks_are_none(
    group: str,
) -> None:
    collection, before = park(), as_it_is()[group]
    sheet, rota = collection.sheet_on(group, ON), collection.rota_on(group, ON)
    assert sheet is not None
    assert rota is not None
    tried = 0
    for way in leaves(sheet.record):
        other = replace(sheet, record=changed(sheet.record, way))
        with_it = replace(collection, sheets={**collection.sheets, group: (other,)})
        alone = replace(collection, sheets={**collection.sheets, group: (sheet,)})
        same = content_digest(with_it, group, ON) == content_digest(alone, group, ON)
        assert same is is_words(way), way
        tried += 1
    for way in leaves(rota.record):
        turned = replace(rota, record=changed(rota.record, way))
        with_it = replace(collection, rotas={**collection.rotas, group: (turned,)})
        alone = replace(collection, rotas={**collection.rotas, group: (rota,)})
        same = content_digest(with_it, group, ON) == content_digest(alone, group, ON)
        assert same is is_words(way), way
        tried += 1
    for food in {part.id for m in sheet.meals.values() for ln in m.lines
                 for part, _ in ln.food.all_parts()}:  # fmt: skip
        for way in leaves(collection.foods[food].record):
            if way[0] in ("same_as", "mix"):
                continue  # these lead to other foods, see test_digest.py
            old = collection.foods[food].record
            entry = [(f, d) for f, d in records() if d["record"] == "foods" and food in d["foods"]]
            assert entry
            data = deepcopy(dict(entry[0][1]))
            data["foods"] = {**data["foods"], food: changed(old, way)}
            try:
                others = tuple((f, data if f == entry[0][0] else d) for f, d in records())
                after = content_digest(linked(others), group, ON)
            except (ValueError, TypeError, ArithmeticError, LookupError):
                continue  # no record could say that
            assert (after == before) is is_words(way), way
            tried += 1
            break  # one a food: the whole entry is taken as it is written
    assert tried > 20


@pytest.mark.parametrize("kind", ["treats", "sign-off", "limits"])
def test_kinds_of_record_that_no_digest_of_a_diet_covers(kind: str) -> None:
    left = tuple(
        (file, data) for file, data in records()
        if data["record"] != kind
    )  # fmt: skip
    after = digests(linked(left))
    assert {g: d for g, d in after.items() if g != "guards"} == {
        g: d for g, d in as_it_is().items() if g != "guards"
    }
    assert (after["guards"] == as_it_is()["guards"]) is (kind != "limits")


def test_any_change_of_what_guards_is_another_digest() -> None:
    collection = park()
    own = collection.settings
    limit, entry = collection.limits[0], own.do_not_feed[0]
    group = next(g for g in collection.groups.values() if any(a.never for a in g.animals))
    bare = replace(group, animals=tuple(replace(a, never=()) for a in group.animals))
    worse = [
        replace(collection, limits=(replace(limit, severity="low"), *collection.limits[1:])),
        replace(collection, limits=(replace(limit, over="7 days"), *collection.limits[1:])),
        replace(collection, limits=collection.limits[1:]),
        replace(collection, settings=replace(own, do_not_feed=own.do_not_feed[1:])),
        replace(collection, settings=replace(own, do_not_feed=(replace(entry, organism="x"),))),
        replace(collection, settings=replace(own, signers=())),
        replace(collection, groups={**collection.groups, group.id: bare}),
    ]
    found = [guards_digest(one) for one in worse]
    assert len({*found, as_it_is()["guards"]}) == len(worse) + 1
    words = replace(limit, why="another word", place=Pointer("moved"))
    same = replace(collection, limits=(*collection.limits[1:], words))
    assert guards_digest(same) == as_it_is()["guards"]
