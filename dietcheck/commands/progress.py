"""One line on the terminal while a job takes longer than a second, and nothing anywhere else.

The line goes to standard error, is drawn with carriage returns alone (no escape codes), and is
wiped before anything else is printed. A pipe, a file, a CI job and a dumb terminal get none.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from threading import Event, Lock, Thread
from typing import TextIO

from dietcheck.outside.terminal import clear, drawn

FIRST_AFTER = 1.0
"""Seconds before the line appears: what is quicker needs none."""
EVERY = 1.0
"""Seconds between two drawings."""


class Line:
    """The line that a thread of its own draws until it is stopped."""

    def __init__(self, stream: TextIO, doing: str) -> None:
        self._stream = stream
        self._doing = doing
        self._lock = Lock()
        self._ended = Event()
        self._drawn = 0  # signs that stand on the terminal
        self._started = time.monotonic()
        self._thread = Thread(target=self._keep_drawing, name="progress", daemon=True)
        self._thread.start()

    def _keep_drawing(self) -> None:
        wait = FIRST_AFTER
        while not self._ended.wait(wait):
            with self._lock:
                if not self._ended.is_set():
                    self._draw()
            wait = EVERY

    def _draw(self) -> None:
        text = f"{self._doing} ... {int(time.monotonic() - self._started)} s"
        with suppress(OSError, ValueError):
            self._stream.write("\r" + text.ljust(self._drawn))
            self._stream.flush()
            self._drawn = len(text)

    def stop(self) -> None:
        """Wipe the line and draw no more."""
        with self._lock:
            self._ended.set()
            if self._drawn:
                with suppress(OSError, ValueError):
                    self._stream.write("\r" + " " * self._drawn + "\r")
                    self._stream.flush()
                self._drawn = 0


@contextmanager
def progress(doing: str) -> Iterator[None]:
    """Say what is being done, and for how many seconds, if somebody is waiting at a terminal."""
    stream = sys.stderr
    if stream is None or not is_watched(stream, os.environ):
        yield
        return
    line = Line(stream, doing)
    drawn.append(line)
    try:
        yield
    finally:
        clear()


def is_watched(stream: TextIO, environment: Mapping[str, str]) -> bool:
    """Whether a person sits before that stream."""
    try:
        terminal = stream.isatty()
    except ValueError:  # closed
        return False
    return terminal and environment.get("TERM") != "dumb" and not environment.get("CI")
