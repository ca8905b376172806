"""What is told of a batch: the figure found, the same on the limit's basis, and what is missing.

Batches and feeds are invented; limits stand in the rule's table with their sources.
"""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Interval, Standing, exact
from dietcheck_rules.batch_limit.figures import on_basis
from tests.rules.test_batch_limit import (
    BREACH,
    CANNOT_TELL,
    DOG,
    HIGH,
    KEPT,
    LOW,
    MEDIUM,
    RHEA,
    checks,
    feed,
    said,
    site,
)
from tests.rules.told import figures, places


def about(found: tuple[Check, ...], what: str) -> Check:
    """The one check about something."""
    (check,) = [one for one in found if one.about == what]
    return check


CEREAL, SUM, OPEN = "aflatoxin B1 in cereals", "aflatoxins in feed", "substances without a limit"


def test_a_figure_as_fed_is_turned_to_12_per_cent_moisture_and_names_its_batch() -> None:
    """30 µg/kg × 0.88 ÷ 0.90 = 29.3, past the 20 of TOX23-T7; B1 alone is past the American 20."""
    found = checks(feed("basis: as fed, aflatoxin_b1: 30 µg/kg", "grain", "10 %"))
    cereal, all_of_it = about(found, CEREAL), about(found, SUM)
    assert figures(*cereal.working) == "0.03 | 0.03 29.3 12 90 | 20"
    assert ", batch B1, holds 29.3 µg per kg" in cereal.message
    assert "European maximum, TOX23-T7; check your local code" in cereal.message
    assert [note.partition(" is ")[0] for note in cereal.weak] == ["that the maximum"]
    assert places(cereal) == ["sheet roots 0 food", "foods foods food contaminants"]
    assert (len(cereal.occasions), cereal.animals, cereal.settles) == (4, ("A1",), "")
    assert cereal.advice.startswith("Take this batch out of use")
    assert "(at least the aflatoxin B1 in it)" in all_of_it.message
    assert "American guidance" in all_of_it.message
    assert (all_of_it.verdict, all_of_it.weak) == (BREACH, ())
    assert figures(*all_of_it.working[:2]) == "0.03 | "
    assert OPEN not in {check.about for check in found}


def test_a_kept_figure_asks_for_nothing() -> None:
    kept = about(checks(feed("basis: as fed, aflatoxin_b1: 3 µg/kg", "grain")), CEREAL)
    assert (kept.verdict, kept.advice, kept.animals, kept.occasions, kept.places) == (
        KEPT, "", (), (), (),
    )  # fmt: skip
    assert figures(kept.message) == "1 3 1 12 20 23 7"


def test_what_settles_a_figure_is_the_laboratory_or_the_water() -> None:
    wide = about(checks(feed("basis: dry matter, aflatoxin_b1: 10 to 30 µg/kg", "grain")), CEREAL)
    assert (wide.verdict, wide.severity) == (CANNOT_TELL, MEDIUM)
    assert "range" in wide.settles
    assert wide.advice.startswith("Leave the batch shut")
    wet = about(
        checks(
            "{class: grain, label: {basis: as fed, ash: 2 %}, contaminants: {basis: as fed,"
            " aflatoxin_b1: 21 µg/kg, lead: 2 mg/kg, cadmium: 3 mg/kg}}"
        ),
        CEREAL,
    )
    assert wet.settles == "the water in the feed"
    assert len(wet.weak) == 2
    assert '"food" holds' in wet.message


def test_substances_without_a_limit_are_told_together() -> None:
    found = checks(feed("basis: as fed, lead: 2 mg/kg, cadmium: 3 mg/kg, theobromine: 1 mg/kg"))
    check = about(found, OPEN)
    assert (check.verdict, check.severity) == (CANNOT_TELL, LOW)
    assert "cadmium 3 mg per kg; lead 2 mg per kg as fed" in check.message
    assert "theobromine" not in check.message
    assert places(check) == ["foods foods food contaminants", "sheet roots 0 food"]
    assert check.animals == ("A1",)


def test_the_sum_of_aflatoxins_is_the_most_that_b1_can_be() -> None:
    """50 µg/kg of all is past the American 20; at most 50 of B1 clears nothing in cereals."""
    found = checks(feed("basis: as fed, aflatoxins: 50 µg/kg", "grain"))
    assert [check.about for check in found] == [SUM]
    fine = checks(feed("basis: as fed, aflatoxins: 15 µg/kg", "grain"))
    assert [(check.about, check.verdict) for check in fine] == [(SUM, KEPT)]


def test_a_recalled_limit_adds_nothing_to_a_batch_that_is_condemned() -> None:
    bad = checks(feed("basis: as fed, aflatoxin_b1: 35 µg/kg"), DOG)
    assert [check.about for check in bad] == [SUM]
    mild = checks(feed("basis: as fed, aflatoxin_b1: 15 µg/kg"), DOG)
    (recalled,) = [check for check in mild if check.limit and check.limit.seen == "memory"]
    assert (recalled.verdict, recalled.severity) == (BREACH, LOW)
    assert "recalled from memory and not read" in recalled.message


