"""Nobody decides a gap: holes, animals without food, doubles. All records are invented."""

from __future__ import annotations

from datetime import date

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of, report_of
from dietcheck_rules import rota_complete
from tests import records

FULL = "{morning: roots, afternoon: roots}"
CARROT = "{food: carrot, amount: 600 g per animal}"


def said(on: date = records.ON, **changes: str) -> tuple[Check, ...]:
    """What the rule says of the small park with some files changed."""
    return checks_of(outcome_of(rota_complete, records.small(**changes), on), "tapir")


def found(on: date = records.ON, **changes: str) -> list[tuple[str, Severity]]:
    """The first word of each breach, with its level."""
    return [
        (check.about.partition(":")[0], check.severity)
        for check in said(on, **changes)
        if check.verdict is Verdict.BREACH
    ]


def test_a_full_rota_is_kept() -> None:
    (check,) = said()
    assert check.verdict is Verdict.KEPT


def test_an_empty_feed_is_a_hole_with_its_day_and_feed() -> None:
    (check,) = said(rota=records.rota([FULL, "{morning: roots}"]))
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.HIGH)
    assert {(when.number, when.slot) for when in check.occasions} == {(2, "afternoon")}
    assert "roots" in check.advice
    assert "day 2 of the rota" in check.message


def test_a_planned_fast_and_a_feed_left_out_on_purpose_are_no_holes() -> None:
    days = ["{fast: planned}", "{morning: roots, afternoon: no feed}"]
    assert not found(rota=records.rota(days))


def test_a_misspelt_meal_is_one_finding_and_the_nearest_is_offered() -> None:
    files = records.small(rota=records.rota(["{morning: rots, afternoon: roots}"] * 2))
    (finding,) = outcome_of(rota_complete, files, records.ON).findings
    assert finding.severity is Severity.HIGH
    assert {when.number for when in finding.check.occasions} == {1, 2}
    assert "Nearest: roots" in finding.check.advice


def test_a_feed_the_collection_does_not_have_is_a_hole() -> None:
    days = ["{morning: roots, afternoon: roots, midnight: roots}", FULL]
    assert found(rota=records.rota(days)) == [("hole", Severity.HIGH)]


def test_an_extra_feed_may_be_filled() -> None:
    days = ["{morning: roots, afternoon: roots, noon: roots}", FULL]
    assert not found(rota=records.rota(days))


def test_a_group_without_any_diet_is_high() -> None:
    files = records.small()
    del files["rota.yaml"], files["sheet.yaml"]
    (check,) = checks_of(outcome_of(rota_complete, files, records.ON), "tapir")
    assert (check.about, check.severity) == ("animals without a diet", Severity.HIGH)
    assert check.animals == ("T1",)


def test_a_rota_without_a_sheet_is_a_hole() -> None:
    files = records.small()
    del files["sheet.yaml"]
    checks = checks_of(outcome_of(rota_complete, files, records.ON), "tapir")
    assert {check.severity for check in checks} == {Severity.HIGH}


def test_a_rota_that_ends_leaves_a_hole_from_the_next_day() -> None:
    (check,) = said(rota=records.rota([FULL] * 2, more="until: 2026-11-30"))
    assert check.severity is Severity.HIGH
    assert min(when.on for when in check.occasions) == date(2026, 12, 1)
    assert "2026-12-01" in check.message
    assert "of the rota" not in check.message


def test_a_rota_that_starts_only_next_month_leaves_today_without_one() -> None:
    assert found(rota=records.rota([FULL] * 2, start="2026-12-14")) == [
        ("animals without a diet", Severity.HIGH)
    ]


def test_a_group_that_arrives_with_its_rota_is_covered() -> None:
    arriving = "{id: T1, here_from: 2026-12-14}"
    assert not found(
        group=records.group(animals=[arriving]), rota=records.rota([FULL] * 2, start="2026-12-14")
    )


def test_past_days_without_a_sheet_are_no_holes_for_a_new_arrival() -> None:
    """The cycle began nine days before the animal, its sheet and today."""
    assert not found(
        group=records.group(animals=["{id: T1, here_from: 2026-11-25}"]),
        sheet=records.sheet({"roots": [CARROT]}, start="2026-11-25"),
        dietcheck=records.settings(rota_days=14),
        rota=records.rota([FULL] * 14),
    )


def test_a_past_hole_that_comes_round_again_is_found_and_a_mended_one_is_not() -> None:
    holed = records.rota(["{morning: roots}", FULL], start="2026-11-24")
    assert found(rota=holed) == [("hole", Severity.HIGH)]
    mended = records.rota([FULL] * 2, start="2026-11-25")
    assert not found(rota=holed, mended=mended)


