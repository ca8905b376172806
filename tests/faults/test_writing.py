"""Disk full, no right to write, killed or stopped at any change: files are whole or not there."""

from __future__ import annotations

import itertools
import shutil
import subprocess
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from tests import records
from tests.cage import ALL, Cage, Ended, sample
from tests.commands.console import SCRIPT, listing, write
from tests.hostile.laws import orderly

DAY = ("--on", records.ON.isoformat())
OLD = b"an older report\n"
JOBS: dict[str, tuple[tuple[str, ...], str]] = {  # what is run in the park; the file it writes
    "report": (("screen", *DAY, "--write", "html:out/report.html"), "out/report.html"),
    "comparison": (("change", "--since", "HEAD", *DAY, "--write", "json:out/c.json"), "out/c.json"),
    "ration": (("ration", ".", "tapir", *DAY, "--write", "csv:out/r.csv"), "out/r.csv"),
    "kitchen sheet": (("prep", *DAY, "--write", "html:out/p.html"), "out/p.html"),
    "order": (("order", *DAY, "--write", "csv:out/o.csv"), "out/o.csv"),
    "limits": (("limits", ".", "--write", "json:out/l.json"), "out/l.json"),
    "food": (("foods", "carrot", ".", "--write", "json:out/f.json"), "out/f.json"),
    "schema": (("schema", "rota", ".", "--write", "out/rota.schema.json"), "out/rota.schema.json"),
}
SIGN = ("sign", "--by", "Dr Vale", "--role", "vet", *DAY)
SIGNED = "sign-offs/2026-11-25-tapir.yaml"
START = ("start", "new", "--country", "GB")


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A committed park with an older report of every kind in it."""
    park = write(tmp_path_factory.mktemp("writing") / "park")
    git = ["git", "-c", "user.name=x", "-c", "user.email=x@example.org"]
    for step in (["init", "-q"], ["add", "-A"], ["commit", "-q", "-m", "x"]):
        subprocess.run([*git, *step], cwd=park, check=True, capture_output=True)
    (park / "out").mkdir()
    for _, file in JOBS.values():
        (park / file).write_bytes(OLD)
    return park


@pytest.fixture
def park(sound: Path, tmp_path: Path) -> Path:
    """A copy to work in."""
    shutil.copytree(sound, tmp_path / "park")
    return tmp_path / "park"


def visible(folder: Path) -> dict[str, bytes | None]:
    """Everything that lies there but git's own and leftovers, which begin with a dot."""
    return {n: b for n, b in listing(folder).items() if not any(
        part.startswith(".") for part in Path(n).parts)}  # fmt: skip


@pytest.mark.parametrize("job", sample(JOBS, 8))
def test_a_report_is_the_old_or_the_new_one_whenever_the_run_is_killed(
    cage: Cage, park: Path, job: str
) -> None:
    """Killed, stopped by hand, and refused at each change to the file system, one after another."""
    arguments, file = JOBS[job]
    whole = cage.run(*arguments, cwd=park)
    assert whole.status in (0, 1), whole.err
    new = (park / file).read_bytes()
    assert new != OLD
    before = {**visible(park), file: OLD}
    count = 0
    for number in range(1, 20):
        (park / file).write_bytes(OLD)
        ended = cage.run(*arguments, cwd=park, befalls=[("killed at", number)])
        assert {**visible(park), file: OLD} == before
        assert (park / file).read_bytes() in (OLD, new)
        if ended.status != -9:
            break
        count += 1
        for befalls, said in (("stopped at", "stopped"), ("refused at", "No space left")):
            (park / file).write_bytes(OLD)
            for left in (park / "out").glob(".dietcheck-*"):
                left.unlink()  # of the run that was killed
            ended = cage.run(*arguments, cwd=park, befalls=[(befalls, number)])
            assert ended.status == 2 or (park / file).read_bytes() == new
            assert said in ended.err or (park / file).read_bytes() == new
            assert visible(park) == before
            assert not list((park / "out").glob(".dietcheck-*"))
    assert count >= 2  # it was made, and moved into place


@pytest.mark.parametrize(("job", "size"), sample(itertools.product(JOBS, (0, 100)), 7))
def test_a_full_disk_leaves_the_old_report_and_is_told(park: Path, job: str, size: int) -> None:
    """Only files of so many bytes can be written; what goes to a terminal is no file."""
    arguments, file = JOBS[job]
    ended = _through_a_pipe(arguments, park, size)
    assert ended.status == 2
    assert "could not be written" in ended.err
    assert (park / file).read_bytes() == OLD
    assert not list((park / "out").glob(".dietcheck-*"))


def _through_a_pipe(arguments: tuple[str, ...], park: Path, size: int) -> Ended:
    limit = f"import resource as r; r.setrlimit(r.RLIMIT_FSIZE, ({size}, {size}))"
    code = f"{limit}; import sys; from dietcheck.__main__ import main; sys.exit(main(sys.argv[1:]))"
    done = subprocess.run(
        [SCRIPT.with_name("python"), "-B", "-P", "-c", code, *arguments],
        cwd=park,
        capture_output=True,
        text=True,
        check=False,
    )
    return Ended(done.returncode, done.stdout, done.stderr, ())


