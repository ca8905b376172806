"""`dietcheck prep` and `dietcheck order` as they are called, on the example and on a small park.

The totals of the example are added up a second time here, straight from its files.
"""

from __future__ import annotations

import csv
import io
import json
import shutil
from datetime import date, timedelta
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from dietcheck.__main__ import main
from tests import records
from tests.checkout import CHECKOUT, EXAMPLE_DAY, commit_all
from tests.commands.console import call, listing, write

EXAMPLE = CHECKOUT / "example_repo"
ON = records.ON.isoformat()
PLAIN = ("Traceback", "invalid", "null", "schema", "parse")
NEVER = "name: kale, for: [tapir], severity: high, why: a test, set_by: Dr Vale, on: 2026-01-01"
KALE = records.foods(kale="{same_as: kale}")
WASTE = {"pear": 0.1, "butternut": 0.16, "chicory-leaf": 0.18}  # of the bundled table
BAD = records.sheet({"roots": ["{food: kale, amount: 600 g per animal}"]})
"""A sheet that gets a high finding: the small park has ruled kale out."""


@pytest.fixture
def park(tmp_path: Path) -> Path:
    """The small tapir park on disk, under the rules that come along and one of its own."""
    more = f"packs: [dietcheck_rules]\ndo_not_feed: [{{{NEVER}}}]"
    return write(tmp_path / "park", dietcheck=records.settings(more=more))


def asked(
    capsys: pytest.CaptureFixture[str], command: str, *arguments: str | Path
) -> tuple[int, str, str]:
    """Status and both outputs, without line breaks."""
    status = main([command, *map(str, arguments)])
    said = capsys.readouterr()
    assert not any(word in (said.out + said.err) for word in PLAIN)
    return status, " ".join(said.out.split()), " ".join(said.err.split())


# -- the example, added up a second time -----------------------------------------------------------


def records_of(kind: str, group: str) -> list[dict[str, Any]]:
    """The records of a group of the example as a plain YAML reader sees them."""
    return [
        data
        for data in all_records()
        if data.get("record") == kind and data.get("group", data.get("id")) == group
    ]


@cache
def all_records() -> list[dict[str, Any]]:
    """Every record of the example, read once."""
    paths = (path for path in sorted(EXAMPLE.rglob("*.yaml")) if "drafts" not in path.parts)
    return [yaml.safe_load(path.read_text(encoding="utf-8")) for path in paths]


def by_hand(group: str, on: date) -> dict[str, Fraction]:
    """Grams of each food for a group on a day, with nothing but a YAML reader and fractions."""
    (about,) = records_of("group", group)
    sheet = max((s for s in records_of("diet sheet", group) if s["from"] <= on), key=_from)
    rota = max((r for r in records_of("rota", group) if r["starts"] <= on), key=_starts)
    today = rota["days"][(on - rota["starts"]).days % len(rota["days"])]
    meals = [meal for slot in today.values() for meal in ([slot] if _is_one(slot) else slot)]
    sums: dict[str, Fraction] = {}
    for meal in (meal for meal in meals if meal != "no feed"):
        extra = [s for s in sheet.get("supplements", ()) if meal in s["with"]]
        for line in (*sheet["meals"][meal], *extra):
            for animal in about["animals"]:
                if animal["id"] in line.get("for", [animal["id"]]):
                    grams = _grams(line["amount"], animal, on)
                    sums[line["food"]] = sums.get(line["food"], Fraction()) + grams
    return sums


def _from(sheet: dict[str, Any]) -> date:
    start: date = sheet["from"]
    return start


def _starts(rota: dict[str, Any]) -> date:
    start: date = rota["starts"]
    return start


def _is_one(slot: object) -> bool:
    return isinstance(slot, str)


def _grams(amount: str, animal: dict[str, Any], on: date) -> Fraction:
    number, unit, per = amount.split(" ", 2)
    grams = Fraction(number) * {"g": 1, "kg": 1000, "piece": 1}[unit]  # a tablet weighs 1 g
    if per == "per kg body mass":
        # to a plain YAML reader the key "on" is the truth value
        weighed = max((w for w in animal["weighings"] if w[True] <= on), key=lambda w: w[True])
        kilograms, kg = weighed["mass"].split()
        assert kg == "kg"
        return grams * Fraction(kilograms)
    assert per == "per animal"
    return grams


