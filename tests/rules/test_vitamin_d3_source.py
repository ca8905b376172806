"""Vitamin D and D3 of whole diets. Foods are invented; limits are named where they count."""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.quantities import exact
from dietcheck_rules import vitamin_d3_source
from tests.rules.levels_records import about, findings, food, in_the_park, line, said, verdict

MARMOSET = "Callithrix jacchus"
DRAGON = "Pogona vitticeps"
PARROT = "Psittacus erithacus"
CAT = "Felis catus"


def pellet(amount: object, name: str = "vitamin_d3") -> str:
    """A dry pellet with so much vitamin D, IU per kg, under the name its label prints."""
    return food(f"{name}: {amount} IU/kg")


def judged(species: str, lines: list[str], **foods: str) -> tuple[Check, ...]:
    """What the rule says."""
    return said(vitamin_d3_source, species, foods, lines)


@pytest.mark.parametrize(("amount", "expected"), [(2500, Verdict.KEPT), (2499, Verdict.BREACH)])
def test_primates_have_a_floor_of_d3(amount: int, expected: Verdict) -> None:
    """B061, NRC2003 Table 11-2 by reprint: 2500 IU per kg dry matter."""
    check = about(judged(MARMOSET, [line("pellet")], pellet=pellet(amount)), "vitamin D3 floor")
    assert verdict(check) == (expected, Severity.MEDIUM)


def test_a_label_that_only_says_vitamin_d_leaves_d3_open() -> None:
    checks = judged(MARMOSET, [line("pellet")], pellet=pellet(5000, "vitamin_d"))
    assert about(checks, "vitamin D floor").verdict is Verdict.KEPT
    check = about(checks, "vitamin D3 floor")
    assert check.verdict is Verdict.CANNOT_TELL
    assert check.measured is not None
    assert check.measured.value.low == 0
    assert check.measured.value.high == 5000
    assert "pellet" in check.settles


def test_mushrooms_are_no_source_of_d3_that_can_be_relied_on() -> None:
    """SR28 gives oyster mushrooms 0.7 µg vitamin D in all, 2593 IU per kg dry matter."""
    checks = judged(MARMOSET, [line("mushroom")], mushroom="{same_as: mushroom-oyster}")
    check = about(checks, "vitamin D3 floor")
    assert verdict(check) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert check.measured is not None
    assert check.measured.value.low == 0
    assert check.measured.value.high > 2500
    assert about(checks, "vitamin D floor").verdict is Verdict.KEPT


def test_a_diet_without_any_is_told_outright() -> None:
    check = about(judged(MARMOSET, [line("pear")], pear="{same_as: pear}"), "vitamin D3 floor")
    assert verdict(check) == (Verdict.BREACH, Severity.MEDIUM)
    assert check.measured is not None
    assert check.measured.value == exact(0)


def test_a_feed_that_states_nothing_is_asked_for() -> None:
    foods = {"pellet": food("crude_protein: 20 %"), "pear": "{same_as: pear}"}
    (check,) = findings(judged(MARMOSET, [line("pellet"), line("pear")], **foods))
    assert check.verdict is Verdict.CANNOT_TELL
    assert "vitamin_d of pellet" in check.settles


def test_light_may_make_up_for_what_a_reptile_does_not_eat() -> None:
    """B117, MSDrept: 500 to 1000 IU D3 per kg dry matter; no record holds lamps or sun."""
    check = about(judged(DRAGON, [line("pellet")], pellet=pellet(100)), "vitamin D3 floor")
    assert verdict(check) == (Verdict.CANNOT_TELL, Severity.LOW)
    assert "UV-B" in check.message
    assert "UV-B" in check.settles
    check = about(judged(DRAGON, [line("pellet")], pellet=pellet(1001)), "vitamin D3 ceiling")
    assert verdict(check) == (Verdict.BREACH, Severity.LOW)
    assert not findings(judged(DRAGON, [line("pellet")], pellet=pellet(700)))


def test_birds_are_held_both_ways_on_dry_matter_and_low() -> None:
    """B089, ExpertPanel1998: 500 to 2000 IU per kg, basis open."""
    for amount, side in ((499, "vitamin D3 floor"), (2001, "vitamin D3 ceiling")):
        check = about(judged(PARROT, [line("pellet")], pellet=pellet(amount)), side)
        assert verdict(check) == (Verdict.BREACH, Severity.LOW)
        assert "basis not stated" in check.message


def test_the_cat_table_counts_both_forms() -> None:
    """B145b 500 and B145c 10000 IU per kg dry matter, vitamin D."""
    checks = judged(CAT, [line("pellet")], pellet=pellet(600, "vitamin_d"))
    assert not findings(checks)
    check = about(judged(CAT, [line("pellet")], pellet=pellet(10001)), "vitamin D ceiling")
    assert verdict(check) == (Verdict.BREACH, Severity.MEDIUM)


def test_guinea_pigs_have_a_floor_printed_by_mass() -> None:
    """B169b: 0.025 mg per kg of a diet of 90 % dry matter is 1111 IU per kg dry matter."""
    for amount, expected in ((1112, Verdict.KEPT), (1110, Verdict.BREACH)):
        checks = judged("Cavia porcellus", [line("pellet")], pellet=pellet(amount))
        assert about(checks, "vitamin D floor").verdict is expected


def test_the_park() -> None:
    """Marmosets get labelled D3; the dragons' crickets state none, and light is unknown: low."""
    marmosets = in_the_park(vitamin_d3_source, "marmoset")
    assert {check.verdict for check in marmosets} == {Verdict.KEPT}
    dragons = findings(in_the_park(vitamin_d3_source, "bearded-dragon"))
    assert {verdict(check) for check in dragons} == {(Verdict.CANNOT_TELL, Severity.LOW)}
    assert all("crickets" in check.settles and "UV-B" in check.settles for check in dragons)


def test_d3_in_a_mix_counts_by_the_share_of_what_brings_it() -> None:
    """A tenth of a feed with 25,000 IU per kg dry matter: 2500 exactly, B061."""
    rich, bare = pellet(25_000), pellet(0)
    lines = [line("mash")]
    for share, expected in (("10 %", Verdict.KEPT), ("9 %", Verdict.BREACH)):
        rest = {"10 %": "90 %", "9 %": "91 %"}[share]
        mash = f"{{mix: {{rich: {share}, bare: {rest}}}}}"
        checks = judged(MARMOSET, lines, rich=rich, bare=bare, mash=mash)
        assert about(checks, "vitamin D3 floor").verdict is expected
