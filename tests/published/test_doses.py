"""Worked doses of the toxicology literature, recomputed by the functions that the rule uses.

Each case names the source in which the example, or the figures it is derived from, stands; keys
are those of the rules' bibliography. Tolerances are those of the worked examples (2 %, and 6 %
where the source rounds before it goes on). 1 lb = 453.59237 g, 1 oz = 28.349523 g (NIST SP 811).
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import pytest

from dietcheck.contract import Interval, exact
from dietcheck_rules.toxic_item.dose import (
    eaten_per_kg,
    grams_that_reach,
    of_percentage,
    percentages_of_cocoa,
    substance_in,
)
from dietcheck_rules.toxic_item.items import Content, Dose, item

LB = Decimal("453.59237")
OZ = Decimal("28.349523")
DOG, CAT, HORSE, COW = "Canis lupus familiaris", "Felis catus", "Equus caballus", "Bos taurus"
SHEEP, PIG, GOAT = "Ovis aries", "Sus scrofa domesticus", "Capra hircus"


def close(figure: Interval, low: object, high: object = None, tol: str = "0.02") -> None:
    """Both ends of a range within the example's relative tolerance."""
    wanted = Decimal(str(low)), Decimal(str(low if high is None else high))
    for got, want in zip((figure.low, figure.high), wanted, strict=True):
        assert abs(got - want) <= want * Decimal(tol), (got, want)


def dose(item_id: str, taxon: str, amount: str, substance: str = "") -> Dose:
    """The row of the shipped table with that amount."""
    return next(
        row
        for row in item(item_id).doses
        if row.taxon == taxon and row.low == Decimal(amount) and substance in row.substance
    )


def content(item_id: str, product: str, substance: str = "") -> Content:
    """The shipped content of a product."""
    return next(
        row
        for row in item(item_id).contents
        if product in row.product and substance in row.substance
    )


def made_up(low: str, unit: str) -> Content:
    """A content that the worked example itself states and the table does not hold."""
    return Content(("",), "", Decimal(low), Decimal(low), unit, "", (), "", pure=False)


@dataclass(frozen=True)
class Eaten:
    """Grams of a product and body mass in grams against mg of a substance per kg."""

    case: str
    grams: Decimal
    mass: Decimal
    content: Content
    low: str
    high: str
    source: str


METHYLXANTHINES = [
    # 60 mg/oz is the figure of this example; the table holds 64 mg/oz of another source.
    Eaten(
        "W01",
        Decimal("1.55") * OZ,
        Decimal(6800),
        made_up(str(60 / OZ), "mg/g"),
        "13.7",
        "13.7",
        "VTP-CHO",
    ),
    Eaten(
        "W03",
        Decimal(100),
        Decimal(10000),
        content("chocolate", "milk chocolate", "total"),
        "23",
        "23",
        "MSD-CHOT",
    ),
    Eaten(
        "W04",
        Decimal(100),
        Decimal(10000),
        content("chocolate", "semisweet", "total"),
        "53",
        "56",
        "MSD-CHOT",
    ),
    Eaten(
        "W06",
        Decimal(20),
        Decimal(10000),
        content("chocolate", "cocoa powder"),
        "57",
        "57",
        "MSD-CHOT",
    ),
    Eaten(
        "W07",
        Decimal(1000),
        Decimal(10000),
        content("chocolate", "white chocolate"),
        "4",
        "4",
        "MSD-CHOT",
    ),
    # Theobromine alone, printed in mg per lb of body mass: 44, 50 and 43.3.
    Eaten(
        "W08a",
        OZ,
        LB,
        content("chocolate", "milk chocolate", "theobromine"),
        str(44000 / LB),
        str(44000 / LB),
        "FDA-CHO",
    ),
    Eaten(
        "W08b",
        OZ,
        3 * LB,
        content("chocolate", "semisweet chocolate", "theobromine"),
        str(50000 / LB),
        str(50000 / LB),
        "FDA-CHO",
    ),
    Eaten(
        "W08c",
        OZ,
        9 * LB,
        content("chocolate", "baking chocolate", "theobromine"),
        str(43300 / LB),
        str(43300 / LB),
        "FDA-CHO",
    ),
    Eaten(
        "W27",
        Decimal(200),
        Decimal(40000),
        content("cherry-laurel-prunus-leaf", "cherry laurel"),
        "5",
        "10",
        "LORGUE-LAU",
    ),
]


@pytest.mark.parametrize("one", METHYLXANTHINES, ids=lambda one: one.case)
def test_mg_of_a_substance_per_kg_of_body_mass(one: Eaten) -> None:
    amount = substance_in(exact(one.grams), one.content)
    close(eaten_per_kg(amount, exact(one.mass)) * 1000, one.low, one.high)


