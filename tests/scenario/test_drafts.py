"""The mistakes of the example park, each as a draft: who speaks, how gravely, at which line.

The park, its people and its mistakes are invented. `at` is a text that stands on the line which
the finding points at first.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from dietcheck.contract import Severity
from dietcheck.reading import Folder, read_repository
from dietcheck.screening.concerned import concerned
from dietcheck.screening.findings import Finding
from dietcheck.screening.report import Report
from dietcheck.screening.screen import screen

PARK = Path(__file__).parents[2] / "example_repo"
ON = date(2026, 11, 25)


@dataclass(frozen=True)
class Expected:
    """One finding that a draft must bring, and the park without it must not."""

    draft: str
    rule: str
    group: str | None
    severity: str
    verdict: str
    file: str
    at: str

    def __str__(self) -> str:
        return f"{self.draft} {self.rule}"


MISTAKES = [
    Expected("b01-tapir-pellet-13-kg.yaml", "portion-for-body-mass", "tapir", "high", "breach",
             "b01-tapir-pellet-13-kg.yaml", "13 kg per animal"),
    Expected("b01-tapir-pellet-13-kg.yaml", "sugar-ceiling", "tapir", "medium", "breach",
             "b01-tapir-pellet-13-kg.yaml", "13 kg per animal"),
    Expected("b01-tapir-pellet-13-kg.yaml", "amount-slip", "tapir", "high", "breach",
             "b01-tapir-pellet-13-kg.yaml", "13 kg per animal"),
    Expected("b01-tapir-pellet-13-kg.yaml", "back-dated", "tapir", "low", "breach",
             "b01-tapir-pellet-13-kg.yaml", "from: 2026-03-12"),
    Expected("b02-capybara-cucumber.yaml", "vitamin-c-floor", "capybara", "medium", "cannot-tell",
             "browse-and-hay.yaml", "timothy-hay"),  # the food whose label would settle it
    Expected("b02-capybara-cucumber.yaml", "swap-equivalence", "capybara", "medium", "breach",
             "b02-capybara-cucumber.yaml", "cucumber"),
    Expected("b02-capybara-cucumber.yaml", "swap-equivalence", "capybara", "low", "breach",
             "b02-capybara-cucumber.yaml", "from: 2026-11-23"),  # no end date
    Expected("b04-toucan-pellet-and-orange", "iron-ceiling", "toucan", "medium", "cannot-tell",
             "foods.yaml", "softbill pellet"),
    Expected("b04-toucan-pellet-and-orange", "toxic-item", "toucan", "medium", "breach",
             "diet-sheet.yaml", "orange"),
    Expected("b04-toucan-pellet-and-orange", "swap-equivalence", "toucan", "medium",
             "cannot-tell", "diet-sheet.yaml", "softbill-pellet"),
    Expected("b04-toucan-pellet-and-orange", "change-pace", "toucan", "medium", "breach",
             "diet-sheet.yaml", "softbill-pellet"),
    Expected("b06-pip-banana-twice.yaml", "fruit-as-treat", "marmoset", "medium", "breach",
             "b06-pip-banana-twice.yaml", "banana"),
    Expected("b06-pip-banana-twice.yaml", "sugar-ceiling", "marmoset", "medium", "breach",
             "b06-pip-banana-twice.yaml", "banana"),
    Expected("b06-pip-banana-twice.yaml", "individual-exclusion", "marmoset", "high", "breach",
             "b06-pip-banana-twice.yaml", "banana"),
    Expected("b06-pip-banana-twice.yaml", "medicine-in-food", "marmoset", "high", "breach",
             "b06-pip-banana-twice.yaml", "until: 2026-10-31"),
    Expected("b06-pip-banana-twice.yaml", "treat-allowance", "marmoset", "medium", "breach",
             "b06-pip-banana-twice.yaml", "banana"),
    Expected("b07-wallaby-hedge-cuttings.yaml", "unknown-food", "wallaby", "high", "cannot-tell",
             "b07-wallaby-hedge-cuttings.yaml", "mixed-hedge-cuttings"),
    Expected("b07-wallaby-hedge-cuttings.yaml", "browse-identified", "wallaby", "high", "breach",
             "b07-wallaby-hedge-cuttings.yaml", "mixed-hedge-cuttings"),
    Expected("b12-meerkat-mice.yaml", "fat-and-whole-prey", "meerkat", "medium", "breach",
             "b12-meerkat-mice.yaml", "mouse and vegetables"),
    Expected("b12-meerkat-mice.yaml", "swap-equivalence", "meerkat", "low", "breach",
             "b12-meerkat-mice.yaml", "instead_of: insects and vegetables"),
    Expected("b09-tortoise-leek-tops.yaml", "toxic-item", "tortoise", "high", "breach",
             "b09-tortoise-leek-tops.yaml", "leek"),
    Expected("b10-wallaby-lamb-pellet", "feed-for-its-species", "wallaby", "high", "cannot-tell",
             "diet-sheet.yaml", "lamb-creep-pellet"),
    Expected("b10-wallaby-lamb-pellet", "swap-equivalence", "wallaby", "medium", "breach",
             "diet-sheet.yaml", "lamb-creep-pellet"),
    Expected("b13-red-panda-grapes", "fruit-as-treat", "red-panda", "medium", "breach",
             "treats.yaml", "grape"),
    Expected("b13-red-panda-grapes", "individual-exclusion", "red-panda", "high", "breach",
             "treats.yaml", "grape"),
    Expected("b13-red-panda-grapes", "sugar-ceiling", "red-panda", "medium", "breach",
             "treats.yaml", "grape"),
    Expected("b13-red-panda-grapes", "treat-allowance", "red-panda", "low", "breach",
             "treats.yaml", "grape"),
    Expected("b13-red-panda-grapes", "treat-allowance", "red-panda", "low", "breach",
             "treats.yaml", "banana"),  # a treat that the sheet does not hold
    Expected("b15-otter-old-weights.yaml", "body-mass-known", "otter", "medium", "breach",
             "b15-otter-old-weights.yaml", "2026-04-29"),
    Expected("b15-otter-old-weights.yaml", "back-dated", "otter", "low", "breach",
             "b15-otter-old-weights.yaml", "group"),
    Expected("b15-otter-old-weights.yaml", "condition-plan", "otter", "low", "breach",
             "b15-otter-old-weights.yaml", "plan: {kind: weight reduction"),
    Expected("b16-wallaby-joey", "life-stage", "wallaby-joey", "medium", "breach",
             "diet-sheet.yaml", "record: diet sheet"),
    Expected("b16-wallaby-joey", "body-mass-known", "wallaby-joey", "medium", "cannot-tell",
             "group.yaml", "WA-10"),
    Expected("b16-wallaby-joey", "toxic-item", "wallaby-joey", "high", "breach",
             "diet-sheet.yaml", "joey-formula"),
    Expected("b17-penguin-rota-hole.yaml", "rota-complete", "penguin", "high", "breach",
             "b17-penguin-rota-hole.yaml", "#  9 Tue"),
    Expected("b17-penguin-rota-double.yaml", "records-readable", None, "high", "cannot-tell",
             "b17-penguin-rota-double.yaml", "afternoon"),
    Expected("b19-python-long-fast.yaml", "rota-balance", "python", "medium", "breach",
             "b19-python-long-fast.yaml", "# 13 Sat"),
    Expected("b19-dragon-fast-days.yaml", "rota-balance", "bearded-dragon", "medium", "breach",
             "b19-dragon-fast-days.yaml", "fast: planned"),
    Expected("b20-tapir-new-pellet", "change-pace", "tapir", "medium", "breach",
             "diet-sheet.yaml", "tapir-pellet-b"),
    Expected("b25-penguin-old-herring.yaml", "thaw-and-storage", "penguin", "low", "breach",
             "b25-penguin-old-herring.yaml", "at room temperature"),
    Expected("b25-penguin-old-herring.yaml", "thaw-and-storage", "penguin", "low", "breach",
             "b25-penguin-old-herring.yaml", "2025-12-20"),
    Expected("b26-otter-day-old-chicks", "feed-origin", "otter", "high", "breach",
             "diet-sheet.yaml", "day-old-chick"),
    Expected("b28-marmoset-new-arrival.yaml", "new-arrival", "marmoset-quarantine", "medium",
             "breach", "b28-marmoset-new-arrival.yaml", "here_from: 2026-11-20"),
    Expected("b28-marmoset-new-arrival.yaml", "rota-complete", "marmoset-quarantine", "high",
             "breach", "b28-marmoset-new-arrival.yaml", "record: group"),
    Expected("leftovers-wallaby-leek-tops.yaml", "toxic-item", "tortoise", "high", "breach",
             "leftovers-wallaby-leek-tops.yaml", "to: tortoise"),
    Expected("pieces-marmoset-carrot-sticks.yaml", "piece-size", "marmoset", "low", "breach",
             "pieces-marmoset-carrot-sticks.yaml", "sticks 6 cm"),
    Expected("season-tortoise-summer-sheet.yaml", "season-window", "tortoise", "medium",
             "cannot-tell", "season-tortoise-summer-sheet.yaml", "season: summer"),
    Expected("shares-meerkat-melon-halves", "shares-and-stations", "meerkat", "low", "breach",
             "treats.yaml", "3 pieces per group"),
    Expected("decoy-rhea-2-carrots.yaml", "composition-known", "rhea", "medium", "cannot-tell",
             "decoy-rhea-2-carrots.yaml", "2 pieces per animal"),
]  # fmt: skip


def files_of(draft: str) -> list[Path]:
    """The files of a draft, which is one file or a folder of several."""
    path = PARK / "drafts" / draft
    return sorted(path.glob("*.yaml")) if path.is_dir() else [path]


@cache
def judged(draft: str | None) -> Report:
    """The park with one draft laid over it."""
    files = files_of(draft) if draft else []
    laid = tuple((f"drafts/{f.relative_to(PARK / 'drafts')}", f.read_bytes()) for f in files)
    return screen(Folder(PARK), ON, laid)


def new_findings(draft: str) -> list[Finding]:
    """What the draft brings that the park does not have already, or no longer has accepted.

    That a changed diet waits for its signature is no mistake of the draft, see below.
    """
    before = {(f.id, f.severity, f.accepted is None) for f in judged(None).findings}
    return [
        f
        for f in judged(draft).findings
        if (f.id, f.severity, f.accepted is None) not in before and f.rule != "sign-off"
    ]


def first_line(report: Report, finding: Finding) -> tuple[str, str]:
    """The file name and the text of the line that a finding points at first."""
    pointer = finding.check.places[0]
    path = PARK / pointer.file
    return path.name, path.read_text().splitlines()[report.places[pointer].line - 1]


@pytest.mark.parametrize("expected", MISTAKES, ids=str)
def test_a_mistake_is_caught_at_its_severity_and_line(expected: Expected) -> None:
    report = judged(expected.draft)
    found = [
        (f.severity, f.check.verdict, *first_line(report, f))
        for f in new_findings(expected.draft)
        if (f.rule, f.group) == (expected.rule, expected.group)
    ]
    assert any(
        (severity, verdict, file) == (expected.severity, expected.verdict, expected.file)
        and expected.at in line
        for severity, verdict, file, line in found
    ), found


@pytest.mark.parametrize("expected", MISTAKES, ids=str)
def test_a_high_mistake_stops_the_commit(expected: Expected) -> None:
    blocked = {f.rule for f in new_findings(expected.draft) if f.blocks(Severity.HIGH)}
    assert (expected.rule in blocked) is (expected.severity == "high")


def test_the_park_itself_stops_nothing() -> None:
    report = judged(None)
    assert not report.failures
    assert [f.check.message for f in report.findings if f.blocks(Severity.HIGH)] == []


def test_a_bigger_ration_before_the_moult_is_no_mistake() -> None:
    assert [f.check.message for f in new_findings("decoy-penguin-moult.yaml")] == []


def test_the_park_is_signed_as_it_stands_and_a_changed_diet_waits_for_its_signature() -> None:
    def unsigned(draft: str | None) -> list[tuple[str | None, str]]:
        return [(f.group, f.severity) for f in judged(draft).findings if f.rule == "sign-off"]

    assert unsigned(None) == []
    weak = [j.check.weak for j in judged(None).judged if j.rule == "sign-off"]
    assert set(weak) == {()}  # every sign-off holds the digest of what was signed
    assert unsigned("decoy-penguin-moult.yaml") == [("penguin", "medium")]


def test_the_accepted_banana_of_pip_is_silent() -> None:
    """3 g a day as the vehicle of a medicine, accepted by the vet until the end of the year."""
    spoken = [
        f.check.message
        for f in judged(None).findings
        if f.group == "marmoset" and f.accepted is None and f.check.food == "banana"
    ]
    assert spoken == []
    accepted = [f.rule for f in judged(None).findings if f.group == "marmoset" and f.accepted]
    assert accepted == ["individual-exclusion"]


def test_the_accepted_banana_is_shown_with_its_days_and_all_that_binds_it() -> None:
    (finding,) = [f for f in judged(None).findings if f.accepted]
    assert finding.accepted is not None
    assert finding.accepted.days_left(ON) == 36
    assert finding.accepted.not_held == ()


def of_sign_off(draft: str) -> dict[str, Finding]:
    """What the rule on signatures says of a draft, by what it is about."""
    return {f.check.about: f for f in judged(draft).findings if f.rule == "sign-off"}


def test_the_head_keeper_approves_the_own_rota() -> None:
    """B22: who may not sign has signed, and it is the own rota."""
    found = of_sign_off("b22-head-keeper-signs-own-rota")
    own = found["signed by somebody who may not: Jory Lindahl"]
    assert (own.group, own.severity, own.accepted) == ("tortoise", Severity.HIGH, None)
    assert "Jory Lindahl wrote it, too" in own.check.message
    assert first_line(judged("b22-head-keeper-signs-own-rota"), own)[0] == "sign-off.yaml"


def test_an_acceptance_that_is_over_and_a_sheet_edited_since() -> None:
    """B23: accepted until three weeks ago, and the sheet was edited after the last signature."""
    found = of_sign_off("b23-wren-acceptance-ended")
    assert {about: f.severity for about, f in found.items()} == {
        "changed after the signature": Severity.MEDIUM,
        "acceptance void: portion-for-body-mass": Severity.MEDIUM,
    }
    assert "21 days ago" in found["acceptance void: portion-for-body-mass"].check.message
    assert (
        "marmoset-pellet for Wren: 20 g per kg body mass → 22 g per kg body mass"
        in found["changed after the signature"].check.message
    )


def test_more_banana_than_was_accepted_says_so_on_the_finding_itself() -> None:
    """B06: the high finding that was accepted speaks again, with the reason."""
    (spoken,) = [
        f
        for f in judged("b06-pip-banana-twice.yaml").findings
        if f.rule == "individual-exclusion" and f.check.food == "banana"
    ]
    assert (spoken.accepted, spoken.severity) == (None, Severity.HIGH)
    assert "The acceptance of Dr Tamsin Vale of 2026-11-10 does not count" in spoken.check.message


def test_two_carrots_without_a_piece_mass_never_pass() -> None:
    verdicts = {f.check.verdict for f in new_findings("decoy-rhea-2-carrots.yaml")}
    assert verdicts == {"cannot-tell"}


def test_a_question_is_answered_without_the_groups_that_a_draft_leaves_alone() -> None:
    """What `dietcheck try` passes over has the same findings with each draft and without it."""

    def found(draft: str | None) -> set[tuple[str | None, str, str]]:
        return {(f.group, f.id, f.check.message) for f in judged(draft).findings}

    park = judged(None).collection
    assert park is not None
    for path in sorted((PARK / "drafts").iterdir()):
        laid_over = judged(path.name).collection
        if path.suffix == ".md" or laid_over is None:
            continue
        drafts = [(f"{f.parent.name}/{f.name}", f.read_bytes()) for f in files_of(path.name)]
        asked = concerned(read_repository(Folder(PARK), drafts), laid_over, park)
        differ = {group for group, *_ in found(path.name) ^ found(None)}
        assert differ - {None} <= asked, path.name


def test_every_draft_can_be_judged() -> None:
    for path in sorted((PARK / "drafts").iterdir()):
        if path.suffix != ".md":
            assert not judged(path.name).failures, path.name
