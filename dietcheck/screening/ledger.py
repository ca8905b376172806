"""The ledger of a run: every check that was made, in pages, those that found something at hand.

Nine checks in ten are kept or do not apply, and most reports only count them. So the page of a
group is packed into few bytes as soon as the group is judged, and unpacked for whoever asks.
"""

from __future__ import annotations

import zlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal, DecimalException
from typing import Any, TypeVar

import msgspec
from msgspec import Struct

from dietcheck.quantities import Interval
from dietcheck.screening.checks import Verdict
from dietcheck.screening.findings import Judged

Kind = TypeVar("Kind")


class Page(Struct, frozen=True):
    """The checks on one group or on the whole, in the order they were made.

    `open` are those that found something or could not tell. All of them are either `loose` or
    `packed`.
    """

    open: tuple[Judged, ...]
    counts: Mapping[Verdict, int]
    packed: bytes = b""
    loose: tuple[Judged, ...] = ()

    @classmethod
    def of(cls, judged: Sequence[Judged]) -> Page:
        """A page as it is."""
        found = tuple(j for j in judged if j.check.verdict in (Verdict.BREACH, Verdict.CANNOT_TELL))
        return cls(found, dict(Counter(j.check.verdict for j in judged)), loose=tuple(judged))

    @classmethod
    def packed_of(cls, judged: Sequence[Judged]) -> Page:
        """A page made small, if it comes back just as it was."""
        page = cls.of(judged)
        try:
            packed = written(page.loose)
            if read(packed, tuple[Judged, ...]) != page.loose:
                return page
        except UNUSABLE:
            return page
        return cls(page.open, page.counts, packed=packed)

    def judged(self) -> tuple[Judged, ...]:
        """Every check."""
        return read(self.packed, tuple[Judged, ...]) if self.packed else self.loose


class Ledger:
    """The pages of a run, read as one list of checks."""

    def __init__(self, pages: Iterable[Page]) -> None:
        self._pages = tuple(pages)

    def __iter__(self) -> Iterator[Judged]:
        return (one for page in self._pages for one in page.judged())

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Ledger) and list(self) == list(other)

    __hash__ = None  # type: ignore[assignment]

    def open(self) -> Iterator[Judged]:
        """The checks that found something or could not tell."""
        return (one for page in self._pages for one in page.open)

    def count(self, verdict: Verdict) -> int:
        """How many checks came out so."""
        return sum(page.counts.get(verdict, 0) for page in self._pages)


UNUSABLE = (zlib.error, ValueError, TypeError, DecimalException, msgspec.MsgspecError)


def written(thing: object) -> bytes:
    """Values as few bytes; one of `UNUSABLE` for what cannot be written."""
    return zlib.compress(_WRITER.encode(thing), 1)


def read(raw: bytes, kind: type[Kind]) -> Kind:
    """The values again; one of `UNUSABLE` for bytes that hold no such thing."""
    return msgspec.msgpack.decode(zlib.decompress(raw), type=kind, dec_hook=_made)


def _plain(thing: object) -> object:
    if isinstance(thing, Interval):
        return [None if end is None else str(end) for end in (thing.low, thing.high, thing.best)]
    raise TypeError(f"a check holds no {type(thing).__name__}")


def _made(kind: type, plain: Any) -> object:
    assert kind is Interval  # nothing else of ours is written by `_plain`
    low, high, best = plain
    return Interval(Decimal(low), Decimal(high), None if best is None else Decimal(best))


_WRITER = msgspec.msgpack.Encoder(enc_hook=_plain)
