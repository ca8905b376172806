"""A ration summed up: hand-computed figures, and the same figures that rules judge."""

from __future__ import annotations

import csv
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dietcheck.contract import Diet, Interval, exact
from dietcheck.nutrition.energy_need import need_span
from dietcheck.nutrition.gauges import USUAL, gauge_keys, gauges
from dietcheck.nutrition.summary import NO_CLASS, Row, Summary, summarise
from dietcheck.quantities import UNKNOWN
from dietcheck.reading import Folder
from dietcheck.screening.report import Report
from dietcheck.screening.screen import screen
from tests import records
from tests.checkout import CHECKOUT, EXAMPLE_DAY
from tests.reporting.rations import TWO_DAYS

DAY = date.fromisoformat(EXAMPLE_DAY)


@pytest.fixture(scope="module")
def park() -> Report:
    """The example park, screened."""
    return screen(Folder(CHECKOUT / "example_repo"), DAY)


def diet_of(park: Report, group: str) -> Diet:
    """The diet of one of its groups."""
    assert park.diets is not None
    return park.diets[group]


def row(summary: Summary, key: str) -> Row:
    """The row of a quantity."""
    return next(row for row in summary.rows if row.gauge.key == key)


def rounded(value: Interval, digits: str = "0.001") -> tuple[Decimal, Decimal]:
    """The ends of a range, rounded."""
    low, high = (end.quantize(Decimal(digits)) for end in (value.low, value.high))
    return low, high


def one(number: str) -> tuple[Decimal, Decimal]:
    """A figure that is known outright."""
    return Decimal(number), Decimal(number)


# --- hand-computed -----------------------------------------------------------------------------

# 1,200 g of carrot a day: twelve times the figures printed for 100 g of raw carrot, USDA SR28,
# NDB 11124: water 88.29 g, energy 41 kcal, protein 0.93 g, sugars 4.74 g, fibre 2.8 g,
# Ca 33 mg, P 35 mg, Fe 0.30 mg, vitamin C 5.9 mg, vitamin A 835 µg RAE, thiamin 0.066 mg.
CARROT_A_DAY = {
    "as_fed": "1200",
    "dry_matter": "140.52",
    "energy": "492",
    "protein": "11.16",
    "sugars": "56.88",
    "fibre": "33.6",
    "calcium": "396",
    "phosphorus": "420",
    "calcium_to_phosphorus": "0.943",  # 33 ÷ 35
    "iron": "3.6",
    "vitamin_c": "70.8",
    "vitamin_a_activity": "10020",
    "thiamin": "0.792",
}


@pytest.mark.parametrize(("key", "number"), CARROT_A_DAY.items())
def test_carrots_a_day(key: str, number: str) -> None:
    (summary,) = summarise(records.diet(records.small()))
    assert rounded(row(summary, key).value) == one(number)
    assert row(summary, key).known == exact(1)


def test_carrots_in_dry_matter_and_for_the_body_mass() -> None:
    (summary,) = summarise(records.diet(records.small()))
    sugars, calcium = row(summary, "sugars").density, row(summary, "calcium").density
    assert sugars is not None
    assert calcium is not None
    assert rounded(sugars) == one("40.478")  # 4.74 g ÷ 11.71 g
    assert rounded(calcium) == one("2818.104")  # 33 mg ÷ 11.71 g
    (body,) = summary.bodies  # 200 kg; 200^0.75 = 53.183
    assert rounded(body.as_fed_share, "0.0001") == one("0.0060")
    assert rounded(body.sugars_per_kg, "0.0001") == one("0.2844")
    assert rounded(body.dry_matter_per_metabolic) == one("2.642")
    assert body.days_old == 5


