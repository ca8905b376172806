"""Limits that became weaker. No published figures are held here; everything is invented."""

from __future__ import annotations

import pytest

from dietcheck.contract import Severity, Verdict
from dietcheck.history.guards import guards_digest
from dietcheck.history.lookback import Lookback
from dietcheck.screening.hookspecs import CONTRACT, Pack
from dietcheck.screening.packs import rules_of
from dietcheck.screening.screen import screen
from dietcheck.testing import Memory
from dietcheck_rules import limit_loosened
from dietcheck_rules.limit_loosened.weakened import unread
from tests import records
from tests.records import linked
from tests.rules.past_records import findings, grades, line, said

LIMIT = (
    "{group: tapir, quantity: sugars, at_most: 6 % of dry matter, over: day, severity: medium,"
    " why: teeth, set_by: Dr Vale, on: 2026-01-01}"
)
FLOOR = LIMIT.replace("at_most: 6", "at_least: 6")
IVY = (
    "{name: ivy, also_called: [hedera], organism: Hedera helix, for: [tapir, Aves],"
    " severity: high, why: bad batch, set_by: Dr Vale, on: 2026-01-01}"
)
OFF = "rules: [{rule: sugar-ceiling, set: %s, why: too loud, set_by: Dr Vale, on: 2026-11-01}]"
SIGNED = (
    "record: sign-off\nby: Dr Vale\nrole: vet\non: {on}\ngroups: [tapir]\naccepts:\n"
    "  - {{rule: sugar-ceiling, group: tapir, food: carrot, animals: [{animals}], reason: test,"
    " until: {until}, up_to: {up_to}}}\n"
)
HIGH = [(Verdict.BREACH, Severity.HIGH)]
MEDIUM = [(Verdict.BREACH, Severity.MEDIUM)]


def park(
    *limits: str, more: str = "", grams: int = 600, sheet_of: str = "roots", **changes: str
) -> dict[str, str]:
    """A park with limits of its own and so much carrot."""
    files = records.small(
        **{
            "dietcheck": records.settings(more=more),
            "sheet": records.sheet({sheet_of: [line("carrot", f"{grams} g per animal")]}),
            **changes,
        }
    )
    if limits:
        entries = "".join(f"  - {one}\n" for one in limits)
        files["limits.yaml"] = f"record: limits\nlimits:\n{entries}"
    return files


def signed(
    on: str = "2026-11-10", until: str = "2026-12-31", up_to: str = "3 g", animals: str = "T1"
) -> str:
    """A sign-off with one acceptance."""
    return SIGNED.format(on=on, until=until, up_to=up_to, animals=animals)


WEAKER = {
    "a higher ceiling": (park(LIMIT), [LIMIT.replace("6 %", "8 %")], {}),
    "a lower floor": (park(FLOOR), [FLOOR.replace("6 %", "4 %")], {}),
    "gone": (park(LIMIT), [], {}),
    "a milder grade": (park(LIMIT), [LIMIT.replace("medium", "low")], {}),
    "another basis": (park(LIMIT), [LIMIT.replace("6 % of dry matter", "6 % as fed")], {}),
    "another span": (park(LIMIT), [LIMIT.replace("over: day", "over: rota")], {}),
    "an entry gone": (park(more=f"do_not_feed: [{IVY}]"), [], {}),
    "fewer animals": (
        park(more=f"do_not_feed: [{IVY}]"),
        [],
        {"more": f"do_not_feed: [{IVY.replace('[tapir, Aves]', '[Aves]')}]"},
    ),
    "fewer names": (
        park(more=f"do_not_feed: [{IVY}]"),
        [],
        {"more": f"do_not_feed: [{IVY.replace('[hedera]', '[bindwood]')}]"},
    ),
    "an entry made milder": (
        park(more=f"do_not_feed: [{IVY}]"),
        [],
        {"more": f"do_not_feed: [{IVY.replace('severity: high', 'severity: low')}]"},
    ),
    "one part only": (
        park(more=f"do_not_feed: [{IVY}]"),
        [],
        {"more": f"do_not_feed: [{IVY.replace('organism', 'part: root, organism')}]"},
    ),
    "a rule off": (park(), [], {"more": OFF % "off"}),
    "a rule graded down": (park(more=OFF % "high"), [], {"more": OFF % "low"}),
    "a strict grade taken back": (park(more=OFF % "high"), [], {}),
}


