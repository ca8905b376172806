"""`dietcheck change`: what a change does to each ration, and which findings come and go with it."""

from __future__ import annotations

import argparse
from functools import partial
from pathlib import Path

from dietcheck.commands.arguments import read_day, today
from dietcheck.commands.output import complain, say
from dietcheck.commands.report_files import check_targets, write_whole
from dietcheck.commands.repository import folder, read_target_of
from dietcheck.commands.screen import read_drafts
from dietcheck.errors import JobError
from dietcheck.history.earlier import FIRST, NO_GIT, SHALLOW, earlier
from dietcheck.history.lookback import Lookback
from dietcheck.reading import Folder, NotARepository, Revision, git
from dietcheck.reading.problems import listed, show

KINDS = ("json", "markdown")
# A finding about how the earlier version itself came to be is no matter of this change: it would
# read as if the change had mended it.
UNASKED = Lookback(None, "only what changed since is asked")


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck change`."""
    parser.add_argument(
        "folder",
        metavar="DIR",
        nargs="?",
        default=".",
        help="the folder that holds dietcheck.yaml; left out: the folder you are in",
    )
    parser.add_argument(
        "--since",
        metavar="VERSION",
        required=True,
        help="compare with this commit, branch or tag, such as main or HEAD",
    )
    parser.add_argument(
        "--on",
        metavar="DATE",
        type=read_day,
        help="judge both as at this day, such as 2026-12-24; left out: today",
    )
    parser.add_argument(
        "--draft",
        metavar="FILE",
        action="append",
        default=[],
        help="compare as if this record were part of the collection; may be repeated",
    )
    parser.add_argument(
        "--write",
        metavar="KIND:FILE",
        type=partial(read_target_of, kinds=KINDS),
        action="append",
        default=[],
        help=f"write the comparison to a file as well ({listed(KINDS)}); may be repeated",
    )


def run(given: argparse.Namespace) -> int:
    """Compare and show. The exit status: 0 done, 2 not done, or not everything could be read."""
    root = folder(given.folder)
    check_targets(given.write, map(Path, given.draft))
    version = find_version(root, given.since)
    from dietcheck.reporting import change_text
    from dietcheck.reporting.change_report import compare_reports, render
    from dietcheck.screening.screen import screen

    on = given.on or today()
    drafts = read_drafts(given.draft, root)
    no_diets = JobError(
        f"{show(given.since)} holds no dietcheck.yaml that can be read in this folder, so there is "
        "nothing to compare with.",
        "Name a version in which the diets lie in this folder.",
    )
    try:
        before = screen(version, on, earlier=UNASKED)
    except NotARepository as error:
        raise no_diets from error
    if before.collection is None:
        raise no_diets
    after = screen(Folder(root), on, drafts, earlier=Lookback(version))
    if after.collection is None:
        raise JobError("dietcheck.yaml cannot be read.", "“dietcheck screen” tells why.")
    report = compare_reports(before, after)
    say(change_text.render(report))
    for target in given.write:
        write_whole(target, render(target.kind, report))
        complain(f"dietcheck: wrote {show(target.file, 300)}")
    return 0 if report.is_whole else 2


def find_version(root: Path, since: str) -> Revision:
    """The records at a version that somebody named. Raises JobError with the likely reason."""
    if not _is(root, "--is-inside-work-tree"):
        raise JobError(f"{NO_GIT}.", "Start this inside a git repository.")
    try:
        found = earlier(root, staged=False, since=since).source
    except JobError as error:
        raise _unknown(root, since, error) from error
    assert found is not None  # a version that was named is found or refused
    return found


def _unknown(root: Path, since: str, error: JobError) -> JobError:
    """Why a version is not there: a copy cut short, a first version, or a name that is none."""
    asked = f"{show(since)} is not to be found here: "
    if _is(root, "--is-shallow-repository"):
        return JobError(f"{asked}{SHALLOW}.", "Fetch the whole history, then try again.")
    if not _has(root, "HEAD"):
        return JobError(f"{asked}nothing has been committed yet.", "Commit the diets first.")
    if since.rstrip("0123456789^~") in ("HEAD", "@") and not _has(root, "HEAD^1"):
        return JobError(f"{asked}{FIRST}.", "Compare with HEAD to see what is not committed yet.")
    return error


def _is(root: Path, question: str) -> bool:
    try:
        return git(root, ["rev-parse", question]).startswith(b"true")
    except JobError:
        return False


def _has(root: Path, name: str) -> bool:
    try:
        git(root, ["rev-parse", "--verify", "--quiet", f"{name}^{{commit}}"])
    except JobError:
        return False
    return True
