"""What differs between a diet as it was signed and as it is: old → new, in the words of the sheet.

It compares just what the digest covers, so that nothing changes the digest and stays unsaid.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from dietcheck.collection.collection import Collection
from dietcheck.history.digest import signed_content
from dietcheck.history.log import Log

Way = tuple[str, ...]
VERSIONS = 20
"""Versions that are looked through for the one that was signed."""


def signed_version(
    log: Log, files: Sequence[str], group: str, on: date, digest: str
) -> Collection | None:
    """The newest version in which the group's diet had that digest; None if none is found."""
    from dietcheck.history.digest import content_digest

    for commit, _ in zip(log.touching(files), range(VERSIONS), strict=False):
        for version in (commit.id, f"{commit.id}^"):
            found = log.at(version)
            if found and group in found.groups and content_digest(found, group, on) == digest:
                return found
    return None


def differences(before: Collection, after: Collection, group: str, on: date) -> Iterator[str]:
    """Each difference of what is signed for a group, a phrase each: `carrot: 60 g → 600 g`."""
    old = signed_content(before, group, on)
    new = signed_content(after, group, on)
    _align(old, new)
    yield from _received(old.pop("received", []), new.pop("received", []))
    was, now = dict(_leaves(old, ())), dict(_leaves(new, ()))
    for way in dict.fromkeys((*was, *now)):
        if was.get(way) == now.get(way):
            continue
        line = (*way[:-1], "food")
        whole = line in was or line in now
        if whole and (line in was) is not (line in now):
            if way != line:
                continue
            side, word = (was, "taken out") if line in was else (now, "new")
            amount = side.get((*way[:-1], "amount"), "")
            yield f"{_words(way[:-1])}: {word}{f', {amount}' if amount else ''}"
        else:
            yield f"{_words(way)}: {was.get(way, 'not given')} → {now.get(way, 'not given')}"


def _received(old: list[dict[str, Any]], new: list[dict[str, Any]]) -> Iterator[str]:
    """What other groups leave to the group: the share, and whether the giver is fed otherwise."""
    for name in dict.fromkeys(one["food"] for one in (*old, *new)):
        was, now = ([one for one in side if one["food"] == name] for side in (old, new))
        if not was or not now:
            yield f"{name}: {'new' if now else 'taken out'}"
            continue
        # Several sheets, in force and to come, may each leave some.
        before, after = (
            ", then ".join(one["share"] or "not given" for one in side) for side in (was, now)
        )
        if before != after:
            yield f"{name}, share: {before} → {after}"
        if was[0]["of"] != now[0]["of"]:
            yield f"{name}: what it is left from has changed"


def _align(old: dict[str, Any], new: dict[str, Any]) -> None:
    """Key sheets and rotas by their first day; one that took the place of another stands for it.

    One that is new beside the others is told against the one that it follows.
    """
    for kind, word in (("sheets", "from"), ("rotas", "starts")):
        olds = {str(one[word]): one for one in old[kind]}
        news = {str(one[word]): one for one in new[kind]}
        gone = [day for day in olds if day not in news]
        come = [day for day in news if day not in olds]
        for was, now in zip(gone, come, strict=False):
            olds = {(now if day == was else day): one for day, one in olds.items()}
        for day in come[len(gone) :]:
            if before := [one for one in olds if one < day]:
                olds[day] = olds[max(before)]
        old[kind], new[kind] = olds, news


def _leaves(value: Any, way: Way) -> Iterator[tuple[Way, str]]:
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _leaves(inner, (*way, key))
    elif isinstance(value, list):
        if value and all(isinstance(one, Mapping) for one in value):
            seen: dict[str, int] = {}
            for number, one in enumerate(value, 1):
                name = str(one.get("food", f"day {number}" if way[-1] == "days" else number))
                if one.get("for"):
                    name += f" for {', '.join(map(str, one['for']))}"
                seen[name] = seen.get(name, 0) + 1
                name = name if seen[name] == 1 else f"{name} ({seen[name]})"
                yield from _leaves(one, (*way, name))
        else:
            yield way, ", ".join(map(str, value))
    else:
        yield way, str(value)


_UNSAID = frozenset({"sheets", "rotas", "foods", "meals", "days", "record", "food", "amount"})


def _words(way: Way) -> str:
    """`sheet from 2026-10-01, roots, carrot`."""
    head = {"sheets": "sheet", "rotas": "rota", "foods": "food"}.get(way[0], "")
    rest = [word.replace("_", " ") for word in way[1:] if word not in _UNSAID]
    if head in ("sheet", "rota") and rest:
        rest[0] = f"from {rest[0]}"
    return ", ".join([f"{head} {rest[0]}", *rest[1:]]) if head and rest else " ".join(way)
