"""`dietcheck schema`: what a record may hold, for an editor that completes and checks."""

from __future__ import annotations

import argparse
import json
import os
from collections.abc import Iterable, Mapping
from contextlib import suppress
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

from dietcheck.commands.arguments import Usage
from dietcheck.commands.output import complain, say
from dietcheck.commands.report_files import Target, check_targets, write_whole
from dietcheck.commands.repository import folder
from dietcheck.commands.undisturbed import undisturbed
from dietcheck.errors import JobError
from dietcheck.reading.kinds import KINDS, schema
from dietcheck.reading.problems import listed, show

if TYPE_CHECKING:
    from dietcheck.collection.collection import Collection
    from dietcheck.commands.editor_schemas import Known
    from dietcheck.screening.packs import LoadedRule

WORDS: Mapping[str, str] = {kind.replace(" ", "-"): kind for kind in KINDS}
"""The kinds of record as they are written on the command line and in file names."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck schema`."""
    parser.add_argument(
        "kind", metavar="KIND", nargs="?", help=f"{listed(WORDS)}; left out with --all"
    )
    parser.add_argument(
        "folder",
        metavar="DIR",
        nargs="?",
        help="fill in the names of the collection in this folder: its foods, meals, groups, "
        "animals; left out: the plain form",
    )
    where = parser.add_mutually_exclusive_group()
    where.add_argument(
        "--write", metavar="FILE", help="write it to a file instead, such as sheet.schema.json"
    )
    where.add_argument(
        "--all",
        metavar="FOLDER",
        help="write one file for each kind into a folder, such as .editor",
    )


def run(given: argparse.Namespace) -> int:
    """Print or write the schemas. Raises JobError; then nothing has been written over."""
    kind, place = _told_apart(given.kind, given.folder)
    if kind is None and given.all is None:
        raise Usage("say for which kind of record.", f"One of {listed(WORDS)}, or --all FOLDER.")
    if kind is not None and given.all is not None:
        raise Usage(
            "--all writes every kind, so none can be named.",
            f"Leave out {show(given.kind)}, or write --write FILE.",
        )
    known = None if place is None else known_at(folder(place))
    if given.all is not None:
        return _write_all(given.all, all_files(known))
    text = _text(kind or "", known)
    if given.write is None:
        say(text)
    else:
        target = Target("schema.json", given.write)
        check_targets([target], ())
        write_whole(target, text)
        complain(f"dietcheck: wrote {show(given.write, 300)}")
    return 0


def _told_apart(first: str | None, second: str | None) -> tuple[str | None, str | None]:
    """Kind and folder, of which either may be left out."""
    if first is None:
        return None, None
    kind = first if first in KINDS else WORDS.get(first.lower())
    if kind is not None:
        return kind, second
    if second is None and os.path.isdir(first):
        return None, first
    near = get_close_matches(first.lower(), WORDS, n=1)
    hint = f"Did you mean {near[0]}? " if near else ""
    raise Usage(f"{show(first)} is no kind of record.", f"{hint}The kinds are {listed(WORDS)}.")


def all_files(known: Known | None) -> dict[str, str]:
    """The schema of every kind: file name → text."""
    return {f"{word}.schema.json": _text(kind, known) for word, kind in WORDS.items()}


def _text(kind: str, known: Known | None) -> str:
    if known is None:
        made = schema(kind)
    else:
        from dietcheck.commands.editor_schemas import schema_for

        made = schema_for(kind, known)
    return json.dumps(made, ensure_ascii=False, indent=2) + "\n"


def _write_all(place: str, texts: Mapping[str, str]) -> int:
    path = Path(place)
    try:
        path.mkdir(exist_ok=True)
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise JobError(
            f"the folder {show(place, 200)} could not be made ({reason}).",
            "Name a folder in a place that you may write to.",
        ) from error
    targets = {Target("schema.json", str(path / name)): text for name, text in texts.items()}
    check_targets(list(targets), ())
    with undisturbed():  # all of one version
        for target, text in targets.items():
            write_whole(target, text)
    complain(f"dietcheck: wrote {len(targets)} files into {show(place, 300)}")
    return 0


def known_at(root: Path) -> Known:
    """The names of the collection in a folder. Raises JobError while a record cannot be read.

    A file that cannot be read may hold names, which an editor would then mark as wrong.
    """
    from dietcheck.collection.build import build
    from dietcheck.collection.places import Pointer
    from dietcheck.reading import Folder, read_repository

    repository = read_repository(Folder(root))
    if repository.problems:
        raise JobError(
            f"not every record can be read: {show(str(repository.problems[0]), 400)}",
            "Put that right first; “dietcheck screen” tells all of them.",
        )
    return known_of(
        build((Pointer(f.file), f.data) for f in repository.files if f.data is not None)
    )


def known_of(collection: Collection) -> Known:
    """The names of a collection, with those that its rule packs bring."""
    from dietcheck.commands.editor_schemas import known_in
    from dietcheck.screening.packs import load_packs

    loaded = load_packs(collection.settings.packs)
    rules = {one.rule.id: one.rule.title for one in loaded}
    return known_in(collection, rules, _quantities(loaded))


def _quantities(loaded: Iterable[LoadedRule]) -> dict[str, str]:
    """What limits can be set on: what some row of a rule measures, and every nutrient."""
    from dietcheck.screening.tables import TableError, bundled_limits
    from dietcheck.tables.nutrients import nutrients

    found = {nutrient.key: nutrient.title for nutrient in nutrients().values()}
    for one in loaded:
        if one.rule.has_limits:
            with suppress(TableError, OSError, ValueError, LookupError, TypeError):
                for limit in bundled_limits(one.rule.folder):
                    found.setdefault(limit.quantity, f"judged by {one.rule.id}")
    return found
