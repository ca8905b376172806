"""Swaps. Foods are invented; 20 %, 10 % and 3 days are common practice, no source."""

from __future__ import annotations

from datetime import date

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.history.digest import content_digest
from dietcheck.reading import Folder
from dietcheck.screening.hookspecs import CONTRACT, Pack
from dietcheck.screening.packs import rules_of
from dietcheck.screening.screen import screen
from dietcheck_rules import swap_equivalence
from tests import records
from tests.rules.levels_records import PARK
from tests.rules.past_records import findings, grades, line, said
from tests.rules.worked import figures, steps

FEED = (
    "{{class: {kind}, here_for: [{key}], label: {{basis: as fed, moisture: 80 %, vitamin_c: {c},"
    " sugars: {sugars}, energy: {kcal}}}}}"
)


def feed(
    c: str = "1000 mg/kg",
    kind: str = "vegetable",
    key: str = "vitamin_c",
    sugars: str = "3 %",
    kcal: str = "0.3 kcal/g",
) -> str:
    """A food with a stated reason to be there."""
    return FEED.format(c=c, kind=kind, key=key, sugars=sugars, kcal=kcal)


FOODS = {
    "base": "{class: hay, label: {basis: as fed, moisture: 10 %, sugars: 5 %, energy: 2 kcal/g}}",
    "pepper": feed(),
    "cabbage": feed(),
    "gourd": feed("20 mg/kg", kind="gourd"),
    "vague": "{class: vegetable, label: {basis: as fed, moisture: 80 %, sugars: 3 %, "
    "energy: 0.3 kcal/g}}",
    "sweet": feed(sugars="15 %", kcal="0.6 kcal/g"),
    "plain": feed().replace("here_for: [vitamin_c], ", ""),
    "strange": feed(kind="leafy green"),
    "tablet": "{class: supplement, label: {basis: as fed, vitamin_c: 100000 mg/kg}}",
}
BASE = line("base", "1 kg per animal")
MEDIUM = [(Verdict.BREACH, Severity.MEDIUM)]
LOW = [(Verdict.BREACH, Severity.LOW)]


def park(*lines: str, second: str = "", **changes: str) -> dict[str, str]:
    """A park whose meal has these lines beside the hay; `second` is a later sheet."""
    sheet = records.sheet({"roots": [BASE, *lines]})
    files = records.small(**{"foods": records.foods(**FOODS), "sheet": sheet, **changes})
    return {**files, "second.yaml": second} if second else files


def swap(*lines: str, start: str = "2026-11-24", until: str = "2026-11-26") -> str:
    """A sheet for a while."""
    more = f"until: {until}" if until else ""
    return records.sheet({"roots": [BASE, *lines]}, start=start, more=more)


def exchanged(new: str, amount: str = "100 g per animal") -> tuple[Check, ...]:
    """What is said when 100 g of peppers become something else, silently."""
    before = park(line("pepper"))
    return said(swap_equivalence, before, {**before, "second.yaml": swap(line(new, amount))})


@pytest.mark.parametrize(
    ("food", "amount", "expected"),
    [
        ("cabbage", "100 g per animal", []),
        ("cabbage", "80 g per animal", []),  # exactly a fifth less
        ("cabbage", "79.9 g per animal", MEDIUM),
        ("cabbage", "120 g per animal", []),  # exactly a fifth more
        ("cabbage", "120.1 g per animal", MEDIUM),
        ("gourd", "100 g per animal", MEDIUM),
        ("strange", "100 g per animal", LOW),  # the nutrient comes back, the class is another
        ("vague", "100 g per animal", [(Verdict.CANNOT_TELL, Severity.MEDIUM)]),
    ],
)
def test_what_it_was_here_for_comes_back_within_a_fifth(
    food: str, amount: str, expected: list[tuple[Verdict, Severity]]
) -> None:
    assert grades(exchanged(food, amount)) == expected


def test_an_equal_exchange_is_kept_and_logged() -> None:
    (check,) = exchanged("cabbage")
    assert check.verdict is Verdict.KEPT
    assert "pepper → cabbage" in check.message


