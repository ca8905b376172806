"""The folder of kept things: spoilt, foreign, full or shared, it never does harm."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from unittest import mock

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dietcheck.remembering import store as store_module
from dietcheck.remembering.store import Store, digest, joined, parted
from tests.remembering.runs import home_in, remembering

KEY = "k" * 64
PARTS = [b"text", b"", b"1"]


@pytest.fixture(autouse=True)
def home(tmp_path: Path) -> Iterator[Path]:
    """A person with a folder for what is kept."""
    folder = home_in(tmp_path)
    with remembering(folder):
        yield folder


@given(st.lists(st.binary()), st.lists(st.binary()))
def test_parts_are_themselves_and_no_others(one: list[bytes], other: list[bytes]) -> None:
    assert parted(joined(one)) == one
    assert (digest(one) == digest(other)) == (one == other)


def test_what_was_kept_is_found_in_a_folder_of_the_user_alone(home: Path) -> None:
    Store().save(KEY, PARTS)
    assert Store().load(KEY) == PARTS
    assert Store().load("other") is None
    assert (home / "dietcheck").stat().st_mode & 0o777 == 0o700
    assert (home / "dietcheck" / KEY).stat().st_mode & 0o777 == 0o600


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=200)
@given(data=st.data())
def test_a_spoilt_file_is_as_if_it_were_not_there(home: Path, data: st.DataObject) -> None:
    Store().save(KEY, PARTS)
    file = home / "dietcheck" / KEY
    good = file.read_bytes()
    spoilt = data.draw(
        st.one_of(
            st.binary(),
            st.integers(0, len(good) - 1).map(lambda n: good[:n]),
            st.integers(0, len(good) - 1).map(
                lambda n: good[:n] + bytes([good[n] ^ 1]) + good[n + 1 :]
            ),
            st.binary(min_size=1).map(lambda more: good + more),
        )
    )
    file.write_bytes(spoilt)
    assert Store().load(KEY) is None
    file.write_bytes(good)
    (home / "dietcheck" / "other").write_bytes(good)  # under another name than its own
    assert Store().load("other") is None


@pytest.mark.parametrize("kind", ["folder", "link", "pipe", "missing"])
def test_what_is_no_file_is_not_read(home: Path, tmp_path: Path, kind: str) -> None:
    Store().save(KEY, PARTS)
    file = home / "dietcheck" / KEY
    file.rename(tmp_path / "elsewhere")
    if kind == "folder":
        file.mkdir()
    elif kind == "link":
        file.symlink_to(tmp_path / "elsewhere")
    elif kind == "pipe":
        os.mkfifo(file)
    assert Store().load(KEY) is None


@pytest.mark.parametrize("mode", [0o777, 0o770, 0o755])
def test_a_folder_that_others_may_look_into_is_not_used(home: Path, mode: int) -> None:
    Store().save(KEY, PARTS)
    (home / "dietcheck").chmod(mode)
    assert Store().folder is None
    assert Store().load(KEY) is None


def test_a_home_that_everybody_may_write_to_is_not_used(home: Path) -> None:
    home.chmod(0o777)
    Store().save(KEY, PARTS)
    assert not list(home.iterdir())


def test_a_folder_of_somebody_else_is_not_used() -> None:
    Store().save(KEY, PARTS)
    with mock.patch.object(os, "getuid", return_value=12345):
        assert Store().load(KEY) is None
        assert Store().folder is None


def test_a_link_in_place_of_the_folder_is_not_used(home: Path, tmp_path: Path) -> None:
    (tmp_path / "real").mkdir(mode=0o700)
    (home / "dietcheck").symlink_to(tmp_path / "real")
    assert Store().folder is None


def test_nothing_is_kept_in_a_repository(home: Path) -> None:
    (home / ".git").mkdir()
    assert Store().folder is None


@pytest.mark.parametrize("error", [OSError(28, "No space left"), PermissionError(13, "no")])
def test_what_cannot_be_written_is_not_kept_and_no_fault(home: Path, error: OSError) -> None:
    Store().save("before", PARTS)
    with mock.patch.object(os, "replace", side_effect=error):
        Store().save(KEY, PARTS)
    with mock.patch.object(store_module, "_write", side_effect=error):
        Store().save(KEY, PARTS)
    assert [file.name for file in (home / "dietcheck").iterdir()] == ["before"]


def test_a_home_that_cannot_be_made_is_no_fault() -> None:
    with mock.patch.object(os, "mkdir", side_effect=PermissionError(13, "no")):
        Store().save(KEY, PARTS)
    assert Store().load(KEY) is None


def test_killed_while_writing_leaves_nothing_that_counts(home: Path) -> None:
    code = (
        "import os, signal, dietcheck.remembering.store as s\n"
        "def half(path, content):\n"
        "    open(path, 'wb').write(b''.join(content)[:20]); os.kill(os.getpid(), signal.SIGKILL)\n"
        f"s._write = half; s.Store().save({KEY!r}, [b'new'])"
    )
    Store().save(KEY, PARTS)
    done = subprocess.run([sys.executable, "-c", code], check=False)
    assert done.returncode == -signal.SIGKILL
    assert Store().load(KEY) == PARTS
    (left,) = (f for f in (home / "dietcheck").iterdir() if f.name != KEY)
    an_hour_ago = time.time() - 4_000
    os.utime(left, (an_hour_ago, an_hour_ago))
    Store().save(KEY, PARTS)
    assert not left.exists()


def test_what_is_old_or_too_much_is_thrown_away(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(store_module, "MOST_FILES", 5)
    for number in range(8):
        Store().save(f"file-{number}", PARTS)
        stamp = time.time() - 100 + number
        os.utime(home / "dietcheck" / f"file-{number}", (stamp, stamp))
    left = sorted(file.name for file in (home / "dietcheck").iterdir())
    assert left == [f"file-{number}" for number in range(3, 8)]
    old = time.time() - store_module.KEPT_SECONDS - 60
    os.utime(home / "dietcheck" / "file-7", (old, old))
    Store().save("new", PARTS)
    assert Store().load("file-7") is None
    monkeypatch.setattr(store_module, "LARGEST", 2)
    Store().save("large", PARTS)
    assert Store().load("large") is None