def test_W02_a_bar_of_65_percent_cocoa_holds_its_share_of_baking_chocolate() -> None:
    """MVM-CHO: 15.5 mg/g × 0.65 = 10.1 mg/g, 286 mg/oz; read off the name as the rule does."""
    pure = content("chocolate", "unsweetened")
    (percent,) = percentages_of_cocoa(("Dark chocolate 65 %",))
    bar = of_percentage(pure, percent)
    assert pure.pure
    assert "MVM-CHO" in pure.sources
    close(substance_in(exact(1), bar) * 1000, "10.1")
    close(substance_in(exact(OZ), bar) * 1000, "286")


def test_W09_the_kea_that_was_found_dead() -> None:
    """KEA-07: 250 mg/kg theobromine, with about 20 caffeine and 3 theophylline: 273 mg/kg in all.
    The table holds theobromine as the dose and names the other two beside it."""
    fatal = dose("chocolate", "Nestor notabilis", "250", "theobromine")
    assert "20 mg/kg caffeine" in fatal.effect
    assert "3 mg/kg theophylline" in fatal.effect
    close(exact(fatal.low + 20 + 3), 273)
    assert "KEA-07" in fatal.sources


# case, item, taxon, amount of the dose row, substance, body mass in g, grams that reach it, source
REACHED = [
    ("W11", "onion-family", DOG, "0.5", "onion", 10000, 50, 50, "TV-ALL"),
    (
        "W12",
        "onion-family",
        DOG,
        "0.5",
        "onion",
        40 * LB,
        Decimal("3.2") * OZ,
        Decimal("3.2") * OZ,
        "VV-ALL",
    ),
    ("W14", "onion-family", CAT, "5", "onion", 4000, 20, 20, "COMP-ALL"),
    ("W17a", "macadamia", DOG, "2.4", "", 10000, 24, 24, "MVM-MAC"),
    ("W17b", "macadamia", DOG, "0.7", "", 10000, 7, 7, "VMEDS-MAC"),
    (
        "W19a",
        "oleander",
        HORSE,
        "0.005",
        "",
        1000 * LB,
        Decimal("0.8") * OZ,
        Decimal("0.8") * OZ,
        "HDVM-OLE",
    ),
    ("W19b", "oleander", HORSE, "0.005", "", 1000 * LB, "22.7", "22.7", "HDVM-OLE"),
    ("W20a", "rhododendron", HORSE, "0.2", "", 1000 * LB, 2 * LB, 2 * LB, "UMD-RHO"),
    (
        "W20b",
        "rhododendron",
        SHEEP,
        "0.2",
        "",
        150 * LB,
        Decimal("0.3") * LB,
        Decimal("0.3") * LB,
        "UMD-RHO",
    ),
    ("W23", "red-maple", HORSE, "1.5", "wilted", 450000, 675, 1350, "HDVM-MAP"),
    ("W28a", "salt", PIG, "2.2", "", 100000, 220, 220, "MVMQ-SALT"),
    ("W28b", "salt", DOG, "4", "", 10000, 40, 40, "MVMQ-SALT"),
    ("W28c", "salt", SHEEP, "6", "", 50000, 300, 300, "MVMQ-SALT"),
    ("W29a", "avocado", GOAT, "20", "leaf", 60000, 1200, 1200, "MVM-AVO"),
    ("W29b", "avocado", GOAT, "30", "leaf", 60000, 1800, 1800, "MVM-AVO"),
    ("W32", "onion-family", HORSE, "0.25", "dried garlic", 500000, 250, 250, "PEARSON-05"),
    ("W38", "box", HORSE, "0.15", "", 500000, 750, 750, "BOX-015"),
    ("W39a", "castor-jequirity", HORSE, "0.1", "", 500000, 50, 50, "MONTAO-18"),
    ("W39b", "black-locust", HORSE, "0.04", "powdered bark", 500000, 200, 200, "CPPIS-ROB"),
]


@pytest.mark.parametrize("row", REACHED, ids=lambda row: row[0])
def test_grams_that_reach_a_published_dose(row: tuple[Any, ...]) -> None:
    _, item_id, taxon, amount, substance, mass, low, high, source = row
    published = dose(item_id, taxon, amount, substance)
    close(grams_that_reach(published, exact(Decimal(mass))), low, high)
    assert source in published.sources


def test_W20c_rhododendron_for_a_hen_by_the_share_of_body_mass() -> None:
    """UMD-RHO: 0.2 % of 5 lb is 0.16 oz; the source prints under 0.25 oz for that bird."""
    grams = grams_that_reach(dose("rhododendron", SHEEP, "0.2"), exact(5 * LB))
    close(grams / exact(OZ), "0.16")
    printed = dose("rhododendron", "Gallus gallus", "0.25")
    assert grams.high < printed.low * OZ