def test_energy_and_sugars_of_the_day_may_go_up_by_a_tenth() -> None:
    """Peppers 400 g to the sweet 400 g: sugars 62 to 110 g, energy 2120 to 2240 kcal."""
    before = park(line("pepper", "400 g per animal"))
    after = {**before, "second.yaml": swap(line("sweet", "400 g per animal"))}
    checks = said(swap_equivalence, before, after)
    assert grades(checks) == LOW
    assert "sugars" in findings(checks)[0].message


def test_without_a_stated_reason_nobody_can_tell() -> None:
    before = park(line("plain"))
    after = {**before, "second.yaml": swap(line("cabbage"))}
    (check,) = said(swap_equivalence, before, after)
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.LOW)
    assert "here_for" in check.settles


def test_a_food_that_only_came_or_only_went_is_no_swap() -> None:
    before = park(line("pepper"))
    for lines in ([line("pepper"), line("gourd")], []):
        after = {**before, "second.yaml": swap(*lines)}
        (check,) = said(swap_equivalence, before, after)
        assert check.verdict is Verdict.NOT_APPLICABLE


def test_supplements_are_judged_elsewhere() -> None:
    before = park(line("tablet", "1 g per animal"))
    after = {**before, "second.yaml": swap(line("cabbage"))}
    (check,) = said(swap_equivalence, before, after)
    assert check.verdict is Verdict.NOT_APPLICABLE


# -- swaps that say so -----------------------------------------------------------------------------

FOR_PEPPER = "instead_of: pepper"


@pytest.mark.parametrize(
    ("until", "expected"),
    [
        ("2026-11-26", []),
        ("2026-11-27", []),  # three days off
        ("2026-11-28", LOW),
        ("", LOW),
    ],
)
def test_a_swap_ends_within_three_days(
    until: str, expected: list[tuple[Verdict, Severity]]
) -> None:
    """Judged with an earlier version and without one."""
    second = swap(line("cabbage", more=FOR_PEPPER), until=until)
    before = park(line("pepper"))
    for earlier in (before, None):
        checks = said(swap_equivalence, earlier, {**before, "second.yaml": second})
        assert grades(checks) == expected


@pytest.mark.parametrize(("signed", "expected"), [(True, []), (False, LOW)])
def test_a_longer_swap_may_be_approved(
    signed: bool, expected: list[tuple[Verdict, Severity]]
) -> None:
    files = park(line("pepper"), second=swap(line("cabbage", more=FOR_PEPPER), until="2026-12-24"))
    digest = content_digest(records.linked(files), "tapir", date(2026, 11, 24))
    sign_off = (
        "record: sign-off\nby: Dr Vale\nrole: vet\non: 2026-11-24\ngroups: [tapir]\n"
        f"content: {{tapir: '{digest if signed else digest[:-4] + '0000'}'}}\n"
    )
    assert grades(said(swap_equivalence, None, {**files, "signed.yaml": sign_off})) == expected


def test_a_swap_stays_in_its_meal() -> None:
    rota = records.rota(["{morning: roots, afternoon: greens}"] * 2)
    first = records.sheet({"roots": [BASE, line("pepper")], "greens": [BASE]})
    second = records.sheet(
        {"roots": [BASE], "greens": [BASE, line("cabbage", more=FOR_PEPPER)]},
        start="2026-11-24",
        more="until: 2026-11-26",
    )
    files = {**park(sheet=first, rota=rota), "second.yaml": second}
    checks = said(swap_equivalence, None, files)
    assert grades(checks) == LOW
    assert "greens" in findings(checks)[0].message


def test_a_swap_for_a_food_that_was_not_there_cannot_be_told() -> None:
    second = swap(line("cabbage", more="instead_of: papper"))
    (check,) = said(swap_equivalence, None, park(line("pepper"), second=second))
    assert (check.verdict, check.severity) == (Verdict.CANNOT_TELL, Severity.LOW)
    assert check.places[0].path[-1] == "instead_of"
    assert "cabbage" in check.message


def test_one_food_may_be_replaced_by_two() -> None:
    """50 g and 50 g bring what 100 g brought."""
    half = "50 g per animal"
    second = swap(line("cabbage", half, FOR_PEPPER), line("plain", half, FOR_PEPPER))
    checks = said(swap_equivalence, None, park(line("pepper"), second=second))
    assert grades(checks) == []


