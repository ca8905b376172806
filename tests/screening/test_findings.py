"""One cause one finding; what a signature releases and what it does not."""

from __future__ import annotations

from datetime import date

import pytest
from msgspec.structs import replace

from dietcheck.collection.places import Pointer
from dietcheck.collection.settings import Acceptance, Signer, SignOff
from dietcheck.contract import Check, Severity, Verdict, When
from dietcheck.history.covered import accepted_digest
from dietcheck.history.digest import content_digest
from dietcheck.quantities import read_mass
from dietcheck.screening.acceptance import NONE, Acceptances
from dietcheck.screening.findings import Finding, Judged, days_of, finding_id, findings_of
from tests import records

ON = date(2026, 11, 25)
VET = Signer("Dr Vale", "vet", date(2024, 1, 1), None)
CHECK = Check(
    verdict=Verdict.BREACH,
    about="fruit",
    message="too much",
    severity=Severity.MEDIUM,
    food="banana",
    animals=("Pip",),
    occasions=(When(ON, 3, "morning", "m"),),
    places=(Pointer("sheet.yaml", ("meals", "m", 0)),),
)
ACCEPTANCE = Acceptance(
    "fruit-as-treat", "marmoset", "banana", ("Pip",), "vehicle", date(2026, 12, 31), Pointer("s")
)
SIGNED = SignOff(
    "Dr Vale", "vet", date(2026, 11, 3), ("marmoset",), {}, None, (ACCEPTANCE,), Pointer("s")
)


def judged(check: Check = CHECK, **changes: object) -> Judged:
    """A check as the fruit rule made it for the marmosets."""
    return replace(Judged("fruit-as-treat", "marmoset", check), **changes)


def find(*checks: Judged, signed: SignOff = SIGNED, signer: Signer = VET) -> tuple[Finding, ...]:
    """The findings under a signature."""
    return findings_of(checks, Acceptances([signed], [signer], ON, {}))


def test_the_same_cause_on_two_days_is_one_finding_that_lists_both() -> None:
    second = replace(CHECK, occasions=(When(ON, 1, "afternoon", "m"),), animals=("Wren",))
    (finding,) = find(judged(), judged(second))
    assert days_of(finding.check.occasions) == (1, 3)
    assert finding.check.animals == ("Pip", "Wren")
    assert len(finding.check.places) == 1


def test_the_gravest_of_one_cause_speaks_for_all() -> None:
    worse = replace(CHECK, severity=Severity.HIGH, message="worse")
    (finding,) = find(judged(), judged(worse))
    assert (finding.severity, finding.check.message) == (Severity.HIGH, "worse")


def test_kept_checks_are_no_findings_and_high_comes_first() -> None:
    high = replace(CHECK, about="other", severity=Severity.HIGH)
    kept = replace(CHECK, about="third", verdict=Verdict.KEPT)
    assert [f.severity for f in find(judged(), judged(high), judged(kept))] == ["high", "medium"]


def test_findings_stand_by_gravity_then_by_group_and_rule() -> None:
    def one(group: str | None, rule: str, severity: Severity = Severity.MEDIUM) -> Judged:
        return Judged(rule, group, replace(CHECK, severity=severity))

    found = find(
        one("otter", "b"), one("lemur", "c"), one(None, "z"), one("otter", "a"),
        one("otter", "x", Severity.HIGH),
    )  # fmt: skip
    assert [(f.group, f.rule) for f in found] == [
        ("otter", "x"), (None, "z"), ("lemur", "c"), ("otter", "a"), ("otter", "b"),
    ]  # fmt: skip


def test_of_one_cause_a_breach_speaks_before_a_cannot_tell_and_the_occasions_are_in_order() -> None:
    late, early = When(ON, 3, "morning", "m"), When(ON, 1, "morning", "m")
    open_ = replace(CHECK, verdict=Verdict.CANNOT_TELL, message="perhaps", occasions=(late,))
    (finding,) = find(judged(open_), judged(replace(CHECK, occasions=(early, late))))
    assert (finding.check.message, finding.check.verdict) == ("too much", Verdict.BREACH)
    assert finding.check.occasions == (early, late)
    assert days_of(When(ON, number) for number in (9, 40, 9, 1)) == (1, 9, 40)
    assert len(finding.id) == 12