@pytest.mark.parametrize("group", ["penguin", "marmoset", "tapir"])
@pytest.mark.parametrize("after", [0, 1])
def test_totals_of_the_example_add_up_from_its_files(
    group: str, after: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    on = date.fromisoformat(EXAMPLE_DAY) + timedelta(days=after)
    file = tmp_path / "prep.json"
    status = main(
        ["prep", str(EXAMPLE), "--group", group, "--on", str(on), "--write", f"json:{file}"]
    )
    assert status == 0, capsys.readouterr().out
    (day,) = json.loads(file.read_text())["days"]
    found = {draw["food"]: draw for draw in day["draw"]}
    wanted = by_hand(group, on)
    assert set(found) == set(wanted)
    for food, grams in wanted.items():
        # printed portions have three digits: at most half a per cent, or half a gram, a portion
        assert found[food]["prepared"]["low"] == pytest.approx(float(grams), rel=0.005)
        left = 1 - (found[food]["waste"] or {"low": 0})["low"]
        assert found[food]["drawn"]["low"] * left >= found[food]["prepared"]["low"] * (1 - 1e-12)
    # 22 g/kg × 0.34 kg and so on come out in three digits as they are: nothing is lost here
    exact = {food: float(grams) for food, grams in wanted.items()}
    assert {food: draw["prepared"]["low"] for food, draw in found.items()} == pytest.approx(exact)


def test_known_figures_of_the_example(tmp_path: Path) -> None:
    file = tmp_path / "order.csv"
    done = call(
        "order", EXAMPLE, "--on", EXAMPLE_DAY, "--group", "penguin", "--write", f"csv:{file}"
    )
    assert done.status == 0
    rows = {row["food"]: row for row in csv.DictReader(io.StringIO(file.read_text("utf-8-sig")))}
    # 14 birds × (120 + 140) g × 14 days, and a tablet each and day
    assert (rows["sprat"]["low"], rows["sprat"]["days"]) == ("50960", "14")
    assert rows["penguin-tablet"]["pieces"] == "196 pieces"
    assert rows["sprat"]["first needed"] == EXAMPLE_DAY


@pytest.mark.parametrize("group", ["bearded-dragon", "red-panda"])
def test_an_order_adds_up_from_the_files_and_names_the_day_of_first_need(
    group: str, tmp_path: Path
) -> None:
    file = tmp_path / "order.json"
    target = f"json:{file}"
    assert (
        main(["order", str(EXAMPLE), "--on", EXAMPLE_DAY, "--group", group, "--write", target]) == 0
    )
    found = {row["food"]: row for row in json.loads(file.read_text())["order"]}
    first = date.fromisoformat(EXAMPLE_DAY)
    rota = [first + timedelta(days=n) for n in range(14)]
    needs = {on: by_hand(group, on) for on in rota}
    foods = {food for sums in needs.values() for food in sums}
    assert set(found) == foods
    for food in foods:
        days = [on for on in rota if food in needs[on]]
        grams = float(sum(needs[on][food] for on in days))
        assert (found[food]["first_needed"], found[food]["days"]) == (str(days[0]), len(days))
        raw = grams / (1 - WASTE.get(food, 0))
        # every day is rounded up to three digits: by less than one per cent
        assert raw * (1 - 1e-9) <= found[food]["drawn"]["low"] < raw * 1.01


def test_the_example_is_printed_whole_in_eighty_columns() -> None:
    done = call("prep", EXAMPLE, "--on", EXAMPLE_DAY)
    assert done.status == 0
    assert max(map(len, done.out.splitlines())) <= 80
    names = [
        yaml.safe_load(path.read_text(encoding="utf-8"))["name"]
        for path in (EXAMPLE / "groups").glob("*.yaml")
    ]
    assert [name for name in names if name not in " ".join(done.out.split())] == []


def test_the_same_bytes_each_time_and_nothing_else_written(tmp_path: Path) -> None:
    runs = []
    for seed in ("1", "2"):
        folder = tmp_path / seed
        folder.mkdir()
        files = [f"{kind}:{folder / kind}" for kind in ("html", "csv", "json")]
        done = call(
            "prep", EXAMPLE, "--on", EXAMPLE_DAY, "--days", "2",
            *(part for file in files for part in ("--write", file)),
            env={"PYTHONHASHSEED": seed},
        )  # fmt: skip
        runs.append((done.status, done.out, listing(folder)))
    assert runs[0] == runs[1]
    assert set(runs[0][2]) == {"html", "csv", "json"}


# -- groups that are held back ---------------------------------------------------------------------


def test_a_group_with_a_high_finding_is_not_printed_and_the_others_are(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy = tmp_path / "park"
    shutil.copytree(EXAMPLE, copy)
    commit_all(copy)
    shutil.copy(copy / "drafts" / "b01-tapir-pellet-13-kg.yaml", copy / "diet-sheets/tapir.yaml")
    status, out, _ = asked(capsys, "prep", copy, "--on", EXAMPLE_DAY)
    assert status == 1
    assert "NOT PRINTED: 1 of the groups" in out
    assert "TAPIR LODGE" not in out
    assert "PENGUIN COVE" in out
    assert "This looks like a slip of unit or decimal" in out  # the reason
    assert "signed by Dr Tamsin Vale (vet) on 24 Nov 2026" in out
    assert "Feed what was signed: the sheet of 12 Mar 2026 (diet-sheets/tapir.yaml)" in out
    status, out, _ = asked(capsys, "order", copy, "--on", EXAMPLE_DAY, "--group", "tapir")
    assert status == 1
    assert "Nothing." in out


def test_what_was_signed_is_named_as_it_lies_in_git(
    park: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    signed = ["sign", str(park), "--by", "Dr Vale", "--role", "vet", "--on", ON]
    assert main(signed) == 0
    commit_all(park)
    capsys.readouterr()
    assert asked(capsys, "prep", park, "--on", ON)[0] == 0
    (park / "sheet.yaml").write_text(BAD)
    (park / "foods.yaml").write_text(KALE)
    status, out, _ = asked(capsys, "prep", park, "--on", ON)
    assert status == 1
    assert "signed by Dr Vale (vet) on 25 Nov 2026. Feed what was signed: the sheet" in out
    assert "1 Jan 2026 (sheet.yaml), as it stands in" in out
    assert "To draw from store" not in out


def test_a_committed_mistake_gives_no_way_out(
    park: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (park / "sheet.yaml").write_text(BAD)
    (park / "foods.yaml").write_text(KALE)
    commit_all(park)
    (park / "notes.txt").write_text("x")
    status, out, _ = asked(capsys, "prep", park, "--on", ON)
    assert status == 1
    assert "No signature of anybody who may sign covers this group." in out
    assert "ask the vet what is to be fed" in out


def test_a_record_that_cannot_be_read_holds_every_group_back(
    park: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (park / "more.yaml").write_text("record: foods\nfoods: [oh\n")
    status, out, _ = asked(capsys, "prep", park, "--on", ON)
    assert status == 1
    assert "NOT PRINTED: 1 of the groups" in out
    assert "more.yaml" in out


@pytest.mark.parametrize("command", ["prep", "order"])
@pytest.mark.parametrize(
    "wrong",
    [
        ("--days", "0"),
        ("--days", "1e3"),
        ("--days", "-1"),
        ("--group", "tapri"),
        ("--write", "pdf:x.pdf"),
        ("--on", "tomorrow"),
    ],
)
def test_slips_are_told_in_plain_words(
    park: Path, capsys: pytest.CaptureFixture[str], command: str, wrong: tuple[str, str]
) -> None:
    before = listing(park)
    status, out, err = asked(capsys, command, park, *wrong)
    assert (status, out) == (2, "")
    assert wrong[1].partition(":")[0] in err
    assert listing(park) == before


def test_settings_that_cannot_be_read(park: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (park / "dietcheck.yaml").write_text("record: collection\nname: 3\n")
    status, out, err = asked(capsys, "prep", park)
    assert (status, out) == (2, "")
    assert "dietcheck.yaml cannot be read" in err
