"""Sources of a table's row as a finding names them."""

from collections.abc import Iterable

from dietcheck.contract import SourceRef


def refs(keys: Iterable[str]) -> tuple[SourceRef, ...]:
    """Sources by key, each once."""
    return tuple(SourceRef(key) for key in dict.fromkeys(keys))
