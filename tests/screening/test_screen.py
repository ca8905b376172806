"""The main job from texts to report. Collections are invented."""

from __future__ import annotations

from datetime import date

import pytest

from dietcheck.errors import JobError
from dietcheck.history.lookback import Lookback
from dietcheck.screening.checks import Severity
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
    assert not screen(after, records.ON, load=lambda _: (), earlier=Lookback(after)).findings
