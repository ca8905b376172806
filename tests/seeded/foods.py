"""Faults of what a food is: toxic, unidentified, of bad origin, meant for others, unknown."""

from __future__ import annotations

from functools import cache
from random import Random

from dietcheck.contract import find_taxon
from dietcheck_rules.toxic_item.items import item_ids
from dietcheck_rules.toxic_item.words import table
from tests.seeded.park import Park, Record, lines, sound
from tests.seeded.registry import Broken, fault, file_of_sheet

NEW = "foods/new.yaml"


def add_food(park: Park, food_id: str, entry: Record) -> None:
    """Put one more food on file; what nobody says of it, the record says is unknown."""
    if not {"same_as", "label", "analysis", "mix"} & entry.keys():
        entry["unknown_composition"] = "no label came with it"
    park.files.setdefault(NEW, {"record": "foods", "foods": {}})["foods"][food_id] = entry


def feed(park: Park, rng: Random, group: str, food_id: str, amount: str) -> Broken:
    """Put a food on a meal of a group that the rota gives."""
    sheet = park.sheets()[group]
    meal = rng.choice(_given(park, group))
    sheet["meals"][meal].append({"food": food_id, "amount": amount})
    return Broken((file_of_sheet(park, group), NEW), f"{group}: {food_id}")


def _given(park: Park, group: str) -> list[str]:
    """The meals that the rota gives today or on the days around it."""
    slots = [m for day in park.rota(group)["days"] for m in day.values()]
    return sorted({m for m in slots if m in park.sheets()[group]["meals"]})


@cache
def harms() -> tuple[tuple[str, str, tuple[str, ...]], ...]:
    """Group, item and names: a high row of advice never, evidence A or B, for the group's taxon."""
    found = []
    names = table("names.yaml")["items"]
    for group in sorted(sound().sheets()):
        taxon = find_taxon(sound().group(group)["species"])
        assert taxon is not None, group
        for item in item_ids():
            for row in table(f"items/{item}.yaml")["susceptible"]:
                said = (row["severity"], row["advice"])
                # An extrapolation alone is low, and a row for the young alone does not speak here.
                read = row["evidence"] in ("A", "B") and "stages" not in row
                if said == ("high", "never") and read and taxon.is_in(row["taxon"]):
                    found.append((group, item, tuple(names[item]["names"])))
                    break
    return tuple(found)


@fault
def toxic_by_any_name(park: Park, rng: Random) -> Broken:
    group, item, names = rng.choice(harms())
    name = rng.choice(names)
    add_food(park, "delivery", {"name": name, "class": "other"})
    done = feed(park, rng, group, "delivery", "20 g per animal")
    return Broken(done.names(), f"{group}: {item} as {name}")


@fault
def toxic_two_mixes_deep(park: Park, rng: Random) -> Broken:
    group, item, names = rng.choice(harms())
    name = rng.choice(names)
    add_food(park, "delivery", {"name": name, "class": "other"})
    add_food(park, "inner", _mix("Inner mix", {"delivery": 30, "carrot": 70}))
    add_food(park, "outer", _mix("Outer mix", {"inner": 40, "carrot": 60}))
    done = feed(park, rng, group, "outer", "20 g per animal")
    return Broken(done.names(), f"{group}: {item} as {name}, two mixes deep")


def _mix(name: str, parts: dict[str, int]) -> Record:
    return {
        "name": name,
        "mix": {food: f"{share} %" for food, share in parts.items()},
    }


@fault
def onion_family_for_tortoises(park: Park, rng: Random) -> Broken:
    name = rng.choice(["Leek tops", "Wild garlic", "Spring onions", "Chives", "Ramsons"])
    plant = {"class": "vegetable", "organism": "Allium", "part": "leaf", "form": "fresh"}
    add_food(park, "tops", {"name": name, **plant})
    return feed(park, rng, "tortoise", "tops", "100 g per animal")


@fault
def house_do_not_feed(park: Park, rng: Random) -> Broken:
    name, organism = rng.choice([("Ivy", "Hedera helix"), ("Rhododendron", "Rhododendron")])
    add_food(park, "hedge", {"name": name, "class": "browse", "organism": organism})
    return feed(park, rng, "stick-insect", "hedge", "ad lib, expected 5 g per group")


@fault
def unidentified_browse(park: Park, rng: Random) -> Broken:
    name = rng.choice(["Mixed hedge cuttings", "Branches", "Trimmings from the car park", "Leaves"])
    add_food(park, "cuttings", {"name": name, "class": "browse", "form": "fresh"})
    return feed(park, rng, rng.choice(["wallaby", "tapir"]), "cuttings", "200 g per animal")


@fault
def sprayed_browse(park: Park, rng: Random) -> Broken:
    holder = park.files["foods/browse-and-hay.yaml"]["foods"]
    found = sorted(k for k, v in holder.items() if "sprayed" in v and _fed(park, k))
    food = rng.choice(found)
    holder[food].update(sprayed="yes")
    return Broken("foods/browse-and-hay.yaml", f"{food} is sprayed")


def _fed(park: Park, food: str) -> bool:
    return any(line["food"] == food for s in park.sheets().values() for _, line in lines(s))


