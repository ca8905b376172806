"""Hostile records of every kind before every command, each run in a child with limits.

An everyday run takes a sample; `tests/long` holds the whole table.
"""

from __future__ import annotations

import itertools
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.cage import Cage, Ended, sample
from tests.commands.console import listing
from tests.hostile.laws import orderly
from tests.hostile.park import COMMANDS, KINDS, TREATS, lay, whole
from tests.hostile.spoilt import NAMES, QUANTITIES, WHOLE, with_quantity

LATER = TREATS.replace("2026-11-20", "2026-11-26")


@pytest.fixture(scope="module")
def cage() -> Iterator[Cage]:
    """One server for all runs."""
    with Cage() as cage:
        yield cage


class Ground:
    """A committed park to be spoilt and made good again."""

    def __init__(self, top: Path, cage: Cage) -> None:
        self.top = top
        self.cage = cage
        self.sound = {n: text.encode() for n, text in whole().items()}
        lay(top, whole())
        git = ["git", "-c", "user.name=x", "-c", "user.email=x@example.org"]
        for step in (["init", "-q"], ["add", "-A"], ["commit", "-q", "-m", "x"]):
            subprocess.run([*git, *step], cwd=top, check=True, capture_output=True)
        lay(top.parent, {"treat.yaml": LATER})

    def run(self, command: str, files: dict[str, bytes], draft: bytes | None = None) -> Ended:
        """Run a command over the park with these files instead, with everything watched."""
        lay(self.top, files)
        if draft is not None:
            lay(self.top.parent, {"treat.yaml": draft})
        before = listing(self.top)
        arguments = [one.replace("drafts/", "../") for one in COMMANDS[command]]
        allowed = str(self.top.parent)
        try:
            ended = self.cage.run(
                *arguments,
                cwd=self.top,
                befalls=[("no network", None), ("only inside", allowed)],
            )
            assert listing(self.top) == before or ended.status == 0
        finally:
            for name in files:
                if name in self.sound:
                    (self.top / name).write_bytes(self.sound[name])
                else:
                    (self.top / name).unlink()
            for made in (*self.top.glob("sign-offs/*"), *self.top.glob(".editor/*")):
                made.unlink()
            (self.top.parent / "treat.yaml").write_text(LATER)
        return ended


@pytest.fixture(scope="module")
def ground(tmp_path_factory: pytest.TempPathFactory, cage: Cage) -> Ground:
    return Ground(tmp_path_factory.mktemp("hostile") / "park", cage)


@pytest.mark.parametrize("command", COMMANDS)
def test_the_sound_park_is_taken_by_every_command(ground: Ground, command: str) -> None:
    orderly(ground.run(command, {}), 0, 1)


@pytest.mark.parametrize("way", sample(WHOLE, 3))
def test_spoilt_records_of_every_kind_are_told_and_never_pass(ground: Ground, way: str) -> None:
    """All records but the settings are spoilt at once (two where it is slow)."""
    files = [file for kind, file in KINDS.items() if kind != "collection"]
    files = files[:2] if way in SLOW else files
    ended = ground.run("screen", {file: WHOLE[way](whole()[file]) for file in files})
    orderly(ended, 1)
    for file in files:
        assert f"{file}:" in ended.out


SLOW = ("many names", "names that hash alike", "merges")
TURNS = [(kind, command, way) for (kind, command), way in zip(
    itertools.product(KINDS, COMMANDS), itertools.cycle(WHOLE), strict=False
)]  # fmt: skip


@pytest.mark.parametrize(("kind", "command", "way"), sample(TURNS, 8))
def test_no_command_takes_a_spoilt_record(
    ground: Ground, kind: str, command: str, way: str
) -> None:
    file = KINDS[kind]
    orderly(ground.run(command, {file: WHOLE[way](whole()[file])}), 1, 2, *unmoved(kind, command))


def unmoved(kind: str, command: str) -> tuple[int, ...]:
    """Status 0 where a spoilt record of that kind is none of the command's business."""
    if command == "trail":  # it looks at what was committed, and that is sound
        return (0,)
    if command == "sheets" and kind not in ("diet sheet", "rota"):  # it copies those two
        return (0,)
    return ()


def test_settings_that_cannot_be_read_end_the_job(ground: Ground) -> None:
    raw = WHOLE["alias bomb"](whole()["dietcheck.yaml"])
    ended = ground.run("screen", {"dietcheck.yaml": raw})
    orderly(ended, 2)
    assert "dietcheck.yaml:" in ended.out


def told(ground: Ground, files: dict[str, bytes]) -> str:
    """Every place of every finding of a screen with these files, and its message, as JSON."""
    arguments = [*COMMANDS["screen"], "--write", "json:../found.json"]
    lay(ground.top, files)
    befalls = [("no network", None), ("only inside", str(ground.top.parent))]
    try:
        orderly(ground.cage.run(*arguments, cwd=ground.top, befalls=befalls), 1)
    finally:
        for name in files:
            (ground.top / name).unlink()
            if name in ground.sound:
                (ground.top / name).write_bytes(ground.sound[name])
    return (ground.top.parent / "found.json").read_text()


@pytest.mark.parametrize("kind", ["group", "diet sheet", "treats", "limits"])
def test_a_quantity_that_is_none_is_told(ground: Ground, kind: str) -> None:
    """One record for each quantity; not one of them may be missing from the findings."""
    files = {}
    for number, quantity in enumerate(QUANTITIES):
        changed = with_quantity(whole()[KINDS[kind]], quantity)
        assert changed is not None
        files[f"bad-{number}.yaml"] = changed.encode()
    found = told(ground, files)
    missing = [QUANTITIES[n][:40] for n in range(len(files)) if f"bad-{n}.yaml" not in found]
    assert missing == []


@pytest.mark.parametrize(
    ("file", "old"),
    [
        ("treats.yaml", "food: carrot"),
        ("treats.yaml", "group: tapir"),
        ("sheet.yaml", "group: tapir"),
        ("rota.yaml", "group: tapir"),
        ("foods.yaml", "  carrot:"),
        ("group.yaml", "id: tapir"),
        ("limits.yaml", "taxon: Tapirus terrestris"),
        ("limits.yaml", "quantity: sugars"),
        ("signed.yaml", "groups: [tapir"),
    ],
)
def test_a_name_leads_nowhere_runs_nothing_and_passes_for_no_other(
    ground: Ground, file: str, old: str
) -> None:
    """One record for each name, in which it stands for a food, a group and so on: all are told."""
    assert old in whole()[file]
    label = "  " if old.startswith(" ") else old.partition(" ")[0] + " "
    label = "groups: [" if "[" in old else label
    files = {}
    for number, name in enumerate(NAMES):
        end = ":" if old.endswith(":") else ""
        text = whole()[file].replace(old, f'{label}"{name}"{end}')
        text = text.replace("2026-11-20", "2026-11-25")  # a day that is judged
        files[f"bad-{number}.yaml"] = text.encode()
    found = told(ground, files)
    missing = [NAMES[n][:40] for n in range(len(files)) if f"bad-{n}.yaml" not in found]
    assert missing == []
