"""What is told of stages: which animal, which sheet, how old. Tapirs are grown at 1095 days (common
practice, no source); animals and feeds are invented.
"""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Severity, Verdict, exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import life_stage
from tests import records
from tests.rules.told import figures, places


def told(
    *animals: str, sheet: str = "", lines: tuple[str, ...] = (), **changes: str
) -> list[Check]:
    """What is said of some tapirs."""
    meal = lines or ("{food: carrot, amount: 600 g per animal}",)
    files = {
        "group": records.group(animals=[f"{{id: T{n}{one}}}" for n, one in enumerate(animals, 1)]),
        "sheet": records.sheet({"roots": meal}, more=sheet),
        "foods": records.foods(
            carrot="{same_as: carrot}", milk="{same_as: carrot, stages: [infant, juvenile]}",
            mash="{mix: {milk: 50 %, carrot: 50 %}}",
        ),
    }  # fmt: skip
    outcome = outcome_of(life_stage, records.small(**{**files, **changes}), records.ON)
    assert not outcome.failures
    return [*checks_of(outcome, "tapir")]


def test_a_sheet_for_others_is_told_with_its_first_day() -> None:
    (check,) = told(", stage: growing", sheet="stages: [adult, pregnant]")
    assert "is growing; the sheet from 2026-01-01 is written for adult, pregnant." in check.message
    assert places(check) == ["sheet stages", "group animals 0"]
    assert len(check.occasions) == 1
    (silent,) = told(", stage: growing")
    assert "names no stage" in silent.message
    assert places(silent) == ["sheet", "group animals 0"]
    own = "{food: carrot, amount: 600 g per animal, for: [T1]}"
    mine, other = told(", stage: growing", ", stage: growing", lines=(own, own.replace("T1", "T2")))
    assert mine.severity is other.severity is Severity.LOW
    assert "lines of its own" in mine.message
    (alone, whole) = told(", stage: growing", ", stage: growing", lines=(own,))
    assert (alone.severity, whole.severity) == (Severity.LOW, Severity.MEDIUM)
    assert "lines of its own" not in whole.message


def test_a_feed_for_others_is_told_wherever_it_is_in_a_mix_and_for_those_who_get_it() -> None:
    line = "{food: mash, amount: 9 g per animal, for: [T2]}"
    (check,) = told(", stage: adult", ", stage: adult", lines=(line,))
    assert (check.food, check.animals) == ("milk", ("T2",))
    assert "the label of milk names infant, juvenile" in check.message
    assert places(check) == ["sheet meals roots 0", "foods foods milk"]
    all_ = told(", stage: adult", ", stage: adult", lines=(line.replace(", for: [T2]", ""),))
    assert [check.animals for check in all_] == [("T1",), ("T2",)]


@pytest.mark.parametrize(
    ("animal", "words"),
    [
        (", born: 2026-11-20", "it is 5 days old"),
        (", born: 2024", "it is 694 to 1059 days old"),
        ("", "neither stage nor birth is written"),
        (", born: 2026-11-25", "it is 0 days old"),
    ],
)
def test_an_animal_that_may_be_growing_is_told_with_its_age(animal: str, words: str) -> None:
    """From the last to the first day of 2024 it is 694 to 1059 days to 2026-11-25."""
    (check,) = told(animal)
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
    assert words in check.message
    assert ("1095" in check.message) is bool(animal)
    assert places(check) == ["group animals 0"]


def test_a_stage_left_on_is_told_with_the_age_at_least() -> None:
    (check,) = told(", stage: juvenile, born: 2019", sheet="stages: [juvenile]")
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.LOW)
    assert figures(check.message) == "1 2521 1095"  # born on the last day of 2019
    assert places(check) == ["group animals 0 stage"]
    assert check.measured is not None
    assert check.measured.value == exact(2521)
    for animal in (", stage: pregnant, born: 2001", ", stage: infant"):
        stage = animal.split()[2].rstrip(",")
        assert told(animal, sheet=f"stages: [{stage}]")[0].verdict is Verdict.KEPT


def test_an_animal_of_no_known_stage_hides_no_neighbour() -> None:
    found = told("", ", stage: growing")
    assert [check.animals for check in found] == [("T1",), ("T2",)]


@pytest.mark.parametrize(
    ("animal", "grown"),
    [
        (", here_from: 2023-11-26, weighings: [{on: 2026-01-01, mass: 9 kg}]", True),
        (", here_from: 2026-01-01, weighings: [{on: 2023-11-26, mass: 9 kg}]", True),
        (", here_from: 2023-11-27, weighings: [{on: 2026-01-01, mass: 9 kg}]", False),
        (", born: 2023-01-01, here_from: 2026-01-01", True),
        (", born: 2026-01-01, here_from: 2026-01-02", False),
    ],
)
def test_the_oldest_trace_of_an_animal_shows_that_it_is_grown(animal: str, grown: bool) -> None:
    (check,) = told(animal)
    assert (check.verdict is Verdict.KEPT) is grown


LIMIT = (
    "record: limits\nlimits: [{group: tapir, quantity: grown-age, %s, over: rota,"
    " severity: medium, why: x, set_by: Dr Vale, on: 2026-01-01}]\n"
)


def test_a_house_may_set_the_age_and_a_ceiling_says_nothing_of_being_grown() -> None:
    (check,) = told(", born: 2026-11-20", limits=LIMIT % "at_least: 5 days")
    assert check.verdict is Verdict.KEPT
    (check,) = told(", born: 2026-11-20", limits=LIMIT % "at_least: 6 days")
    assert check.verdict is Verdict.CANNOT_TELL
    (open_, kept) = told(", born: 2001-11-20", limits=LIMIT % "at_most: 6 days")
    assert (open_.verdict, places(open_)) == (Verdict.CANNOT_TELL, ["limits limits 0"])
    assert kept.verdict is Verdict.KEPT  # by the usual age


def test_a_colony_and_an_empty_group_have_no_stages() -> None:
    colony = (
        "record: group\nid: tapir\nspecies: Extatosoma tiaratum\nenclosure: Box\nfed: together\n"
        "colony: {count: 30, mass: 20 g, on: 2026-11-01}\n"
    )
    for files in (told(group=colony), told(", here_until: 2026-10-01")):
        assert [check.verdict for check in files] == [Verdict.NOT_APPLICABLE]


def test_a_sheet_to_come_is_looked_at_and_one_gone_by_is_not() -> None:
    later = records.sheet(
        {"roots": ["{food: carrot, amount: 6 g per animal}"]}, start="2026-11-30",
        more="stages: [growing]",
    )  # fmt: skip
    (check,) = told(", stage: adult", later=later)
    assert "the sheet from 2026-11-30" in check.message
    older = later.replace("2026-11-30", "2025-11-30")
    assert told(", stage: adult", older=older)[0].verdict is Verdict.KEPT
