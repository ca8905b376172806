"""How limits and figures are put into words, and how lines of two sheets are matched. Invented."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from msgspec.structs import replace

from dietcheck.contract import Limit, Limits, SourceRef, Standing, Verdict
from dietcheck.quantities import between, exact
from dietcheck_rules.shared import kept_from, pairing, sheet_ration, wording
from dietcheck_rules.shared.former import former_words
from dietcheck_rules.shared.levels import words
from dietcheck_rules.shared.odd_limits import without_odd
from tests import records


def limit(unit: str, basis: str, over: Any = "rota", **more: Any) -> Limit:
    given = {"standing": Standing.PUBLISHED, "sources": (SourceRef("A1"), SourceRef("B2"))} | more
    for side in ("at_least", "at_most"):
        if side in given:
            given[side] = Decimal(str(given[side]))
    return Limit(
        id="x", quantity="q", taxon="Metazoa", unit=unit, basis=basis, over=over, severity="low",
        **given,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("unit", "basis", "rules", "levels"),
    [
        ("%", "dry matter", "% of dry matter", "% of dry matter"),
        ("%", "as fed", "% as fed", "% as fed"),
        ("%", "energy", "% of energy", "% of energy"),
        ("%", "body mass", "% of body mass", "% of body mass"),
        ("%", "unstated", "% as fed", "% of dry matter"),
        ("mg/kg", "unstated", "mg per kg as fed", "mg per kg dry matter"),
        ("mg/kg", "dry matter", "mg per kg dry matter", "mg per kg dry matter"),
        ("g/kg", "body mass", "g per kg body mass", "g per kg body mass"),
        ("g/kg^0.75", "metabolic body mass", "g per kg^0.75", "g per kg^0.75"),
        ("g/animal", "animal", "g", "g"),
        ("feeds", "count", "feeds", "feeds"),
    ],
)
def test_a_unit_with_its_basis(unit: str, basis: str, rules: str, levels: str) -> None:
    one = limit(unit, basis, at_most=6)
    assert wording.unit_words(one) == rules
    assert words.unit_words(one) == levels
    assert wording.limit_words(one) == f"at most 6 {rules}"
    assert words.limit_words(one) == f"at most 6 {levels}"
    both = limit(unit, basis, at_least=3, at_most=6)
    assert wording.limit_words(both) == f"at least 3 and at most 6 {rules}"
    assert words.limit_words(both) == f"at least 3 and at most 6 {levels}"


def test_one_of_a_thing_is_singular() -> None:
    feeds = limit("feeds", "count", at_most=1)
    assert wording.limit_words(feeds) == "at most 1 feed"
    assert wording.limit_words(limit("feeds", "count", at_least=1, at_most=2)).endswith("feeds")
    for value, said in (
        (exact(1), "1 feed"),
        (exact(2), "2 feeds"),
        (between(1, 2), "1 to 2 feeds"),
    ):
        assert wording.figure_words(value, feeds) == said
    assert wording.figure_words(exact(1), limit("%", "energy", at_most=1)) == "1 % of energy"


def test_a_figure_is_never_rounded_across_its_limit() -> None:
    for sides in ({"at_most": 6}, {"at_least": 6}, {"at_least": 6, "at_most": 9}):
        one = limit("%", "energy", **sides)
        for value in ("6.0001", "5.9999"):
            for told in (wording.figure_words, words.figure_words):
                shown = Decimal(told(exact(value), one).split()[0])
                assert (shown > 6) is (Decimal(value) > 6)
                assert shown != 6


@pytest.mark.parametrize(
    ("over", "said"),
    [("meal", "in one meal"), ("day", "in a day"), ("7 days", "over 7 days"),
     ("14 days", "over 14 days"), ("rota", "over the rota"), ("two feeds", "running"),
     ("3 days", "over 3 days")],
)  # fmt: skip
def test_over_how_long(over: str, said: str) -> None:
    assert wording.span_words(limit("%", "energy", over)) == said


@pytest.mark.parametrize(
    ("more", "rules", "levels"),
    [
        ({}, "published, A1, B2", "published, A1, B2"),
        ({"basis": "unstated"}, "published, A1, B2; basis not stated, compared as fed",
         "published, A1, B2; basis not stated, compared on dry matter"),
        ({"seen": "memory"}, "published, A1, B2",
         "published, A1, B2; from memory, check before use"),
        ({"seen": "original"}, "published, A1, B2", "published, A1, B2"),
        ({"standing": Standing.SITE_RULE, "set_by": "Dr Vale", "on": "2026-01-01"},
         "site rule of Dr Vale, 2026-01-01", "site rule of Dr Vale, 2026-01-01"),
    ],
)  # fmt: skip
def test_what_a_limit_stands_on(more: dict[str, Any], rules: str, levels: str) -> None:
    given = dict(more)
    one = limit("%", given.pop("basis", "energy"), at_most=6, **given)
    assert wording.standing_words(one) == rules
    assert words.standing_words(one) == levels
    assert wording.bound_words(one) == f"{wording.limit_words(one)} ({rules})"
    assert words.bound_words(one) == f"{words.limit_words(one)} ({levels})"


def test_habit_and_absence_never_pose_as_print() -> None:
    habit = limit("%", "energy", at_most=6, standing=Standing.COMMON_PRACTICE)
    assert wording.standing_words(habit) == "common practice, no source; the vet sets this"
    for standing in Standing:
        said = wording.standing_words(limit("%", "energy", standing=standing))
        assert said.startswith("published") is (standing is Standing.PUBLISHED)


@pytest.mark.parametrize(
    ("names", "said"),
    [([], ""), (["iron"], "iron"), (["iron", "zinc"], "iron and zinc"),
     (["iron", "zinc", "copper"], "iron, zinc and copper")],
)  # fmt: skip
def test_words_in_a_row(names: list[str], said: str) -> None:
    assert words.listed(names) == said


def test_the_first_few_foods_are_named_and_the_others_counted() -> None:
    names = [f"f{n}" for n in range(7)]
    diet = records.diet(
        records.small(
            foods=records.foods(**dict.fromkeys(names, "{same_as: kale}")),
            sheet=records.sheet(
                {"roots": [f"{{food: {n}, amount: 1 g per animal}}" for n in names]}
            ),
        )
    )
    foods = [diet.collection.foods[name] for name in names]
    assert words.food_words(foods[:5]) == "f0, f1, f2, f3, f4"
    assert words.food_words(foods) == "f0, f1, f2, f3, f4 and 2 more"
    assert words.food_words(foods[:3], 2) == "f0, f1 and 1 more"


def test_the_first_animal_is_named_and_the_others_counted_once() -> None:
    diet = records.diet(records.small(group=records.group(animals=TWO)))
    one, two = diet.animals
    assert words.who_words(diet, [two]) == "Brazilian tapir, T2"
    assert words.who_words(diet, [two, one, two]) == "Brazilian tapir, T2 (and 1 more)"


# -- limits of the house that a rule does not reckon in --------------------------------------------


@pytest.mark.parametrize(
    ("row", "odd"),
    [
        ({}, False),
        ({"unit": "feeds"}, True),
        ({"basis": "as fed"}, True),
        ({"at_most": None, "at_least": 1}, True),  # on a side that the rule does not look at
        ({"at_least": 1}, True),
        ({"unit": "feeds", "quantity": "other"}, False),  # not among those to look at
        ({"unit": "feeds", "taxon": "Felidae"}, False),
        ({"unit": "feeds", "group": "lions"}, False),
        ({"unit": "feeds", "group": "tapir", "taxon": "Felidae"}, True),
        ({"unit": "feeds", "set_by": ""}, False),  # the rule's own
    ],
)
def test_which_limits_of_the_house_are_odd(row: dict[str, Any], odd: bool) -> None:
    diet = records.diet(records.small())
    bundled = limit("days", "count", at_most=3, standing=Standing.COMMON_PRACTICE)
    others = limit("times", "count", at_most=3, standing=Standing.COMMON_PRACTICE)
    own: dict[str, Any] = {"unit": "days", "basis": "count", "quantity": "q", "taxon": "Metazoa"}
    own |= {"at_most": 2, "set_by": "Dr Vale", "on": "2026-01-01", "standing": Standing.SITE_RULE}
    own |= row
    own = {key: value for key, value in own.items() if value is not None}
    names = {"quantity": own.pop("quantity"), "taxon": own.pop("taxon")}
    site = replace(limit(own.pop("unit"), own.pop("basis"), **own), **names)
    limits = Limits((bundled, replace(others, quantity="other"), site))
    kept, questions = without_odd(diet, limits, ["q"])
    assert len(questions) == odd
    assert (site in kept.rows) is not odd
    assert bundled in kept.rows
    for question in questions:
        assert question.verdict is Verdict.CANNOT_TELL
        assert "at most 3 days" in question.advice
        assert question.limit == site
    if names["quantity"] == "other":
        assert len(without_odd(diet, limits)[1]) == 1  # of all quantities


# -- sheets ----------------------------------------------------------------------------------------

TWO = ("{id: T1, weighings: [{on: 2026-11-20, mass: 200 kg}]}", "{id: T2}")
FOODS = records.foods(
    carrot="{same_as: carrot}", kale="{same_as: kale}", mash="{mix: {kale: 50 %, deep: 50 %}}",
    deep="{mix: {kale: 50 %, carrot: 50 %}}", dust="{class: supplement, unknown_composition: x}",
)  # fmt: skip


def test_one_round_of_the_rota_under_a_sheet() -> None:
    """600 g in three of four feeds; 100 g shared by two; 2 g a kg for 200 kg; kale for T2 alone."""
    lines = [
        "{food: carrot, amount: 600 g per animal}",
        "{food: mash, amount: 100 g per group}",
        "{food: deep, amount: 2 g per kg body mass}",
        "{food: kale, amount: 5 g per animal, for: [T2]}",
        "{food: dust, amount: 1 ml per animal}",
    ]
    days = ["{morning: roots, afternoon: roots}", "{morning: [roots, gone], afternoon: no feed}"]
    diet = records.diet(
        records.small(group=records.group(animals=TWO), foods=FOODS, rota=records.rota(days),
                      sheet=records.sheet({"roots": lines}))
    )  # fmt: skip
    (sheet,) = diet.collection.sheets["tapir"]
    first, second = (sheet_ration.sheet_ration(diet, sheet, one) for one in diet.animals)
    assert first is not None
    assert second is not None
    grams = {food.id: amount for food, amount in first.grams_of.items()}
    assert (grams["carrot"], grams["mash"], grams["deep"]) == (exact(1800), exact(150), exact(1200))
    assert "kale" not in grams
    assert not grams["dust"].is_bounded
    assert first.days == 2
    hers = {food.id: amount for food, amount in second.grams_of.items()}
    assert hers["kale"] == exact(15)
    assert not hers["deep"].is_bounded  # never weighed


def test_lines_go_on_by_food_then_meal_then_animals() -> None:
    def sheet(start: str, meals: dict[str, list[str]]) -> str:
        return records.sheet(meals, start=start)

    line = "{{food: {}, amount: {} g per animal{}}}".format
    before = sheet("2026-01-01", {
        "a": [line("carrot", 1, ""), line("kale", 1, ", for: [T1]"), line("mash", 1, "")],
        "b": [line("carrot", 2, "")],
    })  # fmt: skip
    after = sheet("2026-11-24", {
        "a": [line("kale", 5, ""), line("carrot", 6, ", for: [T2]")],
        "b": [line("kale", 7, ", for: [T1]"), line("carrot", 8, ""), line("deep", 9, "")],
    })  # fmt: skip
    diet = records.diet(records.small(group=records.group(animals=TWO), foods=FOODS,
                                      sheet=before, later=after))  # fmt: skip
    old, new = diet.collection.sheets["tapir"]
    pairs = pairing.pair_lines(old, new)

    def told(given: pairing.MealLine) -> str:
        return f"{given.meal} {given.line.amount.text.split()[0]}"

    assert {(told(o), told(n)) for o, n in pairs.kept} == {
        ("b 2", "b 8"), ("a 1", "a 5"), ("a 1", "a 6"),
    }  # fmt: skip
    assert [given.line.food.id for given in pairs.gone] == ["mash"]
    assert sorted(told(given) for given in pairs.come) == ["b 7", "b 9"]
    assert pairing.standing(diet) == [new]
    assert not pairing.same_words(old, new)
    step = pairing.own_step(diet, new)
    assert step is not None
    assert (step.before, step.after) == (old, new)
    assert pairing.own_step(diet, old) is None


def test_what_is_wanted_in_a_mix_is_found_with_its_share() -> None:
    diet = records.diet(records.small(foods=FOODS, sheet=records.sheet(
        {"roots": ["{food: mash, amount: 1 g per animal}"]})))  # fmt: skip
    mash = diet.collection.foods["mash"]
    found = list(kept_from.wanted_parts(mash, lambda food: food.id == "kale"))
    assert [(food.id, share) for food, share in found] == [
        ("kale", exact("0.5")), ("kale", exact("0.25")),
    ]  # fmt: skip
    ((whole, share),) = kept_from.wanted_parts(mash, lambda food: food.id == "mash")
    assert (whole.id, share) == ("mash", exact(1))


def test_the_supplement_of_the_sheet_before_is_named_once_it_is_gone() -> None:
    more = "supplements: [{food: dust, amount: 1 g per animal, with: [roots]}]"
    lines = {"roots": ["{food: carrot, amount: 6 g per animal}"]}
    for now, said in (("", "dust"), (more, "")):
        diet = records.diet(
            records.small(
                foods=FOODS,
                sheet=records.sheet(lines, more=more),
                later=records.sheet(lines, start="2026-11-24", more=now),
            )
        )
        old, new = diet.collection.sheets["tapir"]
        assert (said in former_words(diet, new)) is True
        assert bool(former_words(diet, new)) is bool(said)
        assert "carrot" not in former_words(diet, new)
        assert former_words(diet, old) == former_words(diet, None) == ""
