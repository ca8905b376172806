"""Printed arithmetic about intake, recomputed by the code that judges portions.

Each case names the work and the place in it. A figure marked "derived" was worked out from printed
ones, so it tests the code and not the source. Results are compared after rounding to the printed
digits.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from dietcheck.quantities import UNITS, Interval, between, exact, read_amount, read_bound, read_mass
from dietcheck.tables.nutrients import nutrients


def kg34(mass: str) -> Interval:
    """Metabolic body mass, kg^0.75, of a mass as a record writes it."""
    return (read_mass(mass) / 1000).power34()


def printed(value: Interval, places: int) -> tuple[Decimal, Decimal]:
    """Both ends as a page prints them."""
    step = Decimal(1).scaleb(-places)
    return value.low.quantize(step), value.high.quantize(step)


@pytest.mark.parametrize(
    ("mass", "per_kg34", "kcal", "places"),
    [
        # J101: swan, non-passerine basal rate 78 × M^0.75 (D003a), printed 245 kcal/d.
        # Bartges & Ritchie 1999, text; original.
        ("4.6 kg", 78, "245", 0),
        # J104: marmoset, 70 × M^0.75 = 37.5 and 140 × M^0.75 = 75 kcal/d, printed.
        # Adams et al., American Society of Primatologists meeting abstract 13399; abstract.
        ("0.435 kg", 70, "37.5", 1),
        ("0.435 kg", 140, "75", 0),
        # The same abstract proposes 100 × M^0.75; 53.6 is derived.
        ("0.435 kg", 100, "53.6", 1),
        # J105: baboon, 140 × M^0.75; derived: the handbook prints 1099 without the mass, which is
        # NRC 2003 p.48. Merck Veterinary Manual, older edition, table; original.
        ("15.6 kg", 140, "1099", 0),
    ],
)
def test_energy_by_metabolic_body_mass(mass: str, per_kg34: int, kcal: str, places: int) -> None:
    assert printed(kg34(mass) * per_kg34, places) == (Decimal(kcal), Decimal(kcal))


def test_measured_resting_energy_of_the_marmoset_as_a_share_of_basal() -> None:
    """J104: 31.3 kcal/d measured at rest are printed as 83.5 % of basal. Adams et al., abstract."""
    basal = kg34("0.435 kg") * 70
    assert printed(exact("31.3") / basal * 100, 1) == (Decimal("83.5"), Decimal("83.5"))


def test_polar_bear_mass_implied_by_its_intake() -> None:
    """J109: 46 MJ at 790 kJ/kg^0.75 imply 226 kg; derived. Jansen 2003, abstract."""
    intake = kg34("226 kg") * 790 / 1000
    assert printed(intake, 0) == (Decimal(46), Decimal(46))


def test_flying_fox_energy_in_kcal() -> None:
    """J110: 667 and 225 kJ/kg^0.75 are 159.4 and 53.8 kcal; derived, with 4.184 kJ a kcal.
    Steller 1986, abstract."""
    for kilojoules, kcal in ((667, "159.4"), (225, "53.8")):
        assert printed(UNITS["kJ"].to_base(exact(kilojoules)), 1) == (Decimal(kcal), Decimal(kcal))


def test_meerkat_feed_energy_density() -> None:
    """J111: 32 g give 83 kcal and 44 g give 114 kcal, so 2.59 kcal a gram; derived.
    Gutzmann 2009, abstract."""
    for grams, kcal in ((32, 83), (44, 114)):
        assert printed(exact(kcal) / grams, 2) == (Decimal("2.59"), Decimal("2.59"))


def test_otter_stomach_by_share_of_body_mass() -> None:
    """J107: 5 % of 135 g are 6.75 g; derived. AZA otter care manual 2009, p.67; original."""
    amount = read_amount("5 % of body mass")
    assert amount.quantity * read_mass("135 g") / 1000 == exact("6.75")


def test_vitamin_a_units_of_retinol() -> None:
    """J112: 1000 IU are 300 µg of retinol. NRC 2003, p.113; original."""
    per_iu = nutrients()["retinol"].per_iu
    assert per_iu is not None
    assert per_iu * 1000 == 300


TAPIR = ("48 g per kg^0.75", "86 g per kg^0.75")  # E003: Clauss et al. 2009, abstract


@pytest.mark.parametrize(
    ("mass", "low", "high"),
    [
        ("250 kg", "3.0", "5.4"),  # E003's own note (arithmetic)
        ("205 kg", "2.6", "4.7"),  # derived
        ("238 kg", "2.9", "5.2"),  # derived
    ],
)
def test_tapir_dry_matter_band(mass: str, low: str, high: str) -> None:
    """48 to 86 g dry matter per kg^0.75 in kg a day. Clauss et al. 2009, abstract."""
    for phrase, kilograms in zip(TAPIR, (low, high), strict=True):
        daily = kg34(mass) * read_bound(phrase).amount("kg")
        assert printed(daily, 1) == (Decimal(kilograms), Decimal(kilograms))


def test_tapir_band_as_a_share_of_body_mass() -> None:
    """E003's note: at 250 kg 1.2 to 2.2 % of body mass. Arithmetic on Clauss et al. 2009."""
    shares = [kg34("250 kg") * read_bound(phrase).amount("kg") / 250 * 100 for phrase in TAPIR]
    assert [printed(share, 1)[0] for share in shares] == [Decimal("1.2"), Decimal("2.2")]


def test_elephant_share_of_body_mass_in_kilograms() -> None:
    """E005: 1.5 to 2 % of 3500 kg are 52.5 to 70 kg (printed 52-70). Derived from E004, Sukumar as
    quoted on a web page; reprint."""
    mass = read_mass("3500 kg") / 1000
    daily = between(read_bound("1.5 % of body mass").amount("kg"), Decimal("0.02")) * mass
    assert (daily.low, daily.high) == (Decimal("52.5"), Decimal(70))


@pytest.mark.parametrize(("grams", "share"), [("11", "7.6"), ("6", "4.2")])
def test_egyptian_fruit_bat_intake_as_a_share_of_body_mass(grams: str, share: str) -> None:
    """E007: 11 and 6 g dry matter a day are 7.6 and 4.2 % of 144 g. Korine 1996, abstract."""
    figure = exact(grams) / read_mass("144 g") * 100
    assert printed(figure, 1) == (Decimal(share), Decimal(share))


def test_north_american_river_otter_diet_holds_367_grams_of_fish() -> None:
    """J301: capelin 112, smelt 120 and trout 135 g; thiamin at 25 to 35 mg per kg of fish is 9.2 to
    12.8 mg, vitamin E at 100 IU is 36.7 IU; derived. AZA otter care manual 2009, pp.35-36.
    """
    amounts = [read_amount(f"{grams} g per animal") for grams in (112, 120, 135)]
    fish = sum((amount.quantity for amount in amounts), exact(0))
    assert fish == exact(367)
    thiamin = fish * between(25, 35) / 1000
    assert printed(thiamin, 1) == (Decimal("9.2"), Decimal("12.8"))
    assert printed(fish * 100 / 1000, 1) == (Decimal("36.7"), Decimal("36.7"))
