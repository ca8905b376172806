"""What git was asked is noted, and asked again all at once."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from dietcheck.errors import JobError
from dietcheck.outside.git import REFUSED, WHERE, Again, git, listening
from tests.checkout import commit_all, succeed


@pytest.fixture
def repo(tmp_path: Path) -> Path:
    """One commit."""
    (tmp_path / "a.yaml").write_text("a: 1\n")
    succeed("git", "init", "-q", "-b", "main", cwd=tmp_path)
    commit_all(tmp_path)
    return tmp_path


def test_asked_again_git_answers_the_same_until_something_changes(repo: Path) -> None:
    with listening() as heard:
        git(repo, WHERE)
        git(repo, ["rev-parse", "HEAD"])
        with pytest.raises(JobError):
            git(repo, ["rev-parse", "--verify", "--quiet", "nothing"])
        git(repo, ["cat-file", "--batch"], b"HEAD\n")
    assert list(heard.answers.values()).count(REFUSED) == 1
    assert Again(heard.answers).answers() == heard.answers
    succeed("git", "commit", "-q", "--allow-empty", "-m", "x", cwd=repo)
    changed = Again(heard.answers).answers()
    assert [q[1][0] for q in changed if changed[q] != heard.answers[q]] == ["rev-parse", "cat-file"]


def test_what_has_a_full_id_is_fixed_if_it_is_there_and_the_place_is_known(repo: Path) -> None:
    commit = git(repo, ["rev-parse", "HEAD"]).decode().strip()
    blob = git(repo, ["rev-parse", "HEAD:a.yaml"])
    for place_known in (False, True):
        with listening() as heard:
            if place_known:
                git(repo, WHERE)
            git(repo, ["ls-tree", "-r", "-z", commit])
            git(repo, ["cat-file", "--batch"], blob)
        assert len(heard.answers) == (1 if place_known else 2)
    succeed("git", "commit", "-q", "--allow-empty", "-m", "x", cwd=repo)
    later = git(repo, ["rev-parse", "HEAD"]).decode().strip()
    with listening() as heard:
        git(repo, WHERE)
        git(repo, ["ls-tree", "-r", "-z", f"{later}^"])
        with pytest.raises(JobError):
            git(repo, ["ls-tree", "-r", "-z", f"{commit}^"])  # there may be one in a fuller copy
    assert list(heard.answers.values()).count(REFUSED) == 1
    assert len(heard.answers) == 2
    with listening() as heard:
        git(repo, WHERE)
        git(repo, ["ls-tree", "-r", "-z", "HEAD"])
        git(repo, ["cat-file", "--batch"], b"0" * 39 + b"1\n")  # git has no such thing, so far
        git(repo, ["log", commit])
    assert len(heard.answers) == 4


def test_no_git_at_all_is_an_answer_too(repo: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with listening() as heard:
        git(repo, WHERE)
    monkeypatch.setenv("PATH", str(repo))
    assert set(Again(heard.answers).answers().values()) == {REFUSED}


def test_what_another_process_asked_is_not_known_here(repo: Path) -> None:
    commit = git(repo, ["rev-parse", "HEAD"]).decode().strip()
    for question, is_all in (["ls-tree", "-r", "-z", commit], True), (["status"], False):
        with listening() as heard:
            git(repo, WHERE)
            child = os.fork()
            if not child:
                git(repo, question)
                os._exit(0)
            os.waitpid(child, 0)
        assert heard.is_all == is_all
