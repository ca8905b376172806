"""Finds the version that a repository is compared with, or says why there is none.

What is staged is compared with the last commit. A folder that differs from the last commit is
compared with it; one that does not (a fresh checkout, as in CI) with the commit before. Without
git, on a first commit, or in a clone that was cut short, the answer is a reason in plain words:
rules that look back then say what they could not see.
"""

from __future__ import annotations

from pathlib import Path

from msgspec import Struct

from dietcheck.errors import JobError
from dietcheck.history.log import Log
from dietcheck.outside.git import WHERE, differs
from dietcheck.reading import Revision, git, show

NO_GIT = "this folder is in no git repository, so there is no earlier version to compare with"
FIRST = "this is the first version in git, so there is no earlier one to compare with"
SHALLOW = (
    "this copy of the repository was cut short, so the earlier version is not in it "
    "(in CI: fetch-depth: 0)"
)


class Earlier(Struct, frozen=True):
    """The earlier version, or `why_not` in plain words."""

    source: Revision | None
    why_not: str = ""
    log: Log | None = None


def earlier(root: Path, *, staged: bool, since: str | None = None) -> Earlier:
    """The version to compare with. Raises JobError for a `since` that git does not know."""
    inside, shallow = _where(root)
    if since is not None:
        return Earlier(Revision(root, _commit(root, since)), log=Log(root))
    if not inside:
        return Earlier(None, NO_GIT)
    name = "HEAD" if staged or differs(root) else "HEAD^1"
    commit = _found(root, name)
    if commit is not None:
        return Earlier(Revision(root, commit), log=Log(root))
    return Earlier(None, SHALLOW if shallow else FIRST, Log(root))


def _where(root: Path) -> tuple[bool, bool]:
    """Whether the folder is in a work tree of git, and whether older commits are missing there."""
    try:
        inside, shallow, *_ = git(root, WHERE).split(b"\n")
    except (JobError, ValueError):
        return False, False
    return inside == b"true", shallow == b"true"


def _found(root: Path, name: str) -> str | None:
    try:
        answer = git(root, ["rev-parse", "--verify", "--quiet", f"{name}^{{commit}}"])
    except JobError:
        return None
    return answer.decode("ascii").strip() or None


def _commit(root: Path, name: str) -> str:
    commit = None if name.startswith("-") or "\0" in name else _found(root, name)
    if commit is None:
        raise JobError(
            f"git knows no version called {show(name)} here.",
            "Name a commit, a branch or a tag; in a copy that was cut short fetch it first.",
        )
    return commit
