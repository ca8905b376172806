"""Limits: one row of a rule's table or of the site's own, and how the one that applies is found.

The most specific taxon wins. Where several rows of that taxon stand, the strictest applies and
the others are shown. A site's own limit replaces a bundled default that has no source; beside a
published limit the stricter of the two applies.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from enum import StrEnum
from typing import Any

from msgspec import Struct

from dietcheck.collection.animals import Group
from dietcheck.collection.places import Pointer
from dietcheck.quantities import Interval
from dietcheck.tables.taxa import Taxon


class Standing(StrEnum):
    """What kind of figure a limit is. The absences are kept apart and read differently."""

    PUBLISHED = "published"
    COMMON_PRACTICE = "common practice"
    SITE_RULE = "site rule"
    NO_PUBLISHED_LIMIT = "no published limit"
    NOT_YET_SOURCED = "limit not yet sourced"

    @property
    def is_absence(self) -> bool:
        """Whether the row only says that there is no figure."""
        return self in (Standing.NO_PUBLISHED_LIMIT, Standing.NOT_YET_SOURCED)


class SourceRef(Struct, frozen=True):
    """A source as a limit or a toxic entry cites it: bibliography key and place in the work."""

    key: str
    locator: str = ""


class Limit(Struct, frozen=True, kw_only=True):
    """One limit. `at_least` and `at_most` are in `unit`, reckoned on `basis`, over `over`.

    `evidence` and `seen` are the marks of the fact files: what kind of work the figure stands in,
    and whether that work itself was read. `values` holds further named figures of the row, such
    as a number of feeds.
    """

    id: str
    quantity: str
    taxon: str
    unit: str
    basis: str
    over: str
    severity: str
    standing: Standing
    at_least: Decimal | None = None
    at_most: Decimal | None = None
    stage: str | None = None
    condition: str | None = None
    evidence: str = ""
    seen: str = ""
    sources: tuple[SourceRef, ...] = ()
    note: str = ""
    set_by: str = ""
    on: str = ""
    group: str | None = None
    food: str | None = None  # a food or class of food, where the limit is on that alone
    place: Pointer | None = None

    def stands(self, figure: Interval) -> str:
        """Whether a figure is `inside`, `past` or `across` the limit."""
        return figure.stands(at_least=self.at_least, at_most=self.at_most)

    def strictness(self) -> tuple[Decimal, Decimal]:
        """Smaller is stricter: a lower ceiling, then a higher floor. Of rows in one unit."""
        infinite = Decimal("Infinity")
        ceiling = infinite if self.at_most is None else self.at_most
        floor = infinite if self.at_least is None else -self.at_least
        return ceiling, floor


class Applied(Struct, frozen=True):
    """The limit that applies to a group, and the others that were looked at."""

    limit: Limit
    others: tuple[Limit, ...] = ()


class Limits:
    """The limits of one rule, bundled and site, ready to be looked up."""

    def __init__(self, rows: Iterable[Limit]) -> None:
        self.rows: tuple[Limit, ...] = tuple(rows)
        self._by_quantity: Mapping[str, list[Limit]] = _by_quantity(self.rows)
        # Which groups have rows of their own for a quantity; all others of a taxon are alike.
        self._own = {(row.quantity, row.group) for row in self.rows if row.group}
        self._found: dict[Hashable, Any] = {}

    def applying(
        self,
        group: Group,
        quantity: str,
        *,
        basis: str | None = None,
        over: str | None = None,
        stage: str | None = None,
    ) -> Applied | None:
        """The limit for a quantity and a group, or None when no row covers its taxon.

        `basis` and `over` narrow the rows where a quantity is limited in several ways. `stage`
        is the animal's life stage; rows for another stage are passed over. Rows with a condition
        never apply to a taxon as a whole. A row that only says that no figure is published is
        returned when it is the most specific one.
        """
        key = self._alike(group, quantity), quantity, basis, over, stage
        if key not in self._found:
            fitting = [
                row
                for row in self._fitting(group, quantity, stage)
                if (over is None or row.over == over) and (basis is None or row.basis == basis)
            ]
            self._found[key] = strictest(fitting, group.taxon)
        found: Applied | None = self._found[key]
        return found

    def each(self, group: Group, quantity: str, *, stage: str | None = None) -> tuple[Applied, ...]:
        """Every limit for a quantity that applies side by side: one for each unit, basis and span,
        and one for each side where the strictest ceiling and the strictest floor differ.

        Of the bundled rows those of the most specific taxon count, whatever they are reckoned on.
        A site limit replaces the unsourced rows of its basis over every span.
        """
        key = self._alike(group, quantity), quantity, stage
        if key not in self._found:
            self._found[key] = tuple(self._each(group, quantity, stage))
        found: tuple[Applied, ...] = self._found[key]
        return found

    def _alike(self, group: Group, quantity: str) -> str:
        """What groups that have the same limits have in common."""
        own = (quantity, group.id) in self._own
        return f"group {group.id}" if own else group.taxon.scientific_name

    def _each(self, group: Group, quantity: str, stage: str | None) -> Iterator[Applied]:
        fitting = self._fitting(group, quantity, stage)
        bundled = [row for row in fitting if row.standing is not Standing.SITE_RULE]
        nearest = min((group.taxon.rank_distance(row.taxon) for row in bundled), default=0)
        set_here = {row.basis for row in fitting if row.standing is Standing.SITE_RULE}
        standing: dict[tuple[str, str, str], list[Limit]] = {}
        for row in fitting:
            if row.standing is not Standing.SITE_RULE:
                if group.taxon.rank_distance(row.taxon) != nearest:
                    continue
                if row.basis in set_here and row.standing is not Standing.PUBLISHED:
                    continue
            standing.setdefault((row.unit, row.basis, row.over), []).append(row)
        for rows in standing.values():
            yield from _both_sides(rows, group.taxon)

    def on_foods(self, group: Group, quantity: str, *, stage: str | None = None) -> list[Limit]:
        """The limits on single foods or classes of food; `applying` and `each` never return one.

        Of the bundled rows on one food those of the most specific taxon count; all rows of the
        site stand beside them.
        """
        fitting = [
            row
            for row in self._by_quantity.get(quantity, ())
            if row.condition is None and row.food is not None and self._covers(row, group, stage)
        ]
        nearest: dict[str, int] = {}
        for row in fitting:
            if row.standing is not Standing.SITE_RULE and row.food is not None:
                distance = group.taxon.rank_distance(row.taxon)
                nearest[row.food] = min(distance, nearest.get(row.food, distance))
        return [
            row
            for row in fitting
            if row.standing is Standing.SITE_RULE
            or group.taxon.rank_distance(row.taxon) == nearest[row.food or ""]
        ]

    @staticmethod
    def _covers(row: Limit, group: Group, stage: str | None) -> bool:
        return (row.stage in (None, "all") or row.stage == (stage or "adult")) and (
            row.group == group.id if row.group else group.taxon.is_in(row.taxon)
        )

    def _fitting(self, group: Group, quantity: str, stage: str | None) -> list[Limit]:
        return [
            row
            for row in self._by_quantity.get(quantity, ())
            if row.condition is None and row.food is None and self._covers(row, group, stage)
        ]


def _both_sides(rows: Sequence[Limit], taxon: Taxon) -> Iterator[Applied]:
    """The strictest ceiling and the strictest floor; one where one row is both."""
    capped = [row for row in rows if row.at_most is not None or row.standing.is_absence]
    floored = [row for row in rows if row.at_least is not None]
    ceiling, floor = strictest(capped, taxon), strictest(floored, taxon)
    if ceiling is not None and (floor is None or floor.limit is not ceiling.limit):
        yield ceiling
    if floor is not None:
        yield floor


def strictest(fitting: Sequence[Limit], taxon: Taxon) -> Applied | None:
    """Of the rows that fit, the one that applies, with the others beside it.

    The rows bound one side, or both together: a ceiling would hide a floor of another row.
    """
    site = [row for row in fitting if row.standing is Standing.SITE_RULE]
    bundled = [row for row in fitting if row.standing is not Standing.SITE_RULE]
    if bundled:
        nearest = min(taxon.rank_distance(row.taxon) for row in bundled)
        bundled = [row for row in bundled if taxon.rank_distance(row.taxon) == nearest]
    published = [row for row in bundled if row.standing is Standing.PUBLISHED]
    contest = published + site if site else bundled
    if not contest:
        return None
    chosen = min(contest, key=lambda row: (row.standing.is_absence, row.strictness()))
    return Applied(chosen, tuple(row for row in (*bundled, *site) if row is not chosen))


def _by_quantity(rows: Iterable[Limit]) -> Mapping[str, list[Limit]]:
    table: dict[str, list[Limit]] = {}
    for row in rows:
        table.setdefault(row.quantity, []).append(row)
    return table
