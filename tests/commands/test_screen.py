"""`dietcheck screen` as it is called: options, files written, mistakes told in plain words."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from dietcheck.__main__ import main
from dietcheck.contract import Severity
from dietcheck.errors import JobError
from dietcheck.screening.report import Report
from tests import records
from tests.commands.console import SCRIPT, call, listing, write
from tests.reporting.reports import ACCEPTED, breach, report

PLAIN = ("Traceback", "invalid", "null", "schema", "parse")


@pytest.fixture
def park(tmp_path: Path) -> Path:
    """The small tapir park on disk."""
    return write(tmp_path / "park")


def finds(monkeypatch: pytest.MonkeyPatch, found: Report) -> None:
    """Let the screen end in a chosen report."""
    monkeypatch.setattr("dietcheck.screening.screen.screen", lambda *_, **__: found)


# --- exit status -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("found", "arguments", "status"),
    [
        (report(), (), 0),
        (report(breach()), (), 1),
        (report(breach(), signoff=ACCEPTED), (), 0),
        (report(breach(severity=Severity.MEDIUM)), (), 0),
        (report(breach(severity=Severity.MEDIUM)), ("--block-on", "medium"), 1),
        (report(breach(severity=Severity.LOW)), ("--block-on=low",), 1),
        (report("no check"), (), 2),  # type: ignore[arg-type]
        (report(dietcheck="record: collection\n"), (), 2),
    ],
)
def test_status(
    park: Path,
    monkeypatch: pytest.MonkeyPatch,
    found: Report,
    arguments: tuple[str, ...],
    status: int,
) -> None:
    finds(monkeypatch, found)
    assert main(["screen", str(park), *arguments]) == status


def test_findings_go_to_output_and_notes_to_error(park: Path, tmp_path: Path) -> None:
    done = call("screen", park, "--write", f"json:{tmp_path / 'f.json'}")
    assert "Test Park" in done.out
    assert "wrote" not in done.out
    assert "wrote" in done.err


# --- what is wrong with records: told with file and line, nothing written -----------------------

BAD_RECORDS = {
    "broken YAML": ({"sheet.yaml": "record: [\n"}, "sheet.yaml:1:", 1),
    "wrong key": ({"group.yaml": records.group() + "colour: red\n"}, "group.yaml:9:1", 1),
    "unknown unit": (
        records.small(
            sheet=records.sheet({"roots": ["{food: carrot, amount: 5 cups per animal}"]})
        ),
        "sheet.yaml:8:30",
        1,
    ),
    "missing reference": (
        records.small(sheet=records.sheet({"roots": ["{food: caret, amount: 5 g per animal}"]})),
        "sheet.yaml:8:14",
        1,
    ),
    "two records with one id": ({"twin.yaml": records.group()}, "twin.yaml", 1),
    "binary file": ({"photo.yaml": bytes(range(256))}, "photo.yaml:2:118", 1),
    "settings that cannot be read": ({"dietcheck.yaml": "record: collection\n"}, "dietcheck", 2),
}


@pytest.mark.parametrize(("files", "where", "status"), BAD_RECORDS.values(), ids=BAD_RECORDS)
def test_a_bad_record_is_told_and_nothing_is_written(
    tmp_path: Path, files: dict[str, str | bytes], where: str, status: int
) -> None:
    park = write(tmp_path, files)
    before = listing(park)
    done = call("screen", "--on", "2026-11-25", cwd=park)
    assert done.status == status
    assert where in done.out
    assert not any(word in done.out.lower() + done.err for word in PLAIN)
    assert listing(park) == before


# --- jobs that cannot be done -----------------------------------------------------------------


def refused(*arguments: str | Path, cwd: Path | None = None, says: str) -> None:
    """The run ends with status 2, tells why in plain words, and finds nothing."""
    done = call(*arguments, cwd=cwd)
    assert (done.status, done.out) == (2, "")
    assert says in " ".join(done.err.split())
    assert done.err.startswith("dietcheck: ")
    assert len(done.err.splitlines()) >= 2  # what is wrong, and what to do
    assert not any(word in done.err for word in PLAIN)


def test_an_empty_folder(tmp_path: Path) -> None:
    refused("screen", tmp_path, says="no dietcheck.yaml here")
    assert listing(tmp_path) == {}


def test_a_folder_that_is_no_diet_repository(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text("record: group\n")
    refused("screen", cwd=tmp_path, says="no dietcheck.yaml here")


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    refused("screen", tmp_path / "gone", says="there is no folder")


def test_a_name_that_no_folder_can_have(tmp_path: Path) -> None:
    refused("screen", tmp_path / ("n" * 300), says="there is no folder")


def test_a_file_instead_of_a_folder(park: Path) -> None:
    refused("screen", park / "dietcheck.yaml", says="is a file")


def test_staged_outside_git(park: Path) -> None:
    refused("screen", "--staged", park, says="git cannot tell")


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ((), "say what is to be done"),
        (("scren",), "Did you mean dietcheck screen?"),
        (("screen", "--on", "yesterday"), "is not a date"),
        (("screen", "--on", "2026-02-30"), "no calendar has"),
        (("screen", "--on"), "something has to stand after --on"),
        (("screen", "--block-on", "severe"), "Write high, medium or low"),
        (("screen", "--blok-on", "high"), "Did you mean --block-on?"),
        (("screen", "a", "b"), "b is nothing that can be written here"),
        (("screen", "--staged=yes"), "nothing can stand after --staged"),
        (("screen", "--write", "jsn:f"), "Write json"),
        (("screen", "--write", "json"), "needs the name of a file"),
        (("screen", "--write", "json:"), "needs the name of a file"),
        (("screen", "--write", "json:-"), "needs the name of a file"),
        (("screen", "--draft", "gone.yaml"), "cannot be read"),
    ],
)
def test_a_slip_in_what_was_written(
    park: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    arguments: tuple[str, ...],
    says: str,
) -> None:
    monkeypatch.chdir(park)
    assert main(arguments) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert says in " ".join(said.err.split())
    assert not any(word in said.err for word in PLAIN)


# --- report files -----------------------------------------------------------------------------


def test_report_files_are_written_and_nothing_else(park: Path) -> None:
    before = listing(park)
    done = call("screen", "--write", "json:f.json", "--write", "sarif:f.sarif", cwd=park)
    after = listing(park)
    assert after.keys() - before.keys() == {"f.json", "f.sarif"}
    assert {name: after[name] for name in before} == before
    summary = json.loads((park / "f.json").read_text())["summary"]
    assert summary["status"] == done.status
    assert json.loads((park / "f.sarif").read_text())["version"] == "2.1.0"


def test_a_report_takes_the_place_of_an_older_one_and_of_what_a_link_leads_to(park: Path) -> None:
    (park / "old.json").write_text("old")
    (park / "link.json").symlink_to("old.json")
    call("screen", "--write", "json:link.json", cwd=park)
    assert (park / "link.json").is_symlink()
    assert json.loads((park / "old.json").read_text())["collection"] == "Test Park"


@pytest.mark.parametrize(
    ("file", "says"),
    [
        ("sheet.yaml", "would be taken for a diet record"),
        ("reports.YML", "would be taken for a diet record"),
        ("sub/../group.yaml", "would be taken for a diet record"),
        ("../elsewhere.yaml", "would be taken for a diet record"),
        ("link.json", "would be taken for a diet record"),
        (".git/config", "git's own folder"),
        ("sub", "is a folder"),
        ("pipe", "is not an ordinary file"),
        ("gone/f.json", "there is no folder"),
        ("sheet.yaml/f.json", "there is no folder"),
        ("n" * 300, "could not be written"),
    ],
)
def test_a_report_is_never_written_over_a_record_or_to_a_strange_place(
    park: Path, file: str, says: str
) -> None:
    (park / "sub").mkdir()
    (park / ".git").mkdir()
    (park / "link.json").symlink_to("sheet.yaml")
    os.mkfifo(park / "pipe")
    before = listing(park)
    done = call("screen", "--write", f"json:{file}", cwd=park)
    assert done.status == 2
    assert says in " ".join(done.err.split())
    assert listing(park) == before


def test_two_reports_never_share_a_file(park: Path) -> None:
    refused("screen", park, "--write", "json:f", "--write", "sarif:./f", says="two reports")


def test_a_draft_is_not_written_over(park: Path, tmp_path: Path) -> None:
    draft = tmp_path / "draft.txt"
    draft.write_text(records.group())
    refused("screen", park, "--draft", draft, "--write", f"json:{draft}", says="is a draft")
    assert draft.read_text() == records.group()


def test_a_report_that_cannot_be_moved_into_place_leaves_the_old_one(
    park: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    (park / "f.json").write_text("old")
    before = listing(park)
    monkeypatch.setattr(os, "replace", full)
    assert main(["screen", str(park), "--write", f"json:{park / 'f.json'}"]) == 2
    assert "No space left on device" in capsys.readouterr().err
    assert listing(park) == before


# --- drafts and the day -----------------------------------------------------------------------

BAD_SHEET = records.sheet({"roots": ["{food: carot, amount: 600 g per animal}"]})


@pytest.mark.parametrize("inside", [True, False])
def test_a_draft_takes_the_place_of_its_record(park: Path, tmp_path: Path, inside: bool) -> None:
    draft = (park / "ideas" if inside else tmp_path) / "new.yaml"
    draft.parent.mkdir(exist_ok=True)
    draft.write_text(BAD_SHEET)
    settings = records.settings(more="leave_out: [ideas]")
    (park / "dietcheck.yaml").write_text(settings)
    done = call("screen", park, "--draft", draft)
    name = "ideas/new.yaml" if inside else "../new.yaml"
    assert done.status == 1
    assert f"{name}:8:14" in done.out
    assert f"1 draft laid over: {name}" in " ".join(done.out.split())


def test_a_folder_of_drafts_is_refused(park: Path, tmp_path: Path) -> None:
    refused("screen", park, "--draft", write(tmp_path / "ideas"), says="is a folder")


def test_the_same_draft_named_twice_counts_once(park: Path, tmp_path: Path) -> None:
    draft = tmp_path / "new.yaml"
    draft.write_text(records.group())
    done = call("screen", park, "--draft", draft, "--draft", draft)
    assert "1 draft" in " ".join(done.out.split())
    assert "already recorded" not in done.out


def test_the_day_is_the_one_asked_for(park: Path) -> None:
    assert "judged as at 24 Dec 2026" in call("screen", park, "--on", "2026-12-24").out


# --- staged -----------------------------------------------------------------------------------


def test_staged_judges_the_index_and_uris_lead_from_the_top_of_git(tmp_path: Path) -> None:
    park = write(tmp_path / "diets", sheet=BAD_SHEET)
    for command in (["init", "--quiet"], ["add", "--all"]):
        subprocess.run(["git", *command], cwd=tmp_path, check=True)
    write(park)  # the tree is good again
    done = call("screen", "--staged", "--write", "sarif:../f.sarif", cwd=park)
    assert done.status == 1
    assert "sheet.yaml:8:14" in done.out
    assert "what is staged for commit" in " ".join(done.out.split())
    assert '"diets/sheet.yaml"' in (tmp_path / "f.sarif").read_text()


# --- what goes wrong inside -------------------------------------------------------------------


def raises(monkeypatch: pytest.MonkeyPatch, error: BaseException) -> None:
    """Let the screen end in an exception."""

    def screen(*_: object, **__: object) -> Report:
        raise error

    monkeypatch.setattr("dietcheck.screening.screen.screen", screen)


@pytest.mark.parametrize("asked", [False, True])
def test_a_mistake_of_the_program_is_an_apology_never_a_pass(
    park: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], asked: bool
) -> None:
    raises(monkeypatch, ZeroDivisionError("\033[31mred"))
    if asked:
        monkeypatch.setenv("DIETCHECK_TRACEBACK", "1")
    assert main(["screen", str(park)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "ZeroDivisionError" in said.err
    assert "Nothing has been cleared" in said.err
    assert "\033" not in said.err.split("Traceback")[0]
    assert ("Traceback" in said.err) == asked


@pytest.mark.parametrize(
    "error", [KeyboardInterrupt(), RecursionError(), MemoryError(), SystemExit(0)]
)
def test_a_run_that_stops_is_never_a_pass(
    park: Path, monkeypatch: pytest.MonkeyPatch, error: BaseException
) -> None:
    raises(monkeypatch, error)
    assert main(["screen", str(park)]) == 2


def test_a_refusal_with_a_hostile_name_in_it_stays_one_message(
    park: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    raises(monkeypatch, JobError("pack\n::error::gone\033[2J", "Mend it."))
    assert main(["screen", str(park)]) == 2
    said = capsys.readouterr().err
    assert "\033" not in said
    assert not any(line.lstrip().startswith("::") for line in said.splitlines())


# --- start-up and help ------------------------------------------------------------------------


@pytest.mark.parametrize("arguments", [("--help",), ("-h",), ("screen", "--help")])
def test_help_teaches_by_example_in_plain_letters(arguments: tuple[str, ...]) -> None:
    done = call(*arguments)
    assert done.status == 0
    assert "dietcheck screen\n      the folder you are in, as at today" in done.out
    assert done.out.isascii()
    assert max(map(len, done.out.splitlines())) <= 90


def test_version() -> None:
    from dietcheck import __version__

    assert call("--version").out == f"dietcheck {__version__}\n"


def test_starting_up_and_a_clean_screen_load_nothing_heavy(park: Path) -> None:
    code = (
        "import sys; before = set(sys.modules); from dietcheck.__main__ import main; "
        f"main(['--help']); main(['screen', {str(park)!r}]); "
        "heavy = {'jsonschema', 'pint', 'numpy', 'referencing', 'importlib.metadata', 'email',"
        "'importlib.resources', 'dataclasses', 'jinja2', 'openpyxl', 'tempfile'};"
        "print(sorted(heavy & set(sys.modules) - before))"  # what measures coverage was there
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=park
    )
    assert done.stdout.splitlines()[-1] == "[]"


def test_nothing_is_imported_from_the_folder_under_check(park: Path) -> None:
    for module in ("yaml", "json", "dietcheck_rules", "pluggy"):
        (park / f"{module}.py").write_text(f"open('ran-{module}', 'w')\n")
    call("screen", cwd=park)
    subprocess.run(
        [sys.executable, "-m", "dietcheck", "screen"], cwd=park, capture_output=True, check=False
    )
    assert not list(park.glob("ran-*"))


def test_the_script_is_the_installed_one() -> None:
    assert SCRIPT.is_file()
