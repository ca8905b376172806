"""Browse in small diets. Plants, places and people are invented; what is known of a plant stands in
the rule's table with its sources."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path

import pytest

from dietcheck.contract import Check, Severity, Verdict, find_taxon
from dietcheck.reading import Folder
from dietcheck.screening.hookspecs import CONTRACT, Pack
from dietcheck.screening.packs import rules_of
from dietcheck.screening.screen import screen
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import browse_identified
from dietcheck_rules.browse_identified.plants import table
from tests import records

PARK = Path(__file__).parents[2] / "example_repo"
BREACH, CANNOT_TELL, KEPT = Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT
HIGH, MEDIUM, LOW = Severity.HIGH, Severity.MEDIUM, Severity.LOW
WALLABY, RABBIT, GOAT = "Notamacropus rufogriseus", "Oryctolagus cuniculus", "Capra hircus"
RECORD = {
    "class": "browse",
    "organism": "Salix caprea",
    "part": "leaf and twig",
    "identified_by": "J. Lindahl",
    "cut_at": "north ditch",
    "sprayed": "no",
}


def entry(**changes: str) -> str:
    """A browse record in flow style; a field changed to nothing is left out."""
    fields = {**RECORD, "unknown_composition": "x", **changes}
    return "{" + ", ".join(f"{key}: {value}" for key, value in fields.items() if value) + "}"


def said(
    foods: Mapping[str, str], species: str = WALLABY, fed: str = "willow"
) -> tuple[Check, ...]:
    files = records.small(
        group=records.group(species=species),
        foods=records.foods(**foods),
        sheet=records.sheet({"roots": [f"{{food: {fed}, amount: 100 g per animal}}"]}),
    )
    outcome = outcome_of(browse_identified, files, records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def test_a_complete_record_of_an_accepted_plant_is_kept_with_its_conditions() -> None:
    (check,) = said({"willow": entry()})
    assert check.verdict is KEPT
    assert "unsprayed" in check.message
    assert "salicylates" in " ".join(check.working)
    assert {source.key for source in check.sources} == {"WILLOW-19", "HB-RAB", "BROWSE-CA"}
    assert any("not about this species" in weak for weak in check.weak)
    (rabbit,) = said({"willow": entry()}, RABBIT)
    assert not rabbit.weak


@pytest.mark.parametrize(
    ("field", "severity"),
    [("organism", HIGH), ("identified_by", HIGH), ("cut_at", MEDIUM), ("sprayed", MEDIUM)],
)
def test_each_missing_field_is_a_breach(field: str, severity: Severity) -> None:
    check = said({"willow": entry(**{field: ""})})[0]
    assert (check.verdict, check.severity) == (BREACH, severity)
    assert field in check.settles
    assert check.places


@pytest.mark.parametrize(
    ("organism", "enough"),
    [("Salix", True), ("Salix caprea", True), ("Salicaceae", False), ("willow", False)],
)
def test_a_genus_is_enough_and_a_family_or_a_trade_name_is_not(organism: str, enough: bool) -> None:
    verdicts = {check.verdict for check in said({"willow": entry(organism=organism)})}
    assert (BREACH not in verdicts) is enough


@pytest.mark.parametrize(("sprayed", "verdict"), [("yes", BREACH), ("unknown", CANNOT_TELL)])
def test_a_sprayed_place_is_medium(sprayed: str, verdict: Verdict) -> None:
    check = said({"willow": entry(sprayed=sprayed)})[0]
    assert (check.verdict, check.severity) == (verdict, MEDIUM)
    assert "common practice, no source" in check.message


def test_mixed_cuttings_on_no_list_are_high() -> None:
    check = said({"carrot": "{same_as: carrot}"}, fed="mixed-hedge-cuttings")[0]
    assert (check.verdict, check.severity) == (BREACH, HIGH)
    assert "mix that lists its plants" in check.advice


def test_mixed_cuttings_must_be_a_mix_of_identified_plants() -> None:
    one = entry(organism="", name="Mixed cuttings", **{"class": "other"})
    assert said({"willow": one})[0].severity is HIGH
    good = {
        "cuttings": "{name: Mixed cuttings, mix: {willow: 60 %, hazel: 40 %}}",
        "willow": entry(),
        "hazel": entry(organism="Corylus avellana"),
    }
    checks = said(good, fed="cuttings")
    assert [check.verdict for check in checks] == [KEPT, KEPT]
    bad = {**good, "hazel": entry(organism="", **{"class": "other"})}
    checks = said(bad, fed="cuttings")
    worst = min(checks, key=lambda check: check.severity.rank)
    assert (worst.food, worst.severity) == ("hazel", HIGH)
    assert "cuttings" in worst.message


def test_what_is_no_browse_is_left_alone() -> None:
    foods = {
        "lawn-clippings": "{unknown_composition: x, class: grass}",
        "hay": "{same_as: hay-timothy-midbloom}",
        "carrot": "{same_as: carrot}",
    }
    for food in foods:
        assert {check.verdict for check in said(foods, fed=food)} == {Verdict.NOT_APPLICABLE}


@pytest.mark.parametrize(
    ("species", "organism", "part", "verdict", "severity"),
    [
        (GOAT, "Taxus baccata", "leaf", BREACH, LOW),  # BROWSE-ZA, a list; toxic-item says more
        (RABBIT, "Prunus avium", "leaf", BREACH, MEDIUM),  # HB-RAB, an author's record
        (GOAT, "Prunus avium", "leaf", CANNOT_TELL, LOW),  # refused for rabbits only: unlisted
        (RABBIT, "Quercus robur", "leaf", BREACH, LOW),  # RVN-RAB
        (RABBIT, "Quercus robur", "", CANNOT_TELL, LOW),
        (WALLABY, "Quercus robur", "leaf", KEPT, LOW),  # BROWSE-ZA wants it
        (RABBIT, "Fagus sylvatica", "nut", BREACH, LOW),  # RVN-RAB
        (RABBIT, "Fagus sylvatica", "leaf", KEPT, LOW),  # usual practice
        (WALLABY, "Acer campestre", "leaf", KEPT, LOW),  # usual practice
        (WALLABY, "Acer rubrum", "leaf", BREACH, LOW),  # BROWSE-ZA
        (WALLABY, "Acer palmatum", "leaf", CANNOT_TELL, LOW),  # lists disagree
        (WALLABY, "Photinia serratifolia", "leaf", CANNOT_TELL, LOW),  # lists disagree
        (WALLABY, "Malus domestica", "leaf", KEPT, LOW),
        (WALLABY, "Malus domestica", "", CANNOT_TELL, LOW),  # accepted as leaf and twig only
        (WALLABY, "Eucalyptus gunnii", "leaf", CANNOT_TELL, LOW),  # no source known to us
        ("Extatosoma tiaratum", "Hedera helix", "leaf", CANNOT_TELL, LOW),  # list is for browsers
    ],
)
def test_the_plant_is_graded_by_the_evidence(
    species: str, organism: str, part: str, verdict: Verdict, severity: Severity
) -> None:
    (check,) = said({"willow": entry(organism=organism, part=part)}, species)
    assert (check.verdict, check.severity) == (verdict, severity)


def test_bundled_browse_still_needs_a_person_and_a_place() -> None:
    check = said({"willow": "{same_as: browse-osier-willow}"})[0]
    assert check.severity is HIGH
    assert "organism" not in check.settles
    several = said({"willow": "{same_as: browse-ten-woody}"})[0]
    assert "organism" in several.settles


def test_accepted_and_refused_plants_are_no_breach_of_each_other() -> None:
    """Every accepted plant is kept for a goat, by its first name and part."""
    for row in table()["accepted"]:
        food = entry(organism=row["organisms"][0], part=row.get("part", ["leaf"])[0])
        assert [check.verdict for check in said({"willow": food}, GOAT)] == [KEPT], row["plant"]


def test_taxa_and_sources_of_the_table_are_known() -> None:
    text = browse_identified.describe().folder.joinpath("..", "sources.yaml").read_text("utf-8")
    rows = [one for row in table()["accepted"] for one in row["evidence"]] + table()["refused"]
    for row in rows:
        assert not row.get("taxon") or find_taxon(row["taxon"]) is not None or row["taxon"]
        assert all(f"{{key: {key}," in text for key in row.get("sources", ()))
    for row in table()["conflicts"]:
        assert all(f"{{key: {key}," in text for key in (*row["wanted_by"], *row["against"]))


# -- the example park ------------------------------------------------------------------------------


def park(*drafts: str) -> list[tuple[str | None, str, str, str | None]]:
    """What the rule finds in the park with drafts laid over it: group, verdict, severity, food."""
    pack = Pack("dietcheck_rules", "0", CONTRACT, (browse_identified,))
    laid = [(f"drafts/{name}", (PARK / "drafts" / name).read_bytes()) for name in drafts]
    report = screen(Folder(PARK), date(2026, 11, 25), laid, load=lambda _: rules_of(pack))
    return [(f.group, f.check.verdict, f.severity, f.check.food) for f in report.findings]


def test_the_good_park_has_all_its_browse_identified() -> None:
    assert park() == []


def test_hedge_cuttings_of_the_cover_keeper_are_high() -> None:
    found = park("b07-wallaby-hedge-cuttings.yaml")
    assert found == [("wallaby", BREACH, HIGH, "mixed-hedge-cuttings")]


@pytest.mark.parametrize(
    ("sprayed", "found"),
    [("yes", Verdict.BREACH), ("unknown", Verdict.CANNOT_TELL), ("no", None)],
)
def test_grass_from_a_sprayed_place_is_said(sprayed: str, found: Verdict | None) -> None:
    """Unsprayed is common practice, for grass as for browse; medium at most."""
    grass = f"{{same_as: fresh-orchard-grass, cut_at: verge, sprayed: {sprayed}}}"
    checks = said({"willow": grass})
    told = [(one.verdict, one.severity) for one in checks if one.about == "cut plant sprayed"]
    assert told == ([(found, Severity.MEDIUM)] if found else [])
