"""Sound records and ways to spoil them, for comparing the two readings of a schema."""

from __future__ import annotations

import copy
import random
from decimal import Decimal
from pathlib import Path
from typing import Any

from dietcheck.reading import KINDS, check_file, schema

EXAMPLE = Path(__file__).parents[2] / "example_repo"

VALUES: tuple[Any, ...] = (
    None, True, False, 0, 1, -1, 5, 9, 61, 2016, Decimal("2.5"), Decimal("5.0"), Decimal("-0.1"),
    "", " ", "x", "X", "a b", "a  b", "a\n", "a\u00a0b", "yes", "no", "none", "unknown", "planned",
    "high", "off", "meal", "GB", "gb", "red-panda", "Red Panda", "RP-01", "no feed", "x" * 61,
    "x" * 81, "x" * 121, "x" * 4001, "2026-11-09", "2026-02-30", "2016", "4.9 kg", "5 to 20 g",
    "45 g", "45 g per animal", "1,5 g per animal", "60 %", "160 %", "90 days", "6 % of dry matter",
    ">= 14 %", "about 5 %", "120 mg/kg", "1.03 g/ml", "25 to 35", "30", "../up", "/top", "forms/a",
    [], ["x"], [1], [None], ["x", "x"], {}, {"x": "y"}, {"x-own": 1}, {"basis": "as fed"}, [[]],
)  # fmt: skip
NAMES = ("x-own", "unknown", "notes", "group", "taxon", "at_least", "animals", "colony", "same_as",
         "mix", "why", "stands_in", "fast", "X Y", "", "a  b", "record")  # fmt: skip


def sound_records() -> list[tuple[str, Any]]:
    """Kind and data of the examples in the schemas and of every good record of the demo."""
    found = [(kind, example) for kind in KINDS for example in schema(kind).get("examples", ())]
    for file in sorted(EXAMPLE.rglob("*.yaml")):
        if not file.name.startswith("."):
            facts = check_file(file.name, file.read_bytes())
            if facts.kind is not None and facts.data is not None:
                found.append((facts.kind, facts.data))
    return found


def spoil(data: Any, chance: random.Random) -> Any:
    """A copy with one to three things changed, which may or may not leave it sound."""
    whole = {"whole": copy.deepcopy(data)}
    for _ in range(chance.randint(1, 3)):
        _change(chance.choice(_boxes(whole)), chance)
    return whole.get("whole")


def _boxes(value: Any) -> list[Any]:
    """Every list and mapping inside a value, itself included."""
    if isinstance(value, dict):
        return [value, *(box for inner in value.values() for box in _boxes(inner))]
    if isinstance(value, list):
        return [value, *(box for inner in value for box in _boxes(inner))]
    return []


def _change(box: Any, chance: random.Random) -> None:
    new = copy.deepcopy(chance.choice(VALUES))
    way = chance.randrange(4)
    if isinstance(box, list):
        if way == 0 or not box:
            box.append(new)
        elif way == 1:
            del box[chance.randrange(len(box))]
        elif way == 2:
            box.clear()
        else:
            box[chance.randrange(len(box))] = new
        return
    if way == 0 or not box:
        box[chance.choice(NAMES)] = new
        return
    name = chance.choice(list(box))
    if way == 1:
        del box[name]
    elif way == 2:
        box[chance.choice(NAMES)] = box.pop(name)
    else:
        box[name] = new
