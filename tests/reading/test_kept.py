"""A record that was read before says the same as one that is read now; one with a fault is read."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from unittest import mock

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dietcheck.reading import FileFacts, Folder, check_file, kept, read_repository
from dietcheck.reading.events import build
from dietcheck.reading.kept import keep_records, records_kept
from tests import records
from tests.commands.console import write
from tests.remembering.runs import home_in, remembering

PARK = Path(__file__).parents[2] / "example_repo"
RAWS = [path.read_bytes() for path in sorted(PARK.rglob("*.yaml"))]


@pytest.fixture(autouse=True)
def home(tmp_path: Path) -> Iterator[Path]:
    """A person with a folder for what is kept."""
    folder = home_in(tmp_path)
    with remembering(folder):
        yield folder


def checked(raws: list[bytes], folder: Path = PARK) -> list[FileFacts]:
    """The facts of some records, as the next run finds them."""
    check_file.cache_clear()
    with records_kept(folder):
        facts = [check_file("name.yaml", raw) for raw in raws]
        keep_records((r, f.data) for r, f in zip(raws, facts, strict=True) if f.data is not None)
    return facts


def test_every_record_of_the_park_is_kept_and_says_the_same() -> None:
    good = [raw for raw, facts in zip(RAWS, checked(RAWS), strict=True) if not facts.problems]
    assert len(good) > 60
    check_file.cache_clear()
    fresh = [check_file("name.yaml", raw) for raw in good]
    with mock.patch("dietcheck.reading.check.build", side_effect=AssertionError):
        found = checked(good)
    assert repr(found) == repr(fresh)


def test_a_record_with_a_fault_is_read_each_time() -> None:
    faulty = [
        b"record: group\nid: 7\n",
        b"record: {",
        b"a: 1",
        b"",
        b"record: group\nid: x\nid: y\n",
    ]
    fresh = [check_file("name.yaml", raw) for raw in faulty]
    assert all(facts.problems for facts in fresh)
    for _ in range(2):
        assert checked(faulty) == fresh


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=50)
@given(
    place=st.integers(0, 400),
    byte=st.sampled_from(b"0 19.:-#\n~'\"{[eEx_ab"),
    number=st.integers(0, 10**9),
)
def test_one_byte_makes_another_record(place: int, byte: int, number: int) -> None:
    """Whatever a change makes of a record, former runs cannot speak for it."""
    text = (
        "".join(records.small().values()).encode() if not number % 7 else RAWS[number % len(RAWS)]
    )
    changed = text[:place] + bytes([byte]) + text[place + 1 :]
    check_file.cache_clear()
    fresh = repr([check_file("name.yaml", raw) for raw in (text, changed)])
    assert repr(checked([text, changed])) == fresh
    assert repr(checked([text, changed])) == fresh


def test_what_is_no_longer_used_is_let_go(home: Path) -> None:
    checked(RAWS)
    (file,) = (home / "dietcheck").iterdir()
    whole = file.stat().st_size
    good = next(raw for raw in RAWS if b"record: group" in raw)
    checked([good])  # nothing new, so nothing is written
    assert file.stat().st_size == whole
    checked([good + b"\n# one more\n"])
    assert file.stat().st_size < whole / 10
    checked(RAWS, PARK / "drafts")
    assert len(list((home / "dietcheck").iterdir())) == 2


def test_another_program_finds_nothing() -> None:
    known = next(raw for raw in RAWS if b"record: group" in raw)
    checked([known])
    with mock.patch.object(kept, "program_seen", return_value="another"):
        assert kept.Kept("records", str(PARK)).find(known) is None
    assert kept.Kept("records", str(PARK)).find(known) is not None


def test_only_the_repository_that_is_screened_is_kept(home: Path, tmp_path: Path) -> None:
    """What is read after it, such as the earlier version, is neither found nor kept."""
    write(tmp_path / "park")
    check_file.cache_clear()
    with records_kept(PARK):
        read_repository(Folder(PARK))
        (file,) = (home / "dietcheck").iterdir()
        whole = file.stat().st_size
        read_repository(Folder(tmp_path / "park"))
    assert file.stat().st_size == whole
    check_file.cache_clear()
    with records_kept(PARK), mock.patch("dietcheck.reading.check.build", wraps=build) as built:
        assert not read_repository(Folder(PARK)).problems
    assert built.call_count == 1  # for what the settings leave out
