"""Writes report files where they were asked for: whole or not at all, and never over a record."""

from __future__ import annotations

import os
import secrets
from collections.abc import Collection, Iterable, Sequence
from contextlib import suppress
from difflib import get_close_matches
from pathlib import Path

from msgspec import Struct

from dietcheck.commands.arguments import Usage
from dietcheck.commands.undisturbed import undisturbed
from dietcheck.errors import JobError
from dietcheck.outside.files import is_record_name
from dietcheck.reading.problems import listed, show
from dietcheck.reporting import KINDS


class Target(Struct, frozen=True):
    """A report file that was asked for: its kind, and its path as it was written."""

    kind: str
    file: str

    @property
    def path(self) -> Path:
        """Where the bytes go: links are followed, so that a link stays a link."""
        return Path(os.path.realpath(self.file))


def read_target(text: str) -> Target:
    """The `KIND:FILE` of `--write`. Raises Usage."""
    kind, colon, file = text.partition(":")
    if kind not in KINDS:
        near = get_close_matches(kind, KINDS, n=1)
        raise Usage(
            f"--write: {show(kind)} is no kind of report.",
            f"Write {near[0] if near else listed(KINDS)}, a colon and the name of a file: "
            f"--write {near[0] if near else 'json'}:report.{near[0] if near else 'json'}",
        )
    if not colon or not file or file == "-":
        raise Usage(
            f"--write {kind} needs the name of a file.", f"Write --write {kind}:report.{kind}"
        )
    return Target(kind, file)


def check_targets(targets: Sequence[Target], drafts: Iterable[Path]) -> None:
    """Refuse what must not be written over, before any work is done. Raises JobError."""
    taken: set[Path] = set()
    records = {Path(os.path.realpath(draft)) for draft in drafts}
    for target in targets:
        _check_target(target, records)
        if target.path in taken:
            raise JobError(
                f"two reports would be written to {show(target.file, 200)}.",
                "Name a file for each.",
            )
        taken.add(target.path)


def _check_target(target: Target, drafts: Collection[Path]) -> None:
    path = target.path
    said = show(target.file, 200)
    if is_record_name(path.name):
        raise JobError(
            f"{said} would be taken for a diet record, or be written over one.",
            f"Give the report another ending, such as .{target.kind}.",
        )
    if path in drafts:
        raise JobError(f"{said} is a draft that is to be read.", "Name another file.")
    if ".git" in path.parts:
        raise JobError(f"{said} lies in git's own folder.", "Name a file outside .git.")
    if os.path.isdir(path):
        raise JobError(f"{said} is a folder.", "Name a file in it.")
    if os.path.exists(path) and not os.path.isfile(path):
        raise JobError(f"{said} is not an ordinary file.", "Name another file.")
    if not os.path.isdir(path.parent):
        raise JobError(
            f"there is no folder {show(path.parent, 200)} to write {show(path.name)} into.",
            "Make the folder first, or name another.",
        )


def write_whole(target: Target, text: str) -> None:
    """Write a report beside its place and move it there, so that nobody sees half of one.

    Raises JobError; then the old file, if there was one, is as it was.
    """
    path = target.path
    beside = path.parent / f".dietcheck-{secrets.token_hex(8)}.tmp"
    try:
        with undisturbed():
            _replace(path, beside, text)
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise JobError(
            f"{show(target.file, 200)} could not be written ({reason}).",
            "Name a file in a folder that you may write to.",
        ) from error


def _replace(path: Path, beside: Path, text: str) -> None:
    try:
        # With the rights that any new file of this user gets; "x": never into another's file.
        with open(beside, "x", encoding="utf-8", newline="\n") as file:
            file.write(text)
        os.replace(beside, path)
    except BaseException:
        with suppress(OSError):
            beside.unlink()
        raise
