"""Keeps one rule from holding everything up: so much time for each rule, so much memory for all.

What a rule may take is far above what any sound one takes. Where the system knows no timers and
no limits for a process (Windows; memory also on macOS) nothing is watched, and a rule that never
ends has to be stopped by hand: no report is written then, and nothing is cleared.
"""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from types import FrameType
from typing import Any

from dietcheck.reading.problems import show

SECONDS = 60.0
"""Seconds that one rule, or the loading of a pack, may take in one run; sound ones take far
less than one."""
SECONDS_VARIABLE = "DIETCHECK_RULE_SECONDS"
"""Set this in the environment where everything is slow, such as under an instrument."""
MEMORY = 2 * 1024**3
"""Bytes of data the program may hold while rules run; a thousand groups take a twentieth."""
AGAIN = 0.5
"""Seconds after which a rule that did not listen is told again."""
PATIENCE = 4
"""How often it is told before the run is ended as a whole."""

NOT_DONE = 2


class OutOfTime(BaseException):
    """Raised inside a rule that has used up its time. No `except Exception` of a rule hides it."""


FOREIGN = (Exception, SystemExit, GeneratorExit, OutOfTime)
"""All that foreign code may throw at us; only a person at the keyboard gets further."""


def described(error: BaseException) -> str:
    """What foreign code raised, in a line; its own words may be missing, endless or fail."""
    kind = type(error).__name__
    try:
        return f"{kind}: {error}"[:300]
    except FOREIGN:
        return kind


def allowed_seconds() -> float:
    """What a rule may take: the environment's word if it is a number above zero."""
    with suppress(ValueError):
        seconds = float(os.environ.get(SECONDS_VARIABLE, ""))
        if 0 < seconds < 1e6:
            return seconds
    return SECONDS


class Allowance:
    """The time that one rule has, whatever number of groups it is asked about.

    `with allowance:` lets it run out; inside, OutOfTime is raised when nothing is left.
    """

    def __init__(self, whose: str, seconds: float | None = None) -> None:
        self._whose = whose
        self._left = allowed_seconds() if seconds is None else seconds
        self._told = 0
        self._running = False
        self._before: Any = None
        self._can = hasattr(signal, "setitimer") and (
            threading.current_thread() is threading.main_thread()
        )

    @property
    def used_up(self) -> bool:
        """Whether nothing is left."""
        return self._told > 0

    def __enter__(self) -> None:
        if self._can:
            self._before = signal.signal(signal.SIGALRM, self._tell)
            self._running = True
            signal.setitimer(signal.ITIMER_REAL, max(self._left, 0.001), AGAIN)

    def __exit__(self, *_: object) -> None:
        if self._can:
            self._running = False
            self._left = signal.setitimer(signal.ITIMER_REAL, 0)[0]
            signal.signal(signal.SIGALRM, self._before)

    def _tell(self, _signal: int, _frame: FrameType | None) -> None:
        if not self._running:
            return
        self._told += 1
        if self._told > PATIENCE:
            self._end_all()
        raise OutOfTime(f"it had not come to an end after {allowed_seconds():g} seconds")

    def _end_all(self) -> None:
        """Leave at once: the rule catches everything that is thrown at it."""
        said = (
            f"dietcheck: {show(self._whose, 200)} does not come to an end and cannot be stopped.\n"
            "           Nothing has been cleared: feed the last approved sheets. Tell whoever\n"
            "           looks after dietcheck.\n"
        )
        with suppress(OSError):
            os.write(2, said.encode("ascii", "backslashreplace"))
        os._exit(NOT_DONE)


@contextmanager
def bounded_memory() -> Iterator[None]:
    """Let a MemoryError be raised in whatever takes too much, instead of the whole computer."""
    try:
        import resource
    except ImportError:  # Windows
        yield
        return
    before = resource.getrlimit(resource.RLIMIT_DATA)
    lowest = [MEMORY, *(limit for limit in before if limit != resource.RLIM_INFINITY)]
    try:
        resource.setrlimit(resource.RLIMIT_DATA, (min(lowest), before[1]))
    except (OSError, ValueError):
        yield
        return
    try:
        yield
    finally:
        with suppress(OSError, ValueError):
            resource.setrlimit(resource.RLIMIT_DATA, before)
