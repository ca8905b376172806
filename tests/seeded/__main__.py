"""`python -m tests.seeded --runs 3000 --seed 1 --jobs 2`: break the park, count what is caught.

Every second run breaks, instead of the example, a sound park made by chance. Prints a line for each
fault: how often it was caught as grave as the table says, only less gravely, or missed; then the
harmless changes and whether a high finding came of them. `--table` prints the same as Markdown.
Ends with 1 when a fault was missed or wolf was cried.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from random import Random

from dietcheck.screening.checks import Severity
from tests.seeded import amounts, foods, harmless, records
from tests.seeded.generated import generated
from tests.seeded.park import Park, judge, known, news, seen, sound
from tests.seeded.registry import FAULTS, HARMLESS, Broken, expected

GRAVE = {Severity.LOW: 0, Severity.MEDIUM: 1, Severity.HIGH: 2}
CAUGHT, LESS, MISSED, QUIET, CRIED = "caught", "less grave", "missed", "quiet", "cried wolf"
MADE_PARKS = 40
Outcome = tuple[str, str, str]  # the fault, what came of it, the seed and the fault in words


def tried(name: str, seed: int) -> Outcome:
    """Break a copy of a park in one way and judge it."""
    made = FAULTS.get(name) or HARMLESS[name]
    base = generated(seed // 2 % MADE_PARKS) if seed % 2 else sound()
    park = base.copy()
    broken = made(park, Random(f"{name} {seed}"))
    told = f"{name} {seed}: {broken.what}"
    verdict = _fault(name, broken, park, base) if name in FAULTS else _harmless(park, base)
    return name, verdict, told


def _fault(name: str, broken: Broken, park: Park, base: Park) -> str:
    wanted = expected()[name]
    grades = [
        GRAVE[Severity(finding.severity)]
        for finding in news(park, base)
        if finding.rule in wanted.rules
        and any(place.file in broken.names() for place in finding.check.places)
    ]
    if not grades:
        return MISSED
    return CAUGHT if max(grades) >= GRAVE[wanted.severity] else LESS


def _harmless(park: Park, base: Park) -> str:
    """A high finding that the example lacks, of the change or of the park made by chance."""
    found = [one for one in judge(park, base).findings if seen(one) not in known(sound())]
    return CRIED if any(finding.severity == Severity.HIGH for finding in found) else QUIET


def main() -> int:
    """Run it all and print the table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--runs", type=int, default=600, help="how many broken parks in all")
    asked.add_argument("--seed", type=int, default=1, help="another seed, other parks")
    asked.add_argument("--jobs", type=int, default=2)
    asked.add_argument("--only", nargs="*", help="these faults alone")
    asked.add_argument("--table", action="store_true", help="print a table in Markdown")
    given = asked.parse_args()
    names = [n for n in (*FAULTS, *HARMLESS) if not given.only or n in given.only]
    rounds = -(-given.runs // len(names))
    first = given.seed * 1_000_000
    jobs = [(name, first + i) for i in range(rounds) for name in names][: given.runs]
    if given.jobs == 1:
        done = [tried(*job) for job in jobs]
    else:
        with ProcessPoolExecutor(given.jobs) as pool:
            done = list(pool.map(tried, *zip(*jobs, strict=True), chunksize=8))
    return report(done, _markdown if given.table else _plain)


def _plain(name: str, source: str, counts: Counter[str]) -> str:
    row = ", ".join(f"{n} {verdict}" for verdict, n in sorted(counts.items()))
    return f"{name:32} {source:18} {row}"


def _markdown(name: str, source: str, counts: Counter[str]) -> str:
    wanted = expected()[name].severity if name in FAULTS else "no high"
    return _cells(name.replace("_", " "), source, wanted, counts)


def _cells(name: str, source: str, wanted: str, counts: Counter[str]) -> str:
    caught = (counts[CAUGHT] + counts[QUIET], counts[LESS], counts[MISSED] + counts[CRIED])
    return f"| {' | '.join(map(str, (name, source, wanted, counts.total(), *caught)))} |"


def _kinds(done: list[Outcome]) -> Iterator[str]:
    """The table once more, a line a kind of fault."""
    for module in (amounts, foods, records, harmless):
        made = {**FAULTS, **HARMLESS}
        names = {name for name, of in made.items() if of.__module__ == module.__name__}
        counts = Counter(verdict for name, verdict, _ in done if name in names)
        title = (module.__doc__ or "").split("\n")[0].rstrip(".")
        yield _cells(title, f"{len(names)} ways", "", counts)


def report(done: list[Outcome], row: Callable[[str, str, Counter[str]], str]) -> int:
    """Print what came of it; 1 where something was missed or cried."""
    for name in dict.fromkeys(name for name, _, _ in done):
        source = expected()[name].source if name in FAULTS else "harmless"
        print(row(name, source, Counter(verdict for of, verdict, _ in done if of == name)))
    if row is _markdown:
        print("", *_kinds(done), sep="\n")
    bad = [told for _, verdict, told in done if verdict in {LESS, MISSED, CRIED}]
    for told in bad[:40]:
        print(f"  {told}")
    totals = Counter(verdict for _, verdict, _ in done)
    print(", ".join(f"{n} {verdict}" for verdict, n in sorted(totals.items())), f"of {len(done)}")
    return 1 if bad else 0


if __name__ == "__main__":
    raise SystemExit(main())
