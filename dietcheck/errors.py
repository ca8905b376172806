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
