"""The rule neither cries wolf over what is overstated nor is lulled by what is falsely reassuring.

One table: each claim with diets of the animals it is about. Amounts, body masses and the rest of
the diets are invented; what is known of each claim, and its source, stands in overstated.yaml.
"""

from __future__ import annotations

from functools import cache

import pytest

from dietcheck.collection.foods import Food
from dietcheck.collection.places import Pointer
from dietcheck.contract import Check, Severity, Verdict, find_taxon, read_trusted
from dietcheck.tables.foods import food_row
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import pack, toxic_item
from dietcheck_rules.toxic_item.items import item_ids
from dietcheck_rules.toxic_item.knowledge import VERDICTS, claims
from tests import records

NOTHING, NOTE, VET = None, Severity.LOW, Severity.MEDIUM

# claim, species, entry of the food, and the gravest finding that what is known justifies
QUIET: list[tuple[str, str, str, Severity | None]] = [
    ("rice-birds", "Columba livia", "{same_as: rice-white}", NOTHING),
    ("rice-birds", "Gallus gallus", "{same_as: rice-white-cooked}", NOTHING),
    ("poinsettia", "Canis lupus familiaris", "{organism: Euphorbia pulcherrima}", NOTE),
    ("poinsettia", "Felis catus", "{name: poinsettia}", NOTE),
    ("mealworm", "Pogona vitticeps", "{same_as: invert-mealworm-larva}", NOTHING),
    ("apple-pips", "Equus caballus", "{same_as: apple}", NOTHING),
    ("apple-pips", "Equus caballus",
     "{name: apple core, organism: Malus domestica, part: core}", NOTE),
    ("apple-pips", "Psittacus erithacus", "{organism: Malus domestica, part: seed}", NOTE),
    ("shop-mushrooms", "Canis lupus familiaris", "{same_as: mushroom-white}", NOTHING),
    ("shop-mushrooms", "Felis catus", "{organism: Agaricus bisporus}", NOTHING),
    ("grapes-all-animals", "Felis catus", "{same_as: grape}", NOTHING),
    ("grapes-all-animals", "Mustela putorius", "{same_as: raisin}", NOTHING),
    ("grapes-all-animals", "Psittacus erithacus", "{same_as: grape}", NOTHING),
    ("grapes-all-animals", "Lemur catta", "{same_as: grape}", NOTHING),
    ("macadamia-all", "Equus caballus", "{organism: Macadamia integrifolia, part: nut}", NOTHING),
    ("macadamia-all", "Psittacus erithacus", "{name: macadamia nut}", NOTHING),
    ("xylitol-cats", "Felis catus", "{name: xylitol}", NOTHING),
    ("lilium-dogs-rabbits", "Canis lupus familiaris", "{organism: Lilium candidum}", NOTHING),
    ("lilium-dogs-rabbits", "Oryctolagus cuniculus", "{organism: Lilium candidum}", NOTHING),
    ("black-walnut-all-stock", "Ovis aries", "{name: black walnut shavings}", NOTHING),
    ("buttercup-hay", "Oryctolagus cuniculus",
     "{name: buttercup hay, organism: Ranunculus acris, part: aerial, form: dried}", NOTHING),
    ("white-chocolate", "Canis lupus familiaris", "{name: white chocolate}", NOTE),
    ("tomato-cattle", "Bos taurus", "{same_as: tomato}", NOTHING),
    ("tomato-cattle", "Bos taurus",
     "{name: tomato haulm, organism: Solanum lycopersicum, part: haulm, form: dried}", NOTHING),
    ("umbellifers-eaten", "Capra hircus", "{same_as: parsnip}", NOTHING),
    ("umbellifers-eaten", "Capra hircus",
     "{organism: Pastinaca sativa, part: leaf, form: fresh}", NOTHING),
    ("umbellifers-eaten", "Oryctolagus cuniculus", "{same_as: celery}", NOTHING),
    ("umbellifers-eaten", "Cavia porcellus", "{same_as: parsley}", NOTHING),
    ("brassica-goitre", "Testudo hermanni", "{same_as: kale}", NOTHING),
    ("brassica-goitre", "Chelonoidis niger", "{same_as: broccoli}", NOTHING),
    ("citrus-iron", "Ramphastos toco", "{same_as: orange}", VET),
    ("citrus-iron", "Centrochelys sulcata", "{same_as: orange}", NOTHING),
    ("citrus-iron", "Macaca mulatta", "{same_as: orange}", NOTHING),
    ("angel-wing", "Anas platyrhynchos", "{name: white bread}", NOTE),
    ("parrots-grit", "Psittacus erithacus", "{name: grit}", NOTE),
    ("iceberg", "Testudo hermanni", "{same_as: lettuce-iceberg}", NOTHING),
    ("iceberg", "Oryctolagus cuniculus", "{same_as: lettuce-iceberg}", NOTHING),
    *(
        ("ordinary-produce", species, f"{{same_as: {food}}}", NOTHING)
        for species in ("Canis lupus familiaris", "Psittacus erithacus", "Testudo hermanni",
                        "Oryctolagus cuniculus", "Ailurus fulgens")
        for food in ("carrot", "banana", "pumpkin", "pepper-red", "peas-green", "courgette")
    ),
]  # fmt: skip

