"""What several small rules tell: how many, how much, of whom, at which line. All is invented."""

from __future__ import annotations

from datetime import date

import pytest

from dietcheck.contract import Severity, Verdict, exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import (
    back_dated,
    batch_limit,
    composition_known,
    diet_balance_by_class,
    head_count,
)
from dietcheck_rules.look_alike_food.pairs import _is_one_slip
from tests import records
from tests.rules import test_back_dated as dated
from tests.rules import test_batch_limit as batch
from tests.rules import test_composition_known as composed
from tests.rules import test_diet_balance_by_class as balance
from tests.rules import test_head_count as heads
from tests.rules import test_individual_exclusion as kept_from
from tests.rules import test_iron_ceiling as iron
from tests.rules import test_leftovers as leavings
from tests.rules import test_look_alike_food as alike
from tests.rules import test_medicine_in_food as medicine
from tests.rules.levels_records import line
from tests.rules.past_records import said as past_said
from tests.rules.told import figures, places

BREACH, UNSURE, KEPT = Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT


# -- back-dated ----------------------------------------


@pytest.mark.parametrize(("changed", "more"), [(4, ""), (5, "and 1 more"), (6, "and 2 more")])
def test_of_many_entries_written_later_four_are_named(changed: int, more: str) -> None:
    def herd(mass: int) -> str:
        return records.group(
            animals=[
                f"{{id: T{n}, weighings: [{{on: 2026-11-20, mass: {mass} kg}}]}}"
                for n in range(changed)
            ]
        )

    (check,) = past_said(back_dated, dated.park(group=herd(190)), dated.park(group=herd(200)))
    assert check.message.count("200") == 4
    assert ("more" in check.message) is bool(more)
    assert more in check.message
    assert len(check.working) == changed
    assert check.animals == tuple(f"T{n}" for n in range(changed))
    assert places(check)[0] == "group 0 weighings 0"


def test_an_entry_that_is_gone_points_at_the_group() -> None:
    gone = dated.park(treats=dated.TREAT % ("2026-11-26", "10"))
    (check,) = past_said(back_dated, dated.park(), gone)
    assert places(check) == ["group"]
    assert check.animals == ()


# -- head-count ----------------------------------------


def test_the_heads_of_then_and_now_are_told() -> None:
    """9 / 7 is 28.6 % more for each of those that stay."""
    (check,) = heads.said(heads.herd(9, gone=2))
    assert figures(check.message) == "9 2026 01 01 2026 11 24 7"
    assert "gets more" in check.message
    assert figures(*check.working) == "9 7 9 7 10"
    assert places(check) == ["sheet meals roots 0"]
    (less,) = heads.said(heads.herd(12), heads=10)
    assert "gets less" in less.message
    assert "as the sheet says" in less.message
    (first,) = heads.said(heads.herd(9, gone=3, until="2026-11-24"))
    assert "on 2026-11-25" in first.message  # the first day on which they are gone


@pytest.mark.parametrize(
    ("count", "sheet", "verdict"),
    [("28 to 32", 30, KEPT), ("20 to 40", 30, UNSURE), ("10 to 20", 30, BREACH),
     ("40 to 50", 30, BREACH), ("30", 30, KEPT), ("28 to 34", 30, UNSURE)],
)  # fmt: skip
def test_a_colony_is_counted_as_a_range(count: str, sheet: int, verdict: Verdict) -> None:
    """30 / 28 is 7 % more and 30 / 34 12 % less; a tenth is let pass (common practice)."""
    colony = (
        "record: group\nid: tapir\nspecies: Extatosoma tiaratum\nenclosure: Box\nfed: together\n"
        f"colony: {{count: {count}, mass: 20 g, on: 2026-11-01}}\n"
    )
    sheet_ = records.sheet({"roots": ["{food: carrot, amount: 9 g per group}"]})
    files = records.small(group=colony, sheet=f"{sheet_}heads: {sheet}\n")
    outcome = outcome_of(head_count, files, records.ON)
    (check,) = checks_of(outcome, "tapir")
    assert check.verdict is verdict
    assert bool(check.settles) is (verdict is UNSURE)
    if verdict is UNSURE:
        assert count in check.message


# -- individual-exclusion ----------------------------------------


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


# -- leftovers ----------------------------------------


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


# -- medicine-in-food ----------------------------------------


