"""`dietcheck sheets`: nothing is lost on the way out and back, and nothing is half read."""

from __future__ import annotations

import csv
import io
import json
import tempfile
import zipfile
from collections.abc import Callable
from datetime import date, datetime
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook
from openpyxl.styles import Font

from dietcheck.__main__ import main
from dietcheck.commands.repository import open_repository
from dietcheck.commands.spreadsheet.flow import record_text
from dietcheck.commands.spreadsheet.layout import DIETS, ROTAS, join, known_headings, split
from dietcheck.commands.spreadsheet.read_csv import read_csv
from dietcheck.commands.spreadsheet.read_xlsx import read_xlsx
from dietcheck.commands.spreadsheet.rows import Known
from dietcheck.commands.spreadsheet.to_records import records_of
from dietcheck.commands.spreadsheet.to_rows import filled
from dietcheck.commands.spreadsheet.write import csv_files, workbook
from dietcheck.errors import JobError
from dietcheck.history.digest import content_digest
from dietcheck.reading import Folder, check_file, read_repository
from tests.checkout import CHECKOUT
from tests.commands.console import call, listing, write
from tests.records import ON

EXAMPLE = CHECKOUT / "example_repo"
KEPT = CHECKOUT / "tests/commands/spreadsheets"  # written by LibreOffice: see README.md there
HEAD = ["Group", "From", "Reason", "Meal", "Food", "Amount", "Unit"]
GOOD = ["tapir", date(2026, 10, 1), "winter", "roots", "carrot", "600 g per animal"]


@pytest.fixture
def park(tmp_path: Path) -> Path:
    return write(tmp_path / "park")


@pytest.mark.parametrize("form", ["park.xlsx", "csv"])
def test_the_example_park_comes_back_whole(form: str, tmp_path: Path) -> None:
    out = tmp_path / form
    assert main(["sheets", str(EXAMPLE), "--write", str(out)]) == 0
    files = [out] if out.is_file() else sorted(out.iterdir())
    reads = [word for file in files for word in ("--read", str(file))]
    assert main(["sheets", str(EXAMPLE), *reads, "--to", str(tmp_path / "back")]) == 0
    back = tmp_path / "back"
    own = {f.identities: f.data for f in read_repository(Folder(EXAMPLE)).files}
    for name, raw in listing(back).items():
        if raw is not None:
            facts = check_file(name, raw)
            assert own[facts.identities] == facts.data
    for folder in ("groups", "foods", "treats", "limits"):
        for file in (EXAMPLE / folder).glob("*.yaml"):
            (back / folder).mkdir(exist_ok=True)
            (back / folder / file.name).write_bytes(file.read_bytes())
    (back / "dietcheck.yaml").write_bytes((EXAMPLE / "dietcheck.yaml").read_bytes())
    before, after = open_repository(EXAMPLE).collection, open_repository(back).collection
    assert before.groups.keys() == after.groups.keys()
    for group in before.groups:
        assert content_digest(before, group, ON) == content_digest(after, group, ON)


words = st.text(st.sampled_from("abcXYZ019;\"'=+-@#:,{}[]&|>%é _"), min_size=1, max_size=12).filter(
    lambda t: t == " ".join(t.split())
)
ids = st.from_regex(r"[a-z0-9][a-z0-9-]{0,8}", fullmatch=True)
animals = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9._-]{0,5}", fullmatch=True)
texts = st.text(st.sampled_from("ab c\n\t;\"'=+-@#:,_x0041é"), min_size=1, max_size=20)
days = st.dates(date(1900, 1, 1), date(2199, 12, 31)).map(date.isoformat)
amounts = st.sampled_from(["45 g per animal", "1.50 kg per group", "2 pieces per animal"])
own = st.dictionaries(
    st.sampled_from(["x-a", "x-Shelf no"]), st.one_of(texts, st.integers(), st.lists(words)),
    max_size=1,
)  # fmt: skip


def _dict(needed: dict[str, Any], optional: dict[str, Any]) -> st.SearchStrategy[dict[str, Any]]:
    fixed = st.fixed_dictionaries(needed, optional=optional)
    return st.builds(lambda a, b: {**a, **b}, fixed, own)