def test_an_animal_that_no_line_is_for_is_found() -> None:
    two = records.group(
        animals=[f"{{id: T{n}, weighings: [{{on: 2026-11-20, mass: 200 kg}}]}}" for n in (1, 2)]
    )
    only_one = records.sheet({"roots": ["{food: carrot, amount: 600 g per animal, for: [T1]}"]})
    (check,) = said(group=two, sheet=only_one)
    assert (check.animals, check.severity) == (("T2",), Severity.HIGH)


def test_a_group_that_left_with_its_diet_still_written_is_low() -> None:
    gone = records.group(animals=["{id: T1, here_until: 2026-10-01}"])
    assert found(group=gone) == [("diet without animals", Severity.LOW)]


def test_a_rota_of_another_length_is_medium() -> None:
    ((about, severity),) = found(rota=records.rota([FULL] * 3))
    assert about.startswith("length")
    assert severity is Severity.MEDIUM


def test_a_meal_never_fed_is_low() -> None:
    sheet = records.sheet({"roots": [CARROT], "leaves": [CARROT]})
    assert found(sheet=sheet) == [("meal never fed", Severity.LOW)]


def test_a_rota_that_stands_in_for_a_while_is_no_double() -> None:
    stand_in = records.rota([FULL] * 2, start="2026-11-23", more="until: 2026-12-01")
    assert not found(stand_in=stand_in)


def test_two_rotas_that_claim_the_same_days_are_low() -> None:
    """The first says it runs to the 30th, the second starts on the 23rd and goes on."""
    assert found(
        rota=records.rota([FULL] * 2, more="until: 2026-11-30"),
        second=records.rota([FULL] * 2, start="2026-11-23"),
    ) == [("two rotas", Severity.LOW)]


def test_one_food_on_two_lines_for_one_animal_is_low() -> None:
    both = records.sheet({"roots": [CARROT, "{food: carrot, amount: 1 g per animal, for: [T1]}"]})
    assert found(sheet=both) == [("food twice in one meal", Severity.LOW)]


def test_lines_of_one_food_for_different_animals_are_no_double() -> None:
    two = records.group(
        animals=[f"{{id: T{n}, weighings: [{{on: 2026-11-20, mass: 200 kg}}]}}" for n in (1, 2)]
    )
    lines = [f"{{food: carrot, amount: {n} g per animal, for: [T{n}]}}" for n in (1, 2)]
    assert not found(group=two, sheet=records.sheet({"roots": lines}))


def test_a_meal_twice_in_one_feed_is_low() -> None:
    days = ["{morning: [roots, roots], afternoon: roots}", FULL]
    assert set(found(rota=records.rota(days))) == {("meal twice in one feed", Severity.LOW)}


def test_an_animal_in_two_groups_is_low() -> None:
    files = records.small()
    files["twin.yaml"] = records.group(id="other", enclosure="Barn")
    outcome = outcome_of(rota_complete, files, records.ON)
    (one,) = [j for j in outcome.judged if j.group is None]
    assert (one.check.verdict, one.check.severity) == (Verdict.BREACH, Severity.LOW)
    assert one.check.animals == ("T1",)


@settings(deadline=None, max_examples=40)
@given(
    st.lists(st.tuples(st.booleans(), st.booleans()), min_size=2, max_size=6).filter(
        lambda days: all(any(day) for day in days)
    )
)
def test_each_feed_that_is_left_out_is_named_and_no_other(days: list[tuple[bool, bool]]) -> None:
    slots = ("morning", "afternoon")
    text = [
        "{" + ", ".join(f"{s}: roots" for s, full in zip(slots, day, strict=True) if full) + "}"
        for day in days
    ]
    missing = {
        (number, slot)
        for number, day in enumerate(days, 1)
        for slot, full in zip(slots, day, strict=True)
        if not full
    }
    checks = said(dietcheck=records.settings(rota_days=len(days)), rota=records.rota(text))
    named = {(when.number, when.slot) for check in checks for when in check.occasions}
    assert named == missing


def fortnight(first: str) -> str:
    """A rota of 14 days, of which the first is unlike the others; it was day 1 nine days ago."""
    return records.rota([first, *[FULL] * 13])


def test_a_past_hole_goes_with_the_rota_that_had_it() -> None:
    """Day 1 comes round on 30 November, when another rota is in force."""
    days, rota = records.settings(rota_days=14), fortnight("{morning: roots}")
    later = records.rota([FULL] * 14, start="2026-11-28")
    assert found(dietcheck=days, rota=rota) == [("hole", Severity.HIGH)]
    assert not found(dietcheck=days, rota=rota, later=later)


def test_a_past_hole_goes_with_the_sheet_that_had_it() -> None:
    days, rota = records.settings(rota_days=14), fortnight("{morning: leaves, afternoon: roots}")
    assert ("hole", Severity.HIGH) in found(dietcheck=days, rota=rota)
    both = records.sheet({"roots": [CARROT], "leaves": [CARROT]}, start="2026-11-28")
    assert not found(dietcheck=days, rota=rota, later=both)


