"""Writes down what dietcheck says of many collections, to compare two versions byte by byte.

    python -m tests.benchmark.answers FOLDER

writes the JSON and the page for the terminal of the example park, each of its drafts and some
synthetic collections into the folder. A change that should only be faster must leave every byte:
run it before and after, and compare the folders with `diff -r`.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

from dietcheck.reading import Folder
from dietcheck.reporting import Asked, render, terminal
from dietcheck.screening.screen import Draft, screen
from tests.benchmark import parks

EXAMPLE = Path(__file__).parents[2] / "example_repo"


def drafts_of(draft: Path) -> list[Draft]:
    """The files of one draft of the example park, as the screen takes them."""
    files = [draft] if draft.is_file() else sorted(draft.glob("*.yaml"))
    return [(f"drafts/{file.relative_to(draft.parent)}", file.read_bytes()) for file in files]


def answers(root: Path, on: date, drafts: Sequence[Draft] = ()) -> dict[str, str]:
    """Everything said of one collection, by kind of output."""
    report = screen(Folder(root), on, drafts)
    return {"txt": terminal.render(report, Asked()), "json": render("json", report, Asked())}


def cases(scratch: Path) -> Iterator[tuple[str, Path, date, list[Draft]]]:
    """Name, folder, day and drafts of each case."""
    yield "example", EXAMPLE, parks.ON, []
    yield "example-later", EXAMPLE, date(2027, 3, 1), []
    for draft in sorted((EXAMPLE / "drafts").iterdir()):
        if draft.name != "README.md":
            yield f"draft-{draft.stem}", EXAMPLE, parks.ON, drafts_of(draft)
    made = {
        "plain": parks.park(46),
        "distinct": parks.park(46, distinct=True),
        "wild": parks.wild(60),
        "wilder": parks.wild(60, seed=2),
    }
    for name, files in made.items():
        parks.write(files, scratch / name)
        yield name, scratch / name, parks.ON, []


def main(folder: str) -> None:
    """Write the answers of every case."""
    with TemporaryDirectory() as scratch:
        for name, root, on, drafts in cases(Path(scratch)):
            for kind, text in answers(root, on, drafts).items():
                Path(folder, f"{name}.{kind}").write_text(text)


if __name__ == "__main__":
    Path(sys.argv[1]).mkdir(parents=True, exist_ok=True)
    main(sys.argv[1])
