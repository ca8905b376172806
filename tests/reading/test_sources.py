"""The folder and the git index list the same records, follow no link, hide nothing."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

from dietcheck.errors import JobError
from dietcheck.outside.files import SIZE_LIMIT, Unreadable
from dietcheck.reading import Folder, Index, NotARepository, Source


def git(root: Path, *arguments: str) -> None:
    subprocess.run(["git", *arguments], cwd=root, check=True, capture_output=True)


@pytest.fixture(autouse=True)
def _own_git(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Tests may run inside a hook, whose index is not theirs, and without a user's settings."""
    for name in [name for name in os.environ if name.startswith("GIT_")]:
        monkeypatch.delenv(name)
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A folder with records, things that are none, and things that only look like records."""
    root = tmp_path / "park"
    for name in (
        "dietcheck.yaml", "foods/kitchen.yml", "groups/é.yaml", "groups/LOUD.YAML", "README.md",
        ".hidden.yaml", ".github/flow.yml", "groups/.draft/a.yaml", "groups/note.yaml.txt",
    ):  # fmt: skip
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_bytes(f"record: {name}\n".encode())
    return root


@pytest.fixture(params=["folder", "index"])
def kind(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def source(kind: str, root: Path) -> Source:
    if kind == "folder":
        return Folder(root)
    git(root, "init", "-q")
    git(root, "add", "-A", "-f")
    return Index(root)


RECORDS = ["dietcheck.yaml", "foods/kitchen.yml", "groups/LOUD.YAML", "groups/é.yaml"]


def test_records_are_listed_in_order_whatever_their_capitals(kind: str, root: Path) -> None:
    found = source(kind, root)
    assert found.names() == RECORDS
    assert found.problems() == ()
    assert found.read("groups/é.yaml") == "record: groups/é.yaml\n".encode()


def test_each_says_what_was_read(root: Path) -> None:
    assert source("folder", root).describe() != source("index", root).describe()


def test_links_are_told_and_not_followed(kind: str, root: Path, tmp_path: Path) -> None:
    (tmp_path / "outside.yaml").write_text("secret: 1\n")
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "a.yaml").write_text("record: group\n")
    (root / "link.yaml").symlink_to(tmp_path / "outside.yaml")
    (root / "groups" / "more").symlink_to(tmp_path / "elsewhere")
    (root / "loop").symlink_to(".")
    (root / "READ").symlink_to("README.md")  # a link to a plain file that is no record: harmless
    found = source(kind, root)
    assert found.names() == RECORDS
    assert [p.file for p in found.problems()] == ["groups/more", "link.yaml", "loop"]
    with pytest.raises(Unreadable):
        found.read("link.yaml")


def test_a_pipe_under_a_records_name_is_told_and_never_opened(root: Path) -> None:
    os.mkfifo(root / "pipe.yaml")
    found = Folder(root)
    assert found.names() == RECORDS
    assert [p.file for p in found.problems()] == ["pipe.yaml"]


def test_a_file_swapped_for_a_link_or_a_pipe_after_listing_is_not_read(root: Path) -> None:
    found = Folder(root)
    found.names()
    for make in (lambda path: path.symlink_to("/etc/hostname"), os.mkfifo):
        (root / "dietcheck.yaml").unlink()
        make(root / "dietcheck.yaml")
        with pytest.raises(Unreadable):
            found.read("dietcheck.yaml")


@pytest.mark.parametrize(
    "name", [b"caf\xe9.yaml", b"a\nb.yaml", b"a\x1b[31m.yaml", b"a\xe2\x80\xae.yaml"]
)
def test_names_that_cannot_be_shown_are_told(kind: str, root: Path, name: bytes) -> None:
    with open(os.path.join(os.fsencode(root), name), "wb") as file:
        file.write(b"record: group\n")
    found = source(kind, root)
    assert found.names() == RECORDS
    (problem,) = found.problems()
    assert problem.file.isprintable()
    problem.file.encode("utf-8")


def test_a_file_too_large_is_refused_before_it_is_read(kind: str, root: Path) -> None:
    (root / "big.yaml").write_bytes(b"#" * (SIZE_LIMIT + 1))
    (root / "full.yaml").write_bytes(b"#" * SIZE_LIMIT)
    found = source(kind, root)
    with pytest.raises(Unreadable):
        found.read("big.yaml")
    assert len(found.read("full.yaml")) == SIZE_LIMIT


def test_a_folder_that_cannot_be_looked_into_is_told(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = os.scandir

    def scandir(path: str) -> object:
        if Path(path).name == "foods":
            raise PermissionError(13, "Permission denied")
        return real(path)

    monkeypatch.setattr("dietcheck.outside.files.os.scandir", scandir)
    found = Folder(root)
    assert found.names() == [name for name in RECORDS if "foods" not in name]
    assert [p.file for p in found.problems()] == ["foods"]
    with pytest.raises(JobError):
        Folder(root / "foods").names()


@pytest.mark.parametrize("name", ["../outside.yaml", "/etc/hostname", "absent.yaml", "README.md"])
def test_only_listed_names_are_read(kind: str, root: Path, name: str) -> None:
    with pytest.raises(Unreadable):
        source(kind, root).read(name)


def test_a_place_that_is_not_there_is_no_repository(tmp_path: Path) -> None:
    for make in (Folder, Index):
        with pytest.raises(NotARepository):
            make(tmp_path / "absent")


def test_the_index_gives_what_is_staged_not_what_lies_there(root: Path) -> None:
    found = source("index", root)
    (root / "dietcheck.yaml").write_text("changed: 1\n")
    (root / "untracked.yaml").write_text("record: group\n")
    (root / "foods" / "kitchen.yml").unlink()
    assert found.names() == RECORDS
    assert found.read("dietcheck.yaml") == b"record: dietcheck.yaml\n"
    assert found.read("foods/kitchen.yml") == b"record: foods/kitchen.yml\n"


def test_the_index_of_a_folder_inside_a_repository(root: Path) -> None:
    git(root.parent, "init", "-q")
    git(root.parent, "add", "-A", "-f")
    assert Index(root).names() == RECORDS


def test_the_hooks_own_index_is_used(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    found = source("index", root)
    monkeypatch.setenv("GIT_INDEX_FILE", str(root / ".git" / "next-index"))
    git(root, "add", "dietcheck.yaml")
    assert Index(root).names() == ["dietcheck.yaml"]
    assert found.describe() == Index(root).describe()


def test_an_unsettled_merge_is_told(root: Path) -> None:
    source("index", root)
    git(root, "config", "user.email", "keeper@aldermoss.example")
    git(root, "config", "user.name", "Keeper")
    git(root, "commit", "-qm", "one")
    git(root, "checkout", "-qb", "other")
    (root / "dietcheck.yaml").write_text("a: 1\n")
    git(root, "commit", "-qam", "two")
    git(root, "checkout", "-q", "-")
    (root / "dietcheck.yaml").write_text("a: 2\n")
    git(root, "commit", "-qam", "three")
    subprocess.run(["git", "merge", "-q", "other"], cwd=root, check=False, capture_output=True)
    found = Index(root)
    assert [p.file for p in found.problems()] == ["dietcheck.yaml"]
    assert "dietcheck.yaml" not in found.names()


def test_a_repository_inside_is_told(root: Path) -> None:
    inner = root / "inner"
    inner.mkdir()
    git(inner, "init", "-q")
    git(inner, "-c", "user.email=k@aldermoss.example", "-c", "user.name=K", "commit", "-q",
        "--allow-empty", "-m", "x")  # fmt: skip
    found = source("index", root)
    assert [p.file for p in found.problems()] == ["inner"]


def test_without_a_repository_the_index_says_what_to_do(root: Path) -> None:
    with pytest.raises(JobError) as caught:
        Index(root).names()
    assert caught.value.remedy


def test_without_git_the_index_says_what_to_do(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(root))
    with pytest.raises(JobError) as caught:
        Index(root).names()
    assert "git" in caught.value.message


def test_the_repositorys_settings_start_no_program(root: Path, tmp_path: Path) -> None:
    found = source("index", root)
    script = tmp_path / "monitor"
    script.write_text(f"#!/bin/sh\ntouch {tmp_path}/ran\n")
    script.chmod(0o755)
    git(root, "config", "core.fsmonitor", str(script))
    assert Index(root).names() == found.names()
    assert not (tmp_path / "ran").exists()