def test_a_group_that_nobody_lives_in_and_that_has_no_diet_is_nothing_to_judge() -> None:
    files = records.small(group=records.group(animals=["{id: T1, here_until: 2026-11-01}"]))
    del files["rota.yaml"], files["sheet.yaml"]
    (check,) = checks_of(outcome_of(rota_complete, files, records.ON), "tapir")
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_an_animal_left_out_of_every_line_goes_without_but_not_on_a_fast() -> None:
    """T2 is on no line; one day of the two is a planned fast for all."""
    group = records.group(animals=[f"{{id: T{n}}}" for n in (1, 2)])
    only = records.sheet({"roots": [CARROT.replace("}", ", for: [T1]}")]})
    checks = said(group=group, sheet=only, rota=records.rota([FULL, "{fast: planned}"]))
    (without,) = [c for c in checks if c.about.startswith("animal without food")]
    assert (without.animals, without.severity) == (("T2",), Severity.HIGH)
    assert {when.number for when in without.occasions} == {1}


@pytest.mark.parametrize(
    ("first", "second", "doubled"),
    [
        ("", "", True),
        ("", ", for: [T1]", True),
        (", for: [T1]", "", True),
        (", for: [T1, T2]", ", for: [T2]", True),
        (", for: [T1]", ", for: [T2]", False),
    ],
)
def test_two_lines_of_a_food_are_a_double_where_one_animal_gets_both(
    first: str, second: str, doubled: bool
) -> None:
    two = records.group(
        animals=[f"{{id: T{n}, weighings: [{{on: 2026-11-20, mass: 200 kg}}]}}" for n in (1, 2)]
    )
    lines = [f"{{food: carrot, amount: 600 g per animal{whom}}}" for whom in (first, second)]
    abouts = [about for about, _ in found(group=two, sheet=records.sheet({"roots": lines}))]
    assert ("food twice in one meal" in abouts) is doubled


@pytest.mark.parametrize(("until", "in_force"), [("2026-11-25", True), ("2026-11-24", False)])
def test_a_rota_is_in_force_on_its_last_day(until: str, in_force: bool) -> None:
    """Three days long, where two are wanted: told as long as it is in force."""
    abouts = [about for about, _ in found(rota=records.rota([FULL] * 3, more=f"until: {until}"))]
    assert any(about.startswith("length") for about in abouts) is in_force


@pytest.mark.parametrize(("until", "in_force"), [("2026-12-30", True), ("2026-12-31", False)])
def test_who_stands_in_to_the_last_day_has_taken_over(until: str, in_force: bool) -> None:
    long = records.rota([FULL] * 3, more="until: 2026-12-31")
    stand_in = records.rota([FULL] * 2, start="2026-11-23", more=f"until: {until}")
    abouts = [about for about, _ in found(rota=long, stand_in=stand_in)]
    assert any(about.startswith("length") for about in abouts) is in_force


def test_the_next_rota_is_named_and_not_one_that_is_over() -> None:
    over = records.rota([FULL] * 2, more="until: 2026-10-31")
    then = records.rota([FULL] * 2, start="2026-12-14")
    (check,) = [c for c in said(rota=over, then=then) if c.about == "animals without a diet"]
    assert "2026-12-14" in check.message
    assert "2026-01-01" not in check.message
    assert [(when.on, when.number) for when in check.occasions] == [(records.ON, 0)]


def test_a_group_whose_rota_is_over_is_told() -> None:
    checks = said(rota=records.rota([FULL] * 2, more="until: 2026-10-31"))
    assert [c.severity for c in checks if c.verdict is Verdict.BREACH] == [Severity.HIGH]


def test_a_group_whose_sheet_cannot_be_read_is_told_there() -> None:
    broken = records.sheet({"roots": [CARROT]}).replace("reason: test", "colour: green")
    report = report_of(rota_complete, records.small(sheet=broken), records.ON)
    (check,) = [one.check for one in report.judged if one.rule == "rota-complete"
                and one.group == "tapir"]  # fmt: skip
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_no_house_may_switch_it_off() -> None:
    assert rota_complete.describe().always_on


def test_who_is_here_first_needs_a_diet_first_and_what_is_missing_is_named() -> None:
    herd = records.group(animals=["{id: T1}", "{id: T2, here_from: 2026-12-14}"])
    later = records.rota([FULL] * 2, start="2026-12-14")
    (check,) = [c for c in said(group=herd, rota=later) if c.about == "animals without a diet"]
    assert "2026-11-25; a rota is missing" in check.message
    files = records.small()
    del files["rota.yaml"], files["sheet.yaml"]
    (check,) = checks_of(outcome_of(rota_complete, files, records.ON), "tapir")
    assert "a diet sheet and a rota are missing" in check.message


