"""What is told of iron: of which feed, beside what, at which feeds. Foods are invented; the ceiling
of 100 mg per kg for the pellet is C007 (MSDtoucan); who stores iron stands in the rule's table.
"""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Severity, Verdict, exact
from dietcheck_rules import iron_ceiling
from tests.rules.levels_records import about, findings, food, line, said, verdict
from tests.rules.test_iron_ceiling import HORNBILL, LEMUR, MYNAH, PARROT, TOUCAN, judged, pellet
from tests.rules.told import figures, places


def citrus(checks: tuple[Check, ...]) -> list[Check]:
    """What is said of citrus or vitamin C beside iron."""
    return [check for check in checks if check.about.startswith("citrus")]


def test_each_feed_in_which_citrus_meets_iron_is_named() -> None:
    foods = {"pellet": pellet(40), "sour": "{same_as: orange}", "leaf": food("", "leafy green")}
    found = said(
        iron_ceiling, TOUCAN, foods, [line("leaf"), line("pellet"), line("sour")],
        afternoon=[line("sour"), line("leaf")],
    )  # fmt: skip
    (check,) = citrus(found)
    assert [(when.number, when.slot) for when in check.occasions] == [(1, "morning"),
                                                                      (2, "morning")]  # fmt: skip
    assert places(check) == ["sheet first 2 food"]
    assert "is citrus, given" in check.message
    assert {ref.key for ref in check.sources} == {"Spelman1989", "NRC2003", "NijboerISD",
                                                  "MSDtoucan"}  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "figure", "told"),
    [("supplement", "vitamin_c: 900 mg/kg", True), ("mineral", "vitamin_c: 9 mg/kg", True),
     ("supplement", "vitamin_c: 0 mg/kg", False), ("supplement", "iron: 9 mg/kg", False),
     ("leafy green", "vitamin_c: 900 mg/kg", False)],
)  # fmt: skip
def test_vitamin_c_that_is_added_is_told_and_that_of_greens_is_not(
    kind: str, figure: str, told: bool
) -> None:
    foods = {"pellet": pellet(40), "extra": food(figure, kind)}
    found = citrus(judged(TOUCAN, [line("pellet"), line("extra", "1 g per animal")], **foods))
    assert bool(found) is told
    assert not told or "is added vitamin C, given" in found[0].message


@pytest.mark.parametrize(("kind", "rich"), [("meat", True), ("insect", True), ("nut", False)])
def test_iron_rich_feeds_are_bought_feed_and_animals(kind: str, rich: bool) -> None:
    foods = {"rich": food("iron: 9 mg/kg", kind), "sour": "{same_as: orange}"}
    found = judged(TOUCAN, [line("rich"), line("sour", "1 g per animal")], **foods)
    assert bool(citrus(found)) is rich


def test_an_organism_of_the_record_makes_a_fruit_citrus() -> None:
    foods = {
        "pellet": pellet(40),
        "yuzu": "{class: fruit, organism: Citrus junos, unknown_composition: x}",
        "plain": "{class: fruit, organism: Pyrus communis, unknown_composition: x}",
    }
    lines = [line("pellet"), line("plain", "1 g per animal"), line("yuzu", "1 g per animal")]
    assert [check.food for check in citrus(judged(TOUCAN, lines, **foods))] == ["yuzu"]


def test_the_pellet_itself_is_reckoned_on_its_dry_matter() -> None:
    """60 mg per kg as fed with half water are 120 of dry matter, past 100."""
    wet = "{class: compound feed, analysis: {basis: as fed, moisture: 50 %%, iron: %s mg/kg}}"
    found = judged(HORNBILL, [line("wet")], wet=wet % 60)
    check = about(found, "iron of the pellet itself")
    assert verdict(check) == (Verdict.BREACH, Severity.LOW)
    assert check.measured is not None
    assert check.measured.value == exact(120)
    assert "holds iron 120 mg per kg" in check.message
    assert "the limit for the pellet is at most 100" in check.message
    assert places(check)[:2] == ["foods foods wet", "sheet first 0 food"]
    assert (check.advice != "", check.settles) == (True, "")
    kept = about(judged(HORNBILL, [line("wet")], wet=wet % 50), "iron of the pellet itself")
    assert (kept.verdict, kept.advice, kept.places) == (Verdict.KEPT, "", ())
    assert ", within" not in kept.message.partition(";")[0]
    open_ = about(judged(HORNBILL, [line("wet")], wet=wet % "40 to 60"), "iron of the pellet")
    assert (open_.verdict, "analysis" in open_.settles) == (Verdict.CANNOT_TELL, True)
    assert figures(open_.message.partition(" (")[2].partition("(")[0]) == "80 120 100"


