"""Energy arithmetic that stands printed in sources, and energies of foods recomputed.

Numbers J… are those of the worked examples collected for the project. An item passes when the
result equals the printed figure after rounding to the printed digits.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from dietcheck.nutrition.composition import Profiles
from dietcheck.nutrition.energy import (
    ATWATER,
    FOOD_SPECIFIC,
    energy_density,
    energy_of,
    energy_per_100g,
)
from dietcheck.nutrition.energy_need import EnergyFormula, energy_formulas
from dietcheck.nutrition.rations import Ration
from dietcheck.quantities import Interval, exact
from dietcheck.tables.foods import food_ids, food_row
from dietcheck.tables.nutrients import nutrients
from tests import records


def formula(id: str) -> EnergyFormula:
    return next(row for row in energy_formulas() if row.id == id)


def rounds_to(figure: Interval, printed: str) -> bool:
    step = Decimal(1).scaleb(int(Decimal(printed).as_tuple().exponent))
    return all(end.quantize(step) == Decimal(printed) for end in (figure.low, figure.high))


@pytest.mark.parametrize(
    ("id", "grams", "printed"),
    [
        # J101, swan of 4.6 kg: Bartges and Ritchie 1999, text; seen: original
        ("D003a", 4600, "245"),
        # J104, marmoset of 435 g: Adams et al., meeting abstract 13399; seen: abstract
        ("D001a", 435, "37.5"),
        ("D010", 435, "75"),
        ("D011", 435, "53.6"),  # derived: the abstract prints the measured intake, 52.5
        # J105, baboon of 15.6 kg: Merrill's handbook table prints 1099, NRC 2003 p.48 the mass;
        # linking the two is an inference
        ("D010", 15600, "1099"),
        # J110, flying fox, per kg^0.75: Steller 1986, abstract, 667 and 225 kJ; kcal derived
        ("D031b", 1000, "159.4"),
        ("D031a", 1000, "53.8"),
        # polar bear of 1 kg^0.75: Jansen et al. 2003, abstract, 790 kJ
        ("D032", 1000, "188.8"),
    ],
)
def test_printed_arithmetic(id: str, grams: int, printed: str) -> None:
    assert rounds_to(formula(id).per_day(exact(grams)), printed)


def test_measured_resting_rate_of_the_marmoset() -> None:
    """J104: 31.3 kcal is 83.5 % of the basal 37.5 (Adams et al., abstract)."""
    share = exact("31.3") / formula("D001a").per_day(exact(435)) * 100
    assert rounds_to(share, "83.5")


def test_the_mass_that_a_polar_bear_s_intake_implies() -> None:
    """J109, derived from Jansen et al. 2003: 46 MJ at 790 kJ/kg^0.75 imply 226 kg."""
    at_226 = formula("D032").per_day(exact(226_000)) * Decimal("4.184") / 1000
    assert rounds_to(at_226, "46")


@pytest.mark.parametrize(("grams", "kcal"), [(32, 83), (44, 114)])
def test_meerkat_feed(grams: int, kcal: int) -> None:
    """J111, derived from Gutzmann et al. 2009, abstract: both rations give 2.59 kcal ME/g."""
    foods = records.linked(
        records.small(
            foods=records.foods(
                carrot="{same_as: carrot}", feed="{label: {basis: as fed, energy: 2.59 kcal/g}}"
            )
        )
    ).foods
    ration = Ration({foods["feed"]: exact(grams)}, 1, Profiles())
    assert rounds_to(energy_of(ration), str(kcal))
    assert energy_density(ration, of=None) == exact("2.59")


def test_vitamin_a_in_retinol() -> None:
    """J112, NRC 2003 p.113: 1000 IU are 300 µg of retinol."""
    per_iu = nutrients()["retinol"].per_iu
    assert per_iu is not None
    assert per_iu * 1000 == 300


def test_a_purified_diet_by_general_factors() -> None:
    """J209: AIN-93 type low-protein diet, recipe as reprinted in an open-access article, Table 1:
    protein 6.0 % printed, 3910 kcal/kg derived at 4, 9 and 4 with no energy from cellulose."""
    pure = "label: {{basis: as fed, moisture: 0 %, {}}}"
    nothing = "crude_protein: 0 %, fat: 0 %, "
    kinds = {
        "casein": "crude_protein: 84 %, fat: 0 %, carbohydrate: 0 %, fibre: 0 %",
        "starch": nothing + "carbohydrate: 100 %, fibre: 0 %",
        "oil": "crude_protein: 0 %, fat: 100 %, carbohydrate: 0 %, fibre: 0 %",
        "cellulose": nothing + "carbohydrate: 100 %, fibre: 100 %",
        "minerals": nothing + "carbohydrate: 0 %, fibre: 0 %",
    }
    entries = {name: "{" + pure.format(figures) + "}" for name, figures in kinds.items()}
    foods = records.linked(
        records.small(foods=records.foods(carrot="{same_as: carrot}", **entries))
    ).foods
    grams = {"casein": "71.5", "starch": "760", "oil": "70", "cellulose": "50", "minerals": "48.5"}
    diet = Ration({foods[name]: exact(mass) for name, mass in grams.items()}, 1, Profiles())
    assert diet.grams() == exact(1000)
    assert rounds_to(diet.density("protein") * 100, "6.0")
    energy = energy_of(diet, ATWATER)
    assert rounds_to(exact(energy.low), "3910")
    assert energy.high - energy.low == 4 * 50


def test_energies_of_the_food_table_lie_near_what_general_factors_give() -> None:
    """USDA SR28 reckons with factors of each food (from 2.4 to 4.4 kcal a gram of protein, from
    memory), so the general ones miss by a little: within 15 % or 8 kcal for nine foods in ten."""
    files = records.small(
        foods=records.foods(
            carrot="{same_as: carrot}",
            **{f"f_{i}": f"{{same_as: {i}}}" for i in food_ids() if _has_energy(i)},
        )
    )
    profiles = Profiles()
    near, apart = 0, 0
    for food in records.linked(files).foods.values():
        if food.row is None or food.row.source != "SR28":
            continue
        printed = energy_per_100g(profiles[food], FOOD_SPECIFIC).low
        general = energy_per_100g(profiles[food], ATWATER)
        slack = max(Decimal(8), printed * 15 / 100)
        if general.low - slack <= printed <= general.high + slack:
            near += 1
        else:
            apart += 1
    assert near + apart > 400
    assert apart * 10 < near + apart


@pytest.mark.parametrize(
    ("id", "kcal"),
    [("sugar-white", 387), ("oil-sunflower", 884), ("honey", 304)],
)
def test_energies_printed_for_pure_foods(id: str, kcal: int) -> None:
    """USDA SR28 19335, 04506 and 19296: sugar and oil are reckoned with 3.87 and 8.84 kcal/g."""
    row = food_row(id)
    assert row is not None
    assert row.value("energy") == kcal


def _has_energy(id: str) -> bool:
    row = food_row(id)
    return row is not None and row.value("energy") is not None
