"""What git adds to a signature: who wrote the diet, and what changed since. Invented people."""

from __future__ import annotations

from pathlib import Path

import pytest

from dietcheck.contract import Check, Severity
from dietcheck.history.earlier import earlier
from dietcheck.history.log import same_person
from dietcheck.history.lookback import Lookback
from dietcheck.reading import Folder
from dietcheck.screening.hookspecs import CONTRACT, Pack
from dietcheck.screening.packs import rules_of
from dietcheck.screening.screen import screen
from dietcheck_rules import sign_off
from tests import records
from tests.checkout import environment, succeed
from tests.commands.console import write


def sheet(amount: str, more: str = "", start: str = "2026-01-01") -> str:
    """A sheet of carrots."""
    line = f"{{food: carrot, amount: {amount} per animal}}"
    return records.sheet({"roots": [line]}, more=more, start=start)


class Park:
    """The tapir park in git, with people who commit on days."""

    def __init__(self, folder: Path) -> None:
        self.folder = write(folder)
        self.git("init", "--quiet", "--initial-branch=main")

    def git(self, *command: str, by: str = "Pia Renn", on: str = "2026-11-01") -> None:
        """Run git as somebody, on a day."""
        stamp = f"{on}T09:00:00+00:00"
        env = environment(GIT_AUTHOR_NAME=by, GIT_AUTHOR_DATE=stamp, GIT_COMMITTER_DATE=stamp)
        succeed("git", *command, cwd=self.folder, env=env)

    def commit(self, by: str, on: str, **changes: str) -> None:
        """Write files and commit them."""
        for stem, text in changes.items():
            (self.folder / f"{stem}.yaml").write_text(text, "utf-8")
        self.git("add", "--all")
        self.git("commit", "--quiet", "--message", "change", by=by, on=on)

    def sign(self, on: str) -> None:
        """Dr Vale signs by hand of the tool, whoever wrote."""
        from dietcheck.commands.repository import open_repository
        from dietcheck.history.digest import content_digest
        from dietcheck.quantities import read_date

        digest = content_digest(open_repository(self.folder).collection, "tapir", read_date(on))
        text = (
            f"record: sign-off\nby: Dr Vale\nrole: vet\non: {on}\ngroups: [tapir]\n"
            f"content: {{tapir: '{digest}'}}\n"
        )
        self.commit("Dr Vale", on, **{f"signed-{on}": text})

    def found(self) -> list[Check]:
        """What the rule finds in the folder as it lies."""
        past = earlier(self.folder, staged=False)
        report = screen(
            Folder(self.folder),
            records.ON,
            load=lambda _: rules_of(Pack("test", "0", CONTRACT, (sign_off,))),
            earlier=Lookback(past.source, past.why_not, past.log),
        )
        assert not report.failures, report.failures
        return [f.check for f in report.findings]


@pytest.fixture
def park(tmp_path: Path) -> Park:
    """A park that Pia Renn has committed."""
    park = Park(tmp_path / "park")
    park.commit("Pia Renn", "2026-11-01", sheet=sheet("600 g"))
    return park


def test_another_wrote_and_the_vet_signed(park: Park) -> None:
    park.sign("2026-11-10")
    assert park.found() == []


def test_the_vet_changed_the_diet_and_signed_it(park: Park) -> None:
    park.sign("2026-11-10")
    park.commit("Tamsin VALE", "2026-11-12", sheet=sheet("650 g"))
    park.sign("2026-11-13")
    assert park.found() == []  # another Vale: one more name
    park.commit("dr. vale", "2026-11-14", sheet=sheet("700 g"))
    park.sign("2026-11-15")
    (own,) = park.found()
    assert (own.severity, own.never_accepted) == (Severity.HIGH, True)
    assert "2026-11-14" in own.message


def test_a_word_put_right_by_the_vet_is_no_change_of_the_diet(park: Park) -> None:
    park.commit("Dr Vale", "2026-11-08", sheet=sheet("600 g").replace("test", "winter"))
    park.sign("2026-11-10")
    assert park.found() == []


