"""`python -m tests.seeded --runs 3000 --seed 1 --jobs 2`: break the park, count what is caught.

Prints a line for each fault: how often it was caught as grave as the table says, only less gravely,
or missed; then the harmless changes and whether a high finding came of them. Ends with 1 when a
fault was missed or wolf was cried.
"""

from __future__ import annotations

import argparse
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from random import Random

from dietcheck.screening.checks import Severity
from tests.seeded import amounts, foods, harmless, records  # noqa: F401 - they register themselves
from tests.seeded.park import judge, news, sound
from tests.seeded.registry import FAULTS, HARMLESS, Broken, expected

GRAVE = {Severity.LOW: 0, Severity.MEDIUM: 1, Severity.HIGH: 2}
CAUGHT, LESS, MISSED, QUIET, CRIED = "caught", "less grave", "missed", "quiet", "cried wolf"
Outcome = tuple[str, str, str]  # the fault, what came of it, the seed and the fault in words


def tried(name: str, seed: int) -> Outcome:
    """Break a copy of the park in one way and judge it."""
    made = FAULTS.get(name) or HARMLESS[name]
    park = sound().copy()
    broken = made(park, Random(f"{name} {seed}"))
    told = f"{name} {seed}: {broken.what}"
    verdict = _fault(name, broken, park) if name in FAULTS else _harmless(park)
    return name, verdict, told


def _fault(name: str, broken: Broken, park: object) -> str:
    wanted = expected()[name]
    grades = [
        GRAVE[Severity(finding.severity)]
        for finding in news(judge(park))  # type: ignore[arg-type]
        if finding.rule in wanted.rules
        and any(place.file in broken.names() for place in finding.check.places)
    ]
    if not grades:
        return MISSED
    return CAUGHT if max(grades) >= GRAVE[wanted.severity] else LESS


def _harmless(park: object) -> str:
    found = news(judge(park))  # type: ignore[arg-type]
    return CRIED if any(finding.severity == Severity.HIGH for finding in found) else QUIET


def main() -> int:
    """Run it all and print the table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--runs", type=int, default=600, help="how many broken parks in all")
    asked.add_argument("--seed", type=int, default=1, help="another seed, other parks")
    asked.add_argument("--jobs", type=int, default=2)
    asked.add_argument("--only", nargs="*", help="these faults alone")
    given = asked.parse_args()
    names = [n for n in (*FAULTS, *HARMLESS) if not given.only or n in given.only]
    jobs = [(names[i % len(names)], given.seed * 1_000_000 + i) for i in range(given.runs)]
    with ProcessPoolExecutor(given.jobs) as pool:
        done = list(pool.map(tried, *zip(*jobs, strict=True), chunksize=8))
    return report(done)


def report(done: list[Outcome]) -> int:
    """Print what came of it; 1 where something was missed or cried."""
    counts = Counter((name, verdict) for name, verdict, _ in done)
    for name in dict.fromkeys(name for name, _, _ in done):
        row = ", ".join(f"{n} {v}" for (of, v), n in sorted(counts.items()) if of == name)
        source = expected()[name].source if name in FAULTS else "harmless"
        print(f"{name:32} {source:18} {row}")
    bad = [told for _, verdict, told in done if verdict in {LESS, MISSED, CRIED}]
    for told in bad[:40]:
        print(f"  {told}")
    totals = Counter(verdict for _, verdict, _ in done)
    print(", ".join(f"{n} {verdict}" for verdict, n in sorted(totals.items())), f"of {len(done)}")
    return 1 if bad else 0


if __name__ == "__main__":
    raise SystemExit(main())
