"""The whole toxic table through the whole engine: every name, alone and two mixes deep, every form
that the table lists, and all 447 foods of the bundled table.

What is harmful to whom stands in the rule's table; here only the reading of it is tried.
"""

from __future__ import annotations

import csv
from collections import defaultdict
from functools import cache
from importlib.resources import files

import pytest

from dietcheck.collection.build_foods import build_foods
from dietcheck.collection.collection import Trouble
from dietcheck.collection.foods import Food
from dietcheck.collection.places import Pointer
from dietcheck.contract import Check, Taxon, find_taxon
from dietcheck.tables.taxa import species_names
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import toxic_item
from dietcheck_rules.toxic_item.ambiguity import readings
from dietcheck_rules.toxic_item.assess import risks
from dietcheck_rules.toxic_item.items import item, item_ids
from dietcheck_rules.toxic_item.kin import kin_risks
from dietcheck_rules.toxic_item.register import hits
from dietcheck_rules.toxic_item.words import table
from tests import records

PLACE = Pointer("foods.yaml")
NAMES = {item_id: tuple(table("names.yaml")["items"][item_id]["names"]) for item_id in item_ids()}


@cache
def species() -> tuple[Taxon, ...]:
    """Every bundled species."""
    found = (find_taxon(name) for name in species_names())
    return tuple(taxon for taxon in found if taxon is not None)


@cache
def listed(item_id: str) -> tuple[Taxon, ...]:
    """A bundled species for each row of the table as written, different ones where there are."""
    found: dict[str, Taxon] = {}
    for row in table(f"items/{item_id}.yaml")["susceptible"]:
        taxa = (row["taxon"], *row.get("same_as", ()))
        inside = [one for one in species() if any(one.is_in(name) for name in taxa)]
        fresh = next((t for t in inside if t.scientific_name not in found), None)
        if chosen := fresh or next(iter(inside), None):
            found[chosen.scientific_name] = chosen
    return tuple(found.values())


def plain(name: str) -> Food:
    """A food of which the record says a name and nothing else."""
    return Food(id="x", name=name, place=PLACE)


def fires(name: str, item_id: str, taxon: Taxon) -> bool:
    asked = any(reading.item == item_id for reading in readings(plain(name))[1])
    return asked or any(risk.item.id == item_id for risk in risks(plain(name), taxon))


@cache
def diets(item_id: str) -> tuple[tuple[Taxon, tuple[str, ...]], ...]:
    """Which species to feed which names of an item, so that each name is tried once."""
    found: dict[Taxon, list[str]] = defaultdict(list)
    taxa = listed(item_id)
    for name in NAMES[item_id]:
        whom = next((taxon for taxon in taxa if fires(name, item_id, taxon)), taxa[0])
        found[whom].append(name)
    return tuple((taxon, tuple(names)) for taxon, names in found.items())


