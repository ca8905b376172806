"""What is told of a limit that became weaker: what it was, what it is, whom it guarded, where it
stands. Everything is invented.
"""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck_rules import limit_loosened
from dietcheck_rules.limit_loosened.weakened import unread
from tests import records
from tests.records import linked
from tests.rules.past_records import findings, said
from tests.rules.test_limit_loosened import IVY, LIMIT, OFF, SIGNED, park, signed
from tests.rules.told import figures, places

BOTH = LIMIT.replace("at_most: 6", "at_least: 2 % of dry matter, at_most: 6")
LISTED = f"do_not_feed: [{IVY}]"


def one(before: dict[str, str], after: dict[str, str]) -> Check:
    """The one thing that is said of a change."""
    (check,) = said(limit_loosened, before, after)
    return check


def test_a_limit_is_told_as_it_was_and_as_it_is_and_who_had_set_it() -> None:
    check = one(park(BOTH), park(BOTH.replace("6 %", "8 %")))
    assert figures(check.message) == "2 6 2 8"
    assert "needs its own sign-off" in check.message
    assert figures(*check.working) == "2026 01 01"
    assert places(check) == ["limits limits 0"]
    assert (check.animals, "sign --limits" in check.advice) == ((), True)
    gone = one(park(BOTH), park(grams=700))
    assert figures(gone.message) == "2 6"
    assert "is gone" in gone.message
    assert "the diet of Brazilian tapir changes" in gone.message
    assert places(gone) == ["dietcheck"]
    assert (gone.animals, gone.group) == (("T1",), "tapir")
    assert gone.advice.startswith("Put it back")


@pytest.mark.parametrize(
    ("loose", "weaker"),
    [
        ("at_least: 2 % of dry matter, at_most: 6 % of dry matter", False),
        ("at_least: 3 % of dry matter, at_most: 5 % of dry matter", False),
        ("at_least: 1 % of dry matter, at_most: 6 % of dry matter", True),
        ("at_least: 2 % of dry matter", True),
        ("at_most: 6 % of dry matter", True),
        ("at_least: 2 % of dry matter, at_most: 6 mg per kg dry matter", True),
    ],
)
def test_both_ends_of_a_limit_must_be_kept(loose: str, weaker: bool) -> None:
    """In another unit nobody can tell, which is no pass."""
    bounds = "at_least: 2 % of dry matter, at_most: 6 % of dry matter"
    check = one(park(BOTH), park(BOTH.replace(bounds, loose)))
    assert (check.verdict is Verdict.BREACH) is weaker


def test_limits_of_other_foods_stages_and_spans_are_no_stand_in() -> None:
    carrots = LIMIT.replace("quantity", "food: carrot, quantity")
    for change in (carrots, LIMIT.replace("over", "stage: growing, over"),
                   LIMIT.replace("over: day", "over: 7 days")):  # fmt: skip
        check = one(park(change), park(LIMIT))
        assert check.verdict is Verdict.BREACH
        assert "is gone" in check.message
    assert "sugars of carrot for tapir" in one(park(carrots), park()).message
    growing = one(park(LIMIT.replace("over", "stage: growing, over")), park())
    assert growing.about.endswith("over day growing")
    assert one(park(LIMIT), park()).about.endswith("over day")


def test_each_way_an_entry_of_the_do_not_feed_list_guards_less_is_named() -> None:
    after = IVY
    for old, new in (
        ("[tapir, Aves]", "[Aves]"),
        ("[hedera]", "[bindwood]"),
        ("severity: high", "severity: low"),
        ("organism: Hedera helix", "part: root"),
    ):
        after = after.replace(old, new)
    check = one(park(more=LISTED), park(more=f"do_not_feed: [{after}]"))
    assert check.message.partition("guards less: ")[2].partition(". ")[0].split(", ") == [
        "no longer for tapir",
        "without the name hedera",
        "low where it was high",
        "organism left out where it was Hedera helix",
        "part root where it was any",
    ]
    assert places(check) == ["dietcheck do_not_feed 0"]
    assert figures(*check.working) == "2026 01 01"
    gone = one(park(more=LISTED), park())
    assert '"ivy" for tapir, Aves is gone' in gone.message
    assert places(gone) == ["dietcheck"]


@pytest.mark.parametrize(
    ("old", "new", "weaker"),
    [
        ("part: root", "", False),  # more is found where no part is asked for
        ("part: root", "part: leaf", True),
        ("form: dried", "", False),
        ("", "form: dried", True),
        ("organism: Hedera helix", "organism: Taxus baccata", True),
        ("", "organism: Hedera helix", False),
        ("also_called: [hedera]", "also_called: [hedera, bindwood]", False),
    ],
)
def test_an_entry_that_finds_as_much_is_kept(old: str, new: str, weaker: bool) -> None:
    entry = (
        "{name: ivy, MORE for: [tapir], severity: high, why: w, set_by: Dr Vale, on: 2026-01-01}"
    )

    def listed(more: str) -> dict[str, str]:
        return park(more=f"do_not_feed: [{entry.replace('MORE', more and more + ',')}]")

    assert (one(listed(old), listed(new)).verdict is Verdict.BREACH) is weaker


