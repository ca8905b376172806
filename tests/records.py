"""Small collections as texts, for tests. Animals, foods and amounts are invented."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from dietcheck.collection.build import build
from dietcheck.collection.collection import Collection
from dietcheck.collection.places import Pointer
from dietcheck.nutrition.diet import Diet, diets_of
from dietcheck.reading import check_file

ON = date(2026, 11, 25)

SETTINGS = """
record: collection
name: Test Park
country: GB
feeds: [morning, afternoon]
extra_feeds: [noon]
rota_days: {rota_days}
weigh_every: {{Mammalia: 90 days, Aves: 60 days}}
may_sign: [{{name: Dr Vale, role: vet, from: 2024-01-01}}]
{more}
"""

GROUP = """
record: group
id: {id}
species: {species}
enclosure: {enclosure}
fed: together
animals:
{animals}
"""


def settings(rota_days: int = 2, more: str = "") -> str:
    """A collection record."""
    return SETTINGS.format(rota_days=rota_days, more=more)


def group(
    id: str = "tapir",
    species: str = "Tapirus terrestris",
    animals: Sequence[str] = ("{id: T1, weighings: [{on: 2026-11-20, mass: 200 kg}]}",),
    enclosure: str = "Paddock",
) -> str:
    """A group record; each animal is written in one line of flow style."""
    lines = "\n".join(f"  - {animal}" for animal in animals)
    return GROUP.format(id=id, species=species, animals=lines, enclosure=enclosure)


def foods(**entries: str) -> str:
    """A foods record: name (underscores become hyphens) → entry in flow style."""
    lines = "\n".join(f"  {name.replace('_', '-')}: {entry}" for name, entry in entries.items())
    return f"record: foods\nfoods:\n{lines}\n"


def sheet(
    meals: Mapping[str, Sequence[str]],
    group: str = "tapir",
    start: str = "2026-01-01",
    more: str = "",
) -> str:
    """A diet sheet: meal name → lines in flow style."""
    text = "".join(
        f"  {meal}:\n" + "".join(f"    - {line}\n" for line in lines)
        for meal, lines in meals.items()
    )
    return (
        f"record: diet sheet\ngroup: {group}\nfrom: {start}\nreason: test\n{more}\nmeals:\n{text}"
    )


def rota(
    days: Sequence[str], group: str = "tapir", start: str = "2026-11-16", more: str = ""
) -> str:
    """A rota: each day in flow style."""
    lines = "".join(f"  - {day}\n" for day in days)
    return f"record: rota\ngroup: {group}\nstarts: {start}\n{more}\ndays:\n{lines}"


def small(**changes: str) -> dict[str, str]:
    """A tapir park with carrots morning and afternoon; name a file's stem to change its text."""
    files = {
        "dietcheck": settings(),
        "group": group(),
        "foods": foods(carrot="{same_as: carrot}"),
        "sheet": sheet({"roots": ["{food: carrot, amount: 600 g per animal}"]}),
        "rota": rota(["{morning: roots, afternoon: roots}"] * 2),
    }
    files.update(changes)
    return {f"{stem}.yaml": text for stem, text in files.items()}


def linked(files: Mapping[str, str]) -> Collection:
    """The collection of some texts, which must all be proper records."""
    facts = [check_file(name, text.encode()) for name, text in files.items()]
    problems = [str(problem) for one in facts for problem in one.problems]
    assert not problems, problems
    return build((Pointer(one.file), one.data) for one in facts if one.data is not None)


def diet(files: Mapping[str, str], group: str = "tapir", on: date = ON) -> Diet:
    """The diet of one group."""
    return diets_of(linked(files), on)[group]
