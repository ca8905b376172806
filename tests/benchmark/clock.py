"""Runs programs and says how long they took and how much memory they held."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median

DIETCHECK = str(Path(sys.executable).with_name("dietcheck"))
STARTER = """
import os, sys
out = [(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)]
child = os.posix_spawn(sys.argv[1], sys.argv[1:], os.environ, file_actions=out)
print(os.wait4(child, 0)[2].ru_maxrss)
"""
BARE = [sys.executable, "-c", "pass"]


@dataclass(frozen=True)
class Run:
    """One run: seconds by the clock, and what was written."""

    seconds: float
    output: str


def run(command: Sequence[str], home: Path, **more: str) -> Run:
    """Run a program with a home folder of its own, so that no cache is found but the one there.

    Raises SystemExit when the program could not do its job.
    """
    environment = {**os.environ, "HOME": str(home), "XDG_CACHE_HOME": str(home / "cache"), **more}
    for name in ("PYTHONDONTWRITEBYTECODE", "CI"):
        environment.pop(name, None)
    begun = time.perf_counter()
    told = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    seconds = time.perf_counter() - begun
    if told.returncode not in (0, 1):
        raise SystemExit(
            f"{' '.join(command[:6])} … ended with {told.returncode}:\n{told.stderr[-2000:]}"
        )
    return Run(seconds, told.stdout)


def peak(command: Sequence[str], home: Path) -> int:
    """The most resident memory of a program, in bytes.

    A small program starts it: what its starter held counts for a child on Linux.
    """
    forget(home)
    told = run([sys.executable, "-S", "-c", STARTER, *command], home).output
    return int(told) * (1 if sys.platform == "darwin" else 1024)


def forget(home: Path) -> None:
    """Take away whatever earlier runs kept."""
    shutil.rmtree(home / "cache", ignore_errors=True)


def in_turn(
    asked: Mapping[str, Sequence[str]],
    times: int,
    home: Path,
    before: Callable[[], None] | None = None,
) -> dict[str, float]:
    """The middle time of each program, run in turn so that all meet the same machine.

    What is to be done before each run; left out: what earlier runs kept is taken away.
    """
    seconds: dict[str, list[float]] = {name: [] for name in asked}
    for _ in range(times):
        for name, command in asked.items():
            if before is None:
                forget(home)
            else:
                before()
            seconds[name].append(run(command, home).seconds)
    return {name: median(taken) for name, taken in seconds.items()}
