"""Portions against body mass. Foods and animals are invented; ranges name their source."""

from __future__ import annotations

from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import portion_for_body_mass
from tests import records
from tests.rules.worked import figures, steps

# Half water, so that 2 g as fed are 1 g of dry matter.
HALF = "{label: {basis: as fed, moisture: 50 %}, piece: 60 g}"
# 16^0.75 = 8, so a tapir of 16 kg that gets 8 g of dry matter gets 1 g per kg^0.75.
LITTLE_TAPIR = "{id: T1, weighings: [{on: 2026-11-20, mass: 16 kg}]}"


def said(amount: str, *animals: str, **changes: str) -> tuple[Check, ...]:
    """What the rule says of tapirs that get an amount of a food that is half water, once a day."""
    files = {
        "group": records.group(animals=animals or [LITTLE_TAPIR]),
        "foods": records.foods(chop=HALF),
        "sheet": records.sheet({"roots": [f"{{food: chop, amount: {amount}}}"]}),
        "rota": records.rota(["{morning: roots, afternoon: no feed}"] * 2),
        **changes,
    }
    outcome = outcome_of(portion_for_body_mass, records.small(**files), records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def findings(checks: tuple[Check, ...]) -> set[tuple[Verdict, Severity, str]]:
    """The findings among some checks."""
    return {
        (check.verdict, check.severity, check.about)
        for check in checks
        if check.verdict in (Verdict.BREACH, Verdict.CANNOT_TELL)
    }


def per_kg34(dry: Decimal | int) -> str:
    """The amount that gives the little tapir so many grams of dry matter per kg^0.75."""
    return f"{dry * 16} g per animal"


@pytest.mark.parametrize("dry", [48, 67, 86])
def test_a_portion_inside_the_range_of_tapirs_is_kept(dry: int) -> None:
    """48 to 86 g dry matter per kg^0.75: E003, Clauss2009tapir, abstract; both ends are inside."""
    assert not findings(said(per_kg34(dry)))


@pytest.mark.parametrize(
    ("dry", "severity", "about"),
    [
        ("86.1", Severity.LOW, "too much food"),  # E003: a single study is worth low
        ("172", Severity.LOW, "too much food"),  # twice the top, exactly
        ("172.1", Severity.HIGH, "too much food"),  # more: common practice, no source
        ("47.9", Severity.LOW, "too little food"),
        ("24", Severity.LOW, "too little food"),  # half the bottom, exactly
        ("23.9", Severity.MEDIUM, "too little food"),  # less: common practice, no source
    ],
)
def test_outside_the_range_of_tapirs(dry: str, severity: Severity, about: str) -> None:
    assert findings(said(per_kg34(Decimal(dry)))) == {(Verdict.BREACH, severity, about)}


def test_a_tenfold_slip_names_the_line_and_what_a_tenth_would_give() -> None:
    sheet = records.sheet(
        {
            "roots": [
                "{food: chop, amount: 320 g per animal}",
                "{food: pellet, amount: 7.2 kg per animal}",
            ]
        }
    )
    foods = records.foods(chop=HALF, pellet=HALF)
    checks = said("1 g per animal", sheet=sheet, foods=foods)
    (check,) = [c for c in checks if c.verdict is Verdict.BREACH]
    assert check.severity is Severity.HIGH
    assert check.places[0].path[-3:] == ("roots", 1, "amount")
    # (160 + 360) g of dry matter over 16 kg^0.75 = 8
    assert "65 g per kg^0.75" in check.advice


def test_one_full_day_is_low_when_the_mean_is_inside() -> None:
    """100 and 50 g per kg^0.75 have a mean of 75."""
    sheet = records.sheet(
        {
            "roots": [f"{{food: chop, amount: {per_kg34(100)}}}"],
            "less": [f"{{food: chop, amount: {per_kg34(50)}}}"],
        }
    )
    rota = records.rota([f"{{morning: {meal}, afternoon: no feed}}" for meal in ("roots", "less")])
    assert findings(said("", sheet=sheet, rota=rota)) == {
        (Verdict.BREACH, Severity.LOW, "one full day")
    }


def test_a_slip_on_one_day_is_found_though_the_mean_hides_it() -> None:
    """One day of 14 at 200 g per kg^0.75, the others at 60: the mean is 70."""
    sheet = records.sheet(
        {
            "roots": [f"{{food: chop, amount: {per_kg34(60)}}}"],
            "slip": [f"{{food: chop, amount: {per_kg34(200)}}}"],
        }
    )
    rota = records.rota(
        [f"{{morning: {'slip' if n == 4 else 'roots'}, afternoon: no feed}}" for n in range(14)]
    )
    checks = said("", sheet=sheet, rota=rota, dietcheck=records.settings(rota_days=14))
    (check,) = [c for c in checks if c.verdict is Verdict.BREACH]
    assert check.severity is Severity.HIGH
    assert {when.number for when in check.occasions} == {5}


def test_planned_fasts_count_as_days_without_food() -> None:
    """100 g per kg^0.75 every other day is a mean of 50."""
    rota = records.rota(["{morning: roots, afternoon: no feed}", "{fast: planned}"])
    assert findings(said(per_kg34(100), rota=rota)) == {
        (Verdict.BREACH, Severity.LOW, "one full day")
    }


def test_a_day_with_a_hole_does_not_make_the_portion_too_little() -> None:
    rota = records.rota(["{morning: roots, afternoon: no feed}", "{morning: roots}"])
    assert not findings(said(per_kg34(67), rota=rota))


def test_the_share_of_a_group_amount_is_judged() -> None:
    """Two tapirs share twice the amount."""
    two = [LITTLE_TAPIR, LITTLE_TAPIR.replace("T1", "T2")]
    assert not findings(said(f"{67 * 16 * 2} g per group", *two))
    assert findings(said(f"{67 * 16 * 2} g per animal", *two)) == {
        (Verdict.BREACH, Severity.LOW, "too much food")
    }


def test_pieces_nobody_has_weighed_cannot_be_told() -> None:
    foods = records.foods(chop="{label: {basis: as fed, moisture: 50 %}}")
    checks = said("2 pieces per animal", foods=foods)
    assert {(verdict, about) for verdict, _, about in findings(checks)} == {
        (Verdict.CANNOT_TELL, "portion cannot be told")
    }
    assert any("piece mass" in check.settles for check in checks)


def test_a_wide_ad_lib_amount_is_a_mild_cannot_tell_when_its_best_estimate_is_inside() -> None:
    """67 g per kg^0.75, half as much or half as much again."""
    assert findings(said(f'"ad lib, expected {per_kg34(67)}"')) == {
        (Verdict.CANNOT_TELL, Severity.LOW, "portion cannot be told")
    }


def test_no_weight_cannot_be_told() -> None:
    checks = said(per_kg34(67), "{id: T1}")
    assert len(checks) == 1
    assert findings(checks) == {
        (Verdict.CANNOT_TELL, Severity.MEDIUM, "portion without a body mass")
    }


def test_a_weight_out_of_date_is_no_pass_but_a_breach_all_the_same() -> None:
    """The park of the tests weighs mammals every 90 days."""
    old = LITTLE_TAPIR.replace("2026-11-20", "2026-05-20")
    assert findings(said(per_kg34(67), old)) == {(Verdict.CANNOT_TELL, Severity.LOW, "old weight")}
    assert (Verdict.BREACH, Severity.HIGH, "too much food") in findings(said(per_kg34(670), old))


def test_an_infant_is_not_held_against_the_range_of_adults() -> None:
    young = LITTLE_TAPIR.replace("{id: T1", "{id: T1, stage: infant")
    assert not findings(said(per_kg34(100), young))


@pytest.mark.parametrize(
    ("mass", "amount", "verdicts"),
    [
        # 3 to 4 % of body mass as dry matter: E001, GeoffMarm, seen as a reprint: medium
        ("300 g", "24 g per animal", set()),
        ("300 g", "25 g per animal", {(Severity.MEDIUM, "too much food")}),
        ("300 g", "17 g per animal", {(Severity.MEDIUM, "too little food")}),
        ("300 g", "49 g per animal", {(Severity.HIGH, "too much food")}),
    ],
)
def test_marmosets_by_share_of_body_mass(
    mass: str, amount: str, verdicts: set[tuple[Severity, str]]
) -> None:
    animal = f"{{id: M1, weighings: [{{on: 2026-11-20, mass: {mass}}}]}}"
    group = records.group(species="Callithrix geoffroyi", animals=[animal])
    found = findings(said(amount, group=group))
    assert {(severity, about) for _, severity, about in found} == verdicts


def test_the_meerkat_row_for_dry_feed_is_not_applied_to_meerkats() -> None:
    """E011 prints 32 to 44 g of dry feed alone; 60 g of watery food is no breach of it."""
    animal = "{id: MK, weighings: [{on: 2026-11-20, mass: 800 g}]}"
    group = records.group(species="Suricata suricatta", animals=[animal])
    assert not findings(said("60 g per animal", group=group))


@pytest.mark.parametrize(
    ("species", "mass", "amount", "about"),
    [
        # 250 g per kg^0.75: common practice, no source. 16 kg is 8 kg^0.75.
        ("Hydrochoerus hydrochaeris", "16 kg", "4 kg per animal", None),
        ("Hydrochoerus hydrochaeris", "16 kg", "4001 g per animal", Severity.HIGH),
        # 80 g per kg^0.75 over the rota: common practice, no source. 4 kg a day are 40.
        ("Python regius", "16 kg", "1280 g per animal", None),
        ("Python regius", "16 kg", "1281 g per animal", Severity.HIGH),
    ],
)
def test_ceilings_catch_slips_where_no_range_is_published(
    species: str, mass: str, amount: str, about: Severity | None
) -> None:
    animal = f"{{id: X, weighings: [{{on: 2026-11-20, mass: {mass}}}]}}"
    group = records.group(species=species, animals=[animal])
    found = findings(said(amount, group=group))
    assert {severity for _, severity, _ in found} == ({about} if about else set())


def test_a_snake_that_swallows_a_tenth_of_itself_every_fortnight_is_kept() -> None:
    animal = "{id: PY, weighings: [{on: 2026-11-20, mass: 1.6 kg}]}"
    group = records.group(species="Python regius", animals=[animal])
    days = ["{morning: roots, afternoon: no feed}", *["{fast: planned}"] * 13]
    own = records.settings(rota_days=14)
    checks = said("160 g per animal", group=group, rota=records.rota(days), dietcheck=own)
    assert not findings(checks)


def test_insects_have_no_range_and_no_ceiling() -> None:
    group = (
        "record: group\nid: tapir\nspecies: Extatosoma tiaratum\nenclosure: Cage\nfed: together\n"
        "colony: {count: 30, mass: 5 to 20 g, on: 2026-11-20}\n"
    )
    (check,) = said("5 g per animal", group=group)
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_a_limit_of_the_house_in_grams_an_animal_is_read() -> None:
    limit = (
        "record: limits\nlimits:\n  - {group: tapir, quantity: food-intake, at_most: 1 kg per "
        "animal, over: day, severity: medium, why: test, set_by: Dr Vale, on: 2026-03-01}\n"
    )
    assert not findings(said("1000 g per animal", house=limit)) - {
        (Verdict.BREACH, Severity.LOW, "too little food"),
    }
    assert (Verdict.BREACH, Severity.MEDIUM, "too much food") in findings(
        said("1001 g per animal", house=limit)
    )


@settings(deadline=None, max_examples=40)
@given(st.integers(1, 40_000), st.integers(1, 400))
def test_more_food_is_never_graded_milder_than_less(grams: int, more: int) -> None:
    """On the upper side: from the bottom of the range on, worse only gets worse."""
    least = 48 * 16
    ranks = [
        min((s.rank for _, s, _ in findings(said(f"{least + g} g per animal"))), default=3)
        for g in (grams, grams + more)
    ]
    assert ranks[1] <= ranks[0]


def test_the_weighing_and_the_amount_that_were_used_are_shown() -> None:
    """A tapir of 16 kg with 200 g of dry matter per kg^0.75: 3200 g of chop."""
    checks = [c for c in said(per_kg34(200)) if c.verdict is Verdict.BREACH]
    assert checks
    for check in checks:
        paths = [place.path for place in check.places]
        assert any(path[-1] == "amount" for path in paths)
        assert any("weighings" in path for path in paths)
        # 3200 g, half of it water, are 1600 g dry matter; 1600 ÷ 8 = 200 for each kg^0.75.
        assert any("3200 g × 50 %" in step and "1600 g" in step for step in check.working)
        assert any(step.startswith("= 200 g per kg^0.75") for step in check.working)


def test_a_kept_portion_tells_how_far_it_is_from_the_limits() -> None:
    """67 g per kg^0.75 are 536 g dry matter in 16 kg, and 1072 g as fed: 6.7 %."""
    checks = said(per_kg34(67))
    assert {check.verdict for check in checks} == {Verdict.KEPT}
    told = {(str(c.measured.value.low), c.measured.unit) for c in checks if c.measured}
    assert any(Decimal(low) == 67 and unit == "g/kg^0.75" for low, unit in told)
    assert any(Decimal(low) == Decimal("6.7") and unit == "%" for low, unit in told)


def test_without_a_rota_there_is_no_portion() -> None:
    files = records.small()
    del files["rota.yaml"]
    outcome = outcome_of(portion_for_body_mass, files, records.ON)
    (check,) = checks_of(outcome, "tapir")
    assert check.verdict is Verdict.NOT_APPLICABLE


@pytest.mark.parametrize(
    ("unit", "value", "tenth"),
    [
        ("g per kg^0.75", 200, "20 g per kg^0.75"),  # 1600 g dry matter ÷ 16^0.75
        ("g per kg body mass", 100, "10 g per kg body mass"),  # ÷ 16 kg
        ("g per animal", 1600, "160 g"),
        ("mg per animal", 1_600_000, "160000 mg"),
        ("kg per animal", Decimal("1.6"), "0.16 kg"),
    ],
)
def test_a_house_range_in_each_unit_and_what_a_tenth_would_be(
    unit: str, value: Decimal | int, tenth: str
) -> None:
    house = (
        f"record: limits\nlimits:\n  - {{taxon: Tapirus, quantity: dry-matter-intake, at_least:"
        f" 0.01 {unit}, at_most: 0.7 {unit}, over: rota, severity: medium, why: invented,"
        " set_by: Dr Vale, on: 2026-01-01}\n"
    )
    checks = [c for c in said(per_kg34(200), limits=house) if c.limit and c.limit.set_by]
    (check,) = [c for c in checks if c.verdict is Verdict.BREACH]
    assert check.measured is not None
    assert check.measured.value.low == check.measured.value.high == value
    assert f"would bring the total to {tenth}" in check.advice


HEAVY = LITTLE_TAPIR.replace("T1", "T2").replace("16 kg", "81 kg")  # 27 kg^0.75
TWO_MEALS = records.rota(
    ["{morning: roots, afternoon: no feed}", "{morning: more, afternoon: no feed}"]
)


def two_meals(first: int, second: int) -> str:
    """A sheet of two meals, fed on alternate days."""
    meals = {"roots": first, "more": second}
    return records.sheet(
        {meal: [f"{{food: chop, amount: {per_kg34(dry)}}}"] for meal, dry in meals.items()}
    )


def breach(checks: tuple[Check, ...]) -> Check:
    (check,) = [check for check in checks if check.verdict is Verdict.BREACH]
    return check


def test_an_animal_that_is_too_light_for_its_portion_is_named_first_with_how_many_times() -> None:
    """1000 g per kg^0.75 are 11.6 times 86 g; the heavy one gets 8000 ÷ 27 = 296 g, above it too.
    Neither is told a second time, by a ceiling or as kept."""
    checks = said(per_kg34(1000), HEAVY, LITTLE_TAPIR)
    check = breach(checks)
    assert check.animals == ("T1", "T2")
    assert "11.6 times" in check.message
    assert "day 1:" in check.message
    assert len(checks) == 1
    assert steps(check.working)[:3] == [
        ["16000", "50", "8000"],
        ["8000"],
        ["16", "0.75", "8"],
    ]
    far = breach(said(per_kg34(8600)))  # a hundred times the top
    assert "times" not in far.message


def test_too_little_and_too_much_each_name_the_worst_animal_and_the_mean() -> None:
    low = breach(said(per_kg34(20), LITTLE_TAPIR, HEAVY))  # 20, and 160 ÷ 27 = 5.93
    assert low.animals == ("T2", "T1")
    assert "5.93 g per kg^0.75 of dry matter offered a day on the mean" in low.message
    assert "less than half the bottom of 48 to 86" in low.message
    assert steps(low.working)[:3] == [["640", "320"], ["2", "160"], ["81", "0.75", "27"]]
    assert [when.on.day for when in low.occasions] == [24, 25]
    less = breach(said(per_kg34(40)))
    assert "below the bottom" in less.message
    lighter = LITTLE_TAPIR.replace("T1", "T0").replace("16", "15")
    high = breach(said(per_kg34(150), LITTLE_TAPIR, lighter))
    assert high.animals == ("T0", "T1")
    assert "above the top" in high.message
    assert low.advice == less.advice != high.advice
    assert "ad lib" in low.advice


def test_what_is_found_outside_its_range_is_not_called_kept_by_it() -> None:
    checks = said(per_kg34(100))
    assert [check.verdict for check in checks if check.limit and check.limit.at_least] == [
        Verdict.BREACH
    ]
    assert {check.verdict for check in checks} == {Verdict.BREACH, Verdict.KEPT}


def test_a_range_and_a_ceiling_are_told_apart_and_so_are_dry_matter_and_food_as_fed() -> None:
    told = [check.message for check in said(per_kg34(67))]
    assert [figures(message)[1:] for message in told] == [
        ["67", "0.75", "48", "86", "0.75", "2009"], ["67", "0.75", "250", "0.75"],
        ["6.7", "37.5"],
    ]  # fmt: skip
    assert ["range" in message for message in told] == [True, False, False]
    assert ["ceiling" in message for message in told] == [False, True, True]
    assert ["dry matter" in message for message in told] == [True, True, False]
    assert ["as fed" in message for message in told] == [False, False, True]


def test_one_slip_past_both_ceilings_is_told_once_and_as_no_pass() -> None:
    """7 kg of chop a day for 16 kg of capybara: 437.5 g per kg^0.75 and 43.75 % of its mass."""
    group = records.group(
        species="Hydrochoerus hydrochaeris", animals=[HEAVY, LITTLE_TAPIR.replace("T1", "T3")]
    )
    checks = said("7 kg per animal", group=group)
    check = breach(checks)
    assert check.animals == ("T3",)
    kept = [one.animals for one in checks if one.verdict is Verdict.KEPT]
    assert kept == [("T2",), ("T2",)]


def test_a_slip_over_a_rota_shows_what_a_tenth_of_the_biggest_food_would_give() -> None:
    """A python of 16 kg: 2 kg of pellet and 0.4 kg of chop on one of two days are 600 g of dry
    matter a day, 75 g per kg^0.75, and 4 kg on top 1100 g, 137.5; a tenth of pellet, 0.3 kg,
    leaves 350 ÷ 2 = 175 g a day and 21.9 g per kg^0.75."""
    group = records.group(species="Python regius", animals=[LITTLE_TAPIR])
    sheet = records.sheet(
        {
            "roots": ["{food: pellet, amount: 3 kg per animal}"],
            "more": ["{food: chop, amount: 400 g per animal}"],
        }
    )
    foods = records.foods(chop=HALF, pellet=HALF)
    checks = said("", group=group, foods=foods, sheet=sheet, rota=TWO_MEALS)
    check = breach(checks)
    assert "on the mean of the rota" in check.message
    assert "21.9 g per kg^0.75" in check.advice
    assert steps(check.working)[:3] == [["3000", "1500"], ["400", "200"], ["2", "850"]]


def test_lines_of_one_animal_and_amounts_by_mass_are_reckoned_animal_by_animal() -> None:
    twin = LITTLE_TAPIR.replace("T1", "T2")
    extra = records.sheet(
        {
            "roots": [
                f"{{food: chop, amount: {per_kg34(60)}}}",
                f"{{food: chop, amount: {per_kg34(60)}, for: [T2]}}",
            ]
        }
    )
    assert breach(said("", LITTLE_TAPIR, twin, sheet=extra)).animals == ("T2",)
    # 50 g of chop per kg are 25 g of dry matter per kg: 50 g per kg^0.75 for 16 kg, 75 for 81 kg
    assert not findings(said("50 g per kg body mass", LITTLE_TAPIR, HEAVY))
    (check,) = [c for c in said("70 g per kg body mass", LITTLE_TAPIR, HEAVY) if c.occasions]
    assert check.animals == ("T2",)  # 35 × 81 ÷ 27 = 105


def test_an_animal_that_leaves_is_judged_on_its_last_full_run() -> None:
    """20, 67 and 114 g per kg^0.75 in turn have a mean of 67; its last two days have 43.5."""
    meals = {"roots": 20, "more": 67, "most": 114}
    sheet = records.sheet(
        {meal: [f"{{food: chop, amount: {per_kg34(dry)}}}"] for meal, dry in meals.items()}
    )
    rota = records.rota([f"{{morning: {meal}, afternoon: no feed}}" for meal in meals])
    three = records.settings(rota_days=3)
    leaving = LITTLE_TAPIR.replace("{id: T1", "{id: T1, here_until: 2026-11-26")
    checks = said("", leaving, sheet=sheet, rota=rota, dietcheck=three)
    assert not any("too little" in check.about for check in checks)


def test_food_of_a_day_on_which_an_animal_is_gone_is_not_its_own() -> None:
    """4 kg of chop by date, on a day after one of the two has left."""
    treats = (
        "record: treats\ntreats:\n  - {on: 2026-12-01, group: tapir, purpose: training, "
        "items: [{food: chop, amount: 4 kg per animal}]}\n"
    )
    leaving = LITTLE_TAPIR.replace("{id: T1", "{id: T1, here_until: 2026-11-30")
    checks = said(per_kg34(67), leaving, LITTLE_TAPIR.replace("T1", "T2"), treats=treats)
    slips = [check for check in checks if check.severity is Severity.HIGH]
    assert [check.animals for check in slips] == [("T2",)]


def test_a_hole_in_one_of_four_days_leaves_the_mean_of_the_other_three() -> None:
    """Days of 40, 94, a hole and 94: 228 ÷ 3 = 76 g per kg^0.75."""
    meal = "{morning: %s, afternoon: no feed}"
    rota = records.rota([meal % "roots", meal % "more", "{morning: roots}", meal % "more"])
    checks = said("", sheet=two_meals(40, 94), rota=rota, dietcheck=records.settings(rota_days=4))
    (check,) = [c for c in checks if c.limit and c.limit.at_least and c.verdict is Verdict.KEPT]
    assert check.measured
    assert check.measured.value.low == 76


@pytest.mark.parametrize("bound", ["5 g per kg dry matter", "5 mm", "5 % of energy"])
def test_a_house_range_that_cannot_be_reckoned_is_asked_about(bound: str) -> None:
    house = (
        f"record: limits\nlimits:\n  - {{group: tapir, quantity: food-intake, at_most: {bound}, "
        "over: rota, severity: low, why: x, set_by: Dr Vale, on: 2026-03-01}\n"
    )
    checks = [c for c in said(per_kg34(67), limits=house) if c.limit and c.limit.set_by]
    assert [(c.verdict, c.places[0].file) for c in checks] == [(Verdict.CANNOT_TELL, "limits.yaml")]


@pytest.mark.parametrize("over", ["day", "meal", "7 days"])
def test_a_house_range_over_a_day_is_held_against_the_fullest_day_only(over: str) -> None:
    """100 g per kg^0.75 one day and 50 the other; a span that is no day and no rota is asked."""
    house = (
        "record: limits\nlimits:\n  - {group: tapir, quantity: dry-matter-intake, at_most: 86 g per"
        f" kg^0.75, over: {over}, severity: low, why: x, set_by: Dr Vale, on: 2026-03-01}}\n"
    )
    checks = said("", sheet=two_meals(50, 100), rota=TWO_MEALS, limits=house)
    (check,) = [c for c in checks if c.limit and c.limit.set_by]
    assert check.verdict is (Verdict.BREACH if over == "day" else Verdict.CANNOT_TELL)
    assert check.about != "one full day"
    assert "mean" not in check.message


def test_one_animal_that_cannot_be_told_does_not_hide_that_another_is_inside() -> None:
    sheet = records.sheet(
        {
            "roots": [
                "{food: chop, amount: 'ad lib, expected 640 to 1600 g per animal', for: [T1]}",
                f"{{food: chop, amount: {per_kg34(67)}, for: [T2]}}",
                "{food: salt, amount: 1 to 2 g per animal, for: [T1]}",
            ]
        }
    )
    foods = records.foods(chop=HALF, salt="{label: {basis: as fed, moisture: 40 to 60 %}}")
    twin = LITTLE_TAPIR.replace("T1", "T2")
    checks = said("", LITTLE_TAPIR, twin, sheet=sheet, foods=foods)
    of_range = [c for c in checks if c.limit and c.limit.at_least]
    assert {(c.verdict, c.animals) for c in of_range} == {
        (Verdict.CANNOT_TELL, ("T1",)), (Verdict.KEPT, ("T2",)),
    }  # fmt: skip
    (open_one,) = [c for c in of_range if c.verdict is Verdict.CANNOT_TELL]
    assert "chop" in open_one.settles
    assert "salt" not in open_one.settles
    assert any("salt" in why for why in open_one.weak)
    assert not any(c.weak for c in checks if c.verdict is Verdict.KEPT)


def test_dry_matter_that_is_a_range_is_asked_for_food_by_food() -> None:
    wet = "{label: {basis: as fed, moisture: 20 to 80 %}}"
    names = ("chop", "bran", "clover", "pellet")
    lines = [f"{{food: {food}, amount: 268 g per animal}}" for food in names]
    foods = records.foods(**dict.fromkeys(names, wet))
    checks = said("", sheet=records.sheet({"roots": lines}), foods=foods)
    (check,) = [c for c in checks if c.limit and c.limit.at_least]
    assert check.verdict is Verdict.CANNOT_TELL
    asked = [food for food in names if food in check.settles]
    assert len(asked) == len(check.places) == 3
    assert "each food" not in check.settles


def test_a_weight_out_of_date_leaves_the_other_animal_s_portion_kept() -> None:
    old = LITTLE_TAPIR.replace("2026-11-20", "2026-05-20")
    checks = said(per_kg34(67), old, LITTLE_TAPIR.replace("T1", "T2"))
    assert [c.animals for c in checks if c.verdict is Verdict.KEPT] == [("T2",)] * 3
    stale = [c for c in checks if c.about == "old weight"]
    assert [c.animals for c in stale] == [("T1",)] * 3
    assert all("T1" in " ".join(c.weak) for c in stale)
    assert all("weighings" in c.places[0].path for c in stale)
    whole = stale[2]  # food as fed: neither dry matter nor kg^0.75 in it
    assert steps(whole.working)[:2] == [["1070"], ["1070"]]
    assert whole.working[2] == "body mass: 16 kg"


def test_the_fullest_day_names_the_animal_it_is_most_for() -> None:
    twin = LITTLE_TAPIR.replace("T1", "T0").replace("16 kg", "15 kg")
    checks = said("", LITTLE_TAPIR, twin, sheet=two_meals(50, 100), rota=TWO_MEALS)
    check = breach(checks)
    assert check.about == "one full day"
    assert figures(check.message)[0] == "0"  # T0
    assert "day 2" in check.message


@pytest.mark.parametrize(("count", "left"), [(8, None), (9, "1"), (10, "2")])
def test_a_long_list_of_foods_is_cut_and_says_how_many_more(count: int, left: str | None) -> None:
    names = [f"f{n}" for n in range(count)]
    lines = [f"{{food: {name}, amount: 500 g per animal}}" for name in names]
    foods = records.foods(**dict.fromkeys(names, HALF))
    check = breach(said("", sheet=records.sheet({"roots": lines}), foods=foods))
    told = steps(check.working)
    assert len(told) == min(count, 8) + (1 if left else 0) + 3
    if left:
        assert told[8] == [left]


def test_no_food_at_all_points_at_the_rota() -> None:
    check = breach(said(per_kg34(67), rota=records.rota(["{fast: planned}"] * 2)))
    assert check.places[0].file == "rota.yaml"


def test_why_nothing_is_judged_tells_a_missing_rota_from_a_missing_animal() -> None:
    files = records.small()
    del files["rota.yaml"]
    (check,) = checks_of(outcome_of(portion_for_body_mass, files, records.ON), "tapir")
    assert "rota" in check.message
    gone = LITTLE_TAPIR.replace("{id: T1", "{id: T1, here_until: 2026-11-20")
    (check,) = said(per_kg34(67), gone)
    assert "animal" in check.message


def test_the_food_of_a_snake_on_an_old_weight_is_told_over_the_rota_as_fed() -> None:
    old = LITTLE_TAPIR.replace("2026-11-20", "2023-05-20")
    group = records.group(species="Python regius", animals=[old])
    settings_ = records.settings().replace("Aves:", "Reptilia: 90 days, Aves:")
    checks = said("100 g per animal", group=group, dietcheck=settings_)
    (check,) = [c for c in checks if c.about == "old weight" and "as fed" in c.message]
    assert steps(check.working)[:2] == [["200"], ["2", "100"]]


def test_food_that_begins_later_is_too_little_for_a_floor_of_the_house() -> None:
    house = (
        "record: limits\nlimits:\n  - {group: tapir, quantity: food-intake, at_least: 1 kg per "
        "animal, over: day, severity: medium, why: x, set_by: Dr Vale, on: 2026-03-01}\n"
    )
    later = records.rota(["{fast: planned}"] * 2, start="2026-12-05")
    checks = said(per_kg34(67), rota=later, limits=house)
    (check,) = [c for c in checks if c.limit and c.limit.set_by]
    assert check.verdict is Verdict.BREACH


def test_a_food_of_no_known_mass_beside_a_slip_shows_no_tenth() -> None:
    sheet = records.sheet(
        {
            "roots": [
                "{food: chop, amount: 16 kg per animal}",
                "{food: syrup, amount: 9 ml per animal}",
            ]
        }
    )
    check = breach(said("", sheet=sheet, foods=records.foods(chop=HALF, syrup=HALF)))
    assert "tenth" not in check.advice
    assert check.severity is Severity.HIGH


def test_a_floor_of_the_house_for_plausible_food_tells_no_times() -> None:
    house = (
        "record: limits\nlimits:\n  - {group: tapir, quantity: plausible-food, at_least: 50 % of "
        "body mass, over: day, severity: low, why: x, set_by: Dr Vale, on: 2026-03-01}\n"
    )
    checks = [c for c in said(per_kg34(67), limits=house) if c.limit and c.limit.set_by]
    assert [check.verdict for check in checks] == [Verdict.BREACH]
    assert "times" not in checks[0].message
