"""`dietcheck ration`: the computed ration of each animal of a group."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from dietcheck.commands.arguments import Usage, read_day, today
from dietcheck.commands.output import complain, say
from dietcheck.commands.report_files import check_targets, write_whole
from dietcheck.commands.repository import folder, open_repository, read_target_of
from dietcheck.commands.screen import read_drafts
from dietcheck.errors import JobError
from dietcheck.reading.problems import listed, show

if TYPE_CHECKING:
    from dietcheck.collection.animals import Animal, Group
    from dietcheck.collection.collection import Collection
    from dietcheck.nutrition.diet import Diet

KINDS = ("json", "csv", "html")
EVERYTHING = "all"
WORST: Literal["worst"] = "worst"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck ration`."""
    parser.add_argument("folder", metavar="DIR", help="the folder that holds dietcheck.yaml")
    parser.add_argument(
        "group", metavar="GROUP", nargs="?", help="the group's id or name; left out: lists them"
    )
    parser.add_argument(
        "--on",
        metavar="DATE",
        type=read_day,
        help="reckon as at this day, such as 2026-12-24; left out: today",
    )
    parser.add_argument(
        "--animal",
        metavar="ID",
        action="append",
        default=[],
        help="only this animal, by id or name; may be repeated",
    )
    parser.add_argument(
        "--day",
        metavar="N|worst",
        type=read_rota_day,
        help="that day of the rota instead of its mean; worst: the day with the most sugar, or "
        "with the most of the first --nutrient",
    )
    parser.add_argument(
        "--nutrient",
        metavar="NAME",
        nargs="+",
        action="extend",
        default=[],
        help="these nutrients instead of the usual ones; all: every one that is known by name",
    )
    parser.add_argument(
        "--draft",
        metavar="FILE",
        action="append",
        default=[],
        help="reckon as if this record were part of the collection; may be repeated",
    )
    parser.add_argument(
        "--write",
        metavar="KIND:FILE",
        type=partial(read_target_of, kinds=KINDS),
        action="append",
        default=[],
        help=f"write the ration to a file as well ({listed(KINDS)}); may be repeated",
    )


def run(given: argparse.Namespace) -> int:
    """Reckon and show. The exit status: 0 done, 2 not done, or something could not be read."""
    root = folder(given.folder)
    check_targets(given.write, map(Path, given.draft))
    keys = read_nutrients(given.nutrient)
    from dietcheck.nutrition.diet import diets_of
    from dietcheck.nutrition.summary import summarise
    from dietcheck.reporting import ration_text
    from dietcheck.reporting.ration import RationReport, render

    opened = open_repository(root, read_drafts(given.draft, root))
    status = opened.tell()
    collection = opened.collection
    group = find_group(collection, given.group)
    diet = diets_of(collection, given.on or today())[group.id]
    animals = find_animals(group, given.animal)
    check_day(diet, given.day)
    report = RationReport(
        collection=collection.settings.name,
        diet=diet,
        read_from=opened.described,
        drafts=opened.drafts,
        unread=opened.unread,
        summaries=summarise(diet, animals, keys, given.day),
    )
    if not report.summaries:
        raise nothing_planned(diet)
    say(ration_text.render(report))
    for target in given.write:
        write_whole(target, render(target.kind, report))
        complain(f"dietcheck: wrote {show(target.file, 300)}")
    return status


def read_rota_day(text: str) -> int | Literal["worst"]:
    """The day of `--day`: a number counted from 1, or `worst`. Raises Usage."""
    if text == WORST:
        return WORST
    if text.isascii() and text.isdigit() and 0 < len(text) < 4 and int(text):
        return int(text)
    raise Usage(
        f"--day: {show(text)} is no day of a rota.", "Write its number, as in --day 3, or worst."
    )


