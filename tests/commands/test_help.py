"""`dietcheck help`: every command has a page, and every page is whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from dietcheck.__main__ import main
from dietcheck.commands import COMMANDS
from dietcheck.commands.help_ import page, parser_of, sections
from tests.checkout import CHECKOUT

PAGES = CHECKOUT / "dietcheck/commands/manual"


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_has_a_page_with_all_it_needs(name: str) -> None:
    assert sections(name).keys() == {"What it does", "Exit status", "Files"}
    assert all(sections(name).values())
    shown = page(name)
    assert all(line in shown for line, _ in COMMANDS[name].examples)
    for action in parser_of(name)._actions:
        assert all(option in shown for option in action.option_strings)
        assert action.help


def test_no_page_is_left_of_a_command_that_is_gone() -> None:
    assert {path.stem for path in PAGES.iterdir()} == set(COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_pages_fit_a_terminal(name: str) -> None:
    own = "\n".join(sections(name).values())
    assert max(map(len, own.splitlines())) <= 80


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_teaches_by_example(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert COMMANDS[name].examples
    assert main([name, "--help"]) == 0
    assert COMMANDS[name].examples[0][0] in capsys.readouterr().out


def test_overview_names_every_command_however_it_is_asked_for(
    capsys: pytest.CaptureFixture[str],
) -> None:
    shown = []
    for arguments in (["help"], ["--help"], ["-h"]):
        assert main(arguments) == 0
        shown.append(capsys.readouterr().out)
    assert len(set(shown)) == 1
    assert all(f"  {name} " in shown[0] for name in COMMANDS)


def test_a_page_is_shown_and_an_unknown_command_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["help", "screen"]) == 0
    assert capsys.readouterr().out == page("screen")
    assert main(["help", "scren"]) == 2
    assert "screen" in capsys.readouterr().err
    assert main(["help", str(tmp_path)]) == 2