@pytest.mark.parametrize(
    ("order", "words", "at"),
    [
        ({"until": "2026-11-24"}, "ended on 2026-11-24, 1 day ago", "until"),
        ({"until": "2026-11-22"}, "ended on 2026-11-22, 3 days ago", "until"),
        ({"start": "2026-11-26"}, "begins on 2026-11-26", "from"),
        ({"by": "Mina Okoro"}, "Mina Okoro, who is no vet under may_sign on 2026-11-16", "by"),
    ],
)
def test_an_order_that_does_not_hold_says_why(order: dict[str, str], words: str, at: str) -> None:
    found = [one for one in medicine.said(**order) if words in one.message]
    (check,) = found
    assert check.message.startswith("T1: ")
    assert places(check) == [f"sheet 0 medicine {at}", "sheet roots 0 food"]
    assert (check.animals, check.food) == (("T1",), "carrot")
    assert check.occasions


def test_a_course_that_ends_within_the_rota_names_the_day_after() -> None:
    ordered = medicine.ordered(until="2026-11-24")
    (check,) = [
        one
        for one in medicine.judged(f"for: [T1], {ordered}", on=date(2026, 11, 24))
        if one.verdict is BREACH
    ]
    assert figures(check.message) == "1 2026 11 24 2026 11 25"
    assert places(check)[0] == "sheet 0 medicine until"


def test_who_can_eat_it_too_is_named_and_the_order_told_where_all_is_well() -> None:
    (check,) = medicine.said(fed="together")
    assert places(check)[0] == "sheet 0 medicine drug"
    both = medicine.said(fed="together", enclosure="Paddock")[0]
    assert both.message.startswith("T2, ")
    (kept,) = medicine.said()
    assert (kept.verdict, kept.food, kept.animals) == (KEPT, "carrot", ("T1",))
    assert figures(kept.message) == "1 2026 12 31"
    (dose,) = medicine.said(dose="")
    assert (dose.about, places(dose), dose.animals) == ("dose", ["sheet meals roots 0"], ("T1",))
    (patient,) = medicine.said(whom="")
    assert (patient.about, patient.animals) == ("patient", ("T1", "T2"))
    (bare,) = medicine.judged("for: [T1]")
    assert bare.message.startswith("T1: ")


# -- composition-known ----------------------------------------


def test_missing_figures_are_asked_for_with_what_they_may_bring() -> None:
    lines = [
        "{food: chop, amount: 850 g per animal}",
        "{food: blank, amount: 150 g per animal}",
    ]
    (check,) = composed.said(*lines, chop=composed.CHOP, blank=composed.BLANK)
    assert check.food == "blank"
    assert any("makes 15 % of the food" in step for step in check.working)
    assert "reported from 10 % on" in check.working[-1]
    assert places(check) == ["foods foods blank", "sheet meals roots 1"]
    assert len(check.weak) == len(check.working) - 1
    assert check.advice.startswith("Copy the figures")


def test_borrowed_figures_say_that_they_are_another_foods() -> None:
    found = composed.said(
        "{food: parsnip, amount: 600 g per animal}",
        parsnip="{same_as: carrot, stands_in: yes, why: no row for it}",
    )
    (check,) = [one for one in found if one.about == "composition borrowed"]
    assert "a similar food stand in for" in check.message
    assert check.advice.startswith("An analysis or a label of parsnip itself")


@pytest.mark.parametrize(
    ("amount", "question", "remedy"),
    [
        ("2 pieces", "What does one big chop weigh?", "piece: 50 to 70 g, under big-chop"),
        ("20 ml", "What does a millilitre of big chop weigh?", "density: 1.03 g/ml"),
        ("2000 IU", "How many IU of which nutrient are in big chop?", "its label, in IU"),
    ],
)
def test_an_amount_that_is_no_mass_asks_its_question(
    amount: str, question: str, remedy: str
) -> None:
    line = f"{{food: big-chop, amount: {amount} per animal}}"
    found = composed.said(line, line, big_chop=composed.CHOP)
    (check,) = [one for one in found if one.about.startswith("not in grams")]
    assert check.settles == question
    assert remedy in check.advice
    assert places(check) == ["sheet roots 0 amount", "sheet roots 1 amount"]
    assert check.message.count(amount) == 1


def test_where_nothing_is_fed_no_composition_is_asked_for() -> None:
    files = records.small(rota=records.rota(["{fast: planned}"] * 2))
    for found in (checks_of(outcome_of(composition_known, files, records.ON), "tapir"),):
        assert {one.verdict for one in found} == {Verdict.NOT_APPLICABLE}


# -- diet-balance-by-class ----------------------------------------


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


# -- look-alike-food ----------------------------------------


