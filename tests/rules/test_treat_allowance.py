"""Treats in a day and over a fortnight. Foods are invented: pellets 4 kcal, treats 2 kcal a gram.

The shares: F001 (SACN5 p.263 Box 13-4) for dogs and cats; all others common practice (SL14, F007).
On top of the ration or out of it: A007 (Goodchild and Schwitzer 2008, a reprint).
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Standing, Verdict
from dietcheck.nutrition.shares import share_of
from dietcheck.quantities import UNKNOWN, Interval, between, exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import treat_allowance
from tests import records
from tests.rules.worked import figures, steps

PANDA = "Ailurus fulgens"
FOODS = {
    "pellet": "{label: {basis: as fed, energy: 4 kcal/g, sugars: 5 %}, class: compound feed}",
    "biscuit": "{label: {basis: as fed, energy: 2 kcal/g, sugars: 50 %}, class: compound feed}",
    "pear": "{label: {basis: as fed, energy: 2 kcal/g, sugars: 10 %}, class: fruit}",
    "mash": "{unknown_composition: no label}",
    "mix": "{mix: {pear: 50 %, pellet: 50 %}}",
}
FED = "{morning: meal, afternoon: no feed}"


def line(food: str, grams: object, more: str = "") -> str:
    """A line of so many grams per animal."""
    return f"{{food: {food}, amount: {grams} g per animal{more}}}"


def treat(grams: object, food: str = "biscuit", purpose: str = "training") -> str:
    """A line that is flagged as a treat."""
    return line(food, grams, f", treat: {purpose}")


def dated(*days: str, grams: object = 10, food: str = "biscuit", purpose: str = "training") -> str:
    """A treats record, the same on each of some dates."""
    gifts = "".join(
        f"  - {{on: {day}, group: tapir, purpose: {purpose},"
        f" items: [{{food: {food}, amount: {grams} g per animal}}]}}\n"
        for day in days
    )
    return f"record: treats\ntreats:\n{gifts}"


def said(
    lines: Sequence[str] = (line("pellet", 100),),
    *,
    species: str = PANDA,
    days: Sequence[str] = (FED,) * 14,
    limit: str = "",
    meals: dict[str, list[str]] | None = None,
    **more: str,
) -> list[Check]:
    """What the rule says of one group of two animals."""
    files = records.small(
        dietcheck=records.settings(rota_days=len(days)),
        group=records.group(
            species=species,
            animals=[f"{{id: A{n}, weighings: [{{on: 2026-11-20, mass: 5 kg}}]}}" for n in (1, 2)],
        ),
        foods=records.foods(**FOODS),
        **({"limits": f"record: limits\nlimits: [{limit}]\n"} if limit else {}),
        **{
            "sheet": records.sheet(meals or {"meal": list(lines)}),
            "rota": records.rota(days),
            **more,
        },
    )
    outcome = outcome_of(treat_allowance, files, records.ON)
    assert not outcome.failures
    return list(checks_of(outcome, "tapir"))


def of(checks: Sequence[Check], over: str, quantity: str = "treat-share") -> list[Check]:
    """The checks on a quantity over a span."""
    found = [c for c in checks if c.limit and (c.limit.quantity, c.limit.over) == (quantity, over)]
    return [c for c in found if c.verdict is not Verdict.NOT_APPLICABLE]


def one(checks: Sequence[Check], over: str, quantity: str = "treat-share") -> Check:
    """The only check on a quantity over a span."""
    (check,) = of(checks, over, quantity)
    return check


def test_nothing_flagged_is_kept() -> None:
    assert [check.verdict for check in said()] == [Verdict.KEPT]


@pytest.mark.parametrize(
    ("grams", "verdict", "severity"),
    [
        (20, Verdict.KEPT, Severity.LOW),  # 40 of 400 kcal
        ("20.01", Verdict.BREACH, Severity.LOW),
        (40, Verdict.BREACH, Severity.LOW),  # 80 of 400 kcal: exactly double is not above double
        ("40.01", Verdict.BREACH, Severity.MEDIUM),
    ],
)
def test_a_tenth_of_the_energy_is_kept_and_above_double_is_for_the_vet(
    grams: object, verdict: Verdict, severity: Severity
) -> None:
    rest = (400 - 2 * Decimal(str(grams))) / 4
    check = one(said([line("pellet", rest), treat(grams)]), "day")
    assert (check.verdict, check.severity) == (verdict, severity)
    assert check.limit
    assert check.limit.standing is Standing.COMMON_PRACTICE
    assert "common practice, no source; the vet sets this" in check.message
    assert any("kcal" in step and "%" in step for step in check.working)
    assert any("factors" in step for step in check.working)  # the method is named


def test_dogs_and_their_kin_have_a_published_share() -> None:
    check = one(said([line("pellet", 89), treat(22)], species="Canis lupus"), "day")
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.LOW)
    assert check.limit
    assert check.limit.standing is Standing.PUBLISHED


def test_a_treat_that_the_sheet_does_not_hold_is_told_once() -> None:
    days = ("2026-11-24", "2026-11-25", "2026-11-27")

    def beside(food: str, *lines: str) -> list[Check]:
        record = dated(*days, grams=1, food=food)
        return [c for c in said([line("pellet", 100), *lines], treats=record) if "sheet" in c.about]

    (check,) = beside("pear")
    assert (check.verdict, check.severity, check.food) == (Verdict.BREACH, Severity.LOW, "pear")
    assert [when.on.day for when in check.occasions] == [25, 27]  # the 24th has been
    assert len(check.places) == 2
    assert beside("pellet") == []
    assert beside("pear", treat(1, "pear")) == []
    assert beside("pear", line("mix", 1)) == []


def test_every_purpose_is_one_ledger() -> None:
    """Four treats of 10 g, each within a tenth, together 80 of 440 kcal."""
    lines = [
        line("pellet", 90),
        *(treat(10, "biscuit", p) for p in ("training", "enrichment", "public feed")),
        treat(10, "pear", "medicine vehicle"),
    ]
    check = one(said(lines), "day")
    assert check.verdict is Verdict.BREACH
    assert check.measured
    assert check.measured.value.low < Decimal("18.2") < check.measured.value.high + Decimal("0.1")
    assert check.food is None  # no single food is to blame


def test_one_food_alone_is_named_and_its_lines_are_pointed_at() -> None:
    check = one(said([line("pellet", 50), treat(50)]), "day")
    assert check.food == "biscuit"
    assert check.places[0].path[-1] == "food"
    assert check.animals == ("A1", "A2")


def test_a_treat_of_one_animal_is_held_against_that_animal() -> None:
    lines = [line("pellet", 100), line("biscuit", 60, ", treat: training, for: [A2]")]
    breaches = [c for c in said(lines) if c.verdict is Verdict.BREACH]
    assert {c.animals for c in breaches} == {("A2",)}


@pytest.mark.parametrize(("day", "verdict"), [("2026-11-28", Verdict.BREACH), (None, Verdict.KEPT)])
def test_treats_by_date_count_on_their_day(day: str | None, verdict: Verdict) -> None:
    more: dict[str, str] = {"treats": dated(day, grams=40)} if day else {}
    checks = said(meals=None, **more)
    assert (one(checks, "day") if day else checks[0]).verdict is verdict


FORTNIGHT = [f"2026-11-{day}" for day in range(12, 26)]


def test_a_fortnight_reaches_back_over_days_already_lived() -> None:
    """Treats on each of the last ten days, 100 kcal of 500: over the fortnight 100 of 14 × 400 +
    1000 are past a tenth; the rota began on the 10th."""
    early = records.rota([FED] * 14, start="2026-11-10")
    given = dated(*FORTNIGHT[:10], grams=50)  # 12 to 21 November, all before today
    check = one(said(rota=early, treats=given), "14 days")
    assert check.verdict is Verdict.BREACH
    assert {when.on.day for when in check.occasions} >= set(range(12, 22))


def test_days_before_any_rota_are_not_known_and_not_counted() -> None:
    """The rota began on the 16th: what was given on the 12th belongs to no fortnight."""
    assert (
        one(said(treats=dated("2026-11-12", "2026-11-26", grams=1)), "14 days")
        .working[0]
        .endswith("1 time")
    )


@pytest.mark.parametrize("shift", range(0, 14, 3))
def test_the_fortnight_does_not_depend_on_the_day_the_rota_starts(shift: int) -> None:
    """The same treat on the same days under rotas that began on different days."""
    early = records.rota([FED] * 14, start=f"2026-10-{10 + shift:02}")
    check = one(said(rota=early, treats=dated(*FORTNIGHT[3:9], grams=25)), "14 days")
    assert check.measured
    # 6 × 50 kcal of 6 × 50 + 14 × 400: 5.08 %
    assert abs(check.measured.value.low - Decimal(300) / 59) < Decimal("0.001")


def test_a_rota_of_two_days_has_fortnights_as_well() -> None:
    early = records.rota([FED] * 2, start="2026-10-10")
    check = one(said(days=[FED] * 2, rota=early, treats=dated(*FORTNIGHT, grams=25)), "14 days")
    assert check.measured
    assert abs(check.measured.value.low - Decimal(100) * 50 / 450) < Decimal("0.001")


def test_an_amount_that_is_not_known_cannot_be_told() -> None:
    check = one(said([line("pellet", 90), treat("5 to 30")]), "day")
    assert check.verdict is Verdict.CANNOT_TELL
    assert check.settles


def test_a_treat_without_any_figures_cannot_be_told() -> None:
    check = one(said([line("pellet", 90), treat(20, "mash"), treat(10)]), "day")
    assert check.verdict is Verdict.CANNOT_TELL
    assert check.weak


@pytest.mark.parametrize(
    ("quantity", "bound", "over", "verdict"),
    [
        ("treat-share", "20 % of energy", "day", Verdict.KEPT),
        ("treat-share", "4 % of energy", "day", Verdict.BREACH),
        ("treat-share", "10 % as fed", "14 days", Verdict.BREACH),
        ("treat-share", "17 % as fed", "14 days", Verdict.KEPT),
        ("treat-sugar-share", "28 %", "day", Verdict.BREACH),
        ("treat-sugars", "0.3 g per kg body mass", "day", Verdict.BREACH),
        ("treat-sugars", "2 g per animal", "day", Verdict.KEPT),
        ("treat-amount", "20 g per animal", "day", Verdict.KEPT),
        ("treat-amount", "3 g per kg body mass", "7 days", Verdict.BREACH),
        ("fruit-treats", "13 feeds", "14 days", Verdict.BREACH),
        ("fruit-treats", "14 feeds", "14 days", Verdict.KEPT),
        ("fruit-treats", "7 days", "7 days", Verdict.KEPT),
        ("public-feed-share", "1 % of energy", "day", Verdict.KEPT),
        ("fruit-treats", "2 mm", "day", Verdict.CANNOT_TELL),
        ("treat-share", "5 % of energy", "meal", Verdict.CANNOT_TELL),
    ],
)
def test_the_house_sets_its_own(quantity: str, bound: str, over: str, verdict: Verdict) -> None:
    """20 g of pear a day, 40 of 440 kcal, 20 of 120 g, 2 of 7 g of sugar, for 5 kg of animal."""
    limit = (
        f"{{group: tapir, quantity: {quantity}, at_most: {bound}, over: {over}, severity: medium,"
        " why: invented, set_by: Dr Vale, on: 2026-01-01}"
    )
    checks = said([line("pellet", 100), treat(20, "pear")], limit=limit)
    own = [c for c in checks if c.limit and c.limit.standing is Standing.SITE_RULE]
    assert [c.verdict for c in own] == [verdict]
    if quantity == "treat-share" and "energy" in bound:
        defaults = [c for c in of(checks, "day") + of(checks, "14 days") if c not in own]
        assert not defaults  # the site's replaces them


LEMUR = "Lemur catta"
TWO = ["{morning: full, afternoon: no feed}", "{morning: less, afternoon: extra}"]


def on_top(less: object, extra: str) -> Check:
    """Lemurs: 100 g of pellet one day, `less` and a treat the other."""
    checks = said(
        species=LEMUR,
        days=TWO,
        meals={
            "full": [line("pellet", 100)],
            "less": [line("pellet", less)],
            "extra": [extra],
        },
    )
    return one(checks, "day", "treats-on-top")


@pytest.mark.parametrize(
    ("less", "grams", "verdict"),
    [
        (100, 5, Verdict.BREACH),  # 10 kcal more
        (95, 10, Verdict.KEPT),  # 20 kcal out, 20 kcal in
        (95, "10.1", Verdict.BREACH),
        (95, "8 to 12", Verdict.CANNOT_TELL),
    ],
)
def test_treats_of_lemurs_come_out_of_the_ration(
    less: object, grams: object, verdict: Verdict
) -> None:
    check = on_top(less, treat(grams))
    assert check.verdict is verdict
    assert bool(check.advice) is bool(check.occasions) is (verdict is not Verdict.KEPT)
    assert bool(check.settles) is (verdict is Verdict.CANNOT_TELL)
    assert check.severity is Severity.LOW


def test_what_both_days_have_cancels_out_however_little_is_known_of_it() -> None:
    same = "{food: mash, amount: 'ad lib, expected 10 to 900 g per animal'}"
    checks = said(
        species=LEMUR,
        days=["{morning: same, afternoon: no feed}", "{morning: same, afternoon: extra}"],
        meals={"same": [same], "extra": [treat(5)]},
    )
    assert one(checks, "day", "treats-on-top").verdict is Verdict.BREACH


def test_treats_on_every_day_are_part_of_the_written_ration() -> None:
    checks = said([line("pellet", 100), treat(1)], species=LEMUR)
    assert not of(checks, "day", "treats-on-top")
    assert any("part of the written ration" in c.message for c in checks)


def test_a_species_without_a_row_has_a_limit_not_yet_sourced() -> None:
    checks = said([line("pellet", 1), treat(9)], species="Lissachatina fulica")
    assert {c.verdict for c in checks} == {Verdict.NOT_APPLICABLE}
    assert any("not yet sourced" in c.message for c in checks)


PARTS = st.tuples(st.integers(0, 500), st.integers(0, 500)).map(lambda p: between(min(p), max(p)))


@settings(max_examples=200, deadline=None)
@given(PARTS, PARTS, st.fractions(0, 1), st.fractions(0, 1))
def test_the_range_of_a_share_holds_every_share_there_can_be(
    part: Interval, rest: Interval, at: Fraction, where: Fraction
) -> None:
    a = Fraction(part.low) + at * Fraction(part.high - part.low)
    b = Fraction(rest.low) + where * Fraction(rest.high - rest.low)
    found = share_of(part, rest)
    if a + b:
        assert Fraction(found.low) <= a / (a + b) <= Fraction(found.high)


def test_the_share_of_nothing_is_nothing_and_of_the_unknown_anything() -> None:
    assert share_of(exact(0), UNKNOWN) == exact(0)
    assert share_of(UNKNOWN, exact(1)) == between(0, 1)
    assert share_of(exact(1), exact(0)) == exact(1)


def test_a_long_list_of_treats_is_cut_and_says_how_many_more() -> None:
    meals = {"meal": [line("pellet", 100), *(treat(1 + n / 10) for n in range(14))]}
    check = one(said(meals=meals), "day")
    assert any("more" in said_line for said_line in check.working)


def test_treats_by_body_mass_of_an_animal_that_was_never_weighed_ask_for_its_weight() -> None:
    house = (
        "{group: tapir, quantity: treat-amount, at_most: 2 g per kg body mass, over: day, "
        "severity: low, why: x, set_by: Dr Vale, on: 2026-01-01, source: site rule}"
    )
    files = records.small(
        group=records.group(species=PANDA, animals=["{id: A1}", "{id: A2}"]),
        foods=records.foods(**FOODS),
        sheet=records.sheet({"roots": [line("pellet", 100), treat(5)]}),
        limits=f"record: limits\nlimits: [{house}]\n",
    )
    checks = checks_of(outcome_of(treat_allowance, files, records.ON), "tapir")
    (check,) = [c for c in checks if c.limit and c.limit.basis == "body mass"]
    assert check.verdict is Verdict.CANNOT_TELL
    assert "weighing" in check.settles


def test_a_meal_fed_twice_beside_a_treat_is_more_than_once() -> None:
    """100 g of pellet at 4 kcal and 5 g of biscuit at 2 kcal more than on the plain day."""
    checks = said(
        species=LEMUR,
        days=["{morning: full, afternoon: no feed}", "{morning: [full, extra], afternoon: full}"],
        meals={"full": [line("pellet", 100)], "extra": [treat(5)]},
    )
    check = one(checks, "day", "treats-on-top")
    assert check.measured
    assert check.measured.value == exact(410)


def test_the_largest_treat_is_pointed_at_first() -> None:
    """30 and 10 g of biscuit are 80 kcal beside 400: more than a tenth."""
    check = one(said([line("pellet", 100), treat(10), treat(30)]), "day")
    assert check.verdict is Verdict.BREACH
    assert any("10 g = 20 kcal, 1 time" in step for step in check.working)
    assert [place.path[-2] for place in check.places if place.path[-1] == "food"] == [2, 1]


@pytest.mark.parametrize(
    ("quantity", "bound", "wanted"),
    [("treat-share", "2 mm", "% energy"), ("fruit-treats", "2 mm", "feeds")],
)
def test_a_limit_that_cannot_be_counted_says_how_to_write_it(
    quantity: str, bound: str, wanted: str
) -> None:
    limit = (
        f"{{group: tapir, quantity: {quantity}, at_most: {bound}, over: day, severity: medium,"
        " why: invented, set_by: Dr Vale, on: 2026-01-01}"
    )
    checks = said([line("pellet", 100), treat(20, "pear")], limit=limit)
    (own,) = [c for c in checks if c.limit and c.limit.standing is Standing.SITE_RULE]
    assert wanted in own.advice
    assert own.places[0].file == "limits.yaml"


def test_a_treat_in_pieces_of_no_known_mass_asks_for_the_mass() -> None:
    """Neither grams nor energy can be told before somebody has weighed a piece."""
    counted = "{food: biscuit, amount: 2 pieces per animal, treat: training}"
    check = one(said([line("pellet", 90), counted]), "day")
    assert check.verdict is Verdict.CANNOT_TELL
    assert "biscuit" in check.settles
    assert "what is in the foods" not in check.settles


def test_a_treat_on_a_day_without_a_sheet_is_no_matter_of_the_sheet() -> None:
    """The sheet ends on 30 November; that nothing stands after it is told as a hole."""
    ends = records.sheet({"meal": [line("pellet", 100)]}, more="until: 2026-11-30")
    about = "treat that is not on the sheet"
    for day, told in (("2026-11-30", True), ("2026-12-01", False)):
        checks = said(sheet=ends, treats=dated(day, food="pear"))
        assert any(check.about == about for check in checks) is told


def house(quantity: str, bound: str, over: str = "day", severity: str = "medium") -> str:
    """A limit that the house has set, with its bound: `at_most: 5 % of energy`."""
    return (
        f"{{group: tapir, quantity: {quantity}, {bound}, over: {over}, severity: {severity},"
        " why: invented, set_by: Dr Vale, on: 2026-01-01}"
    )


FOUR = [treat(10), treat(10, "pear"), treat(5, "mix", "enrichment"), treat(5, "mash", "enrichment")]


def test_sugar_of_four_treats_over_a_fortnight_is_worked_out_step_by_step() -> None:
    """A day: 10 g of biscuit hold 20 kcal and 5 g of sugar, 10 g of pear 20 and 1, 5 g of mix
    15 and 0.375, 5 g of mash 0 to 45 kcal (9 kcal a gram of fat) and 0 to 5 g: 6.375 to 11.375 g
    for 5 kg. Beside them 90 g of pellet, 360 kcal and 4.5 g."""
    limit = house("treat-sugars", "at_most: 0.3 g per kg body mass", "14 days")
    check = one(said([line("pellet", 90), *FOUR], limit=limit), "14 days", "treat-sugars")
    assert check.measured
    assert check.measured.value == between("1.275", "2.275")
    told = steps(check.working)
    assert told[:4] == [["10", "20", "14"], ["10", "20", "14"], ["5", "15", "14"],
                        ["5", "0", "45", "14"]]  # fmt: skip
    assert told[4:7] == [
        ["770", "1400", "5040", "14", "13.2", "21.8"],  # 770 of 5810, 1400 of 6440 kcal
        ["420", "1260", "14", "25"],
        ["89.2", "160", "63", "14", "58.6", "71.7"],  # 89.25 of 152.25, 159.25 of 222.25 g
    ]
    assert told[7:10] == [["14", "14"], ["5"], ["1.27", "2.28", "14"]]
    assert told[10][:2] == ["0.3", "14"]
    assert told[11] == ["1.98"]  # 2.275 less 0.3
    assert figures(check.message)[:2] == ["1", "1"]  # A1 and 1 more, then 1 more food
    assert "biscuit, pear, mix and 1 more" in check.message
    assert [why.partition(":")[0] for why in check.weak] == ["mash"]
    assert check.places[-1].file == "limits.yaml"


def test_the_figures_of_one_day_and_of_three_foods_are_told_without_a_more() -> None:
    check = one(said([line("pellet", 90), *FOUR[:3]]), "day")
    assert "(biscuit, pear, mix)" in check.message
    assert ["55", "360", "13.2", "13.3"] in steps(check.working) or ["55", "360", "13.3"] in steps(
        check.working
    )
    assert not check.weak
    assert not any(figures(step) == ["5"] for step in check.working)  # no body mass in it


@pytest.mark.parametrize(("kinds", "more"), [(6, []), (7, [["1"]]), (14, [["8"]])])
def test_a_long_list_of_treats_counts_those_that_are_left_out(
    kinds: int, more: list[list[str]]
) -> None:
    """Treats of 10, 11 … g, each on a line of its own; the sums come after the first six."""
    meal = [line("pellet", 400), *(treat(10 + n) for n in range(kinds))]
    told = steps(one(said(meal), "day").working)
    assert told[:6] == [[str(10 + n), str(20 + 2 * n), "1"] for n in range(6)]
    assert told[6 : 6 + len(more)] == more
    assert told[6 + len(more)][1] == "1600"  # kcal of 400 g of pellet


def test_what_to_do_names_the_largest_treat_and_is_firmer_past_double_and_for_the_house() -> None:
    lines = [line("pellet", 100), treat(10), treat(20, "pear")]  # 60 of 460 kcal
    mild = one(said(lines), "day")
    double = one(said([line("pellet", 50), *lines[1:]]), "day")  # 60 of 260
    low = one(
        said(lines, limit=house("treat-share", "at_most: 5 % of energy", "day", "low")), "day"
    )
    assert "pear" in mild.advice
    assert "biscuit" not in mild.advice
    assert double.advice == low.advice != mild.advice
    unsure = one(said([line("pellet", 90), treat("5 to 30")]), "day")
    assert unsure.advice not in (mild.advice, low.advice)


def test_a_floor_asks_only_of_days_on_which_treats_are_given() -> None:
    floor = house("treat-amount", "at_least: 10 g per animal")
    days = [FED, "{morning: [meal, extra], afternoon: no feed}"]
    for grams, verdict in ((9, Verdict.BREACH), (10, Verdict.KEPT)):
        meals = {"meal": [line("pellet", 100)], "extra": [treat(grams)]}
        check = one(said(days=days, meals=meals, limit=floor), "day", "treat-amount")
        assert check.verdict is verdict
        assert len(check.occasions) == (verdict is Verdict.BREACH)
    public = house("public-feed-amount", "at_least: 1 g per animal")
    check = one(said([line("pellet", 90), treat(10)], limit=public), "day", "public-feed-amount")
    assert (check.verdict, len(check.occasions)) == (Verdict.BREACH, 1)
    assert "public feeds 0 g" in check.message


@pytest.mark.parametrize(
    ("quantity", "bound", "figure"),
    [("feeds", "14 feeds", 28), ("days", "13 days", 14)],
)
def test_fruit_in_two_feeds_of_a_day_is_two_feeds_and_one_day(
    quantity: str, bound: str, figure: int
) -> None:
    limit = house("fruit-treats", f"at_most: {bound}", "14 days")
    both = ["{morning: meal, afternoon: meal}"] * 14
    check = one(
        said([line("pellet", 90), treat(5, "pear")], days=both, limit=limit),
        "14 days",
        "fruit-treats",
    )
    assert check.measured
    assert check.measured.value == exact(figure), quantity


def test_the_share_of_all_sugar_is_told_in_per_cent() -> None:
    """5 of 10 g: 10 g of biscuit beside 100 g of pellet."""
    limit = house("treat-sugar-share", "at_most: 10 %")
    checks = said([line("pellet", 100), treat(10)], limit=limit)
    check = one(checks, "day", "treat-sugar-share")
    assert check.measured
    assert check.measured.value == exact(50)


def test_a_limit_over_a_rota_of_two_days_looks_at_both_together() -> None:
    """20 g of biscuit on one of two days with 100 g of pellet each: 40 of 840 kcal."""
    meals = {"meal": [line("pellet", 100)], "extra": [treat(20)]}
    days = [FED, "{morning: [meal, extra], afternoon: no feed}"]
    limit = house("treat-share", "at_most: 5 % of energy", "rota")
    assert one(said(days=days, meals=meals, limit=limit), "rota").verdict is Verdict.KEPT


def test_the_last_fourteen_days_are_looked_at_and_no_more() -> None:
    """A round of the rota begins on the 25th: the 12th is the thirteenth day before it, and the
    last that counts. A sheet without treats follows one with treats for A2."""
    early = records.rota([FED] * 14, start="2026-10-14")

    def followed(start: str) -> list[Check]:
        lines = [line("pellet", 100), line("biscuit", 900, ", treat: training, for: [A2]")]
        later = records.sheet({"meal": [line("pellet", 100)]}, start=start)
        return said(lines, rota=early, later=later)

    (none,) = followed("2026-11-12")
    assert (none.verdict, none.limit) == (Verdict.KEPT, None)
    checks = followed("2026-11-13")
    (breach,) = [check for check in checks if check.verdict is Verdict.BREACH]
    assert breach.animals == ("A2",)
    assert {when.on.day for when in breach.occasions} == {12}
    assert {check.verdict for check in of(checks, "day")} == {Verdict.KEPT}


def test_treats_of_lemurs_are_held_against_the_plain_day_nearest_to_theirs() -> None:
    """5 g of biscuit, 10 kcal, beside 100 g of pellet; plain days have 100 and 50 g."""
    fed = [FED, "{morning: less, afternoon: no feed}", "{morning: [less, meal, extra], "
           "afternoon: no feed}"]  # fmt: skip
    meals = {"meal": [line("pellet", 100)], "less": [line("pellet", 50)], "extra": [treat(5)]}
    checks = said(species=LEMUR, days=fed, meals=meals)
    check = one(checks, "day", "treats-on-top")
    assert check.measured
    assert check.measured.value == exact(210)
    assert steps(check.working)[:2] == [["50", "200"], ["5", "10"]]
    assert len(steps(check.working)) == 3  # and the day it was compared with
    assert [place.path[1] for place in check.places] == ["less", "extra"]
    assert figures(check.message)[:2] == ["1", "1"]  # A1 and 1 more


def test_a_house_limit_on_top_of_the_ration_that_cannot_be_read_is_asked_about() -> None:
    limit = house("treats-on-top", "at_most: 5 g per animal")
    lines = [line("pellet", 90), treat(10)]
    (check,) = [c for c in said(lines, limit=limit) if "on top" in c.about]
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert [place.file for place in check.places] == ["limits.yaml"]


def test_a_treat_beside_the_sheet_tells_its_feed_its_days_and_whose_it_is() -> None:
    later = records.sheet({"meal": [line("pellet", 100)]}, start="2026-12-05")
    ends = records.sheet({"meal": [line("pellet", 100)]}, more="until: 2026-11-30")
    given = dated("2026-11-26", "2026-12-02", "2026-12-06", food="pear").replace(
        "purpose:", "slot: afternoon, animals: [A2], purpose:"
    )  # fmt: skip
    checks = said(sheet=ends, later=later, treats=given)
    (check,) = [c for c in checks if c.about == "treat that is not on the sheet"]
    assert [(when.on.day, when.slot) for when in check.occasions] == [
        (26, "afternoon"), (6, "afternoon"),
    ]  # fmt: skip
    assert check.animals == ("A2",)
    assert "and on 1 more day " in check.message
    (single,) = [
        c
        for c in said(treats=dated("2026-11-26", food="pear"))
        if c.about == "treat that is not on the sheet"
    ]
    assert "more" not in single.message
    assert single.animals == ("A1", "A2")


def test_a_limit_that_cannot_be_counted_points_at_the_treats_and_lists_units_in_order() -> None:
    meals = {"meal": [line("pellet", 100)], "extra": [treat(20)]}
    fed = ["{morning: meal, afternoon: extra}"]
    checks = said(days=fed, meals=meals, limit=house("treat-share", "at_most: 2 mm"))
    (check,) = [c for c in checks if c.limit and c.limit.standing is Standing.SITE_RULE]
    assert {when.slot for when in check.occasions} == {"afternoon"}
    units = ["% as fed", "% dry matter", "% energy", "% unstated"]
    assert ", ".join(units) in check.advice


def test_what_would_settle_it_is_the_amount_that_is_vague_or_the_food_that_is_not_known() -> None:
    vague = one(said([line("pellet", 90), line("pear", 5), treat("5 to 30")]), "day")
    assert "biscuit" in vague.settles
    assert "pellet" not in vague.settles
    silent = one(said([line("pellet", 90), treat(20, "mash"), treat(10)]), "day")
    assert all(food in silent.settles for food in ("mash", "biscuit", "pellet"))
    assert silent.settles != vague.settles.replace("biscuit", "mash")
    files = records.small(
        group=records.group(species=PANDA, animals=["{id: A1}"]),
        foods=records.foods(**FOODS),
        sheet=records.sheet({"roots": [line("pellet", 100), treat("5 to 30")]}),
    )
    checks = list(checks_of(outcome_of(treat_allowance, files, records.ON), "tapir"))
    assert "biscuit" in one(checks, "day").settles  # its weight has no part in it


def test_an_animal_that_comes_years_after_is_told_apart_from_the_others() -> None:
    herd = ["{id: A1, stage: adult}", "{id: A2, stage: growing, here_from: 2029-12-10}"]
    files = records.small(
        group=records.group(species=PANDA, animals=herd),
        foods=records.foods(**FOODS),
        sheet=records.sheet({"roots": [line("pellet", 100), treat(1)]}),
    )
    checks = checks_of(outcome_of(treat_allowance, files, records.ON), "tapir")
    days = [check for check in checks if check.about == "treat-share (energy) in a day"]
    assert {check.verdict for check in days} == {Verdict.KEPT, Verdict.NOT_APPLICABLE}
