"""`dietcheck try`: may I give this? The answer for each animal, in one screen."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator, Sequence
from functools import cache, partial
from pathlib import Path

from dietcheck.commands.arguments import Usage, read_day, today
from dietcheck.commands.output import complain, say, wants_colour
from dietcheck.commands.report_files import check_targets, write_whole
from dietcheck.commands.repository import folder, read_target_of
from dietcheck.commands.screen import read_drafts
from dietcheck.reading.problems import listed, show

KINDS = ("json",)


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck try`."""
    parser.add_argument("folder", metavar="DIR", help="the folder that holds dietcheck.yaml")
    parser.add_argument(
        "drafts",
        metavar="DRAFT",
        nargs="+",
        help="a record to try out: treats, or a sheet; or a folder with records of one draft",
    )
    parser.add_argument(
        "--on",
        metavar="DATE",
        type=read_day,
        help="judge as at this day, such as 2026-12-24; left out: today",
    )
    parser.add_argument(
        "--write",
        metavar="KIND:FILE",
        type=partial(read_target_of, kinds=KINDS),
        action="append",
        default=[],
        help=f"write the answer to a file as well ({listed(KINDS)})",
    )


def run(given: argparse.Namespace) -> int:
    """Try and answer. The exit status: 0 yes, 1 no or cannot tell, 2 not done."""
    root = folder(given.folder)
    files = list(draft_files(given.drafts))
    check_targets(given.write, map(Path, files))
    drafts = read_drafts(files, root)
    # Loaded late, so that a mistake in what was written is told at once.
    from dietcheck.collection.collection import Collection
    from dietcheck.history.lookback import Lookback
    from dietcheck.reading import Folder, Repository
    from dietcheck.reporting import try_json, try_text
    from dietcheck.reporting.try_report import try_out
    from dietcheck.screening.concerned import concerned
    from dietcheck.screening.packs import load_packs
    from dietcheck.screening.screen import screen

    on = given.on or today()
    source = Folder(root)
    load = cache(load_packs)
    earlier = Lookback(source)
    groups: frozenset[str] = frozenset()

    def touched(repository: Repository, collection: Collection) -> frozenset[str]:
        nonlocal groups
        versions = (collection, earlier.collection or collection)
        groups = concerned(repository, *versions)
        return groups

    after = screen(
        source, on, drafts, load=lambda names: load(tuple(names)), earlier=earlier, only=touched
    )
    # What a rule that finds nothing now has found before is of no use to the answer.
    finding = {found.rule for found in after.findings}
    before = screen(
        source,
        on,
        load=lambda names: tuple(one for one in load(tuple(names)) if one.rule.id in finding),
        only=lambda *_: groups,
    )
    rules = load(after.collection.settings.packs) if after.collection else ()
    report = try_out(before, after, rules, earlier)
    say(try_text.render(report, colour=wants_colour()))
    for target in given.write:
        write_whole(target, try_json.render(report))
        complain(f"dietcheck: wrote {show(target.file, 300)}")
    return report.status


def draft_files(names: Sequence[str]) -> Iterator[str]:
    """The files that were named, and those of a folder that was. Raises Usage for an empty one."""
    for name in names:
        if not os.path.isdir(name):
            yield name
            continue
        found = sorted(
            str(path) for path in Path(name).iterdir() if path.suffix in (".yaml", ".yml")
        )
        if not found:
            raise Usage(f"the folder {show(name, 200)} holds no draft.", "Name a .yaml file.")
        yield from found
