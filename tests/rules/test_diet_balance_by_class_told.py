"""What is told of feeds a day: how many, of whom, at which line. All is invented."""

from __future__ import annotations

from dietcheck.contract import Severity, Verdict, exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import (
    diet_balance_by_class,
)
from tests import records
from tests.rules import test_diet_balance_by_class as balance
from tests.rules.told import figures, places

BREACH, UNSURE, KEPT = Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT


def feeds(bound: str, over: str = "day") -> list[str]:
    """A limit of the house on the feeds of a day."""
    return [f"{{group: tapir, quantity: meals-per-day, {bound}, over: {over}, {balance.SITE}}}"]


ONCE = ["{morning: meal, afternoon: meal}", "{morning: meal, afternoon: no feed}",
        "{fast: planned}"]  # fmt: skip
PELLET = [balance.line("pellet", 200)]


def test_the_day_with_fewest_feeds_is_named() -> None:
    files = records.small(
        dietcheck=records.settings(rota_days=3),
        foods=records.foods(pellet=balance.FOODS["pellet"]),
        sheet=records.sheet({"meal": PELLET}),
        rota=records.rota(ONCE),
        limits=f"record: limits\nlimits:\n  - {feeds('at_least: 2 feeds')[0]}\n",
    )
    found = checks_of(outcome_of(diet_balance_by_class, files, records.ON), "tapir")
    check, kept = [one for one in found if one.about == "feeds a day"]
    assert kept.verdict is KEPT
    assert (check.verdict, check.severity) == (BREACH, Severity.MEDIUM)
    assert check.measured is not None
    assert check.measured.value == exact(1)
    (when,) = {one.number for one in check.occasions}
    assert f"on rota day {when}" in check.message
    assert "over more feeds" in check.advice
    assert check.working[0].endswith(": morning")
    assert figures(check.working[1]) == "1 3"
    assert places(check) == [f"rota days {when - 1}"]


def test_too_many_feeds_and_enough_of_them() -> None:
    many = balance.said(PELLET, "Tapirus terrestris", ONCE[:1], feeds("at_most: 1 feed"))
    assert "over fewer feeds" in many["feeds a day"].advice
    assert many["feeds a day"].working[0].endswith(": morning, afternoon")
    fine = balance.said(PELLET, "Tapirus terrestris", ONCE, feeds("at_most: 2 feeds"))
    kept = fine["feeds a day"]
    assert (kept.verdict, kept.advice, kept.working, kept.places, kept.occasions) == (
        KEPT, "", (), (), (),
    )  # fmt: skip
    for bound, over in (("at_most: 2 days", "day"), ("at_most: 2 feeds", "rota")):
        odd = balance.said(PELLET, "Tapirus terrestris", ONCE, feeds(bound, over))["feeds a day"]
        assert (odd.verdict, places(odd)) == (UNSURE, ["limits limits 0"])
    fast = balance.said(PELLET, "Tapirus terrestris", ONCE[2:], feeds("at_most: 2 feeds"))
    assert fast["feeds a day"].verdict is Verdict.NOT_APPLICABLE


def test_a_house_limit_beside_the_bundled_shares_leaves_no_word_of_nothing() -> None:
    found = balance.said(PELLET, balance.GORILLA, limits=feeds("at_most: 9 feeds"))
    assert "balance" not in found
