"""What is told of vitamins for fish: the sums a day. Foods and animals are invented; the floors are
25 mg of thiamin and 100 IU of vitamin E for each kg of fish (G012, AZAotter2009).
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import fish_thiamin_and_e
from tests import records
from tests.rules.test_fish_thiamin_and_e import FOODS, OTTER, line
from tests.rules.told import figures, places

MORE = {
    "premix": "{mix: {tablet: 10 %, carrot: 90 %}}",
    "shake": "{mix: {silent-tablet: 10 %, carrot: 90 %}}",
    "brine": "{mix: {fish-mix: 50 %, capelin: 50 %}}",
    "iron": "{class: mineral, piece: 1 g, label: {basis: as fed, moisture: 0 %,"
    " vitamin_e: 50000 mg/kg, thiamin: 20000 mg/kg}}",
}
DAYS = ("{morning: first, afternoon: no feed}", "{morning: second, afternoon: no feed}")


def said(
    lines: Sequence[str],
    *,
    species: str = OTTER,
    second: Sequence[str] = (),
    names: Sequence[str] = ("A1", "A2"),
    limits: Sequence[str] = (),
    days: Sequence[str] = DAYS,
) -> list[Check]:
    """What the rule says of animals that get some lines on one day and others on the next."""
    files = {
        "group": records.group(
            species=species,
            animals=[f"{{id: {n}, weighings: [{{on: 2026-11-20, mass: 4 kg}}]}}" for n in names],
        ),
        "foods": records.foods(**FOODS, **MORE),
        "sheet": records.sheet({"first": lines, "second": second or lines}),
        "rota": records.rota(days),
    }
    if limits:
        files["limits"] = "record: limits\nlimits:\n" + "".join(
            f"  - {{group: tapir, {row}, over: day, severity: medium, why: invented,"
            " set_by: Dr Vale, on: 2026-01-01}\n"
            for row in limits
        )
    outcome = outcome_of(fish_thiamin_and_e, records.small(**files), records.ON)
    assert not outcome.failures
    return [*checks_of(outcome, "tapir")]


TWO_DAYS = [(1, ""), (2, "")]


def test_too_little_is_summed_from_tablet_and_other_feeds() -> None:
    """6.25 mg for 0.4 kg are 15.6; 0.8 mg of the feed and 0.03 of a carrot may come on top."""
    thiamin, e = said([line("capelin", "400 g"), line("weak-tablet", "1 piece"),
                       line("feed", "100 g"), line("carrot", "50 g")])  # fmt: skip
    assert (thiamin.verdict, thiamin.severity) == (Verdict.BREACH, Severity.MEDIUM)
    assert figures(*thiamin.working) == (
        "1 625 100 | 6.25 | 0.833 | 0.4 | 15.6 17.8 | 25 1997 2009"
    )
    assert figures(thiamin.message.partition(";")[0]) == "1 1 15.6 17.8"
    assert places(thiamin) == ["sheet first 1 food", "sheet second 1 food",
                               "sheet first 0 food", "sheet second 0 food"]  # fmt: skip
    assert [(when.number, when.slot) for when in thiamin.occasions] == TWO_DAYS
    assert (e.verdict, e.places, e.occasions, e.advice) == (Verdict.KEPT, (), (), "")
    # 40 mg/kg of vitamin E count as 40 to 59.6 IU
    assert figures(*e.working)[:45].startswith("1 9000 100 | 90 | 4.33 6.46 | 0.4 | 225 242")
    assert thiamin.weak == ()


def test_fish_without_anything_is_told_of_the_day_with_most() -> None:
    """500 g on the second day; a mineral without figures adds nothing."""
    (check,) = said([line("capelin", "400 g"), line("carrot", "50 g")],
                    second=[line("capelin", "500 g"), line("salt", "1 piece")])  # fmt: skip
    assert figures(check.message.partition(".")[0]) == "1 1 500 2"
    assert figures(*check.working) == "0 | 0.5"
    assert places(check) == ["sheet first 0 food", "sheet second 0 food"]
    assert check.measured is not None
    assert check.measured.value.low == 2
    (once,) = said([line("capelin", "400 g")], names=["A1"], second=[line("carrot", "9 g")])
    assert "one of the judged days" in once.message
    assert figures(once.message.partition(";")[0].partition(",")[2].partition(" (")[0]) == "1 400"
    assert "other feeds" not in " ".join(once.working)


def test_one_vitamin_that_lacks_is_told_apart_from_one_that_does_not() -> None:
    """1000 IU of vitamin E in 100 g of a mineral beside no thiamin at all."""
    lines = [line("capelin", "40 g"), line("feed", "100 g")]
    e, missing, whole = said(lines, species="Crocodylus niloticus")
    assert e.verdict is Verdict.CANNOT_TELL  # the feed's 4 to 5.96 IU would be enough for 40 g
    assert figures(*e.working[1:4]) == "4 5.96 | 0.04 | 0 149"
    assert "other feeds counts" in e.settles
    assert "no thiamin given" in missing.message
    assert "vitamin E" not in missing.message
    # 0.8 mg of the feed and 0.004 of the fish in 100 g of dry matter
    assert (whole.verdict, figures(whole.message.partition("(pub")[0])) == (
        Verdict.BREACH, "1 1 8.04 10",
    )  # fmt: skip
    assert len(whole.places) == 4
    assert [(when.number, when.slot) for when in whole.occasions] == TWO_DAYS


def test_a_mineral_counts_for_what_it_states() -> None:
    thiamin, e = said([line("capelin", "400 g"), line("iron", "1 piece")])
    assert (thiamin.verdict, e.verdict) == (Verdict.KEPT, Verdict.KEPT)
    assert figures(*thiamin.working[:2]) == "1 2000 100 | 20"
    assert [note.partition(":")[0] for note in e.weak] == ["iron"]
    assert figures(*e.weak) == "1 1 1.49"


def test_a_tablet_inside_a_mix_is_counted_and_what_is_silent_in_it_is_asked_for() -> None:
    """5 g of a tenth tablet: 6 mg."""
    thiamin, e = said([line("capelin", "300 g"), line("premix", "5 g"), line("shake", "10 g")])
    assert thiamin.verdict is e.verdict is Verdict.CANNOT_TELL
    assert thiamin.settles.endswith("label of shake")
    assert figures(thiamin.working[2]).startswith("6 ")
    assert "premix: 5 g × 120 mg per 100 g" in thiamin.working
    assert places(thiamin)[:2] == ["foods foods shake", "sheet first 1 food"]
    assert [note.partition(":")[0] for note in thiamin.weak] == ["shake"]


def test_fish_in_a_mix_of_mixes_is_counted_by_its_part() -> None:
    """Half of a half and a half: 300 of 400 g; 12 mg for 0.3 kg are 40, carrots bring a trace."""
    thiamin, _ = said([line("brine", "400 g"), line("tablet", "1 piece")])
    assert (thiamin.verdict, figures(*thiamin.working[-3:-1])) == (Verdict.KEPT, "0.3 | 40 40.3")


def test_amounts_that_are_ranges_settle_it() -> None:
    thiamin, e = said([line("capelin", "400 to 600 g"), line("tablet", "1 piece")])
    assert (thiamin.verdict, e.verdict) == (Verdict.CANNOT_TELL, Verdict.BREACH)
    assert "how much fish" in thiamin.settles
    assert thiamin.places
    loose, _ = said([line("capelin", "480 g"), line("tablet", "0.5 to 1 piece")])
    assert "how much of the supplement" in loose.settles
    assert (loose.verdict, loose.severity) == (Verdict.CANNOT_TELL, Severity.MEDIUM)


def test_an_unknown_feed_beside_a_small_tablet_is_asked_for_and_known_ones_are_not() -> None:
    thiamin, _ = said([line("capelin", "400 g"), line("weak-tablet", "1 piece"),
                       line("silent-feed", "9 g"), line("feed", "9 g")])  # fmt: skip
    assert thiamin.settles.startswith("the thiamin in silent-feed,")
    assert places(thiamin)[0] == "foods foods silent-feed"


def test_each_day_counts_for_those_who_get_fish_on_it() -> None:
    """A2 gets fish without a tablet on the second day, A1 none: only A2 lacks it."""
    for_one = "{food: %s, amount: %s per animal, for: [%s]}"
    found = said(
        [line("capelin", "300 g"), line("tablet", "1 piece")],
        second=[for_one % ("capelin", "300 g", "A2"), for_one % ("carrot", "9 g", "A1")],
    )
    (missing,) = [c for c in found if c.verdict is Verdict.BREACH]
    assert missing.animals == ("A2",)
    assert [when.number for when in missing.occasions] == [2]
    assert {c.animals for c in found if c.verdict is Verdict.KEPT} == {("A1", "A2")}


@pytest.mark.parametrize(("grams", "severity"), [("25 g", Severity.LOW), ("26 g", Severity.MEDIUM)])
def test_with_a_little_fish_too_little_is_low_where_it_is_most(
    grams: str, severity: Severity
) -> None:
    """A quarter of the food as fed (common practice, carried over from G020). One that gets more
    is enough to make it medium."""
    more = f"{{food: carrot, amount: {100 - int(grams.split()[0])} g per animal}}"
    found = said([line("capelin", grams), line("weak-tablet", "0.01 pieces"), more])
    assert {c.severity for c in found} == {severity}
    mixed = said([line("capelin", "25 g"), "{food: carrot, amount: 75 g per animal, for: [A1]}"])
    assert {c.severity for c in mixed} == {Severity.MEDIUM}


def test_a_house_ceiling_on_thiamin_takes_the_place_of_no_floor() -> None:
    """At most 20 mg for each kg is no floor that fish without a tablet could miss."""
    limit = "quantity: thiamin-per-fish, at_most: 20 mg per kg as fed"
    found = said([line("capelin", "400 g")], limits=[limit])
    assert [c for c in found if c.verdict is Verdict.BREACH]


def test_names_of_unclassed_foods_are_sorted_and_pointed_at() -> None:
    (check,) = said([line("nameless", "300 g"), line("carrot", "3 g")])
    assert places(check) == ["foods foods nameless"]
    found = said([line("nameless", "300 g"), line("capelin", "100 g"), line("tablet", "1 piece")])
    assert not [c for c in found if c.about == "fish or not"] or len(found) == 3


def test_a_reptile_with_enough_is_kept_and_asked_nothing() -> None:
    found = said([line("capelin", "400 g"), line("tablet", "1 piece")],
                 species="Crocodylus niloticus")  # fmt: skip
    (whole,) = [c for c in found if "diet with much fish" in c.about]
    assert (whole.verdict, whole.advice, whole.places, whole.occasions, whole.settles) == (
        Verdict.KEPT, "", (), (), "",
    )  # fmt: skip
    little = said([line("capelin", "4 g"), line("carrot", "400 g"), line("tablet", "1 piece")],
                  species="Crocodylus niloticus")  # fmt: skip
    assert not [c for c in little if "diet with much fish" in c.about]
    silent = said([line("silent-fish", "4 kg"), line("tablet", "0.5 pieces")],
                  species="Crocodylus niloticus")  # fmt: skip
    (whole,) = [c for c in silent if "diet with much fish" in c.about]
    assert whole.settles == "the thiamin in silent-fish"
    open_ = said([line("capelin", "100 to 400 g"), line("weak-tablet", "0.1 pieces")],
                 species="Crocodylus niloticus")  # fmt: skip
    (whole,) = [c for c in open_ if "diet with much fish" in c.about]
    assert "how much" in whole.settles