def test_tapir_totals_by_an_independent_sum(park: Report) -> None:
    """Grams and labels are those of the example's records, the rest is read from the table."""
    table = CHECKOUT / "dietcheck" / "tables" / "data" / "foods.csv"
    with table.open(encoding="utf-8", newline="") as file:
        rows = {food["id"]: food for food in csv.DictReader(file)}
    produce = {"carrot": 600, "lettuce-cos": 900, "sweet-potato": 400}

    def of_table(column: str) -> Decimal:
        return sum((Decimal(rows[f][column]) * g / 100 for f, g in produce.items()), Decimal(0))

    # hay 1,400 g, lucerne 900 g, willow 1,200 g, pellet 1,300 g; sugars 7 to 8, 4 to 5, 0.5 to 1.5,
    # 6 %; calcium 0.5, 1.3, 0.4, 1.1 %; moisture 10 to 12, 9 to 11, 66 to 70, at most 12 %
    sugars = (Decimal(98 + 36 + 6 + 78), Decimal(112 + 45 + 18 + 78))
    calcium = Decimal(7000 + 11700 + 4800 + 14300)
    dry = (Decimal(1232 + 801 + 360 + 1144), Decimal(1260 + 819 + 408 + 1300))
    water = of_table("water_g")
    (summary,) = summarise(diet_of(park, "tapir"))
    assert [animal.id for animal in summary.animals] == ["TA-01", "TA-02"]
    assert row(summary, "as_fed").value == exact(6700)
    found = row(summary, "sugars").value
    assert (found.low, found.high) == tuple(end + of_table("sugars_g") for end in sugars)
    assert row(summary, "calcium").value == exact(calcium + of_table("ca_mg"))
    found = row(summary, "dry_matter").value
    assert (found.low, found.high) == tuple(end + 1900 - water for end in dry)


# --- the same figures as rules -----------------------------------------------------------------


def test_figures_are_those_that_rules_judge(park: Report) -> None:
    compared = set()
    for judged in park.judged:
        check = judged.check
        limit, measure = check.limit, check.measured
        if limit is None or measure is None or judged.group is None or not check.animals:
            continue
        diet = diet_of(park, judged.group)
        animal = next(a for a in diet.animals if a.id == check.animals[0])
        (summary,) = summarise(diet, (animal,))
        if not summary.is_same_daily and (limit.over != "rota" or len([*diet.rotas(animal)]) > 1):
            continue  # the rule may have looked at another day or rota than the summary's
        body = summary.bodies[0]
        mine = {
            ("sugar-ceiling", "g/kg", "body mass"): body.sugars_per_kg,
            ("sugar-ceiling", "%", "dry matter"): row(summary, "sugars").density,
            ("portion-for-body-mass", "g/kg^0.75", "metabolic body mass"): (
                body.dry_matter_per_metabolic
            ),
        }.get((judged.rule, limit.unit, limit.basis))
        if mine is not None and limit.over != "meal":
            compared.add((judged.rule, limit.basis))
            assert mine == measure.value, (judged.rule, judged.group)
    assert len(compared) == 3


def test_every_group_of_the_park_can_be_summed_up(park: Report) -> None:
    assert park.diets is not None
    for diet in park.diets.values():
        for summary in summarise(diet, keys=gauge_keys()):
            for found in summary.rows:
                gauge = found.gauge
                assert found.value == gauge.a_day(summary.ration)
                assert found.lowest_day.value.low <= found.highest_day.value.low
                assert found.lowest_week.value.high <= found.highest_week.value.high
                assert 0 <= found.known.low <= found.known.high <= 1


# --- spread, days, animals ---------------------------------------------------------------------


def test_days_that_differ() -> None:
    diet = records.diet(records.small(**TWO_DAYS))
    (summary,) = summarise(diet)
    as_fed = row(summary, "as_fed")
    assert as_fed.value == exact(1400)
    assert (as_fed.lowest_day.value, as_fed.highest_day.value) == (exact(1200), exact(1600))
    assert [day.number for day in as_fed.highest_day.days] == [2]
    assert rounded(as_fed.highest_week.value) == one("1428.571")  # 4 × 1600 + 3 × 1200, by 7
    (second,) = summarise(diet, day=2)
    assert row(second, "as_fed").value == exact(1600)
    (worst,) = summarise(diet, keys=("as_fed", "sugars"), day="worst")
    assert [day.number for day in worst.period] == [2]
    (sweetest,) = summarise(diet, keys=("calcium_to_phosphorus",), day="worst")
    assert sweetest.rows[0].gauge.key == "calcium_to_phosphorus"


