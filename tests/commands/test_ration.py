"""`dietcheck ration` as it is called: what it finds, writes, refuses, and how it ends."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from dietcheck.__main__ import main
from tests import records
from tests.checkout import CHECKOUT, EXAMPLE_DAY
from tests.commands.console import call, listing, write

PLAIN = ("Traceback", "invalid", "null", "schema", "parse")
ON = records.ON.isoformat()


@pytest.fixture
def park(tmp_path: Path) -> Path:
    """The small tapir park on disk."""
    return write(tmp_path / "park")


def shown(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    """Status and both outputs of a ration, without line breaks."""
    status = main(["ration", *map(str, arguments), "--on", ON])
    said = capsys.readouterr()
    return status, " ".join(said.out.split()), " ".join(said.err.split())


@pytest.mark.parametrize("name", ["tapir", "Brazilian tapir", "TAPIRUS terrestris"])
def test_a_group_by_id_or_name(park: Path, capsys: pytest.CaptureFixture[str], name: str) -> None:
    status, out, err = shown(capsys, park, name)
    assert (status, err) == (0, "")
    assert "total sugars g 56.9" in out  # 12 × 4.74 g: SR28, 11124


def test_nothing_is_written_unless_asked(park: Path) -> None:
    before = listing(park)
    assert call("ration", park, "tapir", "--on", ON).status == 0
    assert listing(park) == before


def test_files_hold_the_same_bytes_each_time(tmp_path: Path) -> None:
    asked = ("ration", CHECKOUT / "example_repo", "marmoset", "--on", EXAMPLE_DAY)
    runs = []
    for seed in ("1", "2"):
        folder = tmp_path / seed
        folder.mkdir()
        files = [f"{kind}:{folder / kind}" for kind in ("json", "csv", "html")]
        done = call(
            *asked, *(p for f in files for p in ("--write", f)), env={"PYTHONHASHSEED": seed}
        )
        assert done.status == 0
        runs.append((done.out, listing(folder)))
    assert runs[0] == runs[1]
    written = runs[0][1]
    assert json.loads(written["json"] or b"")["group"] == "marmoset"
    table = csv.reader(io.StringIO((written["csv"] or b"").decode("utf-8-sig"), newline=""))
    assert {len(row) for row in table} == {11}
    assert (written["html"] or b"").startswith(b"<!DOCTYPE html>")


def test_chosen_nutrients_animals_and_days(park: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = shown(
        capsys, park, "tapir", "--animal", "t1", "--day", "1", "--nutrient", "vitamin C", "ca"
    )
    assert status == 2  # "ca" is no name here
    status, out, _ = shown(
        capsys, park, "tapir", "--animal", "t1", "--day", "1", "--nutrient", "vitamin C", "calcium"
    )
    assert status == 0
    assert "vitamin C mg 70.8" in out  # 12 × 5.9 mg: SR28, 11124
    assert "total sugars g " not in out
    assert "morning: roots; afternoon: roots" in out


def test_every_nutrient(park: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = shown(capsys, park, "tapir", "--nutrient", "all")
    assert status == 0
    assert "taurine mg unknown" in out


def test_a_draft_is_laid_over(
    park: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    draft = tmp_path / "new.yaml"
    draft.write_text(records.sheet({"roots": ["{food: carrot, amount: 300 g per animal}"]}))
    status, out, _ = shown(capsys, park, "tapir", "--draft", draft)
    assert status == 0
    assert "total sugars g 28.4" in out
    assert "drafts laid over: ../new.yaml" in out


# --- what cannot be read, and what cannot be done ------------------------------------------------


@pytest.mark.parametrize(
    "files",
    [
        {"other.yaml": "record: [\n"},
        {"dream.yaml": records.sheet({"a": ["{food: carrot, amount: 1 g per animal}"]}, "okapi")},
    ],
    ids=["a broken file", "a name that leads nowhere"],
)
def test_what_can_be_shown_is_shown_and_what_cannot_be_read_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], files: dict[str, str | bytes]
) -> None:
    park = write(tmp_path, files)
    status, out, err = shown(capsys, park, "tapir", "--write", f"json:{tmp_path / 'r.json'}")
    assert status == 2
    assert "total sugars g 56.9" in out
    assert next(iter(files)) in err
    assert json.loads((tmp_path / "r.json").read_text())["unread"]


def test_a_food_on_no_list_is_a_weak_input(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = records.sheet({"roots": ["{food: leaf-mix, amount: 600 g per animal}"]})
    status, out, _ = shown(capsys, write(tmp_path, sheet=sheet), "tapir")
    assert status == 0
    assert "leaf-mix: " in out
    assert "the food is on no list: " in out


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("tapr",), "Nearest: tapir."),
        (("x" * 5000,), "Here are tapir."),
        ((), "say which group"),
        (("tapir", "--animal", "T2"), "Here are T1."),
        (("tapir", "--day", "3"), "has days 1 to 2"),
        (("tapir", "--day", "0"), "is no day of a rota"),
        (("tapir", "--day", "second"), "is no day of a rota"),
        (("tapir", "--nutrient", "irn"), "Nearest: iron."),
        (("tapir", "--nutrient", "=1"), "is no nutrient"),
        (("tapir", "--write", "pdf:x.pdf"), "Write json, csv or html"),
        (("tapir", "--write", "json"), "Write json, csv or html"),
        (("tapir", "--write", "json:sheet.yaml"), "would be taken for a diet record"),
        (("tapir", "--draft", "gone.yaml"), "cannot be read"),
    ],
)
def test_a_slip_is_told_with_the_nearest_right_thing(
    park: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    arguments: tuple[str, ...],
    says: str,
) -> None:
    monkeypatch.chdir(park)
    status, out, err = shown(capsys, ".", *arguments)
    assert (status, out) == (2, "")
    assert says in err
    assert not any(word in err for word in PLAIN)
    assert len(err) < 1000


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (
            {"rota.yaml": records.rota(["{morning: roots}"], more="until: 2026-11-20")},
            "no rota says",
        ),
        (
            {"group.yaml": records.group(animals=["{id: T1, here_until: 2026-11-01}"])},
            "none of these animals is here",
        ),
        ({"dietcheck.yaml": "record: collection\n"}, "dietcheck.yaml cannot be read"),
    ],
)
def test_no_ration_is_a_job_not_done(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], change: dict[str, str | bytes], says: str
) -> None:
    status, out, err = shown(capsys, write(tmp_path, change), "tapir")
    assert (status, out) == (2, "")
    assert says in err
    assert not any(word in err for word in PLAIN)


def test_a_folder_that_is_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert shown(capsys, tmp_path / "gone", "tapir")[0] == 2
    assert shown(capsys, tmp_path, "tapir")[0] == 2
