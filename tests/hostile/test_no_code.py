"""No code of the collection under check is ever run, and no command reaches the network."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import dietcheck.commands
from tests.cage import Cage, sample
from tests.commands.console import SCRIPT
from tests.hostile.laws import orderly
from tests.hostile.park import COMMANDS, TREATS, lay, whole

ALSO = {
    "start": ("start", "new", "--country", "GB"),
    "completion": ("completion", "bash"),
    "help": ("help", "screen"),
    "version": ("--version",),
    "staged": ("screen", "--staged", *COMMANDS["screen"][1:3]),
    "reports": (
        *COMMANDS["screen"],
        *(f"--write={kind}:../r.{kind}" for kind in ("html", "json", "sarif", "junit", "csv")),
    ),
}
EVERY = {**COMMANDS, **ALSO}
MODULES = (
    "yaml", "sitecustomize", "usercustomize", "dietcheck", "dietcheck_rules", "conftest", "json",
    "re", "os", "site", "datetime", "pluggy", "jinja2", "jsonschema", "encodings", "argparse",
    "decimal", "importlib", "git", "setup", "odd_pack", "typing", "pint", "referencing",
)  # fmt: skip


@pytest.fixture(scope="module")
def park(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A committed park full of modules that leave a mark when anybody imports them."""
    top = tmp_path_factory.mktemp("code")
    mark = f"open({str(top / 'ran')!r}, 'a').write(__name__)\n"
    code = {f"{name}.py": mark for name in MODULES}
    code |= {f"{name}/__init__.py": mark for name in ("yaml", "jinja2", "dietcheck", "json")}
    code |= {
        "pyproject.toml": "[tool.pytest.ini_options]\naddopts = '-p odd_pack'\n",
        "odd.pth": f"import os; {mark}",
        "odd_pack-1.dist-info/METADATA": "Metadata-Version: 2.1\nName: odd-pack\nVersion: 1\n",
        "odd_pack-1.dist-info/entry_points.txt": "[dietcheck]\ndietcheck_rules = odd_pack\n",
        "report.html.j2": "{{ cycler.__init__.__globals__.os.system('touch ran') }}",
        "limits.yaml.py": mark,
        "git": f"#!{sys.executable}\n{mark}",
    }
    folder = lay(top / "park", {**whole(), **code})
    (folder / "git").chmod(0o755)
    git = ["git", "-c", "user.name=x", "-c", "user.email=x@example.org"]
    for step in (["init", "-q"], ["add", "-A"], ["commit", "-q", "-m", "x"]):
        subprocess.run([*git, *step], cwd=folder, check=True, capture_output=True)
    lay(top, {"treat.yaml": TREATS.replace("2026-11-20", "2026-11-26")})
    return folder


@pytest.fixture(scope="module")
def cage() -> Iterator[Cage]:
    """One server for all runs."""
    with Cage() as cage:
        yield cage


def _words(command: str) -> list[str]:
    return [one.replace("drafts/", "../") for one in EVERY[command]]


def _clear(park: Path) -> None:
    for made in (*park.glob("sign-offs/*"), *park.glob(".editor/*"), *park.glob("new/**/*")):
        if made.is_file():
            made.unlink()
    for folder in sorted(park.glob("new/**"), reverse=True):
        folder.rmdir()


def test_no_command_is_forgotten() -> None:
    assert {words[0] for words in EVERY.values()} >= set(dietcheck.commands.COMMANDS)


@pytest.mark.parametrize("command", sample(EVERY, 2))
def test_no_module_lying_in_the_collection_is_imported(park: Path, command: str) -> None:
    """The collection is the working directory, and the program a process of its own."""
    done = subprocess.run(
        [SCRIPT, *_words(command)], cwd=park, capture_output=True, text=True, check=False
    )
    _clear(park)
    assert not (park.parent / "ran").exists(), (park.parent / "ran").read_text()
    assert done.returncode in (0, 1), done.stderr
    assert "Traceback" not in done.stderr


def test_python_safe_mode_guards_the_module_too(park: Path) -> None:
    """`python -m` looks where it stands before a line of ours has run; -P is Python's own guard."""
    words = [sys.executable, "-P", "-m", "dietcheck", *_words("screen")]
    done = subprocess.run(words, cwd=park, capture_output=True, text=True, check=False)
    assert not (park.parent / "ran").exists()
    assert done.returncode in (0, 1), done.stderr


@pytest.mark.parametrize("command", EVERY)
def test_no_command_uses_a_socket_or_starts_anything_but_git(
    cage: Cage, park: Path, command: str
) -> None:
    befalls = [("no network", None), ("only inside", str(park.parent))]
    ended = cage.run(*_words(command), cwd=park, befalls=befalls)
    _clear(park)
    orderly(ended, 0, 1)


def test_the_watch_on_sockets_sees_one() -> None:
    """Or the tests above would prove nothing."""
    code = (
        "import os, socket\nfrom tests.cage.befalls import no_network, seen_by\n"
        "seen_by(1)\nno_network(None)\n"
        "try:\n    socket.create_connection(('127.0.0.1', 9))\nexcept RuntimeError: pass\n"
        "try:\n    os.system('true')\nexcept RuntimeError: pass\n"
    )
    top = Path(__file__).resolve().parents[2]
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=top, capture_output=True, text=True, check=True
    )
    assert "socket." in done.stdout
    assert "os.system" in done.stdout