def test_a_swap_that_is_over_is_not_judged() -> None:
    second = swap(line("gourd", more=FOR_PEPPER), start="2026-11-02", until="2026-11-04")
    (check,) = said(swap_equivalence, None, park(line("pepper"), second=second))
    assert check.verdict is Verdict.NOT_APPLICABLE


def test_the_swap_of_the_third_day_passes_in_silence() -> None:
    """The park's own: peppers out of stock, broccoli and more kale from 18 to 20 November."""
    pack = rules_of(Pack("test", "0", CONTRACT, (swap_equivalence,)))
    report = screen(Folder(PARK), date(2026, 11, 18), load=lambda _: pack)
    checks = [one.check for one in report.judged if one.group == "capybara"]
    assert [check.verdict for check in checks] == [Verdict.KEPT]
    assert "red-pepper → broccoli" in checks[0].message


@settings(max_examples=50, deadline=None)
@given(st.integers(1, 400), st.integers(1, 400))
def test_the_verdict_is_the_ratio_of_what_both_bring(old: int, new: int) -> None:
    before = park(line("pepper", f"{old} g per animal"))
    second = swap(line("cabbage", f"{new} g per animal"))
    checks = said(swap_equivalence, before, {**before, "second.yaml": second})
    medium = [c for c in findings(checks) if c.severity is Severity.MEDIUM]
    assert bool(medium) is not (4 * old <= 5 * new <= 6 * old)


def test_a_swap_for_a_food_of_no_stated_use_asks_what_it_is_here_for() -> None:
    before = park(line("plain"))
    second = swap(line("cabbage", more="instead_of: plain"))
    found = findings(said(swap_equivalence, None, {**before, "second.yaml": second}))
    assert [(c.about, c.severity) for c in found] == [("what a food is here for", Severity.LOW)]


def test_a_swap_for_one_animal_is_judged_for_that_one() -> None:
    two = [f"{{id: T{n}, weighings: [{{on: 2026-11-20, mass: 200 kg}}]}}" for n in (1, 2)]
    only = "for: [T2]"
    before = park(line("pepper", more=only), group=records.group(animals=two))
    second = swap(line("gourd", more=f"instead_of: pepper, {only}"))
    found = findings(said(swap_equivalence, None, {**before, "second.yaml": second}))
    assert {check.animals for check in found} == {("T2",)}
    assert found[0].severity is Severity.MEDIUM
    assert "T2" in found[0].message


def test_beside_food_of_unknown_energy_no_rise_can_be_told() -> None:
    unknown = records.foods(**{**FOODS, "base": "{class: hay, unknown_composition: invented}"})
    before = park(line("pepper"), foods=unknown)
    second = swap(line("sweet", more="instead_of: pepper"))
    found = findings(said(swap_equivalence, None, {**before, "second.yaml": second}))
    rises = {c.about: c.verdict for c in found if " after " in c.about}
    assert rises == {
        "metabolisable energy after pepper → sweet": Verdict.CANNOT_TELL,
        "total sugars after pepper → sweet": Verdict.CANNOT_TELL,
    }


# -- whole meals -----------------------------------------------------------------------------------


def meals(entry: str, times: int, start: str = "2026-11-16", **more: str) -> tuple[Check, ...]:
    """What is said of greens in the place of roots, in so many of the 28 feeds of a rota."""
    feeds = ["greens"] * times + ["roots"] * (28 - times)
    days = [
        f"{{morning: {a}, afternoon: {b}}}" for a, b in zip(feeds[::2], feeds[1::2], strict=True)
    ]
    files = park(
        dietcheck=records.settings(rota_days=14),
        sheet=records.sheet({"roots": [BASE], "greens": [BASE]}),
        rota=records.rota(days, start=start, more=f"swaps: [{{meal: greens, {entry}}}]"),
        **more,
    )
    checks = said(swap_equivalence, None, files)
    return tuple(one for one in checks if one.about.startswith("swap of the meal"))


ENDS = "instead_of: roots, why: late, until: 2026-11-25"


@pytest.mark.parametrize(
    ("entry", "times", "expected", "at"),
    [
        (ENDS, 7, [], ()),
        (ENDS, 8, LOW, ()),
        ("instead_of: roots", 7, LOW, ()),
        (ENDS.replace("25", "24"), 7, LOW, ("until",)),  # judged on 25 November
        (ENDS, 0, LOW, ("meal",)),
    ],
)
def test_a_meal_in_the_place_of_another_ends_and_is_seldom(
    entry: str, times: int, expected: list[tuple[Verdict, Severity]], at: tuple[str, ...]
) -> None:
    (check,) = meals(entry, times)
    assert grades((check,)) == expected
    assert check.places[0].path == ("swaps", 0, *at)


