"""Food of neighbours within reach: in small diets (invented), and in the example park."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.reading import Folder
from dietcheck.screening.hookspecs import CONTRACT, Pack
from dietcheck.screening.packs import rules_of
from dietcheck.screening.report import Report
from dietcheck.screening.screen import screen
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import reach, toxic_item
from tests import records

PARK = Path(__file__).parents[2] / "example_repo"
ON = date(2026, 11, 25)


def said(
    never: str = "", theirs: str = "grape", enclosure: str = "Paddock", reached_by: str = ""
) -> tuple[Check, ...]:
    """A tapir on carrots beside goats on something."""
    animal = f"{{id: T1, never: [{never}], weighings: [{{on: 2026-11-20, mass: 200 kg}}]}}"
    goats = records.group(
        id="goats", species="Capra hircus", enclosure=enclosure,
        animals=("{id: G1, weighings: [{on: 2026-11-20, mass: 40 kg}]}",),
    )  # fmt: skip
    files = records.small(
        group=records.group(animals=(animal,)),
        foods=records.foods(
            carrot="{same_as: carrot}",
            grape="{same_as: grape}",
            mash="{mix: {grape: 10 %, carrot: 90 %}}",
        ),
        group2=goats + (f"also_reached_by: [{reached_by}]\n" if reached_by else ""),
        sheet2=records.sheet({"roots": [f"{{food: {theirs}, amount: 60 g per group}}"]}, "goats"),
        rota2=records.rota(["{morning: roots, afternoon: no feed}"] * 2, group="goats"),
    )
    outcome = outcome_of(reach, files, records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def test_nothing_within_reach_is_not_applicable() -> None:
    (check,) = said(enclosure="Hill")
    assert check.verdict is Verdict.NOT_APPLICABLE


@pytest.mark.parametrize("way", [{}, {"enclosure": "Hill", "reached_by": "tapir"}])
def test_a_neighbours_food_that_is_not_on_the_own_sheet_is_a_note(way: dict[str, str]) -> None:
    (check,) = said(**way)
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.LOW)
    assert "grape" in check.message
    assert "60 g" in " ".join(check.working)
    assert check.settles
    assert check.places


def test_the_same_food_on_both_sheets_is_kept() -> None:
    (check,) = said(theirs="carrot")
    assert check.verdict is Verdict.KEPT


@pytest.mark.parametrize("theirs", ["grape", "mash"])
@pytest.mark.parametrize("never", ["grape", "grapes"])
def test_food_that_one_animal_must_never_have_is_high(never: str, theirs: str) -> None:
    check = min(said(never=never, theirs=theirs), key=lambda one: one.severity.rank)
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.HIGH)
    assert (check.food, check.animals) == ("grape", ("T1",))
    assert "can get at it" in check.message
    assert "cannot follow" in check.advice
    assert list(check.occasions) == sorted(check.occasions)
    assert len(check.occasions) > 1
    assert not [one for one in said(never="pear", theirs=theirs) if one.verdict == "breach"]


# -- rheas and capybaras of the example park, who share River Paddock ------------------------------


def park(**laid: str) -> Report:
    """The park judged by reach and toxic-item, with drafts laid over it."""
    pack = Pack("dietcheck_rules", "0", CONTRACT, (reach, toxic_item))
    drafts = [(f"drafts/{stem}.yaml", text.encode()) for stem, text in laid.items()]
    return screen(Folder(PARK), ON, drafts, load=lambda _: rules_of(pack))


SHEET = """
record: diet sheet
group: capybara
from: 2026-03-12
reason: test
meals:
  pellet and peppers: [{{food: {food}, amount: 300 g per animal}}]
  greens and grass: [{{food: timothy-hay, amount: 450 g per animal}}]
"""


def test_each_of_two_neighbours_is_told_what_the_other_brings() -> None:
    judged = {one.group: one.check for one in park().judged if one.rule == "reach"}
    for group, other in (("rhea", "capybara"), ("capybara", "rhea")):
        assert judged[group].verdict is Verdict.CANNOT_TELL
        assert judged[group].severity is Severity.LOW
        assert other in judged[group].about
    assert judged["tapir"].verdict is Verdict.NOT_APPLICABLE


def test_what_harms_the_neighbour_is_found_for_the_neighbour() -> None:
    """Avocado fed to capybaras: it harms birds and the kin of guinea pigs, both high."""
    foods = "record: foods\nfoods:\n  avocado: {same_as: avocado}\n"
    report = park(sheet=SHEET.format(food="avocado"), foods=foods)
    found = {f.group: f.severity for f in report.findings if f.check.food == "avocado"}
    assert found == {"rhea": Severity.HIGH, "capybara": Severity.HIGH}


def test_the_good_park_has_nothing_harmful_within_reach() -> None:
    spoken = [f.check.message for f in park().findings if f.rule == "toxic-item"]
    assert [message for message in spoken if "within reach" in message] == []
