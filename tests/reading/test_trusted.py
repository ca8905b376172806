"""Tables say the same whether they are read or were kept, to the type of each figure."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from unittest import mock

import pytest

import dietcheck_rules
from dietcheck.reading import kept, read_trusted
from dietcheck.reading.check import read_loosely
from dietcheck.reading.trusted import keep_tables
from tests.remembering.runs import home_in, remembering

TABLES = sorted(Path(dietcheck_rules.__file__).parent.rglob("*.yaml"))


@pytest.fixture(autouse=True)
def home(tmp_path: Path) -> Iterator[Path]:
    """A person with a folder for what is kept, and no tables from before."""
    keep_tables()
    folder = home_in(tmp_path)
    with remembering(folder):
        yield folder
        keep_tables()


def test_every_table_is_kept_and_says_the_same() -> None:
    raws = [path.read_bytes() for path in TABLES]
    read = [repr(read_trusted(raw)) for raw in raws]
    keep_tables()
    with mock.patch("dietcheck.reading.trusted.read_loosely", side_effect=AssertionError):
        assert [repr(read_trusted(raw)) for raw in raws] == read
    assert [repr(read_loosely(raw)[0]) for raw in raws] == read


@pytest.mark.parametrize(
    "text",
    ["a: 1", "a: 1.50", "a: -0.10", "a: 1.0e2", "a: 100000000000000000001", "a: 2.0", "[~, yes]",
     "a: 2026-11-25", "1: x", 'a: "\\0"', "a: 1_000", "a: 0x10"],
)  # fmt: skip
def test_what_json_cannot_say_is_read_each_time(text: str) -> None:
    data, flaws = read_loosely(text.encode())
    for _ in range(2):
        if flaws:
            with pytest.raises(ValueError, match="line 1"):
                read_trusted(text.encode())
        else:
            assert repr(read_trusted(text.encode())) == repr(data)
        keep_tables()


def test_another_table_and_another_program_find_nothing(home: Path) -> None:
    read_trusted(b"a: 1")
    keep_tables()
    assert len(list((home / "dietcheck").iterdir())) == 1
    assert read_trusted(b"a: 2") == {"a": 2}
    keep_tables()
    with mock.patch.object(kept, "program_seen", return_value="another"):
        assert kept.Kept("tables").find(b"a: 1") is None
    assert kept.Kept("tables").find(b"a: 1") == ({"a": 1},)


def test_a_table_that_was_given_out_is_the_reader_s_own() -> None:
    read_trusted(b"a: [1]")["a"].append(2)
    keep_tables()
    assert read_trusted(b"a: [1]") == {"a": [1]}