def test_a_rota_that_ends_with_the_swap_is_back_to_the_meal_before() -> None:
    entry = "instead_of: roots, until: 2026-11-24"
    days = ["{morning: greens, afternoon: roots}"] * 2
    more = f"until: 2026-11-24\nswaps: [{{meal: greens, {entry}}}]"
    files = park(
        sheet=records.sheet({"roots": [BASE], "greens": [BASE]}),
        rota=records.rota(days, more=more),
        rota2=records.rota(["{morning: roots, afternoon: roots}"] * 2, start="2026-11-25"),
    )
    assert not findings(said(swap_equivalence, None, files))


def test_the_house_says_how_many_feeds() -> None:
    ours = (
        "record: limits\nlimits:\n  - {group: tapir, quantity: swap-feeds, at_most: 9 feeds, "
        "over: rota, why: x, set_by: Dr Vale, on: 2026-01-01, source: site rule}\n"
    )
    assert not grades(meals(ENDS, 9, limits=ours))
    assert grades(meals(ENDS, 10, limits=ours)) == LOW


def test_a_meal_swap_that_the_vet_has_signed_may_go_on() -> None:
    files = park(
        sheet=records.sheet({"roots": [BASE], "greens": [BASE]}),
        rota=records.rota(
            ["{morning: greens, afternoon: roots}"] * 2,
            more="swaps: [{meal: greens, instead_of: roots}]",
        ),
    )
    assert grades(said(swap_equivalence, None, files)) == LOW
    digest = content_digest(records.linked(files), "tapir", date(2026, 11, 24))
    files["signed.yaml"] = (
        "record: sign-off\nby: Dr Vale\nrole: vet\non: 2026-11-24\ngroups: [tapir]\n"
        f"content: {{tapir: '{digest}'}}\n"
    )
    assert not grades(said(swap_equivalence, None, files))


TWO = [f"{{id: T{n}, weighings: [{{on: 2026-11-20, mass: 200 kg}}]}}" for n in (1, 2)]
BOTH = (line("pepper", more="for: [T1]"), line("pepper", "200 g per animal", "for: [T2]"))


def second(
    *lines: str, before: tuple[str, ...] = (line("pepper"),), until: str = "2026-11-26",
    **changes: str,
) -> tuple[Check, ...]:  # fmt: skip
    """What is said of a swap that says so, without an earlier version."""
    return said(swap_equivalence, None, park(*before, second=swap(*lines, until=until), **changes))


def test_the_nutrient_is_told_for_the_animal_that_misses_most_of_it() -> None:
    """100 g of gourd bring 2 mg; T1 had 100 mg of vitamin C from its peppers and T2 200 mg."""
    herd = records.group(animals=TWO)
    checks = second(line("gourd", more=FOR_PEPPER), before=BOTH, until="", group=herd)
    (check,) = [c for c in checks if c.severity is Severity.MEDIUM]
    assert "common practice" in check.message
    assert figures(check.message)[:5] == ["1", "2", "100", "80", "120"]
    assert "does not come back" in check.message
    assert "no end date" in check.message
    assert steps(check.working)[-4:] == [["100"], ["100"], ["2"], ["80", "120"]]
    assert check.settles == ""
    assert check.animals == ("T1", "T2")
    assert check.weak == ()
    assert check.measured is not None
    assert check.measured.value.high == 2
    assert [place.path[-3:] for place in check.places] == [("roots", 1, "food")]
    (end,) = [c for c in checks if c.about.startswith("end")]
    assert end.places[0].path == ("from",)
    assert "no end date" in end.message


def test_more_than_a_fifth_more_is_told_as_more_and_unknown_as_unknown() -> None:
    herd = records.group(animals=TWO)
    found = findings(second(line("cabbage", "300 g per animal", FOR_PEPPER), before=BOTH,
                            group=herd))  # fmt: skip
    (more,) = [one for one in found if "more than before" in one.message]
    assert figures(more.message)[1:3] == ["300", "100"]
    assert "no end date" not in more.message
    (open_one,) = findings(second(line("vague", more=FOR_PEPPER)))
    assert "vague" in open_one.settles
    assert [why.partition(":")[0] for why in open_one.weak] == ["vague"]
    assert "nobody can tell" in open_one.message


