"""Toxic items in small diets. Amounts, animals and mixes are invented; who is harmed by what, and
the doses, stand in the rule's own table with their sources.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import toxic_item
from tests import records

BREACH, CANNOT_TELL, KEPT = Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT
HIGH, MEDIUM, LOW = Severity.HIGH, Severity.MEDIUM, Severity.LOW
WILD_DOG, CAT, TORTOISE, TOUCAN = (
    "Lycaon pictus", "Felis catus", "Aldabrachelys gigantea", "Ramphastos toco",
)  # fmt: skip
DOG, HORSE, GOAT = "Canis lupus familiaris", "Equus caballus", "Capra hircus"


def said(
    lines: Sequence[str],
    species: str,
    foods: Mapping[str, str],
    *,
    mass: str = "10 kg",
    animals: Sequence[str] = (),
    settings: str = "",
    **changes: str,
) -> tuple[Check, ...]:
    """What the rule says of animals of a species that get these lines twice a day."""
    herd = animals or (f"{{id: A1, weighings: [{{on: 2026-11-20, mass: {mass}}}]}}",)
    files = {
        "dietcheck": records.settings(more=settings),
        "group": records.group(species=species, animals=herd),
        "foods": records.foods(**foods),
        "sheet": records.sheet({"roots": lines}),
    }
    outcome = outcome_of(toxic_item, records.small(**{**files, **changes}), records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def line(food: str, amount: str = "10 g per animal") -> str:
    return f"{{food: {food}, amount: {amount}}}"


def findings(checks: Sequence[Check]) -> list[Check]:
    return [check for check in checks if check.verdict in (BREACH, CANNOT_TELL)]


def only(checks: Sequence[Check]) -> Check:
    (one,) = findings(checks)
    return one


# -- organism, part, form --------------------------------------------------------------------


def test_grapes_are_a_breach_for_the_dogs_kin() -> None:
    check = only(said([line("grape")], WILD_DOG, {"grape": "{same_as: grape}"}))
    assert (check.verdict, check.severity, check.food) == (BREACH, HIGH, "grape")
    assert check.animals == ("A1",)
    assert check.sources
    assert check.advice


@pytest.mark.parametrize("row", ["raisin", "sultana", "currants-dried", "juice-grape"])
def test_dried_and_pressed_grapes_count_as_grapes(row: str) -> None:
    assert only(said([line("sweet")], DOG, {"sweet": f"{{same_as: {row}}}"})).severity is HIGH


def test_no_small_amount_of_grapes_is_cleared_for_dogs() -> None:
    """0.01 g in 10 kg is far below the lowest published 2.8 g/kg; no threshold is known."""
    foods = {"grape": "{same_as: grape}"}
    assert only(said([line("grape", "0.01 g per animal")], DOG, foods)).severity is HIGH


def test_grapes_harm_no_cat_and_no_bear() -> None:
    for species in (CAT, "Ursus arctos", "Varecia variegata"):
        checks = said([line("grape")], species, {"grape": "{same_as: grape}"})
        assert not findings(checks)
        assert [check.verdict for check in checks] == [KEPT]


def test_leek_tops_are_a_breach_for_giant_tortoises() -> None:
    foods = {"leek": "{same_as: leek, also_called: [leek tops], part: leaf}"}
    check = only(said([line("leek", "300 g per animal")], TORTOISE, foods, mass="92 kg"))
    assert (check.verdict, check.severity) == (BREACH, HIGH)


def test_orange_is_a_medium_finding_for_toucans() -> None:
    check = only(said([line("orange")], TOUCAN, {"orange": "{same_as: orange}"}, mass="600 g"))
    assert (check.verdict, check.severity) == (BREACH, MEDIUM)


def test_the_part_decides() -> None:
    plum = "{{unknown_composition: x, organism: Prunus domestica, family: Rosaceae, part: {}}}"
    for part, hit in (("leaf", True), ("leaf and twig", True), ("fruit", False), ("flesh", False)):
        checks = said([line("plum")], GOAT, {"plum": plum.format(part)})
        assert bool(findings(checks)) is hit, part


def test_an_unknown_part_cannot_be_told_and_drops_one_level() -> None:
    food = "{unknown_composition: x, organism: Prunus laurocerasus, family: Rosaceae}"
    check = only(said([line("hedge")], GOAT, {"hedge": food}))
    assert (check.verdict, check.severity) == (CANNOT_TELL, MEDIUM)
    assert "part" in check.settles


def test_a_part_in_words_nobody_knows_is_never_taken_for_a_harmless_one() -> None:
    food = "{unknown_composition: x, organism: Prunus laurocerasus, part: gubbins}"
    assert only(said([line("hedge")], GOAT, {"hedge": food})).verdict is CANNOT_TELL


def test_a_genus_stands_for_its_species_and_family_tells_homonyms_apart() -> None:
    shrub = "{unknown_composition: x, organism: Pieris japonica, family: Ericaceae, part: leaf}"
    butterfly = "{unknown_composition: x, organism: Pieris rapae, family: Pieridae, part: whole}"
    assert only(said([line("p")], GOAT, {"p": shrub})).severity is HIGH
    assert not findings(said([line("p")], GOAT, {"p": butterfly}))


def test_a_genus_alone_leaves_the_species_open() -> None:
    maple = "{unknown_composition: x, organism: Acer, family: Sapindaceae, part: leaf, form: dried}"
    assert only(said([line("m")], HORSE, {"m": maple})).verdict is CANNOT_TELL


@pytest.mark.parametrize(
    "organism", ["taxus baccata", "Taxus × media", "TAXUS BACCATA", "Taxus baccata 'Fastigiata'"]
)
def test_a_scientific_name_may_be_written_in_many_ways(organism: str) -> None:
    yew = f'{{unknown_composition: x, organism: "{organism}", part: leaf, form: fresh}}'
    assert only(said([line("y")], HORSE, {"y": yew})).severity is HIGH


def test_a_former_genus_is_known_by_its_name_and_asked_about() -> None:
    azalea = "{unknown_composition: x, organism: Azalea indica, part: leaf, form: fresh}"
    assert only(said([line("a")], GOAT, {"a": azalea})).verdict is CANNOT_TELL


def test_an_older_family_name_clears_nothing() -> None:
    lily = "{unknown_composition: x, organism: Allium sativum, family: Liliaceae, part: bulb}"
    assert only(said([line("g")], CAT, {"g": lily})).severity is HIGH


def test_boiled_beans_are_cleared_and_raw_ones_are_not() -> None:
    bean = "{{unknown_composition: x, organism: Phaseolus vulgaris, part: seed, form: {}}}"
    rat = "Hydrochoerus hydrochaeris"
    assert not findings(said([line("b")], rat, {"b": bean.format("boiled")}))
    assert only(said([line("b")], rat, {"b": bean.format("raw")})).verdict is BREACH
    for doubtful in ("raw or boiled", "slow cooked"):
        assert findings(said([line("b")], rat, {"b": bean.format(doubtful)})), doubtful
    unknown = "{unknown_composition: x, organism: Phaseolus vulgaris, part: seed}"
    assert only(said([line("b")], rat, {"b": unknown})).verdict is CANNOT_TELL


def test_fresh_red_maple_is_exempt_and_fresh_or_dried_is_not() -> None:
    maple = "{{unknown_composition: x, organism: Acer rubrum, part: leaf, form: {}}}"
    assert not findings(said([line("m")], HORSE, {"m": maple.format("fresh")}))
    for form in ("wilted", "dried", "fresh or dried"):
        assert only(said([line("m")], HORSE, {"m": maple.format(form)})).severity is HIGH


def test_powder_counts_where_the_row_says_so() -> None:
    powder = "{unknown_composition: x, organism: Allium cepa, part: bulb, form: powder}"
    assert (
        only(said([line("p", "1 g per animal")], CAT, {"p": powder}, mass="4 kg")).severity is HIGH
    )


# -- names -----------------------------------------------------------------------------------


def test_a_name_alone_cannot_be_told_and_drops_one_level() -> None:
    check = only(said([line("yew-clippings")], HORSE, {"carrot": "{same_as: carrot}"}))
    assert (check.verdict, check.severity) == (CANNOT_TELL, MEDIUM)
    assert "scientific name" in check.settles


def test_a_thing_without_an_organism_is_known_by_its_name() -> None:
    food = "{unknown_composition: x, name: Xylitol gum}"
    assert only(said([line("g", "1 g per animal")], DOG, {"g": food})).verdict is BREACH


@pytest.mark.parametrize("word", ["lime", "sycamore", "laurel", "hemlock", "locust"])
def test_a_word_with_several_meanings_is_asked_about(word: str) -> None:
    species = TOUCAN if word == "lime" else HORSE
    for name in (word, f"fresh-{word}", f"{word}s", f"wild-{word}-tree"):
        check = only(said([line(name)], species, {"carrot": "{same_as: carrot}"}))
        assert check.verdict is CANNOT_TELL
        assert check.severity.rank >= MEDIUM.rank
        assert "organism" in check.settles


def test_currants_for_dogs_are_asked_about_until_the_organism_is_written() -> None:
    food = "{{unknown_composition: x, part: fruit, form: dried, organism: {}}}"
    assert (
        only(said([line("currant")], DOG, {"carrot": "{same_as: carrot}"})).verdict is CANNOT_TELL
    )
    assert not findings(said([line("currant")], DOG, {"currant": food.format("Ribes nigrum")}))
    vine = said([line("currant")], DOG, {"currant": food.format("Vitis vinifera")})
    assert only(vine).verdict is BREACH


def test_a_record_settles_what_a_word_leaves_open() -> None:
    insect = "{unknown_composition: x, class: insect, organism: Locusta migratoria, part: whole}"
    unnamed = "{unknown_composition: x, class: insect}"
    plane = "{unknown_composition: x, class: browse, organism: Platanus occidentalis, part: leaf}"
    assert not findings(said([line("locusts")], HORSE, {"locusts": insect}))
    assert not findings(said([line("locusts")], HORSE, {"locusts": unnamed}))
    assert not findings(said([line("sycamore")], HORSE, {"sycamore": plane}))


@pytest.mark.parametrize(
    "name",
    ["oak leaf lettuce", "garlic mustard", "grape tomatoes", "honey locust pods", "cocoa butter",
     "box of carrots", "grapefruit peel", "boxed hay", "bamboozle"],
)  # fmt: skip
def test_part_of_a_name_is_no_match(name: str) -> None:
    food = f"{{unknown_composition: x, name: {name}}}"
    for species in (HORSE, DOG, GOAT):
        assert not findings(said([line("thing")], species, {"thing": food}))


# -- where it hides ----------------------------------------------------------------------------


def test_an_ingredient_two_mixes_deep_is_found_with_its_share() -> None:
    foods = {
        "onion": "{same_as: onion}",
        "carrot": "{same_as: carrot}",
        "relish": "{mix: {onion: 50 %, carrot: 50 %}}",
        "mash": "{mix: {relish: 20 %, carrot: 80 %}}",
    }
    check = only(said([line("mash", "100 g per animal")], CAT, foods, mass="4 kg"))
    assert (check.food, check.severity) == ("onion", HIGH)
    assert "mash" in check.message
    # 2 feeds × 100 g × 20 % × 50 % = 20 g; 20 g / 4 kg = 5 g/kg, the lowest published dose in
    # cats (COMP-ALL).
    assert "5 g/kg" in " ".join(check.working)
    assert "100 %" in check.message


def test_food_of_others_within_reach_counts_whole() -> None:
    other = {
        "group2": records.group(
            id="goats",
            species=GOAT,
            animals=("{id: G1, weighings: [{on: 2026-11-20, mass: 40 kg}]}",),
        ),
        "sheet2": records.sheet({"roots": [line("grape", "60 g per group")]}, group="goats"),
        "rota2": records.rota(["{morning: roots, afternoon: no feed}"] * 2, group="goats"),
    }
    foods = {"carrot": "{same_as: carrot}", "grape": "{same_as: grape}"}
    check = only(said([line("carrot")], WILD_DOG, foods, **other))
    assert (check.severity, check.food) == (HIGH, "grape")
    assert "60 g" in check.message
    apart = {**other, "group2": other["group2"].replace("Paddock", "Hill")}
    assert not findings(said([line("carrot")], WILD_DOG, foods, **apart))


def test_treats_outside_the_rota_count() -> None:
    treats = (
        "record: treats\ntreats:\n  - {on: 2026-11-26, group: tapir, purpose: training, "
        "items: [{food: grape, amount: 5 g per animal}]}\n"
    )
    foods = {"carrot": "{same_as: carrot}", "grape": "{same_as: grape}"}
    check = only(said([line("carrot")], DOG, foods, treats=treats))
    assert [when.on.isoformat() for when in check.occasions] == ["2026-11-26"]


def test_nothing_fed_and_nothing_in_reach_is_not_applicable() -> None:
    files = {k: v for k, v in records.small().items() if k not in ("sheet.yaml", "rota.yaml")}
    (check,) = checks_of(outcome_of(toxic_item, files, records.ON), "tapir")
    assert check.verdict is Verdict.NOT_APPLICABLE


# -- taxa --------------------------------------------------------------------------------------


def test_the_narrowest_taxon_and_its_evidence_decide() -> None:
    """Avocado: birds high (A), dogs and kin medium (B), guinea pigs and kin high (A), the
    capybara among them (from memory); other rodents high on grade C alone: low."""
    foods = {"avo": "{same_as: avocado}"}
    wanted = {TOUCAN: HIGH, WILD_DOG: MEDIUM, "Hystrix cristata": LOW, HORSE: HIGH}
    wanted["Hydrochoerus hydrochaeris"] = HIGH
    for species, severity in wanted.items():
        assert only(said([line("avo")], species, foods)).severity is severity, species


def test_a_rapid_killer_stays_grave_on_grade_c() -> None:
    yew = "{unknown_composition: x, organism: Taxus baccata, part: leaf and twig, form: fresh}"
    check = only(said([line("y")], "Tapirus terrestris", {"y": yew}))
    assert (check.verdict, check.severity) == (BREACH, HIGH)


def test_a_sourced_tolerance_lowers_and_an_unsourced_one_does_not() -> None:
    """Avocado: turkeys more resistant in the source (one lower would be medium, yet no threshold
    is known in birds, so nothing is lowered); toucans by hearsay. Garlic in goats: low, and more
    resistant in the source, so nothing is left."""
    foods = {"avo": "{same_as: avocado}", "garlic": "{same_as: garlic}"}
    assert only(said([line("avo")], "Meleagris gallopavo", foods)).severity is HIGH
    check = only(said([line("avo")], TOUCAN, foods))
    assert check.severity is HIGH
    assert check.weak
    assert not findings(said([line("garlic")], GOAT, foods))


def test_a_row_for_an_age_falls_on_the_animals_of_that_age() -> None:
    animals = ("{id: JOEY, stage: infant}", "{id: OLD, stage: adult}")
    milk = "{unknown_composition: x, class: dairy, name: Cow milk, part: milk, form: fresh}"
    check = only(said([line("m")], "Notamacropus rufogriseus", {"m": milk}, animals=animals))
    assert (check.severity, check.animals) == (HIGH, ("JOEY",))


# -- doses -------------------------------------------------------------------------------------


def test_milk_chocolate_in_a_dog_is_reckoned_as_published() -> None:
    """MSD-CHOT: 2.3 mg/g; 2 × 50 g in 10 kg are 23 mg/kg, above the 20 mg/kg of MVMQ-CHO."""
    food = "{unknown_composition: x, name: Milk chocolate, organism: Theobroma cacao, part: seed}"
    check = only(said([line("c", "50 g per animal")], DOG, {"c": food}))
    assert check.severity is HIGH
    assert "23 mg/kg body mass" in " ".join(check.working)
    assert "115 %" in check.message


@pytest.mark.parametrize(("grams", "severity"), [("0.43", LOW), ("0.44", MEDIUM)])
def test_a_dose_under_a_tenth_of_the_lowest_published_one_lowers_by_one(
    grams: str, severity: Severity
) -> None:
    """Macadamia in dogs, 0.7 g/kg (VMEDS-MAC): a tenth of it is 0.875 g in 12.5 kg, in two feeds
    0.4375 g each. It is still reported."""
    foods = {"m": "{same_as: macadamia}"}
    check = only(said([line("m", f"{grams} g per animal")], DOG, foods, mass="12.5 kg"))
    assert (check.verdict, check.severity) == (BREACH, severity)


def test_a_dose_of_another_species_is_shown_and_lowers_nothing() -> None:
    foods = {"m": "{same_as: macadamia}"}
    check = only(said([line("m", "0.1 g per animal")], WILD_DOG, foods, mass="25 kg"))
    assert check.severity is MEDIUM
    assert DOG in check.message


def test_without_a_weighing_or_an_amount_no_dose_is_made_up() -> None:
    foods = {"m": "{same_as: macadamia}", "n": "{same_as: macadamia, piece: 2 g}"}
    for amount, animals in (("1 g per animal", ("{id: A1}",)), ("1 ml per animal", ())):
        check = only(said([line("m", amount)], DOG, foods, animals=animals))
        assert check.severity is MEDIUM
        assert not any("%" in step for step in check.working)


def test_white_chocolate_is_only_a_note() -> None:
    food = "{unknown_composition: x, name: White chocolate, organism: Theobroma cacao, part: seed}"
    assert only(said([line("c")], DOG, {"c": food})).severity is LOW


# -- shares ------------------------------------------------------------------------------------

GREENS = {"spinach": "{same_as: spinach}", "dandelion": "{same_as: dandelion-leaves}"}


@pytest.mark.parametrize(
    ("spinach", "verdict", "severity"),
    [(10, KEPT, None), (11, BREACH, LOW), (50, BREACH, LOW), (51, BREACH, MEDIUM)],
)
def test_greens_that_harm_in_quantity_are_judged_by_their_share(
    spinach: int, verdict: Verdict, severity: Severity | None
) -> None:
    """Spinach for tortoises: to 10 % of the greens kept (expert convention, from memory), to half
    of them a note, more than half of them for a week medium (common practice)."""
    lines = [
        line("spinach", f"{spinach} g per animal"),
        line("dandelion", f"{100 - spinach} g per animal"),
    ]
    checks = said(lines, TORTOISE, GREENS, mass="90 kg")
    if severity is None:
        assert not findings(checks)
        assert {check.verdict for check in checks} == {verdict}
    else:
        worst = min(findings(checks), key=lambda check: check.severity.rank)
        assert (worst.verdict, worst.severity) == (verdict, severity)
        assert "common practice" in worst.message


def test_a_small_share_of_kale_and_celery_is_nobodys_finding() -> None:
    foods = {
        "kale": "{same_as: kale}",
        "celery": "{same_as: celery}",
        "hay": "{same_as: hay-timothy-midbloom}",
    }
    lines = [
        line("hay", "2 kg per animal"), line("kale", "150 g per animal"),
        line("celery", "100 g per animal"),
    ]  # fmt: skip
    for species in ("Hydrochoerus hydrochaeris", "Tapirus terrestris", HORSE, GOAT):
        assert not findings(said(lines, species, foods))


def test_a_site_limit_takes_the_place_of_common_practice() -> None:
    limits = (
        "record: limits\nlimits:\n  - {taxon: Testudinidae, quantity: share of greens, at_most: "
        "20 % as fed, over: 7 days, severity: high, why: test, set_by: Dr Vale, on: 2026-01-01}\n"
    )
    lines = [line("kale", "30 g per animal"), line("dandelion", "70 g per animal")]
    foods = {**GREENS, "kale": "{same_as: kale}"}
    assert only(said(lines, TORTOISE, foods, limits=limits)).severity is HIGH


# -- thiamin fish ------------------------------------------------------------------------------

FISH = {
    "herring": "{same_as: herring}",
    "tablet": "{class: supplement, piece: 1 g, label: {basis: as fed, thiamin: 12000 mg/kg}}",
}


def test_fish_that_destroys_thiamin_is_a_note_on_days_without_thiamin() -> None:
    penguin = "Spheniscus humboldti"
    bare = only(said([line("herring", "200 g per animal")], penguin, FISH))
    assert bare.severity is LOW
    given = [line("herring", "200 g per animal"), line("tablet", "1 piece per animal")]
    assert not findings(said(given, penguin, FISH))


# -- the collection's own list -----------------------------------------------------------------

HOUSE = (
    "do_not_feed: [{name: swede, organism: Brassica napus, part: root, for: [Tapiridae], "
    "severity: high, why: choked once, set_by: Dr Vale, on: 2026-01-01}]"
)


def test_the_house_list_is_judged_by_organism_name_and_part() -> None:
    swede = {"s": "{same_as: swede}"}
    tapir, rhea = "Tapirus terrestris", "Rhea americana"
    check = only(said([line("s")], tapir, swede, settings=HOUSE))
    assert (check.verdict, check.severity) == (BREACH, HIGH)
    assert "Dr Vale" in check.message
    assert not findings(said([line("s")], rhea, swede, settings=HOUSE))
    leaf = "{unknown_composition: x, organism: Brassica napus, part: leaf}"
    assert not findings(said([line("s")], tapir, {"s": leaf}, settings=HOUSE))
    named = only(said([line("swedes")], tapir, {"carrot": "{same_as: carrot}"}, settings=HOUSE))
    assert (named.verdict, named.severity) == (CANNOT_TELL, MEDIUM)


def test_a_part_on_the_house_list_that_nobody_knows_excludes_nothing() -> None:
    odd = HOUSE.replace("part: root", "part: gubbins")
    check = only(said([line("s")], "Tapirus terrestris", {"s": "{same_as: swede}"}, settings=odd))
    assert check.verdict is CANNOT_TELL


def test_every_finding_says_what_to_do_and_where() -> None:
    foods = {
        "grape": "{same_as: grape}",
        "onion": "{same_as: onion}",
        "rhubarb": "{same_as: rhubarb}",
    }
    for check in findings(said([line(food) for food in foods], DOG, foods)):
        assert check.advice
        assert check.places
        assert check.occasions
        assert check.working


HERD = tuple(
    f"{{id: {name}, weighings: [{{on: 2026-11-20, mass: 10 kg}}]}}" for name in ("A1", "A2")
)


def test_a_line_for_one_animal_concerns_that_one_until_another_line_is_for_all() -> None:
    own = "{food: grape, amount: 10 g per animal, for: [A2]}"
    foods = {"grape": "{same_as: grape}"}
    assert only(said([own], DOG, foods, animals=HERD)).animals == ("A2",)
    both = only(said([own, line("grape")], DOG, foods, animals=HERD))
    assert set(both.animals) == {"A1", "A2"}


def test_fish_of_neighbours_within_reach_is_no_matter_of_the_own_thiamin() -> None:
    """What a neighbour is fed is on no sheet of theirs; the note stands with the neighbour."""
    neighbours = {
        "group2": records.group(id="others", species="Spheniscus humboldti"),
        "sheet2": records.sheet({"roots": [line("herring", "200 g per animal")]}, "others"),
        "rota2": records.rota(["{morning: roots, afternoon: roots}"] * 2, group="others"),
    }
    checks = said(
        [line("sprat")],
        "Spheniscus humboldti",
        {**FISH, "sprat": "{same_as: carrot}"},
        **neighbours,
    )
    assert not [check for check in findings(checks) if "thiamin" in check.about]


# -- mixes that are named after what is in them ------------------------------------------------


@pytest.mark.parametrize(
    ("mix", "told"),
    [
        ("{onion: 50 %, carrot: 50 %}", {"onion"}),  # said of the ingredient, not of the name too
        ("{carrot: 100 %}", {"mash"}),  # nothing in it says so: the name is asked about
        ("{grape: 50 %, carrot: 50 %}", {"grape", "mash"}),  # another item is in it
    ],
)
def test_a_mix_named_after_a_harmful_food_is_told_once(mix: str, told: set[str]) -> None:
    foods = {
        "onion": "{same_as: onion}",
        "grape": "{same_as: grape}",
        "carrot": "{same_as: carrot}",
        "mash": f"{{name: onion mash, mix: {mix}}}",
    }
    found = findings(said([line("mash")], DOG, foods))
    assert {check.food for check in found} == told
    assert len(found) == len(told)


def test_a_neighbour_s_onion_does_not_answer_for_the_name_of_the_own_mash() -> None:
    other = {
        "group2": records.group(id="goats", species=GOAT, animals=("{id: G1}",)),
        "sheet2": records.sheet({"roots": [line("onion")]}, group="goats"),
        "rota2": records.rota(["{morning: roots, afternoon: no feed}"] * 2, group="goats"),
    }
    foods = {
        "onion": "{same_as: onion}",
        "carrot": "{same_as: carrot}",
        "mash": "{name: onion mash, mix: {carrot: 100 %}}",
    }
    found = findings(said([line("mash")], DOG, foods, **other))
    assert {check.food for check in found} == {"onion", "mash"}