def test_a_signature_is_whole_or_not_there(cage: Cage, park: Path) -> None:
    before = visible(park)
    for number in range(1, 20):
        for befalls in ("refused at", "stopped at", "killed at"):
            ended = cage.run(*SIGN, cwd=park, befalls=[(befalls, number)])
            folder = park / "sign-offs"
            if (park / SIGNED).exists():
                assert b"statement:" in (park / SIGNED).read_bytes()
                assert (park / SIGNED).read_bytes().endswith(b"\n")
                (park / SIGNED).unlink()
            else:
                assert ended.status in (2, -9)
            left = list(folder.glob(".dietcheck-*")) if folder.exists() else []
            # What may not even be cleared away stays, under a name that is no record.
            assert not left or befalls == "killed at" or ended.seen[-1].startswith("os.remove")
            for one in left:
                one.unlink()
            if folder.exists():
                folder.rmdir()
            assert visible(park) == before
        if ended.status == 0:
            return
    raise AssertionError("it never came to an end")


def test_a_beginning_is_whole_or_not_there(cage: Cage, tmp_path: Path) -> None:
    assert cage.run("start", "whole", "--country", "GB", cwd=tmp_path).status == 0
    names = set(listing(tmp_path / "whole"))
    shutil.rmtree(tmp_path / "whole")
    for number in range(1, 80, 1 if ALL else 20):
        for befalls in ("refused at", "killed at"):
            ended = cage.run(*START, cwd=tmp_path, befalls=[(befalls, number)])
            new = tmp_path / "new"
            assert not new.exists() or set(listing(new)) == names
            assert (ended.status == 0) is new.exists() or befalls == "killed at"
            left = list(tmp_path.glob(".dietcheck-*"))
            assert not left or befalls == "killed at"
            for one in (*left, *([new] if new.exists() else [])):
                shutil.rmtree(one)
        if ended.status == 0:
            return
    raise AssertionError("it never came to an end")


@pytest.mark.parametrize("job", ["ration", "order"])  # these need no file of ours any more
def test_a_folder_that_may_only_be_read_is_told(cage: Cage, sound: Path, job: str) -> None:
    """Run as nobody where the tests are run by root, to whom nothing is forbidden."""
    arguments, file = JOBS[job]
    with tempfile.TemporaryDirectory() as top:
        park = Path(top) / "park"
        shutil.copytree(sound, park)
        folders = (Path(top), park, *(p for p in park.rglob("*") if p.is_dir()))
        for folder in folders:
            folder.chmod(0o555)
        try:
            ended = cage.run(*arguments, cwd=park, befalls=[("as nobody", None)])
        finally:
            for folder in folders:
                folder.chmod(0o755)
        orderly(ended, 2)
        assert (park / file).read_bytes() == OLD


@pytest.mark.parametrize("way", ["file", "folder"])
def test_what_may_not_be_read_is_told_and_never_passes(cage: Cage, way: str) -> None:
    with tempfile.TemporaryDirectory() as top:
        park = write(Path(top) / "park", {"more/foods.yaml": records.foods(hay="{same_as: hay}")})
        for folder in (Path(top), park):
            folder.chmod(0o755)
        shut = park / "more" / "foods.yaml" if way == "file" else park / "more"
        shut.chmod(0)
        try:
            for command in (("screen", *DAY), ("prep", *DAY), SIGN, ("ration", ".", "tapir", *DAY)):
                ended = cage.run(*command, cwd=park, befalls=[("as nobody", None)])
                orderly(ended, 1, 2)
                assert "more" in ended.said
        finally:
            shut.chmod(0o755)


def test_two_runs_at_once_leave_one_whole_report(park: Path) -> None:
    arguments, file = JOBS["report"]
    one = subprocess.run([SCRIPT, *arguments], cwd=park, capture_output=True, check=False)
    alone = (park / file).read_bytes()
    (park / file).unlink()
    with ThreadPoolExecutor(3) as pool:
        runs = pool.map(
            lambda _: subprocess.run(
                [SCRIPT, *arguments], cwd=park, capture_output=True, check=False
            ),
            range(3),
        )
        ended = [(done.returncode, done.stdout) for done in runs]
    assert ended == [(one.returncode, one.stdout)] * 3
    assert (park / file).read_bytes() == alone
    assert not list((park / "out").glob(".dietcheck-*"))


RACES = ((SIGN, "park", SIGNED), (START, ".", "new/dietcheck.yaml"))


@pytest.mark.parametrize(("arguments", "folder", "made"), sample(RACES, 2))
def test_of_two_who_sign_or_begin_at_once_one_is_refused(
    park: Path, arguments: tuple[str, ...], folder: str, made: str
) -> None:
    cwd = park.parent / folder
    for _ in range(5 if ALL else 1):
        with ThreadPoolExecutor(2) as pool:
            runs = pool.map(
                lambda _, a=arguments, c=cwd: (
                    subprocess.run([SCRIPT, *a], cwd=c, capture_output=True, check=False).returncode
                ),
                range(2),
            )
            assert sorted(runs) == [0, 2]
        (cwd / made).unlink()
        for left in (*park.parent.glob("new"), *park.glob("sign-offs")):
            shutil.rmtree(left)
