"""`dietcheck try` as it is called: yes, no, cannot tell, not done; the same figures as a screen.

The park is invented. The tapirs of the small park get 1.2 kg of carrot a day: 4.74 g of sugar in
100 g (SR28, 11124), 56.9 g a day.
"""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator, FormatChecker, ValidationError

from dietcheck.__main__ import main
from dietcheck.reading import Folder
from dietcheck.reporting.try_json import schema
from dietcheck.screening.screen import screen
from tests import records
from tests.checkout import CHECKOUT
from tests.commands.console import call, listing, write

ON = records.ON.isoformat()
PARK = CHECKOUT / "example_repo"
DRAFTS = PARK / "drafts"
LIMIT = (
    "record: limits\nlimits:\n  - {group: tapir, quantity: sugars, at_most: 60 g per animal,"
    " over: day, severity: medium, why: invented, set_by: Dr Vale, on: 2026-01-01}\n"
)


def treats(grams: object, on: str = "2026-11-26", food: str = "carrot", more: str = "") -> str:
    """A draft: so many grams per animal, in the afternoon."""
    return (
        f"record: treats\ntreats:\n  - {{on: {on}, group: tapir, slot: afternoon,"
        f" purpose: training, items: [{{food: {food}, amount: {grams} g per animal{more}}}]}}\n"
    )


@pytest.fixture
def park(tmp_path: Path) -> Path:
    """The small tapir park, where the vet allows 60 g of sugar a day."""
    return write(tmp_path / "park", {"limits.yaml": LIMIT})


def tried(
    park: Path, text: str, capsys: pytest.CaptureFixture[str], *more: str
) -> tuple[int, str, dict[str, Any]]:
    """Status, what is said without line breaks, and the written file."""
    draft, answer = park.parent / "draft.yaml", park.parent / "answer.json"
    draft.write_text(text)
    arguments = ["try", str(park), str(draft), "--write", f"json:{answer}"]
    status = main([*arguments, *(more or ("--on", ON))])
    said = " ".join(capsys.readouterr().out.split())
    return status, said, whole(answer)


def whole(file: Path) -> dict[str, Any]:
    """A written answer, which is as its schema says."""
    answer: dict[str, Any] = json.loads(file.read_text())
    Draft202012Validator(schema(), format_checker=FormatChecker()).validate(answer)
    return answer