def test_a_rise_is_told_in_per_cent_of_the_day_before_and_for_whom_it_is_most() -> None:
    """Each feed had 50 g of sugars in hay and 12 g in peppers; 60 g come for the 12 g once a day:
    48 of 124 g. T2 gets half as much of both, 24 of 112 g."""
    once = records.rota(["{morning: roots, afternoon: hay}"] * 2)
    hay = {"hay": [BASE]}
    files = park(
        sheet=records.sheet({"roots": [BASE, line("pepper", "400 g per animal")], **hay}),
        rota=once,
        second=records.sheet(
            {"roots": [BASE, line("sweet", "400 g per animal", FOR_PEPPER)], **hay},
            start="2026-11-24",
            more="until: 2026-12-24",
        ),
    )
    checks = said(swap_equivalence, None, files)
    (rise,) = [c for c in checks if " after " in c.about]
    assert rise.measured is not None
    assert float(rise.measured.value.low) == pytest.approx(48 / 112 * 100)
    assert rise.verdict is Verdict.BREACH
    assert rise.settles == ""
    assert figures(rise.message)[1:3] == ["42.9", "10"]
    assert "may go" not in rise.message
    (end,) = [c for c in checks if c.about.startswith("end")]
    assert figures(end.message)[:5] == ["2026", "12", "24", "30", "3"]
    assert end.places[0].path == ("until",)


def test_another_class_is_named_with_the_one_it_takes_the_place_of() -> None:
    (kind,) = findings(second(line("strange", more=FOR_PEPPER)))
    assert "leafy green in place of vegetable" in kind.message
    (kept,) = second(line("cabbage", more=FOR_PEPPER))
    assert figures(kept.message) == ["80", "120", "10"]


def test_foods_of_no_stated_use_are_asked_about_together_and_hide_no_other_swap() -> None:
    meals_ = records.rota(["{morning: roots, afternoon: greens}"] * 2)
    first = records.sheet({"roots": [BASE, line("plain")], "greens": [BASE, line("pepper")]})
    then = records.sheet(
        {"roots": [BASE, line("cabbage")], "greens": [BASE, line("gourd")]},
        start="2026-11-24", more="until: 2026-11-26",
    )  # fmt: skip
    before = park(sheet=first, rota=meals_)
    checks = said(swap_equivalence, before, {**before, "second.yaml": then})
    assert {(c.verdict, c.food) for c in findings(checks)} == {
        (Verdict.BREACH, "gourd"), (Verdict.CANNOT_TELL, None),
    }  # fmt: skip
    (asked,) = [c for c in checks if c.verdict is Verdict.CANNOT_TELL]
    assert "plain" in asked.settles
    assert "pepper" not in asked.settles


@pytest.mark.parametrize(
    ("quantity", "bound", "lines", "expected"),
    [
        # 90 mg for 100 mg of vitamin C, and 130 mg
        ("swap-key-nutrient", "at_least: 0.95 times", [("cabbage", 90)], MEDIUM),
        ("swap-key-nutrient", "at_least: 0.5 times", [("cabbage", 130)], []),
        ("swap-key-nutrient", "at_least: 1.1 times", [("cabbage", 100)], MEDIUM),
        ("swap-key-nutrient", "at_most: 1.5 times", [("cabbage", 10)], []),
        ("swap-key-nutrient", "at_most: 1.5 times", [("cabbage", 151)], MEDIUM),
        ("swap-rise", "at_most: 1.01 times", [("sweet", 100)], LOW),
        ("swap-rise", "at_least: 0.5 times", [("sweet", 100)], []),
    ],
)
def test_the_house_asks_for_more_or_less_of_a_swap(
    quantity: str,
    bound: str,
    lines: list[tuple[str, int]],
    expected: list[tuple[Verdict, Severity]],
) -> None:
    ours = (
        f"record: limits\nlimits:\n  - {{group: tapir, quantity: {quantity}, {bound}, over: day, "
        "why: x, set_by: Dr Vale, on: 2026-01-01, severity: medium}\n"
    )
    given_ = [line(food, f"{grams} g per animal", FOR_PEPPER) for food, grams in lines]
    checks = second(*given_, limits=ours)
    assert {(c.verdict, c.severity) for c in findings(checks)} == set(expected)
    assert ("more than before" in " ".join(c.message for c in checks)) is ("151" in str(lines))


