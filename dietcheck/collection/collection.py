"""The whole collection: every record as linked objects, and what could not be linked."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from datetime import date
from typing import TypeVar

from msgspec import Struct, field

from dietcheck.collection.animals import Group
from dietcheck.collection.feeding import DietSheet, Rota, TreatGift
from dietcheck.collection.foods import Food
from dietcheck.collection.places import Pointer
from dietcheck.collection.settings import Settings, SignOff, SiteLimit

Dated = TypeVar("Dated", DietSheet, Rota)


class Trouble(Struct, frozen=True):
    """Something between records that does not fit: a name that leads nowhere, a mix in a circle."""

    place: Pointer
    message: str
    remedy: str


class Home(Struct, frozen=True):
    """A group that an animal lives in, or lived in until a day."""

    group: str
    until: date | None


class Unread(Struct, frozen=True):
    """What records that could not be read are about, as far as their names could be.

    Whatever depends on them is no second mistake: the unreadable file is one finding already.
    """

    foods: frozenset[str] = frozenset()
    groups: frozenset[str] = frozenset()
    fed_groups: frozenset[str] = frozenset()  # groups with an unreadable sheet or rota


class Collection(Struct, frozen=True, eq=False):
    """Every record of a repository, linked. Sheets and rotas stand oldest first."""

    settings: Settings
    groups: Mapping[str, Group]
    foods: Mapping[str, Food]
    sheets: Mapping[str, tuple[DietSheet, ...]]
    rotas: Mapping[str, tuple[Rota, ...]]
    treats: Mapping[str, tuple[TreatGift, ...]]
    limits: tuple[SiteLimit, ...]
    sign_offs: tuple[SignOff, ...]
    troubles: tuple[Trouble, ...]
    unread: Unread = field(default_factory=Unread)
    neighbours: Mapping[str, tuple[Group, ...]] = field(default_factory=dict)
    givers: Mapping[str, tuple[str, ...]] = field(default_factory=dict)  # who leaves it something
    strangers: Mapping[str, Food] = field(default_factory=dict)  # named somewhere, on no list
    homes: Mapping[str, tuple[Home, ...]] = field(default_factory=dict)  # of each animal
    signed: bool = False  # whether anything at all has been signed

    def sheet_on(self, group: str, on: date) -> DietSheet | None:
        """The diet sheet of a group in force on a day."""
        return in_force(self.sheets.get(group, ()), on)

    def rota_on(self, group: str, on: date) -> Rota | None:
        """The rota of a group in force on a day."""
        return in_force(self.rotas.get(group, ()), on)

    def reaching(self, group: Group) -> tuple[Group, ...]:
        """The other groups whose food this group can get at.

        That is every group in the same enclosure, and every group that names this one under
        `also_reached_by`.
        """
        return self.neighbours.get(group.id, ())


def neighbours_of(groups: Mapping[str, Group]) -> dict[str, tuple[Group, ...]]:
    """For each group the others whose food it can get at, see `Collection.reaching`."""
    housed: dict[str, list[str]] = defaultdict(list)
    reaching: dict[str, set[str]] = defaultdict(set)
    for group in groups.values():
        housed[group.enclosure].append(group.id)
        for other in group.also_reached_by:
            reaching[other].add(group.id)
    return {
        name: tuple(
            groups[other] for other in sorted({*housed[group.enclosure], *reaching[name]} - {name})
        )
        for name, group in groups.items()
    }


def homes_of(groups: Mapping[str, Group]) -> dict[str, tuple[Home, ...]]:
    """For each animal, by its id, the groups that it stands in."""
    homes: dict[str, list[Home]] = defaultdict(list)
    for group in groups.values():
        for animal in group.animals:
            homes[animal.id].append(Home(group.id, animal.here_until))
    return {animal: tuple(found) for animal, found in homes.items()}


def givers_of(sheets: Mapping[str, tuple[DietSheet, ...]]) -> dict[str, tuple[str, ...]]:
    """For each group the other groups whose sheets leave something to it."""
    giving: dict[str, dict[str, None]] = defaultdict(dict)
    for giver, own in sheets.items():
        for sheet in own:
            for leftover in sheet.leftovers:
                if leftover.to != giver:
                    giving[leftover.to][giver] = None
    return {name: tuple(sorted(givers)) for name, givers in giving.items()}


def in_force(dated: tuple[Dated, ...], on: date) -> Dated | None:
    """The latest one that has started by that day and has not ended before it."""
    return next(
        (d for d in reversed(dated) if d.start <= on and (d.until is None or on <= d.until)), None
    )
