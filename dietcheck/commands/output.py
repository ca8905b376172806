"""Findings go to standard output, everything else to standard error."""

from __future__ import annotations

import sys

from dietcheck.outside.terminal import give_up, say, wants_colour, write
from dietcheck.reporting.layout import apart

__all__ = ["complain", "say", "wants_colour"]


def complain(text: str) -> None:
    """Write a message about the run to standard error, or nowhere if that is closed.

    A text of a record in it cannot become a command of a CI log, which obeys both outputs.
    """
    if sys.stderr is None:
        return
    try:
        write(sys.stderr, apart(text) + "\n")
    except (OSError, ValueError):
        give_up(sys.stderr)
