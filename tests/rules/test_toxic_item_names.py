"""Every name and organism of every toxic item, and what ordinary foods do not trip over."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.collection.build_foods import build_foods
from dietcheck.collection.collection import Trouble
from dietcheck.collection.foods import Food
from dietcheck.collection.places import Pointer
from dietcheck.contract import Taxon, find_taxon
from dietcheck.tables.foods import food_ids
from dietcheck.tables.taxa import known_taxon_name, species_names
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import toxic_item
from dietcheck_rules.toxic_item.ambiguity import readings, traps
from dietcheck_rules.toxic_item.assess import Risk, risks
from dietcheck_rules.toxic_item.items import Item, item, item_ids
from dietcheck_rules.toxic_item.register import hits
from dietcheck_rules.toxic_item.states import simple
from dietcheck_rules.toxic_item.words import table, tokens
from tests import records

PLACE = Pointer("foods.yaml")
NAMES = {
    (item_id, name)
    for item_id, entry in table("names.yaml")["items"].items()
    for name in entry["names"]
}


def unknown(name: str) -> Food:
    """A food that nobody has described: only its name is there."""
    return Food(id=name, name=name, place=PLACE, known=False)


@cache
def susceptible(item_id: str) -> tuple[Taxon, ...]:
    """A bundled species for each row of an item that has one, different ones where possible."""
    found = []
    for row in item(item_id).rows:
        inside = (find_taxon(name) for name in species_names())
        species = (t for t in inside if t and any(t.is_in(name) for name in row.taxa))
        first = next(species, None)
        if first is not None and first not in found:
            found.append(first)
    return tuple(found)


def of_item(food: Food, item_id: str) -> Iterator[Risk]:
    for taxon in susceptible(item_id):
        yield from (risk for risk in risks(food, taxon) if risk.item.id == item_id)


def caught(name: str, item_id: str) -> bool:
    """Whether the bare name leads to the item in a susceptible animal, or to a question."""
    food = unknown(name)
    asked = any(reading.item == item_id for reading in readings(food)[1])
    return asked or any(True for _ in of_item(food, item_id))


def test_the_table_is_as_large_as_promised() -> None:
    assert len(item_ids()) >= 80
    assert len(NAMES) >= 600


def test_every_item_has_its_file_and_a_susceptible_species() -> None:
    for item_id in item_ids():
        assert item(item_id).id == item_id
        assert susceptible(item_id), item_id


@pytest.mark.parametrize("item_id", item_ids())
def test_every_name_of_the_item_is_caught(item_id: str) -> None:
    missed = [name for owner, name in NAMES if owner == item_id and not caught(name, item_id)]
    assert not missed


@pytest.mark.parametrize("item_id", item_ids())
def test_every_name_is_caught_in_other_spellings(item_id: str) -> None:
    for name in (name for owner, name in NAMES if owner == item_id):
        for other in (
            name.upper(),
            name.replace(" ", "-"),
            name.replace(" ", "_"),
            f" {name}, 2 kg",
        ):
            assert {hit.item for hit in hits(unknown(other))} >= {
                hit.item
                for hit in hits(unknown(name))
                if hit.word == name and len(name.split()) > 1
            }, other


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("raisins", "Raisin"), ("potatoes", "potato"), ("leaves", "leaf"), ("cherries", "cherry"),
        ("maté", "mate"), ("St John's wort", "St. Johns wort"), ("mouldy", "moldy"),
        ("Star-Fruit", "star fruit"), ("eggplant leaf", "aubergine leaves"),
    ],
)  # fmt: skip
def test_spelling_does_not_matter(one: str, other: str) -> None:
    assert tokens(one) == tokens(other)


@pytest.mark.parametrize(
    ("one", "item_id"),
    [
        ("starfruit", "star-fruit"),
        ("rag wort", "pyrrolizidine-plants"),
        ("scallions", "onion-family"),
        ("Cherry-laurels", "cherry-laurel-prunus-leaf"),
        ("lucerne, lush", "clover-lucerne-bloat"),
    ],
)
def test_words_written_apart_or_as_one_are_the_same(one: str, item_id: str) -> None:
    assert item_id in {hit.item for hit in hits(unknown(one))}


@pytest.mark.parametrize("item_id", item_ids())
def test_every_organism_of_the_item_is_caught_in_a_covered_part(item_id: str) -> None:
    entry = table("names.yaml")["items"][item_id]
    toxic: Item = item(item_id)
    if entry.get("needs_name"):
        return
    for scientific, family in entry.get("organisms", {}).items():
        food = Food(
            id="x", name="x", place=PLACE, organism=scientific, family=family,
            part=toxic.parts[0], form=toxic.forms[0],
        )  # fmt: skip
        assert item_id in {hit.item for hit in hits(food)}, scientific


def test_a_sample_of_names_through_the_whole_engine() -> None:
    """One name of each item, unknown to the food list, in the diet of a susceptible animal."""
    silent = []
    for item_id in item_ids():
        name = next(n for owner, n in sorted(NAMES) if owner == item_id and caught(n, item_id))
        word = "-".join(tokens(name))
        if not caught(word, item_id):
            continue
        taxon = next(r for r in susceptible(item_id) if _fires(word, item_id, r))
        stage = _stage(item_id, taxon)
        animal = f"{{id: A1{stage}, weighings: [{{on: 2026-11-20, mass: 20 kg}}]}}"
        files = records.small(
            group=records.group(species=taxon.scientific_name, animals=(animal,)),
            sheet=records.sheet({"roots": [f"{{food: {word}, amount: 100 g per animal}}"]}),
        )
        checks = checks_of(outcome_of(toxic_item, files, records.ON), "tapir")
        if not any(check.verdict in ("breach", "cannot-tell") for check in checks):
            silent.append((item_id, word, taxon.scientific_name))
    assert not silent


def _fires(word: str, item_id: str, taxon: Taxon) -> bool:
    food = unknown(word)
    if any(reading.item == item_id for reading in readings(food)[1]):
        return True
    return any(risk.item.id == item_id for risk in risks(food, taxon))


def _stage(item_id: str, taxon: Taxon) -> str:
    rows = [row for row in item(item_id).rows if any(taxon.is_in(name) for name in row.taxa)]
    stages = {stage for row in rows for stage in row.condition.stages}
    return f", stage: {min(stages)}" if stages else ""


# -- what must not fire --------------------------------------------------------------------------


@cache
def bundled() -> dict[str, Food]:
    """Every bundled food as a site would take it over."""
    troubles: list[Trouble] = []
    entries = {"foods": {food_id: {"same_as": food_id} for food_id in food_ids()}}
    foods = build_foods([(PLACE, entries)], troubles)
    assert not troubles
    return foods


def test_ordinary_foods_harm_no_insect_and_no_snail() -> None:
    """No row of the table is about stick insects or snails, so nothing may fire there."""
    for name in ("Extatosoma tiaratum", "Lissachatina fulica"):
        taxon = find_taxon(name)
        assert taxon is not None
        assert [f.id for f in bundled().values() if risks(f, taxon)] == []


def test_a_bundled_food_only_harms_a_taxon_that_a_row_names() -> None:
    for food in bundled().values():
        for hit in hits(food):
            rows = item(hit.item).rows
            for name in ("Ramphastos toco", "Felis catus", "Ailurus fulgens", "Iguana iguana"):
                taxon = find_taxon(name)
                assert taxon is not None
                for risk in risks(food, taxon):
                    assert any(taxon.is_in(one) for one in risk.row.taxa)
                    assert risk.row in item(risk.item.id).rows
            assert rows


ORDINARY = [
    "carrot", "banana", "squash-butternut", "pepper-red", "peas-green", "courgette", "apple",
    "pear", "blueberry", "papaya", "melon-cantaloupe", "lettuce-cos", "endive", "dandelion-leaves",
    "sweet-potato", "green-beans", "beetroot", "rice-white", "oats", "mealworm",
]  # fmt: skip


@pytest.mark.parametrize(
    "species",
    ["Ailurus fulgens", "Callithrix geoffroyi", "Ramphastos toco", "Suricata suricatta",
     "Canis lupus familiaris", "Equus caballus", "Aldabrachelys gigantea", "Psittacus erithacus"],
)  # fmt: skip
def test_ordinary_produce_trips_nothing(species: str) -> None:
    """Overstated claims: apple pips, poinsettia, shop mushrooms, ordinary produce."""
    taxon = find_taxon(species)
    assert taxon is not None
    foods = [bundled()[name] for name in ORDINARY if name in bundled()]
    assert len(foods) > 12
    assert [(f.id, r.item.id) for f in foods for r in risks(f, taxon)] == []


@pytest.mark.parametrize(
    ("species", "food", "worst"),
    [
        ("Canis lupus familiaris", "organism: Euphorbia pulcherrima", "low"),  # poinsettia
        ("Canis lupus familiaris", "organism: Agaricus bisporus", None),  # shop mushrooms
        ("Felis catus", "name: grape", None),
        ("Felis catus", "name: xylitol", None),
        ("Canis lupus familiaris", "organism: Lilium candidum", None),
        ("Oryctolagus cuniculus", "organism: Lilium candidum", None),
        ("Ovis aries", "name: black walnut shavings", "low"),
        ("Equus caballus", "name: macadamia", None),
    ],
)
def test_overstated_claims_bring_no_more_than_is_justified(
    species: str, food: str, worst: str | None
) -> None:
    key, value = food.split(": ")
    made = Food(id="x", place=PLACE, **{"name": "x", key: value})  # type: ignore[arg-type]
    taxon = find_taxon(species)
    assert taxon is not None
    graded = {risk.severity.value for risk in risks(made, taxon)}
    assert graded <= ({worst} if worst else set())


# -- the tables themselves -----------------------------------------------------------------------


def test_every_part_an_item_lists_is_a_word_that_is_understood() -> None:
    listed = {part for i in item_ids() for part in item(i).parts}
    listed |= {part for i in item_ids() for row in item(i).rows for part in row.condition.parts}
    assert {part for part in listed if simple(part, "parts") is None} <= {
        "footbath", "hide", "injection site", "wound area", "maggots", "whole chick",
    }  # fmt: skip


def test_every_taxon_is_known_or_stands_beside_one_that_is() -> None:
    strange = {
        row.taxa
        for i in item_ids()
        for row in item(i).rows
        if not any(known_taxon_name(name) for name in row.taxa)
    }
    assert not strange


def test_every_source_stands_in_the_bibliography() -> None:
    text = toxic_item.describe().folder.joinpath("..", "sources.yaml").read_text(encoding="utf-8")
    for item_id in item_ids():
        toxic = item(item_id)
        cited = [one.sources for one in toxic.rows]
        cited += [one.sources for one in toxic.tolerant]
        cited += [one.sources for one in toxic.doses]
        cited += [one.sources for one in toxic.contents]
        keys = {key for keys in cited for key in keys}
        assert not [key for key in keys if f"{{key: {key}," not in text], item_id


def test_every_ambiguous_word_has_two_meanings_and_known_items() -> None:
    for word, meanings in traps().items():
        assert len(meanings) > 1, word
        assert {one.item for one in meanings if one.item} <= set(item_ids())


# -- laws ----------------------------------------------------------------------------------------


@given(st.text(max_size=60))
@settings(max_examples=200, deadline=None)
def test_no_name_makes_the_matcher_stumble(name: str) -> None:
    food = unknown(name or "x")
    for hit in hits(food):
        assert hit.item in item_ids()
    readings(food)


@given(st.sampled_from(sorted(NAMES)), st.sampled_from(["our ", "two bags of ", "Dr Vale's "]))
@settings(max_examples=100, deadline=None)
def test_words_before_a_longer_name_hide_nothing(entry: tuple[str, str], before: str) -> None:
    item_id, name = entry
    if len(tokens(name)) > 1 and caught(name, item_id):
        asked = readings(unknown(name))[0]
        assert asked or item_id in {hit.item for hit in hits(unknown(before + name))}