def test_one_check_that_nobody_can_accept_keeps_the_whole_cause_open() -> None:
    (finding,) = find(judged(), judged(can_be_accepted=False))
    assert finding.accepted is None


def test_the_name_of_a_finding_holds_no_line_figure_or_date() -> None:
    moved = replace(
        CHECK,
        message="99 g",
        places=(Pointer("other.yaml", ("x",)),),
        occasions=(When(date(2027, 1, 1), 9),),
    )
    assert finding_id(judged()) == finding_id(judged(moved))
    assert finding_id(judged()) != finding_id(judged(replace(CHECK, food="grape")))
    assert finding_id(judged()) != finding_id(judged(group="otter"))


def test_a_signed_acceptance_releases_just_its_finding() -> None:
    other = replace(CHECK, food="grape")
    accepted = {f.check.food: f.accepted is not None for f in find(judged(), judged(other))}
    assert accepted == {"banana": True, "grape": False}
    (finding,) = find(judged())
    assert not finding.blocks(Severity.LOW)


@pytest.mark.parametrize(
    "signed",
    [
        replace(SIGNED, accepts=(replace(ACCEPTANCE, until=date(2026, 11, 24)),)),
        replace(SIGNED, accepts=(replace(ACCEPTANCE, rule="sugar-ceiling"),)),
        replace(SIGNED, accepts=(replace(ACCEPTANCE, group="otter"),)),
        replace(SIGNED, accepts=(replace(ACCEPTANCE, animals=("Wren",)),)),
        replace(SIGNED, on=date(2026, 11, 26)),
        replace(SIGNED, by="Mina Okoro"),
        replace(SIGNED, role="keeper"),
        replace(SIGNED, on=date(2023, 11, 1)),
    ],
    ids=["ended", "other rule", "other group", "other animal", "future", "who", "role", "before"],
)
def test_an_acceptance_that_does_not_fit_releases_nothing(signed: SignOff) -> None:
    (finding,) = find(judged(), signed=signed)
    assert finding.accepted is None
    assert finding.blocks(Severity.MEDIUM)


def test_an_acceptance_counts_from_the_day_it_is_signed_to_its_last() -> None:
    today = replace(SIGNED, on=ON, accepts=(replace(ACCEPTANCE, until=ON),))
    assert find(judged(), signed=today)[0].accepted is not None


def test_of_several_acceptances_the_one_that_ran_longest_is_said_to_have_ended() -> None:
    signed = [
        replace(SIGNED, accepts=(replace(ACCEPTANCE, until=date(2026, 11, day)),))
        for day in (10, 24, 20)
    ]
    (finding,) = findings_of([judged()], Acceptances(signed, [VET], ON, {}))
    assert "it ended on 2026-11-24, 1 day ago" in finding.check.message


def test_a_signer_whose_time_is_over_releases_nothing() -> None:
    (finding,) = find(judged(), signer=replace(VET, until=date(2026, 10, 1)))
    assert finding.accepted is None


def test_an_acceptance_without_animals_or_food_covers_the_rule_for_the_group() -> None:
    wide = replace(SIGNED, accepts=(replace(ACCEPTANCE, food=None, animals=()),))
    assert find(judged(), signed=wide)[0].accepted is not None
    amount = replace(ACCEPTANCE, food=None, up_to=read_mass("1 g"))  # of nothing named
    assert find(judged(), signed=replace(SIGNED, accepts=(amount,)))[0].accepted is not None


def test_what_guards_honesty_can_never_be_accepted() -> None:
    assert find(judged(can_be_accepted=False))[0].accepted is None


@pytest.mark.parametrize(
    ("severity", "on", "blocks"),
    [
        ("high", "high", True),
        ("medium", "high", False),
        ("low", "medium", False),
        ("low", "low", True),
    ],
)
def test_what_blocks(severity: str, on: str, blocks: bool) -> None:
    (finding,) = findings_of([judged(replace(CHECK, severity=Severity(severity)))], NONE)
    assert finding.blocks(Severity(on)) is blocks


