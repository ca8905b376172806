"""Taxonomy look-up: every species walked, old names understood, wrong names near the right one."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dietcheck.tables.csv_table import table
from dietcheck.tables.taxa import (
    Taxon,
    accepted_name,
    find_taxon,
    known_taxon_name,
    near_taxa,
    order_of,
    species_names,
    taxon_from_lineage,
)

any_species = st.sampled_from(species_names())


def taxon(name: str) -> Taxon:
    found = find_taxon(name)
    assert found is not None
    return found


def test_every_row_is_a_full_lineage_down_to_its_species() -> None:
    for row in table("taxa").all_rows():
        species = taxon(row["scientific_name"])
        assert species.lineage[0] == "Eukaryota"
        assert species.lineage[-1] == species.scientific_name
        assert species.scientific_name.split()[0] in species.lineage
        assert len(set(species.lineage)) == len(species.lineage) >= 15
        for column in ("class_traditional", "order", "family", "avilist_order", "avilist_family"):
            assert not row[column] or species.is_in(row[column])
        assert species.is_in("Metazoa")
        assert species.english_name
        assert table("sources").rows(row["source"])


def test_other_names_hang_below_the_same_tree() -> None:
    for row in table("more_taxa").all_rows():
        lineage = row["lineage"].split(">")
        assert lineage[0] == "Eukaryota"
        assert lineage[-1] == row["scientific_name"]
        assert known_taxon_name(row["scientific_name"])


def test_a_name_stands_in_one_place_only() -> None:
    """Two lineages that share a name share everything above it."""
    above: dict[str, tuple[str, ...]] = {}
    by_hand = {"Reptilia"} | {  # where the checklists differ
        name
        for row in table("taxa").all_rows()
        if row["note"] or row["match"] != "exact"
        for name in (row["avilist_order"], row["avilist_family"], row["order"], row["family"])
    }
    by_hand |= {"Xanthonycticebus", "Hexaprotodon", "Dicotyles"}  # NCBI's genera
    for name in species_names():
        lineage = tuple(own for own in taxon(name).lineage if own not in by_hand)
        for depth, own in enumerate(lineage):
            assert above.setdefault(own, lineage[:depth]) == lineage[:depth]


@given(any_species)
def test_rank_distance_counts_steps_up_from_the_species(name: str) -> None:
    species = taxon(name)
    assert species.rank_distance(name) == 0
    upwards = [species.rank_distance(own) for own in reversed(species.lineage)]
    assert upwards[-1] == len(species.lineage) - 1
    assert upwards == sorted(upwards)


@given(any_species, any_species)
def test_a_species_is_in_nothing_it_does_not_list(one: str, other: str) -> None:
    if one != other and other not in taxon(one).lineage:
        assert not taxon(one).is_in(other)
        with pytest.raises(ValueError, match="does not belong"):
            taxon(one).rank_distance(other)


@pytest.mark.parametrize(
    ("species", "group"),
    [
        ("Centrochelys sulcata", "Reptilia"),  # turtles have no class in NCBI
        ("Crocodylus niloticus", "Reptilia"),
        ("Iguana iguana", "Reptilia"),
        ("Vultur gryphus", "Cathartiformes"),  # AviList
        ("Vultur gryphus", "Accipitriformes"),  # NCBI
        ("Nestor notabilis", "Strigopidae"),
        ("Aythya innotata", "Anatidae"),
        ("Callithrix jacchus", "Callitrichidae"),  # a family to keepers, a subfamily in NCBI
        ("Osphranter rufus", "Marsupialia"),
        ("Choeropsis liberiensis", "Choeropsis"),
        ("Choeropsis liberiensis", "Hexaprotodon liberiensis"),
        ("Lemur catta", " Lemur  catta "),
    ],
)
def test_keepers_names_and_both_checklists_are_understood(species: str, group: str) -> None:
    assert taxon(species).is_in(group)


@pytest.mark.parametrize("name", ["Aves", "Mammalia", "lemuridae", "Amphibia", ""])
def test_birds_mammals_and_small_letters_are_no_match_for_a_tortoise(name: str) -> None:
    assert not taxon("Testudo graeca").is_in(name)


def test_birds_are_not_reptiles_to_a_keeper() -> None:
    assert not taxon("Gallus gallus").is_in("Reptilia")


def test_every_older_name_leads_to_a_name_in_use() -> None:
    for row in table("taxon_synonyms").all_rows():
        assert row["evidence"] in ("read", "memory")
        assert row["source"]
        assert known_taxon_name(row["accepted"])
        assert accepted_name(row["accepted"]) == row["accepted"]
        assert known_taxon_name(row["name"])
        if " " in row["name"]:
            assert taxon(row["name"]).scientific_name == row["accepted"]


def test_no_older_name_hides_a_species_in_use() -> None:
    assert not set(table("taxon_synonyms").names()) & set(species_names())


def test_an_older_name_reports_the_accepted_one() -> None:
    assert taxon("Macropus rufus").scientific_name == "Osphranter rufus"
    assert taxon("Padda oryzivora").scientific_name == "Lonchura oryzivora"


@pytest.mark.parametrize("name", ["Ailurus fulgenz", "Felidae", "Lemur", "", "red panda"])
def test_only_a_species_is_found_as_a_species(name: str) -> None:
    assert find_taxon(name) is None


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("Ailurus fulgenz", "Ailurus fulgens"),
        ("red panda", "Ailurus fulgens"),
        ("Red Panda", "Ailurus fulgens"),
        ("ring tailed lemur", "Lemur catta"),
        ("Felidea", "Felidae"),
        ("macropus  rufus", "Osphranter rufus"),
    ],
)
def test_a_slip_or_an_english_name_leads_to_the_right_one(written: str, meant: str) -> None:
    assert meant in near_taxa(written)


def test_a_very_long_name_is_answered_too() -> None:
    assert near_taxa("Ailurus fulgens" * 100_000) == ()


def test_nothing_near_is_said_as_nothing() -> None:
    assert near_taxa("qqqqqqq") == ()


@settings(deadline=None)
@given(st.text(max_size=40))
def test_any_text_can_be_asked_about(text: str) -> None:
    find_taxon(text)
    known_taxon_name(text)
    assert all(known_taxon_name(name) for name in near_taxa(text))


def test_a_species_outside_the_table_gets_everything_above_its_family() -> None:
    ocelot = taxon_from_lineage("Leopardus pardalis", ["Mammalia", "Felidae", "Leopardus"])
    for name in ("Carnivora", "Eutheria", "Felidae", "Leopardus", "Leopardus pardalis"):
        assert ocelot.is_in(name)
    assert ocelot.lineage[-1] == "Leopardus pardalis"
    assert ocelot.rank_distance("Felidae") == 2


def test_a_name_the_table_lacks_keeps_its_place() -> None:
    built = taxon_from_lineage("Leopardus pardalis", ["Felidae", "Leopardini", "Leopardus"])
    assert built.lineage[-4:] == ("Felidae", "Leopardini", "Leopardus", "Leopardus pardalis")


def test_the_only_bundled_animal_of_a_family_does_not_stand_for_its_kin() -> None:
    assert not taxon_from_lineage("Ailurus styani", ["Ailuridae"]).is_in("Ailurus fulgens")


@given(any_species, st.data())
def test_any_part_of_a_lineage_rebuilds_it(name: str, data: st.DataObject) -> None:
    """Whatever true names a keeper writes, the result never claims what is not so."""
    full = taxon(name).lineage
    known = [own for own in full if accepted_name(own) == own]
    wanted = data.draw(st.lists(st.sampled_from(known), min_size=1, unique=True))
    written = sorted(wanted, key=full.index)
    built = taxon_from_lineage(name, written)
    assert set(written) <= set(built.lineage) <= set(full)


@pytest.mark.parametrize(
    ("lineage", "why"),
    [
        (["Aves", "Felidae"], "Felidae does not belong to Aves"),
        (["Felidae", "Mammalia"], "Mammalia does not belong to Felidae"),
        (["Carnivora", "Felidae", "Canis"], "Canis does not belong to Felidae"),
        (["Feliday"], "none of the names"),
        ([], "none of the names"),
    ],
)
def test_a_lineage_that_cannot_be_is_refused(lineage: list[str], why: str) -> None:
    with pytest.raises(ValueError, match=why):
        taxon_from_lineage("Leopardus pardalis", lineage)


def test_every_species_has_the_order_of_its_row_and_so_has_all_within_it() -> None:
    for row in table("taxa").all_rows():
        orders = {row["avilist_order"], row["order"]} - {""} or {""}
        assert taxon(row["scientific_name"]).order in orders
        assert order_of(row["scientific_name"]) in orders
        assert not row["family"] or order_of(row["family"]) in orders


@pytest.mark.parametrize(
    ("name", "order"),
    [
        ("Carnivora", "Carnivora"),
        ("Felidae", "Carnivora"),
        ("Ruminantia", "Artiodactyla"),  # a suborder
        ("Canis lupus familiaris", "Carnivora"),
        ("Mammalia", ""),
        ("Metazoa", ""),
        ("no such animal", ""),
    ],
)
def test_the_order_of_a_name(name: str, order: str) -> None:
    assert order_of(name) == order


def test_a_species_outside_the_table_gets_its_order_from_the_names_above_it() -> None:
    assert taxon_from_lineage("Felis nova", ["Felidae"]).order == "Carnivora"