# What somebody might be lulled about: the finding must be there.
STAYS: list[tuple[str, str, str, Severity]] = [
    ("deer-yew", "Cervus elaphus",
     "{organism: Taxus baccata, part: leaf, form: fresh}", Severity.HIGH),
    ("deer-yew", "Alces alces",
     "{organism: Taxus baccata, part: twig, form: fresh}", Severity.HIGH),
    ("only-horses-sycamore", "Camelus bactrianus",
     "{organism: Acer pseudoplatanus, part: seed}", Severity.MEDIUM),
    ("only-horses-sycamore", "Elaphurus davidianus",
     "{organism: Acer pseudoplatanus, part: seed}", Severity.MEDIUM),
    ("only-horses-sycamore", "Connochaetes taurinus",
     "{organism: Acer pseudoplatanus, part: seedling}", Severity.MEDIUM),
    ("grapes-all-animals", "Canis lupus familiaris", "{same_as: grape}", Severity.HIGH),
    ("lilium-dogs-rabbits", "Felis catus", "{organism: Lilium candidum}", Severity.HIGH),
    ("ragwort-touch", "Equus caballus",
     "{organism: Jacobaea vulgaris, part: leaf, form: dried}", Severity.MEDIUM),
    ("garlic-any-dose", "Canis lupus familiaris", "{same_as: garlic}", Severity.MEDIUM),
    ("black-walnut-all-stock", "Equus caballus", "{name: black walnut shavings}", Severity.LOW),
]  # fmt: skip


def found(species: str, entry: str) -> list[Check]:
    """What the rule finds where 20 g of a food go with 300 g of greens and 80 g of hay a day."""
    if "same_as" not in entry:
        entry = entry.removesuffix("}") + ", unknown_composition: not analysed}"
    files = records.small(
        group=records.group(species=species),
        foods=records.foods(
            looked_at=entry, greens="{same_as: dandelion-leaves}", hay="{same_as: hay-oat}"
        ),
        sheet=records.sheet(
            {
                "roots": [
                    "{food: looked-at, amount: 10 g per animal}",
                    "{food: greens, amount: 150 g per animal}",
                    "{food: hay, amount: 40 g per animal}",
                ]
            }
        ),
    )
    outcome = outcome_of(toxic_item, files, records.ON)
    checks = checks_of(outcome, "tapir")
    assert checks
    assert not outcome.failures
    told = (Verdict.BREACH, Verdict.CANNOT_TELL)
    return [one for one in checks if one.verdict in told and one.food == "looked-at"]


@pytest.mark.parametrize(("claim", "species", "entry", "worst"), QUIET)
def test_an_overstated_claim_brings_no_more_than_is_justified(
    claim: str, species: str, entry: str, worst: Severity | None
) -> None:
    over = [
        (one.severity, one.message)
        for one in found(species, entry)
        if worst is None or one.severity.rank < worst.rank
    ]
    assert not over, claim


@pytest.mark.parametrize(("claim", "species", "entry", "least"), STAYS)
def test_what_somebody_might_be_lulled_about_is_found(
    claim: str, species: str, entry: str, least: Severity
) -> None:
    assert any(one.severity.rank <= least.rank for one in found(species, entry)), claim


def test_every_claim_is_held_to_in_a_species_that_is_known() -> None:
    assert {case[0] for case in (*QUIET, *STAYS)} == {claim.id for claim in claims()}
    assert all(find_taxon(case[1]) for case in (*QUIET, *STAYS))


def test_false_reassurance_is_never_only_quiet() -> None:
    lulled = {claim.id for claim in claims() if claim.verdict == "false-reassurance"}
    assert lulled <= {case[0] for case in STAYS}


# -- the table -----------------------------------------------------------------------------------


@cache
def works() -> frozenset[str]:
    """The keys of the bibliography."""
    bibliography = pack().sources
    assert bibliography is not None
    return frozenset(one["key"] for one in read_trusted(bibliography.read_bytes())["sources"])


def test_the_table_is_sound() -> None:
    for claim in claims():
        assert claim.verdict in VERDICTS
        assert set(claim.sources) <= works(), claim.id
        assert set(claim.items) <= set(item_ids()), claim.id
        assert claim.seen in ("original", "reprint", "memory")
        assert claim.sources or claim.seen == "memory", claim.id
        assert claim.names or claim.organisms, claim.id


def word(name: str) -> Food:
    return Food(id=name, name=name, place=Pointer(""), known=False)


@pytest.mark.parametrize(
    ("food", "expected"),
    [
        ("Grapes", {"grapes-all-animals"}),
        ("white chocolate", {"white-chocolate"}),
        ("dark chocolate", set()),
        ("Taxus baccata", {"deer-yew"}),
        ("sweet pea", set()),  # Lathyrus, which is no garden pea
        ("bread", {"angel-wing"}),
        ("xyzzy", set()),
    ],
)
def test_a_claim_is_told_of_its_food_only(food: str, expected: set[str]) -> None:
    assert {claim.id for claim in claims() if claim.is_about(word(food))} == expected


def test_the_organism_decides_where_it_is_known() -> None:
    row = food_row("apple")
    assert row is not None
    other = Food(id="x", name="apple", place=Pointer(""), organism="Annona squamosa")
    assert not any(claim.is_about(other) for claim in claims())
