"""The diet against the requirement tables. Foods carry invented labels, made so that the figure is
plain arithmetic; what the figure is held against is the published row named in each test."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from importlib.resources import files

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Limits, Severity, Standing, Verdict, find_taxon
from dietcheck.quantities import exact
from dietcheck.screening.tables import bundled_limits
from dietcheck.tables.taxa import species_names
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import nutrient_range
from dietcheck_rules.nutrient_range.demands import demands
from dietcheck_rules.nutrient_range.measures import gauge_for, gauges
from tests import records

ROWS = bundled_limits(files(nutrient_range))
BARE = "basis: as fed, moisture: 0 %, ash: 0 %"
UNWEIGHED = "{id: A, weighings: []}"
ADULT = "{id: A, weighings: [{on: 2026-11-20, mass: 1 kg}]}"


def label(figures: str, more: str = "") -> str:
    """A dry feed whose label prints some figures."""
    return f"{{class: compound feed, label: {{{BARE}, {figures}}}{more}}}"


def said(
    species: str,
    lines: Sequence[str],
    *,
    animals: Sequence[str] = (ADULT,),
    limits: Sequence[str] = (),
    **foods: str,
) -> tuple[Check, ...]:
    """What the rule says of a group that gets the same lines at every feed."""
    files_ = {
        "group": records.group(species=species, animals=animals),
        "foods": records.foods(**foods),
        "sheet": records.sheet({"meal": lines}),
        "rota": records.rota(["{morning: meal, afternoon: meal}"] * 2),
    }
    if limits:
        files_["limits"] = "record: limits\nlimits:\n" + "".join(f"  - {row}\n" for row in limits)
    outcome = outcome_of(nutrient_range, records.small(**files_), records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def feed(food: str = "feed", grams: object = 100, more: str = "") -> str:
    """One line of the meal."""
    return f"{{food: {food}, amount: {grams} g per animal{more}}}"


def of(checks: Sequence[Check], about: str) -> Check:
    """The one check about something."""
    (found,) = [check for check in checks if check.about == about]
    return found


@pytest.mark.parametrize(
    ("protein", "verdict"),
    [("20", Verdict.KEPT), ("19.99", Verdict.BREACH), ("19 to 21", Verdict.CANNOT_TELL)],
)
def test_a_floor_is_kept_exactly_at_it_and_broken_just_below(
    protein: str, verdict: Verdict
) -> None:
    """NRC1998 p.73 gives callitrichids 20 % protein (B076); a guideline, so medium at most."""
    checks = said("Callithrix geoffroyi", [feed()], feed=label(f"crude_protein: {protein} %"))
    found = [c for c in checks if c.about == "too little protein on dry matter"]
    if verdict is Verdict.CANNOT_TELL:
        found = [c for c in checks if "protein" in c.message and c.verdict is verdict]
    (check,) = found
    assert (check.verdict, check.animals) == (verdict, ("A",))
    if verdict is Verdict.BREACH:
        assert check.severity is Severity.MEDIUM
        assert check.limit is not None
        assert check.limit.id.startswith("b076-")
        assert check.measured is not None
        assert check.measured.value == exact("19.99")
        assert check.places
        assert check.advice


def test_water_does_not_dilute_the_figure() -> None:
    """20 g protein in 100 g with 50 % water is 40 % of dry matter: far above the floor."""
    wet = "{label: {basis: as fed, moisture: 50 %, ash: 0 %, crude_protein: 20 %}}"
    check = of(said("Callithrix geoffroyi", [feed()], feed=wet), "too little protein on dry matter")
    assert check.measured is not None
    assert check.measured.value == exact(40)


def test_the_worst_run_of_days_counts_not_one_poor_day() -> None:
    """One day with 10 % and one with 30 % protein is 20 % over the rota: kept."""
    days = ["{morning: poor, afternoon: poor}", "{morning: rich, afternoon: rich}"]
    texts = records.small(
        group=records.group(species="Callithrix geoffroyi", animals=[ADULT]),
        foods=records.foods(poor=label("crude_protein: 10 %"), rich=label("crude_protein: 30 %")),
        sheet=records.sheet({"poor": [feed("poor")], "rich": [feed("rich")]}),
        rota=records.rota(days),
    )
    checks = checks_of(outcome_of(nutrient_range, texts, records.ON), "tapir")
    assert of(checks, "too little protein on dry matter").verdict is Verdict.KEPT


def test_the_upper_end_of_a_printed_range_is_graded_low_and_an_open_basis_is_said() -> None:
    """ExpertPanel1998 prints 12 to 15 % protein for parrots (B081) and no basis."""
    checks = said("Psittacus erithacus", [feed()], feed=label("crude_protein: 16 %"))
    check = of(checks, "too much protein on unstated")
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.LOW)
    assert "compared on dry matter" in check.message
    floor = of(checks, "too little protein on unstated")
    assert floor.verdict is Verdict.KEPT


def test_all_that_a_label_keeps_quiet_about_is_one_low_finding_with_the_lines_to_copy() -> None:
    checks = said("Macaca fuscata", [feed()], feed=label("crude_protein: 16 %"))
    told = [check for check in checks if check.verdict is Verdict.CANNOT_TELL]
    (check,) = told
    assert check.severity is Severity.LOW
    for word in ("zinc", "copper", "vitamin E", "feed"):
        assert word in check.advice
    assert "protein" not in check.advice
    assert check.settles
    assert check.places
    assert check.sources


def test_a_supplement_that_states_the_nutrient_settles_it() -> None:
    """1 g with 10 g zinc per kg beside 99 g of silent feed: 100 mg per kg at the least (B056)."""
    foods = {
        "feed": label("crude_protein: 16 %"),
        "mix": "{class: supplement, label: {basis: as fed, moisture: 0 %, zinc: 10000 mg/kg}}",
    }
    checks = said("Macaca fuscata", [feed(grams=99), feed("mix", 1)], **foods)
    assert of(checks, "too little zinc on dry matter").verdict is Verdict.KEPT


def test_silent_produce_that_is_too_little_to_help_makes_it_medium() -> None:
    """Copper 1 mg per kg in 98 % of the diet; 2 % of a leaf nobody analysed cannot bring 20."""
    leaf = "{class: browse, label: {basis: as fed, moisture: 0 %, ash: 0 %}}"
    fed = [feed(grams=98), feed("leaf", 2)]
    stated = label("crude_protein: 16 %, copper: 1 mg/kg")
    checks = said("Macaca fuscata", fed, feed=stated, leaf=leaf)
    (check,) = [c for c in checks if c.verdict is Verdict.CANNOT_TELL and "copper" in c.message]
    # The feed keeps quiet about other nutrients; those alone would be low.
    assert check.severity is Severity.MEDIUM
    assert "copper" in check.working[0]


def test_ranges_whose_best_estimates_meet_the_table_are_one_low_finding() -> None:
    """Two feeds of 10 and 40 % protein, ad lib about as much of each: 25 %, the range is wide."""
    fed = [
        '{food: poor, amount: "ad lib, expected 100 g per animal"}',
        '{food: rich, amount: "ad lib, expected 100 g per animal"}',
    ]
    checks = said(
        "Callithrix geoffroyi",
        fed,
        poor=label("crude_protein: 10 %"),
        rich=label("crude_protein: 40 %"),
    )
    check = of(checks, "nutrients that the ranges leave open")
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.LOW)
    assert "protein" in check.message
    assert check.settles


def test_carotenoids_meet_the_floor_and_never_break_the_ceiling() -> None:
    """Carrot, USDA SR28 11124: 16,706 IU in 100 g, all of it from carotenoids, 88 % water. The
    primate rows ask for 8,000 IU per kg (B060) and end at 8,000 (B078)."""
    checks = said("Macaca fuscata", [feed("carrot")], carrot="{same_as: carrot}")
    floor = of(checks, "too little vitamin A on dry matter")
    assert floor.verdict is Verdict.KEPT
    assert floor.measured is not None
    assert floor.measured.value.low > 100_000
    assert of(checks, "too much vitamin A on dry matter").verdict is Verdict.KEPT


def test_ready_made_vitamin_a_breaks_the_ceiling() -> None:
    checks = said("Macaca fuscata", [feed()], feed=label("vitamin_a: 12000 IU/kg"))
    check = of(checks, "too much vitamin A on dry matter")
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.LOW)
    assert check.limit is not None
    assert check.limit.id.startswith("b078-")


@pytest.mark.parametrize(
    ("milligrams", "verdict"),
    [(130, Verdict.BREACH), (150, Verdict.CANNOT_TELL), (200, Verdict.KEPT)],
)
def test_vitamin_e_in_mg_is_a_range_of_iu(milligrams: int, verdict: Verdict) -> None:
    """200 IU per kg for reptiles (B118, MSDrept); 1 mg is worth 1 to 1.49 IU."""
    checks = said("Boa constrictor", [feed()], feed=label(f"vitamin_e: {milligrams} mg/kg"))
    found = {check.about: check.verdict for check in checks if "vitamin E" in check.message}
    assert found["too little vitamin E on dry matter"] is verdict


def test_the_shares_of_energy() -> None:
    """20 g protein and 10 g fat, no carbohydrate: 3.5 × 20 = 70 and 8.5 × 10 = 85 kcal, so 45.2 %
    from protein and 54.8 % from fat; SACN5 Table 71-1 gives meat-eaters 25-60 and 30-60 (B120)."""
    meat = (
        "{class: meat, label: {basis: as fed, moisture: 70 %, ash: 0 %, crude_protein: 20 %, "
        "crude_fat: 10 %}}"
    )
    checks = said("Boa constrictor", [feed()], feed=meat)
    protein = of(checks, "too little energy from protein on energy").measured
    fat = of(checks, "too little energy from fat on energy").measured
    assert protein is not None
    assert fat is not None
    assert abs(protein.value.low - Decimal(7000) / 155) < Decimal("1e-20")
    assert abs(fat.value.low - Decimal(8500) / 155) < Decimal("1e-20")
    assert abs(protein.value.low + fat.value.low - 100) < Decimal("1e-20")
    carbohydrate = of(checks, "too much energy from carbohydrate on energy")
    assert carbohydrate.verdict is Verdict.KEPT


def test_a_way_of_eating_is_never_applied_to_all_reptiles() -> None:
    """The rows for plant-eaters reach tortoises named so; snakes, the forest-dwelling red-footed
    tortoise and a crocodile, which the source does not name, are held to other rows or none."""

    def rows(species: str) -> set[str]:
        checks = said(species, [feed()], feed=label("crude_protein: 20 %, crude_fat: 5 %"))
        return {check.limit.id for check in checks if check.limit}

    assert "b101-protein-aldabrachelys" in rows("Aldabrachelys gigantea")
    assert "b102-fat-aldabrachelys" in rows("Aldabrachelys gigantea")
    red_footed = rows("Chelonoidis carbonarius")
    assert "b100-protein-chelonoidis-carbonarius" in red_footed
    assert not any(row.startswith("b102-") for row in red_footed)
    assert "b099-protein-serpentes" in rows("Boa constrictor")
    assert not any(
        row.startswith(("b099-", "b100-", "b101-")) for row in rows("Crocodylus niloticus")
    )


def test_a_family_of_which_nothing_is_known_gets_the_primate_rows_as_an_analogy() -> None:
    """NRC2003 ch.11: no usable data for gibbons (B042); the primate row asks 15 % (B043)."""
    check = of(
        said("Hylobates lar", [feed()], feed=label("crude_protein: 10 %")),
        "too little protein on dry matter",
    )
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.LOW)
    assert "analogy" in check.message


@pytest.mark.parametrize(
    ("species", "words"),
    [("Tapirus terrestris", "not yet sourced"), ("Pteropus rodricensis", "no published limit")],
)
def test_the_absences_are_told_apart(species: str, words: str) -> None:
    (check,) = said(species, [feed()], feed=label("crude_protein: 10 %"))
    assert check.verdict is Verdict.NOT_APPLICABLE
    assert words in check.message


def test_nitrogen_is_reckoned_on_metabolic_body_mass() -> None:
    """Steller1986 (B180): 457 mg N per kg^0.75 a day, which is 2.85625 g protein at 1 kg. Two feeds
    a day of 100 g with 1.428125 % protein bring just that."""
    species = "Pteropus poliocephalus"
    about = "too little nitrogen a day on metabolic body mass"
    kept = of(said(species, [feed()], feed=label("crude_protein: 1.428125 %")), about)
    assert kept.verdict is Verdict.KEPT
    assert kept.measured is not None
    assert kept.measured.value == exact(457)
    short = of(said(species, [feed()], feed=label("crude_protein: 1.428 %")), about)
    assert (short.verdict, short.severity) == (Verdict.BREACH, Severity.LOW)
    unweighed = of(
        said(species, [feed()], animals=[UNWEIGHED], feed=label("crude_protein: 2 %")),
        about,
    )
    assert unweighed.verdict is Verdict.CANNOT_TELL
    assert "weighing" in unweighed.settles


def test_sodium_a_day_is_an_amount_for_each_animal() -> None:
    """BIAZAele p.54 (B176a): 75 to 100 g a day for an elephant."""
    animals = ["{id: A, weighings: [{on: 2026-11-20, mass: 3000 kg}]}"]
    about = "too little sodium a day on animal"
    for grams, verdict in ((37500, Verdict.KEPT), (37499, Verdict.BREACH)):
        checks = said(
            "Elephas maximus", [feed(grams=grams)], animals=animals, feed=label("sodium: 1 g/kg")
        )
        assert of(checks, about).verdict is verdict


def test_guinea_pig_figures_are_brought_from_ninety_per_cent_to_dry_matter() -> None:
    """NRC1995 Table 4-1 prints 180 g protein per kg of diet of about 90 % dry matter (B163)."""
    (row,) = [row for row in ROWS if row.id.startswith("b163-")]
    assert (row.at_least, row.unit, row.basis) == (Decimal(200), "g/kg", "dry matter")
    assert "180" in row.note


def test_stages() -> None:
    """AAFCO2008 prints 26 % protein for cats at maintenance and 30 % for growth (B139). A stage of
    which nothing is printed is held to the adult floors; infants are not judged."""
    cat = {"feed": label("crude_protein: 28 %")}
    verdicts = {}
    for stage in ("adult", "growing", "juvenile", "pregnant", "geriatric"):
        animal = f"{{id: A, stage: {stage}, weighings: []}}"
        check = of(
            said("Felis catus", [feed()], animals=[animal], **cat),
            "too little protein on dry matter",
        )
        verdicts[stage] = check.verdict
    assert verdicts.pop("growing") is Verdict.BREACH
    assert verdicts.pop("juvenile") is Verdict.BREACH
    assert set(verdicts.values()) == {Verdict.KEPT}
    (infant,) = said(
        "Felis catus", [feed()], animals=["{id: A, stage: infant, weighings: []}"], **cat
    )
    assert infant.verdict is Verdict.NOT_APPLICABLE


def test_two_sources_the_higher_floor_applies_and_the_other_is_shown() -> None:
    """Vitamin A for primates: 8,000 IU per kg as a target (B060), 5,000 to 8,000 (B078)."""
    check = of(
        said("Macaca fuscata", [feed()], feed=label("vitamin_a: 6000 IU/kg")),
        "too little vitamin A on dry matter",
    )
    assert check.verdict is Verdict.BREACH
    assert check.limit is not None
    assert check.limit.id.startswith("b060-")
    assert any(other.id.startswith("b078-") for other in check.others)


def test_a_limit_of_the_house_is_judged_on_its_own_basis_and_span() -> None:
    site = "set_by: Dr Vale, on: 2026-01-01, why: invented for the test, severity: medium"
    limits = [
        f"{{group: tapir, quantity: zinc, at_most: 100 mg per kg as fed, over: rota, {site}}}",
        f"{{group: tapir, quantity: selenium, at_most: 1 mg per kg as fed, over: meal, {site}}}",
    ]
    checks = said("Tapirus terrestris", [feed()], limits=limits, feed=label("zinc: 150 mg/kg"))
    breach = of(checks, "too much zinc on as fed")
    assert (breach.verdict, breach.severity) == (Verdict.BREACH, Severity.MEDIUM)
    uncounted = [c for c in checks if c.about.startswith("selenium")]
    assert [c.verdict for c in uncounted] == [Verdict.CANNOT_TELL]


def test_the_mean_of_the_surveyed_jaguar_diets_is_no_shortage() -> None:
    """AZAjaguar2016 Table 12 (worked diet J307): protein 56.62, fat 33.49, K 0.89, Mg 0.11, Na 0.39
    % of dry matter, Zn 120 and Cu 13.09 mg/kg, vitamin A 22.05 IU/g, vitamin E 277.8 mg/kg. It is
    normal practice, so neither its protein nor its vitamin A may be called too much."""
    diet = (
        "{class: compound feed, label: {basis: dry matter, moisture: 70 %, crude_protein: 56.62 %,"
        " crude_fat: 33.49 %, potassium: 0.89 %, magnesium: 0.11 %, sodium: 0.39 %,"
        " zinc: 120 mg/kg, copper: 13.09 mg/kg, vitamin_a: 22050 IU/kg, vitamin_e: 277.8 mg/kg}}"
    )
    checks = said("Panthera onca", [feed()], feed=diet)
    kept = {check.about for check in checks if check.verdict is Verdict.KEPT}
    assert not [check for check in checks if check.verdict is Verdict.BREACH]
    for title in ("protein", "fat", "potassium", "magnesium", "sodium", "zinc", "copper"):
        assert f"too little {title} on dry matter" in kept
    for title in ("vitamin A", "vitamin E"):
        assert f"too little {title} on dry matter" in kept


def test_nothing_fed_is_nothing_judged() -> None:
    texts = records.small(rota="", sheet="")
    del texts["rota.yaml"], texts["sheet.yaml"]
    (check,) = checks_of(outcome_of(nutrient_range, texts, records.ON), "tapir")
    assert check.verdict is Verdict.NOT_APPLICABLE


PERCENT = st.decimals(min_value=1, max_value=40, places=1)


@settings(max_examples=25, deadline=None)
@given(
    st.decimals(min_value=1, max_value=40, places=1),
    st.decimals(min_value=1, max_value=40, places=1),
)
def test_more_of_a_nutrient_never_breaks_a_floor(one: Decimal, other: Decimal) -> None:
    def verdict(protein: Decimal) -> int:
        checks = said("Callithrix geoffroyi", [feed()], feed=label(f"crude_protein: {protein} %"))
        found = of(checks, "too little protein on dry matter").verdict
        return (Verdict.BREACH, Verdict.KEPT).index(found)

    less, more = sorted((one, other))
    assert verdict(less) <= verdict(more)


def test_every_row_can_be_counted() -> None:
    """No row of the table may lie in a unit or under a name that the rule cannot reckon in."""
    for row in ROWS:
        if not row.standing.is_absence:
            gauge = gauge_for(row.quantity, row.unit)
            assert gauge is not None, row.id
            assert row.over == "rota", row.id
    assert {row.quantity for row in ROWS if not row.standing.is_absence} <= set(gauges())


def test_floors_lie_under_ceilings_for_every_bundled_species_and_stage() -> None:
    """Of whichever sources the two come. Vitamin A counts differently at each end."""
    texts = records.small()
    for name in species_names():
        texts["group.yaml"] = records.group(species=name, animals=[ADULT])
        diet = records.diet(texts)
        for stage in (None, "growing"):
            ends: dict[tuple[str, str], dict[bool, Decimal]] = {}
            for demand in demands(diet, LIMITS, stage):
                assert demand.gauge is not None, demand.limit.id
                end = demand.limit.at_most if demand.is_ceiling else demand.limit.at_least
                assert end is not None
                key = (demand.limit.quantity, demand.limit.unit)
                ends.setdefault(key, {})[demand.is_ceiling] = end
            for (quantity, _), both in ends.items():
                if len(both) == 2 and quantity != "vitamin-a":
                    assert both[False] < both[True], (name, quantity)


LIMITS = Limits(ROWS)


def test_groups_of_one_species_are_asked_the_same_once() -> None:
    diet = records.diet(records.small(group=records.group(species="Felis catus", animals=[ADULT])))
    assert demands(diet, LIMITS, "adult") is demands(diet, LIMITS, "adult")


def test_marks_are_never_upgraded() -> None:
    """Figures from memory, with an open basis, or from one study are graded low (traps.md)."""
    for row in ROWS:
        if row.standing is Standing.PUBLISHED:
            weak = row.seen in ("memory", "searched") or row.basis == "unstated"
            single = row.evidence in ("trial", "survey")
            assert row.severity == "low" or not (weak or single), row.id
            assert row.severity in ("low", "medium"), row.id
            assert row.evidence != "practice", row.id


def test_every_taxon_of_the_table_is_known() -> None:
    """The sloths and tarsiers of the absences stand in no bundled list of species."""
    named = {row.taxon for row in ROWS if not row.standing.is_absence}
    lineages = [taxon for name in species_names() if (taxon := find_taxon(name))]
    unreached = {name for name in named if not any(taxon.is_in(name) for taxon in lineages)}
    assert not unreached


def test_no_source_says_the_same_of_one_taxon_twice() -> None:
    keys = [(r.taxon, r.quantity, r.stage, r.at_least, r.at_most, r.sources) for r in ROWS]
    assert len(keys) == len(set(keys))


def test_the_working_multiplies_what_is_fed_by_what_is_in_it() -> None:
    """100 g twice a day for two days are 400 g; with 19 % protein 76 g."""
    checks = said("Callithrix geoffroyi", [feed()], feed=label("crude_protein: 19 %"))
    check = of(checks, "too little protein on dry matter")
    assert "400 g × 19 g per 100 g = 76 g" in check.working[0]
    assert check.working[1].endswith("400 g in 2 days")


@pytest.mark.parametrize(("grams", "asked"), [("90 to 110", "how much"), (100, "water of")])
def test_the_amount_is_asked_for_where_it_is_open_and_else_the_composition(
    grams: object, asked: str
) -> None:
    """40 to 60 % water: 10 g protein in 40 to 60 g dry matter, 16.7 to 25 %, across the 20 %."""
    damp = "{label: {basis: as fed, moisture: 40 to 60 %, ash: 0 %, crude_protein: 10 %}}"
    checks = said("Callithrix geoffroyi", [feed(grams=grams)], feed=damp)
    check = of(checks, "too little protein on dry matter")
    assert check.verdict is Verdict.CANNOT_TELL
    assert asked in check.settles
