"""Data that former runs have read, by the digest of the bytes that it was read from.

Reading YAML takes most of the time of reading; JSON says the same in a twentieth of it. Only what
JSON says to the letter is kept, to the type of each figure.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal
from typing import Any

import msgspec

from dietcheck.remembering.program import of_program
from dietcheck.remembering.store import Store, digest, encoded

_TO_JSON = msgspec.json.Encoder(decimal_format="number")
_OF_JSON = msgspec.json.Decoder(float_hook=Decimal)


class Kept:
    """What is kept of one kind, in one place, by this program; empty where nothing may be kept.

    What a run that found something new did not use is let go of, but for a kind without places.
    """

    def __init__(self, kind: str, place: str = "") -> None:
        self._store = Store()
        program = of_program() if self._store.folder else None
        self._key = program and f"{kind}-{digest(map(encoded, (program, place)))}"
        parts = (self._key and self._store.load(self._key)) or []
        self._former = dict(zip(parts[::2], parts[1::2], strict=False))
        self._used: dict[bytes, bytes] = {} if place else dict(self._former)
        self._is_new = False

    def find(self, raw: bytes) -> tuple[Any] | None:
        """What these bytes hold, in a tuple, if a former run has read them."""
        name = hashlib.sha256(raw).digest()
        text = self._former.get(name)
        if text is None:
            return None
        self._used[name] = text
        return (_OF_JSON.decode(text),)

    def add(self, raw: bytes, data: Any) -> None:
        """Note what these bytes hold."""
        if not self._key:
            return
        try:
            text = _TO_JSON.encode(data)
            is_same = repr(_OF_JSON.decode(text)) == repr(data)
        except (TypeError, ValueError, OverflowError):
            return
        if is_same:
            self._used[hashlib.sha256(raw).digest()] = text
            self._is_new = True

    def save(self) -> None:
        """Keep what this run has read, if there was anything new."""
        if self._is_new and self._key:
            self._store.save(self._key, (part for one in self._used.items() for part in one))


_records: list[Kept] = []


@contextmanager
def records_kept(folder: str | os.PathLike[str]) -> Iterator[None]:
    """Inside, the records of a folder are found as they were read before, and kept afterwards."""
    kept = Kept("records", os.path.realpath(folder))
    _records.append(kept)
    try:
        yield
    finally:
        _records.remove(kept)
    kept.save()


def kept_record(raw: bytes) -> tuple[Any] | None:
    """What a record of these bytes holds, in a tuple; only ever of one without any fault."""
    return _records[-1].find(raw) if _records else None


def keep_record(raw: bytes, data: Any) -> None:
    """Note what a record without any fault holds."""
    if _records:
        _records[-1].add(raw, data)