def test_a_small_treat_is_fine(park: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """50 g are 2.4 g of sugar: 59.3 g."""
    status, said, answer = tried(park, treats(50), capsys)
    assert (status, answer["answer"]) == (0, "yes")
    assert said.endswith("Yes: nothing in what is written speaks against it.")
    (group,) = answer["groups"]
    (fed,) = group["animals"]
    assert fed["animals"] == ["T1"]
    assert (fed["before"]["as_fed"]["low"], fed["after"]["as_fed"]["high"]) == (1200, 1250)
    assert fed["after"]["sugars"]["low"] == pytest.approx(12.5 * 4.74)
    assert (fed["before"]["treat_share"]["high"], group["day"]) == (0, "2026-11-26")


def test_too_much_is_a_no_with_what_would_make_room(
    park: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """100 g are 4.74 g of sugar: 61.6 g. 1265 g of carrot would keep 60 g."""
    status, said, answer = tried(park, treats(100), capsys)
    assert (status, answer["answer"]) == (1, "no")
    assert "No, not as it is written" in said
    (group,) = answer["groups"]
    out, less = group["leave_out"], group["give_less"]
    assert out["slots"] == ["morning", "afternoon"]  # the same meal twice
    assert 1300 - 2 * Decimal(out["by"]) <= Decimal(6000) / Decimal("4.74")
    assert Decimal(out["by"]) == 20  # the least that does, in round figures
    assert 1200 + Decimal(less["left"]) <= Decimal(6000) / Decimal("4.74")
    assert out["said"] in said
    assert less["said"] in said
    assert group["findings"][0]["rule"] == "sugar-ceiling"


def test_what_is_said_to_make_room_does(park: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, _, answer = tried(park, treats(100), capsys)
    left = answer["groups"][0]["give_less"]["left"]
    assert tried(park, treats(left), capsys)[0] == 0


def test_a_harmful_food_is_a_no_and_nothing_makes_room(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Avocado for birds: no threshold is known, so no amount clears it (toxic-item)."""
    foods = records.foods(carrot="{same_as: carrot}", avocado="{same_as: avocado}")
    park = write(
        tmp_path / "park",
        group=records.group(species="Rhea americana"),
        foods=foods,
    )
    status, said, answer = tried(park, treats(5, food="avocado"), capsys)
    assert (status, answer["answer"]) == (1, "no")
    (group,) = answer["groups"]
    assert group["leave_out"] is group["give_less"] is None
    assert "No single line" in said


@pytest.mark.parametrize("food", ["dragonfruit", "mystery-mix"])
def test_a_food_nobody_knows_cannot_be_told(
    park: Path, capsys: pytest.CaptureFixture[str], food: str
) -> None:
    status, said, answer = tried(park, treats(5, food=food), capsys)
    assert (status, answer["answer"]) == (1, "cannot tell")
    assert "not cleared" in said


@pytest.mark.parametrize("on", ["2026-10-01", "2029-01-01"])
def test_a_day_that_is_not_judged_is_never_a_yes(
    park: Path, capsys: pytest.CaptureFixture[str], on: str
) -> None:
    status, said, answer = tried(park, treats(1, on=on), capsys)
    assert (status, answer["answer"]) == (1, "cannot tell")
    assert answer["groups"][0]["not_judged"] == [on]
    assert "Not judged" in said


def test_a_group_without_a_plan_is_never_a_yes(
    park: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (park / "rota.yaml").unlink()
    assert tried(park, treats(1), capsys)[0] == 1


def test_a_draft_that_changes_nothing_says_so(
    park: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, said, answer = tried(park, (park / "sheet.yaml").read_text(), capsys)
    assert status == 0
    assert "changes nothing that is fed" in said
    assert not any(group["changed"] for group in answer["groups"])


def test_a_sheet_can_be_tried_as_well(park: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """700 g twice a day: 66.4 g of sugar. 633 g of carrot in each feed would keep 60 g."""
    text = (park / "sheet.yaml").read_text().replace("600 g", "700 g")
    status, _, answer = tried(park, text, capsys)
    assert status == 1
    (group,) = answer["groups"]
    assert 2 * Decimal(group["leave_out"]["left"]) <= Decimal(6000) / Decimal("4.74")


def test_only_what_is_new_counts_and_the_rest_is_named(
    park: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A limit that is broken already stays open; a treat without sugar does not make it worse."""
    (park / "limits.yaml").write_text(LIMIT.replace("60 g", "50 g"))
    (park / "foods.yaml").write_text(
        records.foods(
            carrot="{same_as: carrot}",
            chaff="{label: {basis: as fed, sugars: 0 %, energy: 1 kcal/g}, class: vegetable}",
        )
    )
    status, said, answer = tried(park, treats(5, food="chaff"), capsys)
    assert status == 0, said
    assert answer["groups"][0]["open_before"]
    assert "open for this group before" in said


@pytest.mark.parametrize(
    "text", ["record: treats\ntreats: [\n", "record: treats\ntreats: [{on: soon}]\n"]
)
def test_a_draft_that_cannot_be_read_is_not_done(
    park: Path, capsys: pytest.CaptureFixture[str], text: str
) -> None:
    status, said, answer = tried(park, text, capsys)
    assert (status, answer["answer"], answer["done"]) == (2, "not done", False)
    assert "draft.yaml" in said
    assert "nothing here is cleared" in said


def test_a_draft_that_is_not_there_or_a_folder_without_any(park: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    for name in ("nowhere.yaml", "empty"):
        done = call("try", park, tmp_path / name, "--on", ON)
        assert (done.status, done.out) == (2, "")
        assert "Traceback" not in done.err


def test_nothing_is_written_unless_asked(park: Path, tmp_path: Path) -> None:
    draft = tmp_path / "draft.yaml"
    draft.write_text(treats(1))
    before = listing(park)
    assert call("try", park, draft, "--on", ON).status == 0
    assert listing(park) == before


@pytest.mark.parametrize(
    ("draft", "status", "answers"),
    [
        ("treat-capybara-celery.yaml", 0, {"capybara": "yes"}),
        ("treat-meerkat-grapes.yaml", 1, {"meerkat": "cannot tell"}),
        ("treat-tapir-bananas.yaml", 1, {"tapir": "no"}),
        ("b13-red-panda-grapes", 1, {"red-panda": "no"}),
        ("b06-pip-banana-twice.yaml", 1, {"marmoset": "no"}),
    ],
)
def test_the_drafts_of_the_park(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    draft: str,
    status: int,
    answers: dict[str, str],
) -> None:
    """The answers; and the figures are those that `screen --draft` judges, to the last digit."""
    file = tmp_path / "answer.json"
    done = main(
        ["try", str(PARK), str(DRAFTS / draft), "--on", "2026-11-25", "--write", f"json:{file}"]
    )
    assert done == status
    assert "Traceback" not in capsys.readouterr().out
    answer = whole(file)
    assert {group["group"]: group["answer"] for group in answer["groups"]} == answers
    path = DRAFTS / draft
    files = sorted(path.glob("*.yaml")) if path.is_dir() else [path]
    laid = [(f"drafts/{f.relative_to(DRAFTS)}", f.read_bytes()) for f in files]
    report = screen(Folder(PARK), records.ON, laid)
    new = {finding["id"]: finding for group in answer["groups"] for finding in group["findings"]}
    screened = {finding.id: finding for finding in report.findings}
    assert new.keys() <= screened.keys()
    assert all(new[key]["message"] == screened[key].check.message for key in new)
    treat: dict[str, list[Decimal]] = {}
    for one in report.judged:
        limit, measured = one.check.limit, one.check.measured
        if one.rule == "treat-allowance" and one.group in answers and limit and measured:
            treat.setdefault(limit.over, []).append(measured.value.high)
    given = [one for group in answer["groups"] for one in group["animals"] if one["after"]]
    assert max(one["after"]["treat_share"]["high"] for one in given) == pytest.approx(
        float(max(treat["day"])), rel=1e-12
    )
    assert max(one["fortnight"]["after"]["high"] for one in given) == pytest.approx(
        float(max(treat["14 days"])), rel=1e-12
    )
    assert report.diets is not None
    for group in answer["groups"]:
        diet = report.diets[group["group"]]
        for one in group["animals"]:
            animal = next(a for a in diet.animals if a.id == one["animals"][0])
            (day,) = [d for d in diet.days if d.on.isoformat() == group["day"]]
            sugars = diet.day_ration(animal, day).total("sugars")
            told = one["after"]["sugars"]["high"]
            assert (
                told is None
                if not sugars.is_bounded
                else told == pytest.approx(float(sugars.high), rel=1e-12)
            )


def test_a_sound_sheet_needs_its_signature_and_nothing_else(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "answer.json"
    draft = str(DRAFTS / "decoy-penguin-moult.yaml")
    assert main(["try", str(PARK), draft, "--on", "2026-11-25", "--write", f"json:{file}"]) == 0
    answer = whole(file)
    assert (answer["answer"], answer["needs_signature"]) == ("yes", True)
    assert "Yes, once it is signed" in capsys.readouterr().out


def test_feeds_with_fruit_as_a_treat_are_counted_over_the_fortnight(
    park: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    foods = records.foods(carrot="{same_as: carrot}", pear="{same_as: pear}")
    (park / "foods.yaml").write_text(foods)
    _, said, answer = tried(park, treats(5, food="pear"), capsys)
    assert answer["groups"][0]["animals"][0]["fortnight"]["fruit_feeds"] == 1
    assert "Fruit as a treat in 1 feed." in said


def test_the_schema_is_closed() -> None:
    Draft202012Validator.check_schema(schema())
    with pytest.raises(ValidationError):
        Draft202012Validator(schema()).validate({"answer": "yes"})


def test_pieces_for_a_group_are_shared_and_nobody_needs_to_weigh_them(
    park: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Sixteen for a group of one; and no rule of these knows how large a piece may be."""
    text = treats(1).replace("1 g per animal", "16 pieces per group")
    _, said, answer = tried(park, text, capsys)
    (given,) = answer["groups"][0]["given"]
    assert given["pieces_per_animal"]["low"] == given["pieces_per_animal"]["high"] == 16
    assert "16 pieces" in said
    assert "no figure is published" in said


def test_one_animal_only_is_told_apart(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """The heavier tapir may have what the lighter one may not."""
    file = tmp_path / "answer.json"
    draft = str(DRAFTS / "treat-tapir-bananas.yaml")
    main(["try", str(PARK), draft, "--on", "2026-11-25", "--write", f"json:{file}"])
    said = capsys.readouterr().out
    fed = json.loads(file.read_text())["groups"][0]["animals"]
    assert {one["animals"][0]: one["answer"] for one in fed} == {"TA-01": "no", "TA-02": "yes"}
    assert max(map(len, said.splitlines())) <= 80
    assert len(said.splitlines()) <= 45  # one screen
