"""Single points of the toxic-item rule: what the record says of a food, amounts that add up, the
animal that takes more than its share, stones in whole fruit, and where sources disagree.

Amounts, animals and products are invented; doses and who is harmed stand in the rule's tables.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from dietcheck.collection.places import Pointer
from dietcheck.contract import Check, Food, Severity, Verdict, find_taxon
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import toxic_item
from dietcheck_rules.toxic_item.items import disagreements, item, item_ids
from dietcheck_rules.toxic_item.register import Hit, hits
from dietcheck_rules.toxic_item.words import table
from tests import records

BREACH, CANNOT_TELL = Verdict.BREACH, Verdict.CANNOT_TELL
HIGH, MEDIUM, LOW = Severity.HIGH, Severity.MEDIUM, Severity.LOW
DOG, HORSE, COW, GOAT = "Canis lupus familiaris", "Equus caballus", "Bos taurus", "Capra hircus"
PENGUIN = "Spheniscus humboldti"


def said(
    species: str,
    entry: str,
    amount: str = "10 g per animal",
    *,
    masses: tuple[str, ...] = ("10 kg",),
    cut: str = "",
    fed: str = "together",
) -> list[Check]:
    """The findings for one food, fed morning and afternoon on two days."""
    herd = [
        f"{{id: A{n}, weighings: [{{on: 2026-11-20, mass: {mass}}}]}}"
        for n, mass in enumerate(masses, 1)
    ]
    group = records.group(species=species, animals=herd).replace("fed: together", f"fed: {fed}")
    cut = f", cut: '{cut}'" if cut else ""
    files = records.small(
        group=group,
        foods=records.foods(thing=entry),
        sheet=records.sheet({"roots": [f"{{food: thing, amount: {amount}{cut}}}"]}),
    )
    outcome = outcome_of(toxic_item, files, records.ON)
    assert not outcome.failures
    return [c for c in checks_of(outcome, "tapir") if c.verdict in (BREACH, CANNOT_TELL)]


def about(checks: list[Check], word: str) -> Check:
    """The one finding about an item."""
    (one,) = [check for check in checks if word in check.about]
    return one


def food(more: str) -> str:
    return f"{{unknown_composition: x, {more}}}"


# -- the whole table -----------------------------------------------------------------------------


def test_every_entry_of_the_collection_is_judged_here_or_owned_by_a_named_rule() -> None:
    """101 entries in the collection of facts."""
    left = table("left-out.yaml")["left_out"]
    assert len(item_ids()) + len(left) == 101
    assert not {row["id"] for row in left} & set(item_ids())
    assert all(row["owner"] and row["why"] for row in left)


# -- what the record says of a food ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("species", "entry", "word", "verdict", "severity"),
    [
        (DOG, "name: Wholemeal bread, form: mouldy", "Mouldy", BREACH, HIGH),
        (DOG, "name: Moldy hazelnuts", "Mouldy", BREACH, HIGH),
        (COW, "class: vegetable, organism: Ipomoea batatas, part: tuber, form: mouldy",
         "Mouldy feed", BREACH, HIGH),
        (DOG, "class: fruit, organism: Pyrus communis, part: fruit, form: fermenting",
         "Alcohol", BREACH, MEDIUM),
        (PENGUIN, "class: fish, organism: Clupea harengus, part: whole, form: thawed twice",
         "Oxidised", BREACH, MEDIUM),
        (PENGUIN, "class: fish, organism: Scomber scombrus, part: whole", "Oxidised",
         CANNOT_TELL, LOW),
        ("Mustela putorius", "class: whole prey, part: carcass, form: rotten", "Botulinum",
         BREACH, HIGH),
        (HORSE, "class: hay, part: haylage, name: Big-bale haylage", "Botulinum", CANNOT_TELL, LOW),
        (DOG, "class: meat, part: bone, form: boiled", "Cooked bones", BREACH, LOW),
        (HORSE, "class: hay, organism: Lolium perenne, part: stem, form: straw", "ryegrass",
         CANNOT_TELL, LOW),
        ("Ramphastos toco", "class: supplement, additives: [ferrous sulphate]", "Iron", BREACH,
         MEDIUM),
        (DOG, "class: meat, organism: Sus domesticus, part: meat, form: raw", "pork", BREACH, HIGH),
        (DOG, "class: meat, organism: Sus domesticus, part: meat", "pork", CANNOT_TELL, MEDIUM),
    ],
)  # fmt: skip
def test_the_state_or_origin_of_a_food_decides(
    species: str, entry: str, word: str, verdict: Verdict, severity: Severity
) -> None:
    check = about(said(species, food(entry)), word)
    assert (check.verdict, check.severity) == (verdict, severity)
    assert bool(check.settles) is (verdict is CANNOT_TELL)
    assert check.advice


@pytest.mark.parametrize(
    ("species", "entry"),
    [
        (DOG, "name: Bread roll, notes: not mouldy, class: grain"),
        (DOG, "name: Hazelnuts, form: mould-free, class: nut"),
        (DOG, "name: Pellet, class: compound feed, additives: [mould inhibitor]"),
        (PENGUIN, "class: fish, organism: Scomber scombrus, part: whole, form: frozen-thawed"),
        (DOG, "class: meat, organism: Sus domesticus, part: meat, form: boiled"),
        (DOG, "class: meat, part: bone, form: raw"),
        (HORSE, "class: hay, organism: Lolium perenne, part: stem, form: straw, "
         "additives: [endophyte tested]"),
        ("Ramphastos toco", "class: compound feed, additives: [ferrous sulphate]"),
        (DOG, "class: fruit, organism: Mangifera indica, part: fruit"),
        (DOG, "name: Cocoa butter, class: oil"),
        (DOG, "name: Grapes, class: fruit, organism: Ribes rubrum"),  # a slip: they are currants
        (DOG, "name: Button mushrooms, class: fungus"),
        (HORSE, "name: Tapioca pearls, class: other"),
    ],
)  # fmt: skip
def test_what_the_record_clears_is_silent(species: str, entry: str) -> None:
    assert [c.about for c in said(species, food(entry)) if "thiamin" not in c.about] == []


def test_two_statements_that_contradict_each_other_are_asked_about() -> None:
    def found(form: str) -> list[Hit]:
        greens = Food(
            id="x", name="x", place=Pointer("f.yaml"), food_class="leafy green", form=form
        )
        return [hit for hit in hits(greens) if hit.item == "nitrate-forage"]

    assert [hit.certain for hit in found("heavily fertilised")] == [True]
    assert [hit.certain for hit in found("heavily fertilised, low nitrate")] == [False]
    assert found("heavily fertilised, low nitrate")[0].ask
    assert found("low nitrate") == []


# -- amounts ---------------------------------------------------------------------------------------


def test_a_dose_that_adds_up_is_reckoned_over_the_rota_and_lowers_nothing() -> None:
    """Ragwort in horses: 5 to 25 % of body mass in all (RAGFACT). 2 × 10 g on each of 2 days is
    40 g of 500 kg, 0.008 %: reached in 2 / (0.008 / 5) = 1250 days."""
    entry = food("organism: Senecio jacobaea, part: leaf, form: fresh")
    check = about(said(HORSE, entry, masses=("500 kg",)), "Ragwort")
    assert (check.verdict, check.severity) == (BREACH, HIGH)
    assert "1250 days" in check.message
    assert "40 g" in " ".join(check.working)


def test_the_lightest_animal_is_named_and_the_one_with_three_shares_is_shown() -> None:
    """Macadamia in dogs: 0.7 g/kg (VMEDS-MAC). 2 × 1 g in 20 kg is 0.1 g/kg, 14.3 %; with three
    shares 6 g, 42.9 %."""
    checks = said(DOG, "{same_as: macadamia}", "1 g per animal", masses=("40 kg", "20 kg", "30 kg"))
    check = about(checks, "Macadamia")
    assert "A2" in check.message
    assert any("6 g" in line and "three" in line for line in check.working)
    assert "42.9 %" in check.message


@pytest.mark.parametrize(("fed", "severity"), [("together", MEDIUM), ("singly", LOW)])
def test_three_shares_keep_the_grade_where_the_mean_would_lower_it(
    fed: str, severity: Severity
) -> None:
    """2 × 0.3 g in 10 kg is 0.06 g/kg, under a tenth of 0.7; three shares are 0.18 g/kg."""
    checks = said(DOG, "{same_as: macadamia}", "0.3 g per animal", masses=("10 kg",) * 3, fed=fed)
    assert about(checks, "Macadamia").severity is severity


def test_nobody_gets_more_than_is_laid_out() -> None:
    """Two dogs: three shares would be 6 g, but only 4 g are there in a day."""
    checks = said(DOG, "{same_as: macadamia}", "1 g per animal", masses=("10 kg",) * 2)
    assert any("up to 4 g" in line for line in about(checks, "Macadamia").working)


def test_cocoa_is_reckoned_by_the_percentage_on_the_label() -> None:
    """MVM-CHO: 65 % of 15.5 mg/g is 10.075 mg/g; 2 × 10 g in 10 kg are 20.15 mg/kg."""
    entry = food("name: Chocolate 65 % cocoa, organism: Theobroma cacao, part: seed")
    check = about(said(DOG, entry), "Chocolate")
    assert any("20.15 mg/kg" in line or "20.2 mg/kg" in line for line in check.working)


def test_stones_of_fruit_fed_whole_are_asked_about() -> None:
    """The table knows harm from cracked kernels in ruminants (CPPIS-PRU), nothing for toucans."""
    plum = food("class: fruit, organism: Prunus domestica, part: fruit, form: raw")
    check = about(said(GOAT, plum, cut="whole"), "kernels")
    assert (check.verdict, check.severity) == (CANNOT_TELL, MEDIUM)
    assert "stone" in check.settles
    for cut in ("halves", "whole, stoned", "dice 1 cm"):
        assert said(GOAT, plum, cut=cut) == []
    assert said("Ramphastos toco", plum, cut="whole") == []


def test_a_whole_apple_is_no_finding() -> None:
    apple = food("class: fruit, organism: Malus domestica, part: fruit, form: raw")
    assert said(GOAT, apple, cut="whole") == []


# -- severity follows evidence -------------------------------------------------------------------


def test_grade_c_alone_is_a_note_except_for_rapid_killers() -> None:
    data = {item_id: table(f"items/{item_id}.yaml") for item_id in item_ids()}
    rapid = {item_id for item_id, one in data.items() if one.get("rapid")}
    assert rapid == {"yew", "oleander", "avocado"}
    for item_id in set(item_ids()) - rapid:
        for row in item(item_id).rows:
            assert row.evidence != "C" or row.severity is LOW, (item_id, row.taxa)


# -- where sources disagree ------------------------------------------------------------------------

POINTS = {
    one.point: (key, one) for key, found in reversed(list(disagreements().items())) for one in found
}


def test_all_twenty_points_are_here_or_belong_to_another_rule() -> None:
    """8 and 10 are about copper and monensin in compound feed: feed-for-its-species."""
    assert set(POINTS) == set(range(1, 21)) - {8, 10}


# point, animal, food, and what the finding must hold to
SHOWN = [
    (1, DOG, "name: Dark chocolate, organism: Theobroma cacao, part: seed", HIGH),
    (2, DOG, "name: Milk chocolate, organism: Theobroma cacao, part: seed", HIGH),
    (3, "Melopsittacus undulatus", "organism: Persea americana, part: fruit", HIGH),
    (4, "Sus scrofa", "organism: Taxus baccata, part: leaf, form: fresh", HIGH),
    (5, COW, "organism: Nerium oleander, part: leaf, form: fresh", HIGH),
    (6, "Cervus elaphus", "organism: Senecio jacobaea, part: leaf, form: fresh", HIGH),
    (7, COW, "organism: Conium maculatum, part: leaf, form: fresh", HIGH),
    (9, HORSE, "organism: Allium sativum, part: bulb, form: powder", None),
    (11, DOG, "name: D3 drops", None),
    (12, "Sus scrofa", "organism: Manihot esculenta, part: root, form: raw", HIGH),
    (13, HORSE, "organism: Juglans nigra, part: wood, form: shavings", None),
    (14, "Ramphastos toco", "organism: Citrus sinensis, part: fruit, form: raw", MEDIUM),
    (15, "Pogona vitticeps", "organism: Photinus pyralis, part: whole", HIGH),
    (16, HORSE, "organism: Acer pseudoplatanus, part: seed, form: fresh", None),
    (17, "Ovis aries", "name: Maize, form: mouldy", HIGH),
    (18, COW, "organism: Hypericum perforatum, part: leaf, form: fresh", None),
    (19, "Psittacus erithacus", "name: Xylitol", None),
    (20, HORSE, "organism: Acer rubrum, part: leaf, form: wilted", HIGH),
]  # fmt: skip


@pytest.mark.parametrize(
    ("point", "species", "entry", "severity"), SHOWN, ids=[str(one[0]) for one in SHOWN]
)
def test_a_disagreement_is_shown_with_the_finding(
    point: int, species: str, entry: str, severity: Severity | None
) -> None:
    key, disagreement = POINTS[point]
    assert find_taxon(species) is not None
    # a milligram in an animal of 10 kg is far under every published dose
    checks = said(species, food(entry), "0.001 g per animal")
    named = [check for check in checks if check.about.startswith(item(key).name)]
    assert named, [check.about for check in checks]
    assert any(disagreement.text in line for line in named[0].working)
    if severity and point in (3, 4, 5, 6, 14, 15, 17):  # any amount counts
        assert named[0].severity is severity


def doses(item_id: str, taxon: str, substance: str = "") -> list[Decimal]:
    return [
        dose.low
        for dose in item(item_id).doses
        if dose.taxon == taxon and dose.kind != "no-effect" and substance in dose.substance
    ]


def test_the_cautious_figure_stands_in_the_table() -> None:
    """Points 1, 4, 7, 9, 11, 17, 20: the lowest figure is there, the misprints are not."""
    assert min(doses("chocolate", DOG, "total")) == 20
    assert min(doses("yew", DOG, "leaf")) == Decimal("2.3")
    assert doses("hemlock", COW, "coniine") == [Decimal("3.3")]
    assert min(doses("onion-family", HORSE)) >= Decimal("0.032")  # g/kg; 0.2 mg/kg is a slip
    assert min(doses("vitamin-d3", DOG)) == Decimal("0.1")
    assert max(doses("mouldy-feed-aflatoxin", "Ovis aries")) == 4
    assert Decimal("1.5") in doses("red-maple", HORSE)


def test_the_lower_of_two_books_is_compared() -> None:
    """Yew in dogs: 2 × 11.5 g in 10 kg is 2.3 g/kg, the whole of GUPTA-YEW's dose."""
    entry = food("organism: Taxus baccata, part: leaf, form: fresh")
    check = about(said(DOG, entry, "11.5 g per animal"), "Yew")
    assert "100 %" in check.message
    assert "GUPTA-YEW" in check.message


@pytest.mark.parametrize(
    ("entry", "asked"),
    [
        ("name: currant, class: fruit", True),  # a small dried grape, or a Ribes
        ("name: currant, class: vegetable", True),
        ("name: currant, class: fruit juice", False),
        ("name: currant, class: fruit, organism: Ribes rubrum", False),
        ("name: locust, class: browse", True),  # a tree that harms horses, or an insect
        ("name: locust, class: insect", False),
    ],
)
def test_a_word_of_two_meanings_is_asked_about_where_both_can_be_meant(
    entry: str, asked: bool
) -> None:
    found = said(HORSE if "locust" in entry else DOG, food(entry))
    expected = [(CANNOT_TELL, MEDIUM)] if asked else []
    assert [(c.verdict, c.severity) for c in found] == expected


def test_white_chocolate_is_no_more_than_low() -> None:
    (white,) = said(DOG, food("name: White chocolate, class: bakery"))
    (dark,) = said(DOG, food("name: Chocolate, class: bakery"))
    assert (white.severity, dark.severity) == (LOW, MEDIUM)
