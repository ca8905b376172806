"""Faults of amounts, supplements and rations."""

from __future__ import annotations

import re
from random import Random

from tests.seeded.park import Park, Record, lines
from tests.seeded.registry import Broken, fault, file_of_sheet, some_sheet

WEIGHT = re.compile(r"^([0-9.]+) (g|kg) per (animal|kg body mass)$")


def main_line(park: Park, rng: Random) -> tuple[str, str, Record]:
    """A group, and a line of its sheet that is much of the ration: where a slip matters."""
    found = [
        (group, meal, line)
        for group, sheet in sorted(park.sheets().items())
        for meal, held in sheet["meals"].items()
        for line in held
        if WEIGHT.match(line["amount"]) and _share(line, held) >= 0.3 and "for" not in line
    ]
    return rng.choice(found)


def _share(line: Record, held: list[Record]) -> float:
    return _weight(line) / (sum(map(_weight, held)) or 1)


def _weight(line: Record) -> float:
    found = WEIGHT.match(line["amount"])
    return float(found[1]) * (1000 if found[2] == "kg" else 1) if found else 0


def _times(line: Record, factor: float) -> None:
    found = WEIGHT.match(line["amount"])
    assert found
    line["amount"] = f"{float(found[1]) * factor:g} {found[2]} per {found[3]}"


def _slip(park: Park, rng: Random, factor: float) -> Broken:
    group, _, line = main_line(park, rng)
    _times(line, factor)
    return Broken(file_of_sheet(park, group), f"{line['food']} × {factor:g}")


@fault
def ten_times(park: Park, rng: Random) -> Broken:
    return _slip(park, rng, 10)


@fault
def a_tenth(park: Park, rng: Random) -> Broken:
    return _slip(park, rng, 0.1)


@fault
def grams_as_kilograms(park: Park, rng: Random) -> Broken:
    return _slip(park, rng, 1000)


@fault
def per_group_for_per_animal(park: Park, rng: Random) -> Broken:
    while True:
        group, _, line = main_line(park, rng)
        animals = len(park.group(group).get("animals", ()))
        if line["amount"].endswith("per animal") and animals >= 5:
            line["amount"] = line["amount"].replace("per animal", "per group")
            return Broken(file_of_sheet(park, group), f"{line['food']} per group of {animals}")


@fault
def per_animal_for_per_kg(park: Park, rng: Random) -> Broken:
    line = rng.choice(
        [
            line
            for _, line in lines(park.sheets()["marmoset"])
            if line["amount"].endswith("per kg body mass") and "for" not in line
        ]
    )
    line["amount"] = line["amount"].replace("per kg body mass", "per animal")
    return Broken(file_of_sheet(park, "marmoset"), line["food"])


def _dropped(park: Park, group: str) -> Broken:
    gone = park.sheets()[group].pop("supplements")
    return Broken(file_of_sheet(park, group), f"{group} without {gone[0]['food']}")


@fault
def fish_tablet_dropped(park: Park, rng: Random) -> Broken:
    return _dropped(park, rng.choice(["otter", "penguin"]))


@fault
def insect_dust_dropped(park: Park, rng: Random) -> Broken:
    return _dropped(park, "bearded-dragon")


@fault
def tablet_many_times(park: Park, rng: Random) -> Broken:
    group = rng.choice(["otter", "penguin"])
    pieces = rng.choice([10, 20, 50])
    park.sheets()[group]["supplements"][0]["amount"] = f"{pieces} pieces per animal"
    return Broken(file_of_sheet(park, group), f"{pieces} tablets")


def _without(park: Park, group: str, gone: set[str]) -> None:
    sheet = park.sheets()[group]
    for meal, held in sheet["meals"].items():
        sheet["meals"][meal] = [line for line in held if line["food"] not in gone]


@fault
def hay_dropped(park: Park, rng: Random) -> Broken:
    group, hay = rng.choice([("capybara", {"timothy-hay", "cut-grass"}), ("wallaby", {"soft-hay"})])
    sheet = park.sheets()[group]
    for held in sheet["meals"].values():
        held[:] = [line for line in held if line["food"] not in hay] or [
            {"food": "carrot", "amount": "50 g per animal"}
        ]
    return Broken(file_of_sheet(park, group), f"{group} without hay")


@fault
def vitamin_c_foods_dropped(park: Park, rng: Random) -> Broken:
    sheet = park.sheets()["capybara"]
    for _, line in lines(sheet):
        if line["food"] in {"red-pepper", "kale"}:
            line["food"] = "cucumber" if "cucumber" in park.foods() else "celery"
    return Broken(file_of_sheet(park, "capybara"), "peppers and kale swapped away")


@fault
def gum_feeders_pellet_dropped(park: Park, rng: Random) -> Broken:
    _without(park, "marmoset", {"marmoset-pellet"})
    return Broken(file_of_sheet(park, "marmoset"), "no pellet, so no vitamin D3")


@fault
def greens_replaced_by_crickets(park: Park, rng: Random) -> Broken:
    sheet = park.sheets()["bearded-dragon"]
    for _, line in lines(sheet):
        line["food"] = "crickets"
    sheet.pop("supplements")
    return Broken(file_of_sheet(park, "bearded-dragon"), "undusted crickets alone")


@fault
def mice_most_days(park: Park, rng: Random) -> Broken:
    rota = park.rota("meerkat")
    for day in rng.sample(range(14), rng.randint(9, 13)):
        rota["days"][day]["afternoon"] = "mouse and vegetables"
    return Broken(park.file_of(rota), "mice on most days")


@fault
def pellet_many_times(park: Park, rng: Random) -> Broken:
    sheet = park.sheets()["wallaby"]
    for _, line in lines(sheet):
        if line["food"] == "macropod-pellet":
            _times(line, rng.choice([4, 4.5]))
    return Broken(file_of_sheet(park, "wallaby"), "pellet is most of the dry matter")


@fault
def new_feed_at_once(park: Park, rng: Random) -> Broken:
    group, pellet = "tapir", "tapir-pellet"
    new = {**park.foods()[pellet], "name": "Another make of pellet"}
    holder = next(data for data in park.of("foods").values() if pellet in data["foods"])
    holder["foods"]["other-make"] = new
    sheet = park.sheets()[group]
    sheet["from"] = "2026-11-24"
    for _, line in lines(sheet):
        if line["food"] == pellet:
            line["food"] = "other-make"
    return Broken(file_of_sheet(park, group), f"{pellet} replaced on one day")


@fault
def another_species_diet(park: Park, rng: Random) -> Broken:
    one, other = rng.choice(
        [("wallaby", "meerkat"), ("rhea", "otter"), ("tortoise", "penguin"), ("meerkat", "tapir")]
    )
    sheet = some_sheet(park, one)
    held = [line for _, line in lines(park.sheets()[other])]
    for meal in sheet["meals"]:
        sheet["meals"][meal] = [dict(line) for line in held]
    sheet.pop("supplements", None)
    return Broken(file_of_sheet(park, one), f"{one} on the diet of {other}")
