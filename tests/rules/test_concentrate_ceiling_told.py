"""What is told about concentrate: the sums of a meal and of a rota. Foods and limits are invented.

p1 to p6 hold 1 to 6 % sugars and 10 to 60 % starch, hay 5 % sugars; all have 10 % water. The
horses weigh 200 kg.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from dietcheck.contract import Check, Severity, Standing, Verdict, exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import concentrate_ceiling
from tests import records
from tests.rules.told import figures, places

KINDS = {
    "hay": ("hay", "sugars: 5 %, starch: 0 %"),
    "silent": ("compound feed", "ash: 1 %"),
    "syrup": ("bakery", "sugars: 55 to 80 %, starch: 10 to 60 %"),
} | {f"p{n}": ("compound feed", f"sugars: {n} %, starch: {n}0 %") for n in range(1, 7)}
FOODS = records.foods(
    **{
        food: f"{{class: {kind}, label: {{basis: as fed, moisture: 10 %, {what}}}}}"
        for food, (kind, what) in KINDS.items()
    },
    mash="{mix: {p1: 50 %, hay: 50 %}}",
)
HORSE, TAPIR = "Equus caballus", "Tapirus terrestris"
WEIGHED = "weighings: [{on: 2026-11-20, mass: 200 kg}]"


def line(food: str, grams: object, more: str = "") -> str:
    """One line of a meal."""
    return f"{{food: {food}, amount: {grams} g per animal{more}}}"


def house(quantity: str, bound: str, over: str) -> str:
    """A limit of the house."""
    return (
        f"{{group: tapir, quantity: {quantity}, {bound}, over: {over}, severity: medium,"
        " why: invented, set_by: Dr Vale, on: 2026-01-01}"
    )


def said(
    lines: Sequence[str],
    *,
    species: str = HORSE,
    animals: Sequence[str] = (f"{{id: T0, {WEIGHED}}}",),
    stations: int = 9,
    limits: Sequence[str] = (),
    days: Sequence[str] = ("{morning: meal, afternoon: meal}",) * 2,
) -> list[Check]:
    """What the rule says of a meal, given morning and afternoon."""
    group = records.group(species=species, animals=animals)
    files = {
        "group": group.replace("animals:", f"stations: {stations}\nanimals:"),
        "foods": FOODS,
        "sheet": records.sheet({"meal": lines, "hay": [line("hay", 4000)]}),
        "rota": records.rota(days),
    }
    if limits:
        files["limits"] = "record: limits\nlimits:\n" + "".join(f"  - {row}\n" for row in limits)
    outcome = outcome_of(concentrate_ceiling, records.small(**files), records.ON)
    assert not outcome.failures
    return [*checks_of(outcome, "tapir")]


def of(checks: Sequence[Check], about: str) -> Check:
    """The one check about something."""
    (check,) = [one for one in checks if one.about.startswith(about)]
    return check


HAY = line("hay", 4000)
ALL = [HAY, *(line(f"p{n}", 100) for n in range(1, 7))]


def test_starch_of_a_meal_is_summed_the_most_first() -> None:
    """60 + 50 + … + 10 = 210 g ÷ 200 kg = 1.05 g per kg, past the printed 1 by 0.05."""
    found = said(ALL)
    assert Verdict.NOT_APPLICABLE not in {one.verdict for one in found}
    check = of(found, "starch in one meal")
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.LOW)
    foods = " | ".join(f"{n} {n}0" for n in (6, 5, 4, 3, 2))
    assert figures(*check.working) == f"{foods} | 210 200 1.05 | 1 2009 | 0.05"
    assert places(check) == [f"sheet meal {n} amount" for n in (6, 5, 4)]
    assert {(when.number, when.slot) for when in check.occasions} == {
        (day, slot) for day in (1, 2) for slot in ("morning", "afternoon")
    }


def test_concentrate_of_a_meal_counts_only_that_part_of_a_mix() -> None:
    """450 + 600 ÷ 2 + 500 = 1250 g, 6.25 g per kg; hay brings none and is not listed."""
    lines = [HAY, line("p2", 450), line("mash", 600), line("p1", 500)]
    check = of(said(lines), "concentrate in one meal")
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert figures(*check.working) == "1 500 | 2 450 | 300 | 1250 200 6.25 | 5 | 1.25"
    assert "from memory, check before use" in check.message
    kept = of(said([HAY, line("p1", 1000)]), "concentrate in one meal")
    assert (kept.verdict, kept.working, kept.advice, kept.places) == (Verdict.KEPT, (), "", ())
    assert ", within" in kept.message
    assert kept.severity is Severity.MEDIUM


def test_only_lines_for_the_worst_animal_are_pointed_at() -> None:
    animals = [f"{{id: T{n}, {WEIGHED}}}" for n in range(2)]
    lines = [HAY, line("p1", 1200, ", for: [T1]"), line("p1", 900, ", for: [T0]"), line("p2", 50)]
    found = [c for c in said(lines, animals=animals) if c.about == "concentrate in one meal"]
    over, kept = found
    assert (over.animals, kept.animals) == (("T1",), ("T0",))
    assert places(over) == ["sheet meal 1 amount", "sheet meal 3 amount"]
    assert kept.measured is not None
    assert kept.measured.value == exact("4.75")


def test_animals_fed_alike_are_held_together_each_by_its_own_mass() -> None:
    animals = [
        f"{{id: T{kg}, weighings: [{{on: 2026-11-20, mass: {kg} kg}}]}}" for kg in (300, 180, 150)
    ]
    check, kept = (
        c for c in said([HAY, line("p1", 1000)], animals=animals)
        if c.about == "concentrate in one meal"
    )  # fmt: skip
    assert (check.animals, kept.animals) == (("T150", "T180"), ("T300",))
    assert figures(check.message.partition(":")[0]) == "150 1"


def test_of_the_kept_meals_the_biggest_counts() -> None:
    """Days of hay alone before and after the meal with 600 g of pellets: 3 g per kg."""
    days = ["{morning: hay, afternoon: hay}", "{morning: hay, afternoon: meal}",
            "{morning: hay, afternoon: hay}"]  # fmt: skip
    kept = of(said([HAY, line("p1", 600)], days=days), "concentrate in one meal")
    assert kept.measured is not None
    assert (kept.verdict, kept.measured.value) == (Verdict.KEPT, exact(3))


def test_what_is_not_stated_settles_a_meal_and_is_a_weighing_where_there_is_none() -> None:
    lines = [HAY, line("p6", 100), line("silent", 500)]
    check = of(said(lines), "starch in one meal")
    assert check.verdict is Verdict.CANNOT_TELL
    assert "(silent)" in check.settles
    assert figures(*check.working[:3]) == "0 445 | 6 60 | 60 505 200 0.3 2.53"
    assert check.advice.startswith("Get what is named")
    check = of(said(lines, animals=["{id: Tom}"]), "concentrate in one meal")
    assert (check.verdict, places(check)) == (
        Verdict.CANNOT_TELL,
        ["sheet meal 2 amount", "sheet meal 1 amount"],
    )
    assert "weighing of Tom" in check.settles
    assert "no current weighing" in check.message
    assert figures(check.message) == "5"
    none = of(said([HAY], animals=["{id: Tom}"]), "concentrate in one meal")
    assert none.verdict is Verdict.KEPT  # nothing of it, whatever the animal weighs


NSC = "sugars and starch over the rota"


def test_sugars_and_starch_are_summed_over_the_rota() -> None:
    """Each of four meals: 200 g of hay's sugars and 1 + … + 6 g, 210 g of starch, 4140 g of dry
    matter: 431 ÷ 4140 = 10.4 %."""
    limits = [house("nsc", "at_most: 9 % of dry matter", "rota")]
    check = of(said(ALL, limits=limits), NSC)
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert figures(*check.working) == (
        "800 | 6 24 | 5 20 | 884 | 6 240 | 5 200 | 4 160 | 840 | 16600 10.4 | 9 2026 01 01"
    )
    assert places(check) == ["limits limits 0"]
    assert len(check.occasions) == 2
    limits = [house("nsc", "at_most: 11 % of dry matter", "rota")]
    kept = of(said(ALL, limits=limits), NSC)
    assert (kept.verdict, kept.working, kept.advice, kept.places, kept.occasions) == (
        Verdict.KEPT, (), "", (), (),
    )  # fmt: skip
    assert (kept.severity, kept.settles) == (Severity.MEDIUM, "")
    assert ", within" in kept.message


def test_the_widest_unknown_settles_it_and_no_share_is_past_all() -> None:
    """2000 to 2600 g of sugars and starch in 4140 g."""
    lines = [HAY, line("silent", 500), line("syrup", 100)]
    limits = [house("nsc", "at_most: 20 % of dry matter", "day")]
    check = of(said(lines, limits=limits), "sugars and starch in a day")
    assert check.verdict is Verdict.CANNOT_TELL
    assert "the sugars of silent (silent)" in check.settles
    assert {note.partition(":")[0] for note in check.weak} == {"silent", "syrup"}
    assert "cannot be told" in check.message
    (sweet,) = [
        c for c in said([line("syrup", 100)], limits=limits) if c.about.startswith("sugars and")
    ]
    assert sweet.measured is not None  # 55 + 10 to 80 + 60 of 90
    assert sweet.measured.value.high == 100
    assert sweet.verdict is Verdict.BREACH
    assert figures(sweet.message) == "0 72.2 100 20 2026 01 01"


FEW = [f"{{id: T{n}, {WEIGHED}}}" for n in range(2)]
TAKEN = "one animal takes others' concentrate, share"


def test_two_at_one_station_may_take_each_others_share() -> None:
    """360 of 900 g are 40 %; with another's share 720 of 1260 g, 57.1 %, past half (common
    practice, no source)."""
    check = of(said([line("hay", 600), line("p1", 400)], species=TAPIR, animals=FEW, stations=1),
               TAKEN)  # fmt: skip
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.LOW)
    assert figures(check.message) == "0 1 57.1 50"
    assert "another's share" in check.message
    assert figures(*check.working) == "2 1 2 | 40 | 2 57.1 | 50"
    assert "(2)" in check.advice
    assert places(check) == ["group"]
    assert len(check.occasions) == 2
    three = [f"{{id: T{n}, {WEIGHED}}}" for n in range(3)]
    check = of(said([line("hay", 800), line("p1", 200)], species=TAPIR, animals=three, stations=1),
               TAKEN)  # fmt: skip
    assert "2 more shares" in check.message  # 540 of 1260 g
    assert (check.verdict, figures(check.message)) == (Verdict.KEPT, "0 2 42.9 2 50")
    assert (check.advice, check.working, check.places, check.occasions) == ("", (), (), ())


def test_a_meal_with_anothers_share_says_so_once() -> None:
    """600 g are 3 g per kg, twice that 6; a meal past the limit as planned is not told again."""
    about = "one animal takes others' share, concentrate"
    check = of(said([HAY, line("p1", 600)], animals=FEW, stations=1), about)
    assert (check.verdict, check.severity, check.animals) == (
        Verdict.BREACH, Severity.LOW, ("T0", "T1"),
    )  # fmt: skip
    assert figures(*check.working) == "2 1 2 | 1 1200 | 1200 200 6 | 5 | 1"
    assert "(2)" in check.advice
    heavy = [FEW[0], "{id: T1, weighings: [{on: 2026-11-20, mass: 100 kg}]}"]
    check = of(said([HAY, line("p1", 600)], animals=heavy, stations=1), about)
    assert check.animals == ("T0",)
    kept = of(said([HAY, line("p1", 500)], animals=FEW, stations=1), about)
    assert (kept.verdict, kept.advice) == (Verdict.KEPT, "")


@pytest.mark.parametrize(
    ("quantity", "bound", "over"),
    [("concentrate-per-meal", "at_most: 4 g per animal", "meal"),
     ("starch-per-meal", "at_most: 4 g per kg body mass", "day"),
     ("nsc", "at_most: 4 % as fed", "rota")],
)  # fmt: skip
def test_a_limit_in_another_unit_is_pointed_at(quantity: str, bound: str, over: str) -> None:
    found = said(ALL, limits=[house(quantity, bound, over)])
    (check,) = [c for c in found if c.limit and c.limit.standing is Standing.SITE_RULE]
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert places(check) == ["limits limits 0"]


def test_a_floor_of_the_house_is_not_held_against_shares_taken() -> None:
    """At least 30 % concentrate: 40 % as planned; that one may take more breaks no floor."""
    floor = house("concentrate-share", "at_least: 30 % of dry matter", "rota")
    lines = [line("hay", 600), line("p1", 400)]
    found = said(lines, species=TAPIR, animals=FEW, stations=1, limits=[floor])
    assert not [c for c in found if c.verdict is Verdict.BREACH and "at least" in c.message]


def test_where_nothing_is_planned_each_limit_says_so() -> None:
    limits = [house("nsc", "at_most: 9 % of dry matter", "rota")]
    found = said(ALL, limits=limits, days=["{fast: planned}"] * 2)
    assert {check.verdict for check in found} == {Verdict.NOT_APPLICABLE}
    assert {"nsc", "starch-per-meal", "concentrate-per-meal"} <= {check.about for check in found}