def test_what_the_vet_committed_before_the_signature_before_is_settled(park: Park) -> None:
    park.commit("Dr Vale", "2026-11-08", sheet=sheet("650 g"))
    park.sign("2026-11-10")
    assert [c.severity for c in park.found()] == [Severity.HIGH]
    park.commit("Pia Renn", "2026-11-12", sheet=sheet("660 g"))
    park.sign("2026-11-13")
    assert park.found() == []


@pytest.mark.parametrize("commits_between", [0, 2])
def test_what_changed_is_told_old_and_new(park: Park, commits_between: int) -> None:
    park.sign("2026-11-10")
    park.commit("Pia Renn", "2026-11-12", sheet=sheet("700 g"))
    for number in range(commits_between):
        park.commit("Pia Renn", "2026-11-13", sheet=sheet(f"{701 + number} g"))
    (changed,) = park.found()
    new = 700 + commits_between
    assert f"carrot: 600 g per animal → {new} g per animal" in changed.message


def test_a_new_sheet_and_food_are_told_as_what_they_bring(park: Park) -> None:
    park.sign("2026-11-10")
    both = "{food: carrot, amount: 600 g per animal}", "{food: leaf, amount: 5 g per animal}"
    park.commit(
        "Pia Renn",
        "2026-11-12",
        sheet=records.sheet({"roots": both}),
        foods=records.foods(carrot="{same_as: carrot, piece: 60 g}", leaf="{same_as: endive}"),
    )
    (changed,) = park.found()
    assert any("leaf: new, 5 g per animal" in step for step in changed.working)
    assert any("piece" in step and "not given → 60 g" in step for step in changed.working)


def test_same_person() -> None:
    assert same_person("Dr Tamsin  Vale", "tamsin vale")
    assert not same_person("Dr Tamsin Vale", "Dr Vale")
    assert not same_person("Dr", "Prof")


@pytest.mark.parametrize(
    ("day", "severity"), [("2026-11-18", Severity.MEDIUM), ("2026-11-17", Severity.HIGH)]
)
def test_a_change_may_wait_a_week_for_its_signature(
    park: Park, day: str, severity: Severity
) -> None:
    """Judged on 25 November; what is committed later in other files makes it no younger."""
    park.sign("2026-11-10")
    park.commit("Pia Renn", day, sheet=sheet("700 g"))
    park.commit("Pia Renn", "2026-11-24", more=records.foods(leek="{same_as: leek}"))
    (changed,) = park.found()
    assert (changed.about, changed.severity) == ("changed after the signature", severity)


def test_an_edit_on_top_makes_an_unsigned_change_no_younger(park: Park) -> None:
    park.sign("2026-11-10")
    park.commit("Pia Renn", "2026-11-12", sheet=sheet("700 g"))
    park.commit("Pia Renn", "2026-11-24", sheet=sheet("710 g"))
    assert [c.severity for c in park.found()] == [Severity.HIGH]


def test_a_change_that_is_not_committed_is_of_today(park: Park) -> None:
    park.sign("2026-11-10")
    (park.folder / "sheet.yaml").write_text(sheet("700 g"), "utf-8")
    assert [c.severity for c in park.found()] == [Severity.MEDIUM]


def test_a_signature_settles_what_waited_too_long(park: Park) -> None:
    park.sign("2026-11-10")
    park.commit("Pia Renn", "2026-11-12", sheet=sheet("700 g"))
    assert [c.severity for c in park.found()] == [Severity.HIGH]
    park.sign("2026-11-25")
    assert park.found() == []


def test_a_copy_that_was_cut_short_cannot_tell_since_when(park: Park, tmp_path: Path) -> None:
    rota = records.rota(["{morning: roots, afternoon: roots}"] * 2, start="2026-11-02")
    park.commit("Pia Renn", "2026-11-01", rota=rota)
    park.sign("2026-11-10")
    park.commit("Pia Renn", "2026-11-12", sheet=sheet("700 g"))
    command = ("git", "clone", "--quiet", "--depth=1", park.folder.as_uri(), "short")
    succeed(*command, cwd=tmp_path, env=environment())
    park.folder = tmp_path / "short"
    (changed,) = [c for c in park.found() if c.about == "changed after the signature"]
    assert changed.severity is Severity.MEDIUM
    assert "nothing here tells" in changed.message