medicine = _dict({"drug": words, "by": words, "from": days, "until": days}, {"dose": texts})
lines = _dict(
    {"food": ids, "amount": amounts},
    {
        "cut": words,
        "presentation": words,
        "treat": st.just("training"),
        "for": st.lists(animals, min_size=1, max_size=3),
        "instead_of": ids,
        "medicine": medicine,
        "note": texts,
    },
)
supplements = _dict(
    {"food": ids, "amount": amounts, "with": st.lists(words, min_size=1, max_size=2)},
    {"note": texts},
)
diets = _dict(
    {
        "record": st.just("diet sheet"),
        "group": ids,
        "from": days,
        "reason": texts,
        "meals": st.dictionaries(
            words, st.lists(lines, min_size=1, max_size=3), min_size=1, max_size=2
        ),
    },
    {
        "until": days,
        "written_by": words,
        "supplements": st.lists(supplements, max_size=2),
        "notes": texts,
    },
)
FEEDS = ("morning", "afternoon", "day", "Note")
feeds = st.one_of(words, st.lists(words, min_size=1, max_size=2))
rota_days = _dict(
    {"morning": feeds},
    {"afternoon": feeds, "day": feeds, "Note": feeds, "odd": feeds, "note": texts},
)
rotas = _dict(
    {
        "record": st.just("rota"),
        "group": ids,
        "starts": days,
        "days": st.lists(rota_days, min_size=1, max_size=3),
    },
    {"until": days, "written_by": words, "notes": texts},
)


@settings(max_examples=20, deadline=None)
@given(diets, rotas)
def test_any_record_comes_back_the_same(diet: dict[str, Any], rota: dict[str, Any]) -> None:
    both = [diet, rota]
    if any(check_file("a.yaml", record_text(r).encode()).data != r for r in both):
        return  # no record that can be on file
    sheets = filled(both, FEEDS)
    for read in (
        records_of(read_xlsx("a.xlsx", workbook(sheets, [], [])), Known(FEEDS)),
        records_of(
            [s for name, raw in csv_files(sheets).items() for s in read_csv(name, raw)],
            Known(FEEDS),
        ),
    ):
        assert [str(trouble) for trouble in read.troubles] == []
        assert list(read.records.values()) == both


@given(st.lists(words, min_size=1))
def test_a_list_in_a_cell_comes_back(parts: list[str]) -> None:
    assert split(join(parts))[0] == parts


def _refused(
    park: Path, capsys: pytest.CaptureFixture[str], change: Callable[[Any], object]
) -> tuple[int, str]:
    """The status and the words for a good workbook that was changed; it writes only when 0."""
    book = Workbook()
    work = book.active
    assert work is not None
    work.title = "Diet sheets"
    for row in (HEAD, GOOD, [*GOOD[:4], "carrot", 1.5, "kg per animal"]):
        work.append(row)
    change(work)
    file = park.parent / "in.xlsx"
    book.save(file)
    before = listing(park)
    status = main(["sheets", str(park), "--read", str(file)])
    assert (listing(park) == before) == (status != 0)
    shown = capsys.readouterr()
    return status, shown.out + shown.err


