"""`dietcheck sheets`: diet sheets and rotas out to a spreadsheet, and in from one."""

from __future__ import annotations

import argparse
import os
import secrets
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from dietcheck.commands.arguments import Usage
from dietcheck.commands.output import complain, say
from dietcheck.commands.repository import folder
from dietcheck.errors import JobError
from dietcheck.reading import Folder, NotARepository, Repository, read_repository
from dietcheck.reading.problems import show

if TYPE_CHECKING:
    from dietcheck.commands.spreadsheet.rows import Known

MOST_TOLD = 200


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck sheets`."""
    parser.add_argument(
        "folder",
        metavar="DIR",
        nargs="?",
        default=".",
        help="the folder that holds dietcheck.yaml; left out: the folder you are in",
    )
    parser.add_argument(
        "--write",
        metavar="FILE",
        help="write all diet sheets and rotas to this XLSX file, or as CSV files to this folder",
    )
    parser.add_argument(
        "--template", action="store_true", help="with --write: the headings alone, to be filled in"
    )
    parser.add_argument(
        "--read",
        metavar="FILE",
        action="append",
        default=[],
        help="make records of the rows of this XLSX or CSV file; may be repeated",
    )
    parser.add_argument(
        "--to", metavar="FOLDER", help="with --read: write the records below this folder, not DIR"
    )
    parser.add_argument(
        "--replace",
        action="store_true",
        help="write over a record or a spreadsheet that is there already and differs",
    )


def run(given: argparse.Namespace) -> int:
    """Write a spreadsheet, or records. The exit status: 0 done, 1 cells or records in the way."""
    root = folder(given.folder)
    if bool(given.write) == bool(given.read):
        raise Usage(
            "say what is to be done.",
            "Write --write FILE.xlsx to get a spreadsheet, or "
            "--read FILE.xlsx to make records of one.",
        )
    if (given.read and given.template) or (given.write and given.to):
        raise Usage("--template goes with --write, and --to with --read.", "Leave one of them out.")
    repository = read_repository(Folder(root))
    if given.write:
        return _write(repository, Path(given.write), given.template, given.replace)
    goal = Path(given.to) if given.to else root
    return _read(repository, [Path(file) for file in given.read], goal, given.replace)


def known_of(repository: Repository) -> Known:
    """The feeds of a collection, and its groups and foods by id and by name."""
    from dietcheck.commands.spreadsheet.rows import Known

    feeds: tuple[str, ...] = ()
    groups: dict[str, str] = {}
    foods: dict[str, str] = {}
    for facts in repository.files:
        data = facts.data or {}
        if facts.kind == "collection" and data:
            feeds = (*data.get("feeds", ()), *data.get("extra_feeds", ()))
        elif facts.kind == "group" and data:
            groups[data["id"]] = data["id"]
            groups.setdefault(str(data.get("name", data["id"])).casefold(), data["id"])
        elif facts.kind == "foods" and data:
            for name, food in data["foods"].items():
                foods[name] = name
                if isinstance(food, Mapping) and isinstance(food.get("name"), str):
                    foods.setdefault(food["name"].casefold(), name)
    return Known(feeds, groups, foods)


def _write(repository: Repository, goal: Path, template: bool, replace: bool) -> int:
    from dietcheck.commands.spreadsheet.to_rows import filled
    from dietcheck.commands.spreadsheet.write import csv_files, workbook

    unread = _unread(repository)
    if unread and not template:
        raise JobError(
            f"{show(unread[0], 200)} cannot be read, so a spreadsheet would not be whole.",
            "Put it right first: “dietcheck screen” says what is wrong.",
        )
    known = known_of(repository)
    records = [f.data for f in repository.files if f.data and f.kind in ("diet sheet", "rota")]
    sheets = filled([] if template else records, known.feeds)
    if goal.suffix.lower() == ".xlsx":
        names = (sorted(set(known.groups.values())), sorted(set(known.foods.values())))
        files = {goal.name: workbook(sheets, *names)}
        put_all(goal.parent, files, replace)
    elif goal.suffix and not goal.is_dir():
        raise Usage(
            f"--write: {show(goal.name)} is neither an XLSX file nor a folder.",
            "Name a file that ends in .xlsx, or a folder for CSV files.",
        )
    else:
        put_all(goal, csv_files(sheets), replace)
    rows = ", ".join(f"{len(sheet.rows)} rows of {sheet.name}" for sheet in sheets)
    say(f"Wrote {show(str(goal), 200)}: {'headings alone' if template else rows}.\n")
    comments = (
        0
        if template
        else sum(
            1
            for f in repository.files
            if f.kind in ("diet sheet", "rota") and _has_comment(repository, f.file)
        )
    )
    if comments:
        complain(
            f"dietcheck: {comments} of these records have notes behind #, which no cell holds; "
            "they stay in the files."
        )
    return 0


def _unread(repository: Repository) -> list[str]:
    """What cannot be read and is, or may be, a diet sheet or a rota; links and the like too."""
    files = {facts.file: facts for facts in repository.files}
    strange = [problem.file for problem in repository.problems if problem.file not in files]
    kinds = ("diet sheet", "rota", None)
    return [*(f for f, facts in files.items() if not facts.data and facts.kind in kinds), *strange]


def _has_comment(repository: Repository, file: str) -> bool:
    lines = repository.raw(file).decode("utf-8", "replace").splitlines()
    return any(line.lstrip().startswith("#") or "  #" in line for line in lines)


def _read(repository: Repository, files: list[Path], goal: Path, replace: bool) -> int:
    from dietcheck.commands.spreadsheet.flow import record_text
    from dietcheck.commands.spreadsheet.to_records import records_of

    known = known_of(repository)
    sheets = [sheet for file in files for sheet in _sheets(file)]
    read = records_of(sheets, known)
    for note in read.notes:
        complain(f"dietcheck: {show(note, 400)}")
    if read.troubles:
        count = len(read.troubles)
        say(f"{count} cell{'' if count == 1 else 's'} cannot be read. Nothing was written.\n")
        for trouble in read.troubles[:MOST_TOLD]:
            said = show(f"{trouble.message} {trouble.remedy}", 500)
            say(f"  {show(str(trouble.at), 120)}: {said}\n")
        if count > MOST_TOLD:
            say(f"  and {count - MOST_TOLD} more.\n")
        return 1
    there = _there(goal)
    wanted: dict[str, bytes] = {}
    same = 0
    for name, data in read.records.items():
        file, old = there.get(_key(data), (name, None))
        if old == data:
            same += 1
            continue
        if old is not None and not replace:
            raise JobError(
                f"{show(file, 200)} is a {data['record']} of {show(data['group'])} from the same "
                "day already, and says something else. Nothing was written.",
                "Give the rows another date, or add --replace to write over it "
                "(notes behind # in it are lost).",
            )
        wanted[file] = record_text(data).encode()
    put_all(goal, wanted, replace)
    for name in sorted(wanted):
        say(f"Wrote {show(str(goal / name), 300)}\n")
    if same:
        say(f"{same} record{' is' if same == 1 else 's are'} there already and say the same.\n")
    if not wanted and not same:
        say("There are no rows to read: nothing was written.\n")
    _tell_unknown(read.records, known)
    return 0


def _tell_unknown(records: Mapping[str, Mapping[str, Any]], known: Known) -> None:
    groups = {data["group"] for data in records.values()} - set(known.groups.values())
    foods = {
        line["food"]
        for data in records.values()
        for lines in (*data.get("meals", {}).values(), data.get("supplements", ()))
        for line in lines
    } - set(known.foods.values())
    for what, names in (("groups", groups), ("foods", foods)):
        if names:
            listed = ", ".join(show(name) for name in sorted(names)[:20])
            complain(f"dietcheck: not among the {what} of this collection yet: {listed}")


def _key(data: Mapping[str, Any]) -> tuple[str, str, str]:
    return (data["record"], data["group"], data.get("from") or data["starts"])


def _there(goal: Path) -> dict[tuple[str, str, str], tuple[str, Any]]:
    """The records that a folder holds already, by what they are about."""
    if not goal.is_dir():
        return {}
    try:
        files = read_repository(Folder(goal)).files
    except NotARepository:
        return {}
    found = {}
    for facts in files:
        for one in facts.identities:
            if one[0] in ("diet sheet", "rota"):
                found[(one[0], one[1], one[2])] = (facts.file, facts.data or {})
    return found


def _sheets(file: Path) -> list[Any]:
    from dietcheck.commands.spreadsheet.cells import MOST_BYTES
    from dietcheck.commands.spreadsheet.read_csv import read_csv
    from dietcheck.commands.spreadsheet.read_xlsx import read_xlsx

    said = show(str(file), 200)
    try:
        if not file.is_file():
            raise JobError(f"there is no file {said}.", "Name an XLSX or a CSV file.")
        if file.stat().st_size > MOST_BYTES:
            raise JobError(f"{said} has more than 8 MB.", "Split it into several files.")
        raw = file.read_bytes()
    except OSError as error:
        raise JobError(f"{said} cannot be read ({error.strerror}).", "Name another.") from error
    ending = file.suffix.lower()
    if ending == ".csv":
        return read_csv(file.name, raw)
    if ending in (".xlsx", ".xlsm"):
        return read_xlsx(file.name, raw)
    raise JobError(f"{said} is neither XLSX nor CSV.", "Save it as XLSX, or as “CSV UTF-8”.")


def put_all(top: Path, files: Mapping[str, bytes], replace: bool) -> None:
    """Write all files or none; over one that is there only when told. Raises JobError."""
    root = Path(os.path.realpath(top))
    goals = {root / name: raw for name, raw in files.items()}
    for goal in goals:
        if os.path.lexists(goal) and not (replace and goal.is_file() and not goal.is_symlink()):
            raise JobError(
                f"{show(str(goal), 200)} is there already. Nothing was written.",
                "Name another place, or add --replace to write over it.",
            )
        if not Path(os.path.realpath(goal)).is_relative_to(root) or ".git" in goal.parts:
            raise JobError(
                f"{show(str(goal), 200)} lies outside of the folder, or in git's own.",
                "Name another folder.",
            )
    made: list[Path] = []
    old: dict[Path, bytes | None] = {}
    beside = f".dietcheck-{secrets.token_hex(8)}.tmp"
    try:
        for goal, raw in goals.items():
            made += [p for p in reversed((goal.parent, *goal.parent.parents)) if not p.exists()]
            goal.parent.mkdir(parents=True, exist_ok=True)
            with open(goal.with_name(goal.name + beside), "xb") as file:
                file.write(raw)
        for goal in goals:
            old[goal] = goal.read_bytes() if goal.is_file() else None
            os.replace(goal.with_name(goal.name + beside), goal)
    except BaseException as error:
        _undo(goals, beside, old, made)
        if isinstance(error, OSError):
            raise JobError(
                f"{show(str(top), 200)} could not be written ({error.strerror}). All is as it was.",
                "Name a place that you may write to.",
            ) from error
        raise


def _undo(
    goals: Mapping[Path, bytes], beside: str, old: Mapping[Path, bytes | None], made: list[Path]
) -> None:
    for goal in goals:
        with suppress(OSError):
            goal.with_name(goal.name + beside).unlink()
        if goal in old:
            before = old[goal]
            with suppress(OSError):
                goal.unlink() if before is None else goal.write_bytes(before)
    for path in reversed(made):
        with suppress(OSError):
            path.rmdir()
