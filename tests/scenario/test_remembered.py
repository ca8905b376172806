"""Every mistake of the example park, judged and then remembered: the same bytes, the same status.

All share one folder of kept things, so nothing that is kept of one can pass for another.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.checkout import commit_all, succeed
from tests.remembering.runs import home_in, is_remembered, remembering, screened

PARK = Path(__file__).parents[2] / "example_repo"
DAY = ("--on", "2026-11-25")
DRAFTS = sorted(one for one in (PARK / "drafts").iterdir() if one.suffix != ".md")


@pytest.fixture(scope="module", autouse=True)
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """One person's folder for all."""
    with remembering(home_in(tmp_path_factory.mktemp("person"))):
        yield


def same_again(*asked: str | Path) -> tuple[int, str]:
    """What a run says: anew, with what is kept of the groups, and remembered as a whole."""
    assert not is_remembered(*asked)
    anew = screened(*asked, "--anew")
    assert not is_remembered(*asked)
    assert screened(*asked) == anew
    assert is_remembered(*asked)
    assert screened(*asked) == anew
    return anew


@pytest.mark.parametrize("draft", DRAFTS, ids=lambda path: path.name)
def test_a_draft(draft: Path) -> None:
    files = [draft] if draft.is_file() else sorted(draft.glob("*.yaml"))
    status, said = same_again(PARK, *DAY, *(part for file in files for part in ("--draft", file)))
    assert status in (0, 1)
    assert said


def test_edited_staged_and_committed(tmp_path: Path) -> None:
    park = tmp_path / "park"
    shutil.copytree(PARK, park)
    succeed("git", "init", "-q", "-b", "main", cwd=park)
    commit_all(park)
    as_committed = same_again(park, *DAY)
    assert same_again(park, *DAY, "--cores", "2") == as_committed
    shutil.copyfile(park / "drafts" / "b09-tortoise-leek-tops.yaml", park / "leek.yaml")
    edited = same_again(park, *DAY)
    assert edited != as_committed
    not_yet = same_again(park, *DAY, "--staged")
    succeed("git", "add", "--all", cwd=park)
    assert same_again(park, *DAY, "--staged") != not_yet
    commit_all(park)
    same_again(park, *DAY)
    assert same_again(park, *DAY, "--since", "HEAD~1")[0] == edited[0]
