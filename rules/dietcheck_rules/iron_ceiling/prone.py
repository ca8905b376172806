"""Which animals store iron, by the works that say so."""

from functools import cache

from msgspec import Struct

from dietcheck.contract import SourceRef, Taxon, files, read_trusted


class Prone(Struct, frozen=True):
    """A taxon that stores iron. `batch`: its works ask for an analysis of each batch of feed."""

    taxon: str
    sources: tuple[SourceRef, ...]
    batch: bool


def prone_of(taxon: Taxon) -> Prone | None:
    """The most specific row of prone.yaml that holds for a species; None for all others."""
    rows = [row for row in _table() if taxon.is_in(row.taxon)]
    return min(rows, key=lambda row: taxon.rank_distance(row.taxon), default=None)


@cache
def _table() -> tuple[Prone, ...]:
    data = read_trusted(files(__package__).joinpath("prone.yaml").read_bytes())
    return tuple(
        Prone(row["taxon"], tuple(SourceRef(key) for key in row["source"]), row.get("batch", False))
        for row in data["prone"]
    )
