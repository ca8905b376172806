"""All records of a repository, each checked, with drafts laid over and doubles told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import Struct, field
from msgspec.structs import replace

from dietcheck.errors import NotARepository
from dietcheck.outside.files import Unreadable
from dietcheck.reading.check import FileFacts, capped, check_file, read_loosely
from dietcheck.reading.identity import Identity, path_of, say
from dietcheck.reading.kept import keep_records
from dietcheck.reading.positions import locate
from dietcheck.reading.problems import Flaw, Place, Problem, show
from dietcheck.reading.sources import TOTAL_LIMIT, Source, too_much

ROOT_RECORD = "dietcheck.yaml"


class Repository(Struct, frozen=True):
    """Everything that was read, as one value.

    `files` in order of name; `problems` of all files, sorted; `left_out` the files that
    dietcheck.yaml leaves out; `described` says what was read (the folder, the staged files).
    """

    files: tuple[FileFacts, ...]
    problems: tuple[Problem, ...]
    left_out: tuple[str, ...]
    described: str
    _raw: Mapping[str, bytes] = field(default_factory=dict)

    def raw(self, name: str) -> bytes:
        """The bytes that were checked, for locate; none for a file that could not be read."""
        return self._raw.get(name, b"")

    def place(self, name: str, path: tuple[str | int, ...], *, key: bool = False) -> Place:
        """Where a value of a file stands; the first line if the file was not read."""
        raw = self._raw.get(name)
        return Place() if raw is None else locate(raw, path, key=key)


def read_repository(source: Source, drafts: Sequence[tuple[str, bytes]] = ()) -> Repository:
    """Read every record of a source and lay the drafts over them.

    A draft takes the place of the record with the same identity (of single foods, in a foods
    file), and of the file with its own name. NotARepository where there is nothing to check.
    """
    names = source.names()
    if ROOT_RECORD not in names:
        raise NotARepository(
            f"there is no {ROOT_RECORD} here, so this is no diet repository.", _advice(names)
        )
    root = _read(source, ROOT_RECORD)
    left_out_names = _left_out(root)
    kept = [n for n in names if n == ROOT_RECORD or not _covers(left_out_names, n)]
    left_out = tuple(sorted(set(names).difference(kept)))
    if kept == [ROOT_RECORD] and not drafts:
        raise NotARepository(
            f"there is nothing here but {ROOT_RECORD}: no groups, foods or diet sheets.",
            "Write the first records beside it, or name another folder.",
        )
    raws: dict[str, bytes] = {}
    drafts = tuple(dict(drafts).items())  # a file named twice is one draft
    files = _read_all(source, kept, root, raws)
    keep_records((raws[one.file], one.data) for one in files if one.data is not None)
    files = _lay_over(files, drafts, raws)
    problems = [p for p in source.problems() if not _covers(left_out_names, p.file)]
    for facts in files:
        problems.extend(facts.problems)
    problems.extend(_across(files, raws))
    return Repository(
        tuple(files),
        tuple(sorted(problems)),
        left_out,
        source.describe(),
        raws,
    )


def _advice(names: Sequence[str]) -> str:
    deeper = [n for n in names if n.endswith("/" + ROOT_RECORD)]
    if deeper:
        return f"There is one in {show(deeper[0].rpartition('/')[0])}: name that folder."
    near = [n for n in names if "/" not in n and n.lower().startswith("dietcheck.y")]
    if near:
        return f"Rename {show(near[0])} to {ROOT_RECORD}."
    return f"Name the folder that holds {ROOT_RECORD}."


def _read(source: Source, name: str) -> bytes | Problem:
    try:
        return source.read(name)
    except Unreadable as error:
        return Problem(name, 1, 1, error.message, error.remedy)


def _left_out(root: bytes | Problem) -> tuple[str, ...]:
    """What the collection's record leaves out, read even if something else in it is wrong."""
    data = None if isinstance(root, Problem) else read_loosely(root)[0]
    listed = data.get("leave_out") if isinstance(data, dict) else None
    if not isinstance(listed, list):
        return ()
    return tuple(one.rstrip("/") for one in listed if isinstance(one, str) and one.strip("/"))