def test_one_lower() -> None:
    assert [s.one_lower() for s in Severity] == ["medium", "low", "low"]


def test_a_high_finding_is_released_by_a_vet_alone() -> None:
    high = judged(replace(CHECK, severity=Severity.HIGH))
    assert find(high)[0].accepted is not None
    lead = replace(VET, role="nutrition lead")
    assert (
        find(high, signed=replace(SIGNED, role="nutrition lead"), signer=lead)[0].accepted is None
    )


@pytest.mark.parametrize(
    ("amount", "released"),
    [("3 g", True), ("3.1 g", False), ("2 to 4 g", False)],
)
def test_an_acceptance_is_void_once_more_is_offered_than_was_accepted(
    amount: str, released: bool
) -> None:
    """Half of it in the morning, half hidden in a mix in the afternoon. Invented."""
    files = records.small(
        foods=records.foods(
            banana="{same_as: banana}",
            carrot="{same_as: carrot}",
            ball="{mix: {banana: 50 %, carrot: 50 %}}",
        ),
        sheet=records.sheet(
            {
                "roots": ["{food: ball, amount: 2 g per animal}"],
                "fruit": [f"{{food: banana, amount: {amount} per animal}}"],
            }
        ),
        rota=records.rota(["{morning: fruit, afternoon: no feed}"] * 2),
    )
    diet = records.diet(files)
    up_to = replace(ACCEPTANCE, group="tapir", animals=(), up_to=read_mass("3 g"))
    signed = replace(SIGNED, accepts=(up_to,))
    check = judged(replace(CHECK, animals=("T1",)), group="tapir")
    acceptances = Acceptances([signed], [VET], ON, {"tapir": diet})
    (finding,) = findings_of([check], acceptances)
    assert (finding.accepted is not None) is released
    both = records.diet(
        {**files, "rota.yaml": records.rota(["{morning: fruit, afternoon: roots}"] * 2)}
    )
    assert both.most_in_a_day(both.animals[0], "banana").low == read_mass(amount).low + 1


@pytest.mark.parametrize(("animals", "released"), [(("T1",), True), (("T2",), False), ((), False)])
def test_only_the_animals_of_the_finding_are_held_to_what_was_accepted(
    animals: tuple[str, ...], *, released: bool
) -> None:
    """Two feeds of 1 g for everybody, and as much again for T2."""
    line = "{food: banana, amount: 1 g per animal}"
    files = records.small(
        group=records.group(animals=("{id: T1}", "{id: T2}")),
        foods=records.foods(banana="{same_as: banana}"),
        sheet=records.sheet({"roots": [line, line.replace("}", ", for: [T2]}")]}),
    )
    up_to = replace(ACCEPTANCE, group="tapir", animals=(), up_to=read_mass("2 g"))
    acceptances = Acceptances(
        [replace(SIGNED, accepts=(up_to,))], [VET], ON, {"tapir": records.diet(files)}
    )
    check = judged(replace(CHECK, animals=animals), group="tapir")
    (finding,) = findings_of([check], acceptances)
    assert (finding.accepted is not None) is released
    assert ("than 2 g" in finding.check.message) is not released


def test_days_left_are_counted_to_the_last_one() -> None:
    accepted = find(judged())[0].accepted
    assert accepted is not None
    assert (accepted.days_left(ON), accepted.days_left(date(2026, 12, 31))) == (36, 0)


SHEET = records.sheet({"roots": ["{food: carrot, amount: 1 g per animal}"]})
THIN = "{id: T1, weighings: [{on: 2026-11-20, mass: 200 kg}, {on: 2026-11-24, mass: 170 kg}]}"
TWO = ("{id: T1, weighings: [{on: 2026-11-20, mass: 200 kg}]}", "{id: T2}")


def accepts(more: str, content: str = "") -> str:
    """A signature of the vet that accepts a risk of the tapirs' carrots."""
    return (
        "record: sign-off\nby: Dr Vale\nrole: vet\non: 2026-11-22\ngroups: [tapir]\n"
        f"{content}\naccepts:\n  - {{rule: fruit-as-treat, group: tapir, reason: r, "
        f"until: 2026-12-31, {more}}}\n"
    )


