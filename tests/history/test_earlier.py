"""Which version a repository is compared with, in real git repositories."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from dietcheck.errors import JobError
from dietcheck.history.earlier import FIRST, NO_GIT, SHALLOW, earlier
from dietcheck.history.lookback import UNUSABLE, Lookback
from dietcheck.reading import Folder
from tests import records
from tests.checkout import commit_all, environment, succeed

CARROTS = "{food: carrot, amount: %s g per animal}"


def sheet(grams: int) -> str:
    """A sheet that tells versions apart by its amount."""
    return records.sheet({"roots": [CARROTS % grams]})


def write(folder: Path, grams: int) -> None:
    """The small collection with an amount."""
    folder.mkdir(exist_ok=True)
    for name, text in records.small(sheet=sheet(grams)).items():
        (folder / name).write_text(text)


@pytest.fixture
def park(tmp_path: Path) -> Path:
    """A repository of one commit with 100 g."""
    folder = tmp_path / "park"
    write(folder, 100)
    succeed("git", "init", "-q", "-b", "main", cwd=folder)
    commit_all(folder)
    return folder


def amount(folder: Path, *, staged: bool = False, since: str | None = None) -> str:
    """The amount in the earlier version, or why there is none."""
    found = earlier(folder, staged=staged, since=since)
    lookback = Lookback(found.source, found.why_not)
    if lookback.collection is None:
        return lookback.why_not
    return lookback.collection.sheets["tapir"][0].meals["roots"].lines[0].amount.text


def test_no_git_at_all(tmp_path: Path) -> None:
    write(tmp_path / "bare", 100)
    assert amount(tmp_path / "bare") == NO_GIT


def test_before_and_after_the_first_commit(tmp_path: Path) -> None:
    folder = tmp_path / "new"
    write(folder, 100)
    succeed("git", "init", "-q", cwd=folder)
    assert amount(folder) == FIRST
    assert amount(folder, staged=True) == FIRST
    commit_all(folder)
    assert amount(folder) == FIRST


def test_an_unstaged_and_a_staged_edit_are_compared_with_the_last_commit(park: Path) -> None:
    write(park, 200)
    assert amount(park) == "100 g per animal"
    succeed("git", "add", "-A", cwd=park)
    assert amount(park, staged=True) == "100 g per animal"


def test_a_clean_checkout_is_compared_with_the_commit_before(park: Path) -> None:
    write(park, 200)
    commit_all(park)
    assert amount(park) == "100 g per animal"


def test_a_detached_head_is_no_obstacle(park: Path) -> None:
    write(park, 200)
    commit_all(park)
    succeed("git", "checkout", "-q", "--detach", cwd=park)
    assert amount(park) == "100 g per animal"


def test_a_merge_is_compared_with_the_branch_it_went_into(park: Path) -> None:
    succeed("git", "checkout", "-q", "-b", "other", cwd=park)
    write(park, 300)
    commit_all(park)
    succeed("git", "checkout", "-q", "main", cwd=park)
    (park / "note.txt").write_text("x")
    commit_all(park)
    succeed("git", "merge", "-q", "--no-ff", "-m", "merge", "other", cwd=park)
    assert amount(park) == "100 g per animal"


def test_a_copy_that_was_cut_short_says_so(park: Path, tmp_path: Path) -> None:
    write(park, 200)
    commit_all(park)
    succeed("git", "clone", "-q", "--depth", "1", f"file://{park}", "short", cwd=tmp_path)
    assert amount(tmp_path / "short") == SHALLOW


def test_a_renamed_file_is_the_same_record(park: Path) -> None:
    (park / "sheet.yaml").rename(park / "tapir-sheet.yaml")
    assert amount(park) == "100 g per animal"


def test_a_collection_in_a_folder_of_a_repository(tmp_path: Path) -> None:
    write(tmp_path / "diets", 100)
    succeed("git", "init", "-q", cwd=tmp_path)
    commit_all(tmp_path)
    write(tmp_path / "diets", 200)
    assert amount(tmp_path / "diets") == "100 g per animal"


def test_any_version_can_be_named(park: Path) -> None:
    succeed("git", "tag", "first", cwd=park)
    for grams in (200, 300):
        write(park, grams)
        commit_all(park)
    assert amount(park, since="first") == "100 g per animal"
    assert amount(park, since="HEAD") == "300 g per animal"


@pytest.mark.parametrize("name", ["nowhere", "-h", "--output=x", "HEAD; rm -rf .", "a\nb", ""])
def test_a_version_that_git_does_not_know_is_refused(park: Path, name: str) -> None:
    with pytest.raises(JobError):
        earlier(park, staged=False, since=name)
    assert sorted(p.name for p in park.iterdir()) == [
        ".git", "dietcheck.yaml", "foods.yaml", "group.yaml", "rota.yaml", "sheet.yaml"
    ]  # fmt: skip


def test_an_earlier_version_that_was_no_collection_cannot_be_used(tmp_path: Path) -> None:
    folder = tmp_path / "park"
    folder.mkdir()
    (folder / "readme.txt").write_text("soon")
    succeed("git", "init", "-q", cwd=folder)
    commit_all(folder)
    write(folder, 100)
    assert amount(folder) == UNUSABLE


def test_settings_that_could_not_be_read_leave_nothing_to_compare(park: Path) -> None:
    (park / "dietcheck.yaml").write_text("record: collection\n")
    lookback = Lookback(Folder(park))
    assert lookback.collection is None
    assert lookback.why_not == UNUSABLE


def test_a_version_knows_the_day_it_was_committed(park: Path) -> None:
    day = environment(GIT_COMMITTER_DATE="2026-02-28T23:30:00-05:00")  # 1 March in UTC
    write(park, 200)
    succeed("git", "commit", "-q", "-a", "-m", "later", cwd=park, env=day)
    found = earlier(park, staged=False, since="HEAD")
    assert Lookback(found.source).written_on == date(2026, 2, 28)


def test_what_is_no_commit_has_no_day(park: Path) -> None:
    assert Lookback(Folder(park)).written_on is None
    assert Lookback(None, NO_GIT).written_on is None
