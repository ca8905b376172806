"""What changed in a diet, as a keeper would say it: one value for each thing that is otherwise."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

About = Literal["group", "animal", "sheet", "line", "rota", "treat", "food"]


class Change(Struct, frozen=True):
    """One thing that is otherwise: `subject` was `old`, is now `new`; None: was not, is not there.

    Texts are as in the records: they go through `said` before anybody reads them. `where` names
    the meals or days. `feeds` is False for what is true of the animals and changes no food by
    itself, such as a weighing.
    """

    about: About
    subject: str
    old: str | None
    new: str | None
    where: tuple[str, ...] = ()
    feeds: bool = True


_ADDED = {
    "line": "added",
    "treat": "treat added",
    "animal": "now in the group",
    "food": "now given",
}
_GONE = {"line": "taken out", "treat": "treat taken out", "animal": "no longer in the group"}


def said(change: Change, clean: Callable[[str], str]) -> str:
    """A change in one phrase: `carrot: 600 g per animal → 6 kg per animal (roots)`."""
    subject = clean(change.subject)
    where = f" ({', '.join(map(clean, change.where))})" if change.where else ""
    if change.old is None and change.new is not None:
        figure = f", {clean(change.new)}" if change.new else ""
        return f"{subject}: {_ADDED.get(change.about, 'new')}{figure}{where}"
    if change.new is None and change.old is not None:
        figure = f", was {clean(change.old)}" if change.old else ""
        return f"{subject}: {_GONE.get(change.about, 'gone')}{figure}{where}"
    return f"{subject}: {clean(change.old or '')} → {clean(change.new or '')}{where}"


def folded(changes: Iterable[Change]) -> Iterator[Change]:
    """Changes that differ only in where they are, as one."""
    where: dict[Change, list[str]] = {}
    for change in changes:
        places = where.setdefault(replace(change, where=()), [])
        places.extend(place for place in change.where if place not in places)
    for change, places in where.items():
        yield replace(change, where=tuple(places))
