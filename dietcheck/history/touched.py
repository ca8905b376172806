"""Whether a version can have changed anything for one animal: the quick way past all the others."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from dietcheck.errors import JobError
from dietcheck.outside.files import is_record_name
from dietcheck.reading import FileFacts, check_file, git

OF_ONE_GROUP = frozenset({"group", "diet sheet", "rota"})
MOST = 20
"""Changed files that are looked into; of more, one may well bear on the animal."""


def may_touch(root: Path, before: str, after: str, group: str, animal: str) -> bool:
    """Whether the files that differ between two commits may bear on an animal of a group.

    Only records of other groups are passed over, and only where both sides of them can be read.
    """
    try:
        listing = git(root, ["diff-tree", "-r", "--name-only", "--relative", "-z", before, after])
    except JobError:
        return True
    rows = [row for row in listing.split(b"\0") if row]
    names = [row.decode("utf-8", "surrogateescape") for row in rows]
    records = [name for name in names if is_record_name(name)]
    if len(records) > MOST:
        return True
    return any(
        _bears_on(facts, group, animal)
        for name in records
        for facts in _sides(root, name, before, after)
    )


def _sides(root: Path, name: str, *commits: str) -> Iterator[FileFacts]:
    for commit in commits:
        try:
            raw = git(root, ["cat-file", "blob", f"{commit}:./{name}"])
        except JobError:  # it is on one side only
            continue
        yield check_file(name, raw)


def _bears_on(facts: FileFacts, group: str, animal: str) -> bool:
    if facts.data is None or facts.kind not in OF_ONE_GROUP:
        return True
    if any(group in identity[1:] for identity in facts.identities):
        return True
    return any(one.get("id") == animal for one in facts.data.get("animals", ()))
