"""Which row of a toxic item counts for an animal, what is asked, and how grave it stays. The items,
rows and doses here are invented, so that each turns on one thing."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from msgspec.structs import replace

from dietcheck.collection.foods import Food
from dietcheck.collection.places import Pointer
from dietcheck.contract import Animal, Interval, Severity, find_taxon
from dietcheck.quantities import exact
from dietcheck_rules.toxic_item.assess import Risk, condition_of, in_doubt, risk_of
from dietcheck_rules.toxic_item.dose import (
    CONTENT,
    Comparison,
    Eaten,
    compare,
    grams_that_reach,
    of_percentage,
    percentages_of_cocoa,
    substance_in,
)
from dietcheck_rules.toxic_item.items import (
    Cap,
    Condition,
    Content,
    Dose,
    Item,
    Row,
    Tolerance,
    item,
)
from dietcheck_rules.toxic_item.kin import kin_risk_of, kin_risks
from dietcheck_rules.toxic_item.register import Hit
from dietcheck_rules.toxic_item.states import state_of

HIGH, MEDIUM, LOW = Severity.HIGH, Severity.MEDIUM, Severity.LOW
DOG, CAT = "Canis lupus familiaris", "Felis catus"
PLACE = Pointer("foods.yaml")


def row(taxon: str, severity: Severity = HIGH, advice: str = "never", **condition: Any) -> Row:
    """A row for one taxon, or for several written with commas."""
    taxa = tuple(taxon.split(","))
    return Row(taxa, taxon, severity, "A", advice, Condition(**condition), "", ("S",), "original")


def toxic(*rows: Row, **more: Any) -> Item:
    """An item of these rows that covers every part and form of what it is."""
    empty: dict[str, Any] = {
        "parts": ("any",), "forms": ("any",), "exempt": {}, "caps": (), "tolerant": (),
        "doses": (), "contents": (), "no_threshold": (), "share_of": "", "form_decides": False,
    }  # fmt: skip
    return replace(item("chocolate"), rows=rows, **(empty | more))


SURE = Hit("chocolate", "thing", by_name=True, certain=True)


def food(name: str = "thing", **more: Any) -> Food:
    return Food(id="x", name=name, place=PLACE, **more)


def risk(
    of: Item, species: str = DOG, eaten: Food | None = None, *animals: Animal, hit: Hit = SURE
) -> Risk | None:
    taxon = find_taxon(species)
    assert taxon is not None
    return risk_of(of, hit, eaten or food(), taxon, animals)


def graded(of: Item, species: str = DOG, eaten: Food | None = None) -> Severity | None:
    found = risk(of, species, eaten)
    return None if found is None else found.severity


# -- which row -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rows", "species", "common"),
    [
        ([row("Mammalia"), row("Canidae", LOW)], DOG, "Canidae"),  # the narrower, though milder
        ([row("Mammalia"), row("Canidae", LOW)], CAT, "Mammalia"),
        ([row("Canidae", LOW), row("Mammalia")], DOG, "Canidae"),
        # the narrowest of the taxa that a row names counts
        ([row(f"Mammalia,{DOG}", LOW), row("Canidae")], DOG, f"Mammalia,{DOG}"),
        ([row(f"Felidae,{DOG}", LOW), row("Canidae")], DOG, f"Felidae,{DOG}"),
    ],
)
def test_the_narrowest_row_counts(rows: list[Row], species: str, common: str) -> None:
    found = risk(toxic(*rows), species)
    assert found is not None
    assert found.row.common == common


def test_of_two_rows_for_one_taxon_the_one_whose_condition_holds_counts_and_then_the_graver() -> (
    None
):
    plain, asking = row("Canidae"), row("Canidae", LOW, words=("thing",))
    for rows in ((plain, asking), (asking, plain)):
        assert graded(toxic(*rows)) is LOW
        assert graded(toxic(*rows), DOG, food("other")) is HIGH
    assert graded(toxic(row("Canidae", MEDIUM), plain)) is HIGH


@pytest.mark.parametrize(
    ("sure", "doubtful", "severity", "asked"),
    [
        (row("Canidae", LOW), row("Canidae", ask="is it?"), MEDIUM, True),  # graver: one lower
        (row("Canidae", LOW), row("Canis", ask="is it?"), MEDIUM, True),
        (row("Canidae", LOW), row("Mammalia", ask="is it?"), LOW, False),  # wider: not asked
        (row("Canidae"), row("Canidae", MEDIUM, ask="is it?"), HIGH, False),  # milder
        (row("Canidae"), row("Canidae", ask="is it?"), HIGH, False),  # as grave
        (row("Felidae", LOW), row("Canidae", ask="is it?"), MEDIUM, True),  # nothing else is known
    ],
)
def test_a_graver_row_that_may_hold_is_asked_about(
    sure: Row, doubtful: Row, severity: Severity, asked: bool
) -> None:
    for rows in ((sure, doubtful), (doubtful, sure)):
        found = risk(toxic(*rows))
        assert found is not None
        assert found.severity is severity
        assert (found.open_questions == ("is it?",)) is asked
        assert found.certain is not asked


def test_of_several_rows_that_may_hold_the_gravest_and_then_the_narrowest_is_asked_about() -> None:
    rows = [
        row("Canidae", LOW),
        row("Canidae", MEDIUM, ask="second"),
        row("Canis", HIGH, ask="third"),
        row("Canidae", HIGH, ask="fourth"),
    ]
    for turned in (rows, rows[::-1]):
        found = risk(toxic(*turned))
        assert found is not None
        assert found.open_questions == ("third",)
    only = [row("Canidae", MEDIUM, ask="wide"), row("Canis", LOW, ask="near")]
    for turned in (only, only[::-1]):
        found = risk(toxic(*turned))
        assert found is not None
        assert found.open_questions == ("near",)  # the narrowest speaks


def test_of_two_rows_that_say_the_same_the_first_speaks() -> None:
    for ask in ("", "is it?"):
        first, second = row("Canidae", ask=ask), replace(row("Canidae", ask=ask), note="other")
        found = risk(toxic(first, second))
        assert found is not None
        assert found.row is first


# -- conditions ------------------------------------------------------------------------------------

JOEY = Animal(id="J", place=PLACE, stage="infant")
OLD = Animal(id="O", place=PLACE, stage="adult", health=("Diabetes", "lame"))


@pytest.mark.parametrize(
    ("condition", "eaten", "fit"),
    [
        ({}, food(), "yes"),
        ({"without_words": ("thing",)}, food(), "no"),
        ({"without_words": ("other",)}, food(), "yes"),
        ({"words": ("thing",)}, food(), "yes"),
        ({"words": ("other",)}, food(), "no"),
        ({"organisms": ("Prunus", "Malus")}, food(organism="Prunus avium"), "yes"),
        ({"organisms": ("Malus", "Prunus")}, food(organism="Prunus avium"), "yes"),
        ({"organisms": ("Malus",)}, food(organism="Prunus avium"), "no"),
        ({"organisms": ("Malus",), "words": ("thing",)}, food(organism="Prunus avium"), "yes"),
        ({"ask": "is it?"}, food(), "unknown"),
        ({"ask": "is it?", "settled_by": ("thing",)}, food(), "yes"),
        ({"parts": ("leaf",)}, food(part="leaf"), "yes"),
        ({"parts": ("leaf",)}, food(part="seed"), "no"),
        ({"parts": ("leaf",)}, food(), "unknown"),
        ({"forms": ("dried",)}, food(form="dried"), "yes"),
        ({"forms": ("dried",)}, food(form="fresh"), "no"),
        ({"forms": ("dried",)}, food(part="leaf"), "unknown"),
        ({"parts": ("leaf",), "forms": ("dried",)}, food(part="leaf", form="fresh"), "no"),
        ({"stages": ("infant",)}, food(), "yes"),
        ({"stages": ("juvenile",)}, food(), "no"),
        ({"health": ("diabetes", "gout")}, food(), "yes"),
        ({"health": ("gout",)}, food(), "no"),
        ({"stages": ("infant",), "health": ("gout",)}, food(), "no"),
    ],
)
def test_each_condition_of_a_row(condition: dict[str, Any], eaten: Food, fit: str) -> None:
    found, question, whom = condition_of(
        Condition(**condition), eaten, state_of(eaten), (JOEY, OLD)
    )
    assert found == fit
    assert bool(question) is (fit == "unknown")
    if fit != "no":
        wanted = {"stages": (JOEY,), "health": (OLD,)}
        assert whom == next((wanted[key] for key in wanted if key in condition), (JOEY, OLD))


@pytest.mark.parametrize(
    ("form", "question"),
    [
        (None, "is it fed raw or cooked?"),
        ("raw", ""),
        ("cooked", None),
        ("slow cooked", ""),
        ("raw or cooked", ""),
        ("dried", ""),
    ],
)
def test_what_is_harmful_raw_is_cleared_by_cooking_alone(
    form: str | None, question: str | None
) -> None:
    beans = toxic(row("Mammalia", advice="only-cooked"))
    found = risk(beans, DOG, food(form=form))
    assert (found is None) is (question is None)
    if found is not None and question is not None:
        assert " ".join(found.open_questions) == question


# -- what is covered -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("more", "eaten", "asked"),
    [
        ({"parts": ("leaf",)}, food(part="leaf"), ()),
        ({"parts": ("leaf",)}, food(part="seed"), None),
        ({"parts": ("leaf",)}, food(), ("which part is it (leaf, fruit, seed …)?",)),
        ({"form_decides": True, "forms": ("dried",)}, food(part="leaf", form="dried"), ()),
        ({"form_decides": True, "forms": ("dried",)}, food(part="leaf", form="fresh"), None),
        (
            {"form_decides": True, "forms": ("dried",)},
            food(part="leaf"),
            ("in which form is it fed (fresh, dried, cooked …)?",),
        ),
        ({"exempt": {"names": ("butter",)}}, food("thing butter", part="leaf"), None),
        ({"exempt": {"organisms": ("Prunus",)}}, food(organism="Prunus avium"), None),
        ({"exempt": {"organisms": ("Prunus",)}}, food(organism="Malus domestica"), ()),
        ({"exempt": {"parts": ("fruit",)}}, food(part="fruit"), None),
        ({"exempt": {"parts": ("fruit",)}}, food(part="fruit and leaf"), ()),
        ({"exempt": {"parts": ("fruit",)}}, food(), ()),
        ({"exempt": {"forms": ("cooked",)}, "forms": ("raw", "cooked")}, food(form="cooked"), None),
        ({"exempt": {"forms": ("cooked",)}, "forms": ("raw", "cooked")}, food(form="raw"), ()),
        (
            {"exempt": {"forms": ("cooked",)}, "forms": ("raw", "cooked")},
            food(form="raw or cooked"),
            (),
        ),
        (
            {"exempt": {"forms": ("cooked",)}, "forms": ("raw", "cooked")},
            food(),
            ("is it cooked?",),
        ),
    ],
)
def test_which_part_and_form_an_item_covers(
    more: dict[str, Any], eaten: Food, asked: tuple[str, ...] | None
) -> None:
    """The food is known by its organism; what it is called settles no part."""
    known = Hit("chocolate", "thing", by_name=False, certain=True)
    found = risk(toxic(row("Mammalia"), **more), DOG, eaten, hit=known)
    assert (None if found is None else found.open_questions) == asked


def test_raw_or_cooked_is_asked_once() -> None:
    """The item asks whether it is cooked, and the row is of what only cooking clears."""
    known = Hit("chocolate", "thing", by_name=False, certain=True)
    beans = toxic(row("Mammalia", advice="only-cooked"), exempt={"forms": ("cooked",)},
                  forms=("raw", "cooked"))  # fmt: skip
    found = risk(beans, DOG, food(part="seed"), hit=known)
    assert found is not None
    assert found.open_questions == ("is it fed raw or cooked?",)


def test_a_whole_fruit_stays_flesh_beside_its_stone() -> None:
    known = Hit("chocolate", "thing", by_name=False, certain=True)
    taxon = find_taxon(DOG)
    assert taxon is not None
    fleshy = toxic(row("Mammalia", parts=("flesh",)), stones=True)
    assert risk_of(fleshy, known, food(part="flesh"), taxon, stones_in=True) is not None


def test_a_name_that_is_the_thing_itself_needs_no_part_and_no_form() -> None:
    more = {"parts": ("leaf",), "forms": ("dried",), "form_decides": True,
            "exempt": {"forms": ("cooked",)}}  # fmt: skip
    found = risk(toxic(row("Mammalia"), **more), DOG, food(part="seed", form="fresh"))
    assert found is not None
    assert found.certain


@pytest.mark.parametrize(("word", "covered"), [("thing oil", True), ("thing", False)])
def test_a_product_that_is_listed_by_name_counts_whatever_its_part(
    word: str, covered: bool
) -> None:
    """A name of one word says what it is and not that this very part is meant."""
    named = Hit("chocolate", word, by_name=True, certain=False)
    found = risk(toxic(row("Mammalia"), parts=("leaf",)), DOG, food(word, part="oil"), hit=named)
    assert (found is not None) is covered


def test_a_whole_fruit_brings_its_stone_along() -> None:
    stony = toxic(row("Mammalia"), parts=("stone",), stones=True)
    known = Hit("chocolate", "thing", by_name=False, certain=True)
    taxon = find_taxon(DOG)
    assert taxon is not None
    for part, whole, asked in (("flesh", True, True), ("flesh", False, False),
                               ("leaf", True, False)):  # fmt: skip
        found = risk_of(stony, known, food(part=part), taxon, stones_in=whole)
        assert (found is not None) is asked
        assert risk_of(stony, known, food(part=part), taxon) is None  # not given whole
        assert in_doubt(stony, known, food(part=part)) is None
        assert found is None or any("stone" in one for one in found.open_questions)


# -- how grave -------------------------------------------------------------------------------------


def tolerance(taxon: str, *sources: str) -> Tolerance:
    return Tolerance(taxon, taxon, "", sources)


@pytest.mark.parametrize(
    ("rows", "more", "severity"),
    [
        ([row("Mammalia")], {}, HIGH),
        ([row("Mammalia")], {"caps": (Cap(("thing",), MEDIUM, "mild"),)}, MEDIUM),
        ([row("Mammalia")], {"caps": (Cap(("other",), MEDIUM, "mild"),)}, HIGH),
        ([row("Mammalia", LOW)], {"caps": (Cap(("thing",), MEDIUM, "mild"),)}, LOW),
        ([row("Mammalia")], {"tolerant": (tolerance("Canidae", "S"),)}, MEDIUM),
        ([row("Mammalia")], {"tolerant": (tolerance("Canidae"),)}, HIGH),  # without a source
        ([row("Mammalia", LOW)], {"tolerant": (tolerance("Canidae", "S"),)}, None),
        ([row("Canidae")], {"tolerant": (tolerance("Canidae", "S"),)}, HIGH),  # no narrower
        ([row("Canidae")], {"tolerant": (tolerance("Mammalia", "S"),)}, HIGH),
        ([row("Mammalia")], {"tolerant": (tolerance("Felidae", "S"),)}, HIGH),
        (
            [row("Mammalia")],
            {"tolerant": (tolerance("Canidae", "S"),), "no_threshold": ("Carnivora",)},
            HIGH,
        ),
        # the narrowest tolerance speaks: that of the genus has no source
        ([row("Mammalia")], {"tolerant": (tolerance("Canidae", "S"), tolerance("Canis"))}, HIGH),
        ([row("Mammalia")], {"tolerant": (tolerance("Canidae"), tolerance("Canis", "S"))}, MEDIUM),
        # a row that names the dog itself is narrower than what is said of its family
        ([row(f"Mammalia,{DOG}")], {"tolerant": (tolerance("Canidae", "S"),)}, HIGH),
        ([row("Felidae,Mammalia")], {"tolerant": (tolerance("Canidae", "S"),)}, MEDIUM),
    ],
)  # fmt: skip
def test_what_is_left_of_a_row_s_severity(
    rows: list[Row], more: dict[str, Any], severity: Severity | None
) -> None:
    assert graded(toxic(*rows, **more)) is severity


# -- doses -----------------------------------------------------------------------------------------


def dose(amount: str, unit: str, taxon: str = DOG, substance: str = "", **more: Any) -> Dose:
    low, _, high = amount.partition(" to ")
    kind = more.pop("kind", "toxic")
    more = {"cumulative": False} | more
    return Dose(taxon, kind, substance, Decimal(low), Decimal(high or low), unit, "ill", ("S",),
                "original", **more)  # fmt: skip


def content(amount: str, unit: str = "mg/g", name: str = "thing", *, pure: bool = False) -> Content:
    return Content((name,), "poison", Decimal(amount), Decimal(amount), unit, name, ("S",),
                   "original", pure)  # fmt: skip


TEN_KG = exact(10_000)


@pytest.mark.parametrize(
    ("unit", "grams"),
    [
        ("g/kg body mass", 20), ("g/kg body mass fresh weight", 20),
        ("g/kg body mass dry weight", 20), ("g/kg body mass/day", 20),
        ("g/kg body mass twice daily", 40), ("% of body mass", 200),
        ("mg/kg body mass", "0.02"), ("mg/kg body mass/day", "0.02"),
        ("g per animal", 2), ("g per animal fresh weight", 2), ("g per animal per day", 2),
        ("kg per animal", 2000), ("kg per animal fresh weight", 2000),
        ("kg per animal per day", 2000),
        ("oz per animal", "56.699046"), ("lb per animal", "907.18474"),  # NIST SP 811
    ],
)  # fmt: skip
def test_two_of_each_unit_for_ten_kilograms_of_animal(unit: str, grams: str | int) -> None:
    assert grams_that_reach(dose("2", unit), TEN_KG) == exact(Decimal(grams))


@pytest.mark.parametrize(
    ("unit", "grams"),
    [
        ("mg/g", "0.3"), ("g/kg", "0.3"), ("mg/100 g", "0.003"),
        ("mg/100 g fresh weight", "0.003"), ("g/100 g fresh weight", 3),
    ],
)  # fmt: skip
def test_three_of_each_content_in_a_hundred_grams(unit: str, grams: str | int) -> None:
    assert substance_in(exact(100), content("3", unit)) == exact(Decimal(grams))
    wanted = grams_that_reach(dose("1", "g per animal"), TEN_KG, content("3", unit))
    assert wanted.low <= 1 / (3 * CONTENT[unit]) <= wanted.high


def against(
    *doses: Dose,
    grams: str = "10",
    species: str = DOG,
    eaten: Food | None = None,
    mass: Interval | None = TEN_KG,
    **more: Any,
) -> Comparison | None:
    """10 g on the worst day of seven, 35 g in all, against some doses for a dog of 10 kg."""
    found = risk(toxic(row("Carnivora"), doses=doses, **more), species, eaten)
    taxon = find_taxon(species)
    assert found is not None
    assert taxon is not None
    day = Decimal(grams)
    return compare(found, taxon, Eaten(exact(day), exact(day * 7 / 2), 7), mass)


def test_the_graver_of_two_doses_of_the_species_itself_is_shown() -> None:
    made = against(dose("2", "g/kg body mass"), dose("4", "g/kg body mass"),
                   dose("1", "g/kg body mass", CAT))  # fmt: skip
    assert made is not None
    assert made.own
    assert made.share == exact("0.5")  # 1 g a kg against 2
    assert made.reached_in is None
    assert made.far_below is False


@pytest.mark.parametrize(
    ("more", "shown"),
    [
        (dose("2", "g/kg body mass", CAT), True),  # of the row's taxon: for want of better
        (dose("2", "g per animal", CAT), False),  # a whole cat's dose is no dog's
        (dose("2", "g/kg body mass", "Equus caballus"), False),
        (dose("2", "g/kg body mass", ""), False),
        (dose("2", "g/kg body mass", kind="no-effect"), False),
        (dose("2", "g/kg body mass", kind="lethal"), True),
        (dose("2", "seeds per animal"), False),
        (dose("2", "g/kg body mass dry weight"), False),  # it is not dried
    ],
)
def test_which_doses_are_set_against_what_is_eaten(more: Dose, shown: bool) -> None:
    made = against(more)
    assert (made is not None) is shown
    beside = against(more, dose("2", "g/kg body mass"))
    assert beside is not None
    assert beside.own  # what cannot be compared hides no other
    if made is not None:
        assert made.own is (more.taxon == DOG)
        assert ("carried over" in " ".join(made.working)) is not made.own


def test_a_dose_of_one_of_the_row_s_taxa_is_shown_for_want_of_better() -> None:
    found = risk(toxic(row("Canidae,Felidae"), doses=(dose("2", "g/kg body mass", CAT),)))
    taxon = find_taxon(DOG)
    assert found is not None
    assert taxon is not None
    assert compare(found, taxon, Eaten(exact(9), exact(9), 1), TEN_KG) is not None


@pytest.mark.parametrize(
    ("held", "dosed", "same"),
    [
        ("theobromine", "theobromine or caffeine", True), ("caffeine", "caffeine", True),
        ("caffeine", "theobromine or caffeine", False), ("theobromine", "caffeine", False),
        ("water", "theobromine", False),
    ],
)  # fmt: skip
def test_a_content_counts_for_a_dose_of_its_own_substance(
    held: str, dosed: str, same: bool
) -> None:
    of_it = replace(content("4"), substance=held)
    made = against(dose("8", "mg/kg body mass", substance=dosed), contents=(of_it,))
    assert (made is not None) is same


@pytest.mark.parametrize(
    ("grams", "shown"), [("1", "1 g"), ("1.5", "1.5 g"), ("0.5", "500 mg"), ("30", "30 g")]
)
def test_less_than_a_gram_is_told_in_milligrams(grams: str, shown: str) -> None:
    made = against(dose("0.04", "kg per animal"), grams=grams)
    assert made is not None
    assert made.share == exact(Decimal(grams) / 40)
    assert made.working[0] == f"x: {shown} on the worst day"


def test_an_animal_of_half_a_gram_has_a_body_mass() -> None:
    assert against(dose("2", "g/kg body mass"), mass=exact("0.5")) is not None


def test_a_dose_of_dried_leaf_is_for_dried_leaf() -> None:
    made = against(dose("2", "g/kg body mass dry weight"), eaten=food(form="dried"))
    assert made is not None


def test_without_a_mass_only_a_dose_for_the_animal_can_be_reckoned() -> None:
    assert against(dose("2", "g/kg body mass"), mass=None) is None
    assert against(dose("2", "g/kg body mass"), mass=Interval(Decimal(0), Decimal(9))) is None
    made = against(dose("40", "g per animal"), mass=None)
    assert made is not None
    assert made.share == exact("0.25")


def test_a_tenth_of_the_dose_is_not_far_below_and_less_is() -> None:
    for grams, far in (("2", False), ("1.99", True)):
        made = against(dose("20", "g per animal"), grams=grams)
        assert made is not None
        assert made.far_below is far
    carried = against(dose("20", "g/kg body mass", CAT), grams="0.01")
    assert carried is not None
    assert not carried.far_below  # another species' dose decides nothing


def test_a_dose_that_adds_up_is_held_against_the_whole_rota() -> None:
    """35 g in 7 days against 70 g: half of it, so twice the days."""
    made = against(dose("70", "g per animal", cumulative=True))
    assert made is not None
    assert (made.share, made.days, made.reached_in) == (exact("0.5"), 7, 14)
    assert not made.far_below
    assert any("14 days" in line for line in made.working)
    none = against(dose("70", "g per animal", cumulative=True), grams="0")
    assert none is not None
    assert none.reached_in is None


def test_a_substance_is_reckoned_through_what_the_food_holds_of_it() -> None:
    """10 g with 4 mg/g are 40 mg; 4 mg a kg against 8."""
    poison = dose("8", "mg/kg body mass", substance="poison")
    made = against(poison, contents=(content("4"), content("9", name="other")))
    assert made is not None
    assert made.share == exact("0.5")
    assert any("40 mg poison" in line for line in made.working)
    assert against(poison, contents=(content("9", name="other"),)) is None  # nobody knows how much


@pytest.mark.parametrize(
    ("substance", "eaten", "direct"),
    [
        ("", food(), True),
        ("plant", food(), True),
        ("fresh plant", food(), True),
        ("leaf", food(part="leaf"), True),
        ("leaf", food(part="seed"), False),
        ("leaf", food(), False),
        ("thing or other", food(), True),
        ("other, thing", food(), True),
        ("other", food(), False),
    ],
)
def test_a_dose_that_weighed_the_food_itself(substance: str, eaten: Food, direct: bool) -> None:
    made = against(dose("2", "g/kg body mass", substance=substance), eaten=eaten)
    assert (made is not None) is direct


@pytest.mark.parametrize(
    ("name", "percents"),
    [
        ("dark chocolate 70 %", [70]), ("chocolate, 99.5% cocoa", ["99.5"]),
        ("Chocolate 85 per cent", [85]), ("chocolate 100 percent", [100]),
        ("chocolate 101 %", []), ("cocoa 70 %", []), ("chocolate 70 g", []),
    ],
)  # fmt: skip
def test_a_percentage_of_cocoa_is_read_from_the_name(name: str, percents: list[int | str]) -> None:
    found = list(percentages_of_cocoa([name]))
    assert found == [Decimal(one) for one in percents]
    pure = content("10", name="chocolate", pure=True)
    for percent in found:
        part = of_percentage(pure, percent)
        assert part.low == part.high == percent / 10
    made = against(
        dose("8", "mg/kg body mass", substance="poison"),
        eaten=food(name),
        contents=(pure, content("1", name="cocoa")),
    )
    if percents:
        assert made is not None
        assert made.share == exact(Decimal(percents[0]) / 80)  # 10 g of it in 10 kg against 8 mg


# -- kin -------------------------------------------------------------------------------------------


def of_kin(of: Item, species: str = DOG, eaten: Food | None = None) -> Risk | None:
    taxon = find_taxon(species)
    assert taxon is not None
    return kin_risk_of(of, SURE, eaten or food(), taxon, (JOEY,))


@pytest.mark.parametrize(
    ("rows", "more", "asked"),
    [
        ([row("Felidae")], {}, True),  # cats are of the dog's order
        ([row("Equidae")], {}, False),
        ([row("Felidae", MEDIUM)], {}, False),
        ([row("Felidae", advice="limit-share")], {}, False),
        ([row("Felidae"), row("Canidae", LOW)], {}, False),  # the table speaks of the dog itself
        ([row("Felidae,Canidae")], {}, False),
        ([row("Felidae", words=("other",))], {}, False),
        ([row("Felidae", words=("thing",))], {}, True),
        ([row("Felidae", stages=("adult",))], {}, False),
        ([row("Felidae")], {"tolerant": (tolerance("Canidae"),)}, False),
        ([row("Felidae")], {"tolerant": (tolerance("Carnivora"),)}, False),
        ([row("Felidae")], {"tolerant": (tolerance("Mammalia"),)}, True),  # wider than the order
        ([row("Felidae")], {"tolerant": (tolerance("Equidae"),)}, True),
        ([row("Felidae")], {"share_of": "greens"}, False),
        ([row("Felidae")], {"unless_thiamin": True}, False),
        ([row("Felidae")], {"not_for_kin": "a matter of cats"}, False),
        ([replace(row("Felidae"), evidence="C")], {}, False),
        ([replace(row("Felidae"), evidence="B")], {}, True),
    ],
)
def test_what_harms_kin_is_asked_about(rows: list[Row], more: dict[str, Any], asked: bool) -> None:
    found = of_kin(toxic(*rows, **more))
    assert (found is not None) is asked
    if found is not None:
        assert found.severity is LOW
        assert found.kin == tuple(rows[:1])
        assert "the vet" in found.open_questions[-1]
        assert "(dog)" in found.open_questions[-1]


def test_the_best_proven_row_of_kin_that_needs_no_question_is_named_first() -> None:
    asking, weaker, best = (
        row("Felidae", ask="is it?"), replace(row("Ursidae"), evidence="B"), row("Mustelidae"),
    )  # fmt: skip
    for rows in ((asking, weaker, best), (best, weaker, asking), (weaker, asking, best)):
        found = of_kin(toxic(*rows))
        assert found is not None
        assert found.row is best
        assert len(found.kin) == 3
        assert "is it?" not in found.open_questions
    only = of_kin(toxic(asking))
    assert only is not None
    assert only.open_questions[0] == "is it?"


def test_the_stone_of_a_fruit_is_asked_about_for_kin_only_where_it_is_given_whole() -> None:
    taxon = find_taxon(DOG)
    assert taxon is not None
    stony = toxic(row("Felidae"), parts=("stone",), stones=True)
    known = Hit("chocolate", "thing", by_name=False, certain=True)
    flesh = food(part="flesh")
    assert kin_risk_of(stony, known, flesh, taxon) is None
    assert kin_risk_of(stony, known, flesh, taxon, stones_in=True) is not None
    plum = food("plum", organism="Prunus domestica", part="flesh")
    for one in kin_risks(plum, taxon):
        assert not any("stone" in question for question in one.open_questions)
