"""What a change does: the words, the figures and their difference. Records are invented."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dietcheck.quantities import ZERO, Interval, between, exact
from dietcheck.reporting.change_figures import Figure, signed
from dietcheck.reporting.change_report import ChangeReport
from dietcheck.reporting.change_words import said
from tests import records
from tests.reporting.changes import CARROT, FOODS, compared, sheet

T1 = "{id: T1, weighings: [{on: 2026-11-20, mass: 200 kg}]}"
BRICK = (
    "  brick: {class: compound feed, medicines: none, label: {basis: as fed, "
    'crude_protein: 15 %, moisture: "<= 12 %"}, source: invented}\n'
)


def phrases(report: ChangeReport) -> list[str]:
    """All that is said of the one group that changed."""
    (group,) = report.groups
    return [said(change, str) for change in group.changes]


def figure(report: ChangeReport, key: str) -> Figure:
    """A figure of the first animals that the change bears on."""
    return next(f for f in report.groups[0].fed[0].figures if f.key == key)


# --- words --------------------------------------------------------------------------------------


def test_nothing_changed() -> None:
    assert compared().groups == ()


@pytest.mark.parametrize(
    ("files", "phrase"),
    [
        ({"sheet": sheet("6 kg")}, "carrot: 600 g per animal → 6 kg per animal (roots)"),
        (
            {"sheet": sheet("600 g", "{food: leek, amount: 5 g per animal}")},
            "leek: added, 5 g per animal (roots)",
        ),
        (
            {"sheet": records.sheet({"roots": ["{food: leaf, amount: 1 kg per group}"]})},
            "carrot: taken out, was 600 g per animal (roots)",
        ),
        (
            {
                "sheet": records.sheet(
                    {"roots": ["{food: carrot, amount: 600 g per animal}"]},
                    more="leftovers: [{to: tapir, foods: [carrot], share: 0 to 20 %}]",
                )
            },
            "left over for tapir: new, carrot (0 to 20 %)",
        ),
        (
            {"rota": records.rota(["{morning: roots, afternoon: no feed}"] * 2)},
            "days 1 to 2 afternoon: roots → no feed",
        ),
        ({"foods": FOODS.replace("{same_as: carrot}", "{same_as: beetroot}")},
         "food carrot, same as: carrot → beetroot"),
        ({"sheet": sheet(start="2026-02-01")},
         "diet sheet: from 1 Jan 2026 → from 1 Feb 2026"),
        (
            {"group": records.group(animals=[T1, "{id: T2}"])},
            "T2: now in the group",
        ),
    ],
    ids=["amount", "line added", "line gone", "leftovers", "rota", "food", "start", "animal"],
)  # fmt: skip
def test_what_changed_in_words(files: dict[str, str], phrase: str) -> None:
    assert phrase in phrases(compared(after=files))


def test_a_meal_by_another_name_is_no_other_food() -> None:
    after = {
        "sheet": records.sheet({"carrots": [CARROT % "600 g"]}),
        "rota": records.rota(["{morning: carrots, afternoon: carrots}"] * 2),
    }
    report = compared(after=after)
    assert "meal: roots → carrots" in phrases(report)
    assert report.groups[0].fed == ()


def test_the_same_change_in_two_meals_is_told_once() -> None:
    two = ({m: [CARROT % amount] for m in ("roots", "more roots")} for amount in ("1 g", "2 g"))
    before, after = ({"sheet": records.sheet(meals)} for meals in two)
    phrase = "carrot: 1 g per animal → 2 g per animal (roots, more roots)"
    assert phrases(compared(before, after)) == [phrase]


def test_words_beside_the_diet_are_no_change_of_it() -> None:
    noted = sheet().replace("reason: test", "reason: said better")
    weighed = records.group(animals=["{id: T1, weighings: [{on: 2026-11-24, mass: 201 kg}]}"])
    assert compared(after={"sheet": noted}).groups == ()
    assert compared(after={"group": weighed}).groups == ()


def test_a_weight_counts_where_an_amount_hangs_on_it() -> None:
    by_mass = {"sheet": records.sheet({"roots": ["{food: carrot, amount: 1 % of body mass}"]})}
    weighed = records.group(animals=["{id: T1, weighings: [{on: 2026-11-24, mass: 210 kg}]}"])
    report = compared(by_mass, by_mass | {"group": weighed})
    assert phrases(report) == ["T1, weight: 200 kg on 20 Nov 2026 → 210 kg on 24 Nov 2026"]
    assert figure(report, "as_fed").difference == exact(200)  # 1 % of 10 kg, morning and afternoon


def test_groups_that_come_and_go() -> None:
    report = compared(after={"rhea": records.group("rhea", "Rhea americana", ["{id: R1}"])})
    (group,) = report.groups
    assert (group.group, group.state) == ("rhea", "new")
    back = compared(before={"rhea": records.group("rhea", "Rhea americana", ["{id: R1}"])})
    assert [(g.group, g.state) for g in back.groups] == [("rhea", "gone")]


# --- figures ------------------------------------------------------------------------------------


def test_before_after_and_difference() -> None:
    report = compared(after={"sheet": sheet("900 g")})
    as_fed, sugars = figure(report, "as_fed"), figure(report, "sugars")
    assert (as_fed.before, as_fed.after, as_fed.difference) == (
        exact(1200),
        exact(1800),
        exact(600),
    )
    assert sugars.difference == exact(Decimal("28.44"))  # 6 × 4.74 g: SR28, 11124


def test_what_stays_the_same_adds_no_doubt_to_the_difference() -> None:
    """The hay is somewhere between 1 and 3 kg before and after; only the carrots are more."""
    hay = "{food: leaf, amount: 1 to 3 kg per animal}"
    report = compared({"sheet": sheet("600 g", hay)}, {"sheet": sheet("700 g", hay)})
    assert figure(report, "as_fed").difference == exact(200)
    assert figure(report, "as_fed").after == between(3400, 7400)


def test_a_food_that_does_not_state_a_figure_leaves_no_difference() -> None:
    foods = FOODS + BRICK
    line = "{food: brick, amount: %s per animal}"
    report = compared(
        {"foods": foods, "sheet": sheet("600 g", line % "1 kg")},
        {"foods": foods, "sheet": sheet("600 g", line % "2 kg")},
    )
    assert figure(report, "iron").difference is None
    assert figure(report, "protein").difference == exact(300)  # 15 % of 1 kg, twice a day


def test_a_sheet_that_starts_later_shows_its_whole_effect() -> None:
    later = sheet("900 g", start="2026-12-10")
    report = compared(after={"later": later})
    (fed,) = report.groups[0].fed
    assert fed.first.isoformat() == "2026-12-10"
    assert figure(report, "as_fed").difference == exact(600)
    assert "diet sheet: new, from 10 Dec 2026" in phrases(report)
    assert any("from 10 Dec 2026" in one for one in phrases(report) if one.startswith("carrot"))


def test_one_treat_shows_on_its_day() -> None:
    treats = (
        "record: treats\ntreats:\n  - {on: 2026-11-28, group: tapir, purpose: training, "
        "items: [{food: leaf, amount: 50 g per animal}]}\n"
    )
    report = compared(after={"treats": treats})
    assert "leaf: treat added, 50 g per animal, treat: training (28 Nov 2026)" in phrases(report)
    assert report.groups[0].fed[0].first.isoformat() == "2026-11-28"


def test_animals_fed_alike_stand_together_and_those_untouched_are_left_out() -> None:
    three = {"group": records.group(animals=["{id: T1}", "{id: T2}", "{id: T3}"])}
    only = "{food: leek, amount: 5 g per animal, for: [T3]}"
    more = compared(three, three | {"sheet": sheet("700 g")})
    assert [[a.id for a in fed.animals] for fed in more.groups[0].fed] == [["T1", "T2", "T3"]]
    one = compared(three, three | {"sheet": sheet("600 g", only)})
    assert [[a.id for a in fed.animals] for fed in one.groups[0].fed] == [["T3"]]


def test_a_group_without_a_plan_has_no_figure_that_looks_like_zero() -> None:
    other = records.rota(["{morning: roots, afternoon: roots}"] * 2, start="2030-01-01")
    report = compared(after={"rota": other})
    assert figure(report, "as_fed").after is None
    assert figure(report, "as_fed").difference is None


AMOUNTS = st.integers(1, 5000)


@settings(max_examples=40, deadline=None)
@given(AMOUNTS, AMOUNTS, st.integers(0, 2000))
def test_the_difference_encloses_the_truth_and_turns_round(was: int, now: int, spread: int) -> None:
    """Whatever is really given on each side, the difference lies in the range that is told."""
    texts = [f"{grams} to {grams + spread} g" if spread else f"{grams} g" for grams in (was, now)]
    before, after = ({"sheet": sheet(text)} for text in texts)
    there, back = compared(before, after), compared(after, before)
    if was == now:
        assert there.groups == ()
        return
    found = figure(there, "as_fed").difference
    assert found is not None
    for low, high in ((was, now), (was + spread, now), (was, now + spread)):
        assert found.low <= 2 * (high - low) <= found.high
    turned = figure(back, "as_fed").difference
    assert turned is not None
    assert (turned.low, turned.high) == (-found.high, -found.low)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (exact(12), "+12"),
        (exact(-12), "-12"),
        (ZERO, "none"),
        (between(-3, 5), "-3 to +5"),
        (between(-15, "-0.5"), "-15 to -0.5"),
        (between(0, 5), "0 to +5"),
        (Interval(3, Decimal("Infinity")), "at least +3"),
        (Interval(Decimal("-Infinity"), -3), "at most -3"),
        (Interval(-3, Decimal("Infinity")), "at least -3"),
        (Interval(Decimal("-Infinity"), Decimal("Infinity")), "not known"),
        (None, "not known"),
    ],
)  # fmt: skip
def test_differences_in_words(value: Interval | None, text: str) -> None:
    assert signed(value) == text


def test_what_others_leave_is_told_of_the_group_that_gets_it() -> None:
    both = {
        "goats": records.group(id="goats", species="Capra hircus", enclosure="Yard"),
        "goatsheet": records.sheet({"rest": [CARROT % "100 g"]}, group="goats"),
        "goatrota": records.rota(["{morning: rest, afternoon: rest}"] * 2, group="goats"),
    }
    leaving = "leftovers: [{to: tapir, foods: [carrot], share: 0 to 20 %}]"
    sheet = records.sheet({"rest": [CARROT % "100 g"]}, group="goats", more=leaving)
    report = compared(before=both, after={**both, "goatsheet": sheet})
    told = {one.group: [said(change, str) for change in one.changes] for one in report.groups}
    assert told["tapir"] == ["left over by goats: new, carrot (0 to 20 %)"]
    assert told["goats"] == ["left over for tapir: new, carrot (0 to 20 %)"]