def test_a_silent_pellet_is_told_by_itself_only_where_the_whole_diet_has_no_ceiling() -> None:
    silent = food("crude_protein: 20 %")
    check = about(judged(HORNBILL, [line("pellet")], pellet=silent), "iron of the pellet itself")
    assert verdict(check) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert "iron that nobody states" in check.message
    toucans = judged(TOUCAN, [line("pellet")], pellet=silent)
    assert not [c for c in toucans if c.about == "iron of the pellet itself"]


def test_a_pellet_inside_a_mix_is_looked_at_too() -> None:
    foods = {"pellet": pellet(120), "pear": "{same_as: pear}",
             "mash": "{mix: {pellet: 50 %, pear: 50 %}}"}  # fmt: skip
    check = about(judged(HORNBILL, [line("mash")], **foods), "iron of the pellet itself")
    assert (check.verdict, check.food) == (Verdict.BREACH, "pellet")
    assert places(check) == ["foods foods pellet", "sheet first 0 food", "sheet second 0 food"]


@pytest.mark.parametrize(("species", "told"), [(MYNAH, True), (LEMUR, False), (PARROT, False)])
def test_a_label_is_told_only_where_works_ask_for_each_batch(species: str, told: bool) -> None:
    found = judged(species, [line("pellet")], pellet=pellet(20, "label"))
    checks = [check for check in found if check.about == "iron by the label only"]
    assert bool(checks) is told
    for check in checks:
        assert "Sturnidae store iron" in check.message
        assert places(check) == ["foods foods pellet", "sheet first 0 food", "sheet second 0 food"]
        assert [ref.key for ref in check.sources] == ["NijboerISD"]


HOUSE = (
    "record: limits\nlimits: [{group: tapir, quantity: iron, %s mg per kg dry matter, over: rota,"
    " severity: medium, why: x, set_by: Dr Vale, on: 2026-01-01}]\n"
)


def test_a_published_floor_that_reaches_the_ceiling_is_passed_over_and_named() -> None:
    """Lemurs: the ceiling of 100 (C004, from memory) and the primates' floor of 100 (B053)."""
    found = judged(LEMUR, [line("pellet")], pellet=pellet(50))
    passed = [check for check in found if check.about.startswith("iron floor")]
    assert {check.verdict for check in passed} == {Verdict.NOT_APPLICABLE}
    assert all("its ceiling goes first" in check.message for check in passed)
    parrot = judged(PARROT, [line("pellet")], pellet=pellet(50))
    assert not [check for check in parrot if "goes first" in check.message]


def test_a_floor_of_the_house_is_never_passed_over() -> None:
    limits = HOUSE % "at_least: 200"
    found = said(iron_ceiling, LEMUR, {"pellet": pellet(50)}, [line("pellet")], limits=limits)
    own = [check for check in findings(found) if check.limit and check.limit.set_by]
    assert [check.verdict for check in own] == [Verdict.BREACH]


def test_a_pellet_whose_iron_is_a_range_is_settled_by_an_analysis() -> None:
    found = judged(HORNBILL, [line("pellet")], pellet=pellet("40 to 400"))
    (check,) = [one for one in found if one.about == "iron of the pellet itself"]
    assert (check.verdict, "pellet" in check.settles) == (Verdict.CANNOT_TELL, True)
    assert places(check)[0] == "foods foods pellet"
