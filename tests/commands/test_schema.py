"""`dietcheck schema`: the schemas that editors use agree with the records and catch slips."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from dietcheck.__main__ import main
from dietcheck.commands.editor_schemas import Known, schema_for
from dietcheck.commands.schema import WORDS, known_at
from dietcheck.reading import Folder, read_repository
from dietcheck.reading.kinds import KINDS, schema
from tests.checkout import CHECKOUT
from tests.commands.console import listing, write

EXAMPLE = CHECKOUT / "example_repo"


@pytest.fixture(scope="module")
def known() -> Known:
    """The names of the example park."""
    return known_at(EXAMPLE)


@pytest.fixture(scope="module")
def validators(known: Known) -> dict[str, Draft202012Validator]:
    """A validator of each kind with those names."""
    return {kind: Draft202012Validator(schema_for(kind, known)) for kind in KINDS}


@pytest.fixture(scope="module")
def park() -> dict[str, Any]:
    """Every record of the example park: file name → data as an editor sees it."""
    repository = read_repository(Folder(EXAMPLE))
    return {f.file: json.loads(json.dumps(f.data, default=str)) for f in repository.files}


@pytest.mark.parametrize("kind", KINDS)
def test_the_plain_form_is_the_schema_that_the_checker_uses(
    kind: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["schema", kind.replace(" ", "-")]) == 0
    assert json.loads(capsys.readouterr().out) == schema(kind)


@pytest.mark.parametrize("kind", KINDS)
def test_the_filled_one_is_a_schema(kind: str, known: Known) -> None:
    Draft202012Validator.check_schema(schema_for(kind, known))


def test_every_record_of_the_park_is_right_by_its_filled_schema(
    park: dict[str, Any], validators: dict[str, Draft202012Validator]
) -> None:
    for file, data in park.items():
        faults = [error.message[:300] for error in validators[data["record"]].iter_errors(data)]
        assert not faults, file


Change = Callable[[Any], None]
SLIPS: dict[str, tuple[str, Change]] = {
    "food": (
        "diet-sheets/red-panda.yaml",
        lambda d: d["meals"]["training pear"][0].update(food="paer"),
    ),
    "group of a sheet": ("diet-sheets/red-panda.yaml", lambda d: d.update(group="red-pandas")),
    "animal of another group": (
        "diet-sheets/red-panda.yaml",
        lambda d: d["meals"]["training pear"][0].update({"for": ["TA-01"]}),
    ),
    "meal": ("rotas/red-panda.yaml", lambda d: d["days"][3].update(noon="trainig pear")),
    "meal of another group": ("rotas/red-panda.yaml", lambda d: d["days"][3].update(noon="pellet")),
    "meal in a list": (
        "rotas/red-panda.yaml",
        lambda d: d["days"][3].update(noon=["training pear", "pellet"]),
    ),
    "feed": ("rotas/red-panda.yaml", lambda d: d["days"][3].update(evening="training pear")),
    "feed left out": ("rotas/red-panda.yaml", lambda d: d["days"][3].pop("morning")),
    "day left out": ("rotas/red-panda.yaml", lambda d: d["days"].pop()),
    "treat's food": (
        "treats/2026-11.yaml",
        lambda d: d["treats"][0]["items"][0].update(food="panda-biscit"),
    ),
    "treat's animal": ("treats/2026-11.yaml", lambda d: d["treats"][0].update(animals=["WA-04"])),
    "treat's feed": ("treats/2026-11.yaml", lambda d: d["treats"][0].update(slot="evening")),
    "row of the table": (
        "foods/kitchen.yaml",
        lambda d: d["foods"].update(carrot={"same_as": "carot"}),
    ),
    "part of a mix": (
        "foods/kitchen.yaml",
        lambda d: d["foods"].update(mash={"mix": {"carot": "100 %"}}),
    ),
    "neighbour": ("groups/rhea.yaml", lambda d: d.update(also_reached_by=["capibara"])),
    "signer": ("sign-offs/2026-11-10-park.yaml", lambda d: d.update(by="Dr Nobody")),
    "signed group": ("sign-offs/2026-11-10-park.yaml", lambda d: d["groups"].append("rheas")),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_caught_while_typing(
    slip: str, park: dict[str, Any], validators: dict[str, Draft202012Validator]
) -> None:
    file, change = SLIPS[slip]
    data = copy.deepcopy(park[file])
    change(data)
    assert not validators[data["record"]].is_valid(data)


def test_what_may_be_new_is_offered_and_not_demanded(
    park: dict[str, Any], validators: dict[str, Draft202012Validator]
) -> None:
    group = copy.deepcopy(park["groups/rhea.yaml"])
    group["species"] = "Struthio camelus"
    group["animals"][0]["never"] = ["anything at all"]
    assert validators["group"].is_valid(group)
    sheet = copy.deepcopy(park["diet-sheets/red-panda.yaml"])
    sheet["meals"]["new meal"] = [{"food": "pear", "amount": "1 g per animal"}]
    sheet["supplements"] = [
        {"food": "fish-tablet", "amount": "1 g per animal", "with": ["new meal"]}
    ]
    assert validators["diet sheet"].is_valid(sheet)
    rota = copy.deepcopy(park["rotas/red-panda.yaml"])
    rota["days"][3] = {"fast": "planned"}
    rota["days"][4]["noon"] = "no feed"
    assert validators["rota"].is_valid(rota)


def test_each_name_is_offered_with_what_it_is(known: Known) -> None:
    offered = schema_for("diet sheet", known)["$defs"]["known_foods"]["anyOf"]
    by_name = {one["const"]: one["description"] for one in offered}
    assert "compound feed" in by_name["panda-biscuit"]
    assert by_name.keys() >= {"pear", "bamboo-leaf"}


def test_all_kinds_are_written_into_a_folder_that_is_no_record(tmp_path: Path) -> None:
    park = write(tmp_path / "park")
    assert main(["schema", str(park), "--all", str(park / ".editor")]) == 0
    made = {p.name for p in (park / ".editor").iterdir()}
    assert made == {f"{word}.schema.json" for word in WORDS}
    assert main(["schema", str(park), "--all", str(park / ".editor")]) == 0
    sheet = json.loads((park / ".editor/diet-sheet.schema.json").read_text(encoding="utf-8"))
    assert {one["const"] for one in sheet["$defs"]["known_groups"]["anyOf"]} == {"tapir"}


def test_while_a_record_cannot_be_read_the_old_ones_stay(tmp_path: Path) -> None:
    park = write(tmp_path / "park", {"more.yaml": "record: foods\nfoods: ["})
    before = listing(tmp_path)
    assert main(["schema", str(park), "--all", str(park / ".editor")]) == 2
    assert main(["schema", "rota", str(park), "--write", str(park / "rota.json")]) == 2
    assert listing(tmp_path) == before


@pytest.mark.parametrize(
    "arguments",
    [
        (),
        ("diet-shet",),
        ("rota", "no-such-folder"),
        ("rota", "--all", "x"),
        ("rota", "--write", "dietcheck.yaml"),
        ("rota", "--write", "no/such/folder.json"),
        ("--all", "no/such/folder"),
    ],
)
def test_what_cannot_be_done_is_told_and_writes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["schema", *arguments]) == 2
    assert listing(tmp_path) == {}
