"""What is told of a limit that guards nothing: why, what is nearest, and at which line. Houses and
limits are invented.
"""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from dietcheck.contract import Check, Limit, Severity, SourceRef, Standing, Verdict
from dietcheck.screening.tables import bundled_limits
from dietcheck_rules import portion_for_body_mass
from dietcheck_rules.limit_has_evidence import _missing
from dietcheck_rules.limit_has_evidence.house import _is_looser
from tests import records
from tests.rules.test_limit_has_evidence import house, said
from tests.rules.told import figures, places

FOOD = "group: tapir, food: %s"
DAYS = {"quantity": "same-item", "bound": "at_most: 3 days"}


def found(limits: str, **changes: str) -> list[Check]:
    """All that is said but the count."""
    return [check for check in said(limits, **changes) if check.about != "limits counted"]


@pytest.mark.parametrize(
    ("limit", "told", "hint", "at"),
    [
        ({"quantity": "food-intakes"}, 'no rule reads "food-intakes"', "Nearest: food-intake,",
         "quantity"),
        ({"quantity": "zzz"}, "no rule reads", "Rules read: days-between-feeds, different-foods",
         "quantity"),
        ({"bound": "at_most: 3 days"}, "an amount or a share and the limit is written as a count",
         "Rules write it as at least", "at_most"),
        ({"quantity": "same-item", "bound": "at_least: 3 kg per animal"},
         "a count and the limit is written as an amount", "Rules write it as at most", "at_least"),
        ({"who": "taxon: Tapirus terrestriss"}, "no scientific name", "Nearest: Tapirus terrestris",
         "taxon"),
        ({"who": "taxon: Xyzzy"}, "no scientific name", "", "taxon"),
        ({"who": "group: tapirs"}, 'no group has the id "tapirs"', "Nearest: tapir.", "group"),
        ({"who": "group: zzz"}, 'no group has the id "zzz"', "", "group"),
        ({"more": ", stage: adlut"}, "no animal is ever in the stage", "Stages are adult, all,",
         "stage"),
        ({"who": FOOD % "carrot"}, "never read for one food alone", "How often one food", "food"),
        ({"who": FOOD % "carot"} | DAYS, "no food and no class", "Nearest: carrot.", "food"),
        ({"who": FOOD % "zzz"} | DAYS, "no food and no class", "", "food"),
    ],
)  # fmt: skip
def test_a_limit_that_guards_nothing_says_why_and_what_is_nearest(
    limit: dict[str, str], told: str, hint: str, at: str
) -> None:
    (check,) = found(house(**limit))
    assert (check.verdict, check.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert told in check.message
    assert check.advice.startswith(hint or "Correct it")
    assert places(check) == [f"limits limits 0 {at}"]
    assert check.about.endswith(f" {at}")


@pytest.mark.parametrize("food", ["carrot", "root vegetable"])
def test_a_limit_on_a_food_or_a_class_of_food_that_is_here_is_read(food: str) -> None:
    """The class is that of the carrot on the food list."""
    assert not found(house(who=FOOD % food, **DAYS))


@pytest.mark.parametrize(
    ("limit", "told"),
    [
        ({"by": "Nobody"}, "Nobody is not among those who may sign"),
        ({"on": "2023-01-01"}, "Dr Vale could not sign on 2023-01-01"),
        ({"on": "2027-01-01"}, "2027-01-01, after the day that is judged (2026-11-25)"),
        ({"on": "2027-01-01", "by": "Nobody"}, "after the day that is judged"),
    ],
)
def test_a_limit_by_nobody_says_who_could_not_set_it(limit: dict[str, str], told: str) -> None:
    (check,) = found(house(**limit))
    assert (check.severity, places(check)) == (Severity.LOW, ["limits limits 0 set_by"])
    assert told in check.message


SIGNERS = (
    "may_sign: [{name: Dr Vale, role: vet, from: 2024-01-01, until: 2025-01-01},"
    " {name: Dr Vale, role: vet, from: 2026-01-01}]"
)


@pytest.mark.parametrize(
    ("on", "may"),
    [("2024-06-01", True), ("2025-01-01", True), ("2025-06-01", False), ("2026-02-01", True)],
)
def test_someone_who_could_sign_twice_may_set_limits_in_either_time(on: str, may: bool) -> None:
    once = "may_sign: [{name: Dr Vale, role: vet, from: 2024-01-01}]"
    settings = records.settings().replace(once, SIGNERS)
    assert (not found(house(on=on), dietcheck=settings)) is may


def test_a_looser_limit_is_told_beside_the_published_one() -> None:
    """E003, Clauss2009tapir: 48 to 86 g of dry matter per kg^0.75."""
    loose = house(quantity="dry-matter-intake", bound="at_most: 90 g per kg^0.75", over="rota")
    (check,) = found(loose)
    assert figures(check.message) == "90 0.75 48 86 0.75"
    assert check.limit is not None
    assert check.limit.standing is Standing.PUBLISHED
    assert [row.set_by for row in check.others] == ["Dr Vale"]
    assert places(check) == ["limits limits 0"]
    lemurs = records.group(species="Lemur catta")
    assert not found(loose, group=lemurs)
    mammals = loose.replace("group: tapir", "taxon: Mammalia")
    assert len(found(mammals)) == 1
    birds = loose.replace("group: tapir", "taxon: Aves")
    assert not found(birds)


ROWS = [row for row in bundled_limits(portion_for_body_mass.describe().folder)
        if row.standing is Standing.PUBLISHED]  # fmt: skip
ROW = next(row for row in ROWS if row.at_most is not None and row.condition is None)
OWN = replace(
    ROW, standing=Standing.SITE_RULE, at_least=None, at_most=ROW.at_most and ROW.at_most + 1
)


@pytest.mark.parametrize(
    ("change", "looser"),
    [
        ({}, True),
        ({"at_most": ROW.at_most}, False),
        ({"at_most": None}, False),
        ({"quantity": "other"}, False),
        ({"basis": "other"}, False),
        ({"unit": "other"}, False),
        ({"over": "other"}, False),
        ({"stage": "growing"}, False),
    ],
)
def test_limits_are_only_compared_where_they_measure_the_same(
    change: dict[str, object], looser: bool
) -> None:
    assert _is_looser(replace(OWN, **change), ROW) is looser


def test_habit_and_superseded_rows_are_no_bar_for_a_house() -> None:
    assert not _is_looser(OWN, replace(ROW, standing=Standing.COMMON_PRACTICE))
    assert not _is_looser(OWN, replace(ROW, condition="superseded edition"))
    grown = replace(ROW, stage="adult")
    assert _is_looser(replace(OWN, stage=None), grown)


PLACE = SourceRef("MSD", "p. 1")


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({}, ""),
        ({"standing": Standing.COMMON_PRACTICE, "sources": ()}, ""),
        ({"sources": ()}, "it names no work"),
        ({"sources": (PLACE, SourceRef("A", ""), SourceRef("B", ""))},
         "A, B is in no bibliography"),
        ({"sources": (SourceRef("MSD", ""),)}, "the place in the work is not said"),
        ({"sources": (SourceRef("MSD", ""), PLACE)}, ""),
        ({"evidence": ""}, "the kind of work is not said"),
        ({"evidence": "", "seen": ""},
         "the kind of work and whether the work was read is not said"),
    ],
)  # fmt: skip
def test_a_published_limit_names_a_known_work_its_place_and_kind(
    change: dict[str, object], told: str
) -> None:
    row: Limit = replace(ROW, **{"sources": (PLACE,), **change})
    assert _missing(row, frozenset({"MSD"})) == told


def test_the_count_names_each_standing_and_lists_the_habits() -> None:
    (counted,) = [check for check in said(house()) if check.about == "limits counted"]
    *kinds, own = figures(counted.message).split()
    assert own == "1"
    assert int(kinds[1]) == len(counted.working) - 1
    assert int(kinds[0]) >= len({row.id for row in ROWS})
    assert list(counted.working[1:]) == sorted(
        counted.working[1:], key=lambda step: step.partition(":")[0]
    )
    assert len(counted.sources) == len(set(counted.sources)) > 0
