"""The line while a long job runs: on a terminal only, wiped before anything else is said."""

from __future__ import annotations

import io
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from dietcheck.__main__ import main
from dietcheck.commands import progress, screen
from dietcheck.commands.output import complain, say
from tests.commands.console import call, write


class Terminal(io.StringIO):
    """A stream before which somebody sits."""

    def isatty(self) -> bool:
        return True


def sit_before(monkeypatch: pytest.MonkeyPatch) -> Terminal:
    """Both streams are one terminal, and the line comes at once.

    Called inside a test: pytest puts its own streams in place between a fixture and the test.
    """
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setattr(sys, "stdout", stream)
    monkeypatch.setattr(progress, "FIRST_AFTER", 0.01)
    monkeypatch.setattr(progress, "EVERY", 0.01)
    monkeypatch.delenv("CI", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    return stream


def until_drawn(stream: Terminal) -> None:
    """Wait for the thread that draws."""
    for _ in range(1000):
        if stream.getvalue():
            return
        time.sleep(0.01)
    raise AssertionError("no line was drawn")


def seen(text: str) -> list[str]:
    """The lines of a terminal after carriage returns have done their work."""
    lines = []
    for line in text.split("\n"):
        screen_line = ""
        for part in line.split("\r"):
            screen_line = part + screen_line[len(part) :]
        lines.append(screen_line.rstrip())
    return lines


def test_the_line_is_drawn_without_escape_codes_and_wiped(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = sit_before(monkeypatch)
    with progress.progress("dietcheck screen"):
        until_drawn(terminal)
    drawn = terminal.getvalue()
    assert "dietcheck screen" in drawn
    assert "\x1b" not in drawn
    assert seen(drawn) == [""]


@pytest.mark.parametrize(("speak", "text"), [(say, "found\n"), (complain, "found")])
def test_what_is_said_stands_on_a_clean_line_and_ends_it(
    monkeypatch: pytest.MonkeyPatch, speak: Callable[[str], None], text: str
) -> None:
    terminal = sit_before(monkeypatch)
    with progress.progress("a job with a long name"):
        until_drawn(terminal)
        speak(text)
        after = terminal.getvalue()
        time.sleep(0.05)
        assert terminal.getvalue() == after
    assert seen(terminal.getvalue()) == ["found", ""]


def test_a_quick_job_draws_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = sit_before(monkeypatch)
    monkeypatch.setattr(progress, "FIRST_AFTER", 60)
    with progress.progress("quick"):
        pass
    assert terminal.getvalue() == ""


@pytest.mark.parametrize("why", [{"CI": "true"}, {"TERM": "dumb"}])
def test_ci_and_dumb_terminals_get_none(why: dict[str, str]) -> None:
    assert progress.is_watched(Terminal(), {"TERM": "xterm"})
    assert not progress.is_watched(Terminal(), {"TERM": "xterm"} | why)
    assert not progress.is_watched(io.StringIO(), {"TERM": "xterm"})


def test_a_pipe_gets_none(tmp_path: Path) -> None:
    assert "\r" not in call("screen", write(tmp_path / "park")).err


def test_stopping_ends_with_status_2_and_a_plain_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stopped(*_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(screen, "run", stopped)
    assert main(["screen", str(tmp_path)]) == 2
    said = capsys.readouterr().err
    assert said.startswith("dietcheck: stopped")
    assert "Traceback" not in said
