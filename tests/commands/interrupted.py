"""A program of its own: presses Ctrl-C at moments at which a command touches the disk.

Reads jobs as JSON from standard input, each a name and the words after `dietcheck`; runs each in a
fresh copy of a folder, once undisturbed and once for each chosen moment; prints what was left.
`{top}` in a word is the copy. A stopped run is a forked child, so that nothing is loaded twice.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import signal
import sys
from contextlib import redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path

MOST = 5  # moments for each command, spread over all that there are
WRITING = ("os.rename", "os.link", "os.mkdir", "os.remove", "os.rmdir")


class Finger:
    """Counts how often a folder is written to, and presses Ctrl-C at one of the times."""

    def __init__(self, top: Path) -> None:
        self.top = str(top)
        self.seen = 0
        self.at = 0
        sys.addaudithook(self.note)

    def note(self, event: str, arguments: tuple[object, ...]) -> None:
        """What Python tells of everything that is opened, moved or removed."""
        writes = event == "open" and isinstance(arguments[1], str) and arguments[1] != "r"
        if (writes or event in WRITING) and str(arguments[0]).startswith(self.top):
            self.seen += 1
            if self.seen == self.at:
                os.kill(os.getpid(), signal.SIGINT)


def left_in(top: Path) -> dict[str, str]:
    """Everything in a folder but git's own: name → digest of its bytes, or `folder`."""
    return {
        str(path.relative_to(top)): hashlib.sha256(path.read_bytes()).hexdigest()
        if path.is_file()
        else "folder"
        for path in top.rglob("*")
        if ".git" not in path.relative_to(top).parts
    }


def run(words: list[str], source: Path, finger: Finger, at: int) -> dict[str, object]:
    """One run in a fresh copy: its status, and what is there afterwards."""
    from dietcheck.__main__ import main

    top = Path(finger.top)
    shutil.copytree(source, top)
    words = [word.replace("{top}", str(top)) for word in words]
    if at == 0:  # here, so that the forked ones find everything loaded
        finger.seen = 0
        with redirect_stdout(StringIO()), redirect_stderr(StringIO()):
            status = main(words)
        written = finger.seen
    else:
        if (child := os.fork()) == 0:
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, 1)
            os.dup2(nowhere, 2)
            finger.seen, finger.at = 0, at
            os._exit(main(words))
        status, written = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), 0
    left = left_in(top)
    shutil.rmtree(top)
    return {"status": status, "written": written, "left": left}


def tried(words: list[str], source: Path, finger: Finger) -> list[dict[str, object]]:
    """The undisturbed run first, then the stopped ones."""
    whole = run(words, source, finger, 0)
    last = int(str(whole["written"]))
    moments = range(1, last + 1, -(-last // MOST))
    return [whole, *(run(words, source, finger, at) for at in moments)]


if __name__ == "__main__":
    signal.signal(signal.SIGINT, signal.default_int_handler)  # a job in the background has it off
    source, finger = Path(sys.argv[1]), Finger(Path(sys.argv[2]))
    print(json.dumps({name: tried(words, source, finger) for name, words in json.load(sys.stdin)}))
