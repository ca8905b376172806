"""What is told of browse: what its record lacks, what is known of the plant and by whom. Plants,
places and people are invented; what is known stands in the rule's table with its sources.
"""

from __future__ import annotations

import pytest

from dietcheck.contract import Check
from tests.rules.test_browse_identified import (
    BREACH,
    CANNOT_TELL,
    GOAT,
    KEPT,
    LOW,
    MEDIUM,
    RABBIT,
    WALLABY,
    entry,
    said,
)
from tests.rules.told import places

FIELDS = ("organism", "identified_by", "cut_at", "sprayed")
BARE = dict.fromkeys(FIELDS, "")


def one(species: str = WALLABY, **changes: str) -> Check:
    """The one thing that is said of a willow with these changes."""
    (check,) = said({"willow": entry(**changes)}, species)
    return check


def test_all_that_a_record_lacks_is_named_and_asked_for() -> None:
    check = one(**BARE)
    assert check.settles.partition(": ")[2].split(", ") == [*FIELDS]
    assert check.advice.startswith("Leave it out. Write organism, identified_by, cut_at, sprayed")
    assert "another plant than meant" in check.message
    assert places(check) == ["sheet roots 0 food", "foods foods willow"]
    assert (check.animals, len(check.occasions)) == (("T1",), 4)
    (unlisted,) = said({"carrot": "{same_as: carrot}"}, fed="hedge-cuttings")
    assert "no food list" in unlisted.message
    assert "as a mix that lists its plants" in unlisted.advice
    assert places(unlisted) == ["sheet roots 0 food"]
    place, known = said({"willow": entry(cut_at="", sprayed="unknown")})
    assert (place.severity, place.settles) == (MEDIUM, "in the food record: cut_at")
    assert "Roadsides" in place.message
    assert place.advice.startswith("Write cut_at")
    assert (known.verdict, known.about) == (KEPT, "browse plant accepted")


@pytest.mark.parametrize(
    ("sprayed", "verdict", "settled"), [("yes", BREACH, True), ("unknown", CANNOT_TELL, False)]
)
def test_a_sprayed_place_is_named(sprayed: str, verdict: object, settled: bool) -> None:
    check, _ = said({"willow": entry(sprayed=sprayed)})
    assert (check.verdict, check.severity, check.about) == (verdict, MEDIUM, "browse sprayed")
    assert "cut at north ditch" in check.message
    assert (check.settles == "") is settled
    assert ("which is sprayed" in check.message) is settled
    grass = f"{{class: grass, unknown_composition: x, sprayed: {sprayed}}}"
    (cut,) = said({"sward": grass}, fed="sward")
    assert cut.about == "cut plant sprayed"
    assert "a place that is not written" in cut.message


def test_an_accepted_plant_is_told_by_its_best_evidence() -> None:
    """Willow: a feeding trial in rabbits (WILLOW-19), a record (HB-RAB), a list (BROWSE-CA)."""
    check = one()
    assert check.about == "browse identified and accepted"
    assert "(a feeding trial in Leporidae), cut at north ditch, not sprayed" in check.message
    assert [step.partition(":")[0] for step in check.working] == [
        "a feeding trial",
        "a veterinary author's plant record",
        "a published list",
        "caution",
        "not to be confused with desert willow (Chilopsis)",
    ]
    assert check.working[0].endswith("(WILLOW-19, read as original)")
    assert check.working[3].endswith("(from memory)")
    assert check.weak == ("the evidence is about Leporidae, not about this species",)
    assert one(RABBIT).weak == ()


@pytest.mark.parametrize(
    ("organism", "species", "weak"),
    [
        ("Ficus carica", WALLABY, ["accepted by usual practice only, from memory"]),
        ("Morus alba", WALLABY, ["accepted on a published list only, which is not evidence"]),
        ("Fraxinus excelsior", WALLABY,
         ["the evidence is about Capra hircus, not about this species"]),
        ("Fraxinus excelsior", GOAT, []),
    ],
)  # fmt: skip
def test_how_weak_the_evidence_is_is_told(organism: str, species: str, weak: list[str]) -> None:
    assert list(one(species, organism=organism).weak) == weak


