"""The errors of the whole program: what stops the job, told in plain words."""

from __future__ import annotations


class JobError(Exception):
    """The job could not be done at all (exit status 2), as against records with problems.

    `message` says what stood in the way, `remedy` what the person can do about it.
    """

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy

    def __str__(self) -> str:
        return f"{self.message} {self.remedy}".strip()


class NotARepository(JobError):
    """The place named holds no records to check."""


class HelpShown(Exception):
    """The help was asked for and shown: there is nothing more to do."""


LONGEST_SHOWN = 60


def show(value: object, longest: int = LONGEST_SHOWN) -> str:
    """A value from a file as it may be shown: one line, printable, at most `longest` characters
    of it (what cannot be seen is written out, and may take more)."""
    text = value if isinstance(value, str) else str(value)
    cut = text if len(text) <= longest else text[: longest - 1] + "…"
    if cut.isprintable():
        return cut
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in cut)
