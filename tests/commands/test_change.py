"""`dietcheck change` in real git repositories: what it compares, what it refuses, how it ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests import records
from tests.checkout import CHECKOUT, EXAMPLE_DAY, commit_all, succeed
from tests.commands.console import Done, call, listing, write

ON = records.ON.isoformat()
PLAIN = ("Traceback", "invalid", "null", "schema", "parse")
CARROTS = "{food: carrot, amount: %s g per animal}"


def sheet(grams: int) -> str:
    """A sheet that tells versions apart by its amount."""
    return records.sheet({"roots": [CARROTS % grams]})


@pytest.fixture
def park(tmp_path: Path) -> Path:
    """A repository with two versions, 100 and 200 g, and 300 g not committed."""
    folder = write(tmp_path / "park", sheet=sheet(100))
    commit_all(folder)
    write(folder, sheet=sheet(200))
    commit_all(folder)
    return write(folder, sheet=sheet(300))


def change(folder: Path, since: str, *more: str | Path) -> Done:
    """Run the command as at the day of the records."""
    return call("change", folder, "--since", since, "--on", ON, *more)


def refused(done: Done) -> str:
    """What was said on the way out, in plain words."""
    assert done.status == 2
    assert done.out == ""
    assert not any(word in done.err.lower() for word in map(str.lower, PLAIN))
    return " ".join(done.err.split())


@pytest.mark.parametrize(
    ("since", "old"), [("HEAD", 200), ("HEAD~1", 100), ("main", 200), ("first", 100)]
)
def test_any_version_can_be_compared(park: Path, since: str, old: int) -> None:
    succeed("git", "tag", "first", "HEAD~1", cwd=park)
    done = change(park, since)
    assert (done.status, done.err) == (0, "")
    assert f"carrot: {old} g per animal → 300 g per animal (roots)" in done.out
    assert f"+{2 * (300 - old)}" in done.out


def test_nothing_is_written_unless_asked(park: Path) -> None:
    before = listing(park)
    assert change(park, "HEAD").status == 0
    assert listing(park) == before


def test_no_difference(park: Path) -> None:
    commit_all(park)
    done = change(park, "HEAD")
    assert done.status == 0
    assert "0 groups changed; findings: 0 new, 0 worse, 0 gone" in done.out


def test_a_draft_is_compared_as_if_it_were_there(park: Path, tmp_path: Path) -> None:
    draft = tmp_path / "draft.yaml"
    draft.write_text(sheet(5000))
    done = change(park, "HEAD", "--draft", draft)
    assert done.status == 0
    assert "200 g per animal → 5000 g per animal" in done.out
    assert "Findings that are new: none" not in done.out


@pytest.mark.parametrize(("grams", "slipped"), [(499, False), (500, True)])
def test_a_draft_is_compared_with_the_version_that_was_named(
    park: Path, tmp_path: Path, grams: int, *, slipped: bool
) -> None:
    """Five times the 100 g of the first version, though the folder already says 300."""
    draft = tmp_path / "draft.yaml"
    draft.write_text(sheet(grams))
    done = change(park, "HEAD~1", "--draft", draft)
    assert ("slip of the decimal" in " ".join(done.out.split())) is slipped


def test_files_hold_the_same_bytes_each_time(park: Path, tmp_path: Path) -> None:
    runs = []
    for seed in ("1", "2"):
        folder = tmp_path / seed
        folder.mkdir()
        files = (f"json:{folder / 'c.json'}", f"markdown:{folder / 'c.md'}")
        more = [part for file in files for part in ("--write", file)]
        done = call(
            "change", park, "--since", "HEAD", "--on", ON, *more, env={"PYTHONHASHSEED": seed}
        )
        assert done.status == 0
        runs.append((done.out, listing(folder)))
    assert runs[0] == runs[1]
    found = json.loads(runs[0][1]["c.json"] or b"")
    assert [group["group"] for group in found["groups"]] == ["tapir"]


# --- what cannot be compared --------------------------------------------------------------------


def test_no_git_at_all(tmp_path: Path) -> None:
    assert "in no git repository" in refused(change(write(tmp_path / "bare"), "HEAD"))


def test_nothing_committed_yet(tmp_path: Path) -> None:
    folder = write(tmp_path / "new")
    succeed("git", "init", "-q", cwd=folder)
    assert "nothing has been committed yet" in refused(change(folder, "HEAD"))


@pytest.mark.parametrize("since", ["HEAD^", "HEAD~1", "@~2"])
def test_before_the_first_commit(tmp_path: Path, since: str) -> None:
    folder = write(tmp_path / "new")
    commit_all(folder)
    assert "the first version in git" in refused(change(folder, since))
    assert change(folder, "HEAD").status == 0


def test_a_copy_that_was_cut_short(park: Path, tmp_path: Path) -> None:
    succeed("git", "clone", "-q", "--depth", "1", f"file://{park}", "short", cwd=tmp_path)
    assert "cut short" in refused(change(tmp_path / "short", "HEAD~1"))
    assert change(tmp_path / "short", "HEAD").status == 0


@pytest.mark.parametrize("since", ["nowhere", "-h", "--output=x", "HEAD; rm -rf .", "a\nb", ""])
def test_a_version_that_git_does_not_know(park: Path, since: str) -> None:
    before = listing(park)
    done = call("change", park, f"--since={since}", "--on", ON)
    assert "git knows no version" in refused(done)
    assert listing(park) == before


def test_a_version_without_diets_in_this_folder(tmp_path: Path) -> None:
    (tmp_path / "note.txt").write_text("x")
    commit_all(tmp_path)
    folder = write(tmp_path / "diets")
    assert "nothing to compare with" in refused(change(folder, "HEAD"))


def test_no_version_named(park: Path) -> None:
    assert "--since" in refused(call("change", park))


@pytest.mark.parametrize("side", ["before", "after"])
def test_what_cannot_be_read_is_told_and_is_no_success(tmp_path: Path, side: str) -> None:
    folder = write(tmp_path / "park", {"broken.yaml": "record: [\n"} if side == "before" else {})
    commit_all(folder)
    (folder / "broken.yaml").write_text("record: [\n" if side == "after" else records.group("x"))
    done = change(folder, "HEAD")
    assert done.status == 2
    assert "broken.yaml" in done.out
    assert "nothing here is cleared" in " ".join(done.out.split())


# --- the example park ---------------------------------------------------------------------------


def test_a_decimal_slip_of_the_example_shows_ten_times_the_pellet() -> None:
    park = CHECKOUT / "example_repo"
    done = call(
        "change", park, "--since", "HEAD", "--on", EXAMPLE_DAY,
        "--draft", park / "drafts" / "b01-tapir-pellet-13-kg.yaml",
    )  # fmt: skip
    assert done.status == 0
    assert "tapir-pellet: 1.3 kg per animal → 13 kg per animal" in done.out
    assert "+11700" in done.out
