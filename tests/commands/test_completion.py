"""`dietcheck completion`: what the scripts offer, asked as the tab key asks.

bash is everywhere; zsh and fish are asked where they are installed.
"""

from __future__ import annotations

import os
import pty
import select
import shlex
import shutil
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from dietcheck.__main__ import main
from dietcheck.commands import COMMANDS
from dietcheck.commands.completion import SHELLS, Option, Shape, shapes


@pytest.fixture(scope="module")
def bash(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The script for bash in a folder with a few files."""
    folder = tmp_path_factory.mktemp("bash")
    (folder / "my diets").mkdir()
    (folder / "draft one.yaml").touch()
    script = folder / "completion.sh"
    script.write_text(SHELLS["bash"](shapes()), encoding="utf-8")
    return script


def offered(script: Path, *words: str) -> set[str]:
    """What bash offers for the last word of a line."""
    line = " ".join(map(shlex.quote, words))
    ask = (
        f"source {shlex.quote(str(script))}; COMP_WORDS=({line}); COMP_CWORD={len(words) - 1}; "
        'COMPREPLY=(); _dietcheck; (( ${#COMPREPLY[@]} )) && printf "%s\\n" "${COMPREPLY[@]}"; true'
    )
    done = subprocess.run(
        ["bash", "--norc", "-c", ask],
        cwd=script.parent,
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    return set(done.stdout.splitlines())


def test_commands_and_options_are_offered(bash: Path) -> None:
    assert set(COMMANDS) <= offered(bash, "dietcheck", "")
    assert offered(bash, "dietcheck", "scr") == {"screen"}
    assert offered(bash, "dietcheck", "screen", "--bl") == {"--block-on"}
    assert offered(bash, "dietcheck", "no-such-command", "") == set()


def test_what_can_stand_at_a_place_is_offered_there(bash: Path) -> None:
    assert offered(bash, "dietcheck", "screen", "--block-on", "") == {"high", "medium", "low"}
    assert offered(bash, "dietcheck", "schema", "di") == {"diet-sheet"}
    assert offered(bash, "dietcheck", "help", "comp") == {"completion"}
    assert offered(bash, "dietcheck", "completion", "") == set(SHELLS)
    assert offered(bash, "dietcheck", "screen", "--on", "") == set()


def test_names_of_files_and_folders_stay_whole(bash: Path) -> None:
    assert offered(bash, "dietcheck", "screen", "my") == {"my diets"}
    assert offered(bash, "dietcheck", "screen", "draft") == set()
    assert offered(bash, "dietcheck", "screen", "--draft", "draft") == {"draft one.yaml"}


@pytest.mark.parametrize("shell", SHELLS)
def test_every_option_of_every_command_is_in_each_script(
    shell: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["completion", shell]) == 0
    script = capsys.readouterr().out
    for name, shape in shapes().items():
        assert name in script
        for option in shape.options:
            for spelling in option.names:
                assert (f"-l {spelling[2:]}" if shell == "fish" else spelling) in script or (
                    shell == "fish" and f"-s {spelling[1:]}" in script
                )


@pytest.mark.parametrize("shell", SHELLS)
def test_help_texts_cannot_break_out_of_the_script(shell: str) -> None:
    option = Option(("--odd",), "it's $(touch hacked) `touch hacked` [x]: \\ \" \n", None)
    script = SHELLS[shell]({"odd": Shape("it's $(touch hacked)", (option,), ())})
    if shell == "bash":
        assert "hacked" not in script
        return
    for line in script.splitlines():
        if "hacked" in line:  # only ever inside single quotes
            bare = line.replace("\\\\", "").replace("\\'", "").replace("'\"'\"'", "")
            assert all("$" not in part for part in bare.split("'")[::2])


def test_another_shell_is_told_which_there_are(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", "csh"]) == 2
    said = capsys.readouterr().err
    assert all(shell in said for shell in SHELLS)


# -- the tab key, in each shell that is here -------------------------------------------------------

FUNCTION = {
    "bash": """dietcheck() { printf "%s\\n" "$@" > part; mv part got; }""",
    "zsh": """dietcheck() { printf "%s\\n" "$@" > part; mv part got; }""",
    "fish": """function dietcheck; printf "%s\\n" $argv > part; mv part got; end""",
}
STARTED = {
    "bash": ("bash", "--norc", "--noprofile", "-i"),
    "zsh": ("zsh", "-f", "-i"),
    "fish": ("fish", "--no-config", "-i"),
}
INSTALLED = [shell for shell in SHELLS if shutil.which(shell)]
TYPED = {
    "dietcheck scr\t": "screen",
    "dietcheck screen --bl\thi\t": "screen --block-on high",
    "dietcheck schema diet-\t": "schema diet-sheet",
    "dietcheck screen my\t": "screen my diets",
    "dietcheck screen --draft dra\t": "screen --draft draft one.yaml",
}


@contextmanager
def terminal(shell: str, folder: Path) -> Iterator[int]:
    """A shell at a terminal of its own; what is typed and shown goes through the descriptor."""
    child, ours = pty.fork()
    if child == 0:
        os.chdir(folder)
        for name in ("HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "ZDOTDIR"):
            os.environ[name] = str(folder)
        os.environ |= {"TERM": "dumb", "HISTFILE": "/dev/null", "PS1": "> "}
        os.execvp(STARTED[shell][0], STARTED[shell])
    try:
        yield ours
    finally:
        os.close(ours)
        os.kill(child, 9)
        os.waitpid(child, 0)


def wait_for(ours: int, file: Path, seconds: float = 30) -> list[str]:
    """The lines of a file that the shell is about to write; the terminal is emptied meanwhile."""
    shown, end = "", time.monotonic() + seconds
    while not file.exists() and time.monotonic() < end:
        if select.select([ours], [], [], 0.05)[0]:
            shown += os.read(ours, 65536).decode(errors="replace")
    assert file.exists(), shown
    lines = file.read_text().splitlines()
    file.unlink()
    return lines


@pytest.mark.filterwarnings("ignore:This process .* is multi-threaded:DeprecationWarning")
@pytest.mark.parametrize("shell", INSTALLED)
def test_the_tab_key_completes_in_a_real_shell(shell: str, tmp_path: Path) -> None:
    (tmp_path / "my diets").mkdir()
    (tmp_path / "draft one.yaml").touch()
    (tmp_path / "script").write_text(SHELLS[shell](shapes()), encoding="utf-8")
    setting_up = {
        "zsh": "autoload -U compinit; compinit -u -D; source ./script",
        "bash": "source ./script",
        "fish": "source ./script",
    }[shell]
    with terminal(shell, tmp_path) as ours:
        os.write(ours, f"{FUNCTION[shell]}\n{setting_up}\ndietcheck ready\n".encode())
        assert wait_for(ours, tmp_path / "got") == ["ready"]
        for typed, wanted in TYPED.items():
            os.write(ours, f"{typed}\n".encode())
            # zsh takes its slash after a folder back when the line is sent
            assert " ".join(wait_for(ours, tmp_path / "got")).rstrip("/") == wanted
