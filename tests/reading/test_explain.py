"""Faults are told at the right place, with the nearest right thing, in a keeper's words."""

from __future__ import annotations

import re
from textwrap import dedent

import pytest

from dietcheck.reading import Problem, check_file

# record, path of the problem, what the remedy (or message) has to offer
CASES: tuple[tuple[str, tuple[str | int, ...], str], ...] = (
    ("record: foods\nfoods: {a: {same-as: carrot}}\n", ("foods", "a", "same-as"), "same_as"),
    (
        "record: foods\nfoods: {a: {label: {basis: as fed, crude_protien: 3 %}}}\n",
        ("foods", "a", "label", "crude_protien"),
        "crude_protein",
    ),
    ("record: foods\nfoods: {a: {same_as: b, class: friut}}\n", ("foods", "a", "class"), "fruit"),
    ("record: foods\nfoods: {a: {name: x}}\n", ("foods", "a"), "unknown_composition"),
    ("record: foods\nfoods: {a: {same_as: b, mix: {c: 100 %}}}\n", ("foods", "a"), "one of them"),
    ("record: foods\nfoods: {Big Nut: {same_as: b}}\n", ("foods", "Big Nut"), "big-nut"),
    ("record: foods\nfoods: {a: carrot}\n", ("foods", "a"), "name: value"),
    ("record: foods\nfoods: {a: }\n", ("foods", "a"), "left empty"),
    (
        "record: foods\nfoods: {a: {same_as: b, stands_in: yes}}\n",
        ("foods", "a", "stands_in"),
        "why",
    ),
    (
        "record: foods\nfoods: {a: {same_as: b, stands_in: true, why: x}}\n",
        ("foods", "a", "stands_in"),
        "yes",
    ),
    (
        "record: foods\nfoods: {a: {same_as: b, sprayed: false}}\n",
        ("foods", "a", "sprayed"),
        "“no”",
    ),
    ("record: foods\nfoods: {a: {same_as: b, piece: 5}}\n", ("foods", "a", "piece"), "unit"),
    ("record: foods\nfoods: {a: {same_as: b, batch: 26117}}\n", ("foods", "a", "batch"), '"26117"'),
    (
        "record: foods\nfoods: {a: {same_as: b, medicines: nones}}\n",
        ("foods", "a", "medicines"),
        "none",
    ),
    (
        "record: foods\nfoods: {a: {same_as: b, medicines: [x, 3]}}\n",
        ("foods", "a", "medicines", 1),
        '"3"',
    ),
    (
        "record: foods\nfoods: {a: {same_as: b, estimate: {sugars: about 5 %}}}\n",
        ("foods", "a", "estimate"),
        "evidence",
    ),
    (
        "record: rota\ngroup: a\nstarts: 2026-11-16\ndays: [{morning: 3}]\n",
        ("days", 0, "morning"),
        "no feed",
    ),
    (
        "record: rota\ngroup: a\nstarts: 2026-11-16\ndays: [{fast: yes}]\n",
        ("days", 0, "fast"),
        "planned",
    ),
    (
        "record: collection\nname: x\ncountry: gb\nfeeds: [a]\nrota_days: 14\n",
        ("country",),
        "GB",
    ),
    (
        "record: collection\nname: x\ncountry: ''\nfeeds: [a]\nrota_days: 14\n",
        ("country",),
        "two capital letters",
    ),
    (
        "record: collection\nname: x\ncountry: GB\nfeeds: morning\nrota_days: 14\n",
        ("feeds",),
        "[morning]",
    ),
    (
        "record: collection\nname: x\ncountry: GB\nfeeds: [a]\nrota_days: 61\n",
        ("rota_days",),
        "at most 60",
    ),
    (
        "record: collection\nname: x\ncountry: GB\nfeeds: [a]\nrota_days: 14\nleave_out: [../b]\n",
        ("leave_out", 0),
        "root",
    ),
)


@pytest.mark.parametrize(("text", "path", "offered"), CASES)
def test_one_fault_one_problem_with_the_nearest_right_thing(
    text: str, path: tuple[str | int, ...], offered: str
) -> None:
    (problem,) = check_file("x.yaml", text.encode()).problems
    assert problem.path == path
    assert offered in problem.message + problem.remedy


def group(**changes: str) -> tuple[Problem, ...]:
    """The problems of a group's record with some of its lines replaced."""
    lines = {
        "id": "red-panda",
        "species": "Ailurus fulgens",
        "enclosure": "Bamboo Slope",
        "fed": "together",
        "animals": "[{id: RP-01}]",
    }
    text = "record: group\n" + "".join(f"{k}: {v}\n" for k, v in {**lines, **changes}.items())
    return check_file("g.yaml", text.encode()).problems


def test_the_group_is_sound_to_begin_with() -> None:
    assert group() == ()


@pytest.mark.parametrize(
    ("name", "value", "offered"),
    [
        ("fed", "together.", "together"),
        ("fed", "alone", "singly"),
        ("stations", "3 stations", "figures"),
        ("stations", "0", "at least 1"),
        ("enclosure", "12", '"12"'),
        ("species", "Ailurus  fulgens", "Ailurus fulgens"),
        ("animals", "[{id: 12}]", '"12"'),
        ("animals", "[{id: a, born: 1850}]", "1900"),
        ("animals", "[{id: a, condition: {on: 2026-11-09, score: '3,5', of: 5}}]", "3.5"),
        ("animals", "[{id: a, condition: {on: 2026-11-09, score: 3, of: 7}}]", "5 or 9"),
        ("animals", "[{id: a, weighings: [{on: 2026-11-09, mass: 4.9}]}]", "unit"),
        ("animals", "{id: a}", "list"),
        ("animals", "[]", "empty"),
        ("colony", "{count: 30, mass: 5 g, on: 2026-11-09}", "together"),
    ],
)
def test_faults_of_a_group(name: str, value: str, offered: str) -> None:
    (problem,) = group(**{name: value})
    assert offered in problem.message + problem.remedy


def test_a_misspelt_name_is_not_told_a_second_time_as_missing() -> None:
    text = "record: limits\nlimits:\n  - {taxn: a, quantity: b, at_mst: 6 % of dry matter,"
    text += " why: x, set_by: y, onn: 2026-01-01}\n"
    names = {problem.path[-1] for problem in check_file("x.yaml", text.encode()).problems}
    assert names >= {"taxn", "at_mst"}
    assert 2 not in {len(problem.path) for problem in check_file("x.yaml", text.encode()).problems}


def test_no_word_of_programmers_is_used() -> None:
    bad = dedent(
        """\
        record: diet sheet
        group: Red Panda
        from: 5
        meals:
          a: {food: x}
          b: [1, null, {food: 3, amount: [], for: x, other: 1, treat: }]
          c:
        supplements: {a: b}
        notes: 3.5
        """
    )
    texts = [bad, "[", "a: &a b", "!x y", "record: 1", "a: 1\na: 2", "\t", "x: y: z"]
    for text in texts:
        for problem in check_file("x.yaml", text.encode()).problems:
            said = f"{problem.message} {problem.remedy}".lower()
            assert not re.search(
                r"schema|null|invalid|mapping|object|array|string|token|parse|valid|regex|\bkey\b",
                said,
            ), said