def test_a_treat_makes_a_day_of_its_own() -> None:
    treat = (
        "record: treats\ntreats:\n  - {on: 2026-11-26, group: tapir, purpose: training, "
        "items: [{food: carrot, amount: 100 g per animal}]}\n"
    )
    summaries = summarise(records.diet(records.small(treats=treat)), day=1)
    assert {row(one, "as_fed").value for one in summaries} == {exact(1200), exact(1300)}


def test_animals_fed_alike_are_summed_up_once_and_others_apart() -> None:
    animals = [f"{{id: T{n}, weighings: [{{on: 2026-11-20, mass: 200 kg}}]}}" for n in (1, 2, 3)]
    meal = [
        "{food: carrot, amount: 600 g per animal}",
        "{food: carrot, amount: 90 g per animal, for: [T2]}",
    ]
    files = records.small(
        group=records.group(animals=animals), sheet=records.sheet({"roots": meal})
    )
    found = summarise(records.diet(files))
    assert [[animal.id for animal in summary.animals] for summary in found] == [
        ["T1", "T3"],
        ["T2"],
    ]
    only = summarise(records.diet(files), (records.diet(files).animals[1],))
    assert row(only[0], "as_fed").value == exact(1380)


def test_an_animal_that_leaves_is_summed_up_over_its_days() -> None:
    stays = "{id: T1, weighings: [{on: 2026-11-20, mass: 200 kg}]}"
    leaves = "{id: T2, here_until: 2026-11-25, weighings: [{on: 2026-11-20, mass: 200 kg}]}"
    files = records.small(group=records.group(animals=[stays, leaves]))
    found = {s.animals[0].id: s for s in summarise(records.diet(files))}
    assert row(found["T2"], "as_fed").value == exact(1200)
    assert all(day.on <= records.ON for day in found["T2"].period)
    assert row(found["T2"], "as_fed").lowest_week.value == exact(1200)


def test_an_animal_that_is_away_on_a_fast_day_is_summed_up_apart() -> None:
    files = records.small(
        group=records.group(animals=["{id: T1}", "{id: T2, here_from: 2026-11-26}"]),
        rota=records.rota(["{morning: roots, afternoon: roots}", "{fast: planned}"]),
        now=records.sheet(
            {"roots": ["{food: carrot, amount: 1 g per animal}"]}, start="2026-11-25"
        ),
    )
    found = summarise(records.diet(files))
    assert [[animal.id for animal in summary.animals] for summary in found] == [["T1"], ["T2"]]


def test_nothing_planned_is_nothing_to_sum_up() -> None:
    files = records.small(
        rota=records.rota(["{morning: roots, afternoon: roots}"], more="until: 2026-11-17")
    )
    assert summarise(records.diet(files)) == ()


# --- what nobody states ------------------------------------------------------------------------


def test_what_a_food_does_not_state_is_told_and_never_zero() -> None:
    (summary,) = summarise(records.diet(records.small(**TWO_DAYS)))
    iron = row(summary, "iron")  # carrot 0.30 mg per 100 g (SR28, 11124), pellet not stated
    assert iron.value.low == Decimal("2.7")  # 900 g of carrot a day
    assert iron.is_open
    assert iron.value.high > 1000
    # starch can be no more than what is no protein, fat or fibre; calcium is on the label
    opened = {one.gauge.key for one in summary.rows if one.is_open}
    assert opened.isdisjoint({"as_fed", "dry_matter", "energy", "protein", "starch", "calcium"})
    assert {"calcium_to_phosphorus", "phosphorus", "thiamin", "vitamin_a_activity"} <= opened
    assert 0 < iron.known.low < iron.known.high < 1
    pellet = next(weak for weak in summary.weak if weak.about == "pellet" and weak.gauges)
    assert "iron" in {gauge.key for weak in summary.weak for gauge in weak.gauges}
    assert pellet.why


