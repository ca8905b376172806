"""What is told of whole prey: on which days, how much, of how many. Foods and amounts are invented
and without water; at most 2 feeds in 7 days and 10 % of dry matter are common practice, no source.
"""

from __future__ import annotations

from dietcheck.contract import Check, Severity, Standing, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import fat_and_whole_prey
from tests import records
from tests.rules.test_fat_and_whole_prey import FOODS, PLAIN, PREY, TWICE, said
from tests.rules.told import figures, places

HOUSE = (
    "{group: tapir, quantity: %s, at_most: %s, over: %s, severity: medium, why: x,"
    " set_by: Dr Vale, on: 2026-01-01}"
)


def house(checks: tuple[Check, ...]) -> list[Check]:
    """Those held against a limit of the house."""
    return [c for c in checks if c.limit and c.limit.standing is Standing.SITE_RULE]


def test_the_days_with_prey_are_named_and_pointed_at() -> None:
    """Three feeds of 1 g; 3 of 1403 g are 0.214 %, 10.02 % of it all is fat."""
    often, share = said([PREY, PLAIN, PLAIN, PREY, PLAIN, PREY, PLAIN])
    working = "1 4 6 3 7 | 3 7 | 0.214 | 10 | 19.1 11.6 2014"
    assert (figures(*often.working), figures(*share.working)) == (working, working)
    assert figures(often.message) == "1 1 3 7 2"
    assert places(often) == ["rota days 0", "rota days 3", "rota days 5", "sheet prey 1 food"]
    assert len(often.occasions) == 7
    assert often.advice.startswith("Feed the last approved rota")
    assert (share.verdict, share.advice, share.places, share.occasions) == (
        Verdict.KEPT, "", (), (),
    )  # fmt: skip
    assert figures(share.message) == "1 1 0.214 10"
    assert [ref.key for ref in often.sources] == ["Strike2014"]


def test_a_great_feast_shows_in_the_share_and_the_whole_rota() -> None:
    """400 g of 3200 g are 12.5 %; with 20 % fat instead of 10 % the mean is 11.25 %."""
    often, share = said([PREY] + [PLAIN] * 13, grams=400)
    assert (often.verdict, share.verdict) == (Verdict.KEPT, Verdict.BREACH)
    assert figures(*often.working[:5]) == "1 1 7 | 400 7 | 1 1 14 | 12.5 | 11.2"
    assert figures(*share.working[:4]) == "1 1 14 | 400 14 | 12.5 | 11.2"
    assert places(share) == ["rota days 0", "sheet prey 1 food"]


def test_many_days_with_prey_are_pointed_at_up_to_five() -> None:
    (check,) = said([PREY] * 7, grams=1)[:1]
    assert [place for place in places(check) if place.startswith("rota")] == [
        f"rota days {number}" for number in range(5)
    ]


def test_a_food_of_no_class_settles_the_count_and_the_share() -> None:
    often, share = said([PREY] * 3, food="nameless", grams=30)
    assert often.verdict is share.verdict is Verdict.CANNOT_TELL
    assert figures(often.message) == "1 1 0 7 7 2"
    assert figures(share.message) == "1 1 0 13.1 10"
    assert "nameless" in often.settles
    assert "kibble" not in often.settles
    assert often.advice.startswith("Settle")
    assert "sheet prey 1 food" in places(share)


def test_a_cap_of_the_house_over_a_day_counts_one_day() -> None:
    limits = HOUSE % ("whole-prey-feeds", "1 feed", "day")
    (once,) = house(said([PREY, PLAIN], limits=limits))
    assert (once.verdict, figures(once.message)) == (Verdict.KEPT, "1 1 1 1 2026 01 01")
    (twice,) = house(said([TWICE, PLAIN], limits=limits))
    assert (twice.verdict, figures(twice.message)) == (Verdict.BREACH, "1 1 2 1 2026 01 01")
    assert [when.number for when in twice.occasions] == [1]


def test_a_share_in_a_day_is_that_of_the_worst_day() -> None:
    """30 of 230 g are 13 % of the second day, none of the first."""
    limits = HOUSE % ("whole-prey-share", "5 % of dry matter", "day")
    days = [PLAIN, PREY] + [PLAIN] * 6
    (check,) = house(said(days, grams=30, limits=limits))
    assert (check.verdict, [when.number for when in check.occasions]) == (Verdict.BREACH, [2])
    assert figures(check.message) == "1 1 13 5 2026 01 01"


def test_a_cap_in_another_unit_tells_the_unit_that_can_be_counted() -> None:
    for quantity, bound, unit in (
        ("whole-prey-share", "5 feeds", "% of dry matter"),
        ("whole-prey-feeds", "5 % of dry matter", "feeds,"),
        ("whole-prey-feeds", "5 feeds", "feeds,"),
    ):
        over = "day" if bound != "5 feeds" or "share" in quantity else "14 days"
        (check,) = house(said([PREY, PLAIN], limits=HOUSE % (quantity, bound, over)))
        assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.MEDIUM)
        assert f"Write it in {unit}" in check.advice
        assert places(check) == ["limits limits 0"]


def test_only_the_animals_that_get_prey_are_named() -> None:
    files = records.small(
        group=records.group(species="Suricata suricatta", animals=["{id: M1}", "{id: M2}"]),
        foods=records.foods(**FOODS),
        sheet=records.sheet(
            {
                "kibble": ["{food: kibble, amount: 100 g per animal}"],
                "prey": [
                    "{food: kibble, amount: 100 g per animal}",
                    "{food: mouse, amount: 40 g per animal, for: [M2]}",
                ],
            }
        ),
        rota=records.rota(["{morning: kibble, afternoon: prey}"] * 2),
    )
    found = checks_of(outcome_of(fat_and_whole_prey, files, records.ON), "tapir")
    assert {check.animals: check.verdict for check in found if "often" in check.about} == {
        ("M2",): Verdict.BREACH,
        ("M1",): Verdict.KEPT,
    }
    assert figures(next(c for c in found if c.animals == ("M2",)).message) == "2 7 7 2"


def test_a_stage_without_a_cap_is_told_by_name() -> None:
    limits = (HOUSE % ("whole-prey-feeds", "1 feed", "7 days")).replace(
        "over", "stage: growing, over"
    )
    files = records.small(
        group=records.group(
            species="Python regius",
            animals=["{id: P1, stage: adult}", "{id: P2, stage: growing}"],
        ),
        foods=records.foods(**FOODS),
        sheet=records.sheet({"prey": ["{food: mouse, amount: 40 g per animal}"]}),
        rota=records.rota(["{morning: prey, afternoon: prey}"] * 2),
        limits=f"record: limits\nlimits:\n  - {limits}\n",
    )
    found = checks_of(outcome_of(fat_and_whole_prey, files, records.ON), "tapir")
    assert {check.verdict for check in found} == {Verdict.NOT_APPLICABLE, Verdict.BREACH}
    (none,) = [check for check in found if check.verdict is Verdict.NOT_APPLICABLE]
    assert none.message.startswith("P1: no cap")
