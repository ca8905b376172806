"""Iron of whole diets and of pellets. Foods are invented; limits are named where they count."""

from __future__ import annotations

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck_rules import iron_ceiling
from tests.rules.levels_records import about, findings, food, in_the_park, line, said, verdict

TOUCAN = "Ramphastos toco"
MYNAH = "Leucopsar rothschildi"
HORNBILL = "Buceros bicornis"
LEMUR = "Lemur catta"
PARROT = "Psittacus erithacus"
BLANK = food("crude_protein: 20 %")
RANK = [Verdict.KEPT, Verdict.CANNOT_TELL, Verdict.BREACH]


def pellet(iron: object, table: str = "analysis") -> str:
    """A dry pellet with so much iron, mg per kg."""
    return food(f"iron: {iron} mg/kg", table=table)


def judged(species: str, lines: list[str], **foods: str) -> tuple[Check, ...]:
    """What the rule says."""
    return said(iron_ceiling, species, foods, lines)


@pytest.mark.parametrize(
    ("iron", "expected"),
    [
        (50, (Verdict.KEPT, Severity.LOW)),
        ("50.001", (Verdict.BREACH, Severity.LOW)),
        (65, (Verdict.BREACH, Severity.LOW)),
        ("65.001", (Verdict.BREACH, Severity.MEDIUM)),
    ],
)
def test_softbills_have_a_target_and_a_warning(
    iron: object, expected: tuple[Verdict, Severity]
) -> None:
    """C006, NijboerISD: 50 to 65 mg per kg dry matter; 50 as the target, 65 as the warning."""
    check = about(judged(TOUCAN, [line("pellet")], pellet=pellet(iron)), "iron ceiling")
    assert verdict(check) == expected
    assert check.others


def test_the_stricter_figure_for_mynahs_applies() -> None:
    """C005: 25. The songbird floor of 80 (B098a) gives way and is named."""
    checks = judged(MYNAH, [line("pellet")], pellet=pellet(26))
    check = about(checks, "iron ceiling")
    assert verdict(check) == (Verdict.BREACH, Severity.MEDIUM)
    assert {other.at_most for other in check.others} == {50, 65}
    passed = about(checks, "iron floor b098a")
    assert passed.verdict is Verdict.NOT_APPLICABLE
    assert "ExpertPanel1998" in passed.message


def test_in_lemurs_the_ceiling_goes_before_the_primate_floor() -> None:
    """C004, 100 from memory, against the floor of 100 (B053): never both at once."""
    for iron, expected in ((90, Verdict.KEPT), (100, Verdict.KEPT), (110, Verdict.BREACH)):
        checks = judged(LEMUR, [line("pellet")], pellet=pellet(iron))
        check = about(checks, "iron ceiling")
        assert verdict(check) == (expected, Severity.LOW)
        assert "from memory, check before use" in check.message
        assert not [c for c in findings(checks) if "floor" in c.about]


def test_who_does_not_store_iron_is_held_to_the_floor() -> None:
    check = about(judged(PARROT, [line("pellet")], pellet=pellet(79, "label")), "iron floor")
    assert verdict(check) == (Verdict.BREACH, Severity.LOW)
    check = about(judged(PARROT, [line("pellet")], pellet=pellet(80, "label")), "iron floor")
    assert check.verdict is Verdict.KEPT


def test_a_pellet_that_says_nothing_is_never_taken_for_low() -> None:
    foods = {"pellet": BLANK, "pear": "{same_as: pear}"}
    (check,) = findings(judged(TOUCAN, [line("pellet"), line("pear")], **foods))
    assert verdict(check) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert "pellet" in check.settles
    (check,) = findings(judged(HORNBILL, [line("pellet")], pellet=BLANK))
    assert verdict(check) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert check.food == "pellet"


