"""A rule or a pack that goes wrong is reported, the others still judge, and nothing is cleared."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests import records
from tests.cage import ALL, Cage, Ended, sample
from tests.commands.console import write
from tests.faults.packs import install, install_text
from tests.hostile.laws import orderly

QUICK = {"DIETCHECK_RULE_SECONDS": "0.25"}
DAY = ("--on", records.ON.isoformat())
SOUND = "seen by the sound rule"

BAD = {
    "raises": "raise RuntimeError('boom')",
    "raises late": "yield fine()\nraise RecursionError",
    "recurses": "def again(): again()\nagain()",
    "leaves with status 0": "raise SystemExit(0)",
    "ends as a generator": "raise GeneratorExit",
    "is interrupted inside": "raise StopIteration",
    "raises something nasty": "raise ValueError('\\x1b[31m\\n::error::x' * 99)",
    "raises what cannot be shown": (
        "class Mute(Exception):\n    def __str__(self): raise ValueError\nraise Mute"
    ),
    "says nothing": "return []",
    "returns none": "return None",
    "returns a number": "return 5",
    "yields text": "yield 'kept'",
    "yields a class": "yield Check",
    "verdict as text": "yield Check(verdict='kept', about='x', message='x')",
    "no severity": "yield Check(verdict=Verdict.BREACH, about='x', message='x', severity=None)",
    "message is a number": "yield Check(verdict=Verdict.BREACH, about='x', message=5)",
    "message is nothing": "yield Check(verdict=Verdict.BREACH, about='x', message='')",
    "about is a list": "yield Check(verdict=Verdict.BREACH, about=[], message='x')",
    "endless message": "yield Check(verdict=Verdict.BREACH, about='x', message='x' * 10**8)",
    "food is a list": "yield Check(verdict=Verdict.BREACH, about='x', message='x', food=['y'])",
    "animals is text": "yield Check(verdict=Verdict.BREACH, about='x', message='x', animals='ab')",
    "places of text": "yield Check(verdict=Verdict.BREACH, about='x', message='x', places=('a',))",
    "measured is a number": (
        "yield Check(verdict=Verdict.BREACH, about='x', message='x', measured=5)"
    ),
    "days that are none": (
        "yield Check(verdict=Verdict.BREACH, about='x', message='x', occasions=(When('x', 1),))"
    ),
    "another group": "yield Check(verdict=Verdict.KEPT, about='x', message='x', group='nobody')",
    "takes all memory": "held = []\nwhile True: held.append(bytearray(64 * 1024**2))",
    "hangs": "while True: pass",
    "sleeps": "import time\ntime.sleep(100)",
    "hangs in a pattern": "import re\nre.match('(a+)+$', 'a' * 60 + '!')",
    "hangs in a power": "9 ** 9 ** 9",
    "never ends yielding": "while True: yield fine()",
    "hangs and hides it": (
        "while True:\n    try:\n        while True: pass\n    except Exception: pass"
    ),
}


def screened(cage: Cage, tmp_path: Path, body: str, packs: str = "odd_pack") -> tuple[Ended, Path]:
    """The small park, judged by the pack whose first rule does that."""
    park = write(tmp_path / "park", dietcheck=records.settings(more=f"packs: [{packs}]"))
    pack = install(tmp_path / "installed", body)
    ended = cage.run(
        *("screen", *DAY, "--write", "json:../found.json"),
        cwd=park,
        befalls=[("also installed", str(pack))],
        env=QUICK if packs == "odd_pack" else {},
    )
    return ended, tmp_path / "found.json"


@pytest.mark.parametrize("way", sample(BAD, 3))
def test_a_bad_rule_is_reported_and_the_others_judge(cage: Cage, tmp_path: Path, way: str) -> None:
    ended, file = screened(cage, tmp_path, BAD[way])
    orderly(ended, 2)
    found = json.loads(file.read_text())["findings"]
    failed = [one for one in found if one["rule"] == "odd"]
    assert [(one["severity"], one["verdict"]) for one in failed] == [("high", "cannot-tell")]
    assert SOUND in ended.out
    assert "The odd one" in ended.out


def test_a_rule_that_cannot_be_stopped_ends_the_run_in_words(cage: Cage, tmp_path: Path) -> None:
    body = (
        "from time import sleep\nwhile True:\n    try:\n        while True: sleep(0.01)\n"
        "    except BaseException: pass"
    )
    ended, file = screened(cage, tmp_path, body)
    assert ended.status == 2
    assert "the rule odd does not come to an end" in ended.err
    assert ended.out == ""
    assert not file.exists()


def test_a_rule_that_spoils_the_reckoning_spoils_no_others(cage: Cage, tmp_path: Path) -> None:
    """It sets decimals to two digits; the bundled rules, which come after, see the same as ever."""
    spoil = "import decimal\ndecimal.getcontext().prec = 2\nyield fine()"
    pages = []
    for number, body in enumerate((spoil, "yield fine()")):
        place = tmp_path / str(number)
        ended, _ = screened(cage, place, body, "odd_pack, dietcheck_rules")
        orderly(ended, 1)
        pages.append(ended.out)
    assert pages[0] == pages[1]


PACKS = {
    "is not there": None,
    "cannot be imported": "import nothing_of_this_name",
    "does not parse": "def (:",
    "leaves on import": "raise SystemExit(0)",
    "hangs on import": "while True: pass",
    "holds no pack": "x = 1",
    "has a pack of text": (
        "from dietcheck.contract import hookimpl\n@hookimpl\ndef pack(): return 'x'"
    ),
    "names its works oddly": (
        "from dietcheck.contract import *\nfrom dietcheck.contract import hookimpl, Pack\n"
        "@hookimpl\ndef pack(): return Pack('odd_pack', '1', 1, (), 'sources.yaml')"
    ),
    "has rules of nothing": (
        "from dietcheck.contract import hookimpl, Pack\n"
        "@hookimpl\ndef pack(): return Pack('odd_pack', '1', 1, None)"
    ),
    "wants a newer dietcheck": "new",
    "was written for an older one": "old",
}


COMMANDS = [("screen",), ("prep",), ("sign", "--by", "Dr Vale", "--role", "vet")]


@pytest.mark.parametrize("command", COMMANDS if ALL else COMMANDS[:1], ids=lambda words: words[0])
@pytest.mark.parametrize("way", sample(PACKS, 2))
def test_a_pack_that_cannot_be_used_ends_the_job(
    cage: Cage, tmp_path: Path, way: str, command: tuple[str, ...]
) -> None:
    hangs = way.startswith("hangs")
    more = "packs: [odd_pack]" if hangs else "packs: [dietcheck_rules, odd_pack]"
    park = write(tmp_path / "park", dietcheck=records.settings(more=more))
    text, place = PACKS[way], tmp_path / "installed"
    if text in ("new", "old"):
        install(place, "yield fine()", contract={"new": "99", "old": "0"}[text])
    elif text is not None:
        install_text(place, text)
    ended = cage.run(
        *(*command, *DAY),
        cwd=park,
        befalls=[("also installed", str(place))],
        env=QUICK if hangs else {},
    )
    orderly(ended, 2)
    assert "odd_pack" in ended.err
    assert ended.out == ""
