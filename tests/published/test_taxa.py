"""The bundled lineages against checklists that were not used to make them, as far as any exist.

Birds: AviList 2025 (the source of the second order and family) and eBird 2024 (independent), both
carried by birdnames 0.1.3 and read without its loader. Other animals: taxa_extract.csv, taken from
NCBI Taxonomy by taxon number and rank through taxoniq 1.0.3 on 2026-11-25; the whole comparison
needs 450 MB and lives in long_taxa.py.
"""

from __future__ import annotations

import csv
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import pytest

from dietcheck.tables.csv_table import table
from dietcheck.tables.taxa import Taxon, find_taxon

Row = dict[str, str]
RANKS = ("phylum", "class", "order", "family", "genus")


@cache
def checklist(name: str) -> list[Row]:
    spec = find_spec("birdnames")
    assert spec is not None
    assert spec.origin is not None
    folder = Path(spec.origin).parent / "data" / "processed"
    with (folder / f"{name}_taxonomy.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@cache
def extract() -> list[Row]:
    path = Path(__file__).with_name("taxa_extract.csv")
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def bundled_birds(name: str) -> list[tuple[Taxon, Row]]:
    """Species of a checklist that are bundled, older names included."""
    found = [(find_taxon(row["scientific_name"]), row) for row in checklist(name)]
    birds = {row["scientific_name"] for row in table("taxa").all_rows() if row["group"] == "bird"}
    return [(taxon, row) for taxon, row in found if taxon and taxon.scientific_name in birds]


@pytest.mark.parametrize(("name", "prefix"), [("avilist_2025", "avilist"), ("ebird_2024", "ebird")])
def test_birds_belong_to_the_order_and_family_of_the_checklist(name: str, prefix: str) -> None:
    pairs = bundled_birds(name)
    for bird, row in pairs:
        family = row[f"{prefix}_family"].split(" (")[0]  # eBird adds English words
        assert bird.is_in(row[f"{prefix}_order"]), bird.scientific_name
        assert bird.is_in(family), bird.scientific_name
        assert bird.is_in("Aves")
    assert len({bird.scientific_name for bird, _ in pairs}) >= 96


def test_bundled_english_names_of_birds_are_avilists() -> None:
    names = {
        bird.scientific_name: row["avilist_common_name"]
        for bird, row in bundled_birds("avilist_2025")
    }
    for row in table("taxa").all_rows():
        if row["group"] == "bird":
            assert row["avilist_common_name"] == names[row["scientific_name"]]


def test_every_rank_of_the_extract_is_in_the_lineage_in_order() -> None:
    for row in extract():
        taxon = find_taxon(row["scientific_name"])
        assert taxon is not None
        ranks = [row[rank] for rank in RANKS if row[rank]]
        assert [name for name in taxon.lineage if name in ranks] == ranks


def test_the_extract_covers_every_species_ncbi_holds() -> None:
    numbered = {
        (row["scientific_name"], row["ncbi_tax_id"])
        for row in table("taxa").all_rows()
        if row["ncbi_tax_id"]
    }
    assert {(row["scientific_name"], row["ncbi_tax_id"]) for row in extract()} == numbered
    assert len(numbered) == 364


def test_traditional_classes_disagree_with_ncbi_only_for_reptiles() -> None:
    ncbi = {row["scientific_name"]: row["class"] for row in extract()}
    for row in table("taxa").all_rows():
        if ncbi.get(row["scientific_name"]) not in (None, row["class_traditional"]):
            assert row["class_traditional"] == "Reptilia"
            assert ncbi[row["scientific_name"]] in ("", "Lepidosauria")