def test_produce_that_says_nothing_is_low() -> None:
    foods = {"pellet": pellet(20), "leaf": food("crude_protein: 2 %", "leafy green")}
    (check,) = findings(judged(TOUCAN, [line("pellet"), line("leaf")], **foods))
    assert verdict(check) == (Verdict.CANNOT_TELL, Severity.LOW)


@pytest.mark.parametrize(("iron", "expected"), [(100, Verdict.KEPT), (101, Verdict.BREACH)])
def test_the_pellet_has_a_ceiling_of_its_own(iron: int, expected: Verdict) -> None:
    """C007, MSDtoucan: at most 100 mg per kg; basis not stated, so low."""
    checks = judged(HORNBILL, [line("pellet")], pellet=pellet(iron))
    assert verdict(about(checks, "iron of the pellet itself")) == (expected, Severity.LOW)


def test_a_label_is_not_an_analysis() -> None:
    checks = judged(TOUCAN, [line("pellet")], pellet=pellet(40, "label"))
    check = about(checks, "iron by the label only")
    assert verdict(check) == (Verdict.BREACH, Severity.LOW)
    assert not findings(judged(TOUCAN, [line("pellet")], pellet=pellet(40)))


@pytest.mark.parametrize("name", ["orange", "clementine", "juice-orange", "lemon"])
def test_citrus_beside_the_pellet_is_noted(name: str) -> None:
    foods = {"pellet": pellet(40), "sour": f"{{same_as: {name}}}"}
    check = about(
        judged(TOUCAN, [line("pellet"), line("sour", "1 g per animal")], **foods), "citru"
    )
    assert verdict(check) == (Verdict.BREACH, Severity.LOW)
    assert check.food == "sour"
    assert "Spelman1989" in check.message
    assert "common practice, no source" in check.advice


def test_citrus_in_another_feed_or_inside_a_mix() -> None:
    foods = {
        "pellet": pellet(40),
        "sour": "{same_as: orange}",
        "salad": "{mix: {sour: 50 %, pear: 50 %}}",
        "pear": "{same_as: pear}",
    }
    apart = said(iron_ceiling, TOUCAN, foods, [line("pellet")], afternoon=[line("sour")])
    assert not [check for check in findings(apart) if check.about.startswith("citrus")]
    mixed = judged(TOUCAN, [line("pellet"), line("salad", "1 g per animal")], **foods)
    assert about(mixed, "citrus").food == "salad"


def test_citrus_is_no_matter_of_iron_for_others() -> None:
    foods = {"pellet": pellet(120, "label"), "sour": "{same_as: orange}"}
    checks = judged(PARROT, [line("pellet"), line("sour", "1 g per animal")], **foods)
    assert not findings(checks)


def test_prone_without_a_figure_is_said_so() -> None:
    (check,) = judged("Tapirus terrestris", [line("pellet")], pellet=pellet(900))
    assert check.verdict is Verdict.NOT_APPLICABLE
    assert "limit not yet sourced" in check.message
    assert "prone" in check.message


def test_the_toucans_of_the_park() -> None:
    """The good sheet is silent. The general pellet leaves iron open, and there is orange."""
    assert not findings(in_the_park(iron_ceiling, "toucan"))
    found = findings(in_the_park(iron_ceiling, "toucan", "b04-toucan-pellet-and-orange"))
    by_food = {check.food: verdict(check) for check in found}
    assert by_food == {
        None: (Verdict.CANNOT_TELL, Severity.MEDIUM),
        "orange": (Verdict.BREACH, Severity.LOW),
    }
    (untold,) = [check for check in found if check.food is None]
    assert untold.settles.startswith("iron of softbill-pellet")


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 200), st.integers(0, 200))
def test_more_iron_never_turns_a_breach_into_a_pass(iron: int, more: int) -> None:
    first = about(judged(TOUCAN, [line("pellet")], pellet=pellet(iron)), "iron ceiling")
    second = about(judged(TOUCAN, [line("pellet")], pellet=pellet(iron + more)), "iron ceiling")
    assert RANK.index(first.verdict) <= RANK.index(second.verdict)