@pytest.mark.parametrize(("wet", "is_open"), [(98, False), (99, True), (125, True)])
def test_a_figure_that_may_be_twice_as_much_is_open(wet: int, *, is_open: bool) -> None:
    """600 g of carrot hold 198 mg of calcium, each gram of the broth at most one milligram."""
    files = records.small(
        foods=records.foods(
            carrot="{same_as: carrot}", broth="{label: {basis: as fed, moisture: 99.9 %}}"
        ),
        sheet=records.sheet(
            {
                "roots": [
                    "{food: carrot, amount: 300 g per animal}",
                    f"{{food: broth, amount: {wet} g per animal}}",
                ]
            }
        ),
    )
    (summary,) = summarise(records.diet(files), keys=["calcium"])
    assert summary.rows[0].is_open is is_open


@pytest.mark.parametrize(
    ("keys", "shown"), [(["ndf"], ["ndf"]), (["ndf", "sugars"], ["sugars"]), (["fat"], ["fat"])]
)
def test_what_no_food_states_may_be_asked_for_alone(keys: list[str], shown: list[str]) -> None:
    """No food of the table has an NDF."""
    (summary,) = summarise(records.diet(records.small()), keys=keys)
    assert [one.gauge.key for one in summary.rows] == shown


def test_a_stranger_has_no_class_and_an_unknown_everything() -> None:
    sheet = records.sheet({"roots": ["{food: leaf-mix, amount: 600 g per animal}"]})
    (summary,) = summarise(records.diet(records.small(sheet=sheet)))
    assert [one.food_class for one in summary.classes] == [NO_CLASS]
    assert summary.classes[0].as_fed == exact(1)
    assert row(summary, "calcium").known == exact(0)
    assert any(weak.about == "leaf-mix" for weak in summary.weak)


MANY = {
    "foods": records.foods(
        carrot="{same_as: carrot}", apple="{same_as: apple}", kale="{same_as: kale}",
        hay="{class: hay, label: {basis: as fed, moisture: 10 %, calcium: 1 to 2 %}}",
    ),
    "sheet": records.sheet(
        {
            "roots": [
                f"{{food: {food}, amount: {grams} g per animal}}"
                for food, grams in
                (("kale", 100), ("apple", 100), ("leaf-mix", 40), ("hay", 50), ("carrot", 300))
            ]
        }
    ),
}  # fmt: skip


def test_the_foods_stand_by_weight_and_the_classes_by_dry_matter() -> None:
    """A feed: 45 g of dry hay, 35.1 g of carrot, 14.4 g of apple, 10.8 g of kale (SR28)."""
    (summary,) = summarise(records.diet(records.small(**MANY)))
    assert [part.food.id for part in summary.parts] == [
        "carrot",
        "apple",
        "kale",
        "hay",
        "leaf-mix",
    ]
    assert [part.grams.low for part in summary.parts] == [600, 200, 200, 100, 80]
    classes = [one.food_class for one in summary.classes]
    assert classes == ["hay", "root vegetable", "fruit", "leafy green", NO_CLASS]
    assert summary.classes[-1].as_fed == exact(80) / exact(1180)
    figures = [(weak.about, weak.why) for weak in summary.weak if weak.kind == "figure"]
    order = [part.food.id for part in summary.parts]
    assert figures == sorted(figures, key=lambda one: (order.index(one[0]), one[1]))
    assert len(figures) == len(set(figures))
    hay = {w.why: [g.key for g in w.gauges] for w in summary.weak if w.about == "hay"}
    assert hay["printed as a minimum or a maximum"] == ["calcium", "calcium_to_phosphorus"]
    (carrot, *_, hay_part, _) = summary.parts
    assert (carrot.states["sugars"], hay_part.states["sugars"]) == (True, False)
    assert carrot.amounts["sugars"] == exact("28.44")
    assert carrot.shares["as_fed"] == exact(600) / exact(1180)
    assert "calcium_to_phosphorus" not in carrot.amounts


