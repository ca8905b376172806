"""What holds for every rule: it answers for each group, whatever stands in the records.

A rule that raises, or says nothing of a group, is a failure of the outcome; here none may be.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from types import ModuleType

import pytest

from dietcheck.contract import Check, Verdict
from dietcheck.screening.hookspecs import CONTRACT, Pack
from dietcheck.screening.packs import rules_of
from dietcheck.screening.tables import bundled_limits
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import RULES
from tests import records

NAMES = [rule.__name__.rpartition(".")[2] for rule in RULES]
EVERY_RULE = pytest.mark.parametrize("rule", RULES, ids=NAMES)
# Invented foods of many kinds, so that each rule finds something to look at.
FOODS = records.foods(
    carrot="{same_as: carrot}",
    grape="{same_as: grape}",
    hay="{class: hay, label: {basis: as fed, crude_fibre: 30 %, ndf: 60 %, moisture: 12 %}}",
    pellet="{class: compound feed, label: {basis: as fed, energy: 3 kcal/g, sugars: 5 %,"
    " calcium: 1 %, phosphorus: 0.6 %, iron: 200 mg/kg, vitamin_d3: 1000 IU/kg, copper: 20 mg/kg,"
    " vitamin_a: 9000 IU/kg, vitamin_e: 100 IU/kg, crude_protein: 18 %, moisture: 10 %}}",
    drops="{class: supplement, label: {basis: as fed, vitamin_d3: 90000 IU/kg, vitamin_a: 9 IU/g,"
    " iron: 1 %, selenium: 3 mg/kg, iodine: 3 mg/kg, copper: 30 mg/kg, moisture: 5 %}}",
    sprat="{class: fish, part: whole, form: frozen-thawed, organism: Sprattus sprattus,"
    " unknown_composition: none}",
    mouse="{class: whole prey, organism: Mus musculus, unknown_composition: none}",
    cricket="{class: insect, organism: Acheta domesticus, unknown_composition: none}",
    crab_apple="{same_as: crab-apple, wild: yes}",
    mince="{class: meat, unknown_composition: none}",
    mash="{mix: {grape: 50 %, pellet: 50 %}}",
)
GIVEN = {
    "carrot": "200 g per animal",
    "hay": "1 to 2 kg per group",
    "pellet": "300 g per animal",
    "drops": "3 g per animal",
    "sprat": "100 g per animal",
    "mouse": "20 g per animal",
    "cricket": "5 g per animal",
    "mince": "50 g per animal",
    "crab-apple": "30 g per animal",
}
LINES = [f"{{food: {food}, amount: {amount}}}" for food, amount in GIVEN.items()]
TREATED = [*LINES, "{food: grape, amount: 20 g per animal, treat: training}"]
DAYS = ["{morning: first, afternoon: second}", "{morning: second, afternoon: no feed}"]
# All that a label may say, in single figures, so that only amounts or water are open.
TOLD = (
    "label: {{basis: as fed, energy: 3 kcal/g, sugars: 10 %, starch: 20 %, calcium: 1 %,"
    " phosphorus: 0.5 %, iron: 90 mg/kg, vitamin_c: 900 mg/kg, vitamin_d3: 2000 IU/kg,"
    " vitamin_a: 9000 IU/kg, vitamin_e: 90 IU/kg, copper: 9 mg/kg, selenium: 0.2 mg/kg,"
    " iodine: 0.5 mg/kg, crude_protein: 15 %, crude_fat: 3 %, crude_fibre: 15 %, ash: 6 %,"
    " ndf: 30 %, thiamin: 9 mg/kg{water}}}"
)
CLASSES = {
    "carrot": "vegetable",
    "grape": "fruit",
    "hay": "hay",
    "pellet": "compound feed",
    "drops": "supplement",
    "sprat": "fish",
    "mouse": "whole prey",
    "cricket": "insect",
    "crab_apple": "fruit",
    "mince": "meat",
    "mash": "leafy green",
}
LEFT = "ad lib, expected 90 g per animal"
ANIMALS = (
    "{id: A1, weighings: [{on: 2026-11-20, mass: 4 kg}]}",
    "{id: A2, stage: growing, weighings: [{on: 2026-11-20, mass: 3 to 5 kg}]}",
    "{id: A3, here_from: 2026-11-26, condition: {on: 2026-11-01, score: 4, of: 5}}",
    "{id: A4, here_until: 2026-11-27, condition: {on: 2026-01-01, score: 1, of: 5},"
    " weighings: [{on: 2026-10-01, mass: 5 kg}, {on: 2026-11-22, mass: 4 kg}]}",
)


def mixed_diet(species: str, **changes: str) -> dict[str, str]:
    """A group that gets a little of everything, treats too."""
    files = {
        "group": records.group(species=species, animals=ANIMALS),
        "foods": FOODS,
        "before": records.sheet({"first": LINES[:3], "second": LINES[:2]}),
        "sheet": records.sheet({"first": LINES, "second": TREATED}, start="2026-11-24"),
        "rota": records.rota(DAYS),
    }
    return records.small(**{**files, **changes})


@cache
def quantities(rule: ModuleType) -> tuple[str, ...]:
    """Whatever a rule has limits on."""
    (loaded,) = rules_of(Pack("test", "0", CONTRACT, (rule,)))
    if not loaded.rule.has_limits:
        return ()
    rows = bundled_limits(loaded.rule.folder)
    return tuple(dict.fromkeys(row.quantity for row in rows))


def house(rule: ModuleType, bound: str, over: str) -> str:
    """Limits of the house on all that a rule has limits on."""
    rows = "".join(
        f"  - {{group: tapir, quantity: '{quantity}', {bound}, over: {over}, severity: medium,"
        " why: invented, set_by: Dr Vale, on: 2026-01-01}\n"
        for quantity in quantities(rule)
    )
    return f"record: limits\nlimits:\n{rows}"


LIMITED = [rule for rule in RULES if quantities(rule)]
EVERY_LIMITED_RULE = pytest.mark.parametrize(
    "rule", LIMITED, ids=[rule.__name__.rpartition(".")[2] for rule in LIMITED]
)
BOUNDS = {
    "2 %": ("Tapirus terrestris", "day"),
    "2 % of energy": ("Spheniscus humboldti", "rota"),
    "2 mg per kg dry matter": ("Callithrix jacchus", "7 days"),
    "2 kcal per animal": ("Suricata suricatta", "meal"),
    "2 mm": ("Spheniscus humboldti", "day"),
}


@EVERY_LIMITED_RULE
@pytest.mark.parametrize("bound", BOUNDS)
def test_a_house_limit_in_any_unit_is_answered(rule: ModuleType, bound: str) -> None:
    """Also one that the rule cannot reckon in: it says so and does not raise, and what it judges
    without such a limit it still judges, or asks about the limit."""
    species, over = BOUNDS[bound]
    judged = limited(rule, mixed_diet(species))
    for side in ("at_most", "at_least"):
        limits = house(rule, f"{side}: {bound}", over)
        assert judged <= limited(rule, mixed_diet(species, limits=limits))


def limited(rule: ModuleType, files: Mapping[str, str]) -> set[str]:
    """The quantities that checks are held against a limit on.

    Whoever asks for a limit to be written otherwise points at the line.
    """
    outcome = outcome_of(rule, files, records.ON)
    assert not outcome.failures, outcome.failures
    for check in checks_of(outcome):
        says_one_thing(rule, check)
    checks = [check for check in checks_of(outcome) if check.limit is not None]
    for check in checks:
        if check.verdict is Verdict.CANNOT_TELL and check.settles.startswith("a limit "):
            assert "limits.yaml" in {place.file for place in check.places}, check
    return {check.limit.quantity for check in checks if check.limit is not None}


# Rules that show what a kept balance rests on; with all others what is kept asks for nothing.
SHOWING = {"rota_balance", "sugar_ceiling"}


def says_one_thing(rule: ModuleType, check: Check) -> None:
    """The message, the advice and the places fit the verdict; the count of animals is right."""
    counted = re.search(r"\(and (\d+) more\)", check.message)
    assert counted is None or int(counted[1]) == len(check.animals) - 1, check
    is_told = check.verdict in (Verdict.BREACH, Verdict.CANNOT_TELL)
    assert bool(check.advice) is is_told, check
    assert check.settles or check.verdict is not Verdict.CANNOT_TELL, check
    assert is_told or not check.settles, check
    assert check.places or check.verdict is not Verdict.BREACH, check
    if rule.__name__.rpartition(".")[2] not in SHOWING:
        assert is_told or not (check.places or check.occasions or check.weak), check
    not_said = {
        Verdict.KEPT: ("the limit is", "cannot be told"),
        Verdict.BREACH: (", within", "cannot be told"),
        Verdict.CANNOT_TELL: (", within",),
        Verdict.NOT_APPLICABLE: (),
    }[check.verdict]
    assert not [words for words in not_said if words in check.message], check


def told(water: str) -> str:
    """Foods of each class with all figures on the label, and with or without the water."""
    label = TOLD.format(water=water)
    return records.foods(**{food: f"{{class: {kind}, {label}}}" for food, kind in CLASSES.items()})


def ranges(low: int, high: int) -> str:
    """A sheet of all foods, the amount of each a range."""
    lines = [f"{{food: {food}, amount: {low} to {high} g per animal}}" for food in GIVEN]
    return records.sheet({"first": lines, "second": lines})


NOBODY = records.group(animals=("{id: A1, here_until: 2026-10-01}",))
ODD: Mapping[str, dict[str, str]] = {
    "nobody lives here": {"group": NOBODY},
    "nobody lives here, nothing is written": {
        "group": NOBODY,
        "sheet": "",
        "rota": "",
    },
    "no rota": {"rota": ""},
    "no sheet": {"sheet": "", "before": ""},
    "the rota starts later": {"rota": records.rota(DAYS, start="2027-03-01")},
    "the sheet starts later": {
        "sheet": records.sheet({"first": LINES, "second": LINES}, start="2027-03-01")
    },
    "every day is a fast": {"rota": records.rota(["{fast: planned}"] * 2)},
    "nothing is fed": {"rota": records.rota(["{morning: no feed, afternoon: no feed}"] * 2)},
    "never weighed": {
        "group": records.group(species="Spheniscus humboldti", animals=("{id: A1}",))
    },
    "weighed tomorrow": {
        "group": records.group(animals=("{id: A1, weighings: [{on: 2026-11-26, mass: 9 kg}]}",))
    },
    "all that is offered is left": {
        "sheet": records.sheet(
            {
                name: [f"{{food: {one}, amount: '{LEFT}'}}" for one in GIVEN]
                for name in ("first", "second")
            }
        )
    },
    "one animal gets it all": {
        "sheet": records.sheet(
            {
                name: [
                    f"{{food: {food}, amount: {amount}, for: [A1]}}"
                    for food, amount in GIVEN.items()
                    if "group" not in amount
                ]
                for name in ("first", "second")
            }
        )
    },
    "all is told but the amounts": {"foods": told(", moisture: 10 %"), "sheet": ranges(1, 300)},
    "all is told but the water": {"foods": told(""), "sheet": ranges(30, 30)},
    "in numbers": {
        "sheet": records.sheet(
            {name: [f"{{food: {food}, amount: 3 pieces per animal}}" for food in GIVEN]
             for name in ("first", "second")}
        )
    },
}  # fmt: skip


@EVERY_RULE
@pytest.mark.parametrize("odd", ODD)
def test_an_odd_park_is_answered(rule: ModuleType, odd: str) -> None:
    files = {**mixed_diet("Callithrix jacchus"), **{f"{k}.yaml": v for k, v in ODD[odd].items()}}
    outcome = outcome_of(rule, {name: text for name, text in files.items() if text}, records.ON)
    assert not outcome.failures, outcome.failures
    for check in checks_of(outcome):
        assert check.message
        says_one_thing(rule, check)