def judged(item_id: str, taxon: Taxon, names: tuple[str, ...], deep: bool) -> tuple[Check, ...]:
    """What the rule says of a species that is fed a food of each name."""
    stages = sorted({s for row in item(item_id).rows for s in row.condition.stages})
    animals = [
        f"{{id: A{n}{f', stage: {stage}' if stage else ''}, "
        "weighings: [{on: 2026-11-20, mass: 20 kg}]}"
        for n, stage in enumerate(["", *stages])
    ]
    foods, lines = ["carrot: {same_as: carrot}"], []
    for n, name in enumerate(names):
        foods.append(f'food{n}: {{name: "{name}", unknown_composition: x}}')
        if deep:
            foods.append(f"relish{n}: {{mix: {{food{n}: 95 %, carrot: 5 %}}}}")
            foods.append(f"mash{n}: {{mix: {{relish{n}: 95 %, carrot: 5 %}}}}")
        lines.append(f"{{food: {f'mash{n}' if deep else f'food{n}'}, amount: 100 g per animal}}")
    files = records.small(
        group=records.group(species=taxon.scientific_name, animals=animals),
        foods="record: foods\nfoods:\n" + "".join(f"  {food}\n" for food in foods),
        sheet=records.sheet({"roots": lines}),
    )
    outcome = outcome_of(toxic_item, files, records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def is_caught(n: int, item_id: str, checks: tuple[Check, ...]) -> bool:
    """Whether a finding about the item, or a question about its word, names the food."""
    called = f"food{n}"
    for check in checks:
        if check.verdict not in ("breach", "cannot-tell"):
            continue
        about = check.about.startswith(item(item_id).name) or check.about.startswith("which ")
        words = check.message.replace('"', " ").replace(",", " ").split()
        if about and (check.food == called or called in words):
            return True
    return False


@pytest.mark.parametrize("deep", [False, True], ids=["alone", "two mixes deep"])
def test_every_name_is_caught_in_the_diet_of_a_susceptible_animal(deep: bool) -> None:
    """For 101 entries of the facts: 92 are in this table, 9 belong to other rules."""
    missed, tried = [], 0
    for item_id in item_ids():
        for taxon, names in diets(item_id):
            checks = judged(item_id, taxon, names, deep)
            for n, name in enumerate(names):
                tried += 1
                if not is_caught(n, item_id, checks):
                    missed.append((item_id, name, taxon.scientific_name))
    assert not missed
    assert tried == sum(map(len, NAMES.values()))
    assert len(NAMES) == 92
    assert tried >= 670


def test_every_form_that_the_table_lists_is_caught_in_that_form() -> None:
    """Powder, juice, hay, silage … : each listed form of each item with an organism."""
    missed, tried = [], 0
    for item_id in item_ids():
        entry, toxic = table("names.yaml")["items"][item_id], item(item_id)
        organism, family = next(iter(entry.get("organisms", {"": ""}).items()))
        if not organism or entry.get("needs_name") or entry.get("cleared_by"):
            continue
        for form in toxic.forms:
            food = Food(
                id="x", name="x", place=PLACE, organism=organism, family=family,
                part=toxic.parts[0], form=form,
            )  # fmt: skip
            tried += 1
            caught = {r.item.id for taxon in listed(item_id) for r in risks(food, taxon)}
            if item_id not in caught and toxic.exempt.get("organisms") is None:
                missed.append((item_id, organism, toxic.parts[0], form))
    assert not missed
    assert tried >= 100


@pytest.mark.parametrize(
    ("item_id", "organism", "part", "form", "taxon"),
    [
        ("onion-family", "Allium cepa", "bulb", "powder", "Felis catus"),
        ("onion-family", "Allium sativum", "bulb", "granules", "Canis lupus familiaris"),
        ("grape", "Vitis vinifera", "juice", "juice", "Canis lupus familiaris"),
        ("grape", "Vitis vinifera", "fruit", "dried", "Canis lupus familiaris"),
        ("citrus-iron-storage", "Citrus sinensis", "juice", "juice", "Ramphastos toco"),
        ("chocolate", "Theobroma cacao", "seed", "powder", "Canis lupus familiaris"),
        ("black-locust", "Robinia pseudoacacia", "bark", "powder", "Equus caballus"),
        ("yew", "Taxus baccata", "leaf", "dried", "Equus caballus"),
    ],
)
def test_juice_and_powder_of_an_item_are_the_item(
    item_id: str, organism: str, part: str, form: str, taxon: str
) -> None:
    food = Food(id="x", name="x", place=PLACE, organism=organism, part=part, form=form)
    animal = find_taxon(taxon)
    assert animal is not None
    assert item_id in {risk.item.id for risk in risks(food, animal)}


# -- the 447 foods -------------------------------------------------------------------------------


@cache
def bundled() -> dict[str, Food]:
    """The 447 foods of the food table (the rows for feeds apart), as a site takes them over."""
    text = files("dietcheck.tables").joinpath("data/foods.csv").read_text("utf-8")
    ids = [row["id"] for row in csv.DictReader(text.splitlines())]
    troubles: list[Trouble] = []
    foods = build_foods([(PLACE, {"foods": {i: {"same_as": i} for i in ids}})], troubles)
    assert not troubles
    return foods


# What of the 447 is which item, read through by a person: everything else trips nothing at all.
# A new line here must be as true as the others.
ITEMS_AMONG_FOODS = {
    "all-seed-diet": "sunflower-kernels",
    "avocado": "avocado",
    "brassica-forage": """
        broccoli-leaves broccoli-raab broccoli-stalks cabbage cabbage-red cabbage-savoy
        chinese-broccoli chinese-leaf collards kale kale-boiled kohlrabi pak-choi turnip-greens
    """,
    "bread": "bread-wholemeal pasta-cooked pasta-dry",
    "broad-bean": "broad-beans",
    "cassava": "cassava",
    "citrus-iron-storage": """
        clementine grapefruit guava juice-grapefruit juice-lemon juice-orange
        juice-orange-chilled juice-pineapple juice-tomato kiwifruit kumquat lemon lime orange
        pineapple pomelo satsuma strawberry strawberry-frozen tomato
    """,
    "clover-lucerne-bloat": "alfalfa-sprouts",
    "dairy": "milk-powder-skimmed milk-powder-whole whey-dried",
    "endophyte-grasses": "sorghum-grain",
    "goitrogenic-brassicas": """
        broccoli-leaves broccoli-raab cabbage cabbage-red cabbage-savoy chinese-broccoli
        chinese-leaf collards cress kale kale-boiled mooli mustard-greens pak-choi radish rocket
        swede turnip turnip-greens
    """,
    "grape": "currants-dried grape juice-grape raisin sultana tamarind",
    "green-potato": "potato",
    "high-oxalate-greens": """
        amaranth-leaves beet-greens chard dock-leaves lambsquarters parsley purslane spinach
        spinach-boiled
    """,
    "honey": "honey",
    "liver-vitamin-a": "beef-liver chicken-liver lamb-liver oil-cod-liver",
    "low-nutrient-salad": "celery cucumber cucumber-peeled",
    "lupin": "lupin-seeds",
    "macadamia": "macadamia",
    "mango-peel": "mango mango-dried",
    "monkshood-larkspur": "poppy-seed",
    "mustard-horseradish": "mustard-greens",
    "nitrate-forage": """
        amaranth-leaves beet-greens kale kale-boiled spinach spinach-boiled turnip-greens
    """,
    "oak": "acorn beechnut",
    "onion-family": "chives garlic leek onion spring-onion",
    "peanuts-in-shell": "peanuts",
    "persimmon-unripe": "persimmon",
    "psoralen-plants": "celery parsley",
    "raw-egg-white": "egg-duck egg-hen egg-quail egg-white",
    "raw-kidney-bean": """
        black-beans-dry haricot-beans-dry kidney-beans-dry soya-beans-dry soya-beans-green
        soya-meal-defatted
    """,
    "raw-pork": "pork-heart pork-kidney pork-liver pork-mince wild-boar",
    "rhubarb": "rhubarb",
    "salt": "salt",
    "star-fruit": "starfruit",
    "thiaminase-fish": "anchovy carp cisco herring herring-pacific mackerel smelt",
    "vitamin-d3": "oil-cod-liver",
    "walnut-mouldy-or-black": "walnut walnut-black",
}


@cache
def trips() -> dict[str, dict[str, tuple[Taxon, ...]]]:
    """By item and food, the species for which a food of the 447 trips, of all bundled species."""
    found: dict[str, dict[str, list[Taxon]]] = defaultdict(lambda: defaultdict(list))
    for food in bundled().values():
        for taxon in species() if hits(food) else ():
            for risk in risks(food, taxon):
                found[risk.item.id][food.id].append(taxon)
    return {key: {f: tuple(t) for f, t in foods.items()} for key, foods in found.items()}


def test_only_foods_that_are_an_item_trip_it() -> None:
    assert len(bundled()) == 447
    found = {key: " ".join(sorted(foods)) for key, foods in trips().items()}
    assert found == {key: " ".join(value.split()) for key, value in ITEMS_AMONG_FOODS.items()}
    tripping = {food for foods in trips().values() for food in foods}
    assert len(bundled()) - len(tripping) == 329


def test_no_food_trips_for_an_animal_that_is_not_listed() -> None:
    """The rows as written, and the lineage of the species, decide: no code of the rule."""
    wrong, tried = [], 0
    for item_id, foods in trips().items():
        rows = table(f"items/{item_id}.yaml")["susceptible"]
        names = {name for row in rows for name in (row["taxon"], *row.get("same_as", ()))}
        for food_id, taxa in foods.items():
            tried += len(taxa)
            wrong += [(food_id, item_id, t) for t in taxa if not any(map(t.is_in, names))]
    assert not wrong
    assert tried > 1000


# Which of the 447 are asked about for kin alone, with the orders, read through by a person: onions
# and vine fruit are no food of any carnivoran; avocado, which killed lemurs, horses and goats, is
# worth a question for monkeys, rhinos, tapirs, pigs and camels; poppy seed is no feed. Tamarind is
# listed beside grapes for its tartaric acid, which is a hypothesis: a note is all it can carry.
ASKED_FOR_KIN = {
    "avocado": {"avocado": "Artiodactyla Perissodactyla Primates"},
    "grape": dict.fromkeys(
        ["currants-dried", "grape", "juice-grape", "raisin", "sultana", "tamarind"], "Carnivora"
    ),
    "monkshood-larkspur": {"poppy-seed": "Artiodactyla Carnivora Perissodactyla"},
    "onion-family": dict.fromkeys(
        ["chives", "garlic", "leek", "onion", "spring-onion"], "Carnivora"
    ),
}


def test_few_foods_are_asked_about_for_kin_alone() -> None:
    found: dict[str, dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    for food in bundled().values():
        for taxon in species() if hits(food) else ():
            for risk in kin_risks(food, taxon):
                assert risk.item.id not in {own.item.id for own in risks(food, taxon)}
                found[risk.item.id][food.id].add(taxon.order)
    told = {i: {f: " ".join(sorted(o)) for f, o in foods.items()} for i, foods in found.items()}
    assert told == ASKED_FOR_KIN


def test_the_447_foods_trip_nothing_through_the_engine_for_insects_and_snails() -> None:
    """No row of the table is about stick insects or snails."""
    foods = "".join(f"  {food_id}: {{same_as: {food_id}}}\n" for food_id in bundled())
    lines = [f"{{food: {food_id}, amount: 1 g per animal}}" for food_id in bundled()]
    for name in ("Extatosoma tiaratum", "Lissachatina fulica"):
        collection = records.small(
            group=records.group(species=name),
            foods=f"record: foods\nfoods:\n{foods}",
            sheet=records.sheet({"roots": lines}),
        )
        outcome = outcome_of(toxic_item, collection, records.ON)
        assert not outcome.failures
        assert [c.verdict for c in checks_of(outcome, "tapir")] == ["kept"]
