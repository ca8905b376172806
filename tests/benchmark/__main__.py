"""`python -m tests.benchmark [--quick]`: how fast, as ratios to what cannot be made faster.

Makes synthetic collections of 10, 100 and 1,000 groups, measures the cases in the table, plants
slips at known lines and looks whether each is found there. Each ratio is between programs run in
turn on the same machine: middle of some runs, of fewer where one takes long. `--quick` takes
collections a tenth of the size and few runs: a look, not the measurement.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import re
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import count
from math import log
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmark import defects, parks
from tests.benchmark.clock import BARE, DIETCHECK, forget, in_turn, peak, run
from tests.benchmark.peer import check_jsonschema

EXAMPLE = Path(__file__).parents[2] / "example_repo"
ON = ["--on", str(parks.ON)]
MB = 1_000_000
EVENTS = """
import sys, pathlib, yaml
for path in pathlib.Path(sys.argv[1]).rglob("*.yaml"):
    for event in yaml.parse(path.read_bytes(), Loader=yaml.CLoader):
        pass
"""


@dataclass(frozen=True)
class Asked:
    """How much is measured, and where."""

    scratch: Path
    large: int  # groups of the large collection; the others have a tenth and a hundredth
    short: int  # runs of what takes a moment
    long: int  # runs of what takes seconds

    def park(self, kind: str, groups: int) -> Path:
        """The folder of a synthetic collection, made when first asked for."""
        root = self.scratch / f"{kind}-{groups}"
        if not root.exists():
            parks.write(parks.park(groups, distinct=kind == "distinct"), root)
        return root

    @property
    def home(self) -> Path:
        """The home folder of the programs that are measured."""
        found = self.scratch / "home"
        found.mkdir(exist_ok=True)
        return found


@dataclass(frozen=True)
class Row:
    """A line of the table: what was measured, what must be reached and what is the aim."""

    case: str
    measured: float
    must: float
    aim: float
    unit: str  # how the figure is read: "×" a ratio
    told: str  # the absolute figures behind it


def screen(root: Path, *more: str) -> list[str]:
    """The command that screens a collection, in one process unless more is asked."""
    return [DIETCHECK, "screen", str(root), *ON, *(more or ("--cores", "1"))]


def plain(asked: Asked) -> Iterator[Row]:
    """The whole screen of a collection in which sheets are copies, beside the bare event stream."""
    park = asked.park("plain", asked.large)
    taken = in_turn({"screen": screen(park), "events": events(park)}, asked.long, asked.home)
    yield beside_events("plain", asked, taken)


def events(park: Path) -> list[str]:
    """The command that only reads the events of every file."""
    return [sys.executable, "-c", EVENTS, str(park)]


def beside_events(kind: str, asked: Asked, taken: Mapping[str, float]) -> Row:
    """The whole screen beside the bare event stream of the same bytes."""
    case = f"whole screen, {asked.large:,} groups, {kind}, cold, one process : event stream"
    told = f"{taken['screen']:.2f} s : {taken['events']:.2f} s"
    return Row(case, taken["screen"] / taken["events"], 5, 2.5, "×", told)


def distinct(asked: Asked) -> Iterator[Row]:
    """The same where nearly no amount is like another; a schema check; growth with the groups."""
    park = asked.park("distinct", asked.large)
    small, middle = asked.large // 100, asked.large // 10
    measured = {
        "screen": screen(park),
        "events": events(park),
        "small": screen(asked.park("distinct", small)),
        "middle": screen(asked.park("distinct", middle)),
    }
    taken = in_turn(measured, asked.long, asked.home)
    yield beside_events("distinct", asked, taken)
    peer = check_jsonschema(asked.scratch)
    if peer is None:
        print("check-jsonschema is not installed and cannot be: that row is left out.")
    else:
        sheets = sorted(map(str, (park / "diet-sheets").iterdir()))
        other = run([*peer, *sheets], asked.home).seconds
        told = f"{taken['screen']:.2f} s : {other:.2f} s (one run)"
        case = "the same : check-jsonschema of the diet sheets alone"
        yield Row(case, taken["screen"] / other, 0.5, 0.15, "×", told)
    # What a start takes is left out: it would make the growth look smaller than it is.
    grown = log((taken["screen"] - taken["small"]) / (taken["middle"] - taken["small"]))
    exponent = grown / log((asked.large - small) / (middle - small))
    told = ", ".join(f"{taken[size]:.2f} s" for size in ("small", "middle", "screen"))
    case = f"growth from {middle:,} to {asked.large:,} groups, exponent"
    yield Row(case, exponent, 1.05, 1, "", f"{told} for {small}, {middle} and {asked.large:,}")


def cores(asked: Asked) -> Iterator[Row]:
    """Two cores beside one, which must say the same."""
    park = asked.park("distinct", asked.large)
    commands = {number: screen(park, "--cores", number) for number in ("1", "2")}
    taken = in_turn(commands, asked.long, asked.home)
    said = set()
    for command in commands.values():
        forget(asked.home)
        said.add(run(command, asked.home).output)
    same = "the same bytes" if len(said) == 1 else "NOT THE SAME BYTES"
    told = f"{taken['2']:.2f} s : {taken['1']:.2f} s, {same}"
    yield Row("cold on two cores : one process", taken["2"] / taken["1"], 0.7, 0.55, "×", told)


def again(asked: Asked) -> Iterator[Row]:
    """A large collection that was screened before: as it was, and with one sheet changed."""
    park = asked.park("distinct", asked.large)
    command = [DIETCHECK, "screen", str(park), *ON]
    forget(asked.home)
    run(command, asked.home)
    programs = {"screen": command, "bare": BARE}
    taken = in_turn(programs, asked.short, asked.home, lambda: None)
    yield against_bare("nothing changed since the last run", taken, 12, 8)
    sheet = park / "diet-sheets" / "tapir-000.yaml"
    before = sheet.read_text()
    grams = count(601)

    def change() -> None:
        amount = f"food: carrot, amount: {next(grams)} g"
        sheet.write_text(re.sub(r"food: carrot, amount: [0-9.]+ g", amount, before, count=1))

    taken = in_turn(programs, asked.short, asked.home, change)
    sheet.write_text(before)
    yield against_bare(f"one diet sheet changed among {asked.large:,} groups", taken, 20, 12)


def example(asked: Asked) -> Iterator[Row]:
    """The example park, as a first run finds it."""
    taken = in_turn({"screen": screen(EXAMPLE), "bare": BARE}, asked.short, asked.home)
    yield against_bare("example_repo, cold", taken, 12, 6)


def against_bare(case: str, taken: Mapping[str, float], must: float, aim: float) -> Row:
    """A short case beside a Python that does nothing."""
    told = f"{taken['screen'] * 1000:.0f} ms : {taken['bare'] * 1000:.1f} ms"
    return Row(f"{case} : bare Python", taken["screen"] / taken["bare"], must, aim, "×", told)


def memory(asked: Asked) -> Iterator[Row]:
    """The most memory that is held at once."""
    most = peak(screen(asked.park("distinct", asked.large)), asked.home) / MB
    yield Row(f"peak memory, {asked.large:,} groups, MB", most, 150, 60, "", "resident, one run")


def page(asked: Asked) -> Iterator[Row]:
    """The report for the vet of a third of the groups: what it takes beside the screen alone."""
    groups = asked.large * 3 // 10
    park = asked.park("distinct", groups)
    written = asked.scratch / "report.html"
    taken = in_turn(
        {"plain": screen(park), "page": screen(park, "--cores", "1", "--write", f"html:{written}")},
        asked.long,
        asked.home,
    )
    size = f"a page of {written.stat().st_size / MB:.1f} MB"
    case = f"HTML report of {groups} groups, seconds"
    yield Row(f"{case}, screen included", taken["page"], 3, 1, "", size)
    told = f"{taken['page']:.2f} s less {taken['plain']:.2f} s"
    yield Row(f"{case}, beside the screen", taken["page"] - taken["plain"], 3, 1, "", told)


def planted(asked: Asked) -> bool:
    """Whether each planted slip is found at its line and nothing else is new at high."""
    files, slips = defects.plant(parks.park(asked.large, distinct=True), max(1, asked.large // 100))
    root, told = asked.scratch / "planted", asked.scratch / "findings.json"
    parks.write(files, root)
    taken = run(screen(root, "--cores", "2", "--write", f"json:{told}"), asked.home).seconds
    wrong = defects.compare(slips, json.loads(told.read_text())["findings"])
    missed = sum(one.startswith("missed") for one in wrong)
    print(
        f"\n{len(slips) - missed} of {len(slips)} planted slips of {len(defects.kinds())} kinds"
        f" found at their line, {len(wrong) - missed} high findings of anything else;"
        f" {taken:.2f} s"
    )
    for one in wrong[:20]:
        print(f"  {one}")
    return not wrong


def show(rows: list[Row]) -> None:
    """Print the table."""
    print(f"\n{'case':82} {'measured':>9} {'must':>7}      {'aim':>7}")
    for row in rows:
        reached = ["yes" if row.measured <= bound else "NO" for bound in (row.must, row.aim)]
        figures = f"{row.measured:8.2f}{row.unit:1} {row.must:6g}{row.unit:1} {reached[0]:3}"
        print(f"{row.case:82} {figures}  {row.aim:6g}{row.unit:1} {reached[1]:3}  {row.told}")


def main() -> int:
    """Measure everything; 1 when a planted slip was not found or something false was."""
    given = argparse.ArgumentParser(description=__doc__)
    given.add_argument("--quick", action="store_true", help="a tenth of the size, few runs")
    quick = given.parse_args().quick
    with TemporaryDirectory() as folder:
        asked = Asked(Path(folder), 100, 5, 1) if quick else Asked(Path(folder), 1000, 15, 3)
        describe(asked)
        rows = [row for case in CASES for row in case(asked)]
        show(rows)
        sound = planted(asked)
    return 0 if sound else 1


def describe(asked: Asked) -> None:
    """Say what is measured with what."""
    python = f"Python {platform.python_version()}, {os.cpu_count()} processors, {platform.system()}"
    print(python, f"load {os.getloadavg()[0]:.1f}", sep=", ")
    for kind in ("plain", "distinct"):
        held = [path.stat().st_size for path in asked.park(kind, asked.large).rglob("*.yaml")]
        size = f"{len(held):,} files, {sum(held) / MB:.1f} MB"
        print(f"{kind}: {asked.large:,} groups, {size}", flush=True)
    block = parks.park(parks.BLOCK)
    servings = parks.servings(block) * asked.large // parks.BLOCK
    print(f"about {servings:,} servings in the judged days: a food, an animal, a feed")


CASES = (plain, distinct, cores, again, example, memory, page)

if __name__ == "__main__":
    raise SystemExit(main())
