"""`dietcheck order`: what the coming days take from the store."""

from __future__ import annotations

import argparse
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from dietcheck.commands.arguments import today
from dietcheck.commands.output import complain, say
from dietcheck.commands.prep import add_common, make, read_days
from dietcheck.commands.report_files import check_targets, write_whole
from dietcheck.commands.repository import folder, read_target_of
from dietcheck.reading.problems import listed, show

if TYPE_CHECKING:
    from dietcheck.commands.prep import Made

FILES = ("csv", "json")


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck order`."""
    add_common(parser, "the first day, such as 2026-12-24; left out: today")
    parser.add_argument(
        "--days", metavar="N", type=read_days, help="for so many days; left out: one whole rota"
    )
    parser.add_argument(
        "--write",
        metavar="KIND:FILE",
        type=partial(read_target_of, kinds=FILES),
        action="append",
        default=[],
        help=f"write the list to a file as well ({listed(FILES)}); may be repeated",
    )


def run(given: argparse.Namespace) -> int:
    """List. The exit status: 0 all, 1 a group was held back, 2 something could not be screened."""
    root = folder(given.folder)
    check_targets(given.write, ())
    from dietcheck.nutrition.kitchen_store import order
    from dietcheck.reporting import prep_order

    made = make(root, given.on or today(), given.days, given.group)
    report = prep_order.OrderReport(
        collection=made.screened.name,
        read_from=made.screened.read_from,
        first=made.days[0].on,
        last=made.days[-1].on,
        wanted=order(made.days),
        held=made.held,
        not_planned=_not_planned(made),
    )
    say(prep_order.text(report))
    for target in given.write:
        write_whole(target, prep_order.KINDS[target.kind](report))
        complain(f"dietcheck: wrote {show(target.file, 300)}")
    return made.status


def _not_planned(made: Made) -> tuple[tuple[str, tuple[date, ...]], ...]:
    """The groups with days on which their plan leaves something open, by what they are called."""
    found: dict[str, list[date]] = {}
    for day in made.days:
        for one in day.groups:
            if one.plan.holes and one.present:
                found.setdefault(one.group.called, []).append(day.on)
    return tuple((called, tuple(days)) for called, days in found.items())
