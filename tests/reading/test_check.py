"""One file: data is handed on whole or not at all, and every problem has its place."""

from __future__ import annotations

import subprocess
import sys
from textwrap import dedent

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dietcheck.reading import FileFacts, check_file

SHEET = """\
record: diet sheet
group: red-panda
from: 2026-10-01
reason: winter sheet, bamboo up
meals:
  biscuit and bamboo:
    - {food: fibre-biscuit, amount: 65 g per animal}
    - {food: bamboo-leaf, amount: 175 g per animal, cut: leaf}
"""


def check(text: str) -> FileFacts:
    return check_file("sheet.yaml", dedent(text).encode())


def test_a_good_record_is_handed_on_as_it_stands() -> None:
    facts = check(SHEET)
    assert facts.problems == ()
    assert facts.kind == "diet sheet"
    assert facts.data is not None
    assert facts.data["meals"]["biscuit and bamboo"][0]["amount"] == "65 g per animal"
    assert facts.identities == (("diet sheet", "red-panda", "2026-10-01"),)


@pytest.mark.parametrize(
    ("old", "new", "line", "column"),
    [
        ("65 g per animal", "65 g", 7, 37),  # no “for whom”
        ("65 g per animal", "65 g each", 7, 37),
        ("65 g per animal", "65", 7, 37),
        ("2026-10-01", "2026-13-01", 3, 7),
        ("2026-10-01", "1 October 2026", 3, 7),
        ("amount: 65", "amuont: 65", 7, 29),
        ("cut: leaf", "treat: trainnig", 8, 60),
        ("group: red-panda", "group: Red Panda", 2, 8),
        ("group: red-panda", "group:", 2, 7),
        ("reason: winter sheet, bamboo up\n", "", 1, 1),
    ],
)
def test_one_fault_withholds_the_whole_record_and_is_told_at_its_place(
    old: str, new: str, line: int, column: int
) -> None:
    assert old in SHEET
    facts = check(SHEET.replace(old, new))
    assert facts.data is None
    assert facts.kind == "diet sheet"
    assert [(p.file, p.line, p.column) for p in facts.problems] == [("sheet.yaml", line, column)]
    assert facts.problems[0].message
    assert facts.problems[0].remedy


def test_a_comma_in_a_number_is_told_for_what_it_is() -> None:
    in_braces = check(SHEET.replace("65 g", "1,5 g"))
    assert in_braces.data is None
    assert any("point" in problem.remedy for problem in in_braces.problems)
    quoted = check(SHEET.replace("65 g per animal", '"1,5 g per animal"'))
    assert len(quoted.problems) == 1


def test_what_a_refused_record_is_about_is_still_known() -> None:
    facts = check(SHEET.replace("65 g per animal", "65 g"))
    assert facts.identities == (("diet sheet", "red-panda", "2026-10-01"),)


@pytest.mark.parametrize(
    "text",
    ["", "# nothing yet\n", "hello\n", "- record: group\n", "name: x\n", "record:\n", "record: 5\n",
     "record: menu\n", "record: [group]\n", "recrod: group\n"],
)  # fmt: skip
def test_what_is_no_record_is_told_and_never_passed_over(text: str) -> None:
    facts = check(text)
    assert facts.kind is None
    assert facts.data is None
    assert len(facts.problems) == 1


def test_a_misspelt_kind_gets_the_right_one() -> None:
    assert "“diet sheet”" in check("record: Diet-sheet\n").problems[0].remedy


def test_many_problems_are_cut_to_twenty_and_the_rest_counted() -> None:
    lines = "".join("    - {food: kale}\n" for _ in range(50))
    facts = check(SHEET + lines)
    assert len(facts.problems) == 21
    assert "30 more" in facts.problems[-1].message
    assert list(facts.problems[:20]) == sorted(facts.problems[:20])


def test_long_values_are_cut_where_they_are_shown() -> None:
    facts = check(SHEET.replace("group: red-panda", "group: " + "X" * 5000))
    assert all(len(p.message) + len(p.remedy) < 500 for p in facts.problems)


def test_values_are_shown_without_characters_that_steer_a_terminal() -> None:
    facts = check(SHEET.replace("red-panda", '"a\\u00a0b\\tc"'))
    assert all((p.message + p.remedy).isprintable() for p in facts.problems)


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=60) | st.text(max_size=60).map(str.encode) | st.text(
    "abr:- \n[]{}#&*!|>'\"%@`\t,?0.~", max_size=40).map(str.encode))  # fmt: skip
def test_any_bytes_give_an_answer_and_the_same_one_twice(raw: bytes) -> None:
    facts = check_file("x.yaml", raw)
    assert facts == check_file("x.yaml", raw)
    assert (facts.data is None) == bool(facts.problems)
    assert all(p.line >= 1 and p.column >= 1 and p.message and p.remedy for p in facts.problems)


@settings(max_examples=150, deadline=None)
@given(st.integers(0, len(SHEET) - 1), st.text("a :-\n\t{}[]&*!'\"#,é0", max_size=2))
def test_a_slip_of_the_finger_never_crashes(at: int, typed: str) -> None:
    facts = check_file("x.yaml", (SHEET[:at] + typed + SHEET[at + 1 :]).encode())
    assert (facts.data is None) == bool(facts.problems)


def test_checking_a_good_file_loads_nothing_heavy() -> None:
    program = dedent(
        """
        import sys
        from dietcheck.reading import check_file
        facts = check_file("x.yaml", sys.stdin.buffer.read())
        assert facts.data is not None, facts.problems
        heavy = {"jsonschema", "referencing", "pint", "numpy", "importlib.metadata"}
        print(sorted(heavy & sys.modules.keys()))
        """
    )
    done = subprocess.run(
        [sys.executable, "-c", program], input=SHEET.encode(), capture_output=True, check=True
    )
    assert done.stdout.decode().strip() == "[]"