@pytest.mark.parametrize(
    ("one", "other", "slip"),
    [("leek", "leak", True), ("carp", "crap", True), ("pear", "pea", True), ("pea", "pear", True),
     ("leek", "laek", True), ("leek", "look", False), ("abcd", "badc", False),
     ("acorn", "corn", True), ("pear", "pears", True), ("pear", "peares", False),
     ("mix 1", "mix 2", False), ("mix 1", "mix", False), ("leek", "leek", False),
     ("abcd", "cbad", False), ("abcd", "axcy", False), ("abca", "acba", True)],
)  # fmt: skip
def test_one_letter_is_a_slip_and_two_are_none_unless_neighbours(
    one: str, other: str, slip: bool
) -> None:
    assert _is_one_slip(one, other) is slip


def test_a_pair_tells_why_and_whom_the_other_one_harms() -> None:
    """Grapes harm dogs by the table of toxic-item; blackcurrants do not."""
    foods = {
        "blackcurrant": alike.plant("Ribes nigrum", "part: fruit, also_called: [currant]"),
        "vine-fruit": alike.plant("Vitis vinifera", "part: fruit, also_called: [currants]"),
    }
    (check,) = alike.said(foods, "blackcurrant", "Canis lupus familiaris")
    assert '"currant" and "currants" differ only by capitals' in check.message
    assert 'dog are fed "blackcurrant", and "vine-fruit" harms them (' in check.message
    assert [step.partition(": ")[0] for step in check.working] == ["dog"]
    assert places(check) == ["foods foods blackcurrant", "foods foods vine-fruit"]
    assert (check.food, check.about) == ("blackcurrant", "look-alike of vine-fruit")
    (plain,) = alike.said(foods)
    assert (plain.working, "harms" in plain.message) == ((), False)
    (kept,) = alike.said({"kale": alike.plant()})
    assert figures(kept.message) == "2"  # kale, and the hay of the test


@pytest.mark.parametrize(
    ("one", "other", "why"),
    [
        ({"weed-mix": "also_called: [green mix]"}, {"lamb-mix": "also_called: [green mix]"},
         'both go by "green mix"'),
        ({"beetroot": ""}, {"beet-root": ""}, "differ only by capitals, hyphens"),
        ({"leek": ""}, {"leak": ""}, '"leek" and "leak" differ by one letter'),
        ({"pear": "organism: Pyrus communis"}, {"pear-tree-leaf": "organism: Malus sylvestris"},
         'is not "pear"'),
    ],
)  # fmt: skip
def test_each_kind_of_mix_up_says_why(one: dict[str, str], other: dict[str, str], why: str) -> None:
    foods = {name: alike.plant(more=more) for name, more in {**one, **other}.items()}
    (check,) = alike.said(foods)
    assert why in check.message


# -- iron-ceiling -------------------------------------------


def test_a_pellet_whose_iron_is_a_range_is_settled_by_an_analysis() -> None:
    found = iron.judged(iron.HORNBILL, [line("pellet")], pellet=iron.pellet("40 to 400"))
    (check,) = [one for one in found if one.about == "iron of the pellet itself"]
    assert (check.verdict, "pellet" in check.settles) == (UNSURE, True)
    assert places(check)[0] == "foods foods pellet"


# -- what a group gets without a sheet, or from its neighbours ----------------


def test_a_treat_for_the_group_without_a_sheet_was_worked_out_for_nobody_known() -> None:
    treats = (
        "record: treats\ntreats:\n  - {on: 2026-11-26, group: tapir, purpose: training,"
        " items: [{food: carrot, amount: 90 g per group}]}\n"
    )
    later = records.sheet({"roots": ["{food: carrot, amount: 9 g per animal}"]}, start="2026-12-01")
    files = records.small(group=records.group(animals=heads.herd(3)), treats=treats, sheet=later)
    (check,) = checks_of(outcome_of(head_count, files, records.ON), "tapir")
    assert check.verdict is KEPT


def test_the_batch_of_a_neighbours_feed_is_the_neighbours_to_ask_for() -> None:
    """Goats in the paddock of the rheas get a pellet; only rheas' own feed is asked about."""
    files = records.small(
        group=records.group(species="Rhea americana"),
        goats=records.group(id="goats", species="Capra hircus"),
        foods=records.foods(carrot="{same_as: carrot}", pellet=batch.feed("")),
        goats_sheet=records.sheet({"nuts": ["{food: pellet, amount: 9 g per animal}"]}, "goats"),
        goats_rota=records.rota(["{morning: nuts, afternoon: nuts}"] * 2, "goats"),
    )
    outcome = outcome_of(batch_limit, files, records.ON)
    assert {check.verdict for check in checks_of(outcome)} == {Verdict.NOT_APPLICABLE}
