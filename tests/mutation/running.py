"""Which tests reach a line, and whether they notice that it is wrong."""

from __future__ import annotations

import csv
import os
import resource
import shutil
import subprocess
import sys
from collections import Counter
from dataclasses import dataclass
from enum import Enum
from pathlib import Path, PurePosixPath

from coverage import CoverageData

from tests.mutation.operators import Mutant

ROOT = Path(__file__).resolve().parents[2]
SECONDS = 150  # of the processor, then a mutant runs in circles
LEFT_OUT = shutil.ignore_patterns(
    ".venv", ".mypy_cache", ".ruff_cache", ".hypothesis", ".coverage*"
)


class Fate(Enum):
    """What became of a mutant."""

    KILLED = "killed"
    CIRCLES = "ran in circles"
    ALIVE = "alive"
    UNREACHED = "no test reaches it"
    EXPLAINED = "explained"


@dataclass(frozen=True, slots=True)
class Reach:
    """Which tests run which line of which file, from a run with `--cov-context=test`."""

    lines: dict[str, dict[int, frozenset[str]]]
    breadth: Counter[str]

    @classmethod
    def read(cls, database: Path, files: list[str]) -> Reach:
        data = CoverageData(str(database))
        data.read()
        lines: dict[str, dict[int, frozenset[str]]] = {}
        breadth: Counter[str] = Counter()
        for measured in data.measured_files():
            tests = {
                line: frozenset(context.rpartition("|")[0] for context in contexts if context)
                for line, contexts in data.contexts_by_lineno(measured).items()
            }
            for reached in tests.values():
                breadth.update(reached)
            for file in files:
                if measured.endswith("/" + file):
                    lines[file] = tests
        return cls(lines, breadth)

    def tests(self, mutant: Mutant, most: int) -> list[str]:
        """The tests that reach a mutant, the likeliest to notice first, at most so many."""
        lines = self.lines.get(mutant.file, {})
        none: frozenset[str] = frozenset()
        found = none.union(
            *(lines.get(line, none) for line in range(mutant.line, mutant.last_line + 1))
        )
        direct = found or lines.get(mutant.statement_line, none)
        # What is kept (a cached answer, a table read with its module) is run by the first test
        # that needs it and used by others: any that uses the module may tell.
        path = PurePosixPath(mutant.file)
        found = direct.union(*lines.values()) or frozenset(
            test  # of a file that holds nothing but definitions: those of its package
            for test in self.breadth
            if PurePosixPath(test.partition("::")[0]).parent.name == path.parent.name
        )
        names = {f"test_{path.stem}.py", f"test_{path.parent.name}.py"}

        def nearness(test: str) -> tuple[bool, bool, int, str]:
            return (
                test not in direct,
                PurePosixPath(test.partition("::")[0]).name not in names,
                self.breadth[test],
                test,
            )

        return sorted(found, key=nearness)[:most]


def explained() -> frozenset[tuple[str, str, str]]:
    """The changes that mean nothing, or nothing that a test should hold: file, before, after.

    `explained.csv` says why of each; a change is named by its words, so that lines may move.
    """
    with Path(__file__).with_name("explained.csv").open(newline="") as table:
        rows = list(csv.DictReader(table))
    unsaid = [row for row in rows if not row["why"].strip()]
    if unsaid:
        raise ValueError(f"explained.csv gives no reason: {unsaid[0]}")
    return frozenset((row["file"], row["before"], row["after"]) for row in rows)


def copied(place: Path) -> Path:
    """A copy of the project in which files may be spoilt."""
    return Path(shutil.copytree(ROOT, place, ignore=LEFT_OUT, symlinks=True))


def measure(copy: Path, database: Path, places: list[str]) -> None:
    """Run the tests of some places once (none: every everyday test), noting what they reach."""
    command = ["-q", "-n", "2", "--cov", "--cov-branch", "--cov-context=test", "--cov-report="]
    subprocess.run(
        [sys.executable, "-m", "pytest", *command, *places],
        cwd=copy,
        env=_environment(copy) | {"COVERAGE_FILE": str(database)},
        check=True,
    )


def fate(mutant: Mutant, tests: list[str], copy: Path, turn: int) -> Fate:
    """Put the mutant into the copy, run its tests, and put the right text back."""
    if not tests:
        return Fate.UNREACHED
    file = copy / mutant.file
    right = file.read_bytes()
    chosen = copy / ".mutation-tests"
    chosen.write_text("\n".join(tests))
    try:
        file.write_text(mutant.text)
        os.utime(file, (turn, turn))  # else compiled code of the same size and second is reused
        ended = subprocess.run(
            [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", f"@{chosen}"],
            cwd=copy,
            env=_environment(copy),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            preexec_fn=_limited,
            timeout=6 * SECONDS,
        ).returncode
    except subprocess.TimeoutExpired:
        return Fate.CIRCLES
    finally:
        file.write_bytes(right)
        os.utime(file, (0, 0))
    if ended < 0:
        return Fate.CIRCLES
    return Fate.KILLED if ended else Fate.ALIVE


def _limited() -> None:
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))


def _environment(copy: Path) -> dict[str, str]:
    return os.environ | {"PYTHONPATH": os.pathsep.join((str(copy), str(copy / "rules")))}