def read_nutrients(names: Sequence[str]) -> tuple[str, ...]:
    """The keys of the nutrients that were named; the usual ones where none was. Raises Usage."""
    from dietcheck.nutrition.gauges import SPECIAL, USUAL, gauge_keys
    from dietcheck.tables.nutrients import find_nutrient, nutrients

    if not names:
        return USUAL
    if EVERYTHING in names:
        return gauge_keys()
    titles = {nutrient.title.casefold(): key for key, nutrient in nutrients().items()}
    titles |= {title.casefold(): key for key, title in SPECIAL.items()}
    titles |= {key: key for key in gauge_keys()}
    found: dict[str, None] = {}
    for name in names:
        tidy = " ".join(name.split()).casefold()
        nutrient = find_nutrient(tidy.replace(" ", "_"))
        key = titles.get(tidy) or titles.get(tidy.replace(" ", "_"))
        key = key or (nutrient.key if nutrient else None)
        if key is None:
            near = get_close_matches(tidy[:60], titles, n=3)
            raise Usage(
                f"--nutrient: {show(name)} is no nutrient that is known here.",
                f"Nearest: {listed(near)}." if near else f"Write {EVERYTHING} to see every name.",
            )
        found[key] = None
    return tuple(found)


def find_group(collection: Collection, name: str | None) -> Group:
    """The group of that id or name. Raises Usage with the nearest names."""
    groups = collection.groups
    if name is None:
        raise Usage("say which group.", f"Here are {_shown(groups)}.")
    if name in groups:
        return groups[name]
    wanted = " ".join(name.split()).casefold()
    called: dict[str, Group] = {
        text.casefold(): group
        for group in reversed(list(groups.values()))
        for text in (group.taxon.scientific_name, group.taxon.english_name, group.called, group.id)
    }
    if wanted in called:
        return called[wanted]
    near = dict.fromkeys(called[hit].id for hit in get_close_matches(wanted[:60], called, n=3))
    if name in collection.unread.groups:
        raise JobError(
            f"the record of the group {show(name)} could not be read.", "Put it right first."
        )
    raise Usage(
        f"there is no group {show(name)} here.",
        f"Nearest: {_shown(near)}." if near else f"Here are {_shown(groups)}.",
    )


def find_animals(group: Group, names: Sequence[str]) -> tuple[Animal, ...]:
    """The animals of these ids or names; none means all. Raises Usage with the nearest names."""
    known = {text.casefold(): a for a in group.animals for text in (a.name, a.id) if text}
    found: dict[Animal, None] = {}
    for name in names:
        animal = known.get(name.strip().casefold())
        if animal is None:
            near = [known[n].id for n in get_close_matches(name[:60].casefold(), known, n=3)]
            raise Usage(
                f"there is no animal {show(name)} in {show(group.called)}.",
                f"Nearest: {_shown(near)}."
                if near
                else f"Here are {_shown(a.id for a in group.animals)}.",
            )
        found[animal] = None
    return tuple(found)


def check_day(diet: Diet, day: int | Literal["worst"] | None) -> None:
    """Refuse a day that the rota does not have. Raises Usage."""
    numbers = {planned.number for planned in diet.days if planned.number}
    if isinstance(day, int) and numbers and day not in numbers:
        raise Usage(f"--day: the rota has no day {day}.", f"It has days 1 to {max(numbers)}.")


def nothing_planned(diet: Diet) -> JobError:
    """Why there is no ration to show."""
    called = show(diet.group.called)
    if not diet.days:
        return JobError(
            f"{called}: no rota says what is fed from {diet.on.isoformat()} on.",
            "Write a rota, or name another day with --on.",
        )
    return JobError(
        f"{called}: none of these animals is here on the days that are planned.",
        "Look at the dates in the group's record, or name another day with --on.",
    )


def _shown(names: Iterable[str]) -> str:
    row = [show(name) for name in names]
    return listed([*row[:30], f"{len(row) - 30} more"] if len(row) > 30 else row, "and")
