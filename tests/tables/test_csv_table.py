"""The bundled files themselves: shape, keys and sums, so that a slipped row or cell is caught."""

from __future__ import annotations

import csv
import re
from decimal import Decimal
from pathlib import Path

import pytest

import dietcheck.tables
from dietcheck.tables.csv_table import Table, table

DATA = Path(dietcheck.tables.__file__).parent / "data"

# rows and columns of every bundled file
SHAPES = {
    "feeds": (97, 40),
    "foods": (447, 64),
    "measures": (1146, 8),
    "more_taxa": (48, 5),
    "nutrients": (65, 7),
    "sources": (4, 3),
    "taxa": (365, 14),
    "taxon_synonyms": (95, 4),
}

# cells filled, and their sum (a range counts both ends): taken once from the bundled files, after
# every figure of foods.csv but those of the four re-analysed foods was found equal to them
SUMS = {
    "foods": """
        refuse_pct 441 5492; water_g 447 28074.96; energy_kcal 447 77689; energy_kj 447 325053
        protein_g 447 3580.67; fat_g 447 3630.49; carbohydrate_g 447 8693.36; fibre_g 424 1723.3
        sugars_g 347 2753.26; starch_g 95 694.70; sucrose_g 155 546.21; glucose_g 154 468.84
        fructose_g 154 501.26; lactose_g 143 13.44; maltose_g 145 20.01; ash_g 447 735.14
        ca_mg 447 34579; p_mg 446 68252; fe_mg 446 1097.70; mg_mg 441 26256; k_mg 442 165219
        na_mg 443 60023; zn_mg 437 571.37; cu_mg 438 140.195; mn_mg 422 402.119
        se_ug 410 6035.7; vit_a_rae_ug 434 85178; retinol_ug 429 57975
        beta_carotene_ug 347 254715; alpha_carotene_ug 344 28321
        beta_cryptoxanthin_ug 343 19194; vit_c_mg 438 7569.9; vit_e_alpha_toc_mg 345 657.04
        vit_d_ug 375 413.7; vit_k1_ug 338 16002.1; thiamin_mg 441 83.688
        riboflavin_mg 443 92.786; niacin_mg 444 981.690; vit_b6_mg 432 99.719
        folate_ug 428 24647; vit_b12_ug 428 566.99; sfa_g 424 909.939; mufa_g 418 1221.558
        pufa_g 418 1172.424""",
    "feeds": """
        water_g 57 3214.08; energy_kcal 26 3923.7; gross_energy_kcal 7 3932; protein_g 55 1281.76
        fat_g 43 449.94; crude_fibre_g 16 272.6; ndf_g 6 296.02; adf_g 17 237.07
        lignin_g 2 37.9; ash_g 27 153.77; ca_mg 31 32172.5; p_mg 21 6318; mg_mg 7 1680
        na_mg 0 0; k_mg 0 0; fe_mg 2 73.86; zn_mg 2 32.73; cu_mg 2 9.85; mn_mg 2 4.78
        se_ug 0 0; vit_a_iu 1 2194.7; vit_e_iu 2 52.4; carbohydrate_g 3 55; sugars_g 3 55
        sucrose_g 3 55; fibre_g 3 0; starch_g 3 0""",
    "measures": "grams 1146 164943.0185; ml 37 11385.801; g_per_ml 37 38.6737",
}


def pinned(name: str) -> list[tuple[str, int, Decimal]]:
    words = SUMS[name].replace(";", " ").split()
    triples = zip(words[::3], words[1::3], words[2::3], strict=True)
    return [(column, int(count), Decimal(total)) for column, count, total in triples]


def test_every_bundled_file_is_pinned() -> None:
    assert {path.stem for path in DATA.iterdir()} == set(SHAPES)


@pytest.mark.parametrize("name", SHAPES)
def test_the_shape_is_the_pinned_one(name: str) -> None:
    rows = list(table(name).all_rows())
    assert (len(rows), len(table(name).columns)) == SHAPES[name]


@pytest.mark.parametrize("name", SHAPES)
def test_line_reading_agrees_with_reading_the_whole_file(name: str) -> None:
    with (DATA / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        whole = list(csv.DictReader(file, strict=True))
    assert list(table(name).all_rows()) == whole


@pytest.mark.parametrize("name", [name for name in SHAPES if name != "measures"])
def test_keys_are_unique(name: str) -> None:
    assert len(table(name).names()) == SHAPES[name][0]


@pytest.mark.parametrize("name", SHAPES)
def test_no_cell_has_stray_spaces_or_control_characters(name: str) -> None:
    for row in table(name).all_rows():
        for cell in row.values():
            assert cell == cell.strip()
            assert cell.isprintable()


@pytest.mark.parametrize(
    ("name", "column", "count", "total"),
    [(name, *sums) for name in SUMS for sums in pinned(name)],
)
def test_the_column_sum_is_the_pinned_one(
    name: str, column: str, count: int, total: Decimal
) -> None:
    cells = [row[column] for row in table(name).all_rows() if row[column]]
    ends = [Decimal(end) for cell in cells for end in cell.split(" to ")]
    assert (len(cells), sum(ends, Decimal(0))) == (count, total)


@pytest.mark.parametrize("name", ["foods", "feeds"])
def test_all_columns_of_figures_are_pinned(name: str) -> None:
    figures = {c for c in table(name).columns if re.search(r"_(g|mg|ug|kcal|kj|iu|pct)$", c)}
    assert figures == {column for column, _, _ in pinned(name)}


def test_a_row_with_a_cell_too_many_is_refused() -> None:
    with pytest.raises(ValueError, match="longer"):
        Table("id,name\nleek,Leek,1\n").rows("leek")
