"""What must hold whatever the bytes are: one function a target, for a fuzzer and for the tests.

A target takes any bytes and raises if a law is broken: nothing ever raises but the refusals that
are meant, and what cannot be read is never taken as read.
"""

from __future__ import annotations

import json
import random
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from functools import cache
from typing import Any

from dietcheck.collection.build import build
from dietcheck.collection.places import Pointer
from dietcheck.history.lookback import NO_LOOKBACK, Lookback
from dietcheck.quantities import (
    Interval,
    QuantityError,
    read_amount,
    read_born,
    read_bound,
    read_content,
    read_count,
    read_date,
    read_density,
    read_mass,
    read_period,
    read_share,
)
from dietcheck.reading import check_file
from dietcheck.reading.check import read_loosely
from dietcheck.reading.problems import Flaw, Problem
from dietcheck.screening.checks import Severity
from dietcheck.screening.packs import LoadedRule, load_packs
from dietcheck.screening.report import Report
from dietcheck.screening.screen import screen
from tests import records
from tests.reading.mutants import sound_records, spoil

READERS: tuple[Callable[[str], object], ...] = (
    read_born,
    read_amount,
    read_mass,
    read_share,
    read_period,
    read_density,
    read_content,
    read_bound,
    read_date,
    read_count,
)


def quantity(raw: bytes) -> None:
    """Every reader of a quantity gives a sound value or a refusal that can be printed."""
    text = raw.decode("utf-8", "surrogateescape")
    for reader in READERS:
        try:
            value = getattr(reader, "__wrapped__", reader)(text)
        except QuantityError as refusal:
            _printable(refusal)
        else:
            assert len(text) <= 80, text
            for found in _intervals(value):
                assert 0 <= found.low <= found.high, text
                assert found.low.is_finite(), text


def _intervals(value: object) -> Iterator[Interval]:
    """The ranges in what a reader gave."""
    if isinstance(value, Interval):
        yield value
        return
    for name in ("quantity", "interval", "value"):
        inner = getattr(value, name, None)
        if isinstance(inner, Interval):
            yield inner
        elif isinstance(inner, Decimal):
            assert inner.is_finite()


def reader(raw: bytes) -> None:
    """Any file becomes plain data or problems with a place, and the data holds nothing odd."""
    data, flaws = read_loosely(raw)
    lines = raw.count(b"\n") + 1
    for flaw in flaws:
        assert 1 <= flaw.place.line <= lines
        _printable(flaw)
    if not flaws:
        _plain(data)


def _plain(value: Any, depth: int = 0) -> None:
    assert depth <= 40
    if isinstance(value, dict):
        for name, inner in value.items():
            assert type(name) is str
            _plain(inner, depth + 1)
    elif isinstance(value, list):
        for inner in value:
            _plain(inner, depth + 1)
    elif isinstance(value, Decimal):
        assert value.is_finite()
    else:
        assert value is None or type(value) in (str, int, bool)


def _printable(told: Flaw | Problem | QuantityError) -> None:
    assert told.message
    assert told.remedy
    said = told.message + told.remedy
    assert said.isprintable()
    assert len(said) < 1000


def record(raw: bytes) -> None:
    """Any bytes as a record: checked data or problems, never both and never neither."""
    _checked(raw)
    _checked(_spoilt(raw))


def _checked(raw: bytes) -> None:
    facts = check_file.__wrapped__("any.yaml", raw)
    assert (facts.data is None) is bool(facts.problems)
    assert len(facts.problems) <= 21
    for problem in facts.problems:
        assert problem.line >= 1
        assert problem.column >= 1
        _printable(problem)
    if facts.data is not None and facts.kind != "collection":
        settings = check_file("dietcheck.yaml", records.settings().encode())
        assert settings.data is not None
        # A record that is right by itself can be linked, or what does not link is told.
        collection = build(
            [(Pointer("dietcheck.yaml"), settings.data), (Pointer("any.yaml"), facts.data)]
        )
        for trouble in collection.troubles:
            assert trouble.message


@cache
def _sound() -> list[tuple[str, Any]]:
    return sound_records()


def _spoilt(raw: bytes) -> bytes:
    """A sound record that the bytes choose, with one to three things changed as they say."""
    kept = _sound()
    _, data = kept[(raw[0] if raw else 0) % len(kept)]
    return as_yaml(spoil(data, _Die(raw[1:])))


class _Die(random.Random):
    """Chance that reads its throws from bytes, so that a fuzzer can steer it."""

    def __init__(self, raw: bytes) -> None:
        super().__init__(0)
        self._raw = raw
        self._at = 0

    def random(self) -> float:
        """The next byte as a share of 256; once they are used up, ordinary chance."""
        if self._at >= len(self._raw):
            return super().random()
        self._at += 1
        return self._raw[self._at - 1] / 256

    def getrandbits(self, k: int, /) -> int:
        """As many bits from the bytes."""
        return int(self.random() * (1 << k))


def as_yaml(value: Any) -> bytes:
    """Data as a text that is YAML too: JSON, with numbers as they are."""
    return _text(value).encode("utf-8", "backslashreplace")


def _text(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_quoted(k)}: {_text(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_text, value)) + "]"
    if isinstance(value, str):
        return _quoted(value)
    return (
        {True: "true", False: "false", None: "null"}.get(value, str(value))
        if not isinstance(value, int | Decimal) or isinstance(value, bool)
        else str(value)
    )


def _quoted(text: str) -> str:
    return json.dumps(text)


@cache
def rules(names: tuple[str, ...]) -> tuple[LoadedRule, ...]:
    """The installed rules, asked for once."""
    return load_packs(names)


class Bytes:
    """A source of records held in memory as bytes: file name → content."""

    def __init__(self, files: Mapping[str, bytes]) -> None:
        self._files = files

    def names(self) -> list[str]:
        """The file names, sorted."""
        return sorted(self._files)

    def read(self, name: str) -> bytes:
        """The bytes of one file."""
        return self._files[name]

    def problems(self) -> tuple[Problem, ...]:
        """None: memory has no unreadable files."""
        return ()

    def describe(self) -> str:
        """What was read."""
        return "records in memory"


def judged(
    files: Mapping[str, bytes], drafts: Mapping[str, bytes], earlier: Lookback = NO_LOOKBACK
) -> Report:
    """The report on a collection by all rules; a rule that fails is a mistake of ours."""
    report = screen(
        Bytes(files),
        records.ON,
        list(drafts.items()),
        load=lambda names: rules(tuple(n for n in names if n == "dietcheck_rules")),
        earlier=earlier,
    )
    failed = [(f.rule, f.what) for f in report.failures]
    assert not failed, failed
    return report


PARK = {name: text.encode() for name, text in records.small().items()}


def draft(raw: bytes) -> None:
    """Any bytes laid over a park as a draft: always a report, and never a pass if unreadable."""
    for one in (raw, _spoilt(raw)):
        facts = check_file.__wrapped__("draft.yaml", one)
        report = judged(PARK, {"draft.yaml": one})
        if facts.problems:
            assert report.status(Severity.HIGH) != 0
            assert any(
                place.file == "draft.yaml" for f in report.findings for place in f.check.places
            )


TARGETS: Mapping[str, Callable[[bytes], None]] = {
    "quantity": quantity,
    "reader": reader,
    "record": record,
    "draft": draft,
}
