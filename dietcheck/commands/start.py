"""`dietcheck start`: a small working collection to begin with, whole or not at all."""

from __future__ import annotations

import argparse
import json
import os
import re
import secrets
import shutil
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from dietcheck import __version__
from dietcheck.commands.arguments import Usage, today
from dietcheck.commands.output import say
from dietcheck.commands.starter import origin, starter_files
from dietcheck.commands.undisturbed import undisturbed
from dietcheck.errors import JobError
from dietcheck.reading.problems import show

ROOT_RECORD = "dietcheck.yaml"
MOST_NAMED = 5


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck start`."""
    parser.add_argument(
        "folder",
        metavar="DIR",
        help="a new or empty folder, such as diets; git's own .git may lie in it",
    )
    parser.add_argument(
        "--name",
        metavar="NAME",
        help='the name of the collection, such as "Aldermoss Wildlife Park"; '
        "left out: the name of the folder",
    )
    parser.add_argument(
        "--country",
        metavar="XX",
        help="two letters, such as GB; left out: what this computer's language setting names",
    )


def run(given: argparse.Namespace) -> int:
    """Write the files and say what to do next. Raises JobError; then nothing was written."""
    top = Path(os.path.realpath(given.folder))
    _check_place(given.folder, top)
    name = given.name or _usual_name(top.name)
    country, why = _country(given.country)
    files = starter_files(name, country, today(), origin(), __version__)
    _check_settings(files[ROOT_RECORD].encode())
    write_all(top, {file: text.encode() for file, text in files.items()})
    say("\n".join(_told(given.folder, country, why, len(files))) + "\n")
    return 0


def _check_place(said: str, top: Path) -> None:
    """Refuse a place that holds anything of somebody's."""
    shown = show(said, 200)
    if os.path.lexists(top) and not top.is_dir():
        raise Usage(f"{shown} is a file.", "Name a new folder.")
    if ".git" in top.parts:
        raise Usage(f"{shown} lies in git's own folder.", "Name a folder outside .git.")
    if not top.parent.is_dir():
        raise Usage(
            f"there is no folder {show(str(top.parent), 200)} to make it in.",
            "Make that one first, or name another place.",
        )
    try:
        there = sorted(set(os.listdir(top)) - {".git"}) if top.is_dir() else []
    except OSError as error:
        raise JobError(
            f"{shown} cannot be looked into ({error.strerror}).", "Name another folder."
        ) from error
    if there:
        more = f" and {len(there) - MOST_NAMED} more" if len(there) > MOST_NAMED else ""
        names = ", ".join(show(name) for name in there[:MOST_NAMED])
        raise JobError(
            f"{shown} is not empty: {names}{more}. Nothing was written.",
            "Name a new folder; start never writes beside what is there already.",
        )


def _usual_name(folder: str) -> str:
    words = " ".join(re.findall(r"[^\W_]+", folder))
    return words[:1].upper() + words[1:80] if words else "Our collection"


def _country(given: str | None) -> tuple[str, str]:
    """The country, and where it was taken from. Never guessed: it decides which law is shown."""
    if given is not None:
        if not re.fullmatch("[A-Za-z]{2}", given):
            raise Usage(
                f"--country: {show(given)} is no country in two letters.",
                "Write its two letters (ISO 3166), such as --country GB",
            )
        return given.upper(), ""
    for variable in ("LC_ALL", "LC_MESSAGES", "LANG"):
        if found := re.match(r"[a-z]{2,3}_([A-Z]{2})(?![A-Z])", os.environ.get(variable, "")):
            return found[1], f"{variable}, this computer's language setting"
    raise Usage(
        "nothing here tells the country, which decides the legal notes that are shown.",
        "Add its two letters (ISO 3166), such as --country GB",
    )


def _check_settings(raw: bytes) -> None:
    """Refuse a name that a record cannot hold."""
    from dietcheck.reading import check_file

    problems = check_file(ROOT_RECORD, raw).problems
    if problems:
        raise Usage(f"--name: {problems[0].message}", problems[0].remedy)


def write_all(top: Path, files: Mapping[str, bytes]) -> None:
    """Write a whole folder beside its place, then move it there. Raises JobError.

    A folder that is there already keeps its identity (somebody may stand in it), so it gets the
    pieces one by one, the record that makes it a collection last; on failure all go again.
    """
    was_there = top.is_dir()
    beside = (top if was_there else top.parent) / f".dietcheck-{secrets.token_hex(8)}.tmp"
    try:
        with undisturbed():
            try:
                _write_into(beside, files)
                if was_there:
                    _move_in(beside, top)
                else:
                    os.rename(beside, top)
            finally:
                if beside.exists():
                    shutil.rmtree(beside, ignore_errors=True)
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise JobError(
            f"{show(str(top), 200)} could not be written ({reason}). Nothing was left there.",
            "Name a folder in a place that you may write to.",
        ) from error


def _write_into(folder: Path, files: Mapping[str, bytes]) -> None:
    folder.mkdir()
    for name, raw in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        with open(path, "xb") as file:
            file.write(raw)


def _move_in(beside: Path, top: Path) -> None:
    moved: list[Path] = []
    try:
        for piece in sorted(beside.iterdir(), key=lambda path: path.name == ROOT_RECORD):
            goal = top / piece.name
            if os.path.lexists(goal):
                raise FileExistsError(17, f"there is a {goal.name} already")
            moved.append(goal)
            os.rename(piece, goal)
    except BaseException:
        for goal in moved:
            if goal.is_dir():
                shutil.rmtree(goal, ignore_errors=True)
            else:
                with suppress(OSError):
                    goal.unlink()
        raise


def _told(folder: str, country: str, why: str, count: int) -> list[str]:
    where = _typed(folder)
    here = folder in (".", "./")
    lines = [
        f"Wrote {count} files: two red pandas, what they eat, one diet sheet, one rota of 14 days. "
        "All of it is",
        "invented, so that there is something to screen; put your own animals in their place.",
    ]
    if why:
        lines.append(f"The country is {country}, from {why}; it stands in dietcheck.yaml.")
    return [
        *lines,
        "",
        "Next:",
        f"  1. {'' if here else f'cd {where} && '}dietcheck screen",
        "     This is clean. README.md says what lies where. Nobody has signed these diets yet:",
        "     name your vet under may_sign in dietcheck.yaml, then: dietcheck sign",
        "  2. Change an amount in diet-sheets/red-panda.yaml, say 65 g to 650 g; screen again.",
        "  3. git init && pip install pre-commit && pre-commit install",
        "     From then on no commit with a high finding is made here.",
    ]


def _typed(text: str) -> str:
    """A folder's name as it is typed in a shell; safe to show."""
    plain = re.fullmatch(r"[\w@%+=:,./~-]+", text)
    return text if plain else json.dumps(show(text, 200), ensure_ascii=False)
