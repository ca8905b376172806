"""Rule packs that go wrong, laid down as installed distributions are."""

from __future__ import annotations

from pathlib import Path

HEAD = """
from pathlib import Path
from dietcheck.contract import *
from dietcheck.contract import hookimpl, Check, Pack, Rule, Severity, Verdict, not_applicable, When

def fine():
    return Check(verdict=Verdict.KEPT, about="thing", message="fine")

class Odd:
    @hookimpl
    def describe(self):
        return Rule(id="odd", title="The odd one", folder=Path("."))
    @hookimpl
    def judge_group(self, diet):
{body}

class Sound:
    @hookimpl
    def describe(self):
        return Rule(id="sound", title="The sound one", folder=Path("."))
    @hookimpl
    def judge_group(self, diet):
        yield Check(verdict=Verdict.BREACH, about="thing", message="seen by the sound rule",
                    severity=Severity.HIGH)

@hookimpl
def pack():
    return Pack("odd_pack", "1", {contract}, (Odd(), Sound()))
"""


def install(folder: Path, body: str, contract: str = "CONTRACT", before: str = "") -> Path:
    """A pack `odd_pack` whose first rule does that when it judges a group; the folder."""
    lines = "\n".join(f"        {line}" for line in body.strip("\n").split("\n"))
    text = before + HEAD.replace("{body}", lines).replace("{contract}", contract)
    return install_text(folder, text)


def install_text(folder: Path, text: str) -> Path:
    """A pack `odd_pack` with that text; the folder."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "odd_pack.py").write_text(text)
    about = folder / "odd_pack-1.dist-info"
    about.mkdir(exist_ok=True)
    (about / "METADATA").write_text("Metadata-Version: 2.1\nName: odd-pack\nVersion: 1\n")
    (about / "entry_points.txt").write_text("[dietcheck]\nodd_pack = odd_pack\n")
    return folder
