"""Data that former runs have read, by the digest of the bytes that it was read from.

Reading YAML takes most of the time of reading; JSON says the same in a twentieth of it. Only what
JSON says to the letter is kept, to the type of each figure.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from decimal import Decimal
from typing import Any

import msgspec

from dietcheck.remembering.program import program_seen
from dietcheck.remembering.store import Store, digest, encoded

_TO_JSON = msgspec.json.Encoder(decimal_format="number")
_OF_JSON = msgspec.json.Decoder(float_hook=Decimal)


class Kept:
    """What is kept of one kind, in one place, by this program; empty where nothing may be kept."""

    def __init__(self, kind: str, place: str = "") -> None:
        self._store = Store()
        program = program_seen() if self._store.folder else None
        self._key = program and f"{kind}-{digest(map(encoded, (program, place)))}"
        parts = (self._key and self._store.load(self._key)) or []
        self._former = dict(zip(parts[::2], parts[1::2], strict=False))
        self.is_new = False  # whether there was anything that no former run had read

    def find(self, raw: bytes) -> tuple[Any] | None:
        """What these bytes hold, in a tuple, if a former run has read them."""
        text = self._former.get(_name(raw))
        if text is None:
            self.is_new = True
            return None
        return (_OF_JSON.decode(text),)

    def text_of(self, raw: bytes, data: Any) -> bytes | None:
        """The data of these bytes as it is kept, if it can be."""
        return self._former.get(_name(raw)) or _written(data)

    def add(self, raw: bytes, data: Any) -> None:
        """Note what these bytes hold."""
        if self._key and (text := _written(data)) is not None:
            self._former[_name(raw)] = text
            self.is_new = True

    def save(self) -> None:
        """Keep what was there and what was added."""
        if self.is_new:
            self.save_only(self._former.items())

    def save_only(self, texts: Iterable[tuple[bytes, bytes]]) -> None:
        """Keep these alone."""
        if self._key:
            self._store.save(self._key, (part for one in texts for part in one))


def _name(raw: bytes) -> bytes:
    return hashlib.sha256(raw).digest()


def _written(data: Any) -> bytes | None:
    """Data as JSON, if that says the same to the letter."""
    try:
        text = _TO_JSON.encode(data)
        return text if repr(_OF_JSON.decode(text)) == repr(data) else None
    except (TypeError, ValueError, OverflowError):
        return None


_records: list[Kept] = []


@contextmanager
def records_kept(folder: str | os.PathLike[str]) -> Iterator[None]:
    """Inside, the next repository to be read finds its records as they were read before."""
    _records.append(Kept("records", os.path.realpath(folder)))
    try:
        yield
    finally:
        _records.clear()


def kept_record(raw: bytes) -> tuple[Any] | None:
    """What a record of these bytes holds, in a tuple; only ever of one without any fault."""
    return _records[-1].find(raw) if _records else None


def keep_records(records: Iterable[tuple[bytes, Any]]) -> None:
    """Keep the records of a repository that has been read, bytes and data of those without a fault.

    One at a time, so that it takes no room. What the repository no longer holds is let go of.
    """
    if _records and (kept := _records.pop()).is_new:
        texts = ((_name(raw), kept.text_of(raw, data)) for raw, data in records)
        kept.save_only((name, text) for name, text in texts if text is not None)