def test_W35_thiamin_for_six_kilograms_of_herring() -> None:
    """GERACI-72: 25 to 33 mg a kg of fish; 6 kg call for 150 to 198 mg."""
    need = dose("thiaminase-fish", "Pagophilus groenlandicus", "25")
    close(Interval(need.low, need.high) * 6, 150, 198)
    assert "GERACI-72" in need.sources


def test_W36_a_fifth_of_tainted_peanuts_brings_a_clean_mix_to_the_ceiling() -> None:
    """MO-AFLA: 20 % of 100 µg/kg is 20 µg/kg, the ceiling that the table holds for nuts."""
    ceiling = next(row for row in item("peanuts-in-shell").doses if row.unit == "µg/kg feed")
    close(exact("0.20") * 100, ceiling.low)
    assert "MO-AFLA" in ceiling.sources


def test_W42_vitamin_d3_that_killed_squirrel_monkeys() -> None:
    """NWM-D: 50,000 to 100,000 IU a day; at 0.025 µg per IU 1.25 to 2.5 mg."""
    killed = dose("vitamin-d3", "Saimiri", "50000")
    close(Interval(killed.low, killed.high) * exact("0.025") / 1000, "1.25", "2.5")
    assert "NWM-D" in killed.sources


def test_W26_black_cherry_leaf_that_holds_a_lethal_dose_of_cyanide() -> None:
    """CPPIS-PRU and AHD-CHERRY: a cow of 1200 lb, 2 mg/kg, 2.12 mg/g leaf: 513 g."""
    lethal = dose("cherry-laurel-prunus-leaf", COW, "2", "hydrogen cyanide")
    leaf = content("cherry-laurel-prunus-leaf", "black cherry")
    close(grams_that_reach(lethal, exact(1200 * LB), leaf), 513)


def test_W31_spirit_that_holds_a_lethal_dose_of_ethanol() -> None:
    """VK-ETOH: a dog of 10 kg, 5.5 g/kg; 40 % by volume, 0.789 g/ml: 174 ml."""
    grams = grams_that_reach(dose("alcohol", DOG, "5500"), exact(10000))
    close(grams / exact("0.789") / exact("0.40"), 174)


def test_W41_vitamin_d3_in_iu() -> None:
    """D3-LEE: a dog of 10 kg, 0.1 mg/kg, 0.025 µg per IU: 40,000 IU."""
    grams = grams_that_reach(dose("vitamin-d3", DOG, "0.1"), exact(10000))
    close(grams * 1_000_000 / exact("0.025"), 40000)


# GUPTA-YEW: grams of leaf, body mass in g, g/kg; taxines at 5 mg/g leaf, as the source reckons.
YEW = [
    ("a", COW, 500, 500, 250000, "2.0", "2.0", "0.02"),
    ("b", HORSE, 100, 200, 500000, "0.2", "0.4", "0.02"),
    ("c", DOG, 30, 30, 13000, "2.3", "2.3", "0.02"),
    ("d", GOAT, 480, 480, 40000, "12", "12", "0.02"),
    ("e", SHEEP, 100, 100, 40000, "2.5", "2.5", "0.02"),
    ("f", PIG, 75, 75, 102000, "0.7", "0.7", "0.06"),
    ("g", "Gallus gallus", 30, 30, 1820, "16.5", "16.5", "0.02"),
    ("h", "Oryctolagus cuniculus", "1.75", "1.75", 2500, "0.7", "0.7", "0.02"),
]


@pytest.mark.parametrize("row", YEW, ids=lambda row: f"W21{row[0]}")
def test_W21_yew_leaf(row: tuple[Any, ...]) -> None:
    _, taxon, least, most, mass, low, high, tol = row
    eaten = eaten_per_kg(Interval(Decimal(least), Decimal(most)), exact(mass))
    close(eaten, low, high, tol)
    taxines = substance_in(eaten, made_up("5", "mg/g")) * 1000
    close(taxines, Decimal(low) * 5, Decimal(high) * 5, tol)
    assert "GUPTA-YEW" in dose("yew", taxon, low).sources


def test_W16_a_toxic_handful_of_grapes_lies_far_below_the_lowest_published_dose() -> None:
    """VK-GRAPE: 4 to 5 grapes in a dog of 8.2 kg; 5 g a grape is from memory. Hence no amount
    may clear grapes for dogs."""
    eaten = eaten_per_kg(Interval(4, 5) * 5, exact(8200))
    close(eaten, "2.4", "3.0")
    assert eaten.high < dose("grape", DOG, "19.6").low
    assert "Canidae" in item("grape").no_threshold


def test_W24_lantana_leaf_in_percent_of_body_mass() -> None:
    """LANT-DOSE: 5 to 20 kg for a cow of 500 kg is 1 to 4 %."""
    offered = dose("lantana", COW, "5")
    grams = grams_that_reach(offered, exact(500000))
    close(grams / 500000 * 100, 1, 4)