@fault
def another_species_feed(park: Park, rng: Random) -> Broken:
    pellet = dict(park.foods()["macropod-pellet"])
    pellet.update(name="Creep pellet", meant_for=["Ovis aries"], medicines="unknown")
    add_food(park, "creep", pellet)
    return feed(park, rng, rng.choice(["wallaby", "capybara", "tapir"]), "creep", "90 g per animal")


@fault
def ionophore_feed(park: Park, rng: Random) -> Broken:
    drug = rng.choice(["monensin", "salinomycin", "lasalocid"])
    pellet = dict(park.foods()["macropod-pellet"])
    pellet.update(name="Starter pellet", meant_for=["Gallus gallus"], medicines=[drug])
    add_food(park, "starter", pellet)
    return feed(park, rng, rng.choice(["rhea", "wallaby", "tapir"]), "starter", "90 g per animal")


@fault
def unknown_food(park: Park, rng: Random) -> Broken:
    return feed(
        park, rng, rng.choice(sorted(park.sheets())), "delivery-of-friday", "5 g per animal"
    )


@fault
def misspelt_food(park: Park, rng: Random) -> Broken:
    group = rng.choice(sorted(park.sheets()))
    _, line = rng.choice(list(lines(park.sheets()[group])))
    word = line["food"]
    at = rng.randrange(len(word) - 1)
    line["food"] = word[:at] + word[at + 1] + word[at] + word[at + 2 :]
    if line["food"] == word:
        line["food"] = word + "s"
    return Broken(file_of_sheet(park, group), line["food"])


@fault
def label_lost(park: Park, rng: Random) -> Broken:
    group, pellet = rng.choice(
        [("tapir", "tapir-pellet"), ("wallaby", "macropod-pellet"), ("marmoset", "marmoset-pellet")]
    )
    park.foods()[pellet].pop("label")
    park.foods()[pellet]["unknown_composition"] = "the sack was thrown away"
    return Broken((file_of_sheet(park, group), "foods/feeds.yaml"), f"{pellet} has no label")


@fault
def look_alike_food(park: Park, rng: Random) -> Broken:
    name = rng.choice(["Sprats, whole", "Spratt, whole", "Carrots", "Tapir pellets"])
    kind = rng.choice(["medicine", "supplement", "mineral"])
    add_food(park, "twin", {"name": name, "class": kind})
    return feed(park, rng, rng.choice(["penguin", "tapir"]), "twin", "1 g per animal")


@fault
def fruit_for_a_mammal(park: Park, rng: Random) -> Broken:
    fruit = rng.choice(["banana", "grape", "apple", "mango"])
    add_food(park, "sweet", {"same_as": fruit} if fruit in _table() else {"name": fruit})
    group = rng.choice(["red-panda", "capybara", "meerkat", "wallaby"])
    return feed(park, rng, group, "sweet", "40 g per animal")


@cache
def _table() -> frozenset[str]:
    from dietcheck.tables.foods import food_ids

    return frozenset(food_ids())


@fault
def kitchen_scraps(park: Park, rng: Random) -> Broken:
    origin = rng.choice(["catering waste", "restaurant leftovers", "kitchen scraps"])
    add_food(park, "scraps", {"name": "Cooked meat", "class": "meat", "meat_origin": origin})
    return feed(park, rng, "rhea", "scraps", "50 g per animal")


@fault
def put_down_animal(park: Park, rng: Random) -> Broken:
    origin = rng.choice(["euthanased horse", "put down by the vet", "killed with pentobarbital"])
    add_food(park, "carcass", {"name": "Horse meat", "class": "meat", "meat_origin": origin})
    return feed(park, rng, "otter", "carcass", "50 g per animal")


@fault
def raw_poultry_in_a_zone(park: Park, rng: Random) -> Broken:
    park.settings()["disease_zone"] = [{"disease": "avian influenza", "from": "2026-11-18"}]
    chick = {"same_as": "prey-chick-day-old", "form": "frozen-thawed", "piece": "40 g"}
    add_food(park, "chick", chick)
    return feed(park, rng, "otter", "chick", "2 pieces per animal")


@fault
def live_prey(park: Park, rng: Random) -> Broken:
    name = rng.choice(["mouse", "weaner-rat"])
    food = park.foods()[name]
    food["form"] = "live"
    return Broken(("foods/livefood-and-prey.yaml",), f"live {name}")


@fault
def mouldy_batch(park: Park, rng: Random) -> Broken:
    group, pellet = rng.choice([("rhea", "rhea-pellet"), ("wallaby", "macropod-pellet")])
    park.foods()[pellet].update(
        batch="B-77", contaminants={"basis": "as fed", "aflatoxin_b1": "66.9 µg/kg"}
    )
    return Broken((file_of_sheet(park, group), "foods/feeds.yaml"), f"aflatoxin in {pellet}")


@fault
def iron_rich_batch(park: Park, rng: Random) -> Broken:
    pellet = park.foods()["toucan-pellet"]
    for told in ("label", "analysis"):
        if told in pellet:
            pellet[told]["iron"] = f"{rng.choice([180, 250, 400])} mg/kg"
    return Broken(("diet-sheets/toucan.yaml", "foods/feeds.yaml"), "iron in the pellet")
