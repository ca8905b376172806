"""What is told of leftovers: how many, of whom, at which line. All is invented."""

from __future__ import annotations

from dietcheck.contract import Verdict
from tests.rules import test_leftovers as leavings
from tests.rules.told import places

BREACH, UNSURE, KEPT = Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT


def test_what_is_left_over_is_told_with_the_most_of_it() -> None:
    line = "{food: grape, amount: 50 g per group}"
    (fruit,) = leavings.spoken(leavings.said("{to: tapir, foods: [grape], share: 20 %}", line))
    assert fruit.working == ("grape: 0 to 10 g left over from one giving",)
    assert (fruit.food, fruit.animals) == ("grape", ("T1",))
    assert [(when.number, when.slot) for when in fruit.occasions] == [
        (1, "morning"),
        (2, "morning"),
    ]
    assert "common practice, no source" in fruit.message
    open_ = leavings.said("{to: tapir, foods: [grape, carrot]}", line)
    (share,) = [one for one in open_ if one.about.endswith("share not written")]
    assert '"grape"' in share.message
    assert places(share) == ["sheet2 leftovers 0"]
    stray = leavings.said("{to: tapir, foods: [grape, onoin], share: 20 %}", line)
    assert {one.food for one in leavings.spoken(stray)} == {"grape", "onoin"}
    assert any("an unknown amount" in step for one in stray for step in one.working)
    pieces = "{food: grape, amount: 2 pieces per group}"
    (vague,) = leavings.spoken(leavings.said("{to: tapir, foods: [grape], share: 9 %}", pieces))
    assert vague.verdict is BREACH
