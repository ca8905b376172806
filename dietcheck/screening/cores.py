"""Shares work that falls into parts among several cores: each takes every n-th part.

A fork has all that was read and linked at once, without a word passed on. What it found comes back
through a pipe, and from nowhere else. One that ends without a word has found nothing: the parts it
was given are told apart, so that nobody takes silence for a pass.
"""

from __future__ import annotations

import os
import pickle
import signal
import sys
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from typing import Any, TypeVar

Part = TypeVar("Part")
Found = TypeVar("Found")

WORTH_IT = 200
"""Parts from which on a second process saves more than it costs."""
MOST = 8


def usual(parts: int) -> int:
    """How many cores to use for so many parts, where nobody says."""
    if parts < WORTH_IT or not hasattr(os, "fork") or sys.platform == "darwin":
        return 1  # on macOS a fork of a program that has used its libraries may hang
    return min(MOST, available())


def available() -> int:
    """The cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def shared(
    work: Callable[[Part], Found], parts: Sequence[Part], cores: int
) -> Mapping[Part, Found | None]:
    """What `work` finds for each part; None for those of a process that ended before its time."""
    cores = min(cores, len(parts)) if hasattr(os, "fork") else 1
    if cores < 2:
        return {part: work(part) for part in parts}
    helpers: list[_Helper] = []
    try:
        helpers += (_Helper(work, parts[number::cores]) for number in range(1, cores))
        found: dict[Part, Found | None] = {part: work(part) for part in parts[::cores]}
        for helper in helpers:
            found |= helper.found()
    finally:
        for helper in helpers:
            helper.end()
    return {part: found[part] for part in parts}


class _Helper:
    """A fork that works on some parts."""

    def __init__(self, work: Callable[[Any], Any], parts: Sequence[Any]) -> None:
        self._parts = parts
        self._pipe, theirs = os.pipe()
        self._process = os.fork()
        if not self._process:  # pragma: no cover, as the fork tells nobody what it ran
            _work(work, parts, theirs)
        os.close(theirs)

    def found(self) -> dict[Any, Any]:
        with open(self._pipe, "rb", closefd=False) as pipe:
            told = pipe.read()
        with suppress(Exception):  # cut short, or nothing at all
            return dict(zip(self._parts, pickle.loads(told), strict=True))
        return dict.fromkeys(self._parts)

    def end(self) -> None:
        os.close(self._pipe)
        with suppress(OSError):
            os.kill(self._process, signal.SIGKILL)
        with suppress(OSError):
            os.waitpid(self._process, 0)


def _work(  # pragma: no cover
    work: Callable[[Any], Any], parts: Sequence[Any], pipe: int
) -> None:
    """The fork's whole life. It never returns into the program that it was forked from."""
    status = 1
    try:
        found = [work(part) for part in parts]
        with open(pipe, "wb") as out:
            pickle.dump(found, out, pickle.HIGHEST_PROTOCOL)
        status = 0
    finally:
        os._exit(status)
