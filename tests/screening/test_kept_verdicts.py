"""What is kept of a group holds just as long as nothing that its diet hangs on has changed.

Four groups: rheas live with the tapirs, pigs get what the tapirs leave, otters are far away.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import pytest

from dietcheck.history.log import Commit, Log
from dietcheck.history.lookback import NO_LOOKBACK, Lookback
from dietcheck.screening.kept_verdicts import NONE_KEPT, KeptVerdicts, NothingKept
from dietcheck.screening.packs import load_packs
from dietcheck.screening.report import Report
from dietcheck.screening.said import OfGroup
from dietcheck.screening.screen import screen
from dietcheck.screening.subjects import Subjects
from dietcheck.testing import Memory
from tests import records

ROOTS = {"roots": ["{food: carrot, amount: 600 g per animal}"]}
BIT = "{food: carrot, amount: 5 g per animal}"
LESS = {"roots": ["{food: carrot, amount: 500 g per animal}"]}
LEAVING = "leftovers: [{to: pig, foods: [carrot], share: 20 %}]"
GIFT = "{on: 2026-11-26, group: otter, slot: noon, purpose: training, items: [%s]}"
SIGNED = "record: sign-off\nby: Dr Vale\nrole: vet\non: 2026-11-20\ngroups: [%s]\n"


def weighed(id: str, mass: str) -> list[str]:
    return [f"{{id: {id}, weighings: [{{on: 2026-11-20, mass: {mass}}}]}}"]


def otters(mass: str = "3.2 kg") -> str:
    return records.group("otter", "Aonyx cinereus", weighed("O1", mass), "Stream")


def treats(*items: str) -> str:
    rows = "".join(f"  - {GIFT % item}\n" for item in items)
    return f"record: treats\ntreats:\n{rows}"


PARK = {
    **records.small(sheet=records.sheet(ROOTS, more=LEAVING)),
    "rhea.yaml": records.group("rhea", "Rhea americana", weighed("R1", "25 kg"), "Paddock"),
    "rhea-sheet.yaml": records.sheet(ROOTS, "rhea"),
    "rhea-rota.yaml": records.rota(["{morning: roots}"] * 2, "rhea"),
    "pig.yaml": records.group("pig", "Sus scrofa", weighed("P1", "60 kg"), "Wood"),
    "otter.yaml": otters(),
    "otter-sheet.yaml": records.sheet(ROOTS, "otter"),
    "treats.yaml": treats(BIT),
    "signed.yaml": SIGNED % "rhea",
}
ALL = {"tapir", "rhea", "pig", "otter"}
TOGETHER = {"tapir", "rhea", "pig"}

CHANGES: dict[str, tuple[dict[str, str], set[str]]] = {
    "nothing": ({}, set()),
    "a remark": (
        {"otter-sheet.yaml": f"# for Tuesday\n{records.sheet(ROOTS, 'otter')}"},
        {"otter"},
    ),
    "a sheet of one that leaves food to others": (
        {"sheet.yaml": records.sheet(LESS, more=LEAVING)},
        TOGETHER,
    ),
    "a sheet of one that lives with others": (
        {"rhea-sheet.yaml": records.sheet(LESS, "rhea")},
        TOGETHER,
    ),
    "a sheet of one far away": ({"otter-sheet.yaml": records.sheet(LESS, "otter")}, {"otter"}),
    "a weight": ({"otter.yaml": otters("1.1 kg")}, {"otter"}),
    "a treat beside another": (
        {"treats.yaml": treats(BIT, "{food: carrot, amount: 90 g per animal}")},
        {"otter"},
    ),
    "a signature": ({"signed-2.yaml": SIGNED % "otter"}, {"otter"}),
    "no signature at all any more": ({"signed.yaml": ""}, ALL),
    "a group that moves in": (
        {"kid.yaml": records.group("kid", "Capra hircus", weighed("K1", "20 kg"), "Paddock")},
        {*TOGETHER, "kid"},
    ),
    "an animal that comes from elsewhere": (
        {"kid.yaml": records.group("kid", "Aonyx cinereus", weighed("O1", "3 kg"), "Loft")},
        {"otter", "kid"},
    ),
    "a food": ({"foods.yaml": records.foods(carrot="{same_as: apple}")}, ALL),
    "a food on no list": (
        {"otter-sheet.yaml": records.sheet({"a": [BIT.replace("carrot", "zug")]}, "otter")},
        ALL,
    ),
    "a setting": ({"dietcheck.yaml": records.settings(more="ad_lib_spread: 20 %")}, ALL),
    "a record that cannot be read": ({"otter-sheet.yaml": "record: diet sheet\ngroup: otter"}, ALL),
}  # fmt: skip


class Watched(KeptVerdicts):
    """Notes which groups were judged anew."""

    def __init__(self, former: Mapping[bytes, bytes]) -> None:
        super().__init__(former)
        self.anew: set[str] = set()

    def add(self, group: str, subjects: Subjects, found: OfGroup) -> None:
        self.anew.add(group)
        super().add(group, subjects, found)


_load = cache(load_packs)


def screened(
    kept: NothingKept,
    files: Mapping[str, str],
    on: date = records.ON,
    earlier: Lookback = NO_LOOKBACK,
) -> Report:
    here = Memory({name: text for name, text in files.items() if text})
    return screen(here, on, load=lambda names: _load(tuple(names)), earlier=earlier, kept=kept)


@cache
def of_the_park() -> Mapping[bytes, bytes]:
    kept = Watched({})
    screened(kept, PARK)
    assert kept.anew == ALL
    return kept.of_this


def is_the_same(one: Report, other: Report) -> bool:
    return (one.judged, one.findings, one.failures) == (
        other.judged, other.findings, other.failures
    )  # fmt: skip


@pytest.mark.parametrize("change", CHANGES)
def test_only_those_whom_a_change_can_touch_are_judged_again(change: str) -> None:
    files, touched = CHANGES[change]
    kept = Watched(of_the_park())
    spared = screened(kept, PARK | files)
    assert kept.anew == touched
    assert is_the_same(spared, screened(NONE_KEPT, PARK | files))


def test_another_day_is_judged_anew() -> None:
    kept = Watched(of_the_park())
    screened(kept, PARK, records.ON + timedelta(days=1))
    assert kept.anew == ALL


def test_what_is_kept_in_another_shape_or_spoilt_is_as_if_it_were_not_there() -> None:
    for spoilt in (b"", b"\0", b"x\x9c", *(one[:-9] for one in list(of_the_park().values())[:1])):
        kept = Watched(dict.fromkeys(of_the_park(), spoilt))
        assert is_the_same(screened(kept, PARK), screened(NONE_KEPT, PARK))
        assert kept.anew == ALL


def test_a_group_is_kept_from_commit_to_commit_unless_its_words_name_the_version() -> None:
    class Version(Lookback):
        """The park at a commit."""

        @property
        def described(self) -> str:
            return self.name

        def __init__(self, name: str) -> None:
            super().__init__(Memory({n: t for n, t in PARK.items() if not n.startswith("pig")}))
            self.name = name

    first = Watched({})
    screened(first, PARK, earlier=Version("version one"))
    again = Watched(first.of_this)
    spared = screened(again, PARK, earlier=Version("version two"))
    assert again.anew == {"pig"}  # new since a version that is named
    assert is_the_same(spared, screened(NONE_KEPT, PARK, earlier=Version("version two")))


class OneCommit(Log):
    """A log of one change of the otters' sheet; what it was then git cannot show."""

    commits = main_line = (
        Commit("1" * 40, "Mina Okoro", date(2026, 11, 22), frozenset({"otter-sheet.yaml"})),
    )


def test_what_git_could_not_show_is_asked_again(tmp_path: Path) -> None:
    signed = f"{SIGNED % 'otter'}content: {{otter: 'sha256:{'0' * 64}'}}\n"
    files = PARK | {"signed-otter.yaml": signed}
    earlier = Lookback(Memory(files), log=OneCommit(tmp_path))
    first = Watched({})
    screened(first, files, earlier=earlier)
    again = Watched(first.of_this)
    screened(again, files, earlier=Lookback(Memory(files), log=OneCommit(tmp_path)))
    assert again.anew == {"otter"}
