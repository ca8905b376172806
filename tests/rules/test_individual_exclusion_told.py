"""What is told of food kept from one animal: how many, of whom, at which line. All is invented."""

from __future__ import annotations

from dietcheck.contract import Verdict
from tests.rules import test_individual_exclusion as kept_from
from tests.rules.told import places

BREACH, UNSURE, KEPT = Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT


def test_what_an_animal_must_never_have_is_summed_and_each_line_told() -> None:
    """Two feeds of a tenth of 600 g are 120 g a day."""
    (check,) = kept_from.said("{food: mash, amount: 600 g per animal}", "banana")
    assert 'is offered up to 120 g a day of "banana" (in mash), which' in check.message
    assert check.working == (
        "mash, 600 g per animal, for the whole group: 120 g of banana laid out",
    )
    assert places(check) == ["sheet roots 0 food", "group animals 0"]
    assert [when.slot for when in check.occasions] == ["afternoon", "morning"] * 2
    other = "{food: banana, amount: 60 g per animal, for: [T2]}"
    (reach,) = kept_from.said(other, "banana")
    assert "can get at, since the group is not fed apart" in reach.message
    assert reach.measured is None
    assert reach.working == ("banana, 60 g per animal, for T2: 60 g of banana laid out",)
    (pieces,) = kept_from.said("{food: mash, amount: 2 pieces per animal}", "banana")
    assert "an amount not known in grams" in pieces.working[0]
    assert pieces.measured is None


def test_a_clinical_state_quotes_the_record_and_how_well_it_is_known() -> None:
    checks = kept_from.said("{food: banana, amount: 60 g per animal}", health="Diabetic")
    (check,) = [one for one in checks if one.verdict is BREACH]
    assert 'and its record says "Diabetic" (' in check.message
    assert len(check.working) == 2
    assert not [one for one in checks if one.verdict is KEPT]


def test_an_unknown_state_hides_no_known_one_and_a_known_word_is_not_asked_about() -> None:
    checks = kept_from.said("{food: banana, amount: 60 g per animal}", health="sore foot, diabetes")
    assert {one.verdict for one in checks} == {Verdict.NOT_APPLICABLE, BREACH}
    words = kept_from.said(never="bannana, carrots, grape, puddings")
    assert [one.about for one in words if one.verdict is UNSURE] == ['T1: "bannana" under never']
    (open_,) = [one for one in words if one.verdict is UNSURE]
    assert places(open_) == ["group animals 0 never"]
