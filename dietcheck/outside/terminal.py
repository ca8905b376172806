"""Standard output and error, written so that no text, encoding or closed pipe can do harm."""

from __future__ import annotations

import os
import sys

from dietcheck.errors import JobError

TYPE_CHECKING = False  # typing itself would be loaded otherwise, for nothing
if TYPE_CHECKING:
    from typing import Protocol, TextIO

    class Drawn(Protocol):
        """Something on the terminal that has to be wiped before anything else is said."""

        def stop(self) -> None: ...


drawn: list[Drawn] = []

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
        write(sys.stdout, text)
    except BrokenPipeError:
        give_up(sys.stdout)
    except (OSError, ValueError) as error:
        give_up(sys.stdout)
        raise JobError(
            f"the findings could not be written ({getattr(error, 'strerror', None) or error}).",
            "Send the output somewhere else, or write it to a file with --write.",
        ) from error


def wants_colour() -> bool:
    """Whether someone is looking who has not said no to colour (the NO_COLOR convention)."""
    try:
        looking = sys.stdout is not None and sys.stdout.isatty()
    except ValueError:  # closed
        return False
    return looking and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def write(stream: TextIO, text: str) -> None:
    """Write a text as the stream can take it, and send it off. OSError, ValueError."""
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


def clear() -> None:
    """Wipe what is drawn for good, because there is something else to say."""
    while drawn:
        drawn.pop().stop()


def give_up(stream: TextIO) -> None:
    """Let nothing more be written, so that Python stays silent when it shuts down."""
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
    except (OSError, ValueError, AttributeError):
        return
