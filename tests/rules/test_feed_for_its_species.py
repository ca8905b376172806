"""Feeds for the wrong animal, in small diets. Feeds, amounts and animals are invented; the doses
and ceilings that are named stand in the rule's own tables with their sources.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import feed_for_its_species
from dietcheck_rules.feed_for_its_species.substances import substances
from tests import records

BREACH, CANNOT_TELL, KEPT, NOTHING = (
    Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT, Verdict.NOT_APPLICABLE,
)  # fmt: skip
HIGH, MEDIUM, LOW = Severity.HIGH, Severity.MEDIUM, Severity.LOW
WALLABY, HORSE, SHEEP, DOG = (
    "Notamacropus rufogriseus", "Equus caballus", "Ovis aries", "Canis lupus familiaris",
)  # fmt: skip
Said = list[tuple[Verdict, Severity, bool]]


def feed(said: str = "", label: str = "moisture: 12 %", kind: str = "compound feed") -> str:
    """A feed with these lines in its record."""
    more = f", {said}" if said else ""
    return f"{{class: {kind}, label: {{basis: as fed, {label}}}{more}}}"


def checks(
    entry: str,
    species: str = WALLABY,
    *,
    animals: Sequence[str] = (),
    mass: str = "15 kg",
    amount: str = "50 g per animal",
    food: str = "feed",
    **changes: str,
) -> tuple[Check, ...]:
    """What the rule says of animals that get this feed twice a day."""
    herd = animals or (f"{{id: A1, weighings: [{{on: 2026-11-20, mass: {mass}}}]}}",)
    files = {
        "group": records.group(species=species, animals=herd),
        "foods": records.foods(carrot="{same_as: carrot}", feed=entry),
        "sheet": records.sheet({"roots": [f"{{food: {food}, amount: {amount}}}"]}),
    }
    outcome = outcome_of(feed_for_its_species, records.small(**{**files, **changes}), records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def said(found: Sequence[Check]) -> Said:
    """Verdict, grade and whether a signature can release it."""
    return [
        (check.verdict, check.severity, check.never_accepted)
        for check in found
        if check.verdict in (BREACH, CANNOT_TELL)
    ]


FOR_IT, FOR_SHEEP = f"meant_for: [{WALLABY}]", "meant_for: [Ovis aries]"


def test_a_feed_made_for_the_animal_and_free_of_medicines_is_kept() -> None:
    (check,) = checks(feed(f"{FOR_IT}, medicines: none"))
    assert check.verdict is KEPT


def test_a_family_on_the_label_takes_its_species_in() -> None:
    assert said(checks(feed("meant_for: [Macropodidae], medicines: none"))) == []


def test_the_capybara_is_a_caviid_on_a_label() -> None:
    capybara = "Hydrochoerus hydrochaeris"
    assert said(checks(feed("meant_for: [Caviidae], medicines: none"), capybara)) == []


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (f"{FOR_SHEEP}, medicines: none", [(BREACH, MEDIUM, False)]),
        ("medicines: none", [(CANNOT_TELL, LOW, False)]),
        ("meant_for: [sheep], medicines: none", [(CANNOT_TELL, MEDIUM, False)]),
        (f"{FOR_IT}, medicines: unknown", [(CANNOT_TELL, HIGH, False)]),
        (FOR_IT, [(CANNOT_TELL, MEDIUM, False)]),
        (f"{FOR_SHEEP}, medicines: unknown", [(BREACH, MEDIUM, False), (CANNOT_TELL, HIGH, True)]),
        (FOR_SHEEP, [(BREACH, MEDIUM, False), (CANNOT_TELL, HIGH, True)]),
        ("medicines: unknown", [(CANNOT_TELL, LOW, False), (CANNOT_TELL, HIGH, True)]),
        ("", [(CANNOT_TELL, LOW, False), (CANNOT_TELL, MEDIUM, False)]),
        (f"{FOR_IT}, medicines: [lincomycin]", [(CANNOT_TELL, MEDIUM, False)]),
        (f"{FOR_SHEEP}, medicines: [lincomycin]", [(BREACH, MEDIUM, False), (BREACH, HIGH, True)]),
        ("medicines: [monensin]", [(CANNOT_TELL, LOW, False), (CANNOT_TELL, HIGH, True)]),
    ],
)
def test_the_label_answers_for_species_and_medicines_together(lines: str, expected: Said) -> None:
    assert said(checks(feed(lines))) == expected


def test_a_line_left_out_is_high_where_kin_have_died_of_ionophores() -> None:
    """Horses: evidence A (MON-HORSE, GUPTA-ION)."""
    assert (CANNOT_TELL, HIGH, True) in said(checks(feed(), HORSE))


@pytest.mark.parametrize("name", next(s.names for s in substances() if s.id == "ionophore-feed"))
@pytest.mark.parametrize("place", ["medicines", "additives", "name"])
def test_every_ionophore_is_found_wherever_the_record_names_it(name: str, place: str) -> None:
    line = {
        "medicines": f"medicines: [{name} sodium]",
        "additives": f"additives: [{name.upper()}], medicines: none",
        "name": f"name: {name} premix, medicines: none",
    }[place]
    found = said(checks(feed(f"{FOR_SHEEP}, {line}"), HORSE))
    assert (BREACH, HIGH, True) in found


def test_a_feed_free_of_an_ionophore_by_name_is_not_taken_for_one() -> None:
    entry = feed(f"name: monensin-free nuts, {FOR_IT}, medicines: none")
    assert said(checks(entry)) == []


def test_zinc_oxide_is_a_trace_element_among_additives_and_a_medicine_among_medicines() -> None:
    additive = feed(f"{FOR_SHEEP}, medicines: none, additives: [zinc oxide, vitamin E]")
    assert (BREACH, HIGH, True) not in said(checks(additive))
    assert (BREACH, HIGH, True) in said(checks(feed(f"{FOR_SHEEP}, medicines: [zinc oxide]")))


def test_an_ionophore_in_a_feed_made_for_the_bird_is_kept_except_for_kin_that_die_of_it() -> None:
    """Turkeys: evidence A (VR-TURK); a label for all game birds does not name them."""
    wide = feed("meant_for: [Galliformes], medicines: [monensin]")
    assert said(checks(wide, "Gallus gallus")) == []
    assert said(checks(wide, "Meleagris gallopavo")) == [(BREACH, HIGH, True)]
    own = feed("meant_for: [Meleagris gallopavo], medicines: [monensin]")
    assert said(checks(own, "Meleagris gallopavo")) == []


def test_a_strength_is_reckoned_per_kg_of_body_mass_against_the_lowest_harmful_dose() -> None:
    """2 × 2.5 kg × 276 mg/kg ÷ 500 kg = 2.76 mg/kg, twice the LD50 of 1.38 mg/kg (MON-HORSE)."""
    entry = feed("meant_for: [Bos taurus], medicines: [monensin 276 mg/kg]")
    found = checks(entry, HORSE, mass="500 kg", amount="2500 g per animal")
    check = next(c for c in found if c.never_accepted)
    assert "2.76 mg per kg of body mass" in check.message
    assert any("200 %" in line and "MON-HORSE" in line for line in check.working)
    assert {source.key for source in check.sources} >= {"MON-HORSE", "GUPTA-ION"}


def test_without_strength_or_weighing_the_message_says_why_there_is_no_dose() -> None:
    entry = feed("meant_for: [Bos taurus], medicines: [monensin]")
    assert any("no dose" in check.message for check in checks(entry, HORSE))
    unweighed = checks(
        entry.replace("monensin", "monensin 100 mg/kg"), HORSE, animals=("{id: A1}",)
    )
    assert any("no dose" in check.message for check in unweighed)


@given(st.decimals(min_value=0, max_value=1000, places=2))
@settings(max_examples=25, deadline=None)
def test_no_strength_ever_clears_a_medicine_meant_for_others(strength: Decimal) -> None:
    entry = feed(f"meant_for: [Bos taurus], medicines: [monensin {strength:f} mg/kg]")
    assert (BREACH, HIGH, True) in said(checks(entry, DOG))


@pytest.mark.parametrize(
    ("copper", "expected"),
    [
        ("15 mg/kg", KEPT),
        ("15.1 mg/kg", BREACH),
        ("14 to 16 mg/kg", CANNOT_TELL),
    ],
)
def test_copper_for_sheep_at_the_ceiling_and_past_it(copper: str, expected: Verdict) -> None:
    """15 mg/kg of feed: INPR-CU, abstract."""
    entry = feed("meant_for: [Ovis aries], medicines: none", f"moisture: 12 %, copper: {copper}")
    (check,) = (c for c in checks(entry, SHEEP) if c.limit is not None)
    assert (check.verdict, check.severity) == (expected, HIGH)
    assert check.measured is not None
    assert bool(check.animals) is (expected is not KEPT)


def test_copper_that_is_not_written_is_asked_for_unless_the_feed_is_made_for_sheep() -> None:
    assert said(checks(feed("meant_for: [Ovis aries], medicines: none"), SHEEP)) == []
    found = checks(feed("meant_for: [Bos taurus], medicines: none"), SHEEP)
    assert (CANNOT_TELL, MEDIUM, False) in said(found)


def test_no_ceiling_for_goats_is_invented() -> None:
    entry = feed("meant_for: [Capra hircus], medicines: none", "moisture: 12 %, copper: 90 mg/kg")
    verdicts = [check.verdict for check in checks(entry, "Capra hircus")]
    assert NOTHING in verdicts
    assert BREACH not in verdicts


def test_urea_for_horses_for_young_ruminants_and_for_cattle_it_is_made_for() -> None:
    entry = feed("meant_for: [Bos taurus], medicines: none, additives: [feed-grade urea]")
    assert (BREACH, HIGH, False) in said(checks(entry, HORSE))
    assert said(checks(entry, "Bos taurus")) == []
    calf = ("{id: A1, stage: juvenile, weighings: [{on: 2026-11-20, mass: 90 kg}]}",)
    assert said(checks(entry, "Bos taurus", animals=calf)) == [(BREACH, MEDIUM, False)]
    assert (CANNOT_TELL, LOW, False) in said(checks(entry, SHEEP))


def test_a_feed_hidden_in_a_mix_of_a_mix_is_found() -> None:
    foods = records.foods(
        feed=feed(f"{FOR_SHEEP}, medicines: [monensin]"),
        carrot="{same_as: carrot}",
        inner="{mix: {feed: 10 %, carrot: 90 %}}",
        outer="{mix: {inner: 50 %, carrot: 50 %}}",
    )
    found = checks("{same_as: carrot}", HORSE, food="outer", foods=foods)
    assert (BREACH, HIGH, True) in said(found)
    assert {check.food for check in found} == {"feed"}


def test_a_neighbours_feed_is_judged_for_what_is_in_it_and_not_for_its_label() -> None:
    neighbour = {
        "group2": records.group(id="cattle", species="Bos taurus"),
        "sheet2": records.sheet(
            {"nuts": ["{food: nuts, amount: 500 g per animal}"]}, group="cattle"
        ),
        "rota2": records.rota(["{morning: nuts, afternoon: nuts}"] * 2, group="cattle"),
        "group": records.group(species=HORSE),
    }
    for medicines, expected in (("none", []), ("[monensin]", [(BREACH, HIGH, True)])):
        foods = records.foods(
            carrot="{same_as: carrot}",
            feed="{same_as: carrot}",
            nuts=feed(f"meant_for: [Bos taurus], medicines: {medicines}"),
        )
        outcome = outcome_of(
            feed_for_its_species, records.small(**neighbour, foods=foods), records.ON
        )
        assert said(checks_of(outcome, "tapir")) == expected
        assert said(checks_of(outcome, "cattle")) == []


@pytest.mark.parametrize("entry", ["{same_as: carrot}", feed("medicines: none", kind="supplement")])
def test_what_is_no_feed_is_not_asked_for_a_label(entry: str) -> None:
    assert said(checks(entry)) == []


def test_bundled_pellets_are_asked_for_their_label() -> None:
    found = said(checks("{same_as: pellet-grazer-herbivore}"))
    assert found == [(CANNOT_TELL, LOW, False), (CANNOT_TELL, MEDIUM, False)]


@pytest.mark.parametrize("name", ["x", "blue powder", "coccidiostat", "robenidine"])
def test_a_medicine_that_stands_in_no_table_is_still_a_medicine(name: str) -> None:
    assert (BREACH, HIGH, True) in said(checks(feed(f"{FOR_SHEEP}, medicines: [{name}]")))
