"""Species and everything above them, so that a limit for Lemuridae reaches a ring-tailed lemur.

A lineage is NCBI Taxonomy's (September 2024) with the traditional class (Reptilia, which NCBI
lacks), AviList's order and family for birds, and the genus and species in use where NCBI files
the animal under another name. taxa.csv holds the species; more_taxa.csv the other names that
published limits speak of. Older names are found through taxon_synonyms.csv; where no source was
read the row there says "memory".
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from itertools import chain

from msgspec import Struct

from dietcheck.tables.csv_table import table

_TABLES = ("taxa", "more_taxa")
_LONGEST = 80  # letters of a name worth comparing; likeness costs time in its square
_CLOSE = 0.7  # below this likeness a suggestion misleads more than it helps


class Taxon(Struct, frozen=True):
    """A species with the names above it, widest first; the last one is the species itself."""

    scientific_name: str
    english_name: str
    lineage: tuple[str, ...]

    def is_in(self, name: str) -> bool:
        """Whether the species is the named taxon or belongs to it; older names are understood."""
        return not _names_meant(name).isdisjoint(self.lineage)

    def rank_distance(self, name: str) -> int:
        """Steps from the species up to the named taxon, 0 for the species itself.

        Of several limits the one with the smallest distance is the most specific. Raises
        ValueError if the species does not belong to the taxon.
        """
        meant = _names_meant(name)
        for distance, own in enumerate(reversed(self.lineage)):
            if own in meant:
                return distance
        raise ValueError(f"{self.scientific_name} does not belong to {name}")

    @property
    def order(self) -> str:
        """Its order, such as Carnivora; "" where the table knows none (NCBI has none for tenrecs).

        Where NCBI and AviList differ on a bird, the one that stands nearer to the species.
        """
        return next((name for name in reversed(self.lineage) if name in _orders()), "")


def order_of(name: str) -> str:
    """The order that a species, genus, family or suborder is in; "" for anything wider or unknown.

    So that one can ask which animals are of one order: `order_of("Felidae") == panda.order`.
    """
    meant = _names_meant(name)
    for names in _lineages():
        for at, own in enumerate(names):
            if own in meant:
                return Taxon("", "", names[: at + 1]).order
    return ""


def find_taxon(name: str) -> Taxon | None:
    """The bundled species of that scientific name, current or older; None if unknown.

    The result carries the accepted name, so `result.scientific_name != name` tells a caller
    that an older name was written.
    """
    return _named(accepted_name(name))


def accepted_name(name: str) -> str:
    """The name in use for an older one; any other name comes back with its spaces tidied."""
    tidy = _tidy(name)
    return _synonyms().get(tidy, tidy)


def known_taxon_name(name: str) -> bool:
    """Whether the name is a species, or any taxon above one, that the table knows."""
    return not _names_meant(name).isdisjoint(_known_names())


def near_taxa(name: str, most: int = 3) -> tuple[str, ...]:
    """Accepted names most like the one written; English names are understood too."""
    from difflib import get_close_matches

    wanted = _tidy(name).casefold()
    targets = _suggestions()
    if wanted in targets:
        return (targets[wanted],)
    if len(wanted) > _LONGEST:
        return ()
    close = get_close_matches(wanted, targets, n=most * 2, cutoff=_CLOSE)
    return tuple(dict.fromkeys(targets[hit] for hit in close))[:most]


def species_names() -> tuple[str, ...]:
    """The accepted names of all bundled species."""
    return tuple(name for part in _TABLES for name in table(part).names() if " " in name)


def taxon_from_lineage(species: str, lineage: Sequence[str], english_name: str = "") -> Taxon:
    """A taxon for a species outside the table, from the names somebody wrote above it.

    Names between and above those written are filled in from the table where it knows them, so
    that Felidae alone also brings Carnivora and Mammalia. Raises ValueError if none of the names
    is known, or if two known ones do not belong together.
    """
    written = [accepted_name(name) for name in lineage]
    known = _common_lineage(species, written)
    full: list[str] = []
    done = 0
    for name in written:
        if name not in known:
            full.append(name)
            continue
        upto = known.index(name) + 1
        if upto <= done:
            raise ValueError(f"{name} does not belong to {known[done - 1]}")
        full += known[done:upto]
        done = upto
    tidy = _tidy(species)
    full += [name for name in (tidy.split(" ")[0], tidy) if name not in full]
    return Taxon(tidy, english_name, tuple(full))


def _common_lineage(species: str, written: Sequence[str]) -> list[str]:
    """What every bundled lineage through the known ones of these names has in common."""
    through: list[tuple[str, ...]] = list(_lineages())
    last = ""
    for name in filter(_known_names().__contains__, written):
        fitting = [names for names in through if name in names]
        if not fitting:
            raise ValueError(f"{name} does not belong to {last}")
        through, last = fitting, name
    if not last:
        raise ValueError(f"none of the names above {species} is known: {', '.join(written)}")
    return [name for name in through[0] if all(name in names for names in through)]


def _tidy(name: str) -> str:
    return " ".join(name.split())


@cache
def _synonyms() -> Mapping[str, str]:
    return {row["name"]: row["accepted"] for row in table("taxon_synonyms").all_rows()}


@cache
def _names_meant(name: str) -> frozenset[str]:
    """The name written and the accepted one: a lineage may hold either."""
    return frozenset((_tidy(name), accepted_name(name)))


@cache
def _named(name: str) -> Taxon | None:
    if " " not in name:  # a genus or a family is no animal's species
        return None
    for part in _TABLES:
        for row in table(part).rows(name):
            return Taxon(name, row["english_name"], tuple(row["lineage"].split(">")))
    return None


@cache
def _lineages() -> tuple[tuple[str, ...], ...]:
    cells = (cell for part in _TABLES for _, cell in table(part).last_cells())
    return tuple(tuple(cell.split(">")) for cell in cells)


@cache
def _orders() -> frozenset[str]:
    rows = tuple(table("taxa").all_rows())
    return frozenset(row[key] for row in rows for key in ("order", "avilist_order")) - {""}


@cache
def _known_names() -> frozenset[str]:
    return frozenset(name for names in _lineages() for name in names)


@cache
def _suggestions() -> Mapping[str, str]:
    """Everything somebody may write, in small letters, with the accepted name it stands for."""
    names = {name.casefold(): name for name in _known_names()}
    names |= {old.casefold(): new for old, new in _synonyms().items()}
    for row in chain.from_iterable(table(part).all_rows() for part in reversed(_TABLES)):
        for english in (row["english_name"], row.get("avilist_common_name")):
            if english:
                names[english.casefold()] = row["scientific_name"]
    return names
