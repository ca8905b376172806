"""`dietcheck start`: what it writes screens clean, and nobody's files are in danger."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dietcheck.__main__ import main
from dietcheck.commands import start
from dietcheck.commands.starter import Origin, starter_files
from dietcheck.outside.files import is_record_name
from dietcheck.reading import Folder, check_file
from dietcheck.reading.sources import hidden
from dietcheck.screening.screen import screen
from tests.commands.console import call, listing

ELSEWHERE = Origin("https://example.org/our/dietcheck", "0" * 40)


def begin(folder: Path | str, *more: str, country: str = "GB") -> int:
    """The exit status of a start."""
    return main(["start", str(folder), "--country", country, *more])


def test_what_it_writes_screens_without_a_single_finding(tmp_path: Path) -> None:
    assert begin(tmp_path / "diets") == 0
    report = screen(Folder(tmp_path / "diets"), date.today())
    assert not report.findings
    assert not report.failures
    assert not report.left_out


@settings(max_examples=10, deadline=None)
@given(on=st.dates(date(2020, 3, 1), date(2090, 1, 1)))
def test_it_screens_clean_whatever_the_day(
    tmp_path_factory: pytest.TempPathFactory, on: date
) -> None:
    folder = tmp_path_factory.mktemp("day") / "diets"
    files = starter_files("Park", "GB", on, None, "0.1.0")
    start.write_all(folder, {name: text.encode() for name, text in files.items()})
    assert not screen(Folder(folder), on).findings


def test_it_is_a_whole_small_repository(tmp_path: Path) -> None:
    begin(tmp_path / "diets")
    there = {name for name, raw in listing(tmp_path / "diets").items() if raw is not None}
    assert {".pre-commit-config.yaml", ".github/workflows/diets.yml", "README.md"} <= there
    assert {".editorconfig", ".editor/diet-sheet.schema.json"} <= there
    facts = [
        check_file(name, (tmp_path / "diets" / name).read_bytes())
        for name in there
        if is_record_name(name) and not hidden(name)
    ]
    assert {f.kind for f in facts} == {
        "collection", "group", "foods", "diet sheet", "rota", "treats",
    }  # fmt: skip
    assert not any("<<" in (tmp_path / "diets" / name).read_text() for name in there)


def test_each_record_names_the_description_that_an_editor_is_to_use(tmp_path: Path) -> None:
    begin(tmp_path / "diets")
    records = [
        p for p in (tmp_path / "diets").rglob("*.yaml") if not hidden(str(p.relative_to(tmp_path)))
    ]
    assert len(records) == 8
    for record in records:
        first = record.read_text(encoding="utf-8").splitlines()[0]
        assert (record.parent / first.partition("$schema=")[2]).is_file()


def test_a_slip_in_it_is_found(tmp_path: Path) -> None:
    begin(tmp_path / "diets")
    sheet = tmp_path / "diets/diet-sheets/red-panda.yaml"
    sheet.write_text(sheet.read_text().replace("65 g per", "650 g per"))
    assert main(["screen", str(tmp_path / "diets")]) == 1


@pytest.mark.parametrize("name", ["notes.txt", ".hidden", "dietcheck.yaml"])
def test_a_folder_with_anything_in_it_is_refused_and_left_alone(
    tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / name).write_text("mine")
    assert begin(tmp_path) == 2
    assert name in capsys.readouterr().err
    assert listing(tmp_path) == {name: b"mine"}


def test_an_empty_folder_stays_the_same_folder_and_git_may_be_there(tmp_path: Path) -> None:
    (tmp_path / ".git").mkdir()
    before = tmp_path.stat().st_ino
    assert begin(tmp_path) == 0
    assert tmp_path.stat().st_ino == before
    assert (tmp_path / "dietcheck.yaml").is_file()


@pytest.mark.parametrize("was_there", [True, False])
@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), KeyboardInterrupt()])
@pytest.mark.parametrize("step", ["_write_into", "_move_in"])
def test_what_fails_half_way_leaves_nothing(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    was_there: bool,
    error: BaseException,
    step: str,
) -> None:
    folder = tmp_path / "diets"
    if was_there:
        folder.mkdir()
    real, real_rename = getattr(start, step), os.rename
    calls = 0

    def breaks(one: Path, other: Path) -> None:
        nonlocal calls
        calls += 1
        if calls > (3 if was_there else 0):
            raise error
        real_rename(one, other)

    def then_fails(*arguments: object) -> None:
        real(*arguments)
        raise error

    if step == "_write_into":
        monkeypatch.setattr(start, step, then_fails)
    else:
        monkeypatch.setattr(os, "rename", breaks)
    assert begin(folder) == 2
    assert listing(tmp_path) == ({"diets": None} if was_there else {})


def test_a_file_a_missing_place_and_gits_own_folder_are_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")
    (tmp_path / ".git").mkdir()
    before = listing(tmp_path)
    for place in ("file", "no/such/place", ".git/diets"):
        assert begin(tmp_path / place) == 2
    assert listing(tmp_path) == before


@pytest.mark.parametrize(
    "name", ['Mo\'s "Zoo": #1', "<<day>>", "- a", "null", "Ø {park}", "123", "$(touch x) `y`"]
)
def test_a_name_is_taken_as_it_is(tmp_path: Path, name: str) -> None:
    assert begin(tmp_path / "diets", "--name", name) == 0
    assert screen(Folder(tmp_path / "diets"), date.today()).name == name


@pytest.mark.parametrize("name", ["", "x" * 81, "two\nlines", "bell\a"])
def test_a_name_that_no_record_can_hold_is_refused(tmp_path: Path, name: str) -> None:
    assert begin(tmp_path / "diets", "--name", name) == 2
    assert not (tmp_path / "diets").exists()


def test_the_country_is_known_asked_or_told_but_never_guessed(tmp_path: Path) -> None:
    quiet = {"LC_ALL": "", "LC_MESSAGES": "", "LANG": "C.UTF-8"}
    assert call("start", tmp_path / "a", env=quiet).status == 2
    assert not (tmp_path / "a").exists()
    done = call("start", tmp_path / "b", env=quiet | {"LANG": "de_CH.UTF-8"})
    assert done.status == 0
    assert "CH" in done.out
    assert "country: CH" in (tmp_path / "b/dietcheck.yaml").read_text()
    assert begin(tmp_path / "c", country="nz") == 0
    assert "country: NZ" in (tmp_path / "c/dietcheck.yaml").read_text()
    assert begin(tmp_path / "d", country="England") == 2


def test_hook_and_server_use_the_address_it_was_installed_from() -> None:
    known = starter_files("Park", "GB", date(2026, 11, 25), ELSEWHERE, "0.1.0")
    assert f"repo: {ELSEWHERE.address}" in known[".pre-commit-config.yaml"]
    assert f"git+{ELSEWHERE.address}@{ELSEWHERE.revision}" in known[".github/workflows/diets.yml"]
    unknown = starter_files("Park", "GB", date(2026, 11, 25), None, "0.1.0")
    assert "entry: dietcheck screen --staged" in unknown[".pre-commit-config.yaml"]
