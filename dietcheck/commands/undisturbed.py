"""Holds Ctrl-C back for the moment in which files are put in their place."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType


@contextmanager
def undisturbed() -> Iterator[None]:
    """Heed Ctrl-C when the block is done, so that it never comes between a file and its clean-up.

    A second one is heeded at once: the disk may hang.
    """
    main = threading.current_thread() is threading.main_thread()
    if not main or signal.getsignal(signal.SIGINT) is not signal.default_int_handler:
        yield
        return
    pressed = False

    def note(_number: int, _frame: FrameType | None) -> None:
        nonlocal pressed
        if pressed:
            raise KeyboardInterrupt
        pressed = True

    signal.signal(signal.SIGINT, note)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    if pressed:
        raise KeyboardInterrupt
