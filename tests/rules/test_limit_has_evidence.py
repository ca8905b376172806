"""Limits that guard nothing, that nobody set, that cite nothing. Houses and limits are invented."""

from __future__ import annotations

from importlib.resources import files

import pytest

from dietcheck.contract import CONTRACT, Check, Pack, Severity, Standing, Verdict
from dietcheck.screening.engine import run
from dietcheck.screening.packs import rules_of, source_keys
from dietcheck.screening.tables import bundled_limits
from dietcheck_rules import RULES, limit_has_evidence, pack, portion_for_body_mass, rota_balance
from tests import records

HOUSE = (
    "record: limits\nlimits:\n  - {{{who}, quantity: {quantity}, {bound}, over: {over}, "
    "severity: medium, why: test, set_by: {by}, on: {on}{more}}}\n"
)


def house(
    quantity: str = "food-intake",
    bound: str = "at_most: 1 kg per animal",
    who: str = "group: tapir",
    over: str = "day",
    by: str = "Dr Vale",
    on: str = "2026-03-01",
    more: str = "",
) -> str:
    """A limits record with one limit."""
    return HOUSE.format(who=who, quantity=quantity, bound=bound, over=over, by=by, on=on, more=more)


def said(limits: str, **changes: str) -> list[Check]:
    """What the rule says of the small park with a limit of its own, beside the portion rule."""
    files_ = {**records.small(**changes), "limits.yaml": limits}
    both = (limit_has_evidence, portion_for_body_mass, rota_balance)
    whole = Pack("test", "0", CONTRACT, both, pack().sources)
    outcome = run(records.linked(files_), rules_of(whole), records.ON)
    assert not outcome.failures
    return [one.check for one in outcome.judged if one.rule == "limit-has-evidence"]


def breaches(checks: list[Check]) -> list[tuple[str, Severity]]:
    """The beginning of each breach, with its level."""
    return [
        (check.about.partition(":")[0], check.severity)
        for check in checks
        if check.verdict is Verdict.BREACH
    ]


DEAD = [("limit guards nothing", Severity.MEDIUM)]
NOBODY = [("limit by nobody", Severity.LOW)]
LOOSER = [("limit looser than the published one", Severity.LOW)]


def test_a_limit_that_a_rule_reads_is_counted_and_nothing_more() -> None:
    checks = said(house())
    assert not breaches(checks)
    assert "1 site rules" in checks[-1].message


def test_a_quantity_that_no_rule_reads_guards_nothing() -> None:
    checks = said(house(quantity="food-intakes"))
    assert breaches(checks) == DEAD
    assert "food-intake" in checks[0].advice
    assert checks[0].places[0].path[-1] == "quantity"


def test_a_limit_on_one_food_is_read_only_for_how_often_it_comes() -> None:
    on_carrot = ", food: carrot"
    often = {"quantity": "same-item", "bound": "at_most: 4 days", "over": "7 days"}
    assert breaches(said(house(**often, more=on_carrot))) == []
    assert breaches(said(house(**often, more=", food: root vegetable"))) == []
    assert breaches(said(house(**often, more=", food: carot"))) == DEAD
    assert breaches(said(house(more=on_carrot))) == DEAD


def test_a_count_where_rules_measure_guards_nothing() -> None:
    assert breaches(said(house(bound="at_most: 3 feeds"))) == DEAD


@pytest.mark.parametrize(
    "who", ["taxon: Tapirus terestris", "taxon: Tapiruss", "group: tapirs", "group: otter"]
)
def test_a_name_that_does_not_exist_guards_nothing(who: str) -> None:
    assert breaches(said(house(who=who))) == DEAD


@pytest.mark.parametrize("who", ["taxon: Mammalia", "taxon: Aves", "taxon: Callitrichidae"])
def test_any_name_that_the_table_knows_will_do(who: str) -> None:
    """Birds may come yet; the older name of the marmosets' family is understood."""
    assert not breaches(said(house(who=who)))