def test_what_a_body_needs_is_told_where_its_mass_is_known() -> None:
    (body,) = summarise(records.diet(records.small()))[0].bodies
    assert {"basal", "field"} <= body.spans.keys()
    assert all(need_span(body.needs, measure) == span for measure, span in body.spans.items())
    assert body.dry_matter_share == exact("140.52") / exact(200_000)
    unknown = records.small(group=records.group(animals=["{id: T1}"]))
    (body,) = summarise(records.diet(unknown))[0].bodies
    assert (body.needs, body.spans, body.days_old) == ((), {}, None)
    assert body.as_fed_share == body.dry_matter_share == body.dry_matter_per_metabolic == UNKNOWN


@pytest.mark.parametrize(
    ("keys", "worst"), [(USUAL, 1), (("as_fed",), 2), (("as_fed", "sugars"), 2), (("sugars",), 1)]
)
def test_the_worst_day_is_the_sweetest_unless_something_else_is_asked_for(
    keys: tuple[str, ...], worst: int
) -> None:
    """A kilogram of pellets of 1 % sugar weighs more than 600 g of carrot, and holds less."""
    pellet = "{class: compound feed, medicines: none, label: {basis: as fed, sugars: 1 %}}"
    foods = records.foods(carrot="{same_as: carrot}", pellet=pellet)
    diet = records.diet(records.small(**{**TWO_DAYS, "foods": foods}))
    (summary,) = summarise(diet, keys=keys, day="worst")
    assert [day.number for day in summary.period] == [worst]


@pytest.mark.parametrize(
    ("days", "about"),
    [
        (["{morning: roots}"] * 2, "2026-11-24 (afternoon) and 1 more"),
        (["{morning: roots, afternoon: roots}", "{afternoon: roots}"], "2026-11-25 (morning)"),
        (["{fast: planned}"] * 2, None),
    ],
)
def test_the_first_feed_that_nobody_planned_is_named(days: list[str], about: str | None) -> None:
    (summary,) = summarise(records.diet(records.small(rota=records.rota(days))))
    told = [weak.about for weak in summary.weak if weak.kind == "plan"]
    assert told == ([about] if about else [])
    arrives = records.group(animals=["{id: T1, here_from: 2026-11-26}"])
    (later,) = summarise(records.diet(records.small(rota=records.rota(days), group=arrives)))
    told = [weak.about[:10] for weak in later.weak if weak.kind == "plan"]
    assert told == (["2026-11-26" if "more" in about else "2026-11-27"] if about else [])


def test_what_others_may_leave_is_told_as_something_that_may_not_come() -> None:
    files = records.small(
        goats=records.group("goats", "Capra hircus", ["{id: G1}"], "Yard"),
        rest=records.sheet(
            {"rest": ["{food: carrot, amount: 1 g per animal}"]},
            "goats",
            more="leftovers: [{to: tapir, foods: [carrot]}]",
        ),
        goat_rota=records.rota(["{morning: rest, afternoon: rest}"] * 2, "goats"),
    )
    (summary,) = summarise(records.diet(files))
    assert [weak.about for weak in summary.weak if weak.kind == "amount"] == ["carrot"]
    assert row(summary, "as_fed").value == Interval(1200, 1202)


def test_a_food_that_may_be_fed_by_the_day_is_summed_up_over_the_days_that_hold_it() -> None:
    """The pellets of every second afternoon: which day is which, and the week that holds least."""
    diet = records.diet(records.small(**TWO_DAYS))
    (summary,) = summarise(diet)
    assert (summary.whole_rota, summary.is_same_daily) == (True, False)
    assert [day.number for day in summary.period] == [1, 2]
    as_fed = row(summary, "as_fed")
    assert rounded(as_fed.lowest_week.value) == one("1371.429")  # 3 × 1600 + 4 × 1200, by 7
    assert len(as_fed.lowest_week.days) == 7
    assert [day.number for day in as_fed.lowest_day.days] == [1]
    (first,) = summarise(diet, day=1)
    assert (first.whole_rota, [day.number for day in first.period]) == (False, [1])
    assert [part.food.id for part in first.parts] == ["carrot"]
    assert summarise(diet, day=3) == ()
    (alike,) = summarise(records.diet(records.small()), day=2)
    assert (alike.is_same_daily, [day.number for day in alike.period]) == (True, [2])
    (every,) = summarise(records.diet(records.small()))
    assert (every.whole_rota, [day.number for day in every.period]) == (True, [1, 2])


