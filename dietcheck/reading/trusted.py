"""Reads the YAML tables that ship with rule packs, by the same reader as the records.

Reading them costs more than judging a small collection, so what they hold is kept from run to run,
under the digest of their bytes and of this program.
"""

from __future__ import annotations

import hashlib
from decimal import Decimal
from typing import Any

import msgspec

from dietcheck.remembering.program import of_program
from dietcheck.remembering.store import Store

_JSON = msgspec.json.Encoder(decimal_format="number")
_OF_JSON = msgspec.json.Decoder(float_hook=Decimal)


class _Kept:
    """The tables that former runs read: digest → JSON; and whether this run read any more."""

    def __init__(self) -> None:
        self._store = Store()
        program = of_program() if self._store.folder else None
        self._key = None if program is None else f"tables-{program}"
        parts = (self._key and self._store.load(self._key)) or []
        self._texts = dict(zip(parts[::2], parts[1::2], strict=False))
        self._is_new = False

    def find(self, raw: bytes) -> tuple[Any] | None:
        """What a table holds, if a former run has read it."""
        text = self._texts.get(_name(raw))
        return None if text is None else (_decoded(text),)

    def add(self, raw: bytes, data: Any) -> None:
        """Note what a table holds, if JSON can say it to the letter."""
        if self._key is None:
            return
        try:
            text = _JSON.encode(data)
            same = repr(_decoded(text)) == repr(data)
        except (TypeError, ValueError, OverflowError):
            return
        if same:
            self._texts[_name(raw)] = text
            self._is_new = True

    def save(self) -> None:
        """Keep it for later runs."""
        if self._is_new and self._key is not None:
            self._store.save(self._key, (part for one in self._texts.items() for part in one))


_kept: list[_Kept] = []  # one, from the first table on


def read_trusted(raw: bytes) -> Any:
    """The contents of a table that came with an installed package.

    Raises ValueError with the first fault and its line: a fault of the package, not of the user.
    """
    if not _kept:
        _kept.append(_Kept())
    if found := _kept[0].find(raw):
        return found[0]
    from dietcheck.reading.check import read_loosely

    data, flaws = read_loosely(raw)
    if flaws:
        problem = flaws[0].of("table")
        raise ValueError(f"line {problem.line}: {problem.message}")
    _kept[0].add(raw, data)
    return data


def keep_tables() -> None:
    """Keep the tables that this run had to read; later runs find them, also of other folders."""
    while _kept:
        _kept.pop().save()


def _name(raw: bytes) -> bytes:
    return hashlib.sha256(raw).digest()


def _decoded(text: bytes) -> Any:
    return _OF_JSON.decode(text)