def test_a_name_from_a_lineage_that_a_group_gives_is_known() -> None:
    group = records.group(species="Tapirus kabomani").replace(
        "enclosure", "lineage: [Mammalia, Perissodactyla, Tapiridae, Inventus]\nenclosure"
    )
    assert not breaches(said(house(who="taxon: Inventus"), group=group))


def test_a_stage_that_no_animal_is_ever_in_guards_nothing() -> None:
    assert breaches(said(house(more=", stage: cub"))) == DEAD
    assert not breaches(said(house(more=", stage: infant")))


@pytest.mark.parametrize(
    ("by", "on", "found"),
    [
        ("Dr Vale", "2024-01-01", []),
        ("Dr Vale", "2023-12-31", NOBODY),
        ("Dr Vale", "2026-11-26", NOBODY),
        ("Somebody", "2026-03-01", NOBODY),
    ],
)
def test_whoever_sets_a_limit_may_sign_on_that_day(
    by: str, on: str, found: list[tuple[str, Severity]]
) -> None:
    """Dr Vale may sign from 2024-01-01; today is 2026-11-25."""
    assert breaches(said(house(by=by, on=on))) == found


@pytest.mark.parametrize(
    ("bound", "found"),
    [
        ("at_most: 86 g per kg^0.75", []),
        ("at_most: 80 g per kg^0.75", []),
        ("at_most: 90 g per kg^0.75", LOOSER),
        ("at_least: 40 g per kg^0.75", LOOSER),
        ("at_least: 50 g per kg^0.75", []),
        ("at_most: 5 % of body mass", []),  # another basis: not comparable
    ],
)
def test_a_limit_looser_than_the_published_one_is_said(
    bound: str, found: list[tuple[str, Severity]]
) -> None:
    """Tapirs, 48 to 86 g dry matter per kg^0.75 over the rota: E003, Clauss2009tapir, abstract."""
    assert breaches(said(house(quantity="dry-matter-intake", bound=bound, over="rota"))) == found


def test_a_published_limit_whose_work_is_in_no_bibliography_is_found() -> None:
    without = Pack("test", "0", CONTRACT, (limit_has_evidence, portion_for_body_mass))
    outcome = run(records.linked(records.small()), rules_of(without), records.ON)
    found = [
        one.check
        for one in outcome.judged
        if one.rule == "limit-has-evidence" and one.check.verdict is Verdict.BREACH
    ]
    assert {check.severity for check in found} == {Severity.MEDIUM}
    assert len(found) == sum(
        row.standing is Standing.PUBLISHED for row in bundled_limits(files(portion_for_body_mass))
    )


def test_common_practice_is_listed_in_the_ledger() -> None:
    (counted,) = [check for check in said(house()) if check.about == "limits counted"]
    assert counted.verdict is Verdict.KEPT
    assert any("plausible-dry-matter" in line for line in counted.working)
    assert not any("dry-matter-intake" in line for line in counted.working)


def test_a_limit_of_a_rule_that_is_switched_off_is_still_read() -> None:
    off = (
        "rules: [{rule: portion-for-body-mass, set: off, why: test, set_by: Dr Vale, "
        "on: 2026-03-01}]"
    )
    assert not breaches(said(house(), dietcheck=records.settings(more=off)))


def test_every_bundled_limit_that_calls_itself_published_leads_to_a_work() -> None:
    known = source_keys(pack())
    for loaded in rules_of(Pack("all", "0", CONTRACT, RULES)):
        if loaded.rule.has_limits:
            for row in bundled_limits(loaded.rule.folder):
                if row.standing is Standing.PUBLISHED:
                    assert {ref.key for ref in row.sources} <= known, (loaded.rule.id, row.id)


def test_a_bibliography_that_cannot_be_read_holds_no_works() -> None:
    class Broken:
        """A file that is not YAML."""

        def read_bytes(self) -> bytes:
            return b"sources: [{"

    broken = Pack("test", "0", CONTRACT, (), Broken())  # type: ignore[arg-type]
    assert source_keys(broken) == frozenset()
