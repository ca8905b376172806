"""Ceilings on concentrate and starch. Foods with invented labels.

Half the dry matter and 5 g per kg body mass in one meal are common practice, no source. 1 g of
starch per kg body mass in one meal for horses is printed (A050, Luthersson2009) and known from
memory only. Horses of 200 kg, so that 1000 g in one meal is 5 g per kg.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given

from dietcheck.contract import Check, Interval, Severity, Verdict
from dietcheck.quantities import exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import concentrate_ceiling
from dietcheck_rules.concentrate_ceiling.worst_case import taken
from tests import records

FOODS = {
    "hay": "{class: hay, label: {basis: as fed, moisture: 10 %, sugars: 5 %, starch: 0 %}}",
    "pellet": (
        "{class: compound feed, label: {basis: as fed, moisture: 10 %, sugars: 5 %, starch: 20 %}}"
    ),
    "silent": "{class: compound feed, label: {basis: as fed, moisture: 10 %}}",
    "oats": "{class: grain, label: {basis: as fed, moisture: 10 %, sugars: 0 %, starch: 40 %}}",
}
HORSE, TAPIR = "Equus caballus", "Tapirus terrestris"


def said(
    lines: Sequence[str],
    *,
    afternoon: Sequence[str] | None = None,
    species: str = HORSE,
    heads: int = 1,
    stations: int | None = None,
    fed: str = "together",
    weighings: str = "[{on: 2026-11-20, mass: 200 kg}]",
    limits: Sequence[str] = (),
) -> dict[str, Check]:
    """What the rule says, by what was tested."""
    animals = [f"{{id: T{n}, weighings: {weighings}}}" for n in range(heads)]
    group = records.group(species=species, animals=animals).replace("together", fed)
    if stations is not None:
        group = group.replace("animals:", f"stations: {stations}\nanimals:")
    meals = {"first": lines, "second": lines if afternoon is None else afternoon}
    files = {
        "group": group,
        "foods": records.foods(**FOODS),
        "sheet": records.sheet(meals),
        "rota": records.rota(["{morning: first, afternoon: second}"] * 2),
    }
    if limits:
        files["limits"] = "record: limits\nlimits:\n" + "".join(f"  - {row}\n" for row in limits)
    outcome = outcome_of(concentrate_ceiling, records.small(**files), records.ON)
    assert not outcome.failures
    return {check.about: check for check in checks_of(outcome, "tapir")}


def line(food: str, grams: object, per: str = "animal") -> str:
    """One line of a meal."""
    return f"{{food: {food}, amount: {grams} g per {per}}}"


SHARE = "concentrate-share on dry matter over the rota"
MEAL = "concentrate in one meal"
STARCH = "starch in one meal"
TAKEN = "one animal takes others' concentrate, share over the rota"
TAKEN_MEAL = "one animal takes others' share, concentrate-per-meal"


def test_half_the_dry_matter_is_the_most() -> None:
    check = said([line("hay", 500), line("pellet", 300), line("oats", 200)], species=TAPIR)[SHARE]
    assert check.measured is not None
    assert (check.verdict, check.measured.value) == (Verdict.KEPT, exact(50))
    check = said([line("hay", 499), line("pellet", 501)], species=TAPIR)[SHARE]
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.LOW)
    assert "common practice, no source; the vet sets this" in check.message


def test_the_biggest_meal_counts_and_not_the_mean() -> None:
    kept = said([line("pellet", 1000), line("hay", 4000)])[MEAL]
    assert kept.measured is not None
    assert (kept.verdict, kept.measured.value) == (Verdict.KEPT, exact(5))
    meals = said([line("pellet", 1001), line("hay", 4000)], afternoon=[line("hay", 4000)])
    assert (meals[MEAL].verdict, meals[MEAL].severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert {when.slot for when in meals[MEAL].occasions} == {"morning"}


def test_starch_in_a_meal_is_from_memory_and_low() -> None:
    """1000 g of 20 % is 200 g, 1 g per kg in 200 kg; 500 g of oats is as much."""
    kept = said([line("pellet", 500), line("oats", 250), line("hay", 4000)])[STARCH]
    assert kept.verdict is Verdict.KEPT
    assert kept.measured is not None
    assert kept.measured.value == exact(1)
    breach = said([line("oats", 501), line("hay", 4000)])[STARCH]
    assert (breach.verdict, breach.severity) == (Verdict.BREACH, Severity.LOW)
    assert "from memory, check before use" in breach.message


def test_a_label_without_starch_cannot_be_told() -> None:
    check = said([line("silent", 500), line("hay", 4000)])[STARCH]
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.LOW)
    assert "silent" in check.settles


def test_without_a_weighing_a_meal_is_not_cleared() -> None:
    check = said([line("pellet", 10), line("hay", 4000)], weighings="[]")[MEAL]
    assert check.verdict is Verdict.CANNOT_TELL
    assert "weighing" in check.settles


@pytest.mark.parametrize(
    ("heads", "stations", "fed", "spoken"),
    [
        (3, 2, "together", True),
        (3, None, "together", True),
        (3, 3, "together", False),
        (3, 2, "singly", False),
        (1, None, "together", False),
    ],
)
def test_one_animal_may_take_the_shares_of_others_where_stations_are_few(
    heads: int, stations: int | None, fed: str, spoken: bool
) -> None:
    """A fifth of the dry matter is kept; three times as much is 60 of 140, 42.9 %. Three times
    400 g is 6 g per kg."""
    lines = [line("pellet", 400), line("hay", 1600)]
    checks = said(lines, heads=heads, stations=stations, fed=fed)
    assert (TAKEN in checks) is spoken
    if spoken:
        assert checks[TAKEN].verdict is Verdict.KEPT
        meal = checks[TAKEN_MEAL]
        assert (meal.verdict, meal.severity) == (Verdict.BREACH, Severity.LOW)


def test_the_worst_case_of_a_share_is_a_breach_of_its_own() -> None:
    """40 % is kept; three shares are 120 of 180, 66.7 %; two animals make two shares, 57.1 %."""
    lines = [line("pellet", 400), line("hay", 600)]
    for heads in (3, 2):
        checks = said(lines, species=TAPIR, heads=heads, stations=1)
        assert checks[SHARE].verdict is Verdict.KEPT
        assert (checks[TAKEN].verdict, checks[TAKEN].severity) == (Verdict.BREACH, Severity.LOW)
    broken = said([line("pellet", 600), line("hay", 400)], species=TAPIR, heads=3, stations=1)
    assert TAKEN not in broken  # the sheet itself is past the ceiling, which is enough to say


def test_the_laminitis_ceiling_is_never_applied_to_horses_as_such() -> None:
    """A049 is for animals that the records do not tell apart."""
    assert not any("sugars and starch" in about for about in said([line("oats", 10)]))


def test_the_house_may_set_a_ceiling_on_sugars_and_starch() -> None:
    """200 g of 25 % and 800 g of 5 % in 900 g of dry matter: 90 of 900, 10 %."""
    row = (
        "{group: tapir, quantity: nsc, at_most: %s, over: rota, severity: medium, why: invented, "
        "set_by: Dr Vale, on: 2026-01-01}"
    )
    lines = [line("pellet", 200), line("hay", 800)]
    about = "sugars and starch over the rota"
    assert said(lines, limits=[row % "10 % of dry matter"])[about].verdict is Verdict.KEPT
    assert said(lines, limits=[row % "9.9 % of dry matter"])[about].verdict is Verdict.BREACH
    checks = said(lines, limits=[row % "1 g per kg body mass"])
    assert checks["nsc on body mass"].verdict is Verdict.CANNOT_TELL


def test_the_absences_are_said() -> None:
    colobus = said([line("pellet", 10)], species="Colobus guereza")
    assert "limit not yet sourced" in colobus["nsc"].message
    meerkat = said([line("pellet", 10)], species="Suricata suricatta")
    assert meerkat["concentrate"].verdict is Verdict.NOT_APPLICABLE


shares = st.decimals(0, 1, places=4)


@given(shares, shares, st.integers(1, 3))
def test_taking_more_never_lowers_the_share(one: Decimal, other: Decimal, times: int) -> None:
    share = Interval(min(one, other), max(one, other))
    more = taken(share, times)
    assert more.low >= share.low - Decimal("1e-20")
    assert share.high <= more.high + Decimal("1e-20")
    assert more.high <= 1


def test_a_limit_of_the_house_is_named_as_a_place() -> None:
    house = (
        "{group: tapir, quantity: concentrate-per-meal, at_most: 4 g per kg body mass, over: meal,"
        " severity: medium, why: x, set_by: Dr Vale, on: 2026-01-01, source: site rule}"
    )
    check = said([line("pellet", 801), line("hay", 4000)], limits=[house])[MEAL]  # 801 g ÷ 200 kg
    assert check.verdict is Verdict.BREACH
    assert check.places[-1].file == "limits.yaml"
    kept = said([line("pellet", 800), line("hay", 4000)], limits=[house])[MEAL]
    assert kept.verdict is Verdict.KEPT


def test_where_nothing_is_fed_nothing_is_judged() -> None:
    files = records.small(
        dietcheck=records.settings(rota_days=1), rota=records.rota(["{fast: planned}"])
    )
    outcome = outcome_of(concentrate_ceiling, files, records.ON)
    assert not outcome.failures
    assert {c.verdict for c in checks_of(outcome, "tapir")} == {Verdict.NOT_APPLICABLE}


def test_a_meal_counts_for_those_who_are_there() -> None:
    """T0 leaves before the second day, on which the pellets are fed."""
    sheet = {"hay": [line("hay", 4000)], "feast": [line("pellet", 1500), line("hay", 4000)]}
    here = "weighings: [{on: 2026-11-20, mass: 200 kg}]"
    animals = [f"{{id: T0, here_until: 2026-11-25, {here}}}", f"{{id: T1, {here}}}"]
    files = records.small(
        group=records.group(species=HORSE, animals=animals),
        foods=records.foods(**FOODS),
        sheet=records.sheet(sheet),
        rota=records.rota(
            ["{morning: hay, afternoon: hay}", "{morning: feast, afternoon: hay}"],
            start="2026-11-25",
        ),
    )
    (check,) = [
        c
        for c in checks_of(outcome_of(concentrate_ceiling, files, records.ON), "tapir")
        if c.about == MEAL and c.verdict is Verdict.BREACH
    ]
    assert check.animals == ("T1",)
