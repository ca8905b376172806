"""`python -m tests.mutation --sample 400 --seed 1`: would the tests notice a slip of the hand?

Changes one thing in one line (a comparison, a figure, a condition, a call), runs the tests that
reach the line, and tells which changes nobody noticed. Prints the score and ends with 1 below
`--least`. FILES are files or folders; without any, those that decide what is safe.
"""

from __future__ import annotations

import argparse
import os
import tempfile
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from itertools import count
from pathlib import Path
from queue import SimpleQueue
from random import Random

from tests.mutation.operators import Mutant, mutants
from tests.mutation.running import ROOT, Fate, Reach, copied, explained, fate, measure

FIRST_TURN = 1_000_000_000  # a time of change that no file has
DECIDING = ("rules/dietcheck_rules", "dietcheck/nutrition", "dietcheck/screening")


def main() -> int:
    """Make, try and count."""
    told = _arguments()
    files = _files(told.files or DECIDING)
    chosen = sample(files, told.sample, Random(told.seed))
    print(f"{len(chosen)} changes in {len({mutant.file for mutant in chosen})} files", flush=True)
    with tempfile.TemporaryDirectory() as scratch:
        copies: SimpleQueue[Path] = SimpleQueue()
        for number in range(told.jobs):
            copies.put(copied(Path(scratch, str(number))))
        database = told.reach or Path(scratch, "reach")
        if not database.exists():
            place = copies.get()
            measure(place, database, told.within)
            copies.put(place)
        reach = Reach.read(database, files)
        turns = count(FIRST_TURN)

        known = explained()

        def judged(mutant: Mutant) -> Fate:
            if (mutant.file, mutant.before, mutant.after) in known:
                return Fate.EXPLAINED
            place = copies.get()
            try:
                turn = next(turns)
                came = fate(mutant, reach.tests(mutant, told.tests), place, turn)
            finally:
                copies.put(place)
            print(f"{turn - FIRST_TURN + 1} {came.value}: {mutant.name}", flush=True)
            return came

        with ThreadPoolExecutor(told.jobs) as pool:
            fates = Counter(pool.map(judged, chosen))
    noticed = fates[Fate.KILLED] + fates[Fate.CIRCLES]
    print(", ".join(f"{fates[came]} {came.value}" for came in Fate))
    asked = len(chosen) - fates[Fate.EXPLAINED]
    print(f"score {noticed / max(asked, 1):.1%} of what is not explained")
    return int(noticed < told.least * asked / 100)


def sample(files: list[str], size: int, die: Random) -> list[Mutant]:
    """So many mutants, taken from the files in turn so that each is tried."""
    piles = []
    for file in files:
        pile = list(mutants(file, (ROOT / file).read_text()))
        die.shuffle(pile)
        piles.append(pile)
    die.shuffle(piles)
    rounds = (
        pile[turn] for turn in range(max(map(len, piles))) for pile in piles if turn < len(pile)
    )
    return [mutant for mutant, _ in zip(rounds, range(size), strict=False)]


def _files(names: list[str] | tuple[str, ...]) -> list[str]:
    found: set[Path] = set()
    for name in names:
        place = ROOT / name
        found.update(place.rglob("*.py") if place.is_dir() else [place])
    return sorted(file.resolve().relative_to(ROOT).as_posix() for file in found)


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("files", nargs="*", metavar="FILES")
    parser.add_argument("--sample", type=int, default=400, metavar="N")
    parser.add_argument("--seed", type=int, default=1, metavar="S")
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    parser.add_argument(
        "--tests",
        type=int,
        default=100,
        help="at most so many for a change; one they let live counts",
    )
    parser.add_argument("--least", type=float, default=0, help="the score to reach, in per cent")
    parser.add_argument(
        "--within", nargs="+", default=[], metavar="TESTS", help="only tests of these places"
    )
    parser.add_argument("--reach", type=Path, help="keep here which test reaches which line")
    return parser.parse_args()


if __name__ == "__main__":
    raise SystemExit(main())