def spoken(more: str, content: str = "", **changes: str) -> Finding:
    """What becomes of a finding on the carrots under that signature."""
    files = records.small(**({"sheet": SHEET, "signed": accepts(more, content)} | changes))
    collection = records.linked(files)
    diets = {"tapir": records.diet(files)}
    acceptances = Acceptances(collection.sign_offs, [VET], ON, diets, collection)
    check = judged(replace(CHECK, food="carrot", animals=("T1",)), group="tapir")
    (finding,) = findings_of([check], acceptances)
    return finding


@pytest.mark.parametrize(
    ("more", "changes", "why"),
    [
        ("heads: 1", {}, ""),
        ("heads: 1", {"group": records.group(animals=TWO)}, "there were 1 animals and are 2"),
        ("weights: {T1: 180 to 220 kg}", {}, ""),
        ("weights: {T1: 180 to 220 kg}", {"group": records.group(animals=(THIN,))}, "170000 g"),
        ("weights: {T1: 180 to 220 kg}", {"group": records.group(animals=("{id: T1}",))},
         "no weight any more"),
    ],
    ids=["as many", "one more", "as heavy", "thinner", "weight gone"],
)  # fmt: skip
def test_heads_and_weights_that_an_acceptance_holds(
    more: str, changes: dict[str, str], why: str
) -> None:
    finding = spoken(more, **changes)
    assert (finding.accepted is not None) is (not why)
    assert why in finding.check.message
    assert ("does not count" in finding.check.message) is bool(why)


def test_a_weight_at_the_very_bound_is_inside() -> None:
    assert spoken("weights: {T1: 200 to 220 kg}").accepted is not None
    assert spoken("weights: {T1: 200.001 to 220 kg}").accepted is None


@pytest.mark.parametrize("scoped", [False, True])
def test_a_changed_diet_voids_what_was_accepted_and_one_of_another_food_does_not(
    scoped: bool,
) -> None:
    before = records.linked(records.small(sheet=SHEET))
    food = "carrot" if scoped else None
    digest = accepted_digest(before, "tapir", food, date(2026, 11, 22))
    more = f"content: '{digest}'" + (", food: carrot, up_to: 5 g" if scoped else "")
    assert spoken(more).accepted is not None
    heavier = records.sheet({"roots": ["{food: carrot, amount: 2 g per animal}"]})
    assert "changed since" in spoken(more, sheet=heavier).check.message
    lines = ["{food: carrot, amount: 1 g per animal}", "{food: leaf, amount: 1 g per animal}"]
    foods = records.foods(carrot="{same_as: carrot}", leaf="{same_as: lettuce-cos}")
    other = spoken(more, sheet=records.sheet({"roots": lines}), foods=foods)
    assert (other.accepted is not None) is scoped
    oftener = records.rota(["{morning: roots, afternoon: roots}"] * 3)
    assert (spoken(more, rota=oftener).accepted is None) is True


def test_the_digest_of_a_signature_binds_what_has_none_of_its_own() -> None:
    before = records.linked(records.small(sheet=SHEET))
    digest = content_digest(before, "tapir", date(2026, 11, 22))
    content = f"content: {{tapir: '{digest}'}}"
    heavier = records.sheet({"roots": ["{food: carrot, amount: 2 g per animal}"]})
    assert spoken("heads: 1", content).accepted is not None
    assert spoken("heads: 1", content, sheet=heavier).accepted is None


def test_what_a_record_made_by_hand_does_not_hold_is_said() -> None:
    by_hand = spoken("food: carrot, up_to: 5 g").accepted
    assert by_hand is not None
    assert by_hand.not_held == ("the number of animals", "the weights")


@pytest.mark.parametrize(
    ("finding", "why"),
    [
        (judged(can_be_accepted=False), "nobody can accept this"),
        (judged(replace(CHECK, food="grape")), ""),
    ],
)
def test_why_an_acceptance_does_not_count_is_told_where_it_names_the_finding(
    finding: Judged, why: str
) -> None:
    (found,) = find(finding)
    assert found.accepted is None
    assert why in found.check.message
    assert ("does not count" in found.check.message) is bool(why)
