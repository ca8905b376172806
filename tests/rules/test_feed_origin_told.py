"""What is told of an origin: who takes harm, the law to look at, what settles it. Foods and origins
are invented; rows and legal texts stand in the rule's own tables with their sources.
"""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck_rules.feed_origin.words import says, split_clauses
from tests.rules.test_feed_origin import (
    DEER,
    EAGLE,
    OTTER,
    RAW_CHICK,
    TIGER,
    ZONE,
    checks,
    meat,
    said,
)
from tests.rules.told import figures, places

BREACH, UNSURE = Verdict.BREACH, Verdict.CANNOT_TELL
HIGH, MEDIUM, LOW = Severity.HIGH, Severity.MEDIUM, Severity.LOW


def one(entry: str, species: str = TIGER, **more: str) -> Check:
    """The one thing that is said of a food."""
    (check,) = checks(entry, species, **more)
    return check


def law(check: Check) -> list[str]:
    """Whose legal texts a check names."""
    return [
        step.partition(": ")[0].removeprefix("law to check, ")
        for step in check.working
        if step.startswith("law")
    ]


def test_a_drugged_carcass_tells_who_takes_harm_and_how_that_is_known() -> None:
    """Eagles: USFWS-PB and CWHC-PB were read; cats stand in the table from memory."""
    eagle = one(meat("horse, euthanased"), EAGLE)
    assert "a danger to hawks, eagles, vultures (eagles)" in eagle.message
    assert eagle.working[0].endswith("evidence B, USFWS-PB, CWHC-PB, read as original")
    assert eagle.weak == ()
    assert law(eagle) == ["UK (Wales)", "UK (England)"]
    assert figures(*eagle.working[1:]) == "2011 5 2011 | 1069 2009 142 2011"
    assert {ref.key for ref in eagle.sources} == {
        "USFWS-PB", "CWHC-PB", "WSI-2011", "DEFRA-DEROG",
    }  # fmt: skip
    assert places(eagle) == ["sheet roots 0 food", "foods foods food meat_origin"]
    assert len(eagle.occasions) == 4
    tiger = one(meat("horse, euthanased"), country="FR")
    assert "no source read, read as memory" in tiger.working[0]
    assert len(tiger.weak) == 1
    assert law(tiger) == ["EU"]
    lizard = one(meat("wild deer, shot"), "Varanus komodoensis")
    assert "stand in no row" in lizard.message
    assert (lizard.working, lizard.weak, lizard.sources) == ((), (), ())


def test_what_is_missing_of_fallen_stock_is_named() -> None:
    half = one(meat("fallen stock, captive bolt"), country="US")
    assert "which medicines" in half.settles
    assert "how it died" not in half.settles
    assert law(half) == ["law"]  # no text for the US was read
    whole = one(meat("fallen stock"))
    assert "how it died or was killed nor which medicines" in whole.message
    assert " and which medicines" in whole.settles
    by_name = one(meat(), name="road_kill")
    assert 'is "road kill"' in by_name.message


def test_a_carcass_or_meat_of_an_origin_that_tells_nothing_quotes_it() -> None:
    bare = one(meat(), name="goat_carcass")
    assert "it is not written where it comes from" in bare.message
    assert places(bare)[-1] == "foods foods goat-carcass"
    vague = one(meat("Farmer Giles"), name="goat_carcass")
    assert '"Farmer Giles" does not tell where' in vague.message
    assert law(vague) == ["UK (Wales)", "UK (England)"]
    plain = one(meat("Farmer Giles"))
    assert '"Farmer Giles" does not tell whether' in plain.message
    assert "not written" in one(meat()).message
    assert law(plain) == []


FLU = "disease_zone: [{disease: avian influenza, from: %s}]"
MAYBE = meat("hatchery", "meat", "", ", organism: Gallus gallus")


