"""Every way of installing gives the same working tool, and foreign rule packs are found and fenced.

Dependencies come from the environment that runs the tests, so that only dietcheck itself is
installed here; that its list of dependencies is whole is shown by the hook's tests.
"""

from __future__ import annotations

import json
import sys
import sysconfig
import venv
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

import dietcheck
from tests import records
from tests.checkout import CHECKOUT, EXAMPLE_DAY, copy_checkout, environment, run, succeed

WAYS = ("a folder", "a folder, editable", "a source archive", "a git repository")
PACKAGES = {"dietcheck": "dietcheck", "dietcheck_rules": "rules/dietcheck_rules"}
PIP = ("--quiet", "--no-deps", "--no-build-isolation", "--no-index")

LOOK = """
import importlib.metadata, json, dietcheck, dietcheck_rules
(point,) = importlib.metadata.entry_points(group="dietcheck", name="dietcheck_rules")
print(json.dumps({
    "dietcheck": dietcheck.__path__[0],
    "dietcheck_rules": dietcheck_rules.__path__[0],
    "point": point.load() is dietcheck_rules,
    "version": importlib.metadata.version("dietcheck"),
}))
"""


@pytest.fixture(scope="module")
def source(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A committed copy of this checkout."""
    folder = tmp_path_factory.mktemp("source") / "dietcheck"
    copy_checkout(folder)
    return folder


def requirement(way: str, source: Path, scratch: Path) -> tuple[str, ...]:
    """What is handed to `pip install`."""
    match way:
        case "a folder":
            return (str(source),)
        case "a folder, editable":
            return ("--editable", str(source))
        case "a source archive":
            build = (sys.executable, "-m", "hatchling", "build", "--target", "sdist")
            succeed(*build, "--directory", scratch, cwd=source)
            (archive,) = scratch.glob("*.tar.gz")
            return (str(archive),)
        case _:
            return (f"git+{source.as_uri()}",)


@dataclass(frozen=True, slots=True)
class Place:
    """An environment with dietcheck in it, and an unrelated folder to work in."""

    bin: Path
    elsewhere: Path

    def run(self, *command: str | Path) -> tuple[int, str]:
        """Run a program of the environment: its exit status and what it printed."""
        done = run(self.bin / command[0], *command[1:], cwd=self.elsewhere)
        assert "Traceback" not in done.stdout, done.stdout
        return done.returncode, done.stdout


def new_place(scratch: Path) -> Place:
    """An empty environment that borrows the dependencies of the one running the tests."""
    root = scratch / "env"
    venv.create(root, symlinks=True)
    scheme = {"base": str(root), "platbase": str(root)}
    own = Path(sysconfig.get_path("purelib", "venv", scheme))
    # its own site-packages stay first, so what is installed here hides what is installed there
    (own / "borrowed.pth").write_text(sysconfig.get_path("purelib") + "\n")
    elsewhere = scratch / "elsewhere"
    elsewhere.mkdir()
    return Place(Path(sysconfig.get_path("scripts", "venv", scheme)), elsewhere)


@pytest.mark.parametrize("way", WAYS)
def test_each_way_of_installing_gives_the_same_working_tool(
    way: str, source: Path, tmp_path: Path
) -> None:
    place = new_place(tmp_path)
    pip = (sys.executable, "-m", "pip", "--python", place.bin / "python", "install", *PIP)
    succeed(*pip, *requirement(way, source, tmp_path), cwd=tmp_path)

    status, said = place.run("python", "-I", "-c", LOOK)
    assert status == 0, said
    seen = json.loads(said)
    for name, folder in PACKAGES.items():
        assert set(files_of(source / folder)) <= set(files_of(Path(seen[name]))), name
        assert Path(seen[name]).is_relative_to(source if "editable" in way else tmp_path)
    assert seen["point"]
    assert seen["version"] == dietcheck.__version__

    park = ("screen", source / "example_repo", "--on", EXAMPLE_DAY)
    by_name = place.run("dietcheck", *park)
    assert by_name == place.run("python", "-I", "-m", "dietcheck", *park)
    assert by_name[0] == 0, by_name[1]


def files_of(folder: Path) -> Iterable[str]:
    """The files of a package, data files too."""
    for file in folder.rglob("*"):
        if file.is_file() and "__pycache__" not in file.parts:
            yield file.relative_to(folder).as_posix()


@pytest.fixture(scope="module")
def toys(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the toy packs installed in it by pip."""
    work = tmp_path_factory.mktemp("toys")
    pip = (sys.executable, "-m", "pip", "install", *PIP, "--target", work / "packs")
    succeed(*pip, CHECKOUT / "tests" / "toy_pack", cwd=work)
    return work / "packs"


def screen_with(packs: str, toys: Path, work: Path) -> tuple[int, str, dict[str, Any]]:
    """Screen a small park that names these packs: status, what was printed, the JSON report."""
    files = records.small(dietcheck=records.settings(more=f"packs: [{packs}]"))
    for name, text in files.items():
        (work / name).write_text(text, encoding="utf-8")
    command = (sys.executable, "-m", "dietcheck", "screen", work, "--on", records.ON.isoformat())
    report = work / "report.json"
    env = environment(PYTHONPATH=str(toys))
    done = run(*command, "--write", f"json:{report}", cwd=work, env=env)
    assert "Traceback" not in done.stdout, done.stdout
    return (
        done.returncode,
        done.stdout,
        json.loads(report.read_text(encoding="utf-8")) if report.exists() else {},
    )


def found(report: dict[str, Any]) -> set[tuple[str, str]]:
    """The rule and the verdict of each finding."""
    return {(finding["rule"], finding["verdict"]) for finding in report["findings"]}


def test_a_pack_that_somebody_else_wrote_judges_beside_our_own(toys: Path, tmp_path: Path) -> None:
    status, _, report = screen_with("dietcheck_rules, toy_pack", toys, tmp_path)
    assert status == 1
    assert ("toy-no-carrots", "breach") in found(report)
    assert "unknown-food" in {check["rule"] for check in report["checks"]}


@pytest.mark.parametrize("pack", ["toy_that_nobody_wrote", "toy_of_an_older_contract"])
def test_a_pack_that_cannot_be_used_stops_the_job_and_is_named(
    toys: Path, tmp_path: Path, pack: str
) -> None:
    status, said, report = screen_with(f"dietcheck_rules, {pack}", toys, tmp_path)
    assert status == 2
    assert pack in said
    assert not report


def test_rules_that_fail_are_reported_and_the_others_still_judge(
    toys: Path, tmp_path: Path
) -> None:
    status, said, report = screen_with("dietcheck_rules, toy_with_faults", toys, tmp_path)
    assert status == 2
    assert {("toy-raises", "cannot-tell"), ("toy-says-nothing", "cannot-tell")} <= found(report)
    assert ("toy-no-carrots", "breach") in found(report)
    assert "toy mistake over tapir" in said + json.dumps(report)
