"""One rule may hold up neither the others nor the computer."""

from __future__ import annotations

import os
import resource
import signal
import sys
import threading
import time

import pytest

from dietcheck.screening import watch
from dietcheck.screening.watch import Allowance, OutOfTime, allowed_seconds, described


@pytest.mark.parametrize(
    ("said", "seconds"),
    [
        ("", 60), ("5", 5), ("0.25", 0.25), ("999999", 999999),
        ("0", 60), ("-1", 60), ("1e6", 60), ("inf", 60), ("nan", 60), ("soon", 60),
    ],
)  # fmt: skip
def test_the_environment_may_allow_any_sensible_time(
    said: str, seconds: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(watch.SECONDS_VARIABLE, said)
    assert allowed_seconds() == seconds


class Mute(Exception):
    """An error that cannot say what it is."""

    def __str__(self) -> str:
        raise OutOfTime


def test_whatever_is_raised_is_described_in_a_line() -> None:
    assert described(ValueError("no figure")) == "ValueError: no figure"
    assert described(Mute()) == "Mute"
    assert len(described(ValueError("x" * 9999))) == 300


def spin(seconds: float = 5) -> None:
    """Keep the processor busy, as a rule that does not end does."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        pass


def test_time_is_counted_over_all_groups_and_ends_the_rule_that_uses_it_up() -> None:
    before = signal.getsignal(signal.SIGALRM)
    allowance = Allowance("a rule", 0.05)

    def judge_all() -> None:
        for _ in range(50):
            assert not allowance.used_up
            with allowance:
                spin(0.02)

    with pytest.raises(OutOfTime):
        judge_all()
    assert allowance.used_up
    assert signal.getsignal(signal.SIGALRM) is before
    assert signal.getitimer(signal.ITIMER_REAL) == (0, 0)
    allowance._tell(signal.SIGALRM, None)  # a bell that rings late is not heard


def test_a_rule_that_keeps_within_its_time_hears_nothing() -> None:
    allowance = Allowance("a rule", 5)
    allowance._tell(signal.SIGALRM, None)  # nor does one that has not begun
    with allowance:
        spin(0.02)
    assert not allowance.used_up


class Ended(BaseException):
    """The program is ended."""


@pytest.mark.parametrize(("deaf", "ended"), [(4, False), (5, True)])
def test_a_rule_that_does_not_listen_is_told_again_and_then_everything_ends(
    deaf: int, ended: bool, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    def end(status: int) -> None:
        assert status == 2
        raise Ended

    monkeypatch.setattr(watch, "AGAIN", 0.01)
    monkeypatch.setattr(os, "_exit", end)
    heard: list[bool] = []

    def judge() -> None:
        while len(heard) < deaf:
            try:
                spin()
            except OutOfTime:
                heard.append(True)
        raise OutOfTime

    with pytest.raises(Ended if ended else OutOfTime), Allowance("the rule of hay", 0.01):
        judge()
    assert len(heard) == 4
    assert ("the rule of hay does not come to an end" in capfd.readouterr().err) is ended


def test_beside_the_main_thread_nothing_is_watched() -> None:
    done = []

    def judge() -> None:
        with Allowance("a rule", 0.001):
            spin(0.01)
        done.append(True)

    thread = threading.Thread(target=judge)
    thread.start()
    thread.join()
    assert done


GIB = 1024**3


@pytest.mark.parametrize(("already", "within"), [(None, 2 * GIB), (GIB, GIB), (3 * GIB, 2 * GIB)])
def test_while_rules_run_no_more_than_two_gibibytes_are_had(
    already: int | None, within: int
) -> None:
    before = resource.getrlimit(resource.RLIMIT_DATA)
    hard = before[1]
    soft = before[0] if already is None else already
    try:
        resource.setrlimit(resource.RLIMIT_DATA, (soft, hard))
        with watch.bounded_memory():
            assert resource.getrlimit(resource.RLIMIT_DATA) == (within, hard)
        assert resource.getrlimit(resource.RLIMIT_DATA) == (soft, hard)
    finally:
        resource.setrlimit(resource.RLIMIT_DATA, before)


def test_where_memory_cannot_be_limited_rules_run_all_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refuse(*_: object) -> None:
        raise OSError

    ran = []
    with monkeypatch.context() as patched:
        patched.setattr(resource, "setrlimit", refuse)
        with watch.bounded_memory():
            ran.append("refused")
    monkeypatch.setitem(sys.modules, "resource", None)
    with watch.bounded_memory():
        ran.append("not there")
    assert ran == ["refused", "not there"]
