"""`python -m tests.benchmark.counts`: the instructions of three fixed cases, without a clock.

valgrind's callgrind counts what the processor executes, which does not depend on how busy the
machine is. The counts kept in `counts.csv` are compared with new ones; more than the tolerance
above is a slow-down and ends with 1, more below asks to renew them. `--renew` writes them anew for
this minor version of Python. Where none are kept for a Python, that is said and nothing compared.
"""

from __future__ import annotations

import argparse
import csv
import os
import platform
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmark import parks

KEPT = Path(__file__).with_name("counts.csv")
ROOT = Path(__file__).parents[2]
TOLERANCE = 3  # per cent
LOOSER = 6  # another build of the same minor version: another patch level, another compiler
ENVIRONMENT = {"PYTHONHASHSEED": "0", "PATH": os.defpath, "LC_ALL": "C.UTF-8", "TZ": "UTC"}
READ_ALL = "import sys; from dietcheck.reading import *; read_repository(Folder(sys.argv[1]))"

Row = dict[str, str]


def cases(scratch: Path) -> Mapping[str, list[str]]:
    """Name → what Python is asked to do. The parks lie in the scratch folder, outside git."""
    example, made = str(scratch / "example"), str(scratch / "made")
    on = ["--on", str(parks.ON)]
    return {
        "screen of example_repo": ["-m", "dietcheck", "screen", example, *on],
        "reading of 15 groups": ["-c", READ_ALL, made],
        "ration of the tapirs": ["-m", "dietcheck", "ration", example, "tapir", *on],
    }


def count(asked: list[str], home: Path) -> int:
    """Instructions of one run of Python. Raises SystemExit when it cannot be counted."""
    environment = {**ENVIRONMENT, "HOME": str(home), "XDG_CACHE_HOME": str(home / "cache")}
    command = [sys.executable, "-X", "utf8", *asked]
    plain = subprocess.run(command, env=environment, cwd=ROOT, capture_output=True)  # compiles it
    if plain.returncode not in (0, 1):
        raise SystemExit(f"{' '.join(asked)}: {plain.stderr.decode()}")
    shutil.rmtree(home / "cache", ignore_errors=True)  # cold, as the first run was
    counting = ["valgrind", "--tool=callgrind", "--callgrind-out-file=/dev/null", *command]
    told = subprocess.run(counting, env=environment, cwd=ROOT, capture_output=True, text=True)
    found = re.search(r"Collected : (\d+)", told.stderr)
    if not found:
        raise SystemExit(f"valgrind counted nothing:\n{told.stderr[-2000:]}")
    return int(found[1])


def measure() -> Iterator[tuple[str, int]]:
    """Each case with its count."""
    with TemporaryDirectory() as folder:  # its name is always as long: paths are handled too
        scratch = Path(folder)
        shutil.copytree(ROOT / "example_repo", scratch / "example")
        parks.write(parks.park(15, distinct=True), scratch / "made")
        for case, asked in cases(scratch).items():
            yield case, count(asked, scratch)


def kept() -> list[Row]:
    """The rows of the table."""
    with KEPT.open(newline="", encoding="utf-8") as held:
        return list(csv.DictReader(held))


def minor() -> str:
    """The minor version of this Python."""
    return ".".join(platform.python_version_tuple()[:2])


def renew() -> None:
    """Write the counts of this Python anew."""
    with_what = f"{platform.python_version()}, {platform.python_compiler()}, {platform.machine()}"
    rows = [row for row in kept() if row["python"] != minor()] if KEPT.exists() else []
    for case, found in measure():
        print(f"{case}: {found:,} instructions", flush=True)
        rows.append(
            {
                "python": minor(),
                "case": case,
                "instructions": str(found),
                "measured with": with_what,
            }
        )
    rows.sort(key=lambda row: tuple(map(int, row["python"].split("."))))
    with KEPT.open("w", newline="", encoding="utf-8") as held:
        writer = csv.DictWriter(held, list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def judged(row: Row, found: int, version: str) -> tuple[str, bool]:
    """A count beside the kept one in words, and whether it is a slow-down."""
    same = row["measured with"].startswith(f"{version},")
    limit = TOLERANCE if same else LOOSER
    before = int(row["instructions"])
    slower = found * 100 > before * (100 + limit)
    verdict = "SLOWER" if slower else "as before"
    if found * 100 < before * (100 - limit):
        verdict = "faster: renew the counts"
    change = f"{found / before - 1:+.1%} ({limit} % allowed)"
    return f"{row['case']}: {found:,} instructions, {change}: {verdict}", slower


def check() -> int:
    """Compare with what is kept; 1 when a case has become slower."""
    rows = {row["case"]: row for row in kept() if row["python"] == minor()}
    if not rows:
        print(f"No counts kept for Python {minor()}; nothing compared.")
        return 0
    slower = 0
    for case, found in measure():
        told, slow = judged(rows[case], found, platform.python_version())
        slower |= slow
        print(told, flush=True)
    if slower:
        print("Make it as fast as it was, or say in the commit why not and renew the counts:")
        print("python -m tests.benchmark.counts --renew")
    return int(slower)


def main() -> int:
    """Count, and compare or renew."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--renew", action="store_true", help="keep the new counts")
    if shutil.which("valgrind") is None:
        print("valgrind is not installed, so no instructions are counted here.")
        return 0
    if asked.parse_args().renew:
        renew()
        return 0
    return check()


if __name__ == "__main__":
    raise SystemExit(main())
