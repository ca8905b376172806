"""Looks for bytes that break a law, guided by which branches they reach (needs `atheris`).

    python -m tests.fuzz quantity --runs 1000000
    python -m tests.fuzz draft --seconds 60 --corpus FOLDER

Ends with status 0 when nothing was found. What is found is printed with its traceback, and its
bytes are written to a file `crash-…` in the folder that it is started in.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

import atheris

with atheris.instrument_imports(
    include=["dietcheck", "dietcheck_rules"], enable_loader_override=False
):
    from tests.fuzz.targets import TARGETS

from tests.fuzz.seeds import WORDS, seeds


def main() -> None:
    """Fuzz one target, as the command line asks."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("target", choices=TARGETS)
    parser.add_argument("--runs", type=int, default=-1, help="how many; left out: no end")
    parser.add_argument("--seconds", type=int, default=0, help="how long; left out: no end")
    parser.add_argument("--corpus", type=Path, help="a folder that keeps what reached new places")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        corpus = given.corpus or Path(scratch) / "corpus"
        corpus.mkdir(parents=True, exist_ok=True)
        for number, seed in enumerate(seeds(given.target)):
            (corpus / f"seed-{number}").write_bytes(seed)
        words = Path(scratch) / "words"
        words.write_text("".join(f'"{word}"\n' for word in WORDS), encoding="ascii")
        options = [
            f"-runs={given.runs}",
            f"-max_total_time={given.seconds}",
            f"-dict={words}",
            "-timeout=20",
            "-rss_limit_mb=1500",
            f"-max_len={90 if given.target == 'quantity' else 4000}",
            "-print_final_stats=1",
            "-verbosity=0",
        ]
        atheris.Setup([sys.argv[0], *options, str(corpus)], TARGETS[given.target])
        atheris.Fuzz()


if __name__ == "__main__":
    main()
