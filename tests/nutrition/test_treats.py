"""What is a treat, what is fruit, and how a day is parted. Bundled foods; all else is invented."""

from __future__ import annotations

import pytest

from dietcheck.nutrition.treats import TreatLedger
from dietcheck.quantities import exact
from tests import records


@pytest.mark.parametrize(
    ("more", "is_treat"),
    [("", False), (", treat: training", True), (", treat: medicine vehicle", True)],
)
def test_a_flagged_line_is_a_treat(more: str, is_treat: bool) -> None:
    lines = [f"{{food: carrot, amount: 50 g per animal{more}}}"]
    diet = records.diet(records.small(sheet=records.sheet({"roots": lines})))
    treats = TreatLedger(diet, diet.animals[0]).over(diet.days)
    assert treats.given.grams() == exact(200 if is_treat else 0)
    assert treats.rest.grams() == exact(0 if is_treat else 200)
    assert len(treats.givings) == (4 if is_treat else 0)


def test_the_parts_make_the_whole_ration() -> None:
    files = records.small()
    files["treats.yaml"] = (
        "record: treats\ntreats:\n  - {on: 2026-11-26, group: tapir, purpose: training,"
        " items: [{food: carrot, amount: 50 g per animal}]}\n"
    )
    diet = records.diet(files)
    animal = diet.animals[0]
    for day in diet.days:
        treats = TreatLedger(diet, animal).over([day])
        whole = treats.given.grams() + treats.rest.grams()
        assert whole == diet.day_ration(animal, day).grams()


def test_treats_are_told_apart_by_their_purpose_and_by_their_fruit() -> None:
    """On the first day two kinds of treat, on the second roots alone. A mix holds some fruit."""
    files = records.small(
        foods=records.foods(
            carrot="{same_as: carrot}",
            apple="{same_as: apple}",
            mixed="{mix: {apple: 20 %, carrot: 80 %}}",
        ),
        sheet=records.sheet(
            {
                "roots": ["{food: carrot, amount: 600 g per animal}"],
                "sweet": [
                    "{food: carrot, amount: 5 g per animal, treat: training}",
                    "{food: mixed, amount: 20 g per animal, treat: enrichment}",
                    "{food: apple, amount: 1 g per animal,"
                    " medicine: {drug: paste, by: Dr Vale, from: 2026-11-16, until: 2026-12-20}}",
                    "{food: apple, amount: 300 g per animal}",
                ],
            }
        ),
        rota=records.rota(["{morning: roots, afternoon: sweet}", "{morning: roots}"]),
    )
    diet = records.diet(files)
    animal, (sweet, plain) = diet.animals[0], diet.days

    def ledger(*purposes: str) -> TreatLedger:
        return TreatLedger(diet, animal, frozenset(purposes) if purposes else None)

    every = ledger().over(diet.days)
    assert (every.given.grams(), every.rest.grams()) == (exact(26), exact(1500))
    assert (every.given.days, every.rest.days) == (2, 2)
    assert [portion.food.id for _, portion in every.fruit] == ["mixed", "apple"]
    assert [(when.on, when.slot) for when, _ in every.givings] == [(sweet.on, "afternoon")] * 3
    grams = {
        purpose: ledger(purpose).over([sweet]).given.grams()
        for purpose in ("training", "enrichment", "medicine vehicle", "cognition")
    }
    assert list(grams.values()) == [exact(5), exact(20), exact(1), exact(0)]
    assert ledger().has_any([plain, sweet])
    assert not ledger().has_any([plain])
    assert not ledger("cognition").has_any([sweet])
    assert ledger().bag([sweet, plain]) == ledger().bag([plain, sweet])
    assert len({ledger().bag(days) for days in ([sweet], [plain], [sweet, sweet])}) == 3