CASES: dict[str, tuple[str, Callable[[Any], object]]] = {
    "date for amount": ("F3", lambda w: w.__setitem__("F3", datetime(2026, 2, 1))),
    "decimal comma": ("F2", lambda w: w.__setitem__("F2", "1,5 g per animal")),
    "comma and unit": ("F3", lambda w: w.__setitem__("F3", "1,5")),
    "no unit": ("F3", lambda w: w.__setitem__("G3", None)),
    "formula without result": ("F3", lambda w: w.__setitem__("F3", "=1+1")),
    "error": ("E2", lambda w: w.__setitem__("E2", "#REF!")),
    "number for a date": (
        "B2",
        lambda w: (
            w["B2"].__setattr__("number_format", "General"),
            w["B2"].__setattr__("value", 46000),
        ),
    ),
    "day and month unclear": ("B2", lambda w: w.__setitem__("B2", "01/10/2026")),
    "unknown heading": ("Amount", lambda w: w.__setitem__("F1", "Amuont")),
    "twice the heading": ("G1", lambda w: w.__setitem__("G1", "Food")),
    "no heading": ("I2", lambda w: w.__setitem__("I2", "what is this")),
    "hidden row": ("A3", lambda w: setattr(w.row_dimensions[3], "hidden", True)),
    "hidden column": ("C2", lambda w: setattr(w.column_dimensions["C"], "hidden", True)),
    "hidden sheet": ("A1", lambda w: setattr(w, "sheet_state", "hidden")),
    "struck through": ("E3", lambda w: setattr(w["E3"], "font", Font(strike=True))),
    "merged foods": ("E2", lambda w: w.merge_cells("E2:E3")),
    "merged across": ("D2", lambda w: w.merge_cells("D2:E2")),
    "no group": ("A3", lambda w: w.__setitem__("A3", None)),
    "no food": ("E3", lambda w: w.__setitem__("E3", None)),
    "two reasons": ("C3", lambda w: w.__setitem__("C3", "summer")),
    "a row twice": ("E4", lambda w: w.append(GOOD)),
    "true": ("D2", lambda w: w.__setitem__("D2", True)),
    "no food id": ("E2", lambda w: w.__setitem__("E2", "Carrot?!")),
}


