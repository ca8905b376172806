"""Products that add up. Foods and animals are invented; upper limits name their source."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.quantities import exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import supplement_stack
from dietcheck_rules.supplement_stack.products import d3_sources
from tests import records
from tests.rules.worked import figures, steps

BARE = "basis: as fed, moisture: 0 %"


def product(food_class: str, **states: str) -> str:
    """A food of a class without water whose label states 0 of all but what is given."""
    figures = {"vitamin_a": "0 IU/kg", "vitamin_d3": "0 IU/kg"}
    figures |= dict.fromkeys(("copper", "iodine", "iron", "selenium"), "0 mg/kg")
    figures |= states
    label = ", ".join(f"{name}: {figure}" for name, figure in figures.items())
    return f"{{class: {food_class}, label: {{{BARE}, {label}}}}}"


FOODS = {
    "hay": product("hay"),
    "wild_hay": f"{{class: hay, label: {{{BARE}}}}}",
    "pellet": product("compound feed", vitamin_a="5000 IU/kg", copper="14 mg/kg"),
    "d_pellet": product("compound feed", vitamin_d3="800 IU/kg"),
    "dust": product("supplement", vitamin_a="100000 IU/kg", copper="100 mg/kg"),
    "drops": product("supplement", vitamin_d3="10000 IU/kg"),
    "strong_drops": product("supplement", vitamin_d3="50000 IU/g"),
    "oil": f"{{class: oil, label: {{{BARE}, vitamin_d3: 10000 IU/kg}}}}",
    "mute": f"{{class: supplement, label: {{{BARE}}}}}",
    "mute_pellet": f"{{class: compound feed, label: {{{BARE}, vitamin_a: 0 IU/kg}}}}",
    "lick": f"{{class: mineral, label: {{{BARE}}}}}",
    "retinol": product("supplement", vitamin_a="57000 IU/g"),
}
ADULT = "{id: A1, stage: adult, weighings: [{on: 2026-11-20, mass: 1 kg}]}"


def said(
    species: str,
    *lines: tuple[str, object],
    animal: str = ADULT,
    limits: str = "",
    more: Mapping[str, str] = MappingProxyType({}),
) -> tuple[Check, ...]:
    """What the rule says of an animal that gets these foods, in grams a day."""
    files = {
        "group": records.group(species=species, animals=[animal]),
        "foods": records.foods(**FOODS, **more),
        "sheet": records.sheet(
            {"all": [f"{{food: {food}, amount: {grams} g per animal}}" for food, grams in lines]}
        ),
        "rota": records.rota(["{morning: all, afternoon: no feed}"] * 2),
    }
    if limits:
        files["limits"] = f"record: limits\nlimits:\n  - {limits}\n"
    outcome = outcome_of(supplement_stack, records.small(**files), records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def found(checks: Sequence[Check]) -> list[tuple[Verdict, Severity]]:
    """The findings among some checks."""
    return [
        (check.verdict, check.severity)
        for check in checks
        if check.verdict in (Verdict.BREACH, Verdict.CANNOT_TELL)
    ]


OTTER = "Aonyx cinereus"


def test_pellet_and_dust_together_pass_what_each_keeps() -> None:
    """Otters: 10 IU/g of dry matter, B155a, AZAotter2009 Table 3. 450 + 1000 IU in 100 g: 14.5."""
    checks = said(OTTER, ("pellet", 90), ("dust", 10))
    check = next(c for c in checks if c.about.startswith("vitamin A"))
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert check.measured is not None
    assert check.measured.value.low == 14500
    assert [line.split(":")[0] for line in check.working[:2]] == ["dust", "pellet"]
    assert check.places
    for alone in (("pellet", 90), ("dust", 10)):
        assert not found(said(OTTER, alone, ("hay", 10)))


def test_exactly_at_the_end_is_kept() -> None:
    """Parrots get at most 2000 IU of vitamin D3 per kg: B089. 150 + 50 IU in 100 g are 2000."""
    keep = said("Ara macao", ("drops", 15), ("d-pellet", "62.5"), ("hay", "22.5"))
    (kept,) = (c for c in keep if c.about.startswith("vitamin D3"))
    assert kept.verdict is Verdict.KEPT
    assert kept.measured is not None
    assert kept.measured.value.low == kept.measured.value.high == 2000


def test_a_range_whose_basis_is_not_printed_is_worth_low() -> None:
    """B089: reprint, basis unstated."""
    checks = said("Ara macao", ("drops", 50), ("d-pellet", 50))
    assert found(checks) == [(Verdict.BREACH, Severity.LOW)]
    assert "basis not stated" in checks[0].message


def test_minerals_past_the_end_of_advice_are_low() -> None:
    """Copper 6.25 mg/kg for otters: B160c, the end of a span of advice."""
    checks = said(OTTER, ("pellet", 60), ("dust", 1), ("hay", 39))
    check = next(c for c in checks if c.about.startswith("copper"))
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.LOW)


def test_sheep_die_of_copper_in_one_feed() -> None:
    """15 mg per kg feed: INPR-CU, abstract; the whole diet counts, hay included."""
    sheep = "Ovis aries"
    assert not found(said(sheep, ("pellet", 100)))
    assert found(said(sheep, ("pellet", 98), ("dust", 2))) == [(Verdict.BREACH, Severity.HIGH)]
    assert not found(said(sheep, ("pellet", 90), ("hay", 100), ("dust", 2)))


def test_sheep_feed_that_does_not_state_its_copper_is_asked_about() -> None:
    sheep = "Ovis aries"
    checks = said(sheep, ("mute-pellet", 100))
    assert found(checks) == [(Verdict.CANNOT_TELL, Severity.MEDIUM)]
    assert "mute-pellet" in checks[-1].settles
    assert found(said(sheep, ("pellet", 50), ("wild-hay", 50))) == [
        (Verdict.CANNOT_TELL, Severity.LOW)
    ]


def test_all_silent_labels_are_one_question() -> None:
    checks = said(OTTER, ("pellet", 50), ("mute", 1), ("hay", 50))
    (question,) = (c for c in checks if c.verdict is Verdict.CANNOT_TELL)
    assert question.severity is Severity.LOW
    assert "vitamin A" in question.settles
    assert "iodine" not in question.settles  # one product alone is no stack
    assert question.animals == ("A1",)


def test_a_mineral_may_hold_minerals_but_no_vitamins() -> None:
    checks = said(OTTER, ("pellet", 10), ("lick", 1), ("hay", 89))
    (question,) = (c for c in checks if c.verdict is Verdict.CANNOT_TELL)
    assert "vitamin A" not in question.settles
    assert "copper: lick" in question.settles


@pytest.mark.parametrize(
    ("species", "food", "grams", "severity"),
    [
        # NWM-D, abstract: 50,000 to 100,000 IU an animal a day killed
        ("Saimiri sciureus", "strong-drops", "1.001", Severity.HIGH),
        # D3-LEE, reprint: toxic from 0.1 mg/kg body mass, 4000 IU; 0.1 g holds 5000
        ("Canis lupus", "strong-drops", "0.1", Severity.MEDIUM),
        # VETBK-A: 57,000 IU per kg body mass a day
        ("Felis catus", "retinol", "1.001", Severity.MEDIUM),
    ],
)
def test_doses_that_did_harm(species: str, food: str, grams: str, severity: Severity) -> None:
    checks = said(species, (food, grams), ("hay", 10))
    assert (Verdict.BREACH, severity) in found(checks)


def test_doses_at_the_limit_are_kept() -> None:
    assert not found(said("Saimiri sciureus", ("strong-drops", 1), ("hay", 10)))
    assert not found(said("Felis catus", ("retinol", 1), ("hay", 90)))


def test_a_dose_without_a_weighing_is_not_cleared() -> None:
    checks = said("Felis catus", ("retinol", "0.001"), animal="{id: A1, stage: adult}")
    assert (Verdict.CANNOT_TELL, Severity.LOW) in found(checks)


def test_two_sources_of_vitamin_d3_are_told_and_feeds_count_as_one() -> None:
    """Advice among the toxic items, from memory: low at most."""
    iguana = "Iguana iguana"
    about = "sources of vitamin D3"

    def verdict(*lines: tuple[str, object]) -> tuple[Verdict, Severity]:
        return next((c.verdict, c.severity) for c in said(iguana, *lines) if c.about == about)

    assert verdict(("d-pellet", 1), ("hay", 99))[0] is Verdict.KEPT
    assert verdict(("d-pellet", 1), ("oil", 1), ("hay", 98)) == (Verdict.BREACH, Severity.LOW)
    assert verdict(("drops", 1), ("oil", 1), ("hay", 98))[0] is Verdict.BREACH


def test_old_world_monkeys_are_held_to_less_vitamin_d_than_south_american_ones() -> None:
    """800 to 1500 IU/kg: B079a, MSDprim-new; not for callitrichids (B079b)."""
    lines = (("d-pellet", 50), ("drops", 20), ("hay", 30))
    assert found(said("Macaca mulatta", *lines)) == [(Verdict.BREACH, Severity.MEDIUM)]
    assert not found(said("Callithrix geoffroyi", *lines))


def test_a_species_without_limits_says_so() -> None:
    (check,) = said("Suricata suricatta", ("pellet", 50), ("dust", 10))
    assert check.verdict is Verdict.NOT_APPLICABLE
    assert "not yet sourced" in check.message


def test_a_site_limit_is_judged_and_an_unreadable_one_is_said() -> None:
    row = "{{taxon: Suricata, quantity: stacked-copper, at_most: {}, over: rota, severity: medium,"
    row += " why: invented, set_by: Dr Vale, on: 2026-01-01}}"
    lines = (("pellet", 50), ("dust", 10))
    checks = said("Suricata suricatta", *lines, limits=row.format("20 mg per kg dry matter"))
    assert found(checks) == [(Verdict.BREACH, Severity.MEDIUM)]
    checks = said("Suricata suricatta", *lines, limits=row.format("20 feeds"))
    assert found(checks) == [(Verdict.CANNOT_TELL, Severity.MEDIUM)]


@settings(max_examples=25, deadline=None)
@given(grams=st.integers(1, 60), more=st.integers(1, 60))
def test_more_dust_is_never_better(grams: int, more: int) -> None:
    sums = [
        next(
            c.measured.value.low
            for c in said(OTTER, ("pellet", 90), ("dust", dust))
            if c.measured and c.about.startswith("vitamin A")
        )
        for dust in (grams, grams + more)
    ]
    assert sums[0] < sums[1]


def test_a_range_across_the_ceiling_cannot_be_told_and_names_what_would_settle_it() -> None:
    """1 to 20 g of the dust beside 90 g of pellet: 6 to 22 IU/g of dry matter; 10 is the most."""
    checks = said(OTTER, ("pellet", 90), ("dust", "1 to 20"))
    check = next(c for c in checks if c.about.startswith("vitamin A"))
    assert check.verdict is Verdict.CANNOT_TELL
    assert "dust" in check.settles
    assert "how much" in check.settles


def test_a_range_of_figures_on_a_label_is_what_would_settle_it() -> None:
    vague = product("supplement", vitamin_a="10000 to 200000 IU/kg", copper="0 mg/kg")
    checks = said(OTTER, ("pellet", 90), ("vague", 10), more={"vague": vague})
    check = next(c for c in checks if c.about.startswith("vitamin A"))
    assert check.verdict is Verdict.CANNOT_TELL
    assert "exact figures" in check.settles


@pytest.mark.parametrize("basis", ["as fed", "body mass", "dry matter"])
def test_the_arithmetic_ends_on_the_basis_of_the_limit(basis: str) -> None:
    """In 100 g without water for 1 kg of animal: 10 g of pellet with 0.14 mg of copper, 1 g of dust
    with 0.1 mg."""
    bound = {
        "as fed": "3 mg/kg as fed", "dry matter": "3 mg per kg dry matter",
        "body mass": "3 mg per kg body mass",
    }[basis]  # fmt: skip
    house = (
        f"{{group: tapir, quantity: stacked-copper, at_most: {bound}, over: day, "
        "severity: medium, why: x, set_by: Dr Vale, on: 2026-01-01, source: site rule}"
    )
    checks = said(OTTER, ("hay", 89), ("pellet", 10), ("dust", 1), limits=house)
    check = next(c for c in checks if c.limit and c.limit.set_by)
    assert check.verdict is Verdict.KEPT
    assert check.measured is not None
    expected = "0.24" if basis == "body mass" else "2.4"
    assert check.measured.value == exact(expected)
    assert any(line.startswith("÷") for line in check.working)


@pytest.mark.parametrize(("count", "told"), [(6, False), (7, True)])
def test_a_long_list_of_products_is_cut_and_says_so(count: int, told: bool) -> None:
    """Each dust holds 100,000 IU of vitamin A per kg: 10 IU/g is past at once (B155a)."""
    dust = product("supplement", vitamin_a="100000 IU/kg")
    more = {f"dust{number}": dust for number in range(count)}
    checks = said(OTTER, *((name, 10) for name in more), more=more)
    check = next(c for c in checks if c.about.startswith("vitamin A"))
    assert any("more foods" in step for step in check.working) is told
    assert sum("per 100 g" in step for step in check.working) == 6


def test_a_mix_with_a_product_in_it_brings_it() -> None:
    """90 g of pellet with 5000 IU/kg and a mix of hay with 10 g of dust: as above."""
    mixed = {"dusted_hay": "{mix: {dust: 50 %, hay: 50 %}}"}
    checks = said(OTTER, ("pellet", 80), ("dusted-hay", 20), more=mixed)
    check = next(c for c in checks if c.about.startswith("vitamin A"))
    assert check.verdict is Verdict.BREACH
    assert check.measured is not None
    # (80 × 5 IU + 10 × 100 IU) ÷ 100 g = 14 IU/g
    assert check.measured.value == exact(14000)


def house(bound: str, quantity: str = "stacked-copper", over: str = "rota", more: str = "") -> str:
    return (
        f"{{group: tapir, quantity: {quantity}, at_most: {bound}, over: {over}, severity: medium,"
        f" why: x, set_by: Dr Vale, on: 2026-01-01{more}}}"
    )


TWINS = "{id: A1, stage: adult}, {id: A2, stage: adult}"


def test_a_sum_is_told_product_by_product_with_what_it_is_divided_by_and_how_far_past() -> None:
    """A day: 90 g of pellet with 450 IU, 10 g of dust with 1000, 20 g of hay: 1450 in 120 g."""
    checks = said(OTTER, ("pellet", 90), ("dust", 10), ("hay", 20))
    check = next(c for c in checks if c.about.startswith("vitamin A"))
    assert steps(check.working)[:4] == [
        ["20", "10000", "100", "2000"], ["180", "500", "100", "900"], ["2900", "2"],
        ["240", "12100"],
    ]  # fmt: skip
    assert figures(check.working[-1]) == ["2080"]  # 12083 less 10000
    assert figures(check.message)[1:3] == ["12100", "10000"]
    assert [place.path[2] for place in check.places] == [1, 0]  # what was put on top first
    assert "dust" in check.advice
    assert "pellet" not in check.advice
    assert check.settles == ""
    kept = next(c for c in said(OTTER, ("pellet", 90), ("dust", 1), ("hay", 9))
                if c.about.startswith("vitamin A"))  # fmt: skip
    assert (kept.verdict, kept.advice, kept.occasions, kept.places) == (Verdict.KEPT, "", (), ())
    assert "left" in kept.working[-1]
    assert "past" in check.working[-1]


@pytest.mark.parametrize(
    ("bound", "over", "told"),
    [
        ("0.1 mg per kg as fed", "day", [["100", "2.4"], ["0.1", "2026", "01", "01"], ["2.3"]]),
        ("0.1 mg per kg body mass", "day", [["1", "0.24"], ["0.1", "2026", "01", "01"], ["0.14"]]),
        ("0.1 mg per animal", "rota", [["0.1", "2026", "01", "01"], ["0.14"]]),
    ],
)
def test_each_basis_is_divided_by_its_own_whole(
    bound: str, over: str, told: list[list[str]]
) -> None:
    """10 g of pellet with 0.14 mg of copper, 1 g of dust with 0.1 mg, in 100 g for 1 kg."""
    lines = (("hay", 89), ("pellet", 10), ("dust", 1))
    checks = said(OTTER, *lines, limits=house(bound, over=over))
    check = next(c for c in checks if c.limit and c.limit.set_by)
    assert check.verdict is Verdict.BREACH
    found = steps(check.working)
    assert found[2] == (["0.24"] if over == "day" else ["0.48", "2"])
    assert found[3:] == told


def test_a_silent_label_is_asked_about_with_each_limit_that_it_leaves_open() -> None:
    feed = product("compound feed", vitamin_a="5000 IU/kg", iron="10 mg/kg")
    lines = (("feed", 50), ("mute", 1), ("hay", 50))
    checks = said(OTTER, *lines, limits=house("50 mg per kg dry matter", "stacked-iron"),
                  more={"feed": feed})  # fmt: skip
    (question,) = (c for c in checks if c.verdict is Verdict.CANNOT_TELL)
    assert question.limit
    quantities = {limit.quantity for limit in (question.limit, *question.others)}
    assert quantities == {"stacked-vitamin-a", "stacked-iron"}
    assert [place.path[1] for place in question.places] == ["mute"]
    told = [line for line in question.working if "not stated" in line]
    assert len(told) == len(question.settles.split("; "))
    assert len(question.working) == len(told) + len(quantities)


@pytest.mark.parametrize(
    ("figure", "severity"), [("about 99 mg/kg", Severity.MEDIUM), ("about 1 mg/kg", Severity.LOW)]
)
def test_a_best_estimate_past_the_limit_makes_the_question_graver(
    figure: str, severity: Severity
) -> None:
    guessed = FOODS["mute"][:-1] + f", estimate: {{copper: {figure}, evidence: maker's letter}}}}"
    checks = said(OTTER, ("pellet", 10), ("guessed", 40), ("hay", 50), more={"guessed": guessed})
    (question,) = (c for c in checks if c.verdict is Verdict.CANNOT_TELL)
    assert question.severity is severity


def test_animals_without_a_weighing_are_asked_for_it_and_hide_no_other() -> None:
    herd = "{id: A1, stage: adult}", ADULT.replace("A1", "A2")
    files = records.small(
        group=records.group(species="Felis catus", animals=herd),
        foods=records.foods(**FOODS),
        sheet=records.sheet({"all": ["{food: retinol, amount: 1.1 g per animal}"]}),
        rota=records.rota(["{morning: all, afternoon: no feed}"] * 2),
    )
    checks = checks_of(outcome_of(supplement_stack, files, records.ON), "tapir")
    dose = [c for c in checks if c.limit and c.limit.quantity == "vitamin-a-dose"]
    assert {(c.verdict, c.animals) for c in dose} == {
        (Verdict.CANNOT_TELL, ("A1",)), (Verdict.BREACH, ("A2",)),
    }  # fmt: skip
    (asked,) = [c for c in dose if c.verdict is Verdict.CANNOT_TELL]
    assert [place.file for place in asked.places] == ["group.yaml"]
    assert "weighing" in asked.settles
    bare = said("Felis catus", ("hay", 9), animal="{id: A1, stage: adult}")
    assert not found(bare)  # nothing is fed that brings any


def test_an_unreadable_house_limit_points_at_itself_and_hides_no_other() -> None:
    rows = house("20 feeds") + "\n  - " + house("0.1 mg per kg as fed", "stacked-iron")
    iron = product("supplement", iron="100 mg/kg")
    checks = said("Suricata suricatta", ("rusty", 50), ("rust", 10), limits=rows,
                  more={"rust": iron, "rusty": iron})  # fmt: skip
    assert [(c.verdict, c.severity) for c in checks] == [
        (Verdict.CANNOT_TELL, Severity.MEDIUM), (Verdict.BREACH, Severity.MEDIUM),
    ]  # fmt: skip
    assert [place.file for place in checks[0].places] == ["limits.yaml"]
    over = said("Suricata suricatta", ("pellet", 9), ("dust", 9),
                limits=house("9 mg per kg as fed", over="meal"))  # fmt: skip
    assert found(over) == [(Verdict.CANNOT_TELL, Severity.MEDIUM)]


@pytest.mark.parametrize(
    ("lines", "least", "most"),
    [
        ((("d-pellet", 1),), 1, 1),
        ((("d-pellet", 1), ("other-pellet", 1), ("drops", 1), ("oil", 1)), 3, 3),
        ((("d-pellet", 1), ("mute", 1)), 1, 2),
        ((("drops", 1), ("mute-pellet", 1)), 1, 2),
        ((("mixed", 1), ("hay", 9), ("lick", 1)), 2, 2),  # a mineral brings no vitamin
        ((("d-pellet", 1), ("dust", 1)), 1, 1),  # dust says that it has none
        ((("pellet", 1),), 0, 0),
        ((("trace-pellet", 1), ("trace", 1)), 2, 2),
    ],
)
def test_sources_of_vitamin_d3_are_counted_feeds_as_one(
    lines: tuple[tuple[str, object], ...], least: int, most: int
) -> None:
    more = {
        "other_pellet": FOODS["d_pellet"],
        "mixed": "{mix: {drops: 50 %, d-pellet: 50 %}}",
        "trace_pellet": product("compound feed", vitamin_d3="100 IU/kg"),  # 0.25 µg in 100 g
        "trace": product("supplement", vitamin_d3="100 IU/kg"),
    }
    diet = records.diet(
        records.small(
            foods=records.foods(**FOODS, **more),
            sheet=records.sheet(
                {
                    "roots": [
                        f"{{food: {food}, amount: {grams} g per animal}}" for food, grams in lines
                    ]
                }
            ),
        )
    )
    found_ = d3_sources(diet.day_ration(diet.animals[0], diet.days[0]))
    assert (int(found_.low), int(found_.high)) == (least, most)


def test_the_day_with_the_most_is_shown_where_every_day_is_within() -> None:
    files = {
        "group": records.group(species=OTTER, animals=[ADULT]),
        "foods": records.foods(**FOODS),
        "sheet": records.sheet({
            meal: [f"{{food: pellet, amount: {grams} g per animal}}",
                   "{food: dust, amount: 1 g per animal}"]
            for meal, grams in (("less", 10), ("more", 30))
        }),
        "limits": f"record: limits\nlimits: [{house('9 mg per animal', over='day')}]\n",
    }  # fmt: skip
    for days in (("less", "more"), ("more", "less")):
        rota = records.rota([f"{{morning: {meal}, afternoon: no feed}}" for meal in days])
        outcome = outcome_of(supplement_stack, records.small(**files, rota=rota), records.ON)
        check = next(c for c in checks_of(outcome, "tapir") if c.limit and c.limit.set_by)
        assert check.measured is not None
        assert check.measured.value == exact("0.52")  # 30 g × 14 mg/kg + 1 g × 100 mg/kg


def test_without_a_stack_and_without_limits_are_told_apart() -> None:
    (alone,) = said("Ara macao", ("hay", 9))
    (unknown,) = said("Suricata suricatta", ("hay", 9))
    assert {alone.verdict, unknown.verdict} == {Verdict.NOT_APPLICABLE}
    assert "not yet sourced" in unknown.message
    assert "not yet sourced" not in alone.message


def test_water_is_asked_for_before_the_amount_and_the_amount_before_the_figures() -> None:
    damp = FOODS["dust"].replace(", moisture: 0 %", "")
    range_ = ("dust", "1 to 20")
    settles = [
        next(c for c in said(OTTER, ("pellet", 90), line, more={"damp": damp})
             if c.about.startswith("vitamin A")).settles
        for line in (("damp", "4.9"), range_)
    ]  # fmt: skip
    assert "water" in settles[0]
    assert "damp" in settles[0]
    assert "pellet" not in settles[0]
    assert "how much" in settles[1]
    assert "pellet" not in settles[1]


def test_one_of_two_unweighed_animals_that_gets_the_product_is_enough_to_ask() -> None:
    herd = "{id: A1, stage: adult}", "{id: A2, stage: adult}"
    files = records.small(
        group=records.group(species="Felis catus", animals=herd),
        foods=records.foods(**FOODS),
        sheet=records.sheet(
            {"all": ["{food: retinol, amount: 1 g per animal, for: [A1]}",
                     "{food: hay, amount: 1 g per animal}"]}
        ),
        rota=records.rota(["{morning: all, afternoon: no feed}"] * 2),
    )  # fmt: skip
    checks = checks_of(outcome_of(supplement_stack, files, records.ON), "tapir")
    assert any(c.verdict is Verdict.CANNOT_TELL and "weighing" in c.settles for c in checks)


def test_a_silent_feed_beside_a_silent_powder_stays_as_grave() -> None:
    """Copper for sheep: INPR-CU, graded high."""
    checks = said("Ovis aries", ("mute-pellet", 100), ("mute", 1))
    assert (Verdict.CANNOT_TELL, Severity.MEDIUM) in found(checks)


@pytest.mark.parametrize(
    ("nutrient", "label", "asked"),
    [
        ("copper", "copper", True), ("iodine", "iodine", True), ("iron", "iron", True),
        ("selenium", "selenium", True), ("vitamin-a", "vitamin_a", False),
        ("vitamin-d3", "vitamin_d3", False),
    ],
)  # fmt: skip
def test_a_stack_is_two_products_at_least_and_a_lick_may_bring_any_mineral(
    nutrient: str, label: str, asked: bool
) -> None:
    unit = "IU" if "vitamin" in label else "mg"
    feed = product("compound feed", **{label: f"50 {unit}/kg"})
    limit = house(f"70 {unit} per kg dry matter", f"stacked-{nutrient}")
    for lines, open_ in (((("feed", 10), ("lick", 1)), asked), ((("feed", 10),), False)):
        checks = said("Suricata suricatta", *lines, limits=limit, more={"feed": feed})
        assert any(c.verdict is Verdict.CANNOT_TELL for c in checks) is open_
        if not open_:
            assert [c.verdict for c in checks] == [Verdict.NOT_APPLICABLE]


def test_copper_in_hay_is_no_part_of_a_stack_and_a_lick_may_bring_copper_to_sheep() -> None:
    lush = product("hay", copper="900 mg/kg")
    checks = said("Suricata suricatta", ("pellet", 10), ("dust", 1), ("lush", 89),
                  limits=house("9 mg per animal"), more={"lush": lush})  # fmt: skip
    (check,) = [c for c in checks if c.limit and c.limit.set_by]
    assert check.measured is not None
    assert check.measured.value == exact("0.24")
    sheep = said("Ovis aries", ("pellet", 98), ("lick", 2))
    assert any(c.verdict is Verdict.CANNOT_TELL and "lick" in c.settles for c in sheep)