def _covers(left_out: tuple[str, ...], name: str) -> bool:
    return any(name == one or name.startswith(one + "/") for one in left_out)


def _read_all(
    source: Source, names: Sequence[str], root: bytes | Problem, raws: dict[str, bytes]
) -> list[FileFacts]:
    files = []
    total = 0
    for name in names:
        raw = root if name == ROOT_RECORD else _read(source, name)
        if isinstance(raw, Problem):
            files.append(FileFacts(name, None, None, (raw,)))
            continue
        total += len(raw)
        if total > TOTAL_LIMIT:
            raise too_much()
        raws[name] = raw
        files.append(_own_settings(check_file(name, raw)))
    return files


def _own_settings(facts: FileFacts) -> FileFacts:
    """The facts; of settings in a second place only their name, so that they never take over.

    They are told as doubled, or, where the right ones cannot be read, those are told.
    """
    second = facts.kind == "collection" and facts.file != ROOT_RECORD
    return replace(facts, data=None) if second else facts


def _lay_over(
    files: list[FileFacts], drafts: Sequence[tuple[str, bytes]], raws: dict[str, bytes]
) -> list[FileFacts]:
    """The files with the drafts in place of what they replace, again in order of name."""
    if not drafts:
        return files
    laid = [replace(check_file(name, raw), draft=True) for name, raw in drafts]
    own_names = {facts.file for facts in laid}
    replaced = {identity for facts in laid for identity in facts.identities}
    kept = [_without(facts, replaced) for facts in files if facts.file not in own_names]
    raws.update(drafts)
    return sorted([*filter(None, kept), *laid], key=lambda facts: facts.file)


def _without(facts: FileFacts, replaced: set[Identity]) -> FileFacts | None:
    """A file less what drafts replace; None if nothing of it is left."""
    left = tuple(one for one in facts.identities if one not in replaced)
    if left == facts.identities:
        return facts
    if not left:
        return None
    if facts.data is None:  # its problems stay, whichever food they belong to
        return replace(facts, identities=left)
    names = {identity[1] for identity in left}
    foods: Mapping[str, Any] = facts.data["foods"]
    kept = {name: food for name, food in foods.items() if name in names}
    return replace(facts, data={**facts.data, "foods": kept}, identities=left)


def _across(files: Sequence[FileFacts], raws: Mapping[str, bytes]) -> list[Problem]:
    """What is wrong between files: the collection's record, and things recorded twice."""
    first: dict[Identity, str] = {}
    problems: list[Problem] = []
    for facts in files:
        raw = raws.get(facts.file, b"")
        flaws = [_not_the_collection(raw, facts.kind)] if _should_be_collection(facts) else []
        for identity in facts.identities:
            other = first.setdefault(identity, facts.file)
            if other != facts.file:
                flaws.append(_double(identity, raw, other, raws[other]))
        if flaws:
            problems.extend(capped(facts.file, flaws))
    return problems


def _should_be_collection(facts: FileFacts) -> bool:
    return facts.file == ROOT_RECORD and facts.kind not in (None, "collection")


def _not_the_collection(raw: bytes, kind: str | None) -> Flaw:
    return Flaw(
        locate(raw, ("record",)),
        f"{ROOT_RECORD} must be the record of the collection, not “{kind}”.",
        "Write “record: collection” here and put this record in a file of its own.",
        ("record",),
    )


def _double(identity: Identity, raw: bytes, other: str, other_raw: bytes) -> Flaw:
    path = path_of(identity)
    by_name = identity[0] == "food"  # a food's id is the name of its lines, not a value
    line = locate(other_raw, path, key=by_name).line
    return Flaw(
        locate(raw, path, key=by_name),
        f"{say(identity)} is already recorded in {show(other)}, line {line}.",
        "Keep one of the two, or give this one another name or date.",
        path,
    )
