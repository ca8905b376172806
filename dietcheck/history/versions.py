"""The versions of a folder's records in git, and which of them stood on a day.

Only the main line is followed: a change on a branch is in force from the day on which it is merged.
Who wrote it is looked up on the branch. A commit cannot be older than the one it follows, so a
version counts from the latest date on its way, whatever its own date says.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from msgspec import Struct

from dietcheck.errors import JobError
from dietcheck.reading import git

NO_GIT = "this folder is in no git repository: nobody can tell when it was written, or by whom"
NOTHING_YET = "nothing has been committed yet: nobody can tell when this was written, or by whom"
_FIELDS = ("%H", "%cI", "%an", "%P", "%s")
_LOG = ["log", "--no-show-signature", "-z", "--format=" + "%x00".join(_FIELDS)]


class Version(Struct, frozen=True):
    """One commit that changed the folder.

    `on` is the day from which it stood, `dated` the day that it gives itself. `by` wrote it, or
    merged it; `writers` wrote what was merged.
    """

    commit: str
    on: date
    dated: date
    by: str
    subject: str
    parent: str | None
    writers: tuple[str, ...] = ()

    @property
    def runs_backwards(self) -> bool:
        """Whether its date is earlier than that of a version it follows."""
        return self.dated < self.on


class Versions(Struct, frozen=True):
    """The versions of a folder, oldest first. `why_none` says why there are none.

    `cut_short`: older ones are not in this copy. `uncommitted` are files that differ from the last.
    """

    all: tuple[Version, ...]
    why_none: str = ""
    cut_short: bool = False
    uncommitted: tuple[str, ...] = ()

    def standing(self, on: date) -> Version | None:
        """The version that stood at the end of a day; None if there was none, or none is here."""
        return next((version for version in reversed(self.all) if version.on <= on), None)

    def before(self, version: Version) -> Version | None:
        """The version that one took the place of."""
        place = self.all.index(version)
        return self.all[place - 1] if place else None


def versions_of(root: Path) -> Versions:
    """Every version of a folder on the main line."""
    try:
        if not git(root, ["rev-parse", "--is-inside-work-tree"]).startswith(b"true"):
            return Versions((), NO_GIT)
    except JobError:
        return Versions((), NO_GIT)
    changed = _uncommitted(root)
    try:
        rows = _rows(git(root, [*_LOG, "--first-parent", "HEAD", "--", "."]))
    except JobError:
        return Versions((), NOTHING_YET, uncommitted=changed)
    if not rows:
        return Versions((), NOTHING_YET, uncommitted=changed)
    found: list[Version] = []
    for commit, stamp, by, parents, subject in reversed(rows):
        dated = date.fromisoformat(stamp[:10])
        former = parents.split(" ")
        found.append(
            Version(
                commit=commit,
                on=max(dated, found[-1].on) if found else dated,
                dated=dated,
                by=by,
                subject=subject,
                parent=former[0] or None,
                writers=_writers(root, former[0], commit) if len(former) > 1 else (),
            )
        )
    shallow = git(root, ["rev-parse", "--is-shallow-repository"]).startswith(b"true")
    return Versions(tuple(found), cut_short=shallow, uncommitted=changed)


def last_change(root: Path, commit: str, name: str) -> Version | None:
    """The commit that gave a file the content it has at a commit, on whatever branch."""
    try:
        rows = _rows(git(root, [*_LOG, "-1", commit, "--", f":(literal){name}"]))
    except JobError:
        return None
    for found, stamp, by, parents, subject in rows:
        dated = date.fromisoformat(stamp[:10])
        return Version(found, dated, dated, by, subject, parents.split(" ")[0] or None)
    return None


def _writers(root: Path, main: str, merged: str) -> tuple[str, ...]:
    names = _rows(git(root, [*_LOG, "--no-merges", f"{main}..{merged}", "--", "."]))
    return tuple(dict.fromkeys(row[2] for row in reversed(names)))


def _uncommitted(root: Path) -> tuple[str, ...]:
    """Files that differ from the last commit, as git shows them, from the top of the repository."""
    listing = git(root, ["status", "--porcelain", "-z", "--no-renames", "--", "."])
    names = (row[3:].decode("utf-8", "surrogateescape") for row in listing.split(b"\0") if row)
    return tuple(sorted(names))


def _rows(answer: bytes) -> list[Sequence[str]]:
    parts = [part.decode("utf-8", "replace") for part in answer.split(b"\0")]
    step = len(_FIELDS)
    return [parts[n : n + step] for n in range(0, len(parts) - step + 1, step)]