def test_a_name_written_in_capitals_is_the_same_entry() -> None:
    shouted = LISTED.replace("name: ivy", "name: IVY")
    assert one(park(more=LISTED), park(more=shouted)).verdict is Verdict.KEPT


@pytest.mark.parametrize(
    ("before", "after", "weaker"),
    [
        ("", "off", True),
        ("", "medium", True),
        ("", "high", False),
        ("high", "medium", True),
        ("high", "high", False),
        ("medium", "low", True),
        ("medium", "", False),
        ("off", "low", False),
        ("high", "", True),
    ],
)
def test_a_rule_set_lower_than_it_was_or_as_it_comes(before: str, after: str, weaker: bool) -> None:
    check = one(park(more=before and OFF % before), park(more=after and OFF % after))
    assert (check.verdict is Verdict.BREACH) is weaker
    if weaker:
        assert f"was {before or 'as it comes'}" in check.message or not after
        assert figures(*check.working) == "2026 11 01"
        assert places(check) == ["dietcheck rules 0" if after else "dietcheck"]


def test_what_is_no_longer_kept_from_an_animal_is_named() -> None:
    never = "{id: T1, name: Pip, never: [grape, banana, fig]}"
    before = park(group=records.group(animals=[never, "{id: T2, never: [fig]}"]))
    after = park(
        group=records.group(
            animals=["{id: T1, name: Pip, never: [grape]}", "{id: T3, never: [fig]}"]
        ),
        second=records.group(id="new", animals=["{id: N1}"]),
    )
    check = one(before, after)
    assert "banana, fig is no longer" in check.message
    assert places(check) == ["group animals 0"]
    assert check.group == "tapir"


TWO = records.group(animals=["{id: T1}", "{id: T2}"])


@pytest.mark.parametrize(
    ("old", "new", "grew"),
    [
        ({"animals": "T1, T2"}, {"animals": "T1"}, False),
        ({"animals": "T1"}, {"animals": "T2"}, True),
        ({"animals": ""}, {"animals": "T1"}, False),
        ({"animals": "T1"}, {"animals": ""}, True),
        ({"food": "", "up_to": ""}, {}, False),
        ({}, {"food": "", "up_to": ""}, True),
        ({}, {"food": "food: grape,"}, True),
        ({"up_to": ", up_to: 4 g"}, {}, False),
        ({"up_to": ", up_to: 2 g"}, {}, True),
        ({}, {"up_to": ", up_to: 3 g"}, False),
        ({"rule": "reach"}, {}, True),
    ],
)
def test_an_acceptance_grows_by_animals_food_amount_or_rule(
    old: dict[str, str], new: dict[str, str], grew: bool
) -> None:
    def accepted(changes: dict[str, str]) -> dict[str, str]:
        is_ = {"animals": "T1", "food": "food: carrot,", "up_to": ", up_to: 3 g",
               "rule": "sugar-ceiling"} | changes  # fmt: skip
        whose = f"animals: [{is_['animals']}]," if is_["animals"] else ""
        return park(
            group=TWO,
            foods=records.foods(carrot="{same_as: carrot}", grape="{same_as: grape}"),
            signed="record: sign-off\nby: Dr Vale\nrole: vet\non: 2026-11-10\ngroups: [tapir]\n"
            f"accepts:\n  - {{rule: {is_['rule']}, group: tapir, {is_['food']} {whose}"
            f" reason: test, until: 2026-12-31{is_['up_to']}}}\n",
        )

    check = one(accepted(old), accepted(new))
    assert (check.verdict is Verdict.BREACH) is grew
    if grew:
        assert figures(check.message) == "2026 11 10"
        assert figures(*check.working) == "2026 12 31"
        assert places(check) == ["signed accepts 0"]
        assert ("(carrot)" in check.message) is ("food" not in new)


def test_an_acceptance_added_to_an_old_signature_grew() -> None:
    more = "  - {rule: reach, group: tapir, reason: test, until: 2026-12-31}\n"
    (check,) = findings(said(limit_loosened, park(signed=signed()), park(signed=signed() + more)))
    assert "reach for tapir" in check.message
    new_group = SIGNED.format(on="2026-11-10", animals="T1", until="2026-12-31", up_to="3 g")
    assert check.severity is Severity.MEDIUM
    assert new_group


def test_hidden_records_are_counted_and_packs_told_once() -> None:
    files = ["a/one.yaml", "a/two.yaml", "ab.yaml", "b.yaml"]
    after = linked(park(more="leave_out: [a/, b.yaml, c]"))
    found = list(unread(linked(park()), after, files))
    assert [one.about.partition(": ")[2] for one in found] == ["a", "b.yaml"]
    assert found[0].what.endswith("a/one.yaml and 1 more")
    assert found[1].what.endswith("b.yaml")
    assert all(one.concerns(group) for one in found for group in after.groups.values())
