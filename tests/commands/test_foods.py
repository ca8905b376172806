"""`dietcheck foods` as it is called: words, folders, files written, mistakes told plainly."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path

import pytest

from dietcheck.__main__ import main
from dietcheck.contract import Food, Knowledge
from dietcheck.errors import JobError
from dietcheck.screening import packs
from tests import records
from tests.commands.console import call, listing, write

PLAIN = ("Traceback", "invalid", "null", "schema", "parse")


def told(capsys: pytest.CaptureFixture[str], *arguments: str | Path, status: int = 0) -> str:
    """What the command prints; its status is checked."""
    assert main(["foods", *map(str, arguments)]) == status
    return capsys.readouterr().out


def refused(capsys: pytest.CaptureFixture[str], *arguments: str | Path, says: str) -> str:
    """The command ends with status 2 and tells why in plain words, on standard error."""
    assert main(["foods", *map(str, arguments)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert " ".join(said.err.split()).count(says), said.err
    assert not any(word in said.err for word in PLAIN)
    return " ".join(said.err.split())


# --- what it finds ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("word", "food"),
    [
        ("avocado", "avocado"),
        ("Eggplant", "aubergine"),
        ("ZUCCHINI", "courgette"),
        ("carrots", "carrot"),
        ("  red   pepper ", "pepper-red"),
        ("lettuce-iceberg", "lettuce-iceberg"),
        ("Daucus carota", None),  # several foods are made of it
        ("hay-oat", "hay-oat"),
    ],
)
def test_a_food_is_found_by_any_of_its_names(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], word: str, food: str | None
) -> None:
    file = tmp_path / "food.json"
    told(capsys, word, "--write", f"json:{file}")
    found = json.loads(file.read_bytes())["food"]
    assert (found and found["id"]) == food


def test_a_plant_that_is_no_food_is_known_by_its_scientific_name(
    capsys: pytest.CaptureFixture[str],
) -> None:
    page = told(capsys, "taxus baccata")
    assert "HIGH" in page
    assert "Equidae" in page
    assert "composition is unknown" in page


def test_a_word_with_several_meanings_is_answered_with_all_of_them(
    capsys: pytest.CaptureFixture[str],
) -> None:
    page = told(capsys, "sycamore")
    assert "Acer pseudoplatanus" in page
    assert "Platanus" in page


def test_a_collections_own_list_comes_first(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    park = write(
        tmp_path / "park",
        foods=records.foods(
            carrot="{same_as: carrot, name: Stock carrot, piece: 90 g}",
            secret_mix="{mix: {carrot: 60 %, onion-bits: 40 %}}",
            onion_bits="{name: onion, unknown_composition: not analysed}",
        ),
    )
    assert "90 g" in told(capsys, "carrot", park)
    assert "90 g" not in told(capsys, "carrot")
    mix = told(capsys, "secret-mix", park)
    assert "Onion" in mix  # what harms is told of every ingredient
    assert "60 %" in mix


def test_nothing_is_written_but_what_was_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    park = write(tmp_path / "park")
    before = listing(park)
    told(capsys, "leek", park, "--write", f"json:{tmp_path / 'leek.json'}")
    assert listing(park) == before
    assert [path.name for path in tmp_path.iterdir() if path.is_file()] == ["leek.json"]


def test_findings_go_to_output_and_notes_to_error(tmp_path: Path) -> None:
    done = call("foods", "grape", "--write", f"json:{tmp_path / 'g.json'}")
    assert (done.status, "Canidae" in done.out, "wrote" in done.err) == (0, True, True)


# --- jobs that cannot be done ---------------------------------------------------------------------


def test_a_word_that_nobody_knows_is_not_called_safe(capsys: pytest.CaptureFixture[str]) -> None:
    refused(capsys, "xyzzyqq", says="does not mean it is safe")


@pytest.mark.parametrize(
    ("slip", "meant"),
    [("avacado", "avocado"), ("rododendron", "rhododendron"), ("carot", "carrot")],
)
def test_the_nearest_names_are_offered(
    capsys: pytest.CaptureFixture[str], slip: str, meant: str
) -> None:
    assert meant in refused(capsys, slip, says="Nearest").casefold()


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("", "empty"),
        ("   ", "no word"),
        (".,;", "no word"),
        ("a" * 10_240, "10,240 characters"),
        ("grape " * 2000, "characters"),
        ("\x1b[31m\x07\r\n", "is in no table"),
        ("\u202exyzzyqq\x00", "\\u202e"),
        ("::error::x", "is in no table"),
    ],
)
def test_what_can_be_no_name_is_refused(
    capsys: pytest.CaptureFixture[str], word: str, says: str
) -> None:
    said = refused(capsys, word, says=says)
    assert said.isprintable()
    assert len(said) < 700
    assert "::" not in said


def test_a_folder_that_is_no_collection(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    refused(capsys, "grape", tmp_path, says="dietcheck.yaml")
    refused(capsys, "grape", tmp_path / "gone", says="no folder")
    broken = write(tmp_path / "broken", {"dietcheck.yaml": "record: [\n"})
    refused(capsys, "grape", broken, says="dietcheck.yaml")


def test_a_name_of_two_words_without_quotation_marks_is_explained(
    capsys: pytest.CaptureFixture[str],
) -> None:
    refused(capsys, "red", "onion", says='"red onion"')


def test_a_file_that_cannot_be_read_is_told_beside_the_answer(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    park = write(tmp_path, {"more.yaml": "record: [\n"})
    assert main(["foods", "carrot", str(park)]) == 2
    said = capsys.readouterr()
    assert "more.yaml" in said.err
    assert "Carrot" in said.out


@pytest.mark.parametrize("target", ["sarif:x.sarif", "json:", "json:-", "json:foods.yaml"])
def test_what_cannot_be_written(capsys: pytest.CaptureFixture[str], target: str) -> None:
    assert main(["foods", "grape", "--write", target]) == 2
    assert capsys.readouterr().out == ""


# --- rules that fail ------------------------------------------------------------------------------


@pytest.mark.parametrize("mistake", ["raises", "says rubbish"])
def test_a_rule_that_fails_is_told_and_the_others_are_heard(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], mistake: str
) -> None:
    def about_food(food: Food) -> Iterable[Knowledge]:
        if mistake == "raises":
            raise RuntimeError(food.name)
        return ["rubbish"]  # type: ignore[list-item]

    real = packs.load_packs(["dietcheck_rules"])
    faulty = packs.LoadedRule(
        real[0].rule, real[0].pack, None, None, lambda food: [about_food(food)]
    )
    monkeypatch.setattr(packs, "load_packs", lambda _: (faulty, *real))
    assert main(["foods", "grape"]) == 2
    said = capsys.readouterr()
    assert "failed" in said.err
    assert "Canidae" in said.out


def test_a_pack_that_is_not_installed_is_no_answer(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    park = write(tmp_path, dietcheck=records.settings(more="packs: [dietcheck_rules, absent]"))
    refused(capsys, "grape", park, says="absent")
    with pytest.raises(JobError):
        packs.load_packs(["absent"])


def test_the_word_of_a_harm_tells_part_evidence_and_sources_though_foods_bear_it_too(
    capsys: pytest.CaptureFixture[str],
) -> None:
    said = told(capsys, "kidney beans")
    assert "kidney-beans-boiled" in said
    for word in ("dry seed", "only cooked", "experiment or manual consensus", "PHA-FDA"):
        assert word in said