@pytest.mark.parametrize("case", CASES)
def test_what_cannot_be_read_is_told_by_its_cell(
    case: str, park: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    cell, change = CASES[case]
    if case == "hidden sheet":
        status, said = _refused(park, capsys, lambda w: (w.parent.create_sheet("x"), change(w)))
    else:
        status, said = _refused(park, capsys, change)
    assert status == 1
    assert cell in said


def test_every_cell_in_the_way_is_told_at_once(
    park: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def change(work: Any) -> None:
        work["F2"], work["F3"] = "lots", datetime(2026, 1, 2)
        work["C2"] = work["C3"] = None

    _, said = _refused(park, capsys, change)
    assert "Diet sheets!F2" in said
    assert "Diet sheets!F3" in said
    assert "Diet sheets!C2" in said
    assert said.startswith("3 cells")


def test_group_merged_down_blank_rows_and_names_are_read(
    park: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def change(work: Any) -> None:
        work.merge_cells("A2:A3")
        work["A40"], work["E2"] = "  ", "carrot  "

    status, _ = _refused(park, capsys, change)
    assert status == 0
    assert b"1.5 kg per animal" in (park / "diet-sheets/tapir-2026-10-01.yaml").read_bytes()


def test_a_record_on_file_is_not_written_over(
    park: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rows = tmp_path / "rows.csv"
    rows.write_text(
        "Group;From;Reason;Meal;Food;Amount\ntapir;2026-01-01;more;roots;carrot;700 g per animal\n"
    )
    before = listing(park)
    assert main(["sheets", str(park), "--read", str(rows)]) == 2
    assert "sheet.yaml" in capsys.readouterr().err
    assert listing(park) == before
    assert main(["sheets", str(park), "--read", str(rows), "--replace"]) == 0
    assert b"700 g" in (park / "sheet.yaml").read_bytes()
    assert listing(park).keys() == before.keys()
    assert main(["sheets", str(park), "--read", str(rows)]) == 0  # says the same: left alone


def test_the_template_is_empty_and_has_every_heading(park: Path, tmp_path: Path) -> None:
    file = tmp_path / "new.xlsx"
    assert main(["sheets", str(park), "--template", "--write", str(file)]) == 0
    book = load_workbook(file)
    assert {"Morning", "morning"} & {str(cell.value) for cell in book["Rotas"][1]}
    assert book["Diet sheets"].max_row == 1
    assert book["Diet sheets"].data_validations.dataValidation
    assert main(["sheets", str(park), "--template", "--write", str(file)]) == 2  # not over it
    assert main(["sheets", str(park), "--read", str(file)]) == 0


def test_no_cell_is_written_as_a_formula() -> None:
    note = "=1+1"
    record = {
        "record": "diet sheet", "group": "tapir", "from": "2026-01-01", "reason": note,
        "meals": {"+roots": [{"food": "carrot", "amount": "1 g per animal", "note": "@a"}]},
    }  # fmt: skip
    sheets = filled([record], ())
    rows = list(csv.reader(io.StringIO(csv_files(sheets)["diet-sheets.csv"].decode("utf-8-sig"))))
    assert not any(cell[:1] in ("=", "+", "-", "@") for row in rows for cell in row)
    work = load_workbook(io.BytesIO(workbook(sheets, [], [])))["Diet sheets"]
    assert all(cell.data_type != "f" for row in work.iter_rows() for cell in row)


def test_what_unpacks_too_large_or_is_broken_is_refused() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as package:
        package.writestr("xl/worksheets/sheet1.xml", b" " * (65 * 1024 * 1024))
    out2 = io.BytesIO()
    with zipfile.ZipFile(out2, "w") as package:
        package.writestr("xl/workbook.xml", '<!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>')
    for raw in (out.getvalue(), out2.getvalue(), b"", b"PK\x03\x04 no"):
        with pytest.raises(JobError):
            read_xlsx("bad.xlsx", raw)


@pytest.mark.parametrize(
    ("name", "amounts"),
    [
        ("decimal-comma", ["1.5 kg per animal", "45 g per animal"]),
        ("kitchen", ["1.5 kg per animal", "45 g per animal", "2 kg per animal"]),
    ],
)
def test_what_libreoffice_wrote_is_read(name: str, amounts: list[str]) -> None:
    """A German decimal comma and date; merged cells and a formula with its result."""
    read = records_of(read_xlsx(name, (KEPT / f"{name}.xlsx").read_bytes()), Known())
    assert read.troubles == []
    (record,) = read.records.values()
    assert record["from"] == "2026-10-01"
    assert [line["amount"] for meal in record["meals"].values() for line in meal] == amounts


@pytest.mark.parametrize(
    ("name", "cell"), [("taken-for-dates", "taken-for-dates!F3"), ("hidden-row", "Diet sheets!A4")]
)
def test_what_libreoffice_wrote_is_refused_by_its_cell(name: str, cell: str) -> None:
    """A 1/2 that became a date; a hidden row."""
    read = records_of(read_xlsx(name, (KEPT / f"{name}.xlsx").read_bytes()), Known())
    assert [str(trouble.at) for trouble in read.troubles] == [cell]
    assert read.records == {}


def test_a_failed_write_leaves_all_as_it_was() -> None:
    from dietcheck.commands.sheets import put_all

    with tempfile.TemporaryDirectory() as top:
        (Path(top) / "b").write_text("a file where a folder has to be")
        before = listing(Path(top))
        with pytest.raises(JobError):
            put_all(Path(top), {"a/1.yaml": b"1", "b/2.yaml": b"2"}, replace=False)
        assert listing(Path(top)) == before


@pytest.mark.parametrize(
    ("kind", "sheet", "part", "apart"),
    [
        ("diet-sheet", DIETS, "head", {"record", "meals", "supplements"}),
        ("diet-sheet", DIETS, "line", {"medicine", "meal", "part", "unit"}),
        ("diet-sheet", DIETS, "medicine", set()),
        ("rota", ROTAS, "head", {"record", "days"}),
    ],
)
def test_every_field_of_a_record_has_its_heading(
    kind: str, sheet: str, part: str, apart: set[str]
) -> None:
    """So that a field which records learn one day cannot be lost on the way."""
    file = files("dietcheck.reading.schemas").joinpath(f"{kind}.schema.json")
    schema = json.loads(file.read_text(encoding="utf-8"))
    fields = (schema if part == "head" else schema["$defs"][part])["properties"].keys()
    known = {slot[1] for slot, _ in known_headings(sheet, ()).values() if slot[0] == part}
    assert fields - apart == known - apart


def test_a_link_that_may_be_a_diet_sheet_is_in_the_way(tmp_path: Path) -> None:
    park = write(tmp_path / "park")
    (park / "more.yaml").symlink_to("/dev/null")
    done = call("sheets", str(park), "--write", str(tmp_path / "out"))
    assert done.status == 2
    assert "more.yaml" in done.err
    assert not (tmp_path / "out").exists()
