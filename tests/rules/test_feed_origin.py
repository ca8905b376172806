"""Where meat comes from, in small diets. Parks, foods and amounts are invented; who is endangered
stands in the rule's own tables with its sources and marks.
"""

from __future__ import annotations

from collections.abc import Sequence

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import feed_origin
from dietcheck_rules.feed_origin.tables import Origin, legal_points, origins
from tests import records

BREACH, CANNOT_TELL, KEPT = Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT
HIGH, MEDIUM, LOW = Severity.HIGH, Severity.MEDIUM, Severity.LOW
TIGER, OTTER, WOLF, EAGLE, RAVEN, MEERKAT, TAPIR, DEER, PIG = (
    "Panthera tigris", "Aonyx cinereus", "Canis lupus", "Aquila chrysaetos", "Corvus corax",
    "Suricata suricatta", "Tapirus terrestris", "Cervus elaphus", "Sus scrofa",
)  # fmt: skip
ZONE = "disease_zone: [{disease: avian influenza, from: 2026-11-18}]"
LIFTED = "disease_zone: [{disease: avian influenza, from: 2026-09-01, until: 2026-11-01}]"
Said = list[tuple[Verdict, Severity]]


def meat(origin: str = "", kind: str = "meat", form: str = "raw", more: str = "") -> str:
    """A food of an animal with this origin."""
    line = f", meat_origin: {origin!r}" if origin else ""
    state = f", form: {form}" if form else ""
    return f"{{class: {kind}, unknown_composition: not needed here{state}{line}{more}}}"


