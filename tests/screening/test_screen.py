"""The main job from texts to report. Collections are invented."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from pathlib import Path

import pytest

from dietcheck.contract import Check, Diet, Rule, Verdict, hookimpl
from dietcheck.errors import JobError
from dietcheck.history.lookback import NO_LOOKBACK, Lookback
from dietcheck.screening.checks import Severity
from dietcheck.screening.hookspecs import CONTRACT, Pack
from dietcheck.screening.packs import rules_of
from dietcheck.screening.report import RECORDS_RULE, Report
from dietcheck.screening.screen import screen
from dietcheck.testing import Memory
from tests import records


def report(drafts: tuple[tuple[str, bytes], ...] = (), **changes: str) -> Report:
    """The screen of the small collection with files changed."""
    return screen(Memory(records.small(**changes)), records.ON, drafts)


def records_findings(found: Report) -> list[tuple[str, int, str]]:
    """File, line and message of what could not be read or linked."""
    return [
        (place.file, found.places[place].line, finding.check.message)
        for finding in found.findings
        if finding.rule == RECORDS_RULE
        for place in finding.check.places[:1]
    ]


def test_a_sound_collection_is_judged_by_every_rule() -> None:
    found = report()
    assert not found.failures
    assert {one.rule for one in found.judged} >= set(found.rules)
    assert records_findings(found) == []


def test_a_file_with_a_fault_is_told_once_and_blocks() -> None:
    """Its foods are not reported as unknown on top."""
    found = report(foods="record: foods\nfoods:\n  carrot: {same_as: carrot, colour: red}\n")
    assert [(file, line) for file, line, _ in records_findings(found)] == [("foods.yaml", 3)]
    of_records = [one for one in found.judged if one.rule == RECORDS_RULE]
    assert not any(one.can_be_accepted for one in of_records)
    assert "unknown-food" not in {finding.rule for finding in found.findings}
    assert found.status(Severity.HIGH) == 1


def test_a_group_file_with_a_fault_does_not_make_its_sheets_lost() -> None:
    found = report(group=records.group().replace("fed: together", "fed: nicely"))
    assert [file for file, _, _ in records_findings(found)] == ["group.yaml"]


def test_a_name_that_leads_nowhere_is_told_at_its_line() -> None:
    found = report(rota=records.rota(["{morning: roots, afternoon: roots}"] * 2, group="tapri"))
    assert [(file, line) for file, line, _ in records_findings(found)] == [("rota.yaml", 2)]


def test_without_usable_settings_nothing_is_judged_and_the_job_is_not_done() -> None:
    found = report(dietcheck="record: collection\nname: Test Park\n")
    assert found.status(Severity.LOW) == 2
    assert {finding.rule for finding in found.findings} == {RECORDS_RULE}
    assert {file: line for file, line, _ in records_findings(found)} == {"dietcheck.yaml": 1}
    assert found.group_called("tapir") == "tapir"
    assert found.title(RECORDS_RULE)


def test_a_missing_pack_stops_the_screen() -> None:
    with pytest.raises(JobError, match="not installed"):
        report(dietcheck=records.settings(more="packs: [elsewhere]"))


def test_a_draft_takes_the_place_of_its_record() -> None:
    draft = records.sheet({"roots": ["{food: carot, amount: 600 g per animal}"]}).encode()
    found = report(drafts=(("drafts/sheet.yaml", draft),))
    (finding,) = (f for f in found.findings if f.rule == "unknown-food")
    place = finding.check.places[0]
    assert (place.file, found.places[place].line) == ("drafts/sheet.yaml", 8)
    assert finding.blocks(Severity.HIGH)


def test_the_same_texts_give_the_same_findings_whatever_the_order_of_files() -> None:
    files = records.small(sheet=records.sheet({"roots": ["{food: x, amount: 6 g per animal}"]}))
    backwards = dict(reversed(files.items()))
    one = screen(Memory(files), date(2026, 11, 25))
    other = screen(Memory(backwards), date(2026, 11, 25))
    assert one.findings == other.findings


def test_to_ask_the_bundled_rules_no_more_is_told_though_none_of_them_is_left_to_tell() -> None:
    before = Memory(records.small())
    after = Memory(records.small(dietcheck=records.settings(more="packs: [ours]")))
    found = screen(after, records.ON, load=lambda _: (), earlier=Lookback(before))
    assert [one.severity for one in found.findings] == [Severity.HIGH]
    assert found.status(Severity.HIGH) == 1
    for now, then in ((after, Lookback(after)), (before, Lookback(before)), (after, NO_LOOKBACK)):
        assert not screen(now, records.ON, load=lambda _: (), earlier=then).findings


class Before:
    """A rule that tells how many animals the group had before."""

    @hookimpl
    def describe(self) -> Rule:
        """What it is."""
        return Rule(id="before", title="Before", folder=Path())

    @hookimpl
    def judge_group(self, diet: Diet) -> Iterable[Check]:
        """One check."""
        past = "none" if diet.past is None else str(len(diet.past.animals))
        yield Check(verdict=Verdict.KEPT, about="n", message=past)


def animals(many: int) -> str:
    """A record of the tapirs."""
    return records.group(animals=[f"{{id: T{n}}}" for n in range(many)])


@pytest.mark.parametrize(
    ("draft", "earlier", "before"),
    [(None, None, "none"), (None, 3, "3"), (2, None, "1"), (2, 3, "3")],
)
def test_a_draft_is_compared_with_what_it_takes_the_place_of_unless_told_else(
    draft: int | None, earlier: int | None, before: str
) -> None:
    drafts = [("drafts/group.yaml", animals(draft).encode())] if draft else []
    looked_back = NO_LOOKBACK
    if earlier:
        looked_back = Lookback(Memory(records.small(group=animals(earlier))))
    found = screen(
        Memory(records.small(group=animals(1))),
        records.ON,
        drafts,
        load=lambda _: rules_of(Pack("test", "0", CONTRACT, (Before(),))),
        earlier=looked_back,
    )
    assert [one.check.message for one in found.judged if one.rule == "before"] == [before]
    assert found.drafts == tuple(name for name, _ in drafts)


def test_drafts_are_named_even_where_the_settings_cannot_be_read() -> None:
    files = records.small(dietcheck="record: collection\nname: Test Park\n")
    found = screen(Memory(files), records.ON, [("drafts/group.yaml", animals(2).encode())])
    assert found.drafts == ("drafts/group.yaml",)
