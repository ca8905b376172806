"""What is told of a feed for others: the dose on the worst plate, whom it is made for, what settles
it. Feeds and amounts are invented; doses and ceilings stand in the rule's own tables.
"""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Verdict
from tests import records
from tests.rules.test_feed_for_its_species import (
    BREACH,
    CANNOT_TELL,
    DOG,
    FOR_IT,
    FOR_SHEEP,
    HIGH,
    HORSE,
    KEPT,
    LOW,
    MEDIUM,
    NOTHING,
    SHEEP,
    checks,
    feed,
    said,
)
from tests.rules.told import figures, places

FOR_HENS = "meant_for: [Gallus gallus]"


def weighed(name: str, kg: object, more: str = "") -> str:
    """An animal weighed lately."""
    return f"{{id: {name}, weighings: [{{on: 2026-11-20, mass: {kg} kg}}]{more}}}"


def about(found: tuple[Check, ...], what: str) -> Check:
    """The one check about something."""
    (check,) = [one for one in found if one.about.startswith(what)]
    return check


def test_a_medicine_is_reckoned_for_the_lightest_horse_and_held_against_horses_doses() -> None:
    """1000 g × 125 mg/kg ÷ 200 kg = 0.625 mg/kg: 45.3 % of the lowest LD50 of 1.38 (MON-HORSE); in
    the feed 103 % of the 121 mg/kg that poisoned horses."""
    horses = (weighed("A", 400), "{id: B}", weighed("C", 200), weighed("D", 300))
    entry = feed(f"{FOR_HENS}, medicines: [monensin 125 mg/kg]")
    found = checks(entry, HORSE, animals=horses, amount="500 g per animal")
    check = about(found, "monensin")
    assert (check.verdict, check.severity, check.never_accepted) == (BREACH, HIGH, True)
    assert figures(check.message) == "125 0.625"
    assert figures(*check.working[1:]) == "125 103 121 | 1000 125 200 0.625 | 45.3 1.38 50"
    assert check.working[2].startswith("C:")
    assert "Horse" in check.working[1]
    assert "heart and skeletal muscle" in check.message
    assert check.weak == ()
    assert {ref.key for ref in check.sources} == {"MON-HORSE", "GUPTA-ION"}
    assert places(check) == ["sheet roots 0 food", "foods foods feed medicines"]
    label = about(found, "label")
    assert label.animals == ("A", "B", "C", "D")
    assert "They get up to 1000 g a day for A." in label.message
    assert places(label)[-1] == "foods foods feed meant_for"


def test_where_no_kin_was_dosed_the_lowest_of_all_is_held_against_it() -> None:
    """0.1 g/kg is 100 mg/kg: 82.6 % of the 121 for horses; sheep have an LD50 of 12 from memory."""
    entry = feed("medicines: [monensin 0.1 g/kg]")
    found = checks(entry, SHEEP, animals=(weighed("A", 50),), amount="500 g per animal")
    check = about(found, "monensin")
    assert check.verdict is CANNOT_TELL
    assert figures(*check.working[1:]) == "100 82.6 121 | 1000 100 50 2 | 16.7 12 50"
    assert "for which animals it is made is not known" in check.message
    assert "meant_for" in check.settles
    assert [note.partition(" ")[0] for note in check.weak] == ["that"]


def test_doses_of_another_medicine_are_not_held_against_it() -> None:
    """Only monensin and lasalocid have doses; lasalocid was fatal to cattle at 50 mg per kg."""
    medicines = "medicines: [salinomycin 60 mg/kg, lincomycin 44 mg/kg, lasalocid 90 mg/kg]"
    found = checks(feed(f"{FOR_HENS}, {medicines}"))
    assert figures(*about(found, "salinomycin").working[1:]) == "1 100 60 15 0.4"
    assert figures(*about(found, "lincomycin").working) == "1 100 44 15 0.293"
    assert about(found, "lincomycin").weak == ()
    assert figures(*about(found, "lasalocid").working[1:]) == "1 100 90 15 0.6 | 1.2 50"
    assert "Harmful to" not in about(found, "salinomycin").message  # no kin has died of it


def test_an_animal_that_may_weigh_nothing_is_passed_over_for_the_next() -> None:
    animals = ("{id: A, weighings: [{on: 2026-11-20, mass: 0 to 1 kg}]}", weighed("B", 10))
    entry = feed(f"{FOR_HENS}, medicines: [monensin 10 mg/kg]")
    (_, check) = checks(entry, animals=animals)
    assert figures(check.message) == "10 0.1"
    entry = feed("medicines: [lincomycin 10 mg/kg], meant_for: [Notamacropus rufogriseus]")
    (order,) = checks(entry, animals=animals)
    assert (order.verdict, order.severity, order.never_accepted) == (CANNOT_TELL, MEDIUM, False)
    assert "written order" in order.settles


