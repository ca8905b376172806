"""Writes to the terminal so that no text, encoding or closed pipe can turn into a traceback.

Findings go to standard output, everything else to standard error.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from typing import TextIO

from dietcheck.commands.progress import clear
from dietcheck.errors import JobError
from dietcheck.reporting.layout import apart

# For terminals that know only plain letters: signs that the reports use, in ASCII.
_PLAIN = str.maketrans(
    {"–": "-", "—": "-", "…": "...", "“": '"', "”": '"', "‘": "'", "’": "'", "×": "x", "÷": "/"}
    | {"µ": "mc", "≥": ">=", "≤": "<=", "°": " deg ", "·": "-"}
)


def say(text: str) -> None:
    """Write findings to standard output. JobError if they cannot be written at all.

    A reader that has seen enough (`| head`) and an output that is closed on purpose are no error.
    """
    if sys.stdout is None:
        return
    try:
        _write(sys.stdout, text)
    except BrokenPipeError:
        _give_up(sys.stdout)
    except (OSError, ValueError) as error:
        _give_up(sys.stdout)
        raise JobError(
            f"the findings could not be written ({getattr(error, 'strerror', None) or error}).",
            "Send the output somewhere else, or write it to a file with --write.",
        ) from error


def complain(text: str) -> None:
    """Write a message about the run to standard error, or nowhere if that is closed.

    A text of a record in it cannot become a command of a CI log, which obeys both outputs.
    """
    if sys.stderr is None:
        return
    try:
        _write(sys.stderr, apart(text) + "\n")
    except (OSError, ValueError):
        _give_up(sys.stderr)


def wants_colour() -> bool:
    """Whether someone is looking who has not said no to colour (the NO_COLOR convention)."""
    try:
        looking = sys.stdout is not None and sys.stdout.isatty()
    except ValueError:  # closed
        return False
    return looking and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def _write(stream: TextIO, text: str) -> None:
    clear()
    encoding = getattr(stream, "encoding", None) or "utf-8"
    try:
        text.encode(encoding)
    except (UnicodeError, LookupError):
        text = text.translate(_PLAIN).encode("ascii", "backslashreplace").decode("ascii")
    try:
        stream.write(text)
    except UnicodeError:  # an encoding that is not made for text
        stream.buffer.write(text.encode("ascii", "backslashreplace"))
    stream.flush()


def _give_up(stream: TextIO) -> None:
    """Let nothing more be written, so that Python stays silent when it shuts down."""
    with suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