def test_poultry_in_a_zone_is_told_with_its_first_day() -> None:
    raw = one(RAW_CHICK, EAGLE, more=ZONE)
    assert "since 2026-11-18" in raw.message
    assert "kills hawks, eagles, vultures: pneumonia" in raw.message
    assert (raw.settles, len(raw.weak)) == ("", 2)
    assert places(raw)[1] == "dietcheck disease_zone 0"
    today = one(RAW_CHICK, EAGLE, more=FLU % "2026-11-25")
    assert "since 2026-11-25" in today.message
    soon = one(MAYBE, EAGLE, more=FLU % "2026-12-18")
    assert (soon.verdict, soon.severity) == (UNSURE, MEDIUM)
    assert "perhaps raw" in soon.message
    assert "from 2026-12-18" in soon.message
    assert "form" in soon.settles
    assert law(one(RAW_CHICK, EAGLE, more=ZONE, country="US")) == ["US"]


def test_poultry_of_unknown_health_is_settled_by_the_flock_or_by_how_it_is_fed() -> None:
    raw = one(meat("slaughterhouse", "meat", "raw", ", organism: Gallus gallus"), OTTER)
    assert (raw.verdict, raw.severity) == (BREACH, MEDIUM)
    assert " is raw poultry" in raw.message
    assert "health status" in raw.settles
    maybe = one(meat("slaughterhouse", "meat", "", ", organism: Gallus gallus"), OTTER)
    assert (maybe.verdict, maybe.severity) == (UNSURE, LOW)
    assert "perhaps raw" in maybe.message
    assert "raw or cooked" in maybe.settles
    assert law(maybe) == ["law"]


def test_live_prey_and_protein_for_ruminants_name_the_law_that_was_read() -> None:
    live = one(meat("bred as feed", "whole prey", "live"))
    assert (live.severity, law(live), len(live.weak)) == (HIGH, ["UK"], 1)
    read = one(meat("abattoir"), DEER)
    assert (read.verdict, read.severity, read.settles) == (BREACH, MEDIUM, "")
    assert "that was read bars it" in read.message
    assert law(read) == ["EU and retained UK"]
    unread = one(meat("abattoir"), DEER, country="NZ")
    assert (unread.verdict, unread.severity) == (UNSURE, LOW)
    assert "none was read for NZ" in unread.message
    assert unread.settles == "the feed law of NZ"


@pytest.mark.parametrize(
    ("entry", "asked"),
    [
        (meat("bred as feed", "whole prey", "live", ", organism: Gallus gallus"), True),
        (meat("bred as feed", "whole prey", "live", ", organism: Acheta domesticus"), False),
        (meat("bred as feed", "whole prey", "live", ", name: live crickets"), False),
        (meat("bred as feed", "whole prey", "live", ", name: live rats"), True),
        (meat("", "insect", "live"), False),
        ("{class: vegetable, unknown_composition: none, name: living cress}", False),
    ],
)
def test_only_vertebrates_fed_alive_are_live_prey(entry: str, asked: bool) -> None:
    found = [c for c in checks(entry) if c.about.startswith("live")]
    assert bool(found) is asked


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("shot", True),
        ("not shot", False),
        ("not at all shot", False),
        ("never ever was shot", False),
        ("never once ever was shot", True),
        ("shot free", False),
        ("no, shot", True),
        ("no deer, but shot", True),
        ("unshot", False),
        ("deer shot", True),
        ("not shot here; shot there", True),
        ("shot and shot free", True),
    ],
)
def test_a_denial_reaches_two_words_far_and_not_past_its_clause(text: str, told: bool) -> None:
    assert bool(says(split_clauses(text), ("shot",))) is told


def test_foods_against_which_nothing_stands_are_counted() -> None:
    kept = one(meat("abattoir"))
    assert (kept.verdict, figures(kept.message), said((kept,))) == (Verdict.KEPT, "1", [])


def test_shot_vegetables_are_no_fallen_animals_and_kitchen_waste_is_waste() -> None:
    plant = "{class: vegetable, unknown_composition: none, name: 'lettuce, shot'}"
    assert checks(plant)[0].verdict is Verdict.NOT_APPLICABLE
    unclassed = "{class: other, unknown_composition: none, name: fallen deer}"
    assert said(checks(unclassed)) == [(BREACH, HIGH)]
