"""Groups judged side by side: the same outcome, and none is lost without a word."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterable
from pathlib import Path
from types import SimpleNamespace

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Diet, Rule, Verdict, hookimpl
from dietcheck.reading import Folder
from dietcheck.screening import cores as forks
from dietcheck.screening.checks import Severity
from dietcheck.screening.cores import available, shared, usual
from dietcheck.screening.hookspecs import CONTRACT, Pack
from dietcheck.screening.packs import rules_of
from dietcheck.screening.report import Report
from dietcheck.screening.screen import screen
from dietcheck.screening.watch import SECONDS_VARIABLE
from tests import records
from tests.commands.console import write

OURS = os.getpid()


@pytest.mark.parametrize(
    ("there", "parts", "used"), [(4, 199, 1), (4, 200, 4), (16, 10_000, 8), (1, 10_000, 1)]
)
def test_a_large_collection_is_shared_among_up_to_eight_cores(
    there: int, parts: int, used: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(forks, "available", lambda: there)
    assert usual(parts) == used
    monkeypatch.setattr("sys.platform", "darwin")
    assert usual(parts) == 1


def test_only_cores_that_this_process_may_use_count() -> None:
    before = os.sched_getaffinity(0)
    try:
        os.sched_setaffinity(0, {min(before)})
        assert available() == 1
    finally:
        os.sched_setaffinity(0, before)


def test_without_forks_one_process_does_it_all(monkeypatch: pytest.MonkeyPatch) -> None:
    assert available() == len(os.sched_getaffinity(0))
    monkeypatch.delattr(os, "sched_getaffinity")
    monkeypatch.setattr(os, "cpu_count", lambda: 3)
    assert available() == 3
    monkeypatch.setattr(os, "cpu_count", lambda: None)
    assert available() == 1
    monkeypatch.setattr(forks, "available", lambda: 4)
    monkeypatch.delattr(os, "fork")
    assert usual(10_000) == 1
    assert shared(lambda part: (part, os.getpid()), [1, 2], 2) == {1: (1, OURS), 2: (2, OURS)}


@settings(max_examples=20, deadline=None)
@given(st.lists(st.integers(), unique=True, max_size=9), st.integers(1, 5))
def test_the_same_is_found_in_the_same_order_on_any_number_of_cores(
    parts: list[int], cores: int
) -> None:
    found = shared(lambda part: (part, str(part)), parts, cores)
    assert list(found.items()) == [(part, (part, str(part))) for part in parts]


def test_nothing_is_left_open_behind_the_forks() -> None:
    before = os.listdir("/proc/self/fd")
    assert shared(str, range(6), 3) == {n: str(n) for n in range(6)}
    assert os.listdir("/proc/self/fd") == before


def _raise() -> None:
    raise ValueError


def _leave() -> None:
    os._exit(0)


def _be_killed() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


@pytest.mark.parametrize("how", [_raise, _leave, _be_killed])
def test_what_a_process_did_not_tell_is_told_apart(how: object) -> None:
    def work(part: int) -> int:
        if part == 3 and os.getpid() != OURS:
            assert callable(how)
            how()
        return part

    # the second process has 1, 3 and 5
    assert shared(work, range(6), 2) == {0: 0, 1: None, 2: 2, 3: None, 4: 4, 5: None}


def test_what_goes_wrong_in_the_process_itself_is_raised_and_the_others_are_ended() -> None:
    def work(part: int) -> int:
        if part == 0:
            raise KeyboardInterrupt
        signal.pause()
        return part

    with pytest.raises(KeyboardInterrupt):
        shared(work, range(3), 3)
    with pytest.raises(ChildProcessError):
        os.waitpid(-1, os.WNOHANG)


def judged(folder: Path, judge: Callable[..., object], cores: int) -> Report:
    """Four groups, judged by one rule."""

    def describe() -> Rule:
        return Rule(id="one", title="One", folder=folder)

    rule = SimpleNamespace(
        describe=hookimpl(describe), judge_group=hookimpl(judge, specname="judge_group")
    )
    files = records.small(
        **{f"group{n}": records.group(id=f"tapir{n}", enclosure=f"Hill {n}") for n in range(3)}
    )
    return screen(
        Folder(write(folder / "park", files)),
        records.ON,
        load=lambda _: rules_of(Pack("test", "0", CONTRACT, (rule,))),
        cores=cores,
    )


def test_a_group_whose_process_ended_is_reported_as_not_judged(tmp_path: Path) -> None:
    def judge(diet: Diet) -> Iterable[Check]:
        if os.getpid() != OURS:
            os._exit(0)
        yield Check(verdict=Verdict.KEPT, about="x", message=diet.group.id)

    report = judged(tmp_path, judge, 2)
    failed = [failure.group for failure in report.failures]
    assert len(failed) == 2
    spoken = {f.group: f.severity for f in report.findings if f.check.about == "rule failed"}
    assert spoken == dict.fromkeys(failed, Severity.HIGH)


def test_a_rule_that_does_not_end_is_stopped_in_each_process(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(SECONDS_VARIABLE, "0.2")

    def judge(diet: Diet) -> Iterable[Check]:
        while diet.on >= records.ON:
            pass
        yield from ()

    assert len(judged(tmp_path, judge, 2).failures) == 4


def test_the_example_is_judged_the_same_on_several_cores() -> None:
    park = Folder(Path(__file__).parents[2] / "example_repo")
    alone, together = (screen(park, records.ON, cores=n) for n in (1, 3))
    assert together.judged == alone.judged
    assert [f.id for f in together.findings] == [f.id for f in alone.findings]