@pytest.mark.parametrize(
    ("animal", "why"),
    [
        ("{id: T1}", "no weighing"),
        (
            "{id: T1, weighings: [{on: 2026-01-02, mass: 200 kg}]}",
            "327 days ago; dietcheck.yaml asks for one every 90 days",
        ),
    ],
)
def test_a_weight_that_is_missing_or_old_is_weak_and_counts_for_nothing(
    animal: str, why: str
) -> None:
    (summary,) = summarise(records.diet(records.small(group=records.group(animals=[animal]))))
    assert any(why in weak.why for weak in summary.weak if weak.kind == "weight")
    assert not summary.bodies[0].sugars_per_kg.is_bounded


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("{food: carrot, amount: 3 pieces per animal}", "no piece mass"),
        ("{food: carrot, amount: 'ad lib, expected 900 g per animal'}", "ad lib"),
    ],
)
def test_an_amount_that_is_not_known_is_weak(line: str, why: str) -> None:
    (summary,) = summarise(records.diet(records.small(sheet=records.sheet({"roots": [line]}))))
    assert any(why in weak.why for weak in summary.weak if weak.kind == "amount")


def test_a_feed_that_nobody_planned_is_weak() -> None:
    rota = records.rota(["{morning: roots}", "{morning: roots, afternoon: roots}"])
    (summary,) = summarise(records.diet(records.small(rota=rota)))
    assert [weak.kind for weak in summary.weak if weak.kind == "plan"] == ["plan"]


# --- laws --------------------------------------------------------------------------------------


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["carrot", "apple", "kale", "timothy-hay", "leaf-mix"]),
            st.integers(1, 2000),
        ),
        min_size=1,
        max_size=5,
    )
)
def test_shares_enclose_the_whole(meal: list[tuple[str, int]]) -> None:
    foods = records.foods(
        carrot="{same_as: carrot}", apple="{same_as: apple}", kale="{same_as: kale}"
    )
    lines = [f"{{food: {food}, amount: {grams} g per animal}}" for food, grams in meal]
    diet = records.diet(records.small(foods=foods, sheet=records.sheet({"roots": lines})))
    (summary,) = summarise(diet, keys=USUAL)
    for found in summary.rows:
        if not found.gauge.additive or not found.value.high:
            continue
        shares = [part.shares[found.gauge.key] for part in summary.parts]
        tolerance = Decimal("1e-20")
        assert sum(share.low for share in shares) <= 1 + tolerance
        assert sum(share.high for share in shares) >= 1 - tolerance
        amounts = [part.amounts[found.gauge.key] for part in summary.parts]
        assert abs(sum(one.low for one in amounts) - found.value.low) <= tolerance * 10**9
    by_class = [one.of_dry_matter for one in summary.classes]
    assert sum(share.low for share in by_class) <= 1 + tolerance


def test_how_much_is_known_counts_dry_matter_and_not_wet_weight() -> None:
    """Invented: 100 g without water state sugars, 100 g with 90 % water do not: 100 of 110 g."""
    files = records.small(
        foods=records.foods(
            dry="{label: {basis: as fed, sugars: 5 %, moisture: 0 %}}",
            wet="{label: {basis: as fed, moisture: 90 %}}",
        ),
        sheet=records.sheet(
            {"roots": [f"{{food: {food}, amount: 50 g per animal}}" for food in ("dry", "wet")]}
        ),
    )
    diet = records.diet(files)
    (gauge,) = gauges(["sugars"], diet.group.taxon)
    known = gauge.known(diet.day_ration(diet.animals[0], diet.days[0]))
    assert rounded(known) == (Decimal("0.909"), Decimal("0.909"))
