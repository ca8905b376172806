"""The part of a collection that one group's diet hangs on, so that nothing else can bear on it.

That is the group, every group whose food mixes with its own (within reach either way, or left
over), and all that hangs on these in turn; where its animals lived before; and the settings, the
foods and the limits, which are everybody's.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TypeVar

from msgspec.structs import replace

from dietcheck.collection.collection import Collection
from dietcheck.collection.settings import SignOff

T = TypeVar("T")


class Parts:
    """Cuts parts out of a collection."""

    def __init__(self, collection: Collection) -> None:
        self.collection = collection
        # A group whose own record cannot be read may have sheets, and leave something to others.
        fed = (*collection.sheets, *collection.rotas, *collection.treats)
        named = dict.fromkeys((*collection.groups, *fed))
        self._rank = {group: number for number, group in enumerate(named)}
        self._reached_by: dict[str, list[str]] = defaultdict(list)
        for name, others in collection.neighbours.items():
            for other in others:
                self._reached_by[other.id].append(name)
        self._signed: dict[str, list[int]] = defaultdict(list)
        for number, sign_off in enumerate(collection.sign_offs):
            for name in sign_off.names:
                self._signed[name].append(number)

    def around(self, groups: Iterable[str]) -> tuple[str, ...]:
        """The groups and all that they hang on, in the collection's order; unknown names fall
        away."""
        found: set[str] = set()
        ahead = [group for group in groups if group in self._rank]
        while ahead:
            group = ahead.pop()
            if group not in found:
                found.add(group)
                ahead += (other for other in self._beside(group) if other in self._rank)
        return tuple(sorted(found, key=self._rank.__getitem__))

    def _beside(self, group: str) -> Iterator[str]:
        collection = self.collection
        yield from (other.id for other in collection.neighbours.get(group, ()))
        yield from self._reached_by.get(group, ())
        yield from collection.givers.get(group, ())

    def sign_offs(self, groups: Iterable[str]) -> Iterator[SignOff]:
        """The sign-offs that speak of one of the groups, in the collection's order."""
        numbers = {number for group in groups for number in self._signed.get(group, ())}
        return (self.collection.sign_offs[number] for number in sorted(numbers))

    def cut(self, groups: Sequence[str]) -> Collection:
        """The collection with these groups alone, and what names them."""
        whole = self.collection
        return replace(
            whole,
            groups=_of(whole.groups, groups),
            sheets=_of(whole.sheets, groups),
            rotas=_of(whole.rotas, groups),
            treats=_of(whole.treats, groups),
            sign_offs=tuple(self.sign_offs(groups)),
            troubles=(),
            neighbours=_of(whole.neighbours, groups),
            givers=_of(whole.givers, groups),
            homes=_of(whole.homes, self._animals(groups)),
        )

    def _animals(self, groups: Iterable[str]) -> Iterator[str]:
        known = self.collection.groups
        return (animal.id for name in groups if name in known for animal in known[name].animals)


def _of(things: Mapping[str, T], names: Iterable[str]) -> dict[str, T]:
    return {name: things[name] for name in names if name in things}