def test_a_limit_of_the_house_is_held_on_its_own_basis() -> None:
    """12 µg/kg as fed ÷ 0.88 = 13.6 of dry matter."""
    limits = site("aflatoxin B1 in cereals", "0.01 mg per kg dry matter")
    found = checks(feed("basis: as fed, aflatoxin_b1: 12 µg/kg", "grain"), limits=limits)
    check = about(found, CEREAL)
    assert (check.verdict, check.severity) == (BREACH, HIGH)
    assert figures(*check.working) == "0.012 | 0.012 0.0136 88 | 0.01"
    assert "site rule of Dr Vale, 2026-01-01" in check.message
    assert (check.weak, [limit.id for limit in check.others]) == ((), ["afl-eu-cereal"])
    odd = about(
        checks(
            feed("basis: as fed, aflatoxin_b1: 12 µg/kg", "grain"),
            limits=site("aflatoxin B1 in cereals", "10 g per animal"),
        ),
        CEREAL,
    )
    assert (odd.verdict, odd.severity, places(odd)) == (CANNOT_TELL, MEDIUM, ["limits limits 0"])


@pytest.mark.parametrize(
    ("most", "verdict"),
    [
        ("2 mg per kg as fed", KEPT),
        ("1.99 mg per kg as fed", BREACH),
        ("0.2 mg per 100 g as fed", KEPT),
        ("0.19 mg per 100 g as fed", BREACH),
        ("2 µg per g as fed", KEPT),
        ("1.9 µg per g as fed", BREACH),
        ("0.002 g per kg as fed", KEPT),
        ("0.0019 g per kg as fed", BREACH),
        ("2000 µg per kg as fed", KEPT),
        ("0.0002 %", KEPT),
        ("0.00019 %", BREACH),
        ("2.27 mg per kg dry matter", BREACH),
        ("2.28 mg per kg dry matter", KEPT),
    ],
)
def test_2_mg_per_kg_in_every_unit_of_a_house_limit(most: str, verdict: object) -> None:
    """At 12 % moisture 2 mg/kg are 2.273 of dry matter."""
    found = checks(feed("basis: as fed, lead: 2 mg/kg"), limits=site("lead in feed", most))
    (check,) = [c for c in found if c.limit and c.limit.standing is Standing.SITE_RULE]
    assert check.verdict is verdict


def test_a_feed_that_may_be_all_water_has_no_upper_end() -> None:
    """10 as fed of 0 to half dry matter: at least 10 × 0.88 ÷ 0.5 = 17.6."""
    found = on_basis(exact(10), "as fed", "12 % moisture", Interval(exact(0).low, exact("0.5").low))
    assert (found.low, found.high.is_finite()) == (exact("17.6").low, False)
    none = on_basis(exact(10), "as fed", "dry matter", exact(0))
    assert none.low == 0
    assert not none.high.is_finite()


def test_a_missing_result_says_whether_the_batch_or_the_figure_lacks() -> None:
    (check,) = checks(feed(""), RHEA)
    assert (check.verdict, check.severity, check.animals) == (CANNOT_TELL, LOW, ("A1",))
    assert "no figure for aflatoxin" in check.message
    assert "contaminants: aflatoxin_b1" in check.advice
    assert places(check) == ["foods foods food", "sheet roots 0 food"]
    nameless = feed("basis: as fed, aflatoxins: 1 µg/kg").replace("batch: B1", "piece: 1 g")
    assert "no batch is named" in about(checks(nameless, RHEA), "aflatoxin of the batch").message
    (rhino,) = checks(feed(""), "Diceros bicornis")
    assert "analysis: vitamin_d" in rhino.advice
    filed = about(
        checks(feed("basis: as fed, aflatoxins: 1 µg/kg"), RHEA), "aflatoxin of the batch"
    )
    assert (filed.verdict, filed.advice, filed.settles, filed.places) == (KEPT, "", "", ())
    unasked = feed("basis: as fed, lead: 1 mg/kg")
    assert about(checks(unasked, RHEA), "aflatoxin of the batch").verdict is CANNOT_TELL
    printed = "{class: compound feed, batch: B1, label: {basis: as fed, vitamin_d3: 250 IU/kg}}"
    assert said(checks(printed, "Diceros bicornis")) == [(CANNOT_TELL, LOW)]


@pytest.mark.parametrize(
    ("name", "kind", "limited"),
    [
        ("food", "grain", True),
        ("oats", "vegetable", True),  # a feed material
        ("linseed", "nut", True),
        ("food", "compound feed", True),
    ],
)
def test_hydrocyanic_acid_has_a_limit_in_each_kind_of_feed(
    name: str, kind: str, limited: bool
) -> None:
    found = checks(feed("basis: as fed, hydrocyanic_acid: 1 mg/kg", kind), name=name)
    assert (OPEN not in {check.about for check in found}) is limited