def test_what_is_not_said_of_medicines_tells_whose_kin_has_died() -> None:
    found = checks(feed(FOR_HENS), DOG, animals=("{id: B}",))
    check = about(found, "medicines in the feed")
    assert (check.verdict, check.severity, check.never_accepted) == (CANNOT_TELL, HIGH, True)
    assert "Ionophores kill dogs" in check.message
    assert "made for Gallus gallus" in check.message
    assert "nothing is written about it" in check.message
    assert "100 g a day for B" in check.message
    assert [ref.key for ref in check.sources] == ["MON-LAB"]
    assert check.weak == ()
    unknown = about(checks(feed("medicines: unknown")), "medicines in the feed")
    assert "that is unknown" in unknown.message
    assert "nobody knows whom" in unknown.message
    assert (unknown.sources, unknown.weak, unknown.working) == ((), (), ())
    own = about(checks(feed(f"{FOR_IT}, medicines: unknown")), "medicines in the feed")
    assert "made for them" in own.message
    assert not own.never_accepted
    deer = about(checks(feed(FOR_HENS), "Cervus elaphus"), "medicines in the feed")
    assert [note.partition(",")[0] for note in deer.weak] == [
        "that deer take harm was read as memory"
    ]


def test_names_near_to_those_of_the_label_are_offered_once() -> None:
    found = checks(feed("meant_for: [Ovis arie, Ovis ariess, Equus caballus], medicines: none"))
    check = about(found, "label")
    assert (check.verdict, check.severity) == (CANNOT_TELL, MEDIUM)
    assert "made for Ovis arie, Ovis ariess, not" in check.message
    assert check.advice.count("Ovis aries") == 1


def test_urea_is_asked_about_for_grown_ruminants_of_another_label() -> None:
    entry = feed("meant_for: [Bos taurus], medicines: none, additives: [zinc oxide, urea]")
    flock = (weighed("A", 50), weighed("Y", 9, ", stage: juvenile"))
    young = about(checks(entry, SHEEP, animals=flock), "urea")
    assert (young.verdict, young.severity, young.settles) == (BREACH, MEDIUM, "")
    assert "call the vet" in young.advice
    assert len(young.weak) == 1
    grown = about(checks(entry, SHEEP, animals=flock[:1]), "urea")
    assert (grown.verdict, grown.severity) == (CANNOT_TELL, LOW)
    assert "used to urea" in grown.settles
    assert places(grown) == ["sheet roots 0 food", "foods foods feed additives"]
    for_them = feed("meant_for: [Ovis aries], medicines: none, additives: [urea]")
    assert said(checks(for_them, SHEEP, animals=flock[:1])) == []


def test_copper_as_a_range_is_settled_by_one_figure_and_kept_copper_asks_nothing() -> None:
    entry = feed("meant_for: [Ovis aries], medicines: none", "moisture: 12 %, copper: COPPER mg/kg")
    across = about(checks(entry.replace("COPPER", "10 to 40"), SHEEP), "copper")
    assert "one figure" in across.settles
    assert (figures(*across.working), len(across.occasions)) == ("10 40 15", 4)
    kept = about(checks(entry.replace("COPPER", "9"), SHEEP), "copper")
    assert (kept.verdict, kept.advice, kept.places, kept.occasions) == (KEPT, "", (), ())
    premix = feed("medicines: none, meant_for: [Bos taurus]", "moisture: 1 %", "supplement")
    assert not [c for c in checks(premix, SHEEP) if c.about.startswith("copper")]


@pytest.mark.parametrize(
    ("entry", "asked"),
    [
        (feed("name: chick crumbs", kind="grain"), True),
        (feed("name: monensin premix", kind="grain"), True),
        (feed("name: Crumbs without monensin", kind="grain"), False),
        (feed("name: barley", kind="grain"), False),
        (feed("medicines: none", kind="grain"), False),
        (feed("name: wormer nuts", kind="medicine"), False),
        (feed(f"{FOR_SHEEP}, medicines: none", kind="grain"), True),
    ],
)
def test_a_feed_is_known_by_its_class_its_name_or_what_its_record_says(
    entry: str, asked: bool
) -> None:
    found = checks(entry)
    assert bool(said(found)) is asked
    assert {c.verdict for c in found} <= {KEPT, NOTHING} or asked


def test_feeds_of_which_nothing_stands_against_any_are_counted() -> None:
    fine = feed(f"{FOR_IT}, medicines: none")
    foods = records.foods(feed=fine, other=fine, mash="{mix: {feed: 50 %, other: 50 %}}")
    (check,) = checks("", food="mash", foods=foods)
    assert (check.verdict, figures(check.message)) == (Verdict.KEPT, "2")


def test_a_medicine_beside_the_additives_hides_none_of_them() -> None:
    entry = feed(f"{FOR_SHEEP}, medicines: none, additives: [urea, nicarbazin 90 mg/kg, monensin]")
    found = checks(entry, HORSE)
    assert about(found, "nicarbazin").severity is HIGH
    assert about(found, "monensin").severity is HIGH
    assert about(found, "urea").severity is HIGH
