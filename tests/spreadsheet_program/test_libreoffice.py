"""A real spreadsheet program reads what we write, and we read what it writes. Needs LibreOffice."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import load_workbook

from dietcheck.__main__ import main
from tests.checkout import CHECKOUT
from tests.commands.console import listing, write
from tests.spreadsheet_program.make import convert, make

EXAMPLE = CHECKOUT / "example_repo"
KEPT = CHECKOUT / "tests/commands/spreadsheets"
ALL_SHEETS = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1"


@pytest.fixture(scope="module")
def straight(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The example park written out and read back, with no other program between."""
    top = tmp_path_factory.mktemp("straight")
    assert main(["sheets", str(EXAMPLE), "--write", str(top / "park.xlsx")]) == 0
    assert main(["sheets", str(EXAMPLE), "--read", str(top / "park.xlsx"), "--to", str(top)]) == 0
    return top


def _records(folder: Path) -> dict[str, bytes | None]:
    return {name: raw for name, raw in listing(folder).items() if name.endswith(".yaml")}


def test_a_workbook_saved_again_comes_back_the_same(straight: Path, tmp_path: Path) -> None:
    saved = convert(straight / "park.xlsx", "xlsx:Calc MS Excel 2007 XML", tmp_path)
    to = tmp_path / "back"
    assert main(["sheets", str(EXAMPLE), "--read", str(saved), "--to", str(to)]) == 0
    assert _records(to) == _records(straight)


def test_a_workbook_saved_as_csv_comes_back_the_same(straight: Path, tmp_path: Path) -> None:
    convert(straight / "park.xlsx", ALL_SHEETS, tmp_path)
    named = [str(tmp_path / f"park-{name}.csv") for name in ("Diet sheets", "Rotas")]
    to = tmp_path / "back"
    reads = ["--read", named[0], "--read", named[1]]
    assert main(["sheets", str(EXAMPLE), *reads, "--to", str(to)]) == 0
    assert _records(to) == _records(straight)


def test_the_kept_files_are_what_the_program_writes_today(tmp_path: Path) -> None:
    for fresh in make(tmp_path):
        with (KEPT / fresh.name).open("rb") as kept:
            assert _values(Path(kept.name)) == _values(fresh)


def _values(file: Path) -> list[tuple[object, ...]]:
    return list(load_workbook(file, data_only=True).worksheets[0].iter_rows(values_only=True))


def test_the_template_opens(tmp_path: Path) -> None:
    park = write(tmp_path / "park")
    assert main(["sheets", str(park), "--template", "--write", str(tmp_path / "new.xlsx")]) == 0
    saved = convert(tmp_path / "new.xlsx", "xlsx:Calc MS Excel 2007 XML", tmp_path / "park")
    assert load_workbook(saved).sheetnames == load_workbook(tmp_path / "new.xlsx").sheetnames