def test_a_day_with_lines_for_another_alone_leaves_an_animal_without() -> None:
    """Day 2 feeds both; on day 1 all there is is for T1."""
    herd = records.group(animals=["{id: T1}", "{id: T2}"])
    sheet = records.sheet({"roots": [CARROT.replace("}", ", for: [T1]}")], "all": [CARROT]})
    days = [FULL, "{morning: all, afternoon: all}"]
    (check,) = said(group=herd, sheet=sheet, rota=records.rota(days))
    assert check.animals == ("T2",)
    assert "on 1 of 2 days" in check.message
    assert {when.number for when in check.occasions} == {1}


def test_who_comes_years_later_is_not_without_food_now() -> None:
    herd = records.group(animals=["{id: T1}", "{id: T2, here_from: 2030-01-01}"])
    sheet = records.sheet({"roots": [CARROT.replace("}", ", for: [T1]}")]})
    assert not found(group=herd, sheet=sheet)


def test_a_rota_that_another_takes_over_today_is_not_asked_for_its_length() -> None:
    long = records.rota([FULL] * 3)
    abouts = [a for a, _ in found(rota=long, second=records.rota([FULL] * 2, start="2026-11-25"))]
    assert not any(about.startswith("length") for about in abouts)


@pytest.mark.parametrize(
    ("until", "start", "end", "doubled"),
    [
        ("2026-11-30", "2026-11-23", "", True),
        ("2026-11-30", "2026-11-30", "", True),  # both claim the 30th
        ("2026-11-30", "2026-12-01", "", False),
        ("2026-11-25", "2026-11-23", "", True),
        ("2026-11-24", "2026-11-23", "", False),  # over
        ("2026-11-30", "2026-11-23", "until: 2026-11-30", True),
        ("2026-11-30", "2026-11-23", "until: 2026-11-29", False),  # it stands in
        ("2026-11-30", "2026-11-23", "until: 2026-12-01", True),
    ],
)
def test_when_two_rotas_claim_the_same_days(
    until: str, start: str, end: str, doubled: bool
) -> None:
    first = records.rota([FULL] * 2, more=f"until: {until}")
    abouts = [
        a for a, _ in found(rota=first, second=records.rota([FULL] * 2, start=start, more=end))
    ]
    assert ("two rotas" in abouts) is doubled


def test_a_food_as_a_treat_beside_its_meal_is_no_double() -> None:
    treat = CARROT.replace("}", ", treat: training}")
    for lines in ([treat, CARROT], [CARROT, treat], [treat, treat]):
        assert not found(sheet=records.sheet({"roots": lines}))


def test_a_meal_twice_and_a_hole_point_at_the_rota_and_name_who_is_here_now() -> None:
    days = ["{morning: [roots, roots], afternoon: roots}", FULL]
    twice = [c for c in said(rota=records.rota(days)) if c.verdict is Verdict.BREACH]
    assert {place.file for check in twice for place in check.places} == {"rota.yaml"}
    arrived = records.group(animals=["{id: T1, here_from: 2026-11-20}"])
    hole = fortnight("{morning: roots}")
    (check,) = said(group=arrived, rota=hole, dietcheck=records.settings(rota_days=14))
    assert check.animals == ("T1",)
    several = records.sheet({name: [CARROT] for name in ("roots1", "roots2", "roots3", "roots4")})
    near = said(sheet=several, rota=records.rota([FULL] * 2))
    advice = next(c.advice for c in near if c.about.startswith("hole"))
    assert advice.partition(". ")[0].count("roots") == 3  # the nearest three


def test_a_rota_that_outlives_the_sheet_says_so() -> None:
    ended = records.sheet({"roots": [CARROT]}, more="until: 2026-11-30")
    outcome = outcome_of(rota_complete, records.small(sheet=ended), records.ON)
    assert not outcome.failures
    breaches = [c for c in checks_of(outcome, "tapir") if c.verdict is Verdict.BREACH]
    assert breaches
    assert all("no diet sheet is in force" in check.message for check in breaches)


def test_days_without_a_rota_are_told_from_the_first_to_the_last() -> None:
    (check,) = said(rota=records.rota([FULL] * 2, more="until: 2026-11-30"))
    days = sorted({str(when.on) for when in check.occasions})
    assert len(days) > 1
    assert f"{days[0]} to {days[-1]}" in check.message
    herd = records.group(animals=["{id: T1, here_until: 2026-12-01}"])
    (one,) = said(group=herd, rota=records.rota([FULL] * 2, more="until: 2026-11-30"))
    assert "2026-12-01: " in one.message
    assert " to 2026" not in one.message
