"""`dietcheck completion`: what the scripts offer, asked of bash as the tab key asks."""

from __future__ import annotations

import shlex
import subprocess
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
