"""The reader of YAML: what plain words mean, what is refused, and that both parsers agree."""

from __future__ import annotations

import random
from decimal import Decimal
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from dietcheck.reading import events, positions, stream
from dietcheck.reading.events import build
from tests.reading.mutants import EXAMPLE

# YAML 1.1 readers take many of these for something else: 660, 8, True, a date.
STAYS_TEXT = (
    "11:00", "08:30", "010", "1_000", "1e3", "0x1f", "no", "yes", "on", "off", "NO", "True", "TRUE",
    "Null", "2026-10-01", "2025-01-06", "9999-99-99", "=", "1.", ".5", "+5", "4.9 kg", "60 %",
    "1:1:1:1", "1,5", "-", "--", "1.0e+999", "-a",
)  # fmt: skip


@pytest.mark.parametrize("word", STAYS_TEXT)
def test_a_word_without_quotes_stays_the_text_it_is(word: str) -> None:
    document = build(f"a: {word}\n{word}x: 1\n".encode() if word[0].isalnum() else b"a: x\n")
    assert not document.flaws
    assert events.plain(word) == word


@pytest.mark.parametrize(
    ("word", "value"),
    [
        ("true", True), ("false", False), ("null", None), ("~", None), ("", None), ("0", 0),
        ("14", 14), ("-3", -3), ("3.5", Decimal("3.5")), ("1.50", Decimal("1.50")),
        ("-0.1", Decimal("-0.1")),
    ],
)  # fmt: skip
def test_plain_values(word: str, value: object) -> None:
    read = build(f"a: {word}\n".encode()).data["a"]
    assert read == value
    assert type(read) is type(value)


def test_quoted_and_block_texts_are_never_numbers() -> None:
    text = b"a: \"14\"\nb: '14'\nc: |-\n  14\nd: >-\n  true\n"
    assert build(text).data == {"a": "14", "b": "14", "c": "14", "d": "true"}


def test_names_are_always_text() -> None:
    text = b"on: 1\nno: 2\n14: 3\n~: 4\ntrue: 5\n2026-10-01: 6\n"
    assert list(build(text).data) == ["on", "no", "14", "~", "true", "2026-10-01"]


def test_a_name_given_twice_is_told_with_both_lines() -> None:
    document = build(b"a: 1\nb:\n  c: 1\n  d: 2\n  c: 3\na: 2\n")
    assert [(flaw.place.line, flaw.path) for flaw in document.flaws] == [
        (5, ("b", "c")),
        (6, ("a",)),
    ]
    assert "line 3" in document.flaws[0].message
    assert "line 1" in document.flaws[1].message


def test_what_a_doubled_name_holds_is_not_doubled_as_well() -> None:
    document = build(b"a: {x: 1}\na: {x: 1}\na: {x: 1, x: 2}\n")
    assert [flaw.path[:1] for flaw in document.flaws].count(("a",)) == 2
    assert len(document.flaws) == 3


VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**12), 10**12)
    | st.text(
        # The reader refuses what cannot be seen; of the blanks it takes those a keeper may type.
        st.characters(
            codec="utf-8",
            exclude_categories=["Cc", "Cf", "Zl", "Zp", "Zs", "Cs", "Co", "Cn"],
            include_characters=" \u00a0",
        )
    ),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text("abcdefghij -é:#'\"", min_size=1, max_size=8), inner, max_size=4)
    ),
    max_leaves=20,
)


@settings(max_examples=200, deadline=None)
@given(VALUES, st.sampled_from([None, True, False]))
def test_what_is_written_comes_back(value: Any, flow: bool | None) -> None:
    text = yaml.safe_dump(
        value, allow_unicode=True, sort_keys=False, default_flow_style=flow, width=1000
    )
    document = build(text.encode())
    assert not document.flaws
    assert document.data == value


def both_ways(text: bytes, monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """Data, flaws and places from the C parser and from the one written in Python."""
    answers = []
    for parser in (stream.parser, stream.pure_parser):
        with monkeypatch.context() as patch:
            patch.setattr(events, "parser", parser)
            patch.setattr(positions, "parser", parser)
            positions._positions.cache_clear()
            found = positions._positions(text)
            document = build(text)
            told = [(flaw.place.line, flaw.path) for flaw in document.flaws]
            answers.append((document.data, told, found.names, found.values))
    positions._positions.cache_clear()
    return answers


def test_both_parsers_give_the_same_data_and_places(monkeypatch: pytest.MonkeyPatch) -> None:
    files = sorted(EXAMPLE.rglob("*.yaml"))
    for file in random.Random(7).sample(files, min(12, len(files))):
        fast, pure = both_ways(file.read_bytes(), monkeypatch)
        assert fast == pure, file


@pytest.mark.parametrize(
    "text",
    [b"a: &x 1\nb: *x\n", b"a: !!str 1\n", b"a: 1\na: 2\n", b"<<: {a: 1}\n", b"a: .inf\n",
     b"a: 1\n---\nb: 1\n", b"%YAML 1.1\n---\na: 1\n", b"? [a]\n: 1\n", b"", b"# only a remark\n",
     b"a:\n  - b: [1, 2, {c: d}]\n  - 'e'\n", "é: {ü: [ä]}\n".encode()],
)  # fmt: skip
def test_both_parsers_refuse_the_same(text: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    fast, pure = both_ways(text, monkeypatch)
    assert fast == pure
