"""Ratios and shares that sources print, or that follow from figures they print.

Numbers J… are those of the worked examples collected for the project.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from dietcheck.nutrition.composition import Profiles
from dietcheck.nutrition.derived import added_per_kg_fish, calcium_to_phosphorus, per_kg_fish
from dietcheck.nutrition.rations import Ration
from dietcheck.nutrition.shares import class_share
from dietcheck.quantities import Interval, exact
from tests import records


def ration(amounts: dict[str, str], **entries: str) -> Ration:
    """A ration in grams of foods given in flow style."""
    collection = records.linked(
        records.small(foods=records.foods(carrot="{same_as: carrot}", **entries))
    )
    assert collection.troubles == ()
    grams = {collection.foods[name]: exact(mass) for name, mass in amounts.items()}
    return Ration(grams, 1, Profiles())


def rounds_to(figure: Interval, printed: str) -> bool:
    step = Decimal(1).scaleb(int(Decimal(printed).as_tuple().exponent))
    return all(end.quantize(step) == Decimal(printed) for end in (figure.low, figure.high))


@pytest.mark.parametrize(
    ("row", "printed"),
    [
        ("prey-chick-day-old", "1.35"),
        ("prey-rat-adult", "1.38"),
    ],
)
def test_calcium_to_phosphorus_of_whole_prey(row: str, printed: str) -> None:
    """J409 and J411, from calcium and phosphorus per kcal in Small Animal Clinical Nutrition, 5th
    ed., Tables 71-5 and 71-6 (seen: original): 2.7 to 2.0 and 4.4 to 3.2 mg/kcal. The table keeps
    both per 100 g at two or three digits, hence the third digit may differ by one."""
    figure = calcium_to_phosphorus(ration({"prey": "100"}, prey=f"{{same_as: {row}}}"))
    assert abs(figure.low - Decimal(printed)) <= Decimal("0.01")
    assert figure.is_exact or figure.high - figure.low < Decimal("1e-20")


OTTER_FISH = "{class: fish, unknown_composition: no analysis}"
TABLET = "{class: supplement, label: {basis: as fed, thiamin: 62.5 mg/g, vitamin_e_iu: 900 IU/g}}"
CARNIVORE = "{class: compound feed, unknown_composition: the source gives no figures}"


def test_thiamin_of_an_otter_ration_per_kilogram_of_fish() -> None:
    """J302, AZA otter manual 2009 p.35 (seen: original): 908 g fish, 6.25 mg thiamin given; 6.9 mg
    per kg is derived. The feeds add an unknown amount, so the whole cannot be told."""
    otter = ration(
        {"fish": "908", "tablet": "0.1", "feed": "182"},
        fish=OTTER_FISH,
        tablet=TABLET,
        feed=CARNIVORE,
    )
    assert rounds_to(added_per_kg_fish(otter, "thiamin"), "6.9")
    assert per_kg_fish(otter, "thiamin").stands(at_least=25) == "across"


@pytest.mark.parametrize(("grams", "per_kg"), [("9.2", "25"), ("12.8", "35")])
def test_thiamin_that_an_otter_needs_for_its_fish(grams: str, per_kg: str) -> None:
    """J301, AZA otter manual 2009 pp.35-36 (foods and doses printed, totals derived): 367 g of fish
    at 25 to 35 mg/kg take 9.2 to 12.8 mg. The strength of the tablet is invented."""
    otter = ration(
        {"fish": "367", "tablet": grams},
        fish=OTTER_FISH,
        tablet="{class: supplement, label: {basis: as fed, thiamin: 1 mg/g}}",
    )
    assert rounds_to(added_per_kg_fish(otter, "thiamin"), per_kg)


def test_fish_in_an_otter_ration_by_share() -> None:
    """J304, otter diets p.32 (seen: original): capelin 13.5, smelt 14.5, herring 16.3, carrot 18.2,
    cat food and beef 37.5 %; that fish is 44.3 % is derived."""
    otter = ration(
        {"capelin": "13.5", "smelt": "14.5", "herring": "16.3", "carrot": "18.2", "feed": "37.5"},
        capelin=OTTER_FISH,
        smelt="{same_as: prey-smelt}",
        herring="{same_as: herring}",
        feed=CARNIVORE,
    )
    assert rounds_to(class_share(otter, "fish", None) * 100, "44.3")
