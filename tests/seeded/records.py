"""Faults of animals, rotas, medicines, limits and signatures."""

from __future__ import annotations

from random import Random

from tests.seeded.park import Park, Record
from tests.seeded.registry import Broken, fault, file_of_sheet

GROUPS = ["meerkat", "otter", "red-panda", "wallaby", "tapir", "capybara", "penguin", "toucan"]


def _group(park: Park, rng: Random) -> Record:
    return park.group(rng.choice(GROUPS))


@fault
def weights_grown_old(park: Park, rng: Random) -> Broken:
    group = _group(park, rng)
    for animal in group["animals"]:
        animal["weighings"] = [{**animal["weighings"][-1], "on": "2025-10-01"}]
    return Broken(park.file_of(group), f"{group['id']} last weighed a year ago")


@fault
def weights_lost(park: Park, rng: Random) -> Broken:
    group = _group(park, rng)
    animal = rng.choice(group["animals"])
    animal.pop("weighings")
    return Broken(park.file_of(group), f"{animal['id']} has no weight")


@fault
def weight_ten_times(park: Park, rng: Random) -> Broken:
    group = _group(park, rng)
    animal = rng.choice(group["animals"])
    mass, unit = animal["weighings"][0]["mass"].split()
    animal["weighings"][0]["mass"] = f"{float(mass) * 10:g} {unit}"
    return Broken((park.file_of(group), file_of_sheet(park, group["id"])), animal["id"])


@fault
def species_misspelt(park: Park, rng: Random) -> Broken:
    group = _group(park, rng)
    group["species"] = group["species"][:-2]
    return Broken(park.file_of(group), group["species"])


@fault
def back_dated_weighing(park: Park, rng: Random) -> Broken:
    group = _group(park, rng)
    animal = rng.choice(group["animals"])
    last = animal["weighings"][0]
    animal["weighings"].append({"on": "2026-07-14", "mass": last["mass"]})
    return Broken(park.file_of(group), f"a July weight of {animal['id']} written today")


def _feed(park: Park, rng: Random) -> tuple[Record, Record, str]:
    """A rota, a day of it that is fed, and a feed of that day."""
    rota = park.rota(rng.choice(GROUPS))
    day = rng.choice([d for d in rota["days"] if {"morning", "afternoon"} <= d.keys()])
    return rota, day, rng.choice(["morning", "afternoon"])


@fault
def meal_lost(park: Park, rng: Random) -> Broken:
    rota, day, feed = _feed(park, rng)
    day.pop(feed)
    return Broken(park.file_of(rota), f"{rota['group']}: one {feed} gone")


@fault
def meal_blank(park: Park, rng: Random) -> Broken:
    rota, day, feed = _feed(park, rng)
    day[feed] = ""
    return Broken(park.file_of(rota), f"{rota['group']}: one {feed} blank")


@fault
def meal_misspelt(park: Park, rng: Random) -> Broken:
    rota, day, feed = _feed(park, rng)
    day[feed] += "s"
    return Broken(park.file_of(rota), day[feed])


@fault
def days_lost(park: Park, rng: Random) -> Broken:
    rota = park.rota(rng.choice(GROUPS))
    del rota["days"][rng.randrange(1, 13) :]
    return Broken(park.file_of(rota), f"{rota['group']}: {len(rota['days'])} days left")


@fault
def rota_lost(park: Park, rng: Random) -> Broken:
    group = rng.choice(GROUPS)
    del park.files[park.file_of(park.rota(group))]
    return Broken((park.file_of(park.group(group)), file_of_sheet(park, group)), group)


@fault
def sheet_lost(park: Park, rng: Random) -> Broken:
    group = rng.choice([g for g in GROUPS if g != "capybara"])
    rota = park.file_of(park.rota(group))
    del park.files[file_of_sheet(park, group)]
    return Broken((park.file_of(park.group(group)), rota), f"{group} without a sheet")


@fault
def group_lost(park: Park, rng: Random) -> Broken:
    group = rng.choice(GROUPS)
    del park.files[park.file_of(park.group(group))]
    return Broken((file_of_sheet(park, group), park.file_of(park.rota(group))), group)


