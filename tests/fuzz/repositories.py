"""Whole collections out of chance: sound ones, and ones that somebody slipped on. All invented."""

from __future__ import annotations

import random
from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from hypothesis import strategies as st

from tests import records
from tests.fuzz.targets import as_yaml
from tests.reading.mutants import spoil

Files = dict[str, Any]  # file name → data of the record

SPECIES = (
    "Tapirus terrestris", "Ailurus fulgens", "Lemur catta", "Aonyx cinereus", "Rhea americana",
    "Spheniscus humboldti", "Pogona vitticeps", "Python regius", "Aldabrachelys gigantea",
    "Phasmatodea", "Achatina fulica", "Macropus rufus", "Callithrix jacchus", "Suricata suricatta",
)  # fmt: skip
BUNDLED = ("carrot", "grape", "banana", "egg", "leek", "apple", "kale", "mouse", "avocado", "oats")
DAYS = st.dates(date(2024, 1, 1), date(2027, 12, 31))
NAME = st.from_regex(r"[a-z][a-z0-9]{0,7}(-[a-z0-9]{1,4})?", fullmatch=True)
FIGURE = st.one_of(
    st.integers(1, 999_999).map(str),
    st.decimals("0.001", 9999, places=3).map(lambda d: f"{d.normalize():f}"),
)


def ranged(figure: str, unit: str, wide: bool) -> str:
    """One figure, or a range from it to ten times it."""
    if wide and figure.isdigit() and len(figure) < 5:
        return f"{figure} to {figure}0 {unit}"
    return f"{figure} {unit}"


@st.composite
def amounts(draw: st.DrawFn) -> str:
    """An amount of food, from next to nothing to a lorry-load."""
    unit = draw(st.sampled_from(["g", "kg", "mg", "ml", "pieces", "% of body mass"]))
    per = draw(st.sampled_from(["per animal", "per group", "per kg body mass"]))
    phrase = ranged(draw(FIGURE), unit, draw(st.booleans()))
    phrase = phrase if "body mass" in phrase else f"{phrase} {per}"
    return f"ad lib, expected {phrase}" if draw(st.booleans()) else phrase


@st.composite
def foods(draw: st.DrawFn, ids: list[str]) -> Files:
    """A record of foods: bundled ones, mixes, and one of which little is known."""
    found: Files = {}
    for number, name in enumerate(ids):
        ways: list[Any] = [
            {"same_as": draw(st.sampled_from(BUNDLED))},
            {"unknown_composition": "not analysed", "organism": "Salix caprea"},
        ]
        if number:
            ways.append({"mix": {ids[0]: "60 %", ids[number - 1] + "-x": "40 %"}})
        found[name] = draw(st.sampled_from(ways))
        found[f"{name}-x"] = {"same_as": draw(st.sampled_from(BUNDLED))}
    return {"record": "foods", "foods": found}


@st.composite
def sound(draw: st.DrawFn) -> Files:
    """A collection of one to three groups with all that goes with them, each record right."""
    files: Files = {}
    ids = draw(st.lists(NAME, min_size=1, max_size=4, unique=True))
    days = draw(st.integers(1, 15))
    feeds = draw(st.sampled_from([["morning"], ["morning", "afternoon"]]))
    files["dietcheck.yaml"] = {
        "record": "collection",
        "name": draw(st.text("Aé–胡'\"&<|", min_size=1, max_size=9)),
        "country": "GB",
        "feeds": feeds,
        "extra_feeds": ["noon"],
        "rota_days": days,
        "weigh_every": {"Mammalia": "90 days"},
        "may_sign": [{"name": "Dr Vale", "role": "vet", "from": "2024-01-01"}],
    }
    files["foods.yaml"] = draw(foods(ids))
    groups = draw(st.lists(NAME, min_size=1, max_size=3, unique=True))
    for group in groups:
        animals = []
        for number in range(draw(st.integers(1, 3))):
            animal: dict[str, Any] = {"id": f"A{number}"}
            weighed = draw(st.lists(DAYS, max_size=3, unique=True))
            if weighed:
                animal["weighings"] = [
                    {"on": day.isoformat(), "mass": ranged(draw(FIGURE), "kg", False)}
                    for day in sorted(weighed)
                ]
            animals.append(animal)
        files[f"groups/{group}.yaml"] = {
            "record": "group",
            "id": group,
            "species": draw(st.sampled_from(SPECIES)),
            "enclosure": "Paddock",
            "fed": draw(st.sampled_from(["together", "singly"])),
            "animals": animals,
        }
        line = st.fixed_dictionaries({"food": st.sampled_from(ids), "amount": amounts()})
        meals = draw(
            st.dictionaries(NAME, st.lists(line, min_size=1, max_size=3), min_size=1, max_size=2)
        )
        start = draw(DAYS)
        files[f"sheets/{group}.yaml"] = {
            "record": "diet sheet",
            "group": group,
            "from": start.isoformat(),
            "reason": "chance",
            "meals": meals,
        }
        files[f"rotas/{group}.yaml"] = {
            "record": "rota",
            "group": group,
            "starts": (start + timedelta(days=draw(st.integers(0, 40)))).isoformat(),
            "days": [
                {feed: draw(st.sampled_from(sorted(meals))) for feed in feeds} for _ in range(days)
            ],
        }
    if draw(st.booleans()):
        files["treats.yaml"] = {
            "record": "treats",
            "treats": [
                {
                    "on": draw(DAYS).isoformat(),
                    "group": draw(st.sampled_from(groups)),
                    "purpose": "training",
                    "items": [{"food": draw(st.sampled_from(ids)), "amount": draw(amounts())}],
                }
            ],
        }
    if draw(st.booleans()):
        files["signed.yaml"] = {
            "record": "sign-off",
            "by": draw(st.sampled_from(["Dr Vale", "Nobody"])),
            "role": "vet",
            "on": draw(DAYS).isoformat(),
            "groups": [draw(st.sampled_from(groups))],
        }
    return files


def written(files: Mapping[str, Any]) -> dict[str, bytes]:
    """The texts of some records."""
    return {name: as_yaml(data) for name, data in files.items()}


@st.composite
def slipped(draw: st.DrawFn) -> dict[str, bytes]:
    """A sound collection with up to three slips: in its data, its letters, its lines, its files."""
    files = written(draw(sound()))
    for _ in range(draw(st.integers(1, 3))):
        die = random.Random(draw(st.integers(0, 2**32)))
        name = die.choice(sorted(files))
        way = die.randrange(5)
        if way == 0:
            if len(files) > 2 and name != "dietcheck.yaml":
                del files[name]
        elif way == 1:
            files[name] = _letters(files[name], die)
        elif way == 2:
            files[f"more/{die.randrange(9)}.yaml"] = files[name]
        else:
            files[name] = _data(files[name], die)
    return files


def _letters(raw: bytes, die: random.Random) -> bytes:
    changed = bytearray(raw or b"x")
    for _ in range(die.randint(1, 3)):
        at = die.randrange(len(changed))
        changed[at : at + die.randint(0, 2)] = die.choice(
            [b"", b":", b"0", b"[", b'"', b"\n", b"-", b"\xc3\xa9", b"\xff", b",", b"kg", b"9" * 9]
        )
        changed = changed or bytearray(b"x")
    return bytes(changed)


def _data(raw: bytes, die: random.Random) -> bytes:
    from dietcheck.reading.check import read_loosely

    data, flaws = read_loosely(raw)
    return raw if flaws else as_yaml(spoil(data, die))


ON = records.ON
