"""The limits that are held, picked and ordered for a reader: the one that applies first.

For a species the limit that applies is found as rules find it; for a higher taxon, or for none, the
rows are only listed, because the most specific name decides and that needs a species.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from typing import Literal

from msgspec import Struct, field

from dietcheck.collection.animals import Group
from dietcheck.collection.places import Pointer
from dietcheck.screening.hookspecs import Rule
from dietcheck.screening.limits import Limit, Limits, Standing
from dietcheck.screening.report import Citation
from dietcheck.tables.taxa import Taxon, find_taxon, species_names

Role = Literal["applies", "beside", "held", "strictest", "listed"]
# applies: judges this species. beside: of the same taxon and kind, less strict. held: fits the
# species but does not judge it as it stands. strictest, listed: no species was named.


class Entry(Struct, frozen=True):
    """One limit with its place in the list; `why_not` says why a limit that is held is not used."""

    limit: Limit
    role: Role
    why_not: str = ""


class Block(Struct, frozen=True):
    """The limits of one rule on one quantity, the ones that count first."""

    quantity: str
    entries: tuple[Entry, ...]


class Section(Struct, frozen=True):
    """What one rule holds for one subject. `setting` tells of a rule that was set otherwise."""

    rule: Rule
    subject: str
    blocks: tuple[Block, ...]
    setting: str = ""


class LimitsReport(Struct, frozen=True, eq=False):
    """All that is shown, with the bibliography, what was asked for and what cannot be used."""

    asked: Mapping[str, str]
    packs: tuple[str, ...]
    sections: tuple[Section, ...]
    unjudged: tuple[Limit, ...]  # site limits on quantities that no rule reads
    bibliography: Mapping[str, Citation]
    collection: str = ""
    faults: tuple[str, ...] = ()

    @property
    def count(self) -> int:
        """How many limits are shown."""
        return sum(
            len(block.entries) for section in self.sections for block in section.blocks
        ) + len(self.unjudged)


class Subject(Struct, frozen=True):
    """Whom the limits are asked for: a species, alone or as a group of a collection, a higher
    taxon, or everybody."""

    called: str = ""
    group: Group | None = None
    higher: str = ""
    groups: tuple[Group, ...] = field(default=())  # of the collection, in the higher taxon


def species(taxon: Taxon, group: Group | None = None) -> Subject:
    """A species, or a group of it that has limits of its own."""
    english = f" ({taxon.english_name})" if taxon.english_name else ""
    called = f"{taxon.scientific_name}{english}"
    if group is None:
        group = Group("", taxon, "", "together", Pointer(""), ())
        return Subject(called, group)
    return Subject(f"group {group.id}: {called}", group)


def higher(name: str, groups: Iterable[Group] = ()) -> Subject:
    """A taxon above species, with the collection's groups that belong to it."""
    return Subject(name, None, name, tuple(g for g in groups if g.taxon.is_in(name)))


def blocks(rows: Sequence[Limit], subject: Subject, quantity: str | None) -> tuple[Block, ...]:
    """The rows of one rule for a subject, by quantity."""
    wanted = dict.fromkeys(
        row.quantity for row in rows if quantity is None or row.quantity == quantity
    )
    found = []
    for name in sorted(wanted):
        if subject.group is not None:
            entries = tuple(_for_group(rows, subject.group, name))
        else:
            of_quantity = [row for row in rows if row.quantity == name]
            entries = tuple(_listed(row for row in of_quantity if _concerns(row, subject)))
        if entries:
            found.append(Block(name, entries))
    return tuple(found)


def _for_group(rows: Sequence[Limit], group: Group, quantity: str) -> Iterator[Entry]:
    """What applies at each life stage, what stands beside it, and what fits but is not used."""
    limits = Limits(rows)
    fitting = [row for row in rows if row.quantity == quantity and _fits(row, group)]
    stages = dict.fromkeys(row.stage for row in fitting if row.stage not in (None, "all", "adult"))
    roles: dict[str, Entry] = {}
    for stage in (None, *stages):
        for row in limits.on_foods(group, quantity, stage=stage):
            roles.setdefault(row.id, Entry(row, "applies"))
        for applied in limits.each(group, quantity, stage=stage):
            roles.setdefault(applied.limit.id, Entry(applied.limit, "applies"))
            for other in applied.others:
                roles.setdefault(other.id, Entry(other, "beside"))
    yield from (entry for entry in roles.values() if entry.role == "applies")
    yield from (entry for entry in roles.values() if entry.role == "beside")
    for row in sorted(
        fitting, key=lambda row: group.taxon.rank_distance(row.taxon or _self(group))
    ):
        if row.id not in roles:
            used = [entry.limit for entry in roles.values() if entry.role == "applies"]
            yield Entry(row, "held", _why_not(row, used))


def _why_not(row: Limit, used: Iterable[Limit]) -> str:
    if row.condition:
        return f"it is only for this case: {row.condition}"
    own = any(one.standing is Standing.SITE_RULE and one.basis == row.basis for one in used)
    if own and row.standing is not Standing.PUBLISHED:
        return "the site's own limit takes the place of a default without a source"
    return "a limit for a nearer taxon is used"


def _self(group: Group) -> str:
    return group.taxon.scientific_name


def _fits(row: Limit, group: Group) -> bool:
    return row.group == group.id if row.group else group.taxon.is_in(row.taxon)


def _concerns(row: Limit, subject: Subject) -> bool:
    """Whether a row is for the higher taxon, for something in it or for something above it."""
    if not subject.higher:
        return True
    if row.group:
        return any(row.group == group.id for group in subject.groups)
    return any(taxon.is_in(row.taxon) for taxon in _members(subject.higher))


@cache
def _members(name: str) -> tuple[Taxon, ...]:
    """Every species of the table in a higher taxon."""
    every = (taxon for one in species_names() if (taxon := find_taxon(one)) is not None)
    return tuple(taxon for taxon in every if taxon.is_in(name))


def _listed(rows: Iterable[Limit]) -> Iterator[Entry]:
    """Rows by whom they are for and how they are reckoned, the strictest of each kind first."""
    kinds: dict[tuple[str, ...], list[Limit]] = {}
    for row in rows:
        kinds.setdefault(_kind(row), []).append(row)
    for kind in sorted(kinds):
        same = sorted(kinds[kind], key=lambda row: (row.standing.is_absence, row.strictness()))
        yield Entry(same[0], "strictest" if len(same) > 1 else "listed")
        yield from (Entry(row, "listed") for row in same[1:])


def _kind(row: Limit) -> tuple[str, ...]:
    """Whom a row is for and what it bounds: rows of one kind compete."""
    whom = (row.taxon, row.group or "", row.food or "", row.stage or "", row.condition or "")
    side = "floor" if row.at_most is None and row.at_least is not None else "ceiling"
    return (*whom, row.over, row.basis, row.unit, side)
