"""`dietcheck trail`: for an inspector: one animal, one day, on whose word, and what was open."""

from __future__ import annotations

import argparse
from functools import partial

from dietcheck.commands.arguments import read_day, today
from dietcheck.commands.output import complain, say
from dietcheck.commands.report_files import check_targets, write_whole
from dietcheck.commands.repository import folder, read_target_of
from dietcheck.reading.problems import listed, show

KINDS = ("html", "json")


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck trail`."""
    parser.add_argument(
        "folder",
        metavar="DIR",
        nargs="?",
        default=".",
        help="the folder that holds dietcheck.yaml; left out: the folder you are in",
    )
    parser.add_argument(
        "--animal", metavar="ANIMAL", required=True, help="its id or name, such as TA-01 or Pip"
    )
    parser.add_argument(
        "--group", metavar="GROUP", help="its group, where several have an animal of that name"
    )
    parser.add_argument(
        "--on",
        metavar="DATE",
        type=read_day,
        help="the day that is asked about, such as 2026-11-20; left out: today",
    )
    parser.add_argument(
        "--write",
        metavar="KIND:FILE",
        type=partial(read_target_of, kinds=KINDS),
        action="append",
        default=[],
        help=f"write the page to a file as well ({listed(KINDS)}); may be repeated",
    )


def run(given: argparse.Namespace) -> int:
    """Look it up and show it. The exit status: 0 shown, 2 not, or perhaps not whole."""
    root = folder(given.folder)
    check_targets(given.write, ())
    from dietcheck.reporting import trail_text
    from dietcheck.reporting.trail import render
    from dietcheck.reporting.trail_gather import gather
    from dietcheck.screening.report import RECORDS_RULE

    now = today()
    report = gather(root, given.animal, given.group, given.on or now, now)
    say(trail_text.render(report))
    for target in given.write:
        write_whole(target, render(target.kind, report))
        complain(f"dietcheck: wrote {show(target.file, 300)}")
    if any(one.rule == RECORDS_RULE for one in report.findings):
        complain("dietcheck: not every record can be read, so what is shown may not be whole.")
        return 2
    return 0
