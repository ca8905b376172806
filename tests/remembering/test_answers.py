"""What is remembered says what a new run would say, and is forgotten with any change."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING
from unittest import mock

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dietcheck.outside.files import Lying
from dietcheck.remembering import program
from dietcheck.remembering.answers import Meaning, Memory
from tests import records
from tests.checkout import commit_all, environment, succeed
from tests.commands.console import SCRIPT, listing, write
from tests.remembering.runs import home_in, is_remembered, remembering, screened

if TYPE_CHECKING:
    from dietcheck.outside.git import Question

DAY = ("--on", "2026-11-25")


@pytest.fixture(autouse=True)
def home(tmp_path: Path) -> Iterator[Path]:
    """A person with a folder for what is kept."""
    folder = home_in(tmp_path)
    with remembering(folder):
        yield folder


@pytest.fixture
def park(tmp_path: Path) -> Path:
    """The small park in a git repository, with a draft beside it."""
    folder = write(tmp_path / "park")
    (tmp_path / "draft.yaml").write_text(records.sheet({"roots": ["{food: carrot, amount: 9 kg}"]}))
    succeed("git", "init", "-q", "-b", "main", cwd=folder)
    commit_all(folder)
    return folder


def kept(home: Path) -> list[Path]:
    """What is kept of answers; tables and records are kept after any run."""
    return sorted(f for f in (home / "dietcheck").glob("*") if f.name[:6] in ("answer", "meanin"))


def test_the_same_again_is_remembered_and_says_the_same(park: Path) -> None:
    first = screened(park, *DAY)
    assert is_remembered(park, *DAY)
    assert screened(park, *DAY) == first
    assert first[1]


def test_nothing_is_written_where_the_records_lie(home: Path, park: Path) -> None:
    before = listing(park)
    for _ in range(2):
        screened(park, *DAY)
    assert listing(park) == before
    assert {path.name for path in home.iterdir()} == {"dietcheck"}


def edit(park: Path) -> None:
    sheet = next(park.rglob("*sheet*.yaml"))
    sheet.write_text(sheet.read_text() + "# seen\n")


def add(park: Path) -> None:
    shutil.copyfile(park / "dietcheck.yaml", park / "another.yaml")


def drop(park: Path) -> None:
    next(park.rglob("*sheet*.yaml")).unlink()


def rename(park: Path) -> None:
    sheet = next(park.rglob("*sheet*.yaml"))
    sheet.rename(sheet.with_name("z.yaml"))


def link(park: Path) -> None:
    (park / "link.yaml").symlink_to("dietcheck.yaml")


def lock(park: Path) -> None:
    os.mkfifo(park / "pipe.yaml")


def commit(park: Path) -> None:
    succeed("git", "commit", "-q", "--allow-empty", "-m", "more", cwd=park)


def leave(park: Path) -> None:
    shutil.rmtree(park / ".git")


def set_up(park: Path) -> None:
    succeed("git", "config", "i18n.logOutputEncoding", "latin1", cwd=park)


def lie_beside(park: Path) -> None:
    (park / "note.txt").write_text("not a record, and the folder differs from the last commit")


def cut_short(park: Path) -> None:
    """The same commit, said to be the first that is here."""
    head = succeed("git", "rev-parse", "HEAD", cwd=park)
    (park / ".git" / "shallow").write_text(head)


CHANGES = [
    edit, add, drop, rename, link, lock, commit, leave, set_up, lie_beside, cut_short,
]  # fmt: skip


@pytest.mark.parametrize("change", CHANGES)
def test_any_change_is_judged_anew(park: Path, change: Callable[[Path], None]) -> None:
    screened(park, *DAY)
    assert is_remembered(park, *DAY)
    change(park)
    assert not is_remembered(park, *DAY)


def test_a_draft_counts_with_its_bytes_and_its_name(park: Path, tmp_path: Path) -> None:
    draft = tmp_path / "draft.yaml"
    asked = (park, *DAY, "--draft", draft)
    screened(*asked)
    assert is_remembered(*asked)
    draft.write_text(draft.read_text().replace("9 kg", "8 kg"))
    assert not is_remembered(*asked)
    draft.unlink()
    assert not is_remembered(*asked)


def test_what_is_staged_counts_and_not_what_lies_there(park: Path) -> None:
    asked = (park, *DAY, "--staged")
    first = screened(*asked)
    edit(park)
    assert is_remembered(*asked)
    assert screened(*asked) == first
    succeed("git", "add", "--all", cwd=park)
    assert not is_remembered(*asked)


def test_a_name_for_a_version_counts_as_what_it_means_now(park: Path) -> None:
    succeed("git", "branch", "before", cwd=park)
    edit(park)
    commit_all(park)
    asked = (park, *DAY, "--since", "before")
    screened(*asked)
    assert is_remembered(*asked)
    succeed("git", "branch", "-f", "before", "HEAD", cwd=park)
    assert not is_remembered(*asked)


def test_what_is_asked_counts(park: Path) -> None:
    screened(park, *DAY)
    assert not is_remembered(park, "--on", "2026-11-26")
    assert not is_remembered(park, *DAY, "--block-on", "low")
    assert not is_remembered(park, *DAY, "--anew")
    assert Memory(["screen", str(park), *DAY], colour=True).recall() is None


def test_today_is_not_yesterday(park: Path) -> None:
    screened(park)
    assert is_remembered(park)
    with mock.patch("dietcheck.remembering.answers.time.strftime", return_value="2031-01-02"):
        assert not is_remembered(park)


def test_a_program_that_was_edited_remembers_nothing(park: Path, tmp_path: Path) -> None:
    screened(park, *DAY)
    changed = tmp_path / "dietcheck_rules"
    shutil.copytree(program.pack_folder() or "", changed, symlinks=True)
    with mock.patch.object(sys, "path", [str(tmp_path), *sys.path]):
        before = program.of_program()
        assert not is_remembered(park, *DAY)
        table = next(changed.glob("*/limits.yaml"))
        table.write_text(table.read_text() + "# edited\n")
        assert program.of_program() != before


def test_another_version_or_pack_remembers_nothing(park: Path, tmp_path: Path) -> None:
    screened(park, *DAY)
    with mock.patch("dietcheck.remembering.program.__version__", "99"):
        assert not is_remembered(park, *DAY)
    (tmp_path / "second_pack-1.0.dist-info").mkdir()
    with mock.patch.object(sys, "path", [*sys.path, str(tmp_path)]):
        assert not is_remembered(park, *DAY)


def test_a_run_that_was_not_whole_or_wrote_files_is_not_remembered(
    home: Path, park: Path, tmp_path: Path
) -> None:
    screened(park, *DAY, "--write", f"json:{tmp_path / 'r.json'}")
    screened(park, *DAY, "--anew")
    with mock.patch.dict(os.environ, {"DIETCHECK_RULE_SECONDS": "0.00001"}):
        assert screened(park, *DAY)[0] == 2  # no rule comes to an end in that time
    assert kept(home) == []


@pytest.mark.parametrize("off", ["CI", "DIETCHECK_ANEW"])
def test_it_can_be_switched_off(home: Path, park: Path, off: str) -> None:
    screened(park, *DAY)
    with mock.patch.dict(os.environ, {off: "true"}):
        assert not is_remembered(park, *DAY)
    before = kept(home)
    with mock.patch.dict(os.environ, {off: "true"}):
        screened(park, "--on", "2026-11-27")
    assert kept(home) == before


def test_a_remembered_answer_loads_next_to_nothing(park: Path) -> None:
    code = (
        "import sys; before = set(sys.modules); from dietcheck.__main__ import main; "
        f"main(['screen', {str(park)!r}, *{list(DAY)!r}]);"
        "print(*set(sys.modules) - before)"  # what measures coverage was there
    )
    call = [sys.executable, "-c", code]
    subprocess.run(call, check=False, capture_output=True)
    done = subprocess.run(call, check=False, capture_output=True, text=True)
    loaded = set(done.stdout.splitlines()[-1].split())
    assert "dietcheck.remembering.answers" in loaded
    heavy = {"yaml", "argparse", "json", "subprocess", "msgspec", "dataclasses", "pluggy"}
    assert not loaded & {*heavy, "dietcheck.reading", "dietcheck.commands", "dietcheck_rules"}


def test_two_at_once_say_the_same_and_leave_whole_things(home: Path, park: Path) -> None:
    call = [str(SCRIPT), "screen", str(park), *DAY]
    both = [subprocess.Popen(call, stdout=subprocess.PIPE) for _ in range(2)]
    outputs = {one.communicate()[0] for one in both}
    assert len(outputs) == 1
    assert len(kept(home)) == 2
    assert screened(park, *DAY)[1].encode() in outputs


names = st.sampled_from(["a.yaml", "b.yml", "deep/a.yaml"])
contents = st.binary(max_size=3)
parks = st.dictionaries(names, contents, max_size=3)
words = st.lists(st.text(max_size=2), max_size=2)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(
    one=st.tuples(parks, words, words, parks, st.booleans()),
    other=st.tuples(parks, words, words, parks, st.booleans()),
)
def test_what_differs_in_any_byte_has_another_key(
    tmp_path: Path,
    one: tuple[dict[str, bytes], list[str], list[str], dict[str, bytes], bool],
    other: tuple[dict[str, bytes], list[str], list[str], dict[str, bytes], bool],
) -> None:
    assert (key(tmp_path, *one) == key(tmp_path, *other)) == (one == other)


def key(
    tmp: Path,
    files: dict[str, bytes],
    arguments: list[str],
    said: list[str],
    drafts: dict[str, bytes],
    staged: bool,
) -> str:
    """The key of a run over these files, with these arguments, answers of git and drafts."""
    folder = tmp / "kept under a key"
    shutil.rmtree(folder, ignore_errors=True)
    for name, raw in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(raw)
    folder.mkdir(exist_ok=True)
    answers: dict[Question, str] = {
        ("", (str(number),), b"", ()): text for number, text in enumerate(said)
    }
    meaning = Meaning(str(folder), staged, "", list(drafts), answers)
    with mock.patch("dietcheck.remembering.answers.of_program", return_value="program"):
        memory = Memory(arguments)
    return memory._key(meaning, "2026-11-25", Lying(folder), drafts.items(), answers)


def test_a_meaning_is_read_as_it_was_written() -> None:
    asked = (("r", ("log", "", "ü\n"), b"\0given", ("filter.a=b.clean",)),)
    meaning = Meaning("fold\udcffer", True, "2026-11-25", ["a", ""], asked)
    assert vars(Meaning.of(meaning.parts())) == vars(meaning)


def test_environment_of_git_is_the_asker_s(park: Path) -> None:
    """Another index in the environment, as in a hook, is another question."""
    asked = (park, *DAY, "--staged")
    screened(*asked)
    with mock.patch.dict(os.environ, {"GIT_INDEX_FILE": str(park / "other-index")}):
        succeed("git", "read-tree", "--empty", cwd=park, env=environment(**os.environ))
        assert not is_remembered(*asked)
