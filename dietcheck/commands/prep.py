"""`dietcheck prep`: the feed kitchen's sheet for a day or some days."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from dietcheck.commands.arguments import Usage, read_day, today
from dietcheck.commands.output import complain, say
from dietcheck.commands.ration import find_group
from dietcheck.commands.report_files import check_targets, write_whole
from dietcheck.commands.repository import folder, read_target_of
from dietcheck.errors import JobError
from dietcheck.reading.problems import listed, show

if TYPE_CHECKING:
    from dietcheck.nutrition.kitchen_store import KitchenDay
    from dietcheck.reporting.prep_held import Held
    from dietcheck.screening.report import Report

KINDS = ("html", "csv", "json")
MOST_DAYS = 60


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck prep`."""
    add_common(parser, "print the sheet of this day, such as 2026-12-24; left out: today")
    parser.add_argument(
        "--days", metavar="N", type=read_days, default=1, help="so many days in a row; left out: 1"
    )
    parser.add_argument(
        "--write",
        metavar="KIND:FILE",
        type=partial(read_target_of, kinds=KINDS),
        action="append",
        default=[],
        help=f"write the sheet to a file as well ({listed(KINDS)}); may be repeated",
    )


def add_common(parser: argparse.ArgumentParser, on: str) -> None:
    """What a sheet and an order have in common: where, which groups, from when."""
    parser.add_argument(
        "folder",
        metavar="DIR",
        nargs="?",
        default=".",
        help="the folder that holds dietcheck.yaml; left out: the folder you are in",
    )
    parser.add_argument("--on", metavar="DATE", type=read_day, help=on)
    parser.add_argument(
        "--group",
        metavar="GROUP",
        action="append",
        default=[],
        help="only this group, by id or name; may be repeated",
    )


def run(given: argparse.Namespace) -> int:
    """Print. The exit status: 0 all, 1 a group was held back, 2 something could not be screened."""
    root = folder(given.folder)
    check_targets(given.write, ())
    from dietcheck.reporting import prep_text
    from dietcheck.reporting.prep import PrepReport, render
    from dietcheck.reporting.prep_held import left_open

    made = make(root, given.on or today(), given.days, given.group)
    groups = [one.group for one in made.days[0].groups]
    report = PrepReport(
        collection=made.screened.name,
        on=made.screened.on,
        read_from=made.screened.read_from,
        days=made.days,
        held=made.held,
        slots=made.slots,
        open_findings={group.id: left_open(made.screened, group) for group in groups},
    )
    say(prep_text.render(report))
    for target in given.write:
        write_whole(target, render(target.kind, report))
        complain(f"dietcheck: wrote {show(target.file, 300)}")
    return made.status


class Made(Struct, frozen=True, eq=False):
    """The days of the groups that may be fed, and the groups that are held back."""

    screened: Report
    days: tuple[KitchenDay, ...]
    held: tuple[Held, ...]

    @property
    def slots(self) -> tuple[str, ...]:
        """The feeds of a day in the order of the settings."""
        collection = self.screened.collection
        settings = collection.settings if collection else None
        return settings.slots if settings else ()

    @property
    def status(self) -> int:
        """2 a rule failed, 1 a group is held back, 0 neither."""
        return 2 if self.screened.failures else 1 if self.held else 0


def make(root: Path, on: date, days: int | None, names: Sequence[str]) -> Made:
    """Screen a folder and lay out days of the groups asked for; without `days` one rota."""
    from dietcheck.history.earlier import earlier as find_earlier
    from dietcheck.history.lookback import Lookback
    from dietcheck.nutrition.kitchen import Kitchen
    from dietcheck.nutrition.kitchen_store import kitchen_day
    from dietcheck.reading import Folder
    from dietcheck.reporting.prep_held import held_back
    from dietcheck.screening.screen import screen

    found = find_earlier(root, staged=False)
    lookback = Lookback(found.source, found.why_not, found.log)
    screened = screen(Folder(root), on, earlier=lookback)
    collection = screened.collection
    if collection is None:
        told = [show(finding.check.message, 300) for finding in screened.findings[:1]]
        raise JobError(
            "dietcheck.yaml cannot be read, so nothing else can be. " + " ".join(told),
            "Put it right first.",
        )
    if not collection.groups:
        told = [show(finding.check.message, 300) for finding in screened.findings[:1]]
        raise JobError(
            "no group can be read here, so nothing can be weighed out. " + " ".join(told),
            "“dietcheck screen” tells what is wrong.",
        )
    wanted = [find_group(collection, name) for name in names] or collection.groups.values()
    groups = list({group.id: group for group in wanted}.values())
    held = held_back(screened, lookback)
    kitchen = Kitchen(collection, on)
    free = [group for group in groups if group.id not in held]
    kept = [group for group in groups if group.id in held]
    span = collection.settings.rota_days if days is None else days
    return Made(
        screened,
        tuple(kitchen_day(kitchen, free, on + timedelta(days=n), kept) for n in range(span)),
        tuple(held[group.id] for group in kept),
    )


def read_days(text: str) -> int:
    """The number after `--days`. Raises Usage."""
    if text.isascii() and text.isdigit() and len(text) < 4 and 0 < int(text) <= MOST_DAYS:
        return int(text)
    raise Usage(
        f"--days: {show(text)} is no number of days that can be printed.",
        f"Write a whole number from 1 to {MOST_DAYS}, as in --days 7.",
    )
