"""`dietcheck screen`: read, judge and report a whole collection."""

from __future__ import annotations

import argparse
import os
from collections.abc import Mapping, Sequence
from contextlib import nullcontext
from pathlib import Path

from dietcheck.commands.arguments import Usage, read_day, read_severity, today
from dietcheck.commands.output import complain, say, wants_colour
from dietcheck.commands.report_files import check_targets, read_target, write_whole
from dietcheck.errors import JobError
from dietcheck.outside.files import Lying, Unreadable, read_plain_file
from dietcheck.outside.git import listening
from dietcheck.reading.kept import records_kept
from dietcheck.reading.problems import listed, show
from dietcheck.reading.sources import name_problem
from dietcheck.remembering.answers import Answer, Meaning, Memory, draft_name
from dietcheck.remembering.program import PACK
from dietcheck.reporting import KINDS, Asked, render
from dietcheck.screening.checks import Severity
from dietcheck.screening.report import Report


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck screen`."""
    parser.add_argument(
        "folder",
        metavar="DIR",
        nargs="?",
        default=".",
        help="the folder that holds dietcheck.yaml; left out: the folder you are in",
    )
    parser.add_argument(
        "--on",
        metavar="DATE",
        type=read_day,
        help="judge as at this day, such as 2026-12-24; left out: today",
    )
    parser.add_argument(
        "--block-on",
        metavar="SEVERITY",
        type=read_severity,
        default=Severity.HIGH,
        help="high, medium or low: findings from this severity up stop the change (exit status 1); "
        "left out: high",
    )
    parser.add_argument(
        "--write",
        metavar="KIND:FILE",
        type=read_target,
        action="append",
        default=[],
        help=f"write the findings to a file as well ({listed(KINDS)}); may be repeated",
    )
    parser.add_argument(
        "--draft",
        metavar="FILE",
        action="append",
        default=[],
        help="judge as if this record were part of the collection, in place of the one it "
        "replaces; may be repeated",
    )
    parser.add_argument(
        "--staged",
        action="store_true",
        help="judge what is staged for commit in git instead of the folder as it lies",
    )
    parser.add_argument(
        "--since",
        metavar="VERSION",
        help="compare with this commit, branch or tag; left out: the last commit, or the one "
        "before it when nothing has changed since",
    )
    parser.add_argument(
        "--cores",
        metavar="N",
        type=read_cores,
        help="judge on so many cores side by side, with the same outcome; left out: one, and more "
        "for a large collection",
    )
    parser.add_argument(
        "--anew",
        action="store_true",
        help="judge everything anew, even if nothing has changed since the last time",
    )


def read_cores(text: str) -> int:
    """The number after `--cores`. Raises Usage."""
    if text.isascii() and text.isdigit() and len(text) < 4 and int(text) > 0:
        return int(text)
    raise Usage(
        f"--cores: {show(text)} is no number of cores.", "Write a whole number, as in --cores 2."
    )


def run(given: argparse.Namespace) -> int:
    """Screen and report. The exit status: 0 nothing blocks, 1 something does, 2 not done whole."""
    root = Path(given.folder)
    if os.path.isfile(root):
        raise Usage(
            f"{show(given.folder, 200)} is a file.",
            f"Name the folder that it lies in: dietcheck screen {show(str(root.parent), 200)}",
        )
    if not os.path.isdir(root):
        raise Usage(
            f"there is no folder {show(given.folder, 200)}.",
            "Name the folder that holds dietcheck.yaml.",
        )
    check_targets(given.write, map(Path, given.draft))
    # Loaded late, so that a mistake in what was written is told at once.
    from dietcheck.history.earlier import earlier as find_earlier
    from dietcheck.history.lookback import Lookback
    from dietcheck.history.signed_version import Signed, signed_versions
    from dietcheck.reading import Folder, Index
    from dietcheck.reporting import terminal
    from dietcheck.screening.kept_verdicts import NONE_KEPT, StoredVerdicts
    from dietcheck.screening.screen import screen

    memory: Memory | None = getattr(given, "memory", None)
    files = (memory and memory.files) or Lying(root)
    with listening() as heard, records_kept(root) if memory and not given.anew else nullcontext():
        source = Index(root) if given.staged else Folder(root, files)
        found = find_earlier(root, staged=given.staged, since=given.since)
        if found.log is not None:
            # Asked before judging is shared out, so that it is noted here.
            _ = found.log.commits, found.log.main_line
        drafts = read_drafts(given.draft, root)
        # A draft is compared with the records it is laid over, unless a version is asked for.
        beside = drafts and given.since is None
        earlier = (
            Lookback(source, log=found.log)
            if beside
            else Lookback(found.source, found.why_not, found.log)
        )
        kept = NONE_KEPT if memory is None or given.anew else StoredVerdicts(root)
        on = given.on or today()
        report = screen(source, on, drafts, earlier=earlier, cores=given.cores, kept=kept)
        written = tuple(target.file for target in given.write)
        signed: Mapping[str, Signed] = {}
        if report.collection and any(target.kind == "html" for target in given.write):
            signed = signed_versions(root, report.collection, report.on)
        asked = Asked(given.block_on, _below_git(root), written, signed)
        text = terminal.render(report, asked, colour=wants_colour())
    say(text)
    for target in given.write:
        write_whole(target, render(target.kind, report, asked))
        complain(f"dietcheck: wrote {show(target.file, 300)}")
    status = report.status(given.block_on)
    if memory is not None and heard.is_all and _may_be_remembered(given, report):
        day = given.on.isoformat() if given.on else ""
        meaning = Meaning(given.folder, given.staged, day, given.draft, heard.answers)
        held = None if given.staged else files
        answer = Answer(text, status)
        memory.keep(meaning, report.on.isoformat(), held, drafts, heard.answers, answer)
    return status


def _may_be_remembered(given: argparse.Namespace, report: Report) -> bool:
    """Whether a run was whole, wrote nothing but its answer, and used the bundled rules alone."""
    return not (
        given.write
        or given.anew
        or report.failures
        or report.collection is None
        or report.collection.settings.packs != (PACK,)
    )


def read_drafts(files: Sequence[str], root: Path) -> list[tuple[str, bytes]]:
    """Each draft with its name, counted from the root of the collection. Raises JobError."""
    drafts: dict[str, bytes] = {}
    for file in files:
        path = os.path.realpath(file)
        name = draft_name(str(root), file)
        if problem := name_problem(name):
            raise JobError(f"the draft {show(name)}: {problem.message}", problem.remedy)
        drafts[name] = _read_draft(file, Path(path))
    return list(drafts.items())


def _read_draft(file: str, path: Path) -> bytes:
    if os.path.isdir(path):
        raise Usage(
            f"the draft {show(file, 200)} is a folder.", "Name each file in it with a --draft."
        )
    try:
        return read_plain_file(path)
    except Unreadable as error:
        raise JobError(f"the draft {show(file, 200)}: {error.message}", error.remedy) from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "no such name is possible"
        raise JobError(
            f"the draft {show(file, 200)} cannot be read ({reason}).", "Check its name and place."
        ) from error


def _below_git(root: Path) -> str:
    """The way from the top of the git repository down to the screened folder, empty at the top."""
    here = Path(os.path.realpath(root))
    top = next((folder for folder in (here, *here.parents) if (folder / ".git").exists()), here)
    below = here.relative_to(top).as_posix()
    return "" if below == "." else below