def checks(
    entry: str, species: str = TIGER, *, more: str = "", country: str = "GB", name: str = "food"
) -> tuple[Check, ...]:
    """What the rule says of animals that get this food twice a day."""
    files = {
        "dietcheck": records.settings(more=more).replace("country: GB", f"country: {country}"),
        "group": records.group(species=species),
        "foods": records.foods(**{"carrot": "{same_as: carrot}", name: entry}),
        "sheet": records.sheet(
            {"roots": [f"{{food: {name.replace('_', '-')}, amount: 100 g per animal}}"]}
        ),
    }
    outcome = outcome_of(feed_origin, records.small(**files), records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def said(found: Sequence[Check]) -> Said:
    """Verdict and grade of what is no pass."""
    return [(c.verdict, c.severity) for c in found if c.verdict in (BREACH, CANNOT_TELL)]


@pytest.mark.parametrize(
    "origin",
    ["abattoir, fit for human consumption", "bred as feed, supplier's own colony", "butcher"],
)
def test_meat_of_a_sound_origin_is_kept(origin: str) -> None:
    (check,) = checks(meat(origin))
    assert check.verdict is KEPT


def test_plants_are_not_asked_where_they_come_from() -> None:
    (check,) = checks("{same_as: carrot}", TAPIR)
    assert check.verdict is Verdict.NOT_APPLICABLE


@pytest.mark.parametrize("origin", ["", "Farmer Giles", "not fit for human consumption"])
def test_meat_of_an_origin_that_tells_nothing_is_asked_about(origin: str) -> None:
    assert said(checks(meat(origin))) == [(CANNOT_TELL, LOW)]


def test_a_bundled_name_vouches_for_nothing() -> None:
    """The bundled row is called "Rabbit, farmed, meat (no bone)"."""
    assert said(checks("{same_as: rabbit-meat}")) == [(CANNOT_TELL, LOW)]


@pytest.mark.parametrize("species", [TIGER, WOLF, EAGLE, RAVEN, MEERKAT])
@pytest.mark.parametrize("origin", ["pony, euthanased by vet", "horse put down, pentobarbital"])
def test_an_animal_put_down_with_a_drug_is_high_for_every_animal(species: str, origin: str) -> None:
    assert said(checks(meat(origin), species)) == [(BREACH, HIGH)]


def test_eagles_cite_what_was_read_and_cats_say_that_it_is_from_memory() -> None:
    (eagle,) = checks(meat("horse, euthanased"), EAGLE)
    assert {source.key for source in eagle.sources} >= {"USFWS-PB", "CWHC-PB"}
    (tiger,) = checks(meat("horse, euthanased"), TIGER)
    assert any("memory" in weak for weak in tiger.weak)


@pytest.mark.parametrize(
    ("origin", "expected"),
    [
        ("fallen stock", [(BREACH, HIGH)]),
        ("fallen stock, captive bolt", [(BREACH, HIGH)]),
        ("fallen stock, no medicines", [(BREACH, HIGH)]),
        ("fallen stock, captive bolt, no medicines", []),
        ("fallen stock, not slaughtered, no medicines", [(BREACH, HIGH)]),
        ("road kill", [(BREACH, HIGH)]),
        ("put down by captive bolt, no medicines", []),
    ],
)
def test_fallen_stock_needs_a_statement_of_its_death_and_its_medicines(
    origin: str, expected: Said
) -> None:
    assert said(checks(meat(origin))) == expected


@pytest.mark.parametrize(
    ("origin", "expected"),
    [
        ("", [(BREACH, HIGH)]),
        ("Farmer Giles", [(CANNOT_TELL, MEDIUM)]),
        ("abattoir", []),
    ],
)
def test_a_carcass_without_a_statement_is_high(origin: str, expected: Said) -> None:
    assert said(checks(meat(origin), name="goat_carcass")) == expected


@pytest.mark.parametrize(
    ("species", "severity"),
    [(EAGLE, HIGH), (RAVEN, HIGH), (TIGER, MEDIUM), ("Varanus komodoensis", LOW)],
)
def test_shot_game_is_graded_by_who_eats_it(species: str, severity: Severity) -> None:
    assert said(checks(meat("wild deer, shot"), species)) == [(BREACH, severity)]


@pytest.mark.parametrize(
    "origin",
    ["wild deer, shot with copper bullets", "shot, non-lead ammunition", "shot, lead-free"],
)
def test_game_shot_without_lead_is_kept(origin: str) -> None:
    assert said(checks(meat(origin), EAGLE)) == []


def test_prey_from_pest_control_and_trapped_prey() -> None:
    assert said(checks(meat("pest control, barn", "whole prey"), EAGLE)) == [(BREACH, HIGH)]
    trapped = checks(meat("trapped in the barn", "whole prey"), EAGLE)
    assert said(trapped) == [(CANNOT_TELL, MEDIUM)]
    assert trapped[0].settles


def test_anti_inflammatories_for_vultures() -> None:
    """Gyps: evidence A, NAIDOO-09 and SAVE-CARP."""
    entry = meat("old cow, ketoprofen until the end")
    assert said(checks(entry, "Gyps fulvus")) == [(BREACH, HIGH)]
    assert said(checks(entry, TIGER)) == [(BREACH, LOW)]


@pytest.mark.parametrize(
    ("species", "severity"), [(PIG, HIGH), (DEER, HIGH), ("Rhea americana", HIGH), (TIGER, LOW)]
)
def test_catering_waste_is_caught_in_any_food(species: str, severity: Severity) -> None:
    entry = "{class: bakery, unknown_composition: it varies}"
    assert (BREACH, severity) in said(checks(entry, species, name="kitchen_scraps"))


RAW_CHICK = meat("hatchery", "whole prey", "frozen-thawed", ", organism: Gallus gallus")


@pytest.mark.parametrize("species", [TIGER, OTTER, EAGLE, "Falco peregrinus", "Bubo bubo"])
def test_raw_poultry_in_a_control_zone_is_high_even_frozen(species: str) -> None:
    found = checks(RAW_CHICK, species, more=ZONE)
    assert said(found) == [(BREACH, HIGH)]
    assert any(place.path[:1] == ("disease_zone",) for place in found[0].places)


def test_the_same_chicks_are_kept_where_no_zone_stands() -> None:
    assert said(checks(RAW_CHICK, OTTER)) == []
    assert said(checks(RAW_CHICK, OTTER, more=LIFTED)) == []


@pytest.mark.parametrize(
    ("origin", "form", "expected"),
    [
        ("butcher", "raw", []),
        ("slaughterhouse", "raw", [(BREACH, MEDIUM)]),
        ("slaughterhouse, tested flock", "raw", []),
        ("slaughterhouse", "frozen", []),
        ("slaughterhouse", "cooked", []),
        ("slaughterhouse", "", [(CANNOT_TELL, LOW)]),
    ],
)
def test_outside_a_zone_raw_poultry_needs_a_health_status_or_freezing(
    origin: str, form: str, expected: Said
) -> None:
    assert said(checks(meat(origin, form=form), OTTER, name="chicken_neck")) == expected


def test_in_a_zone_cooking_clears_and_a_paper_does_not() -> None:
    papers = "slaughterhouse, tested flock"
    assert said(checks(meat(papers, form="boiled"), OTTER, more=ZONE, name="chicken")) == []
    assert said(checks(meat(papers), OTTER, more=ZONE, name="chicken")) == [(BREACH, HIGH)]


def test_eggs_count_in_a_zone_only_and_tinned_feed_never() -> None:
    egg = "{same_as: egg-hen}"
    assert said(checks(egg, OTTER, more=ZONE)) == [(BREACH, HIGH)]
    assert said(checks(egg, OTTER)) == []
    tin = meat("poultry by-products, fit for human consumption", "compound feed", "wet")
    assert said(checks(tin, OTTER, more=ZONE)) == []


def test_a_bird_is_known_by_organism_family_or_name_and_beef_is_none() -> None:
    for more in (", organism: Gallus gallus", ", family: Phasianidae"):
        assert said(checks(meat("abattoir", more=more), TIGER, more=ZONE)) == [(BREACH, HIGH)]
    assert said(checks(meat("abattoir"), TIGER, more=ZONE, name="duck_wings")) == [(BREACH, HIGH)]
    assert said(checks(meat("abattoir"), TIGER, more=ZONE, name="beef")) == []


def test_dogs_get_a_low_note_and_others_none() -> None:
    assert said(checks(RAW_CHICK, WOLF, more=ZONE)) == [(BREACH, LOW)]
    assert said(checks(RAW_CHICK, MEERKAT, more=ZONE)) == []


@pytest.mark.parametrize(
    ("entry", "expected"),
    [
        (meat("bred as feed", "whole prey", "live", ", organism: Mus musculus"), [(BREACH, HIGH)]),
        (meat("bred as feed", "fish", "live"), [(BREACH, HIGH)]),
        (meat("bred as feed", "insect", "live"), []),
        (meat("bred as feed", "whole prey", "live", ", also_called: [earthworms]"), []),
        (meat("bred as feed", "whole prey", "not live"), []),
        (meat("bred as feed", "whole prey", "live", ", organism: Acheta domesticus"), []),
    ],
)
def test_live_vertebrates_are_high_and_live_insects_are_not(entry: str, expected: Said) -> None:
    assert said(checks(entry, MEERKAT)) == expected


def test_a_vet_may_accept_live_prey() -> None:
    (check,) = checks(meat("bred as feed", "whole prey", "live"), MEERKAT)
    assert not check.never_accepted


@pytest.mark.parametrize(
    ("country", "expected"),
    [("GB", (BREACH, MEDIUM)), ("FR", (BREACH, MEDIUM)), ("AU", (CANNOT_TELL, LOW))],
)
def test_animal_protein_for_ruminants_goes_by_the_law_that_was_read(
    country: str, expected: tuple[Verdict, Severity]
) -> None:
    found = checks(meat("fishmonger", "fish"), DEER, country=country)
    assert said(found) == [expected]
    assert ("EUR-999" in {source.key for source in found[0].sources}) is (country != "AU")


def test_legal_points_follow_the_country_and_are_never_advice() -> None:
    entry = "{class: bakery, unknown_composition: it varies}"
    for country, expected in (("GB", "UK"), ("US", "US"), ("NZ", "no text for NZ")):
        found = checks(entry, PIG, country=country, name="swill")
        lines = [line for check in found for line in check.working if line.startswith("law")]
        assert lines
        assert all(expected in line and "no legal advice" in line for line in lines)


def test_no_legal_point_from_memory_is_shown() -> None:
    assert {point.seen for point in legal_points()} <= {"original", "reprint"}
    assert all("uperseded" not in point.cited for point in legal_points())


@pytest.mark.parametrize("origin", origins(), ids=lambda origin: origin.id)
def test_every_word_of_every_origin_is_found_and_its_denial_is_not(
    origin: Origin,
) -> None:
    for word in origin.said:
        assert origin.title in " ".join(
            check.about for check in checks(meat(f"abattoir, {word}"), EAGLE)
        ), word
        denied = checks(meat(f"abattoir, not {word}"), EAGLE)
        assert origin.title not in " ".join(check.about for check in denied), word


def test_a_bad_source_hidden_in_a_mix_is_found() -> None:
    files = {
        "group": records.group(species=TIGER),
        "foods": records.foods(
            carrot="{same_as: carrot}",
            pony=meat("pony, euthanased"),
            mince="{mix: {pony: 20 %, carrot: 80 %}}",
        ),
        "sheet": records.sheet({"roots": ["{food: mince, amount: 100 g per animal}"]}),
    }
    found = checks_of(outcome_of(feed_origin, records.small(**files), records.ON), "tapir")
    assert [(check.food, check.severity) for check in found] == [("pony", HIGH)]


@given(st.text(st.characters(categories=["L", "N", "P", "Zs"]), min_size=1, max_size=60))
@settings(max_examples=40, deadline=None)
def test_no_words_about_a_put_down_animal_hide_that_it_was(text: str) -> None:
    """Whatever else is written after it, unless it answers how the animal was killed."""
    origin = f"euthanased; {' '.join(text.split())}".strip()
    if "'" in origin or "\\" in origin or not origin.isprintable():
        return
    answered = any(word in text.casefold() for word in ("bolt", "shot"))
    found = checks(meat(origin))
    assert answered or (BREACH, HIGH) in said(found)