def test_a_house_limit_that_cannot_be_read_is_asked_about() -> None:
    ours = (
        "record: limits\nlimits:\n  - {group: tapir, quantity: swap-days, at_most: 5 mm, over: day,"
        " why: x, set_by: Dr Vale, on: 2026-01-01, severity: medium}\n"
    )
    checks = second(line("cabbage", more=FOR_PEPPER), limits=ours)
    (asked,) = findings(checks)
    assert (asked.verdict, asked.places[0].file) == (Verdict.CANNOT_TELL, "limits.yaml")


def test_a_tablet_that_comes_beside_the_swap_is_no_part_of_it() -> None:
    before = park(line("pepper"))
    now = swap(line("cabbage"), line("tablet", "1 g per animal"), until="")
    (check,) = said(swap_equivalence, before, {**before, "second.yaml": now})
    assert check.verdict is Verdict.KEPT  # nor is an end asked of a swap that nobody calls one
    assert check.about == "swap pepper → cabbage"


def test_a_food_that_stays_in_part_is_there_to_be_stood_in_for() -> None:
    half = "50 g per animal"
    checks = second(line("pepper", half), line("cabbage", "100 g per animal", FOR_PEPPER))
    assert not any(check.about == "swap for pepper" for check in checks)
    assert grades(checks) == []


def test_one_swap_that_says_so_leaves_the_other_its_own_foods() -> None:
    before = park(line("pepper"), line("plain"))
    now = swap(line("cabbage", more=FOR_PEPPER), line("strange"))
    checks = said(swap_equivalence, before, {**before, "second.yaml": now})
    (asked,) = findings(checks)
    assert ": plain → strange" in asked.message
    assert "pepper" not in asked.settles
    (kept,) = [check for check in checks if check.verdict is Verdict.KEPT]
    assert kept.about == "swap pepper → cabbage"


def test_only_animals_that_had_the_food_miss_it_however_little_it_was() -> None:
    herd = records.group(animals=TWO)
    only_first = (line("pepper", more="for: [T1]"),)
    assert grades(second(line("cabbage", more=FOR_PEPPER), before=only_first, group=herd)) == []
    little = (line("pepper", "0.5 g per animal"),)  # half a milligram of vitamin C
    (check,) = findings(second(line("gourd", "0.5 g per animal", FOR_PEPPER), before=little))
    assert check.severity is Severity.MEDIUM
    one = line("cabbage", "100 g per animal", FOR_PEPPER)
    (half,) = findings(second(one, before=BOTH, group=herd))
    assert "T2" in half.message
    assert figures(half.message)[1:3] == ["100", "200"]


@pytest.mark.parametrize(
    ("grams", "verdict"),
    [
        (88, Verdict.KEPT), (87, Verdict.CANNOT_TELL), (108, Verdict.KEPT),
        (109, Verdict.CANNOT_TELL), (71, Verdict.BREACH), (133, Verdict.BREACH),
    ],
)  # fmt: skip
def test_what_a_food_of_ranged_content_brought_must_come_back_whatever_it_was(
    grams: int, verdict: Verdict
) -> None:
    """90 to 110 mg: surely enough from 88 mg, four fifths of 110, to 108, six fifths of 90."""
    foods = records.foods(**FOODS | {"pepper": feed("900 to 1100 mg/kg")})
    checks = second(line("cabbage", f"{grams} g per animal", FOR_PEPPER), foods=foods)
    assert [check.verdict for check in checks] == [verdict]


