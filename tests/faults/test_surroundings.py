"""A clock that is wrong, a language or encoding of the past, a git that is broken."""

from __future__ import annotations

import itertools
import subprocess
from pathlib import Path

import pytest

from tests.cage import Cage, sample
from tests.commands.console import call, write
from tests.hostile.laws import orderly
from tests.hostile.park import COMMANDS, TREATS, lay, whole

DAYS = ["0001-01-01", "1969-12-31", "1970-01-01", "2038-01-20", "9999-12-31"]


@pytest.fixture(scope="module")
def park(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A committed park with a record of every kind, and a treat as a draft beside it."""
    top = lay(tmp_path_factory.mktemp("surroundings") / "park", whole())
    git = ["git", "-c", "user.name=x", "-c", "user.email=x@example.org"]
    for step in (["init", "-q"], ["add", "-A"], ["commit", "-q", "-m", "x"]):
        subprocess.run([*git, *step], cwd=top, check=True, capture_output=True)
    lay(top.parent, {"treat.yaml": TREATS.replace("2026-11-20", "2026-11-26")})
    return top


def asked(command: str, day: str | None) -> list[str]:
    """How a command is asked, as at that day or at today."""
    words = [one.replace("drafts/", "../") for one in COMMANDS[command]]
    if "--on" in words:
        at = words.index("--on")
        words[at : at + 2] = ["--on", day] if day else []
    return words


@pytest.mark.parametrize(("command", "day"), sample(itertools.product(COMMANDS, DAYS), 8))
def test_a_clock_far_in_the_past_or_future_breaks_nothing(
    cage: Cage, park: Path, command: str, day: str
) -> None:
    ended = cage.run(*asked(command, None), cwd=park, befalls=[("today", day)])
    if "--on" in COMMANDS[command] and not day.startswith("20"):
        orderly(ended, 2)
        assert "the clock" in ended.err
    else:
        orderly(ended, 0, 1, 2)
    for made in (*park.glob("sign-offs/*"), *park.glob(".editor/*")):
        made.unlink()


FAR = ["1900-01-01", "2199-12-31", "9999-12-31"]


@pytest.mark.parametrize(("command", "day"), sample(itertools.product(COMMANDS, FAR), 4))
def test_a_day_far_away_can_be_asked_for(cage: Cage, park: Path, command: str, day: str) -> None:
    orderly(cage.run(*asked(command, day), cwd=park), 0, 1, 2)
    for made in park.glob("sign-offs/*"):
        made.unlink()


ENCODINGS = ["ascii", "cp1252", "cp437:strict", "utf-16", "shift_jis"]


@pytest.mark.parametrize(("command", "encoding"), sample(itertools.product(COMMANDS, ENCODINGS), 6))
def test_no_encoding_stops_a_command(cage: Cage, park: Path, command: str, encoding: str) -> None:
    plain = cage.run(*asked(command, "2026-11-25"), cwd=park)
    for made in park.glob("sign-offs/*"):
        made.unlink()
    env = {"PYTHONIOENCODING": encoding, "LC_ALL": "C", "LANG": "xx_XX.nonsense", "TZ": "Nowhere/9"}
    ended = cage.run(*asked(command, "2026-11-25"), cwd=park, env=env)
    for made in (*park.glob("sign-offs/*"), *park.glob(".editor/*")):
        made.unlink()
    assert ended.status == plain.status, ended.err
    assert "Traceback" not in ended.err
    assert "went wrong" not in ended.err


def test_report_files_hold_the_same_bytes_in_every_language(tmp_path: Path) -> None:
    park = write(tmp_path / "park")
    found = []
    for number, env in enumerate(
        [{"LC_ALL": "C.UTF-8"}, {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}]
    ):
        files = [f"{kind}:../{number}.{kind}" for kind in ("html", "json", "csv", "junit", "sarif")]
        writes = [word for file in files for word in ("--write", file)]
        done = call("screen", "--on", "2026-11-25", *writes, cwd=park, env=env)
        assert done.status in (0, 1), done.err
        found.append([(tmp_path / file.split("../")[1]).read_bytes() for file in files])
    assert [a.replace(b"0.", b"") for a in found[0]] == [
        a.replace(b"1.", b"") for a in found[1]
    ] or (found[0] == found[1])


def _no_head(git: Path) -> None:
    (git / "HEAD").unlink()


def _rubbish_head(git: Path) -> None:
    (git / "HEAD").write_bytes(b"ref: refs/heads/../../../../etc/passwd\n")


def _no_objects(git: Path) -> None:
    for file in (git / "objects").rglob("*"):
        if file.is_file():
            file.unlink()


def _half_an_object(git: Path) -> None:
    for file in (git / "objects").rglob("*"):
        if file.is_file():
            file.chmod(0o600)
            file.write_bytes(file.read_bytes()[:10])


def _rubbish_index(git: Path) -> None:
    (git / "index").write_bytes(b"DIRC" + bytes(50))


def _rubbish_settings(git: Path) -> None:
    (git / "config").write_text("[core\nworktree = /nowhere\n")


def _locked(git: Path) -> None:
    (git / "index.lock").write_bytes(b"")


BROKEN = [_no_head, _rubbish_head, _no_objects, _half_an_object, _rubbish_index, _rubbish_settings,
          _locked]  # fmt: skip


@pytest.mark.parametrize("broken", sample(BROKEN, 3))
def test_a_broken_git_is_told_and_never_passes_for_a_version(
    cage: Cage, tmp_path: Path, broken: object
) -> None:
    park = lay(tmp_path / "park", whole())
    git = ["git", "-c", "user.name=x", "-c", "user.email=x@example.org"]
    for step in (["init", "-q"], ["add", "-A"], ["commit", "-q", "-m", "x"]):
        subprocess.run([*git, *step], cwd=park, check=True, capture_output=True)
    assert callable(broken)
    broken(park / ".git")
    orderly(cage.run(*asked("screen", "2026-11-25"), cwd=park), 1, 2)
    # A head that leads nowhere is a first version, and a lock is somebody at work.
    fine = broken in (_locked, _rubbish_head)
    orderly(cage.run("screen", "--staged", cwd=park), *((0, 1) if fine else (1, 2)))
    if broken not in (_locked, _rubbish_index):
        orderly(cage.run(*asked("change", "2026-11-25"), cwd=park), 2)
