"""What a food holds of each quantity, and each basis of a limit of the house. Labels, diets and
house limits are invented so that the figure is plain arithmetic."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pytest

from dietcheck.contract import Check, Interval, Severity, Verdict, find_taxon
from dietcheck.quantities import between, exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import nutrient_range
from dietcheck_rules.nutrient_range.measures import content, gauge_for, rest_of_energy, states
from tests import records
from tests.rules.worked import figures, steps

BREACH, KEPT, OPEN = Verdict.BREACH, Verdict.KEPT, Verdict.CANNOT_TELL
MACAQUE, BOA, TAPIR = "Macaca fuscata", "Boa constrictor", "Tapirus terrestris"


def label(figures_: str, more: str = "") -> str:
    """A dry food whose label prints some figures."""
    return f"{{label: {{basis: as fed, moisture: 0 %, {figures_}}}{more}}}"


def fed(*lines: str, **foods: str) -> dict[str, str]:
    """A park whose tapirs get some lines once a day."""
    return records.small(
        foods=records.foods(**foods),
        sheet=records.sheet({"roots": list(lines)}),
        rota=records.rota(["{morning: roots, afternoon: no feed}"] * 2),
    )


def held(
    entry: str, quantity: str, unit: str, species: str = MACAQUE, *, ceiling: Any = False,
    **more: str,
) -> Interval:  # fmt: skip
    """What 100 g of a food hold, in the unit of the gauge that can meet a limit in `unit`."""
    diet = records.diet(fed("{food: thing, amount: 1 g per animal}", thing=entry, **more))
    gauge, taxon = gauge_for(quantity, unit), find_taxon(species)
    assert gauge is not None
    assert taxon is not None
    food = diet.collection.foods["thing"]
    return content(food, gauge, diet.profiles, taxon, ceiling=ceiling)


INFINITE = Decimal("Infinity")


@pytest.mark.parametrize(
    ("figure", "quantity", "unit", "per_100g"),
    [
        ("vitamin_e: 100 mg/kg", "vitamin-e", "mg/kg", exact(10)),
        ("vitamin_e: 100 mg/kg", "vitamin-e", "IU/kg", between(10, "14.9")),  # 1 to 1.49 IU a mg
        ("vitamin_e_iu: 100 IU/kg", "vitamin-e", "mg/kg", between("6.7", 10)),
        ("crude_fibre: 10 %, fibre: 20 %", "fibre", "%", between(10, 20)),
        ("crude_fibre: 10 %, fibre: 20 %, ndf: 30 %", "fibre", "%", between(10, 30)),
        ("vitamin_k1: 1 mg/kg", "vitamin-k", "µg/kg", Interval(Decimal(100), INFINITE)),
        ("mufa: 1 %, pufa: 2 %", "unsaturated-fatty-acids", "%", exact(3)),
        ("crude_protein: 12.5 %", "nitrogen-maintenance", "g", exact(2)),  # 6.25
        ("energy: 3 kcal/g", "energy-density", "kcal/kg", exact(300)),
        ("zinc: 50 mg/kg", "zinc", "mg/kg", exact(5)),
    ],
)
def test_what_a_label_says_is_what_counts(
    figure: str, quantity: str, unit: str, per_100g: Interval
) -> None:
    found = held(label(figure), quantity, unit)
    assert (found.low, found.high) == (per_100g.low, per_100g.high)


@pytest.mark.parametrize(
    ("figure", "unit", "ceiling", "per_100g"),
    [
        ("vitamin_a: 12000 IU/kg", "IU/kg", True, exact(1200)),
        ("vitamin_a: 12000 IU/kg", "mg/kg", True, exact(360)),  # 0.3 µg of retinol an IU
        ("retinol: 30 mg/kg", "IU/kg", True, exact(10_000)),
        # an activity may be of carotenoids altogether, which do no harm
        ("vitamin_a_rae: 30 mg/kg", "mg/kg", True, between(0, 3000)),
        ("vitamin_a_rae: 30 mg/kg", "mg/kg", False, exact(3000)),
    ],
)
def test_vitamin_a_for_a_ceiling_is_what_was_put_in_ready_made(
    figure: str, unit: str, ceiling: bool, per_100g: Interval
) -> None:
    found = held(label(figure), "vitamin-a", unit, ceiling=ceiling)
    assert (found.low, found.high) == (per_100g.low, per_100g.high)


@pytest.mark.parametrize(
    ("figure", "species", "kcal"),
    [
        ("carbohydrate: 50 %, fibre: 10 %, crude_fibre: 4 %", MACAQUE, between(160, 200)),
        ("carbohydrate: 50 %, crude_fibre: 4 %", MACAQUE, between(184, 200)),
        ("carbohydrate: 50 %", MACAQUE, exact(200)),
        ("carbohydrate: 5 %, fibre: 10 %", MACAQUE, between(0, 20)),
        ("carbohydrate: 50 %", BOA, exact(175)),  # no factors of its own: 3.5 kcal a gram
    ],
)
def test_fibre_may_or_may_not_bring_energy(figure: str, species: str, kcal: Interval) -> None:
    found = held(label(figure), "energy-from-carbohydrate", "%", species)
    assert (found.low, found.high) == (kcal.low, kcal.high)


def test_a_mix_holds_what_its_parts_hold_by_their_shares() -> None:
    """A quarter with 1200 IU of vitamin A and 10 mg of E, the rest with none of A and 2 mg of E."""
    parts = {
        "rich": label("vitamin_a: 12000 IU/kg, vitamin_e: 100 mg/kg, crude_protein: 20 %"),
        "poor": label("vitamin_a: 0 IU/kg, vitamin_e: 20 mg/kg, crude_protein: 8 %"),
    }
    mix = "{mix: {rich: 25 %, poor: 75 %}}"
    assert held(mix, "vitamin-a", "IU/kg", ceiling=True, **parts) == exact(300)
    assert held(mix, "vitamin-e", "mg/kg", **parts) == exact(4)
    assert held(mix, "energy-from-protein", "%", **parts) == exact(44)  # 11 g × 4 kcal


def test_the_rest_of_the_energy_is_that_of_the_two_other_nutrients() -> None:
    entry = label("crude_protein: 10 %, crude_fat: 20 %, carbohydrate: 30 %")
    diet = records.diet(fed("{food: thing, amount: 1 g per animal}", thing=entry))
    taxon, food = find_taxon(MACAQUE), diet.collection.foods["thing"]
    assert taxon is not None
    for name, kcal in (("protein", 300), ("fat", 160), ("carbohydrate", 220)):
        gauge = gauge_for(f"energy-from-{name}", "%")
        assert gauge is not None
        assert rest_of_energy(food, gauge, diet.profiles, taxon) == exact(kcal)


@pytest.mark.parametrize(
    ("entry", "quantity", "unit", "told"),
    [
        (label("crude_protein: 10 %, crude_fat: 20 %"), "energy-from-fat", "%", True),
        (label("crude_protein: 10 %"), "energy-from-fat", "%", False),
        (label("vitamin_e_iu: 9 IU/kg"), "vitamin-e", "mg/kg", True),
        ("{mix: {full: 50 %, mute: 50 %}}", "zinc", "mg/kg", False),
        ("{mix: {full: 50 %, other: 50 %}}", "zinc", "mg/kg", True),
    ],
)
def test_a_food_states_a_quantity_when_all_of_it_does(
    entry: str, quantity: str, unit: str, told: bool
) -> None:
    foods = {"full": label("zinc: 5 mg/kg"), "other": label("zinc: 0 mg/kg"),
             "mute": label("iron: 5 mg/kg")}  # fmt: skip
    diet = records.diet(fed("{food: thing, amount: 1 g per animal}", thing=entry, **foods))
    gauge = gauge_for(quantity, unit)
    assert gauge is not None
    assert states(diet.collection.foods["thing"], gauge, diet.profiles) is told


# -- limits of the house ---------------------------------------------------------------------------


def house(quantity: str, bound: str, over: str = "rota", more: str = "") -> str:
    return (
        f"{{group: tapir, quantity: {quantity}, {bound}, over: {over}, severity: medium, "
        f"why: invented, set_by: Dr Vale, on: 2026-01-01{more}}}"
    )


SIXTEEN = "{id: T1, weighings: [{on: 2026-11-20, mass: 16 kg}]}"


def said(
    limits: Sequence[str], *lines: str, animals: Sequence[str] = (SIXTEEN,), species: str = TAPIR,
    more: Any = None, **foods: str,
) -> tuple[Check, ...]:  # fmt: skip
    """What the rule says of tapirs under limits of the house, their lines given once a day."""
    files = fed(*lines, **foods)
    files["group.yaml"] = records.group(species=species, animals=animals)
    if limits:
        rows = "".join(f"  - {row}\n" for row in limits)
        files["limits.yaml"] = f"record: limits\nlimits:\n{rows}"
    outcome = outcome_of(nutrient_range, {**files, **(more or {})}, records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def line(food: str = "feed", grams: object = 100, more: str = "") -> str:
    return f"{{food: {food}, amount: {grams} g per animal{more}}}"


FEED = label("crude_protein: 16 %, zinc: 80 mg/kg, energy: 4 kcal/g")


@pytest.mark.parametrize(
    ("quantity", "bound", "figure"),
    [
        ("zinc", "80 mg per kg as fed", "80"),
        ("zinc", "8 mg per animal", "8"),
        ("zinc", "0.5 mg per kg body mass", "0.5"),
        ("zinc", "1 mg per kg^0.75", "1"),  # 16^0.75 = 8
        ("zinc", "20 mg per 1000 kcal", "20"),  # 400 kcal in 100 g
        ("protein", "16 % of dry matter", "16"),
        ("protein", "160 g per kg", "160"),
    ],
)
def test_a_limit_on_any_basis_is_met_exactly_at_the_figure(
    quantity: str, bound: str, figure: str
) -> None:
    """100 g a day for 16 kg, of feed with 16 % protein and 8 mg of zinc."""
    for side in ("at_least", "at_most"):
        (check,) = said([house(quantity, f"{side}: {bound}")], line(), feed=FEED)
        assert check.verdict is KEPT, side
        assert check.measured is not None
        assert check.measured.value == exact(Decimal(figure))


def test_animals_of_different_mass_stand_apart_where_their_mass_counts() -> None:
    heavy = SIXTEEN.replace("T1", "T2").replace("16 kg", "20 kg")
    limit = house("zinc", "at_least: 0.5 mg per kg body mass")
    checks = said([limit], line(), animals=(SIXTEEN, heavy), feed=FEED)
    assert {(c.verdict, c.animals) for c in checks} == {(KEPT, ("T1",)), (BREACH, ("T2",))}
    alike = said([house("zinc", "at_least: 9 mg per animal")], line(), animals=(SIXTEEN, heavy),
                 feed=FEED)  # fmt: skip
    assert [c.animals for c in alike] == [("T1", "T2")]
    by_food = said([house("zinc", "at_least: 90 mg per kg as fed")], line(),
                   animals=(SIXTEEN, heavy), feed=FEED)  # fmt: skip
    assert [c.animals for c in by_food] == [("T1", "T2")]


def test_an_animal_that_gets_nothing_hides_no_other() -> None:
    twin = SIXTEEN.replace("T1", "T2")
    limit = house("zinc", "at_least: 90 mg per kg as fed")
    (check,) = said([limit], line(more=", for: [T2]"), animals=(SIXTEEN, twin), feed=FEED)
    assert (check.verdict, check.animals) == (BREACH, ("T2",))


def test_an_unreadable_limit_does_not_hide_those_after_it() -> None:
    limits = [house("protein", "at_most: 5 mm"), house("zinc", "at_least: 90 mg per kg as fed")]
    checks = said(limits, line(), feed=FEED)
    assert [c.verdict for c in checks] == [OPEN, BREACH]
    assert [place.file for place in checks[0].places] == ["limits.yaml"]


@pytest.mark.parametrize(
    ("first", "second", "worst"),
    [("at_least", 20, "20"), ("at_least", 120, "80"), ("at_most", 120, "120"),
     ("at_most", 20, "80")],
)  # fmt: skip
def test_the_worst_day_is_the_one_held_against_a_limit_of_a_day(
    first: str, second: int, worst: str
) -> None:
    """One day with 80 mg of zinc per kg, the other with more or less."""
    rota = records.rota(
        ["{morning: roots, afternoon: no feed}", "{morning: other, afternoon: no feed}"]
    )
    files = {
        "rota.yaml": rota,
        "sheet.yaml": records.sheet({"roots": [line()], "other": [line("more")]}),
    }
    limit = house("zinc", f"{first}: 50 mg per kg as fed", "day")
    files["foods.yaml"] = records.foods(feed=FEED, more=label(f"zinc: {second} mg/kg"))
    (check,) = said([limit], line(), more=files, feed=FEED)
    assert check.measured is not None
    assert check.measured.value == exact(Decimal(worst))


def test_a_range_of_the_house_keeps_its_grade_at_both_ends() -> None:
    ends = "at_least: 10 mg per kg as fed, at_most: 50 mg per kg as fed"
    (above, below) = said([house("zinc", ends)], line(), feed=FEED)
    found = {check.about.split()[1]: check for check in (above, below)}
    assert (found["much"].verdict, found["much"].severity) == (BREACH, Severity.MEDIUM)
    assert found["little"].verdict is KEPT
    assert found["much"].others == ()


@pytest.mark.parametrize(
    ("stage", "ends"),
    [("adult", {"much", "little"}), ("geriatric", {"much", "little"}), ("pregnant", {"little"})],
)
def test_the_young_and_pregnant_are_held_to_the_adult_floor_and_the_old_to_both_ends(
    stage: str, ends: set[str]
) -> None:
    rows = [house("zinc", "at_least: 90 mg per kg as fed", more=", stage: adult"),
            house("zinc", "at_most: 70 mg per kg as fed", more=", stage: adult")]  # fmt: skip
    animal = SIXTEEN.replace("{id: T1", f"{{id: T1, stage: {stage}")
    checks = said(rows, line(), animals=[animal], feed=FEED)
    assert {check.about.split()[1] for check in checks if check.verdict is BREACH} == ends


def test_a_limit_for_one_group_is_not_held_against_another_of_the_same_species() -> None:
    other = {
        "group2.yaml": records.group(id="more-tapirs", animals=[SIXTEEN.replace("T1", "M1")]),
        "sheet2.yaml": records.sheet({"roots": [line()]}, group="more-tapirs"),
        "rota2.yaml": records.rota(
            ["{morning: roots, afternoon: no feed}"] * 2, group="more-tapirs"
        ),
    }
    for own, theirs in (("tapir", "more-tapirs"), ("more-tapirs", "tapir")):
        limit = house("zinc", "at_least: 90 mg per kg as fed").replace("tapir", own)
        files = fed(line(), feed=FEED) | other
        files["group.yaml"] = records.group(animals=[SIXTEEN])
        files["limits.yaml"] = f"record: limits\nlimits: [{limit}]\n"
        outcome = outcome_of(nutrient_range, files, records.ON)
        assert [c.verdict for c in checks_of(outcome, own)] == [BREACH]
        assert [c.verdict for c in checks_of(outcome, theirs)] == [Verdict.NOT_APPLICABLE]


def test_a_house_limit_is_no_analogy_where_no_table_speaks_of_the_family() -> None:
    """NRC2003 has nothing for gibbons (B042)."""
    limit = house("zinc", "at_least: 90 mg per kg as fed")
    checks = said([limit], line(), species="Hylobates lar", feed=FEED)
    (own,) = [c for c in checks if c.limit and c.limit.set_by]
    assert own.severity is Severity.MEDIUM
    assert "analogy" not in own.message


# -- what is told ----------------------------------------------------------------------------------


def test_a_shortage_and_an_excess_are_told_with_foods_in_order_and_how_far() -> None:
    """In two days 200 g with 16 g and 60 g with 1.2 g of zinc-poor chaff; 17.2 mg in 260 g."""
    foods = {"feed": FEED, "chaff": label("zinc: 20 mg/kg")}
    lines = (line("chaff", 30), line("feed", 100))
    (low,) = said([house("zinc", "at_least: 90 mg per kg as fed")], *lines, **foods)
    assert steps(low.working) == [
        ["200", "8", "100", "16"], ["60", "2", "100", "1.2"], ["260", "2"],
        ["66.2"], ["90", "2026", "01", "01"], ["23.8"],
    ]  # fmt: skip
    assert [place.path[2] for place in low.places] == [1, 0]
    assert low.weak == ()
    assert "cannot be told" not in low.message
    assert figures(low.message)[1:3] == ["66.2", "90"]
    (high,) = said([house("zinc", "at_most: 50 mg per kg as fed")], *lines, **foods)
    assert "feed" in high.advice
    assert "chaff" not in high.advice
    assert low.advice != high.advice
    (kept,) = said([house("zinc", "at_most: 70 mg per kg as fed")], *lines, **foods)
    assert "within" in kept.message
    assert kept.advice == ""


def test_only_lines_that_an_animal_gets_are_pointed_at_and_three_foods_at_most() -> None:
    names = ["a", "b", "c", "d", "e", "f", "g"]
    foods = {name: label(f"zinc: {10 + n} mg/kg") for n, name in enumerate(names)}
    lines = [line(name) for name in names] + [line("g", 1, ", for: [T2]")]
    twin = SIXTEEN.replace("T1", "T2")
    limit = house("zinc", "at_least: 90 mg per kg as fed")
    checks = said([limit], *lines, animals=(SIXTEEN, twin), **foods)
    (check,) = [c for c in checks if "T1" in c.animals]
    assert [place.path[2] for place in check.places] == [6, 5, 4]
    told = steps(check.working)
    assert told[4][0] == "200"
    assert told[5] == ["2"]  # two of the seven foods are not listed


def test_an_excess_of_which_the_top_is_open_tells_what_is_known() -> None:
    some = label("vitamin_k1: 1 mg/kg")
    (check,) = said([house("vitamin-k", "at_most: 0.5 mg per kg as fed")], line(), feed=some)
    assert check.verdict is BREACH
    assert "1 mg" in check.message
    assert "at least" in check.message or "or more" in check.message


def test_without_a_weighing_a_figure_by_mass_cannot_be_told_and_one_by_animal_can() -> None:
    bare = ["{id: T1}"]
    (by_mass,) = said([house("zinc", "at_least: 1 mg per kg body mass")], line(), animals=bare,
                      feed=FEED)  # fmt: skip
    assert by_mass.verdict is OPEN
    assert "weighing" in by_mass.settles + by_mass.message
    (by_head,) = said([house("zinc", "at_least: 9 mg per animal")], line(), animals=bare,
                      feed=FEED)  # fmt: skip
    assert by_head.verdict is BREACH
    assert "weighing" not in by_head.message


@pytest.mark.parametrize(
    ("grams", "severity"), [(10, Severity.MEDIUM), (12, Severity.LOW)]
)  # of 100 and more g: silent produce under a tenth of the dry matter can hardly fill a gap
def test_silent_produce_is_too_little_to_help_below_a_tenth(grams: int, severity: Severity) -> None:
    leaf = "{class: browse, label: {basis: as fed, moisture: 0 %}}"
    limit = house("zinc", "at_least: 90 mg per kg as fed")
    (check,) = said([limit], line(), line("leaf", grams), feed=FEED, leaf=leaf)
    assert (check.verdict, check.severity) == (OPEN, severity)
    assert "leaf" in check.settles
    assert "feed" not in check.settles.replace("leaf", "")


def test_silent_foods_are_asked_about_the_largest_first_and_labels_before_analyses() -> None:
    mute = "{class: compound feed, label: {basis: as fed, moisture: 0 %}}"
    leaf = mute.replace("compound feed", "browse")
    limit = house("zinc", "at_least: 90 mg per kg as fed")
    foods = {"feed": FEED, "small": mute, "large": mute, "leaf": leaf}
    lines = [line("small", 10), line("large", 50), line("leaf", 40), line()]
    (check,) = said([limit], *lines, **foods)
    assert check.settles.index("large") < check.settles.index("small")
    assert "leaf" not in check.settles
    assert [place.path[1] for place in check.places] == ["large", "small"]
    (only_leaf,) = said([limit], *lines[2:], **foods)
    assert [place.path[1] for place in only_leaf.places] == ["leaf"]


def test_ranges_that_may_miss_the_table_say_so_and_whether_the_best_estimates_meet_it() -> None:
    zinc = house("zinc", "at_least: 70 mg per kg as fed").replace("medium", "low")
    some = label("zinc: 60 to 100 mg/kg")
    (vague,) = said([zinc], line(), feed=some)
    (medium,) = said([zinc.replace("severity: low", "severity: medium")], line(), line("chaff", 9),
                     feed=some, chaff=label("zinc: 0 mg/kg"))  # fmt: skip
    assert "feed" in medium.settles
    assert "chaff" not in medium.settles
    assert (vague.verdict, vague.severity) == (OPEN, Severity.LOW)
    ad_lib = ("{food: feed, amount: 'ad lib, expected 100 g per animal'}",
              "{food: chaff, amount: 'ad lib, expected 10 g per animal'}")  # fmt: skip
    (met,) = said([zinc], *ad_lib, feed=FEED, chaff=label("zinc: 0 mg/kg"))
    assert (met.verdict, met.severity) == (OPEN, Severity.LOW)
    assert "best estimates" in met.message
    assert "best estimates" not in vague.message


def test_why_nothing_is_judged_tells_no_animal_from_no_food() -> None:
    gone = "{id: T1, here_until: 2026-01-01}"
    (check,) = said([], line(), animals=[gone], feed=FEED)
    assert "animal" in check.message
    files = records.small(group=records.group(animals=[SIXTEEN]))
    del files["rota.yaml"]
    (check,) = checks_of(outcome_of(nutrient_range, files, records.ON), "tapir")
    assert "animal" not in check.message
    old = SIXTEEN.replace("{id: T1", "{id: T1, stage: geriatric")
    (check,) = said([], line(), animals=[old], feed=FEED)
    assert "geriatric" in check.message


def test_of_two_limits_of_the_house_the_stricter_counts_and_the_other_is_shown_once() -> None:
    rows = [house("zinc", f"at_most: {most} mg per kg as fed") for most in (70, 50, 60)]
    (check,) = said(rows, line(), feed=FEED)
    assert check.limit is not None
    assert check.limit.at_most == 50
    assert sorted(other.at_most or 0 for other in check.others) == [60, 70]
    ends = [house("zinc", "at_most: 50 mg per kg as fed"),
            house("zinc", "at_least: 90 mg per kg as fed")]  # fmt: skip
    for check in said(ends, line(), feed=FEED):
        assert check.verdict is BREACH
        assert len(check.others) == 1
    floors = [house("zinc", f"at_least: {least} mg per kg as fed") for least in (85, 95, 90)]
    (check,) = said(floors, line(), feed=FEED)
    assert check.limit is not None
    assert check.limit.at_least == 95


def test_energy_that_comes_from_protein_alone_may_be_all_of_it_and_an_estimate_is_kept() -> None:
    pure = label("crude_protein: 50 %, crude_fat: 0 %, carbohydrate: 0 %")
    limit = house("energy-from-protein", "at_least: 100 % of energy")
    (check,) = said([limit], line(), feed=pure)
    assert check.measured is not None
    assert check.measured.value.high == 100
    fatty = label("crude_protein: 0 %, crude_fat: 50 %, carbohydrate: 0 %")
    lines = [f"{{food: {food}, amount: 'ad lib, expected 100 g per animal'}}"
             for food in ("feed", "lard")]  # fmt: skip
    (check,) = said([limit], *lines, feed=pure, lard=fatty)
    assert check.measured is not None
    best = check.measured.value.best
    assert best is not None
    assert check.measured.value.low < best < check.measured.value.high
    assert 25 < best < 35  # tapirs have 4 kcal a gram of protein and 9 of fat, or 3.5 and 8.5


def test_of_two_open_days_the_one_that_may_be_poorer_is_shown() -> None:
    files = {
        "foods.yaml": records.foods(feed=label("zinc: 80 to 100 mg/kg"),
                                    more=label("zinc: 60 to 100 mg/kg")),
        "sheet.yaml": records.sheet({"roots": [line()], "other": [line("more")]}),
    }  # fmt: skip
    limit = house("zinc", "at_least: 90 mg per kg as fed", "day").replace("medium", "high")
    meal = "{morning: %s, afternoon: no feed}"
    for days in (("roots", "other"), ("other", "roots")):
        files["rota.yaml"] = records.rota([meal % name for name in days])
        (check,) = said([limit], line(), more=files)
        assert check.verdict is OPEN
        working = " ".join(check.working) + check.message
        assert "60" in working


def test_one_quantity_without_a_best_estimate_leaves_them_all_without() -> None:
    lines = [f"{{food: {food}, amount: 'ad lib, expected 100 g per animal'}}"
             for food in ("feed", "chaff")]  # fmt: skip
    feed = label("crude_protein: 40 %, zinc: 100 to 200 mg/kg")
    limits = [house("protein", "at_least: 15 % of dry matter").replace("medium", "low"),
              house("zinc", "at_least: 40 mg per kg as fed").replace("medium", "low")]  # fmt: skip
    (check,) = said(limits, *lines, feed=feed, chaff=label("crude_protein: 0 %, zinc: 0 mg/kg"))
    assert "protein" in check.message
    assert "zinc" in check.message
    assert "best estimates" not in check.message


@pytest.mark.parametrize(("count", "more"), [(5, []), (6, [["1"]])])
def test_five_foods_are_listed_and_the_others_counted(count: int, more: list[list[str]]) -> None:
    foods = {f"f{n}": label("zinc: 10 mg/kg") for n in range(count)}
    limit = house("zinc", "at_least: 90 mg per kg as fed", "day")
    (check,) = said([limit], *(line(name) for name in foods), **foods)
    told = steps(check.working)
    assert told[5 : 5 + len(more)] == more
    assert told[5 + len(more)] == [str(100 * count)]  # one day: no days are named


def test_what_weakens_a_figure_and_the_note_of_its_limit_are_told() -> None:
    limit = house("zinc", "at_least: 90 mg per kg as fed")
    for entry, weak in ((label("zinc: 1 to 80 mg/kg"), ["feed"]), (FEED, [])):
        (check,) = said([limit], line(), feed=entry)
        assert [why.partition(":")[0] for why in check.weak] == weak
        assert check.working[-1] == "note: invented"
    (cat,) = [
        c
        for c in said([], line(), species="Felis catus", feed=label("crude_protein: 20 %"))
        if c.about == "too little protein on dry matter"
    ]
    assert any(step.startswith("note: printed") for step in cat.working)  # AAFCO2008, B139


def test_of_foods_that_surely_bring_nothing_the_one_that_may_bring_more_comes_first() -> None:
    foods = {"a": label("zinc: 0 to 5 mg/kg"), "b": label("zinc: 0 to 500 mg/kg")}
    limit = house("zinc", "at_least: 90 mg per kg as fed")
    (check,) = said([limit], line("a"), line("b"), **foods)
    assert check.verdict is OPEN
    assert [place.path[2] for place in check.places][:1] == [1]


@pytest.mark.parametrize(
    ("side", "figure", "lines", "severity"),
    [
        ("at_least", "about 5 mg/kg", (), Severity.MEDIUM),  # the best estimate falls short
        ("at_least", "about 95 mg/kg", (), Severity.LOW),
        ("at_most", "about 95 mg/kg", (), Severity.MEDIUM),
        ("at_most", "about 5 mg/kg", (), Severity.LOW),
    ],
)
def test_a_best_estimate_grades_what_no_label_states(
    side: str, figure: str, lines: tuple[str, ...], severity: Severity
) -> None:
    guessed = label("iron: 1 mg/kg", f", estimate: {{zinc: {figure}, evidence: a letter}}")
    limit = house("zinc", f"{side}: 90 mg per kg as fed")
    (check,) = said([limit], line(), *lines, feed=guessed)
    assert (check.verdict, check.severity) == (OPEN, severity)


@pytest.mark.parametrize(
    ("limit", "foods", "severity"),
    [
        ("at_least: 90 mg per kg as fed", {"leaf": 10}, Severity.MEDIUM),
        ("at_least: 90 mg per kg as fed", {"leaf": 5, "powder": 5}, Severity.LOW),
        ("at_most: 90 mg per kg as fed", {"leaf": 30}, Severity.LOW),
        ("at_least: 90 mg per kg as fed", {"salad": 20}, Severity.MEDIUM),  # half of it is silent
    ],
)
def test_a_little_silent_food_can_hardly_fill_a_gap_but_a_powder_can(
    limit: str, foods: dict[str, int], severity: Severity
) -> None:
    leaf = "{class: browse, label: {basis: as fed, moisture: 0 %}}"
    powder = leaf.replace("browse", "supplement")
    (check,) = said(
        [house("zinc", limit)],
        line(),
        *(line(food, grams) for food, grams in foods.items()),
        feed=FEED, leaf=leaf, powder=powder, salad="{mix: {leaf: 50 %, feed: 50 %}}",
    )  # fmt: skip
    assert (check.verdict, check.severity) == (OPEN, severity)
    silent = {"salad": "leaf"}
    wanted = {silent.get(food, food) for food in foods if food != "leaf" or "powder" not in foods}
    assert {place.path[1] for place in check.places} == wanted