@fault
def two_rotas(park: Park, rng: Random) -> Broken:
    rota = park.rota(rng.choice(GROUPS))
    twin = {**rota, "written_by": "Mina Okoro"}
    park.files["rotas/twin.yaml"] = twin
    return Broken((park.file_of(rota), "rotas/twin.yaml"), rota["group"])


@fault
def medicine_course_over(park: Park, rng: Random) -> Broken:
    sheet = park.sheets()["marmoset"]
    line = next(x for x in sheet["meals"]["pellet and gum"] if "medicine" in x)
    line["medicine"]["until"] = rng.choice(["2026-10-31", "2026-11-01", "2026-09-15"])
    return Broken(file_of_sheet(park, "marmoset"), "the course has ended")


@fault
def sugar_for_the_diabetic(park: Park, rng: Random) -> Broken:
    sheet = park.sheets()["marmoset"]
    fruit = rng.choice(["grape", "pear", "papaya", "blueberry"])
    sheet["meals"]["vegetables and crickets"].append(
        {"food": fruit, "amount": "3 g per animal", "treat": "training"}
    )
    return Broken(file_of_sheet(park, "marmoset"), f"{fruit} where Pip eats along")


@fault
def limit_loosened_with_the_diet(park: Park, rng: Random) -> Broken:
    limits = park.files["limits/house.yaml"]["limits"]
    row = next(r for r in limits if r["group"] == "tapir")
    row["at_most"] = "9 g per kg body mass"
    for held in park.sheets()["tapir"]["meals"].values():
        for line in held:
            if line["food"] == "carrot":
                line["amount"] = "2 kg per animal"
    return Broken("limits/house.yaml", "the sugar limit goes up with the carrots")


@fault
def acceptance_ended(park: Park, rng: Random) -> Broken:
    name = next(n for n, d in park.of("sign-off").items() if d.get("accepts"))
    park.files[name]["accepts"][0]["until"] = rng.choice(["2026-11-20", "2026-11-24"])
    return Broken((name, file_of_sheet(park, "marmoset")), "the acceptance has ended")


@fault
def acceptance_lost(park: Park, rng: Random) -> Broken:
    name = next(n for n, d in park.of("sign-off").items() if d.get("accepts"))
    park.files[name].pop("accepts")
    return Broken((name, file_of_sheet(park, "marmoset")), "nobody accepts Pip's banana")


@fault
def signed_by_its_writer(park: Park, rng: Random) -> Broken:
    park.settings()["may_sign"].append(
        {"name": "Pia Renn", "role": "nutrition lead", "from": "2024-01-01"}
    )
    group = rng.choice(["otter", "tapir", "red-panda"])
    for name, signed in park.of("sign-off").items():
        if "groups" not in signed:
            continue  # it signs the limits
        signed["groups"] = [g for g in signed["groups"] if g != group]
        if not signed["groups"]:
            del park.files[name]
        elif "content" in signed:
            signed["content"].pop(group, None)
    park.files["sign-offs/own.yaml"] = {
        "record": "sign-off", "by": "Pia Renn", "role": "nutrition lead", "on": "2026-11-24",
        "groups": [group], "next_review": "2027-05-01",
    }  # fmt: skip
    return Broken(
        ("sign-offs/own.yaml", file_of_sheet(park, group)), f"{group} signed by its writer"
    )


@fault
def no_signature(park: Park, rng: Random) -> Broken:
    group = rng.choice(["otter", "tapir", "red-panda"])
    for signed in park.of("sign-off").values():
        if "groups" not in signed:
            continue  # it signs the limits
        signed["groups"] = [g for g in signed["groups"] if g != group]
        signed.get("content", {}).pop(group, None)
    return Broken(file_of_sheet(park, group), f"{group} is signed by nobody")


@fault
def changed_after_signature(park: Park, rng: Random) -> Broken:
    group = rng.choice(["otter", "tapir", "red-panda", "penguin"])
    line = next(iter(park.sheets()[group]["meals"].values()))[0]
    number, rest = line["amount"].split(" ", 1)
    line["amount"] = f"{float(number) * 1.04:g} {rest}"
    return Broken(file_of_sheet(park, group), f"{group} after it was signed")