def test_a_plant_accepted_in_part_asks_for_the_part() -> None:
    open_ = one(organism="Malus domestica", part="")
    assert (open_.verdict, open_.severity) == (CANNOT_TELL, LOW)
    assert "accepted only as leaf, twig (a feeding trial)" in open_.message
    assert "(part)" in open_.settles
    assert {ref.key for ref in open_.sources} == {"RVN-RAB", "APPLE-SIL"}
    assert open_.weak == ("the evidence is about Leporidae, not about this species",)
    practice = one(GOAT, organism="Ficus carica")
    assert "(usual practice, no source)" in practice.message
    assert practice.working[0].endswith("(no source, from memory, read as memory)")


def test_a_refused_plant_names_the_list_and_whether_the_part_is_known() -> None:
    leaf = one(RABBIT, organism="Quercus robur", part="leaf")
    assert "is oak leaves, refused for rabbits in a published list (RVN-RAB)" in leaf.message
    assert (leaf.verdict, leaf.severity, leaf.settles) == (BREACH, LOW, "")
    assert leaf.working == ("listed as refused: Quercus, read as original",)
    open_ = one(RABBIT, organism="Quercus robur", part="")
    assert "may be" in open_.message
    assert (open_.verdict, "part" in open_.settles) == (CANNOT_TELL, True)
    cherry = one(RABBIT, organism="Prunus avium")
    assert (cherry.severity, cherry.verdict) == (MEDIUM, BREACH)
    assert "a veterinary author's plant record (HB-RAB)" in cherry.message


def test_lists_that_disagree_are_both_named() -> None:
    photinia = one(organism="Photinia serratifolia")
    assert "(BROWSE-CA); warned of by BLS-CN:" in photinia.message
    assert [ref.key for ref in photinia.sources] == ["BROWSE-CA", "BLS-CN"]
    assert "vet's word" in photinia.settles
    maple = one(organism="Acer palmatum")
    assert "(BROWSE-CA): " in maple.message
    oak = one(organism="Quercus robur")
    assert (oak.verdict, len(oak.weak)) == (KEPT, 1)
    assert [ref.key for ref in oak.sources] == ["BROWSE-ZA", "RVN-RAB"]


@pytest.mark.parametrize(
    ("organism", "enough"),
    [("Salix", True), ("× Salix", True), ("Salix caprea", True), ("Salicaceae", False),
     ("willow", False), ("Sa", False), ("SALIX", False), ("Salix-alba", True)],
)  # fmt: skip
def test_a_genus_is_written_as_a_genus(organism: str, enough: bool) -> None:
    first = said({"willow": entry(organism=organism)})[0]
    assert ("botanical name" not in first.message) is enough


@pytest.mark.parametrize(
    ("name", "kind", "is_browse"),
    [("hedge trimmings", "", True), ("lawn trimmings", "", False), ("hay", "", False),
     ("hedge", "vegetable", False), ("willow twigs", "other", True), ("leaves", "browse", True)],
)  # fmt: skip
def test_cut_plants_go_by_their_name_where_they_have_no_class(
    name: str, kind: str, is_browse: bool
) -> None:
    found = said({"cut": entry(name=name, **{"class": kind}, **BARE)}, fed="cut")
    assert any(check.about.startswith("browse not") for check in found) is is_browse


def test_a_browse_in_two_mixes_is_told_once_with_both() -> None:
    foods = {
        "willow": entry(),
        "one": "{mix: {willow: 60 %, carrot: 40 %}}",
        "two": "{mix: {one: 60 %, willow: 40 %}}",
        "carrot": "{same_as: carrot}",
    }
    (check,) = said(foods, fed="two")
    assert '"willow" in two (Salix caprea)' in check.message
    (alone,) = said(foods)
    assert '"willow" (Salix caprea)' in alone.message
    assert " in " not in alone.message.partition("(Salix")[0]
