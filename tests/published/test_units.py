"""Every unit factor against two unit libraries and the factors NIST prints.

pint is the definition this project states; numericalunits is a second, independently written table
(plain floats). NIST: Special Publication 811 (2008), appendix B.8, "Factors for units listed
alphabetically"; seen in reprints of the table, which rounds to seven figures.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import numericalunits as nu  # type: ignore[import-untyped]
import pint
import pytest

from dietcheck.quantities import UNITS, Unit, exact, read_content, read_mass
from dietcheck.quantities.content import CONTENT_UNITS

BASES = {"mass": "g", "volume": "ml", "energy": "kcal", "share": "dimensionless"}
# what our words are called there
PINT = {"mL": "milliliter", "L": "liter", "mcg": "microgram", "ug": "microgram", "%": "percent"}
SECOND = {
    "kg": nu.kg / nu.g,
    "g": 1.0,
    "mg": nu.mg / nu.g,
    "µg": nu.ug / nu.g,
    "lb": nu.lbm / nu.g,
    "oz": nu.lbm / 16 / nu.g,
    "l": nu.L / nu.mL,
    "ml": 1.0,
    "kcal": 1.0,
    "kJ": nu.kJ / nu.kcal,
    "MJ": nu.MJ / nu.kcal,
}
COUNTED_HERE = {"IU", "piece"}


def factor(unit: Unit) -> Fraction:
    return Fraction(unit.times) / Fraction(unit.over)


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry[Decimal]:
    made: pint.UnitRegistry[Decimal] = pint.UnitRegistry(non_int_type=Decimal)
    made.define("IU = [international_unit]")
    return made


@pytest.mark.parametrize(
    "word", [word for word, unit in UNITS.items() if unit.name not in COUNTED_HERE]
)
def test_factor_is_the_one_pint_defines(registry: pint.UnitRegistry[Decimal], word: str) -> None:
    unit = UNITS[word]
    there = registry.Quantity(Decimal(1), PINT.get(word, word)).to(BASES[unit.dimension]).magnitude
    # pint divides in 28 digits
    assert abs(Fraction(there) - factor(unit)) <= factor(unit) / 10**26


@pytest.mark.parametrize("word", SECOND)
def test_factor_is_the_one_the_second_library_gives(word: str) -> None:
    assert float(factor(UNITS[word])) == pytest.approx(SECOND[word], rel=1e-12)


def test_every_unit_but_counted_ones_is_checked_twice() -> None:
    names = {unit.name for unit in UNITS.values()}
    assert names - COUNTED_HERE - {"%"} == set(SECOND)
    assert all(factor(UNITS[word]) == 1 for word in COUNTED_HERE)


@pytest.mark.parametrize(
    ("word", "grams"),
    [
        ("lb", "453.5924"),  # NIST SP 811 B.8: pound (avoirdupois), 4.535 924 E-01 kg
        ("oz", "28.34952"),  # NIST SP 811 B.8: ounce (avoirdupois), 2.834 952 E-02 kg
    ],
)
def test_pound_and_ounce_round_to_the_factors_nist_prints(word: str, grams: str) -> None:
    mass = read_mass(f"1 {word}")
    assert mass.is_exact
    assert mass.low.quantize(Decimal(grams)) == Decimal(grams)


def test_pound_is_the_international_pound_of_1959() -> None:
    # 1 lb = 0.453 592 37 kg exactly (NBS announcement of 1 July 1959); 16 oz to the pound
    assert read_mass("1 lb") == exact("453.59237")
    assert read_mass("16 oz") == read_mass("1 lb")


def test_a_kilocalorie_is_the_thermochemical_one() -> None:
    # NIST SP 811 B.8: kilocalorie (thermochemical), 4.184 E+03 J, exact
    assert UNITS["kcal"].from_base(exact(1)) == exact(1)
    assert UNITS["kJ"].to_base(exact("4.184")) == exact(1)
    assert UNITS["kJ"].from_base(exact(1)) == exact("4.184")
    assert UNITS["MJ"].to_base(exact("4.184")) == exact(1000)


@pytest.mark.parametrize("written", CONTENT_UNITS)
def test_contents_turn_as_pint_turns_them(
    registry: pint.UnitRegistry[Decimal], written: str
) -> None:
    ours = {"g": "mg", "mg": "mg", "µg": "mg", "IU": "IU", "kcal": "kcal", "kJ": "kcal"}
    content = read_content(f"0.5 {written}")
    wanted = ours.get(content.unit, "kcal")
    there = {"%": "g/(100 g)", "ppm": "mg/kg"}.get(written, written)
    per = there.replace("/100 g", "/(100 g)").replace("mcg", "microgram").replace("ug", "microgram")
    value = registry.Quantity(Decimal("0.5"), "dimensionless") * registry.parse_expression(per)
    expected = (value * registry.Quantity(Decimal(100), "g")).to(wanted).magnitude
    found = content.per_100g(wanted)
    assert Fraction(found.low) <= Fraction(expected) * (1 + Fraction(1, 10**26))
    assert Fraction(found.high) >= Fraction(expected) * (1 - Fraction(1, 10**26))
    assert found.high - found.low <= found.high / 10**26
