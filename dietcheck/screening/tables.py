"""Reads a rule's limit table, and lays the site's own limits over it.

A row says: id, taxon, quantity, at_most and/or at_least (a bound phrase such as `6 g per kg body
mass`), over, severity, standing, and for a published figure source, locator, evidence and seen.
An absence (`no published limit`, `limit not yet sourced`) has no bound.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from dietcheck.collection.settings import SiteLimit
from dietcheck.quantities import Bound, QuantityError, read_bound
from dietcheck.reading import read_trusted
from dietcheck.screening.checks import Severity
from dietcheck.screening.limits import Limit, SourceRef, Standing

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

REQUIRED = frozenset({"id", "taxon", "quantity", "over", "severity", "standing"})
KNOWN = REQUIRED | {
    "at_most", "at_least", "stage", "condition", "evidence", "seen", "source", "locator", "note",
    "unit", "basis", "food",
}  # fmt: skip
WINDOWS = frozenset({"meal", "day", "7 days", "14 days", "90 days", "rota", "two feeds"})
PUBLISHED_NEEDS = ("source", "locator", "evidence", "seen")


class TableError(Exception):
    """A rule's limit table is wrong. A fault of the rule, never of the user."""


def bundled_limits(folder: Traversable) -> tuple[Limit, ...]:
    """The rows of `limits.yaml` in a rule's folder. Raises TableError."""
    return _rows(folder.joinpath("limits.yaml").read_bytes())


@lru_cache(256)
def _rows(table: bytes) -> tuple[Limit, ...]:
    """The rows of a table. Read once, however often a collection is judged in one run."""
    rows = tuple(_row(row) for row in read_trusted(table)["limits"])
    ids = [row.id for row in rows]
    if len(ids) != len(set(ids)):
        raise TableError("two rows have one id")
    return rows


def site_limits(limits: Iterable[SiteLimit], quantities: frozenset[str]) -> Iterator[Limit]:
    """The site's own limits for these quantities, as rows."""
    for number, limit in enumerate(limits, 1):
        if limit.quantity in quantities:
            yield _site_row(number, limit)


def _row(row: Mapping[str, Any]) -> Limit:
    name = row.get("id", "a row without id")
    if missing := REQUIRED - row.keys():
        raise TableError(f"{name}: missing {', '.join(sorted(missing))}")
    if unknown := row.keys() - KNOWN:
        raise TableError(f"{name}: unknown {', '.join(sorted(unknown))}")
    standing = Standing(row["standing"])
    if standing is Standing.PUBLISHED and not all(row.get(key) for key in PUBLISHED_NEEDS):
        raise TableError(f"{name}: a published limit needs {', '.join(PUBLISHED_NEEDS)}")
    if row["over"] not in WINDOWS:
        raise TableError(f"{name}: over must be one of {', '.join(sorted(WINDOWS))}")
    low, high = _bounds(name, row, standing)
    unit, basis = _unit(name, row, low, high)
    locator = row.get("locator") or ""
    return Limit(
        id=name,
        quantity=row["quantity"],
        taxon=row["taxon"],
        unit=unit,
        basis=basis,
        over=row["over"],
        severity=Severity(row["severity"]).value,
        standing=standing,
        at_least=low.value if low else None,
        at_most=high.value if high else None,
        stage=row.get("stage"),
        condition=row.get("condition"),
        evidence=row.get("evidence", ""),
        seen=row.get("seen", ""),
        sources=tuple(SourceRef(key, locator) for key in row.get("source", ())),
        note=row.get("note") or "",
        food=row.get("food"),
    )


def _bounds(
    name: str, row: Mapping[str, Any], standing: Standing
) -> tuple[Bound | None, Bound | None]:
    try:
        low = read_bound(row["at_least"]) if row.get("at_least") else None
        high = read_bound(row["at_most"]) if row.get("at_most") else None
    except QuantityError as error:
        raise TableError(f"{name}: {error}") from error
    if standing.is_absence == (low is not None or high is not None):
        raise TableError(f"{name}: exactly the absences stand without a bound")
    if low and high and low.value > high.value:
        raise TableError(f"{name}: the floor lies above the ceiling")
    return low, high


def _unit(
    name: str, row: Mapping[str, Any], low: Bound | None, high: Bound | None
) -> tuple[str, str]:
    units = {(bound.unit, bound.basis) for bound in (low, high) if bound}
    if len(units) > 1:
        raise TableError(f"{name}: floor and ceiling have different units")
    return units.pop() if units else (row.get("unit", ""), row.get("basis", ""))


def _site_row(number: int, limit: SiteLimit) -> Limit:
    bound = limit.at_most or limit.at_least
    return Limit(
        id=f"site-{number}",
        quantity=limit.quantity,
        taxon=limit.taxon or "",
        group=limit.group,
        food=limit.food,
        unit=bound.unit if bound else "",
        basis=bound.basis if bound else "",
        over=limit.over,
        severity=limit.severity,
        standing=Standing.SITE_RULE,
        at_least=limit.at_least.value if limit.at_least else None,
        at_most=limit.at_most.value if limit.at_most else None,
        stage=limit.stage,
        evidence="site rule",
        note=limit.why if not limit.source else f"{limit.why} ({limit.source})",
        set_by=limit.set_by,
        on=limit.on.isoformat(),
        place=limit.place,
    )