@pytest.mark.parametrize("case", WEAKER)
@pytest.mark.parametrize(("grams", "expected"), [(600, MEDIUM), (900, HIGH)])
def test_weaker_alone_is_medium_and_with_the_diet_high(
    case: str, grams: int, expected: list[tuple[Verdict, Severity]]
) -> None:
    before, limits, changes = WEAKER[case]
    after = park(*limits, grams=grams, **changes)
    assert grades(said(limit_loosened, before, after)) == expected


def test_alone_it_needs_its_own_sign_off() -> None:
    (check,) = said(limit_loosened, park(LIMIT), park())
    assert "needs its own sign-off" in check.message
    assert "6 %" in check.message


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (park(LIMIT), park(LIMIT)),
        (park(LIMIT), park(LIMIT.replace("6 %", "5 %"))),
        (park(FLOOR), park(FLOOR.replace("6 %", "7 %"))),
        (park(LIMIT), park(LIMIT.replace("medium", "high"))),
        (park(LIMIT), park(LIMIT, LIMIT.replace("6 %", "9 %"))),  # the strict one still stands
        (park(), park(LIMIT)),
        (park(), park(more=f"do_not_feed: [{IVY}]")),
        (park(more=OFF % "off"), park()),
        (park(more=OFF % "low"), park(more=OFF % "high")),
    ],
)
def test_the_same_or_stricter_is_kept_whatever_the_diet_does(
    before: dict[str, str], after: dict[str, str]
) -> None:
    checked = {**after, "sheet.yaml": park(grams=900)["sheet.yaml"]}
    (check,) = said(limit_loosened, before, checked)
    assert check.verdict is Verdict.KEPT


def test_a_limit_for_others_does_not_profit_this_diet() -> None:
    """The tapirs' diet changes; the limit that went was for parrots."""
    parrots = LIMIT.replace("group: tapir", "taxon: Psittaciformes")
    assert grades(said(limit_loosened, park(parrots), park(grams=900))) == MEDIUM


def test_a_limit_for_a_taxon_reaches_its_groups() -> None:
    mammals = LIMIT.replace("group: tapir", "taxon: Mammalia")
    (check,) = findings(said(limit_loosened, park(mammals), park(grams=900)))
    assert check.severity is Severity.HIGH
    assert check.animals == ("T1",)


def test_a_treat_profits_too() -> None:
    treat = (
        "record: treats\ntreats:\n  - {on: 2026-11-26, group: tapir, purpose: training,"
        " items: [{food: carrot, amount: 10 g per animal}]}\n"
    )
    after = {**park(), "treats.yaml": treat}
    assert grades(said(limit_loosened, park(LIMIT), after)) == HIGH


def test_what_was_kept_from_one_animal() -> None:
    group = "{id: T1, name: Pip, never: [banana, grape]}"
    old = park(group=records.group(animals=[group]))
    for never, expected in (("[banana, grape]", []), ("[banana]", MEDIUM)):
        new = park(group=records.group(animals=[group.replace("[banana, grape]", never)]))
        assert grades(said(limit_loosened, old, new)) == expected


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({}, []),
        ({"until": "2027-01-31"}, MEDIUM),
        ({"up_to": "30 g"}, MEDIUM),
        ({"animals": "T1, T2"}, MEDIUM),
        ({"until": "2026-12-01"}, []),
        ({"up_to": "2 g"}, []),
        ({"on": "2026-11-24", "until": "2027-01-31"}, []),  # a signature of its own
    ],
)
def test_an_acceptance_must_not_grow_under_an_old_signature(
    changed: dict[str, str], expected: list[tuple[Verdict, Severity]]
) -> None:
    animals = records.group(animals=["{id: T1}", "{id: T2}"])
    old = park(group=animals, signed=signed())
    new = park(group=animals, signed=signed(**changed))
    assert grades(said(limit_loosened, old, new)) == expected


def test_a_limit_that_moved_to_another_file_is_the_same() -> None:
    old = park(LIMIT)
    new = {("house.yaml" if name == "limits.yaml" else name): text for name, text in old.items()}
    assert grades(said(limit_loosened, old, new)) == []


def test_without_an_earlier_version_the_reason_is_given() -> None:
    (check,) = said(limit_loosened, None, park())
    assert check.verdict is Verdict.NOT_APPLICABLE
    assert "no earlier version" in check.message


def groups_told(before: dict[str, str], after: dict[str, str]) -> list[str | None]:
    """The group of each finding of the rule."""
    return [check.group for check in findings(said(limit_loosened, before, after))]


