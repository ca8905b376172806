"""The changes that the mutation run makes: each alone, each code that runs, none in mere words."""

from __future__ import annotations

import ast

from tests.mutation.operators import mutants
from tests.mutation.running import ROOT, explained

TEXT = '''"""What it is for: 1 < 2."""

from decimal import Decimal

MOST = Decimal("1.5")


def judge(figures: list[int] | None, names: tuple[str, ...] = ()) -> bool:
    """Words only, 3 + 4."""
    if figures and not names:
        return max(figures) >= 1
    for name in names:
        if name:
            continue
        print(f"{name}: {1 + 1}")
    return any(one % 2 for one in figures or () if one != 5)
'''


def changes() -> dict[tuple[int, str], str]:
    return {(made.line, made.after): made.text for made in mutants("a.py", TEXT)}


def test_each_kind_of_slip_is_made() -> None:
    assert {
        (5, "(Decimal('1.5') + 1)"),
        (10, "(figures or not names)"),
        (10, "(not (figures and (not names)))"),
        (10, "(names)"),
        (11, "(max(figures) > 1)"),
        (11, "(max(figures) < 1)"),
        (11, "min(figures)"),
        (11, "2"),
        (11, "return None"),
        (13, "(not (name))"),
        (14, "break"),
        (15, "pass"),
        (16, "all((one % 2 for one in figures or () if one != 5))"),
        (16, "(one % 2 for one in figures or ())"),
        (16, "(one == 5)"),
    } <= {*changes()}


def test_every_change_still_reads_as_python_and_changes_what_runs() -> None:
    right = ast.dump(ast.parse(TEXT))
    for text in changes().values():
        assert ast.dump(ast.parse(text)) != right


def test_words_and_types_are_left_alone() -> None:
    lines = {line for line, _ in changes()}
    assert lines <= {5, 10, 11, 13, 14, 15, 16}
    assert not [after for line, after in changes() if line == 15 and after != "pass"]


def test_every_explained_change_can_still_be_made() -> None:
    changes = explained()
    made = {
        (one.file, one.before, one.after)
        for file in {file for file, _, _ in changes}
        for one in mutants(file, (ROOT / file).read_text())
    }
    assert changes <= made