@pytest.mark.parametrize(
    ("writer", "high"), [("", True), ("written_by: Pia Renn", False), ("written_by: X", False)]
)
def test_what_the_vet_committed_first_names_its_writer_or_counts_as_hers(
    tmp_path: Path, writer: str, high: bool
) -> None:
    park = Park(tmp_path / "park")
    rota = records.rota(["{morning: roots, afternoon: roots}"] * 2, more=writer)
    park.commit("Dr Vale", "2026-11-01", sheet=sheet("600 g", writer), rota=rota)
    park.sign("2026-11-10")
    assert [c.severity for c in park.found()] == [Severity.HIGH] * high


def test_a_sheet_that_came_before_its_group_is_looked_at_once_the_group_is_there(
    tmp_path: Path,
) -> None:
    park = Park(tmp_path / "park")
    group = (park.folder / "group.yaml").read_text("utf-8")
    (park.folder / "group.yaml").unlink()
    park.commit("Dr Vale", "2026-11-01", sheet=sheet("600 g"))
    park.commit("Pia Renn", "2026-11-02", group=group)
    park.sign("2026-11-10")
    assert park.found() == []


# Since when something is fed that nobody signed.


@pytest.mark.parametrize(
    ("start", "severity", "words"),
    [
        ("2026-12-01", Severity.MEDIUM, "before any of it is fed"),
        ("2026-11-18", Severity.MEDIUM, ""),
        ("2026-11-17", Severity.HIGH, "for 8 days"),
    ],
)
def test_what_is_written_ahead_is_not_fed_before_it_begins(
    park: Park, start: str, severity: Severity, words: str
) -> None:
    """Judged on 25 November; the next sheet was committed on the 11th."""
    park.sign("2026-11-10")
    park.commit("Pia Renn", "2026-11-11", next=sheet("700 g", start=start))
    (changed,) = park.found()
    assert (changed.about, changed.severity) == ("changed after the signature", severity)
    assert words in changed.message


def test_a_sheet_written_ahead_makes_a_later_slip_no_older(park: Park) -> None:
    park.sign("2026-11-10")
    park.commit("Pia Renn", "2026-11-11", next=sheet("700 g", start="2026-12-01"))
    park.commit("Pia Renn", "2026-11-24", sheet=sheet("650 g"))
    assert [c.severity for c in park.found()] == [Severity.MEDIUM]


def test_a_food_that_changed_counts_from_then_under_a_sheet_that_is_new(park: Park) -> None:
    park.sign("2026-11-10")
    park.commit("Pia Renn", "2026-11-12", foods=records.foods(carrot="{same_as: beetroot}"))
    park.commit("Pia Renn", "2026-11-23", next=sheet("700 g", start="2026-11-24"))
    (changed,) = park.found()
    assert changed.severity is Severity.HIGH
    assert "13 days" in changed.message


@pytest.mark.parametrize(
    ("merged", "severity"), [("2026-11-24", Severity.MEDIUM), ("2026-11-14", Severity.HIGH)]
)
def test_a_change_on_a_branch_is_fed_from_its_merge_on(
    park: Park, merged: str, severity: Severity
) -> None:
    park.sign("2026-11-10")
    park.git("checkout", "--quiet", "-b", "winter")
    park.commit("Pia Renn", "2026-11-11", sheet=sheet("700 g"))
    park.git("checkout", "--quiet", "main")
    park.git("merge", "--quiet", "--no-ff", "--no-edit", "winter", on=merged)
    assert [c.severity for c in park.found()] == [severity]


def test_what_was_put_back_and_changed_anew_is_as_young_as_the_new_change(park: Park) -> None:
    park.sign("2026-11-10")
    park.commit("Pia Renn", "2026-11-11", sheet=sheet("700 g"))
    park.commit("Pia Renn", "2026-11-20", sheet=sheet("600 g"))
    park.commit("Pia Renn", "2026-11-24", sheet=sheet("700 g"))
    assert [c.severity for c in park.found()] == [Severity.MEDIUM]


def test_a_change_under_many_others_is_as_old_as_it_is(park: Park) -> None:
    """The signed version lies further back than changes are looked through one by one."""
    park.sign("2026-11-10")
    for number in range(22):
        day = f"2026-11-{12 + number // 2}"
        park.commit("Pia Renn", day, sheet=sheet(f"{700 + number} g"))
    assert [c.severity for c in park.found()] == [Severity.HIGH]