def sugary(
    *amounts: str, base: str = "940 g per animal", foods: dict[str, str] | None = None
) -> list[Check]:
    """The rises of sugars when peppers of 3 % become another food of 8 %, of the same amounts."""
    herd = [f"{{id: T{n}, weighings: [{{on: 2026-11-20, mass: 9 kg}}]}}"
            for n in range(1, len(amounts) + 1)]  # fmt: skip
    hay = line("base", base)

    def lines(food: str, more: str = "") -> list[str]:
        who = [f"for: [T{n}]" for n in range(1, len(amounts) + 1)]
        return [line(food, f"{amount} per animal", ", ".join(filter(None, (one, more))))
                for amount, one in zip(amounts, who, strict=True)]  # fmt: skip

    files = park(
        group=records.group(animals=herd),
        foods=records.foods(**FOODS | {"mild": feed(sugars="8 %")} | (foods or {})),
        rota=records.rota(["{morning: roots, afternoon: hay}"] * 2),
        sheet=records.sheet({"roots": [hay, *lines("pepper")], "hay": [hay]}),
        second=records.sheet(
            {"roots": [hay, *lines("mild", FOR_PEPPER)], "hay": [hay]},
            start="2026-11-24",
            more="until: 2026-11-26",
        ),
    )
    checks = said(swap_equivalence, None, files)
    return [check for check in checks if "sugars" in check.about]


def test_sugars_may_rise_by_a_tenth_and_no_more() -> None:
    """47 + 47 g in hay and 6 g in 200 g of peppers are 100 g; 16 g for the 6 g are a tenth more."""
    assert sugary("200 g") == []
    (check,) = sugary("201 g")
    assert check.verdict is Verdict.BREACH
    (worse,) = sugary("100 g", "400 g")
    assert "T2" in worse.message
    (edge,) = sugary("200 g", foods={"mild": feed(sugars="8 to 9 %")})
    assert edge.verdict is Verdict.CANNOT_TELL  # a tenth at the least
    (just,) = sugary("200.1 g")
    assert figures(just.message)[1] not in ("10", "10.0")
    (vague,) = sugary("5 g", base="20 g per animal", foods={"mild": feed(sugars="0 to 8 %")})
    assert vague.verdict is Verdict.CANNOT_TELL
    (tiny,) = sugary("5 g", base="8 g per animal")  # 0.25 g more than 0.95 g
    assert tiny.verdict is Verdict.BREACH
    dry = FOODS["base"].replace("sugars: 5 %", "sugars: 0 %")
    bare = {"base": dry, "pepper": feed(sugars="0 %")}
    (nothing,) = sugary("200 g", foods=bare)
    assert nothing.verdict is Verdict.CANNOT_TELL


def test_a_swap_of_meals_tells_how_often_it_is_fed_or_what_is_wrong() -> None:
    (kept,) = meals(ENDS, 7)
    assert figures(kept.message) == ["7"]
    (often,) = meals(ENDS, 8)
    assert figures(often.message) == ["8", "28", "7"]
    (late,) = meals(ENDS.replace("25", "21"), 7)
    assert figures(late.message) == ["2026", "11", "21", "4"]
    assert kept.measured is not None
    assert kept.measured.value.low == 7


def test_a_rota_that_ends_is_asked_about_its_swaps_all_the_same() -> None:
    files = park(
        sheet=records.sheet({"roots": [BASE], "greens": [BASE]}),
        rota=records.rota(
            ["{morning: greens, afternoon: roots}"] * 2,
            more="until: 2026-12-01\nswaps: [{meal: greens, instead_of: roots}]",
        ),
    )
    assert grades(said(swap_equivalence, None, files)) == LOW


def test_a_swap_that_comes_in_part_for_one_animal_is_everybody_s_matter() -> None:
    lines = (line("gourd", more=f"{FOR_PEPPER}, for: [T2]"), line("gourd", more=FOR_PEPPER))
    checks = second(*lines, before=BOTH, group=records.group(animals=TWO))
    assert {check.animals for check in checks} == {("T1", "T2")}


@pytest.mark.parametrize("afternoon", ["roots", "no feed"])
def test_a_meal_that_is_served_twice_a_day_adds_twice(afternoon: str) -> None:
    """Each time 50 g of sugars in hay and 12 g in peppers; 60 g come for the 12 g."""
    files = park(
        line("pepper", "400 g per animal"),
        rota=records.rota([f"{{morning: roots, afternoon: {afternoon}}}"] * 2),
        second=swap(line("sweet", "400 g per animal", FOR_PEPPER)),
    )
    (rise,) = [c for c in said(swap_equivalence, None, files) if c.about.startswith("total sugars")]
    assert rise.measured is not None
    assert float(rise.measured.value.low) == pytest.approx(48 / 62 * 100)