def test_it_is_put_to_each_group_that_profits_else_to_the_one_it_is_for() -> None:
    mammals = LIMIT.replace("group: tapir", "taxon: Mammalia")
    second = {
        "second.yaml": records.group(species="Lemur catta", animals=["{id: L1}"]).replace(
            "id: tapir", "id: lemur"
        )
    }
    for old, grams, told in (
        (LIMIT, 600, ["tapir"]),
        (LIMIT, 900, ["tapir"]),
        (mammals, 600, [None]),
        (mammals, 900, ["tapir"]),  # the lemurs are fed as before
    ):
        before = {**park(old), **second}
        assert groups_told(before, {**park(grams=grams), **second}) == told


def test_the_vet_of_the_group_can_accept_it() -> None:
    accepts = SIGNED.format(on="2026-11-24", animals="T1", until="2026-12-31", up_to="1 kg")
    accepts = accepts.replace("sugar-ceiling", "limit-loosened").replace(" food: carrot,", "")
    accepts = accepts.replace(", up_to: 1 kg", "")
    report = screen(
        Memory({**park(grams=900), "signed.yaml": accepts}),
        records.ON,
        load=lambda _: rules_of(Pack("test", "0", CONTRACT, (limit_loosened,))),
        earlier=Lookback(Memory(park(LIMIT))),
    )
    (finding,) = [f for f in report.findings if f.rule == "limit-loosened"]
    assert finding.group == "tapir"
    assert finding.accepted is not None


def test_a_limit_that_was_signed_by_itself_is_settled_and_never_along_with_a_diet() -> None:
    """The signature holds the digest of the limits as they are now, given by who may."""
    before, loose = park(LIMIT), LIMIT.replace("6 %", "8 %")
    digest = guards_digest(records.linked(park(loose)))
    text = f"record: sign-off\nby: Dr Vale\nrole: vet\non: 2026-11-24\nlimits: {digest}\n"
    assert grades(said(limit_loosened, before, park(loose))) == MEDIUM
    assert grades(said(limit_loosened, before, park(loose, signed=text))) == []
    nobody = text.replace("Dr Vale", "Pia Renn")
    assert grades(said(limit_loosened, before, park(loose, signed=nobody))) == MEDIUM
    looser = LIMIT.replace("6 %", "9 %")
    assert grades(said(limit_loosened, before, park(looser, signed=text))) == MEDIUM
    assert grades(said(limit_loosened, before, park(loose, grams=700, signed=text))) == HIGH


TREATS = (
    "record: treats\ntreats:\n  - {on: 2026-11-20, group: tapir, purpose: training, "
    "items: [{food: carrot, amount: 5 g per animal}]}\n"
)


SPARE = records.foods(spare="{same_as: lettuce-cos}")


@pytest.mark.parametrize("name", ["more", "more/", "more/one.yaml"])
@pytest.mark.parametrize(("text", "expected"), [(SPARE, MEDIUM), (TREATS, HIGH)])
def test_records_that_are_no_longer_read_hide_what_they_say(
    name: str, text: str, expected: list[tuple[Verdict, Severity]]
) -> None:
    """Treats that are hidden are a change of the diet; foods that nobody is fed are none."""
    before = {**park(), "more/one.yaml": text}
    after = {**park(more=f"leave_out: [{name}]"), "more/one.yaml": text}
    checks = said(limit_loosened, before, after)
    assert grades(checks) == expected
    assert "more/one.yaml" in findings(checks)[0].message


def test_what_never_was_a_record_may_be_left_out() -> None:
    assert grades(said(limit_loosened, park(), park(more="leave_out: [forms]"))) == []


def test_a_rule_pack_that_is_no_longer_asked_is_told() -> None:
    before = park(more="packs: [dietcheck_rules, ours]")
    after = park(more="packs: [dietcheck_rules]")
    found = list(unread(linked(before), linked(after), []))
    assert [("ours" in one.what) for one in found] == [True]
    assert list(unread(linked(after), linked(before), [])) == []


@pytest.mark.parametrize(
    "more",
    ["leave_out: [forms]", "packs: [dietcheck_rules, ours]"],
)
def test_what_is_asked_and_read_is_part_of_what_is_signed(more: str) -> None:
    assert guards_digest(linked(park())) != guards_digest(linked(park(more=more)))


def test_the_food_of_a_limit_is_part_of_what_is_signed() -> None:
    of_food = [LIMIT.replace("quantity", f"food: {food}, quantity") for food in ("carrot", "beet")]
    foods = records.foods(carrot="{same_as: carrot}", beet="{same_as: beetroot}")
    one, other = (guards_digest(linked(park(limit, foods=foods))) for limit in of_food)
    assert one != other
