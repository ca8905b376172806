"""What is told about energy: the sums from foods to kcal a day, per kg and per kg^0.75.

Foods with invented labels of 1 to 7 kcal a gram. At 16 kg the metabolic mass is 8, at 81 kg 27.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from dietcheck.contract import Check, Severity, Standing, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import energy_for_maintenance
from tests import records
from tests.rules.told import figures, places

FOODS = {
    f"f{kcal}": "{class: compound feed, label: {basis: as fed, moisture: 0 %, energy: "
    f"{kcal} kcal/g}}}}"
    for kcal in range(8)
} | {"open": "{class: compound feed, label: {basis: as fed, moisture: 0 %, ash: 10 %}}"}
DAYS = ("{morning: meal, afternoon: no feed}",) * 2


def animal(name: str, kg: object, stage: str = "adult") -> str:
    """An animal weighed lately."""
    return f"{{id: {name}, stage: {stage}, weighings: [{{on: 2026-11-20, mass: {kg} kg}}]}}"


def line(food: str, grams: object, more: str = "") -> str:
    """One line of the meal."""
    return f"{{food: {food}, amount: {grams} g per animal{more}}}"


def said(
    lines: Sequence[str],
    species: str,
    animals: Sequence[str],
    bounds: Sequence[str] = (),
    **changes: str,
) -> tuple[Check, ...]:
    """What the rule says, also on limits of the house."""
    files = {
        "group": records.group(species=species, animals=animals),
        "foods": records.foods(**FOODS),
        "sheet": records.sheet({"meal": lines}),
        "rota": records.rota(DAYS),
    }
    if bounds:
        files["limits"] = "record: limits\nlimits:\n" + "".join(
            f"  - {{group: tapir, quantity: energy, {bound}, over: rota, severity: medium,"
            " why: invented, set_by: Dr Vale, on: 2026-01-01}\n"
            for bound in bounds
        )
    outcome = outcome_of(energy_for_maintenance, records.small(**{**files, **changes}), records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def own(checks: Sequence[Check]) -> list[Check]:
    """Those held against a limit of the house."""
    return [c for c in checks if c.limit and c.limit.standing is Standing.SITE_RULE]


@pytest.mark.parametrize(
    ("bound", "verdict"),
    [
        ("at_most: 200 kcal per kg^0.75", Verdict.KEPT),
        ("at_most: 199 kcal per kg^0.75", Verdict.BREACH),
        ("at_most: 100 kcal per kg body mass", Verdict.KEPT),
        ("at_most: 99 kcal per kg body mass", Verdict.BREACH),
        ("at_most: 0.41840 MJ per kg body mass", Verdict.KEPT),
        ("at_least: 6694.4 kJ per animal", Verdict.KEPT),
        ("at_least: 6694.5 kJ per animal", Verdict.BREACH),
    ],
)
def test_1600_kcal_for_16_kg_in_each_unit_of_a_house_limit(bound: str, verdict: Verdict) -> None:
    """1600 kcal ÷ 16 kg = 100; ÷ 8 kg^0.75 = 200; × 4.184 = 6694.4 kJ."""
    (check,) = own(said([line("f1", 1600)], "Lemur catta", [animal("A", 16)], [bound]))
    assert (check.verdict, check.severity) == (verdict, Severity.MEDIUM)
    assert (verdict is Verdict.KEPT) is (", within" in check.message)
    if verdict is Verdict.KEPT:
        assert (check.advice, check.occasions, check.places) == ("", (), ())
        assert (check.working, check.weak) == ((), ())
    else:
        assert (bool(check.advice), len(check.occasions)) == (True, 2)


def test_the_working_goes_from_foods_to_the_figure_per_kg() -> None:
    lemurs = [animal("A", 16), animal("B", 81)]
    bounds = ["at_most: 199 kcal per kg^0.75", "at_most: 99 kcal per kg body mass"]
    checks = own(said([line("f1", 1600)], "Lemur catta", lemurs, bounds))
    metabolic, fine, plain, _ = checks
    assert (metabolic.animals, fine.animals) == (("A",), ("B",))
    start = "1 3200 100 100 3200 | 2 1600 | 4 9 4 2003 | "  # of 2 days; Atwater factors
    assert figures(*metabolic.working) == start + "8 0.75 16 200 0.75 | 199 0.75 2026 01 01 | "
    assert figures(*plain.working) == start + "16 16 100 | 99 2026 01 01 | "
    assert "invented" in plain.working  # why the house set it
    assert "digestible" not in " ".join((*plain.working, plain.message))
    assert places(metabolic) == ["sheet meal 0 amount", "group 0 weighings 0"]
    assert figures(fine.message) == "59.3 0.75 199 0.75 2026 01 01"  # 1600 ÷ 27


MANY = [line(f"f{kcal}", 100) for kcal in range(1, 8)] + [line("f7", 50, ", for: [B]")]


def test_the_foods_with_most_energy_are_listed_and_the_rest_counted() -> None:
    """100 × (1 + … + 7) = 2800 kcal a day; B gets 350 more. Digestible energy for tapirs (B178):
    2800 kcal are 11.7152 MJ, at 1 kg, past one and a half times 0.6 MJ."""
    tapirs = [animal("A", 1), animal("B", 16), "{id: C}"]
    checks = said(MANY, "Tapirus terrestris", tapirs)
    over, fine, unweighed, digestible, open_ = checks
    foods = " | ".join(f"{kcal} 200 {kcal}00 100 {2 * kcal}00" for kcal in (7, 6, 5, 4, 3))
    assert figures(*over.working[:7]) == f"{foods} | 2 | 2 2800"
    assert figures(over.working[8]) == "1 2800 0.75"
    assert places(over) == [*(f"sheet meal {n} amount" for n in (6, 5, 4)), "group 0 weighings 0"]
    assert figures(over.message) == "2800 70 441"  # D001a; twice the 220 of D041a, rounded
    assert (fine.animals, fine.verdict) == (("B",), Verdict.KEPT)
    assert figures(fine.message) == "3150 550 4200"
    assert "partly from memory" in fine.message
    assert (unweighed.animals, unweighed.verdict) == (("C",), Verdict.CANNOT_TELL)
    assert digestible.animals == ("A", "B")
    assert figures(digestible.message) == "1 11.7 0.75 0.6 0.75 2009"
    assert "counted as digestible energy" in digestible.message
    assert (digestible.severity, open_.severity) == (Severity.MEDIUM, Severity.LOW)
    assert any("digestible energy is more" in step for step in digestible.working)
    assert (open_.animals, open_.verdict) == (("C",), Verdict.CANNOT_TELL)
    assert "weighing of C" in open_.settles
    assert "no current weighing" in open_.message
    assert places(open_) == [f"sheet meal {n} amount" for n in (6, 5, 4)]


def test_exactly_five_foods_are_all_that_there_is() -> None:
    (check, *_) = said(MANY[2:7], "Tapirus terrestris", [animal("A", 1)])
    assert figures(*check.working[:6]).endswith(" | 2 2500")
    assert "2 days" in check.working[5]


def test_lines_for_another_animal_are_not_pointed_at() -> None:
    lines = [line("f7", 50, ", for: [B]"), line("f1", 900)]
    lemurs = [animal("A", 1), animal("B", 1)]
    (check,) = said(lines, "Lemur catta", lemurs)
    assert check.animals == ("B", "A")  # 1250 and 900 kcal, the worst first
    assert places(check)[:2] == ["sheet meal 1 amount", "sheet meal 0 amount"]
    alone, _ = said([line("f1", 99, ", for: [A]"), line("f1", 900, ", for: [B]")], "Lemur catta",
                    lemurs)  # fmt: skip
    assert places(alone)[0] == "sheet meal 1 amount"


def test_a_food_of_unknown_energy_settles_it_and_is_told_as_weak() -> None:
    """100 kcal and 20 g of up to 8.6 kcal: 100 to 272, at 0.8 kg 118 to 322 per kg^0.75."""
    lines = [line("f1", 100), line("open", 20)]
    meerkat = [animal("A", "0.8")]
    found = said(lines, "Suricata suricatta", meerkat, ["at_most: 150 kcal per animal"])
    for check in found:
        assert check.verdict is Verdict.CANNOT_TELL
        assert "open" in check.settles
        assert [note.partition(":")[0] for note in check.weak] == ["energy of open"]
        assert figures(*check.working[:3]) == "40 0 860 100 0 344 | 1 200 100 100 200 | 2 100 272"
        assert check.advice.startswith("Get the figure")
        assert "cannot be told" in check.message
    assert figures(found[0].working[4]) == "0.8 118 322 0.75"
    assert figures(found[0].working[6]) == "83 114 2009"


def test_an_amount_that_is_a_range_is_settled_by_what_is_taken() -> None:
    loose = "{food: f1, amount: 50 to 150 g per animal}"
    (check,) = said([loose, line("f7", 1)], "Suricata suricatta", [animal("A", "0.8")])
    assert check.verdict is Verdict.CANNOT_TELL
    assert "f1" in check.settles
    assert "really takes" in check.settles


def test_a_slip_is_read_again_and_the_step_is_named() -> None:
    """Lemurs (D014) 86.3 to 122.8 kcal at 1 kg; 150 % of that are 184."""
    lemurs = [animal("A", 1), animal("B", "1.2"), "{id: C}"]
    far, unweighed = said([line("f1", 300)], "Lemur catta", lemurs)
    assert (far.animals, far.severity) == (("A", "B"), Severity.MEDIUM)
    assert figures(far.message) == "1 300 86.3 123 2003 184"
    assert far.advice.startswith("Read the amounts")
    assert unweighed.animals == ("C",)
    (low,) = said([line("f1", 30)], "Lemur catta", [animal("A", 1)])
    assert figures(low.message) == "30 86.3 123 2003 51.8"  # 60 % of 86.3
    (mild,) = said([line("f1", 150)], "Lemur catta", [animal("A", 1)])
    assert mild.advice.startswith("Look at body condition")
    assert figures(mild.message) == "150 86.3 123 2003"
    assert mild.others == ()
    assert len(mild.occasions) == 2


def test_too_little_is_told_of_the_worst_animal_first() -> None:
    lemurs = [animal("A", 2), animal("B", 4), animal("C", 3)]
    (check,) = said([line("f1", 10)], "Lemur catta", lemurs)
    assert check.animals == ("B", "C", "A")


def test_food_without_energy_is_the_worst_of_too_little() -> None:
    lemurs = [animal("A", 2), animal("B", 2)]
    lines = [line("f1", 10, ", for: [A]"), line("f0", 10, ", for: [B]")]
    (check,) = said(lines, "Lemur catta", lemurs)
    assert (check.verdict, check.animals) == (Verdict.BREACH, ("B", "A"))


def test_one_figure_for_many_species_is_told_with_its_band() -> None:
    """D010: 140 kcal at 1 kg, 60 % is 84 and 150 % is 210."""
    (check,) = said([line("f1", 300)], "Saimiri sciureus", [animal("A", 1)])
    assert figures(check.message) == "300 84 210 60 150 2003"
    assert check.limit is not None
    assert check.limit.standing is Standing.COMMON_PRACTICE
    (own_rows,) = said([line("f1", 100)], "Lemur catta", [animal("A", 1)])
    assert own_rows.limit is not None
    assert own_rows.limit.standing is Standing.PUBLISHED
    assert (own_rows.advice, own_rows.occasions, own_rows.places) == ("", (), ())


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"group": records.group(animals=["{id: A, here_until: 2026-10-01}"])}, "no animal lives"),
        ({"rota": ""}, "no rota"),
        ({"rota": records.rota(["{fast: planned}"] * 2)}, "no whole rota"),
    ],
)
def test_what_cannot_be_asked_at_all_is_said(changes: dict[str, str], why: str) -> None:
    files = {**records.small(), **{f"{k}.yaml": v for k, v in changes.items()}}
    present = {name: text for name, text in files.items() if text}
    (check,) = checks_of(outcome_of(energy_for_maintenance, present, records.ON), "tapir")
    assert check.verdict is Verdict.NOT_APPLICABLE
    assert why in check.message


def test_an_unweighed_animal_hides_no_neighbour() -> None:
    """Nor does one in a stage without formulas: it is not even asked to be weighed."""
    lemurs = ["{id: C}", "{id: D, stage: growing}", animal("A", 1)]
    far, unweighed = said([line("f1", 300)], "Lemur catta", lemurs)
    assert (far.animals, unweighed.animals) == (("A",), ("C",))
